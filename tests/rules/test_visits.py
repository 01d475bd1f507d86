"""Inspections as data: their order, what a place adds to them, what a check says of each, and the cases that prove it."""

from pathlib import Path

import pytest

from oktocover.check import check
from oktocover.findings.checked import Visit, VisitAsk
from oktocover.quantities import read_date
from oktocover.reading.problems import InputProblems
from oktocover.reading.site_file import read_site_text
from oktocover.rules.library import Library
from oktocover.rules.prove import Proof, prove

DAY = read_date("2026-06-15")
BOOK = """
book: tst
edition: "1"
inspections:
  rough: {title: Rough, trade: gas, covers: yes}
  test: {title: Gas test, trade: gas, after: {rough: the piping is whole}, notice: 48 h}
  final: {title: Final, after: [test]}
rules:
  pressure:
    title: Test pressure
    section: "1"
    trade: gas
    stage: test
    severity: hazard
    each: gas_test
    items:
      seen: {look: The gauge stands still}
      sheet: {document: Calibration sheet of the gauge}
      leave: {approval: The test medium}
      maker: {maker: Fit for the gauge}
      soap: {test: Soap on every joint}
    remedy: Ask.
    basis: {check: common practice}
"""
PLACE = """
place: Dry Gulch
adopts: {gas: {book: tst 1}}
inspections:
  board: {title: Wallboard, covers: yes, after: {rough: code 1}, papers: [permit card], instead: {letter: A letter}}
changes:
  ready:
    cite: Code 2
    add:
      tst.test.state: {on_gauge: Test on with the gauge in sight}
      tst.test:
        counted: working days
        answer_within: 24 h
        who: {licensed: {text: Registered installer, cite: Code 2(b)}}
        witness: {inspector: The inspector sees it}
        instruments: {dial: Gauge of 0.1 psi}
      tst.final.after: {board: Code 2(c)}
    set: {tst.test.notice: 24 h}
    cases:
      - {card: test, state: on_gauge, was: none}
      - {card: test, state: Test on with the gauge in sight, was: none}
      - {card: test, counted: working days, was: none}
      - {card: test, answer_within: 24 h, was: none}
      - {card: test, who: Registered installer, was: none}
      - {card: test, witness: inspector, was: none}
      - {card: test, instruments: Gauge of 0.1 psi, was: none}
      - {card: test, notice: 24 h, was: 48 h}
      - {card: final, after: board, was: none}
      - {card: final, after: test, was: test}
"""


@pytest.fixture
def shelf(tmp_path: Path) -> Library:
    root = tmp_path / "rulesets"
    (root / "tst" / "1").mkdir(parents=True)
    (root / "jurisdictions").mkdir()
    (root / "tst" / "1" / "a.yaml").write_text(BOOK)
    return placed(Library(root), PLACE)


def placed(shelf: Library, text: str) -> Library:
    (shelf.root / "jurisdictions" / "dry-gulch.yaml").write_text(text)
    return Library(shelf.root)


def visits(shelf: Library, site: str = "site: x\n") -> dict[str, Visit]:
    adopted = shelf.adopt("dry gulch", [])
    adopted.rules.check()
    checked = check(read_site_text(site, today=DAY), adopted, DAY, "all")
    return {one.name: one for one in checked.visits}


def wrong(shelf: Library, text: str) -> str:
    with pytest.raises(InputProblems) as caught:
        placed(shelf, text).adopt("dry gulch", []).rules.check()
    return "\n".join(problem.text() for problem in caught.value.problems)


def proof(shelf: Library, text: str, change: str = "ready") -> Proof:
    return next(one for one in prove(placed(shelf, text), "Dry Gulch") if one.rule == f"change {change}")


def test_what_a_place_adds_is_said_of_the_visit(shelf: Library) -> None:
    test = visits(shelf)["test"]
    assert [(line.name, line.text, line.cite) for line in test.must_be] == [
        ("on_gauge", "Test on with the gauge in sight", "Dry Gulch: Code 2")
    ]
    assert (test.notice, test.counted, test.answer_within) == ("24 h", "working days", "24 h")
    assert [(line.text, line.cite) for line in test.who] == [("Registered installer", "Code 2(b)")]
    assert [line.text for line in (*test.witness, *test.instruments)] == ["The inspector sees it", "Gauge of 0.1 psi"]
    assert [(line.name, line.cite) for line in test.after] == [("rough", "the piping is whole")]
    board = visits(shelf)["board"]
    assert (board.title, board.covers) == ("Wallboard", True)
    assert [line.text for line in (*board.papers, *board.instead)] == ["permit card", "A letter"]


def test_visits_come_in_an_order_that_respects_after(shelf: Library) -> None:
    assert list(visits(shelf)) == ["rough", "test", "board", "final"]
    signed = "permit: {visits: {rough: {signed: 2026-05-01, by: the office}}}\n"
    found = visits(shelf, signed)
    assert found["test"].not_signed == ()
    assert found["final"].not_signed == ("test", "board")


def test_a_ring_is_told_with_its_path(shelf: Library) -> None:
    said = wrong(shelf, PLACE + "  ring: {cite: Code 3, add: {tst.rough.after: {final: Code 3}}}\n")
    assert "the visits wait for each other: rough after final after test after rough" in said
    assert said.startswith("rulesets/tst/1/a.yaml:6:")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("after: {rough: code 1}", "after: {rouhg: code 1}", "did you mean 'rough'?"),
        ("papers: [permit card]", "paper: [permit card]", "did you mean 'papers'?"),
        ("covers: yes, after", "covers: perhaps, after", "'perhaps' is neither yes nor no"),
        ("papers: [permit card]", "papers: {card: {words: x}}", "'card' is a text"),
        ("answer_within: 24 h", "answer_within: 24 cats", "24 cats"),
        ("papers: [permit card]", "counted: working days", "and there is no notice"),
        ("papers: [permit card]", "only_if: building.storeys > most", "most"),
        ("papers: [permit card]", "limits: {most: 1}", "used nowhere"),
        ("papers: [permit card]", "only_if: building.storeys", "not yes or no"),
        ("  board:", "  rough:", "is a visit of tst 1 already"),
    ],
)
def test_inspections_that_cannot_stand(shelf: Library, old: str, new: str, said: str) -> None:
    assert old in PLACE
    text = wrong(shelf, PLACE.replace(old, new, 1))
    assert said in text and "rulesets/jurisdictions/dry-gulch.yaml:" in text


def test_a_visit_held_only_for_some_buildings(shelf: Library) -> None:
    text = PLACE.replace("papers: [permit card]", "only_if: building.storeys > most, limits: {most: 1}")
    shelf = placed(shelf, text)
    assert visits(shelf, "building: {storeys: 2}\n")["board"].only_if == "yes"
    assert visits(shelf, "building: {storeys: 1}\n")["board"].only_if == "no"
    open_ = visits(shelf)["board"]
    assert (open_.only_if, [one.path for one in open_.depends_on]) == ("not recorded", [("building", "storeys")])


def test_records_of_a_visit_by_who_answers_them(shelf: Library) -> None:
    site = "gas tests: {T: {}}\nrecords: [{for: tst.pressure.seen, answer: yes, by: M.K., day: 2026-05-03}]\n"
    asks = {one.rule: one for one in visits(shelf, site)["test"].asks}
    assert {rule.rpartition(".")[2]: one.who for rule, one in asks.items()} == {
        "sheet": "papers",
        "leave": "ask the office",
        "maker": "the maker's sheet decides",
        "soap": "by a test",
    }
    nobody = {one.rule: one for one in visits(shelf, "gas tests: {T: {}, U: {}}\n")["test"].asks}
    assert nobody["tst.pressure.seen"] == VisitAsk(
        "for the eye only", "The gauge stands still", "tst.pressure.seen", ("T", "U"), "TST 1 1", "not recorded"
    )


def test_cases_of_the_card_prove_a_change(shelf: Library) -> None:
    found = proof(shelf, PLACE)
    assert (found.failed, found.not_proven) == ([], [])


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("state: on_gauge, was: none", "state: on_gage, was: none", "with the change: none, the case says on_gage"),
        ("notice: 24 h, was: 48 h", "notice: 24 h, was: 24 h", "was: 48 h, the case says 24 h"),
        ("notice: 24 h, was: 48 h", "notce: 24 h, was: 48 h", "did you mean 'notice'?"),
        ("notice: 24 h, was: 48 h", "was: 48 h", "asks for one entry"),
        ("notice: 24 h, was: 48 h", "notice: 24 h", "what it was"),
    ],
)
def test_a_case_of_the_card_that_is_wrong(shelf: Library, old: str, new: str, said: str) -> None:
    assert old in PLACE
    assert any(said in text for text in proof(shelf, PLACE.replace(old, new)).failed)


def test_a_change_whose_cases_all_stay_the_same_is_not_proven(shelf: Library) -> None:
    text = PLACE[: PLACE.index("    cases:")] + "    cases: [{card: final, after: test, was: test}]\n"
    assert proof(shelf, text).not_proven == ["no case comes out differently without this change"]


MORE = """
place: Dry Gulch
adopts: {gas: {book: tst 1}}
changes:
  more:
    cite: Code 9
    add:
      tst.board: {title: Wallboard, covers: yes, after: {rough: Code 9}, only_if: building.storeys > most, limits: {most: 1}}
      tst.pressure: {items: {tag: {document: Tag of the office}}}
    strike: {tst.final: duty gone}
    cases:
      - {card: board, title: Wallboard, was: none}
      - {card: final, title: none, was: Final}
      - {card: board, only_if: yes, given: {building.storeys: 2}, was: none}
      - {card: board, only_if: no, given: {building.storeys: 1}, was: none}
      - {card: board, only_if: not recorded, given: {}, was: none}
      - {field sheet: tst.pressure.tag, line: Tag of the office, by: paper, was: none}
      - {field sheet: tst.pressure.tag, line: none, given: {record.tag: yes}, was: none}
      - {field sheet: tst.pressure.seen, line: The gauge stands still, by: look, was: The gauge stands still}
"""


def test_whole_visits_and_lines_of_the_field_sheet(shelf: Library) -> None:
    found = proof(shelf, MORE, "more")
    assert (found.failed, found.not_proven) == ([], [])
    assert list(visits(shelf)) == ["rough", "test", "board"]
    other = proof(shelf, MORE.replace("by: paper", "by: look"), "more").failed
    assert any("with the change: none, the case says Tag of the office" in text for text in other)


WORDS = """
place: Dry Gulch
adopts: {gas: {book: tst 1}}
changes:
  milder:
    cite: Code 9
    meant: yes
    set: {tst.pressure.severity: correction, tst.pressure.section: "1.1"}
    cases:
      - {entry: tst.pressure.severity, is: correction, was: hazard}
      - {entry: tst.pressure.section, is: "1.1", was: "1"}
      - {entry: tst.pressure.note, is: x, was: none}
"""


def test_words_of_a_finding_prove_a_change(shelf: Library) -> None:
    right = WORDS.replace("      - {entry: tst.pressure.note, is: x, was: none}\n", "")
    assert (proof(shelf, right, "milder").failed, proof(shelf, right, "milder").not_proven) == ([], [])
    assert all(one.rule != "tst.pressure" for one in prove(placed(shelf, right), "Dry Gulch"))
    assert "'tst.pressure.note' is proven by a verdict" in proof(shelf, WORDS, "milder").failed[0]
    wrong_ = proof(shelf, right.replace("was: hazard", "was: advisory"), "milder").failed
    assert any("was: hazard, the case says advisory" in text for text in wrong_)


def test_cautions_of_a_layer_are_printed_with_every_check(shelf: Library) -> None:
    text = "cautions: [Nobody has read this edition yet.]\n"
    (shelf.root / "tst" / "1" / "a.yaml").write_text(BOOK + text)
    checked = check(read_site_text("site: x\n", today=DAY), placed(shelf, PLACE).adopt("dry gulch", []), DAY, "all")
    assert "Nobody has read this edition yet." in checked.warnings
    assert "cautions are sentences" in wrong(shelf, PLACE + "cautions: [{a: b}]\n")
