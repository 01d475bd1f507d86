"""Wiring written short: what is taken out of it may leave a figure less sure, and never makes another one of it."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, note, settings
from hypothesis import strategies as st
from sites import ROOT, adopted_for, judged, read, verdicts
from test_absence import removals, take_out

from oktocover.measures.values import Fact, Members, Range, Unknown
from oktocover.measures.view import SiteView
from oktocover.reading.nodes import read_yaml

SHORT = """\
site: Shop
permit: {jurisdiction: Tallow Creek, occupancy: accessory}
described: {electrical: yes}
measured to: bare framing
spaces:
  shop: {use: workshop, size: 24 ft x 20 ft, ceiling: 9 ft}
typicals:
  box-1: {material: plastic, volume: 20.3 cu in, gangs: 1, clamps: built in, fittings: none, extension: none, terminal blocks: none}
panels:
  P-1: {wall: shop.west, at: 2 ft, height: 60 in}
receptacles:
  R-1: {wall: shop.north, at: 3 ft, height: 44 in, what: 5-20 duplex, box: box-1, gfci: yes, goes on: load}
  R-2: {wall: shop.north, at: 9 ft, height: 44 in, what: 5-20 duplex, box: box-1}
  R-3: {wall: shop.east, at: 4 ft, height: 44 in, what: 5-20 duplex, box: B-2}
  R-4: {wall: shop.south, at: 4 ft, height: 44 in, what: 5-20 duplex, box: box-1}
switches:
  S-1: {wall: shop.east, at: 4 ft, height: 44 in, what: single pole, box: B-2}
lights:
  L-1: {space: shop, what: surface}
boxes:
  B-2: {wall: shop.east, at: 4 ft, material: plastic, volume: 34 cu in, gangs: 2, clamps: built in, fittings: none}
circuits:
  C-1: {panel: P-1, breaker: 20 A, cable: 12-2 NM-B, chain: [P-1, R-1, [R-4], R-2, R-3, S-1, {L-1: 14-3 NM-B}], whole: yes}
  C-2: {panel: P-1, breaker: 20 A, cable: 12-2 NM-B, drop: 10 ft, slack: 6 in}
cables:
  C-1 to R-2: {length: 9 ft}
holes:
  N1: {space: shop, member: stud, for: cable, size: 1 in, edge: 7/8 in, plate: 1/16 in}
looked:
  - {list: circuits, whole: yes, by: M.K., day: 2026-05-03}
  - {list: cables, whole: yes, by: M.K., day: 2026-05-03}
  - {list: receptacles, in: shop, whole: yes, by: M.K., day: 2026-05-03}
  - {list: switches, in: shop, whole: yes, by: M.K., day: 2026-05-03}
  - {all: holes, in: shop, where: {member: stud, for: cable}, are: {edge: at least 1-1/4 in}, by: M.K., day: 2026-05-03, count: 40, except: [N1]}
  - {all: cables, are: {supports: at most 4 ft apart}, by: M.K., day: 2026-05-03, count: 6}
"""
FACTS = {
    "box": ("cables", "devices", "conductors", "ground_wires"),
    "cable": ("run", "insulated", "ground_size"),
    "receptacle": ("fed_by", "upstream", "downstream", "from_panel", "gangs"),
    "light": ("fed_by", "upstream", "from_panel"),
    "circuit": ("receptacles", "switches", "lights", "cables", "farthest"),
    "framing_hole": ("cables_through",),
}
Key = tuple[str, str, str]


def data(form: str) -> dict[str, Any]:
    """The shop, as it is written or in its long form."""
    written: Any = read_yaml(SHORT, "site.yaml").data
    return copy.deepcopy(written if form == "short" else read(written).expanded)


def worked_out(site: dict[str, Any]) -> dict[Key, Fact]:
    found = read(site)
    view = SiteView(found.site, found.known)
    return {
        (kind, one.id, fact): one.fact(fact) for kind, facts in FACTS.items() for one in view.of(kind) for fact in facts
    }


def ends(value: Any) -> tuple[float, float]:
    if isinstance(value, Unknown):
        return float("-inf"), float("inf")
    if isinstance(value, Range):
        return (float("-inf") if value.low is None else value.low, float("inf") if value.high is None else value.high)
    return value, value


def no_more(before: Any, after: Any) -> bool:
    """Whether what is known after says nothing that was not known, and nothing else."""
    if isinstance(before, Members) or isinstance(after, Members):
        if not (isinstance(before, Members) and isinstance(after, Members)):
            return False
        there, left = ({one.id for one in members.sure} for members in (before, after))
        return left <= there and (after.open or (left == there and not before.open))
    if isinstance(after, Unknown):
        return True
    if not isinstance(after, Range) and not hasattr(after, "numerator"):
        return getattr(before, "id", before) == getattr(after, "id", after)
    return ends(after)[0] <= ends(before)[0] and ends(before)[1] <= ends(after)[1]


BEFORE = {form: worked_out(data(form)) for form in ("short", "long")}


def test_the_shop_has_figures_to_lose() -> None:
    before = BEFORE["short"]
    sure = [key for key, fact in before.items() if not isinstance(fact.value, Unknown)]
    assert len(sure) > 40
    assert before["box", "R-1 box", "conductors"].value == 6
    assert before["box", "B-2", "conductors"].value == 5
    assert before["framing_hole", "N1", "cables_through"].value.high == 5


@pytest.mark.parametrize("form", ["short", "long"])
@settings(max_examples=200, deadline=None, suppress_health_check=list(HealthCheck))
@given(choice=st.data())
def test_a_figure_never_becomes_another_one(form: str, choice: st.DataObject) -> None:
    site = data(form)
    taken = choice.draw(st.lists(st.sampled_from(removals(site)), min_size=1, max_size=5, unique=True))
    after = worked_out(take_out(site, taken))
    for key, fact in after.items():
        if key in BEFORE[form] and not no_more(BEFORE[form][key].value, fact.value):
            note(f"taken out: {taken}")
            pytest.fail(f"{key}: {BEFORE[form][key].value} became {fact.value} after taking out {taken}")


def test_both_forms_have_the_same_verdicts() -> None:
    adopted = adopted_for(data("short"), ROOT / "examples" / "ceramics-studio")
    assert verdicts(judged(data("short"), adopted)) == verdicts(judged(data("long"), adopted))


@pytest.mark.parametrize("form", ["short", "long"])
@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(choice=st.data())
def test_a_verdict_stays_or_becomes_not_recorded(form: str, choice: st.DataObject) -> None:
    site = data(form)
    adopted = adopted_for(site, Path(ROOT / "examples" / "ceramics-studio"))
    before = verdicts(judged(site, adopted))
    taken = choice.draw(st.lists(st.sampled_from(removals(site)), min_size=1, max_size=5, unique=True))
    after = verdicts(judged(take_out(site, taken), adopted))
    for key, verdict in after.items():
        if key in before and verdict not in (before[key], "not recorded"):
            pytest.fail(f"{key}: {before[key]} became {verdict} after taking out {taken}")
