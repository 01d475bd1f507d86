"""Absent is not false on the inspection card: taking records out never makes a visit ready that was not ready with them.

What is taken out is what a person writes down: facts, signatures, papers, answers, the office's word. An inspector's open
correction and a difference from the plans are somebody's bad news, not a record that may be missing; they stay.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from card_sites import LONG_WAY, ONE_VISIT, card_of, shed, shelf, states
from hypothesis import HealthCheck, given, note, settings
from hypothesis import strategies as st

from oktocover.rules.library import Library

Path_ = tuple[str, ...]
ASKS = {"trade": "fire", "only_if": "building.storeys > few", "limits": {"few": "1"}, "after": {"close": "7"}}
PLACES: dict[str, dict[str, Any]] = {
    "long way": LONG_WAY,
    "one visit": ONE_VISIT,
    "seal for tall ones": {**LONG_WAY, "inspections": {"seal": ASKS}},
}
SITE = shed(
    building={"storeys": "1"},
    permit={"occupancy": "accessory", "visits": {"rough": {"signed": "2026-06-01", "by": "building office"}}},
    receptacles={"R-1": {"wall": "shed.north", "at": "4 ft", "height": "44 in", "added": "2026-06-02"}},
    not_held={"seal": {"office": "building office", "day": "2026-06-01"}},
    at_the_visit={"test": {"on gauge": "yes", "log": "yes"}},
    approved={"set": "A-1", "date": "2026-04-02"},
    differs_from_plans=[{"what": "door moved", "approved in writing": "yes"}],
    corrections=[{"visit": "wires", "what": "x", "given": "2026-06-03", "done": "2026-06-04", "how shown": "photo"}],
)
HAS = {"long way": SITE, "seal for tall ones": SITE}
"""In a place that takes visits in, those are none that could be signed, answered or not held."""


def site_of(place: str) -> dict[str, Any]:
    if place in HAS:
        return copy.deepcopy(HAS[place])
    site = copy.deepcopy(SITE)
    site["permit"]["visits"], site["not held"], site["at the visit"] = {}, {}, {}
    site["corrections"][0]["visit"] = "open walls"
    return site


def records(site: dict[str, Any]) -> Iterator[Path_]:
    """Every record that may be missing, by its path."""
    yield from (("described", one) for one in site["described"])
    yield from (("permit", "visits", one) for one in site["permit"]["visits"])
    yield from (("not held", one) for one in site["not held"])
    yield from (("at the visit", one, line) for one, lines in site["at the visit"].items() for line in lines)
    yield from (("approved", one) for one in site["approved"])
    yield from (("work by", "gas", one) for one in site["work by"]["gas"])
    yield ("building", "storeys")
    yield ("differs from plans", "0", "approved in writing")
    yield ("differs from plans",)
    yield from (("corrections", "0", one) for one in ("done", "how shown"))
    for name in ("spaces", "receptacles", "gas pipes", "gas tests"):
        for one, facts in site[name].items():
            yield from ((name, one, fact) for fact in facts if fact not in ("wall", "size", "at", "from", "of"))


def without(site: dict[str, Any], taken: list[Path_]) -> dict[str, Any]:
    left: Any = copy.deepcopy(site)
    for path in sorted(taken, key=len, reverse=True):
        node = left
        for step in path[:-1]:
            node = node[int(step)] if isinstance(node, list) else node[step]
        del node[path[-1]]
    return dict(left)


@pytest.fixture(scope="module")
def shelves(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Library]:
    return {name: shelf(tmp_path_factory.mktemp("rules"), place) for name, place in PLACES.items()}


@pytest.mark.parametrize("place", PLACES)
@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(choice=st.data())
def test_taking_records_out_never_makes_a_visit_ready(
    place: str, shelves: dict[str, Library], choice: st.DataObject
) -> None:
    site = site_of(place)
    every = sorted(records(site))
    some = choice.draw(st.lists(st.sampled_from(every), max_size=4, unique=True))
    more = choice.draw(st.lists(st.sampled_from(every), min_size=1, max_size=4, unique=True))
    note(f"taken out: {some}, then {more}")
    before = states(card_of(Path(), without(site, some), library=shelves[place]))
    after = states(card_of(Path(), without(site, list({*some, *more})), library=shelves[place]))
    assert not newly_ready(before, after)


def newly_ready(before: dict[str, str], after: dict[str, str]) -> list[str]:
    """Visits that are ready to call, and were neither that nor signed nor off the card with more records."""
    fine = ("ready to call", "signed", "not on the card")
    return [name for name, state in after.items() if state == "ready to call" and before.get(name, fine[2]) not in fine]


def test_any_two_papers_taken_out_one_after_the_other(shelves: dict[str, Library]) -> None:
    papers = [
        path for path in sorted(records(SITE)) if path[0] not in ("spaces", "receptacles", "gas pipes", "gas tests")
    ]
    found = {
        frozenset(taken): states(card_of(Path(), without(SITE, list(taken)), library=shelves["long way"]))
        for taken in [(), *((one,) for one in papers), *combinations(papers, 2)]
    }
    for taken, after in found.items():
        for one in taken:
            assert not newly_ready(found[taken - {one}], after), (sorted(taken), one)


def test_the_site_of_the_property_is_ready_as_it_stands(shelves: dict[str, Library]) -> None:
    found = states(card_of(Path(), SITE, library=shelves["long way"]))
    assert found["wires"] == found["test"] == "ready to call"
    assert states(card_of(Path(), site_of("one visit"), library=shelves["one visit"]))["open walls"] == "ready to call"
