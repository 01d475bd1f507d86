"""Whose word a place's changes are, and what of them no rule covers: loaded, counted, and printed on every report."""

import io
import json
from contextlib import redirect_stderr, redirect_stdout, suppress
from pathlib import Path

import pytest

from oktocover.cli.main import main
from oktocover.quantities import read_date
from oktocover.reading.problems import InputProblems
from oktocover.reports.worksheet import worksheet
from oktocover.rules.library import Library
from oktocover.rules.signed import office_words

DAY = read_date("2026-06-15")
BOOK = """
book: tst
edition: "1"
inspections: {rough: {title: Rough}}
rules:
  long:
    {title: Long, section: "1", trade: gas, stage: rough, severity: correction, each: gas_pipe, limits: {most: 6 ft},
     require: length <= most, remedy: Mend it., basis: {check: common practice}}
"""
STATE = "place: The State\nadopts: {gas: {book: tst 1}}\nchanges: {a: {cite: S 1, set: {tst.long.most: 5 ft}}}\n"
TOWN = """
place: Dry Gulch
in: the state
changes: {b: {cite: T 1, add: {tst.long: {items: {seen: {look: It is snug}}}}}}
not checked here:
  snow: {cite: Code 15.04, about: snow load by elevation}
  frost: depth of footings
"""
SIGNED = "checked by: {office: Dry Gulch Building, date: 2025-06-15, against: Ordinance 7}\n"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    root = tmp_path / "rulesets"
    (root / "tst" / "1").mkdir(parents=True)
    (root / "jurisdictions").mkdir()
    (root / "tst" / "1" / "a.yaml").write_text(BOOK)
    (root / "jurisdictions" / "the-state.yaml").write_text(STATE)
    (root / "jurisdictions" / "dry-gulch.yaml").write_text(TOWN)
    (tmp_path / "site.yaml").write_text(
        "permit: {jurisdiction: dry gulch}\ndescribed: {fuel gas: yes}\ngas pipes: {p: {length: 5 ft 1 in}}\n"
    )
    return root


def run(root: Path, *arguments: str) -> str:
    stream = io.TextIOWrapper(io.BytesIO(), encoding="utf-8", write_through=True)
    with redirect_stdout(stream), redirect_stderr(stream), suppress(SystemExit):
        main([arguments[0], str(root.parent / "site.yaml"), *arguments[1:], "--rulesets", str(root)])
    stream.seek(0)
    return " ".join(stream.read().split())


def place(root: Path, name: str) -> list:  # type: ignore[type-arg]
    adopted = Library(root).adopt(name, [])
    return [layer for layer in adopted.chain if layer not in adopted.standards]


def test_every_place_with_changes_is_named(root: Path) -> None:
    assert office_words(place(root, "dry gulch"), DAY) == "not checked by The State, nor by Dry Gulch"
    assert office_words(place(root, "the state"), DAY) == "not checked by the town"
    (root / "jurisdictions" / "dry-gulch.yaml").write_text(TOWN + SIGNED)
    assert office_words(place(root, "dry gulch"), DAY) == (
        "The State: not checked by the town; Dry Gulch: checked by Dry Gulch Building on 2025-06-15 "
        "against Ordinance 7, 12 months ago"
    )


@pytest.mark.parametrize(
    ("today", "said"),
    [("2026-06-14", "Ordinance 7"), ("2026-06-15", ", 12 months ago"), ("2026-08-15", ", 14 months ago")],
)
def test_a_signature_of_a_year_ago_says_its_age(root: Path, today: str, said: str) -> None:
    (root / "jurisdictions" / "the-state.yaml").write_text(STATE[: STATE.index("changes")])
    (root / "jurisdictions" / "dry-gulch.yaml").write_text(TOWN + SIGNED)
    assert office_words(place(root, "dry gulch"), read_date(today)).endswith(said)


def test_a_place_that_changes_nothing_needs_no_signature(root: Path) -> None:
    (root / "jurisdictions" / "the-state.yaml").write_text(STATE[: STATE.index("changes")])
    assert office_words(place(root, "the state"), DAY) == ""


def test_they_stand_on_every_report(root: Path) -> None:
    day = ("--today", "2026-06-15")
    screen = run(root, "check", *day)
    assert "Town changes: not checked by The State, nor by Dry Gulch" in screen
    assert "NOT CHECKED HERE, though the town changed it Code 15.04: snow load by elevation frost: depth of" in screen
    data = json.loads(run(root, "check", *day, "--format", "json"))
    assert data["checked_by"] == "not checked by The State, nor by Dry Gulch"
    assert data["not_checked_here"] == ["Code 15.04: snow load by elevation", "frost: depth of footings"]
    head = {"not_checked_here": data["not_checked_here"], "checked_by": data["checked_by"]}
    sheet = " ".join(worksheet("Length", "gas pipe p", ["TST 1 1"], [], "met", head).split())
    assert "Town changes: not checked by The State, nor by Dry Gulch" in sheet
    assert "changed too, and not checked here: Code 15.04: snow load by elevation; frost: depth of footings" in sheet


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("checked by: {ofice: x, date: 2026-01-15}\n", "did you mean 'office'?"),
        ("checked by: {date: 2026-01-15}\n", "a signature says which office"),
        ("checked by: {office: x, date: last year}\n", "'last year' is no date"),
        ("checked by: {office: x}\n", "is no date"),
    ],
)
def test_signatures_that_cannot_stand(root: Path, text: str, said: str) -> None:
    (root / "jurisdictions" / "dry-gulch.yaml").write_text(TOWN + text)
    with pytest.raises(InputProblems) as caught:
        Library(root).adopt("dry gulch", [])
    assert any(said in problem.text() for problem in caught.value.problems)


@pytest.mark.parametrize(
    ("entry", "said"),
    [("{cite: Code 1}", "does not say what it is about"), ("{site: x, about: y}", "did you mean 'cite'?")],
)
def test_what_is_not_checked_says_what_it_is(root: Path, entry: str, said: str) -> None:
    (root / "jurisdictions" / "dry-gulch.yaml").write_text(TOWN.replace("depth of footings", entry))
    with pytest.raises(InputProblems) as caught:
        Library(root).adopt("dry gulch", [])
    assert any(said in problem.text() for problem in caught.value.problems)
