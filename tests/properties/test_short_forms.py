"""A whole building written in the short forms has the verdicts of its long form, and taking things out of it never turns
one into another."""

from __future__ import annotations

import copy
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, note, settings
from hypothesis import strategies as st
from removing import removals, take_out
from sites import EXAMPLES, adopted_for, data_of, judged, read, verdicts

from oktocover.reading.short.one_by_one import ALL, ONE_BY_ONE, one_by_one
from oktocover.reading.short.work import NOT_FACTS

SPREAD, TABLED = "receptacles", "gas pipes"
SIGNED = {"by": "M.K.", "day": "2026-06-10", "known": "measured"}
Data = dict[str, Any]


def with_rows(data: Data) -> None:
    """All receptacles in one row, a blank where one of them lacks a fact."""
    entries = data.pop(SPREAD)
    facts = dict.fromkeys(key for one in entries.values() for key in one)
    spread = {key: [one.get(key) for one in entries.values()] for key in facts}
    shared = {key: values[0] if len(set(map(str, values))) == 1 else values for key, values in spread.items()}
    data["rows"] = [{"list": SPREAD, "ids": list(entries), **shared}]


def with_tables(data: Data) -> None:
    """The gas pipes as a table."""
    data["tables"] = {TABLED: [{"id": one, **facts} for one, facts in data.pop(TABLED).items()]}


def with_statements(data: Data) -> int:
    """What all elements of a list (or all of one sort) say alike, as a statement; how many facts it replaced."""
    replaced = 0
    for name in [key for key, value in data.items() if isinstance(value, dict)]:
        entries = data[name]
        if ONE_BY_ONE.get(name) == ALL or len(entries) < 2 or not all(isinstance(one, dict) for one in entries.values()):
            continue
        first, *others = entries.values()
        alike = {
            fact: value
            for fact, value in first.items()
            if fact not in NOT_FACTS and isinstance(value, str) and all(one.get(fact) == value for one in others)
        }
        alike = {fact: value for fact, value in alike.items() if not one_by_one(name, fact)}
        if not alike or name in ("permit", "described", "levels", "project", "still to come"):
            continue
        data[name] = {one: {k: v for k, v in facts.items() if k not in alike} for one, facts in entries.items()}
        data["looked"].append({"all": name, "are": alike, "ids": list(entries), **SIGNED})
        replaced += len(alike) * len(entries)
    return replaced


@cache
def written_short(path: Path) -> tuple[Data, int]:
    """An example in the short forms, and how many of its facts statements say."""
    data = copy.deepcopy(data_of(path))
    replaced = with_statements(data)
    with_rows(data)
    with_tables(data)
    return data, replaced


@cache
def judged_short(path: Path) -> tuple[Data, Any, Any]:
    """An example in the short forms, its rules, and its verdicts before anything is taken out."""
    short, _ = written_short(path)
    adopted = adopted_for(short, path.parent)
    return short, adopted, verdicts(judged(short, adopted))


BUILDINGS = [path for path in EXAMPLES if {SPREAD, TABLED} <= set(data_of(path))]


def test_there_is_a_building_large_enough() -> None:
    assert max(written_short(path)[1] for path in BUILDINGS) > 40


@pytest.mark.parametrize("path", BUILDINGS, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_the_short_form_has_the_verdicts_of_the_long_one(path: Path) -> None:
    long, (short, _) = data_of(path), written_short(path)
    adopted = adopted_for(long, path.parent)
    assert verdicts(judged(short, adopted)) == verdicts(judged(long, adopted))


@pytest.mark.parametrize("path", BUILDINGS, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_a_blank_row_value_or_cell_is_a_blank(path: Path) -> None:
    """The long form of the short form is the site again, fact by fact."""
    long, (short, _) = data_of(path), written_short(path)
    for name in (SPREAD, TABLED):
        field = name.replace(" ", "_")
        assert getattr(read(short).site, field) == getattr(read(long).site, field)


@pytest.mark.parametrize("path", BUILDINGS, ids=lambda path: f"{path.parent.name}/{path.name}")
@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(choice=st.data())
def test_taking_things_out_of_it_turns_no_verdict_into_another(path: Path, choice: st.DataObject) -> None:
    short, adopted, before = judged_short(path)
    kinds = removals(short)
    forms = [one for one in kinds if one[0] in ("row", "ids", "row fact", "table", "table row", "table cell", "statement")]
    taken = choice.draw(st.lists(st.sampled_from(forms) | st.sampled_from(kinds), min_size=1, max_size=5, unique=True))
    after = verdicts(judged(take_out(short, taken), adopted))
    for key, verdict in after.items():
        if key in before and verdict not in (before[key], "not recorded"):
            note(f"taken out: {taken}")
            pytest.fail(f"{key}: {before[key]} became {verdict} after taking out {taken}")
