"""Assumptions: common values adopted by name."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path

import pytest

from oktocover.check import check
from oktocover.measures import registry, trades
from oktocover.reading.short.assumptions import common_values
from oktocover.reading.short.one_by_one import one_by_one
from oktocover.reading.short.work import classes, facts_of
from oktocover.reading.site_file import SiteFile
from oktocover.rules.library import Library
from oktocover.site.base import spaced

assert trades
Read = Callable[..., SiteFile]
ROOT = Path(__file__).resolve().parents[3]
BURNING = """\
described: {fuel gas: none, fuel burning appliances: yes, electrical: none, rated walls: none}
permit: {occupancy: accessory}
measured to: finished face
looked:
  - {list: appliances, whole: yes, by: M.K., day: 2026-05-03}
  - {list: openings, whole: yes, by: M.K., day: 2026-05-03}
  - {list: air openings, whole: yes, by: M.K., day: 2026-05-03}
appliances: {BO-1: {space: store, what: boiler, fuel: natural gas, input: 10000 Btu/h, draft: natural draft, room air: yes}}
"""


def test_it_is_given_where_nobody_has_said_it(read: Read) -> None:
    found = read("assume: [infiltration not known]\n")
    assert {one.infiltration_known for one in found.site.spaces.values()} == {False}
    assert found.known == {("spaces", room, "infiltration known"): "assumed" for room in ("studio", "store")}
    assert found.place(("spaces", "studio", "infiltration known")).line == 5
    assert found.site.assume == []
    (told,) = found.rests_on
    assert told == "assumed infiltration not known (2 spaces)"


def test_what_is_recorded_stands(read: Read) -> None:
    rooms = (
        "rows:\n"
        "  - {list: spaces, ids: [a], infiltration known: yes}\n"
        "  - {list: spaces, ids: [b], infiltration: 0.5 ACH}\n"
        "  - {list: spaces, ids: [c], known: planned}\n"
    )
    found = read(rooms + "assume: [infiltration not known]\n")
    spaces = found.site.spaces
    assert spaces["a"].infiltration_known is True and spaces["b"].infiltration_known is None
    assert found.known["spaces", "c", "infiltration known"] == "planned"
    assert "3 spaces" in found.rests_on[0]
    one = read("rows: [{list: spaces, ids: [studio-2], infiltration known: no}]\nassume: [receptacles for general use]\n"
               "receptacles: {R: {}}\n")
    assert one.rests_on == ["assumed receptacles for general use (1 receptacle)"]
    assert read("assume: []\n").rests_on == [] and read("assume:\n").rests_on == []


def test_no_visit_is_ready_on_it_and_no_hazard_is_settled_by_it(read: Read) -> None:
    """The room is large enough by the standard method, which may be used when the air change is not known."""
    verdicts = {}
    for name, line in {
        "recorded": "rows: [{list: spaces, ids: [a], infiltration known: no}]\n",
        "assumed": "assume: [infiltration not known]\nrows: [{list: spaces, ids: [a]}]\n",
        "nothing": "rows: [{list: spaces, ids: [a]}]\n",
    }.items():
        room = line.replace("ids: [a]", "ids: [a], size: 20 ft x 20 ft, ceiling: 9 ft")
        text = BURNING.replace("space: store", "space: a") + room
        day = datetime.date(2026, 6, 15)
        found = read(text)
        checked = check(found, Library(ROOT / "rulesets").adopt(None, [], ROOT), day, "all")
        (verdicts[name],) = {one.verdict for one in checked.findings if one.rule == "ifgc.combustion-air"}
        assert any(told.startswith("assumed ") for told in checked.rests_on) is (name == "assumed")
    assert verdicts == {"recorded": "met", "assumed": "not recorded", "nothing": "not recorded"}


def test_names_that_are_not_listed(read: Read, refused: Callable[..., list[str]]) -> None:
    (one,) = refused("assume: [infiltration not knwon]\n")
    assert one.startswith("site.yaml:5: 'infiltration not knwon' is no common value of rulesets/common-values.yaml")
    assert one.endswith("did you mean 'infiltration not known'?")
    (two,) = refused("assume: infiltration not known\n")
    assert two.startswith("site.yaml:5: assumptions are a list of names")
    (three,) = refused("assume: [{a: b}]\n")
    assert "is no common value" in three


@pytest.mark.parametrize("name", common_values())
def test_each_listed_value_is_a_fact_that_rules_read(name: str, read: Read) -> None:
    value = common_values()[name]
    assert value.reason and value.basis["check"] in ("seen", "memory", "common practice")
    rules = "\n".join(path.read_text("utf-8") for path in (ROOT / "rulesets").glob("*/*/*/*.yaml") if "cases" not in path.name)
    for fact, written in value.facts.items():
        assert fact in facts_of(value.list) and not one_by_one(value.list, fact)
        assert fact.replace(" ", "_") in registry.KINDS[classes()[value.list].kind].facts
        assert fact.replace(" ", "_") in rules
        field = next(key for key in classes()[value.list].model_fields if spaced(key) == fact)
        assert getattr(classes()[value.list].model_validate({fact: written}), field) is not None
    for fact in (*value.where, *value.lacks):
        assert fact in facts_of(value.list)


def test_an_editor_completes_assumptions(fits: Callable[[str], list[str]]) -> None:
    assert fits("assume: [infiltration not known]") == []
    assert fits("assume: [infiltration]")
