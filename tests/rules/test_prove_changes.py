"""What a place says is proven with it and without it; and what its changes may say, in the small."""

from pathlib import Path

import pytest

from oktocover.reading.problems import InputProblems
from oktocover.rules.library import Library
from oktocover.rules.prove_changes import Told, in_force, prove_place

from .places import checked, shelf, verdict

ROOM = "{use: bedroom, ceiling: 7 ft 6 in}"


def told(folder: Path, text: str, **more: str) -> dict[str, Told]:
    """What came of each part of a town."""
    library = shelf(folder, town=text, **more)
    return {one.what: one for one in prove_place(library, library.place("town"), [])}


def sound(one: Told) -> bool:
    return one.failed == [] and one.not_proven == []


SWITCHED = """
place: Town
adopts: {all: {book: bk 1}}
changes:
  higher:
    cite: Code 1
    WHEN
    set: {bk.height.least: 8 ft}
    cases: [{rule: bk.height, given: {use: bedroom, ceiling: 7 ft 6 in, GIVEN}, verdict: VERDICT, was: met}]
"""


@pytest.mark.parametrize(
    ("when", "given", "wanted"),
    [
        ("from: 2026-01-01", "permit.applied: 2026-01-01", "not met"),
        ("from: 2026-01-01", "permit.applied: 2025-12-31", "met"),
        ("from: 2026-01-01", "permit.received: 2027-01-01", "not recorded"),
        ("until: 2026-01-01\n    by: received", "permit.received: 2025-12-31", "not met"),
        ("when: building.use == 'business'", "building.use: business", "not met"),
        ("when: building.use == 'business'", "building.use: accessory", "met"),
        ("status: proposed", "building.use: accessory", "not met"),
        ("from: asleep\n    wakes: the council votes", "building.use: accessory", "not met"),
    ],
)
def test_a_case_says_what_decides_whether_its_change_is_in_force(
    tmp_path: Path, when: str, given: str, wanted: str
) -> None:
    text = SWITCHED.replace("WHEN", when).replace("GIVEN", given).replace("VERDICT", wanted)
    found = told(tmp_path, text)["change higher"]
    assert found.failed == []
    assert bool(found.not_proven) == (wanted == "met")


def test_what_is_proposed_or_asleep_is_read_as_in_force_only_for_the_proof() -> None:
    assert in_force({"cite": "1", "status": "proposed"}) == {"cite": "1"}
    assert in_force({"from": "asleep", "wakes": "x", "set": {}}) == {"set": {}}
    assert in_force({"from": "2026-01-01"}) == {"from": "2026-01-01"}


ADOPTED = """
place: Town
adopts:
  houses:
    book: bk 2
    cite: Code 1
    PART
    cases: [{rule: RULE, given: {use: bedroom, ceiling: 7 ft 6 in, heated: no}, verdict: VERDICT, was: WAS}]
changes:
  warmer: {cite: Code 2, set: {bk.warm.section: "4.3"}}
"""


@pytest.mark.parametrize(
    ("part", "rule", "wanted", "was"),
    [
        ("note: all of it", "bk.height", "not met", "none"),
        ("without: sections 3.1", "bk.height", "none", "not met"),
        ("only: sections 3.1", "bk.warm", "none", "not met"),
    ],
)
def test_an_adoption_is_left_out_and_a_part_of_a_book_stands_beside_the_whole(
    tmp_path: Path, part: str, rule: str, wanted: str, was: str
) -> None:
    text = ADOPTED.replace("PART", part).replace("RULE", rule).replace("VERDICT", wanted).replace("WAS", was)
    assert sound(told(tmp_path, text)["adopts houses"])
    wrong = told(tmp_path / "b", text.replace(f"verdict: {wanted}", "verdict: met"))["adopts houses"]
    assert len(wrong.failed) == 1 and f"{wanted}, the case says met" in wrong.failed[0]


def test_a_word_on_stacking_is_proven_against_the_later_one_winning(tmp_path: Path) -> None:
    state = "place: State\nadopts: {all: {book: bk 1}}\nchanges: {s: {cite: Act 1, set: {bk.height.least: 8 ft}}}\n"
    town = f"""
place: Town
in: State
stacking:
  is: both apply
  cite: Code 9
  cases: [{{rule: bk.height, given: {ROOM}, verdict: not met, was: met}}]
changes:
  lower: {{cite: Code 1, set: {{bk.height.least: 7 ft 4 in}}}}
"""
    assert sound(told(tmp_path, town, state=state)["stacking"])


def test_a_bound_is_proven_in_a_place_below(tmp_path: Path) -> None:
    state = f"""
place: State
adopts: {{all: {{book: bk 1}}}}
bounds:
  rooms:
    rules: bk.height
    lower layers: may not weaken
    cite: Act 3
    cases: [{{place: town, rule: bk.height, given: {ROOM.replace("7 ft 6 in", "6 ft 10 in")}, verdict: error, was: met}}]
"""
    town = "place: Town\nin: State\nchanges: {low: {cite: Code 1, set: {bk.height.least: 6 ft 8 in}}}\n"
    library = shelf(tmp_path, state=state, town=town)
    found = {one.what: one for one in prove_place(library, library.place("state"), [])}
    assert sound(found["bound rooms"])


REACH = f"""
place: Town
adopts: {{all: {{book: bk 1}}}}
facts: {{site.on_town_power: {{type: yes or no, found by: paper, means: power of the town}}}}
reach:
  when: site.on_town_power
  cite: Code 14
  cases:
    - {{rule: bk.height, given: {ROOM.replace("}", ", site.on_town_power: no}")}, verdict: none, was: not met}}
    - {{rule: bk.height, given: {ROOM.replace("}", ", site.on_town_power: yes}")}, verdict: not met, was: not met}}
rules:
  own: {{title: Own, section: "1", trade: framing, stage: final, severity: advisory, each: space, look: seen, remedy: look, basis: {{check: common practice}}}}
changes:
  high: {{cite: Code 1, set: {{bk.height.least: 8 ft}}}}
"""


def test_a_place_speaks_only_where_it_reaches(tmp_path: Path) -> None:
    assert sound(told(tmp_path, REACH)["reach"])
    other = told(
        tmp_path / "b",
        REACH.replace("site.on_town_power: no}, verdict: none", "site.on_town_power: not recorded}, verdict: met"),
    )
    assert "not recorded, the case says met" in other["reach"].failed[0]


def test_reach_needs_a_condition(tmp_path: Path) -> None:
    with pytest.raises(InputProblems, match="says for which sites"):
        shelf(tmp_path, town="place: Town\nreach: {cite: Code 1}\n").place("town")


def problems(folder: Path, changes: str) -> list[str]:
    text = f"place: Town\nadopts: {{all: {{book: bk 1}}}}\nchanges:\n  c: {{cite: Code 1, {changes}}}\n"
    rules = shelf(folder, town=text).adopt("town", []).rules
    list(rules.rules())
    return [one.text() for one in (*rules.folded.problems, *rules.problems)]


def test_two_entries_of_one_list_are_struck_by_one_change(tmp_path: Path) -> None:
    book = (tmp_path / "bk/1").mkdir(parents=True) or tmp_path / "bk/1/more.yaml"
    book.write_text(
        'book: bk\nedition: "1"\nterms: {odd: {of: space, is: use in odds, limits: {odds: [hall, attic, '
        'porch]}, section: "9"}}\n'
    )
    assert problems(tmp_path, "strike: {bk.odd.odds.hall: permission gone, bk.odd.odds.attic: permission gone}") == []
    again = problems(tmp_path, "strike: {bk.odd.odds.hall: permission gone, bk.odd.odds.cellar: permission gone}")
    assert len(again) == 1 and "there is nothing called 'bk.odd.odds.cellar'" in again[0]


def test_a_limit_that_another_expression_leaves_unused_goes_with_it(tmp_path: Path) -> None:
    assert problems(tmp_path, "set: {bk.height.main: ceiling >= tall}, add: {bk.height: {limits: {tall: 7 ft}}}") == []
    assert "used nowhere" in problems(tmp_path, "add: {bk.height: {limits: {tall: 7 ft}}}")[0]


def test_to_add_to_every_rule_of_some_sections(tmp_path: Path) -> None:
    old = "add: {bk sections 3 to 4: {unless: {old: {when: building.begun < day, limits: {day: 1920-01-01}}}}}"
    assert problems(tmp_path, f"{old}, meant: yes") == []
    town = f"place: Town\nadopts: {{all: {{book: bk 1}}}}\nchanges:\n  c: {{cite: Code 1, {old}, meant: yes}}\n"
    adopted = shelf(tmp_path, town=town).adopt("town", [])
    assert verdict(adopted, building="begun: 1919-12-31", ceiling="6 ft") == "met"
    assert verdict(adopted, building="begun: 1920-01-01", ceiling="6 ft") == "not met"
    assert "no rule here stands in" in problems(tmp_path / "b", "add: {bk sections 8: {unless: {old: heated}}}")[0]


TAKEN = """
book: bk
edition: "3"
from: "1"
changes:
  more:
    cite: BK 3
    add:
      bk.height: {unless: {lofts: {when: use == 'kitchen', limits: {loft: 6 ft}, require: ceiling >= loft}}}
      bk.light: {title: Light, section: "5", trade: framing, stage: final, severity: advisory, each: space, look: seen, remedy: look, basis: {check: common practice}}
"""


def taken(folder: Path, what: str) -> Library:
    (folder / "bk/3").mkdir(parents=True)
    (folder / "bk/3/all.yaml").write_text(TAKEN.lstrip())
    town = f"place: Town\nadopts: {{all: {{book: bk 1}}}}\nchanges:\n  c: {{cite: Code 1, take: {{{what}: bk 3}}}}\n"
    return shelf(folder, town=town)


def test_take_brings_an_exception_or_a_rule_that_is_not_here_yet(tmp_path: Path) -> None:
    adopted = taken(tmp_path / "a", "bk.height.lofts").adopt("town", [])
    adopted.check_every()
    assert "lofts" in adopted.rules.rule("bk.height").body.unless  # type: ignore[union-attr]
    assert adopted.rules.rule("bk.light") is None
    adopted = taken(tmp_path / "b", "bk.light").adopt("town", [])
    adopted.check_every()
    assert adopted.rules.rule("bk.light") is not None
    assert [one.amended_by for one in checked(adopted).findings if one.rule == "bk.light"] == [("Town: Code 1",)]
    wrong = taken(tmp_path / "c", "bk.height.attics").adopt("town", []).rules.folded.problems
    assert "there is nothing called 'bk.height.attics' to take" in wrong[0].text()


def test_nothing_is_taken_into_a_book_that_is_not_in_force(tmp_path: Path) -> None:
    library = taken(tmp_path, "bk.light")
    town = (tmp_path / "jurisdictions" / "town.yaml").read_text()
    (tmp_path / "jurisdictions" / "other.yaml").write_text(
        town.replace("place: Town", "place: Other").replace("{book: bk 1}", "{book: bk 1, from: 2026-01-01}")
    )
    adopted = library.adopt("other", [])
    adopted.check_every()
    assert [variant.rules.rule("bk.light") is None for variant, _ in adopted.every()] == [True, False]


def test_a_folder_stacked_on_another_adds_to_its_editions(tmp_path: Path) -> None:
    shelf(tmp_path / "a", town="place: Town\nadopts: {all: {book: bk 1}}\n")
    more = tmp_path / "b" / "bk" / "1"
    more.mkdir(parents=True)
    (tmp_path / "b" / "jurisdictions").mkdir()
    (tmp_path / "b" / "jurisdictions" / "other.yaml").write_text("place: Other\nadopts: {all: {book: bk 1}}\n")
    (more / "light.yaml").write_text(
        'book: bk\nedition: "1"\nrules: {light: {title: Light, section: "5", trade: framing, stage: final, '
        "severity: advisory, each: space, look: seen, remedy: look, basis: {check: common practice}}}\n"
    )
    library = Library(tmp_path / "a", tmp_path / "b")
    for place in ("town", "other"):
        rules = library.adopt(place, []).rules
        assert {rules.rule("bk.light") is None, rules.rule("bk.height") is None} == {False}
    assert Library(tmp_path / "a").adopt("town", []).rules.rule("bk.light") is None
