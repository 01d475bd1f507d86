"""The gas piping as a tree: what each section feeds, which way the gas goes to each end, and what an open list leaves open."""

from __future__ import annotations

import datetime
import itertools
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import oktocover.measures.trades as trades
from oktocover.measures.gas_network import Network
from oktocover.measures.subject import Subject
from oktocover.measures.values import Members
from oktocover.measures.view import SiteView
from oktocover.reading.nodes import Document, read_yaml
from oktocover.reading.problems import InputProblems
from oktocover.reading.site_file import make_site, read_site_text
from oktocover.rules.evaluate import judge
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

assert trades
DAY = datetime.date(2026, 5, 4)
SHOP = """
described: {fuel gas: yes}
gas systems: {street: {gas: natural gas}, house: {gas: natural gas}}
gas meters: {M: {of: street}}
gas regulators: {R: {after: P1, feeds: house}}
gas pipes:
  P1: {from: M, length: 10 ft}
  P2: {from: R, length: 20 ft}
  P3: {from: P2, to: KILN, length: 5 ft}
  P4: {from: P2, length: 6 ft}
  P5: {from: P4, to: HEATER, length: 7 ft}
  P6: {from: P4, to: GRILL, length: 8 ft}
gas outlets: {GRILL: {load: "60,000 Btu/h"}}
appliances:
  KILN: {fuel: natural gas, input: "100,000 Btu/h"}
  HEATER: {fuel: natural gas, input: "40,000 Btu/h"}
"""
WHOLE = """
looked:
  - {list: gas systems, whole: yes, by: M.K., day: 2026-05-03}
  - {list: gas pipes, whole: yes, by: M.K., day: 2026-05-03}
"""


def view_of(text: str) -> SiteView:
    return SiteView(read_site_text(text, "site.yaml", DAY).site)


def section(view: SiteView, name: str) -> Subject:
    return next(one for one in view.of("gas_section") if one.id == name)


def end(view: SiteView, name: str) -> Subject:
    return next(one for one in view.of("gas_end") if one.id == name)


def ids(value: Any) -> list[str]:
    assert isinstance(value, Members)
    return [one.id for one in value.sure]


def missing(value: Any) -> set[str]:
    assert isinstance(value, Members)
    assert value.open is bool(value.missing)
    return {f"{one.element} {one.fact}" for one in value.missing}


def test_a_section_feeds_all_that_its_gas_goes_to_also_after_a_regulator() -> None:
    view = view_of(SHOP + WHOLE)
    assert ids(section(view, "P1").value("served")) == ["KILN", "HEATER", "GRILL"]
    assert ids(section(view, "P4").value("served")) == ["HEATER", "GRILL"]
    assert not section(view, "P1").value("served").open
    assert not section(view, "P4").value("served").open


def test_lengths_start_anew_at_a_regulator() -> None:
    view = view_of(SHOP + WHOLE)
    assert ids(section(view, "P1").value("ends")) == ["R"]
    assert ids(section(view, "P1").value("all_ends")) == ["R"]
    assert ids(section(view, "P2").value("all_ends")) == ["KILN", "HEATER", "GRILL"]
    assert ids(section(view, "P4").value("ends")) == ["HEATER", "GRILL"]
    assert ids(end(view, "GRILL").value("route")) == ["P2", "P4", "P6"]
    assert ids(end(view, "R").value("served")) == ["KILN", "HEATER", "GRILL"]


def test_what_an_end_is_and_asks_for() -> None:
    view = view_of(SHOP + WHOLE)
    assert {one.id: one.value("what") for one in view.of("gas_end")} == {
        "R": "regulator", "KILN": "appliance", "HEATER": "appliance", "GRILL": "outlet",
    }  # fmt: skip
    assert {name: end(view, name).value("input") for name in ("KILN", "GRILL")} == {"KILN": 100_000, "GRILL": 60_000}


def test_an_outlet_with_an_appliance_asks_for_what_its_plate_says() -> None:
    view = view_of(SHOP.replace('GRILL: {load: "60,000 Btu/h"}', "GRILL: {appliance: HEATER}") + WHOLE)
    assert end(view, "GRILL").value("input") == 40_000


def test_a_pipe_that_ends_nowhere_is_an_end_nobody_wrote() -> None:
    view = view_of(SHOP.replace("to: KILN, ", "") + WHOLE)
    found = end(view, "P3")
    assert found.value("what") == "not written"
    assert [f"{one.element} {one.fact}" for one in found.value("input").missing] == ["P3 to"]
    assert ids(section(view, "P2").value("served")) == ["P3", "HEATER", "GRILL"]


def test_an_open_list_of_pipes_leaves_open_what_a_section_feeds() -> None:
    view = view_of(SHOP)
    assert missing(section(view, "P4").value("ends")) >= {"house whole list of gas pipes"}
    assert missing(section(view, "P1").value("served")) >= {
        "street whole list of gas pipes", "house whole list of gas pipes", "site whole list of gas systems",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "lacks"),
    [
        ("P4: {from: P2, ", "P4: {", "P4 from"),  # a pipe that may come from anywhere
        ("gas meters: {M: {of: street}}", "gas meters: {M: {}}", "M of"),
        ("R: {after: P1, feeds: house}", "R: {feeds: house}", "R after"),
    ],
)
def test_what_is_not_placed_may_hang_on_any_section(old: str, new: str, lacks: str) -> None:
    assert old in SHOP
    view = view_of(SHOP.replace(old, new) + WHOLE)
    for name in ("P1", "P2", "P3"):
        served = section(view, name).value("served")
        assert served.open
        if name == "P1":
            assert lacks in missing(served)


def test_a_system_that_nothing_feeds_as_written_may_come_from_any_other() -> None:
    view = view_of(SHOP.replace("R: {after: P1, feeds: house}", "R: {after: P1}") + WHOLE)
    assert {"R feeds", "house source"} & missing(section(view, "P1").value("served"))


def test_a_way_that_is_cut_says_where() -> None:
    view = view_of(SHOP.replace("P4: {from: P2, ", "P4: {") + WHOLE)
    route = end(view, "HEATER").value("route")
    assert ids(route) == ["P4", "P5"]
    assert missing(route) == {"P4 from"}


def test_a_ring_has_no_beginning() -> None:
    """Reading refuses a ring; the tree itself still comes to an end."""
    pipes = {name: Subject("gas_pipe", name) for name in "abc"}
    for name, source in (("a", "c"), ("b", "a"), ("c", "b")):
        pipes[name].own["from_"] = pipes[source]
    net = Network(pipes, {name: pipes[name].value("from_") for name in pipes}, {"c": ["a"], "a": ["b"], "b": ["c"]})
    way, broken = net.way("a")
    assert sorted(way) == ["a", "b", "c"]
    assert broken == "a"
    assert sorted(net.below("a")) == ["a", "b", "c"]


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("P2: {from: R, ", "P2: {from: R, to: KILN, ", "pipe P2 ends at KILN, and P3 comes from its end"),
        ("P1: {from: M, ", "P1: {from: M, to: GRILL, ", "pipe P1 ends at GRILL, and R comes from its end"),
        ('{load: "60,000 Btu/h"}', '{load: "60,000 Btu/h", appliance: HEATER}', "outlet GRILL is for HEATER"),
    ],
)
def test_what_could_be_lost_unseen_is_refused(old: str, new: str, message: str) -> None:
    assert old in SHOP
    with pytest.raises(InputProblems) as error:
        read_site_text(SHOP.replace(old, new), "site.yaml", DAY)
    assert message in str(error.value)


@st.composite
def trees(draw: st.DrawFn) -> dict[str, Any]:
    """Piping of one system: each pipe comes from the meter or an earlier pipe; ends are appliances."""
    count = draw(st.integers(1, 9))
    sources = [draw(st.integers(-1, number - 1)) for number in range(count)]
    pipes, appliances = {}, {}
    for number, source in enumerate(sources):
        pipes[f"P{number}"] = {"from": "M" if source < 0 else f"P{source}", "length": f"{draw(st.integers(1, 40))} ft"}
        if number not in sources:
            pipes[f"P{number}"]["to"] = f"A{number}"
            appliances[f"A{number}"] = {"input": f"{draw(st.integers(1, 200))} MBH", "fuel": "natural gas"}
    return {
        "described": {"fuel gas": "yes"},
        "gas systems": {"S": {"gas": "natural gas"}},
        "gas meters": {"M": {"of": "S"}},
        "gas pipes": pipes,
        "appliances": appliances,
        "looked": [
            {"list": name, "whole": "yes", "by": "M.K.", "day": "2026-05-03"} for name in ("gas systems", "gas pipes")
        ],
    }


def document(data: dict[str, Any]) -> Document:
    import json

    return read_yaml(json.dumps(data), "site.yaml")


@given(trees())
@settings(max_examples=60, deadline=None)
def test_every_tree(data: dict[str, Any]) -> None:
    """The ends that a section feeds are those whose way leads through it; its branches share them out between them."""
    view = SiteView(make_site([document(data)]).site)
    ends = {one.id: ids(one.value("route")) for one in view.of("gas_end")}
    assert set(ends) == set(data["appliances"])
    for one in view.of("gas_section"):
        through = {name for name, route in ends.items() if one.id in route}
        assert set(ids(one.value("served"))) == set(ids(one.value("ends"))) == through
        branches = [name for name, pipe in data["gas pipes"].items() if pipe["from"] == one.id]
        below = itertools.chain.from_iterable(ids(section(view, name).value("served")) for name in branches)
        assert not branches or sorted(below) == sorted(through)
    for route in ends.values():
        assert data["gas pipes"][route[0]]["from"] == "M"
        for before, after in itertools.pairwise(route):
            assert data["gas pipes"][after]["from"] == before


@pytest.mark.parametrize(
    ("outlet", "found"),
    [
        ("appliance: HEATER", "not met"),
        ('load: "20,000 Btu/h"', "does not apply"),
        ("capped: yes", "not recorded"),
    ],
)
def test_the_pressure_left_is_asked_of_an_outlet_for_an_appliance(outlet: str, found: str) -> None:
    """7 in w.c. less 0.5 in w.c. leaves 6.5 where the plate asks for 7; the equation takes 0.1 off in this short pipe."""
    text = f"""
described: {{fuel gas: yes}}
gas systems:
  house: {{gas: natural gas, working pressure: 7 in w.c., supply pressure: 7 in w.c., pressure drop: 0.5 in w.c.,
    specific gravity: 0.60, heating value: "1,000 Btu/ft3", fittings: in the tables}}
gas meters: {{M: {{of: house}}}}
gas pipes: {{G-1: {{from: M, to: O-1, material: steel, size: 3/4 in, length: 30 ft}}}}
gas outlets: {{O-1: {{{outlet}}}}}
appliances: {{HEATER: {{fuel: natural gas, input: "100,000 Btu/h", min inlet pressure: 7 in w.c.}}}}
looked:
  - {{list: [gas systems, gas pipes], whole: yes, by: M.K., day: 2026-05-03}}
"""
    view = SiteView(read_site_text(text, "site.yaml", datetime.date(2026, 5, 4)).site)
    rule = RuleSet(Library().folded("ifgc 2021")).rule("ifgc.allowable-drop")
    assert rule is not None
    (end,) = view.of("gas_end")
    assert [one.verdict for one in judge(rule, Env(end, view.roots))] == [found]
