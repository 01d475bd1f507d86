"""Fingerprints of rules: the same for the same words, another when a number, a term or a table below may turn a verdict."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from oktocover.rules.fingerprints import LENGTH, changed_since, fingerprints
from oktocover.rules.library import Library

BASIS = {"check": "common practice"}
BOOK: dict[str, Any] = {
    "book": "tst",
    "edition": "1",
    "usual": {"trade": "gas", "stage": "test", "severity": "correction"},
    "inspections": {"test": {"title": "Test"}},
    "rules": {
        "held": {
            "title": "Held", "section": "1", "each": "gas_test", "limits": {"least": "10 min"}, "require": "held >= least",
            "remedy": "Hold it.", "basis": BASIS,
        },
        "small": {
            "title": "Small", "section": "2", "each": "gas_test", "require": "enough", "remedy": "Hold it.", "basis": BASIS,
        },
        "row": {
            "title": "Row", "section": "3", "each": "gas_test", "require": "full_scale <= scales[gauge].most",
            "remedy": "Another.", "basis": BASIS,
        },
    },
}  # fmt: skip
BOOK["terms"] = {
    "enough": {"of": "gas_test", "is": "longer and pressure >= some_pressure", "limits": {"some_pressure": "3 psi"}},
    "longer": {"of": "gas_test", "is": "held >= least", "limits": {"least": "10 min"}},
}
BOOK["tables"] = {
    "scales": {
        "section": "T3", "keys": {"gauge": "word"}, "columns": ["most"], "rows": {"dial": {"most": "15 psi"}, "digital": {"most": "30 psi"}},
        "basis": BASIS,
    }
}  # fmt: skip


def prints(folder: Path, book: dict[str, Any], place: dict[str, Any] | None = None) -> dict[str, str]:
    """The fingerprints of a place that adopts the book."""
    for name in ("tst/1", "jurisdictions"):
        (folder / name).mkdir(parents=True, exist_ok=True)
    (folder / "tst" / "1" / "rules.yaml").write_text(json.dumps(book), encoding="utf-8")
    town = {"place": "Town", "adopts": {"gas": {"book": "tst 1"}}, **(place or {})}
    (folder / "jurisdictions" / "town.yaml").write_text(json.dumps(town), encoding="utf-8")
    adopted = Library(folder).adopt("town", [])
    adopted.check_every()
    return fingerprints(adopted)


def with_(path: str, value: Any) -> dict[str, Any]:
    """The book with one thing otherwise."""
    made = copy.deepcopy(BOOK)
    node: Any = made
    *keys, last = path.split("/")
    for key in keys:
        node = node[key]
    assert node.get(last) != value
    node[last] = value
    return made


def turned(folder: Path, book: dict[str, Any], place: dict[str, Any] | None = None) -> dict[str, str]:
    """Which rules are not as they were in the book as it stands."""
    before = prints(folder / "before", BOOK)
    assert set(before) == {"tst.held", "tst.small", "tst.row"} and {len(says) for says in before.values()} == {LENGTH}
    return dict(changed_since(before, prints(folder / "after", book, place)))


@pytest.mark.parametrize(("path", "value", "rules"), [
    ("rules/held/limits/least", "11 min", {"tst.held"}),
    ("rules/held/require", "held > least", {"tst.held"}),
    ("rules/held/severity", "hazard", {"tst.held"}),
    ("rules/held/unless", {"old": "full_scale >= least_scale"}, {"tst.held"}),
    ("terms/longer/limits/least", "11 min", {"tst.small"}),
    ("terms/enough/limits/some_pressure", "4 psi", {"tst.small"}),
    ("tables/scales/rows/dial/most", "14 psi", {"tst.row"}),
    ("rules/held/title", "Held for long", set()),
    ("rules/held/remedy", "Hold it for longer.", set()),
    ("rules/held/section", "1.1", set()),
    ("rules/held/note", "A note.", set()),
    ("rules/held/basis", {"check": "memory"}, set()),
    ("tables/scales/section", "T4", set()),
])  # fmt: skip
def test_another_word_is_another_print_where_it_may_turn_a_verdict(
    path: str, value: Any, rules: set[str], tmp_path: Path
) -> None:
    book = with_(path, value)
    if path.endswith("unless"):
        book["rules"]["held"]["limits"]["least_scale"] = "30 psi"
    assert turned(tmp_path, book) == dict.fromkeys(rules, "changed")


def test_a_change_of_a_place_is_another_print(tmp_path: Path) -> None:
    longer = {"changes": {"longer": {"cite": "Code 1", "set": {"tst.held.least": "15 min"}}}}
    assert turned(tmp_path, BOOK, longer) == {"tst.held": "changed"}


def test_rules_that_came_and_went(tmp_path: Path) -> None:
    book = copy.deepcopy(BOOK)
    book["rules"]["hold"] = book["rules"].pop("held")
    assert turned(tmp_path, book) == {"tst.hold": "new", "tst.held": "gone"}


def test_the_order_in_a_file_is_no_change(tmp_path: Path) -> None:
    book = copy.deepcopy(BOOK)
    for section in ("rules", "terms"):
        book[section] = dict(reversed(book[section].items()))
    assert turned(tmp_path, book) == {}


def test_a_town_turns_just_the_rules_it_changes() -> None:
    """Tallow Creek holds the test of small piping longer, on the same books as the model codes but for the wiring's edition."""
    library = Library()
    gas = [
        {name: says for name, says in fingerprints(library.adopt(place, [])).items() if name.startswith("ifgc.")}
        for place in ("model codes", "tallow creek")
    ]
    assert dict(changed_since(*gas)) == {"ifgc.test-hold": "changed"}
