"""Absent is not false: taking facts, elements or statements out of a whole site, with its lists reopened, leaves each
verdict that is still asked for the same, or turns it into 'not recorded'. Nothing else may happen.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, note, settings
from hypothesis import strategies as st
from removing import LARGE, Removal, removals, take_out
from sites import EXAMPLES, adopted_for, data_of, judged, verdicts, written_in

MORE = int(os.environ.get("REMOVALS", "1"))
"""How many times as many sites are tried: REMOVALS=20 for a long run."""
BASE: dict[Path, tuple[dict[str, Any], Any, dict[tuple[str, str], str]]] = {}


def base(path: Path) -> tuple[dict[str, Any], Any, dict[tuple[str, str], str]]:
    if path not in BASE:
        data = data_of(path)
        adopted = adopted_for(data, path.parent)
        BASE[path] = data, adopted, verdicts(judged(data, adopted))
    return BASE[path]


def some(data: dict[str, Any]) -> st.SearchStrategy[list[Removal]]:
    """Many removals that open little and a few that open much: each verdict rests on few facts, so that one site tells
    of some thirty removals.
    """
    small = [one for one in removals(data) if one[0] not in LARGE]
    large = [one for one in removals(data) if one[0] in LARGE]
    many = st.lists(st.sampled_from(small), min_size=1, max_size=50, unique=True)
    return st.tuples(many, st.lists(st.sampled_from(large), max_size=2, unique=True)).map(lambda both: both[0] + both[1])


def check_that_nothing_turned(path: Path, data: dict[str, Any], taken: list[Removal]) -> None:
    _, adopted, before = base(path)
    after = verdicts(judged(take_out(data, taken), adopted))
    for key, verdict in after.items():
        if key in before and verdict not in (before[key], "not recorded"):
            note(f"taken out: {taken}")
            pytest.fail(f"{key}: {before[key]} became {verdict} after taking out {taken}")


def named(path: Path) -> str:
    return f"{path.parent.name}/{path.name}"


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
@settings(max_examples=5 * MORE, deadline=None, suppress_health_check=list(HealthCheck))
@given(choice=st.data())
def test_removing_leaves_each_verdict_the_same_or_not_recorded(path: Path, choice: st.DataObject) -> None:
    data = base(path)[0]
    check_that_nothing_turned(path, data, choice.draw(some(data)))


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
@settings(max_examples=7 * MORE, deadline=None, suppress_health_check=list(HealthCheck))
@given(choice=st.data())
def test_removing_from_the_short_form_leaves_each_verdict_the_same_or_not_recorded(
    path: Path, choice: st.DataObject
) -> None:
    """The same of a site as it is written: rows and ids of rows, chains, lines about walls, classes of framing, tables,
    typicals, statements, lists named in statements, assumptions.
    """
    data = written_in(path)
    check_that_nothing_turned(path, data, choice.draw(some(data)))
