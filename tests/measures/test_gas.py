"""Gas piping and its test: what belongs together, how long it was held, and what cannot be so."""

from __future__ import annotations

import datetime
import random
from collections.abc import Callable, Iterator
from typing import Any

import pytest
import yaml

import oktocover.measures.trades as trades
from oktocover.measures import gas
from oktocover.measures.values import Members, Range, Unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import read
from oktocover.reading.site_file import read_site_text
from oktocover.rules.evaluate import judge
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env
from oktocover.site.gas import problems
from oktocover.site.root import Site

assert trades
BOOKS = ("ifgc 2021", "nfpa54 2021", "upc 2021")
LISTS = ("gas systems", "gas pipes", "gas tests", "appliances")
SHOP = """
permit: {occupancy: business}
described: {fuel gas: yes, fuel burning appliances: yes}
spaces:
  shop: {use: workshop}
appliances:
  KILN: {space: shop, what: kiln, fuel: natural gas, input: "100,000 Btu/h", draft: natural draft,
    max inlet pressure: 1/2 psi}
  WH-1: {space: shop, what: water heater, fuel: natural gas, input: "40,000 Btu/h", draft: direct vent}
gas systems:
  gas: {gas: natural gas, working pressure: 7 in w.c.}
gas outlets:
  O-1: {capped: yes}
gas pipes:
  P1: {from: gas, size: 1-1/4 in, material: steel, length: 14 ft, joints: threaded}
  P2: {from: P1, to: KILN, size: 1 in, material: steel, length: 18 ft, joints: threaded, concealed: yes}
  P3: {from: P1, size: 1 in, material: steel, length: 9 ft, joints: threaded, concealed: yes}
  P4: {from: P3, to: WH-1, size: 3/4 in, material: copper L, length: 22 ft, joints: flared}
  P5: {from: P3, to: O-1, size: 1/2 in, material: csst, inside: 5/8 in, length: at most 12 ft, joints: mechanical}
gas tests:
  T1: {of: gas, covers: whole system, medium: air, pressure: 10 psi, end pressure: 10 psi, started: 2026-05-03 9:05,
    ended: 2026-05-03 9:17, gauge: dial, full scale: 15 psi, graduation: 0.1 psi, source off: yes, joints exposed: yes,
    isolated by: nothing, connected: [KILN], live gas: none near, on the gauge: yes, witness: inspector, by: M.K.}
  T2: {of: gas, pipes: [P2], medium: nitrogen, pressure: 3 psi, drop: 0.1 psi, held: 30 min, gauge: dial,
    full scale: 30 psi, isolated by: closed valves, connected: [], joints exposed: no, covered joints tested: no,
    live gas: one valve}
"""


def whole(text: str = SHOP) -> dict[str, Any]:
    data: dict[str, Any] = yaml.load(text, Loader=yaml.BaseLoader)
    data["looked"] = [{"list": name, "whole": "yes", "by": "M.K.", "day": "2026-05-03"} for name in LISTS]
    return data


def view_of(data: dict[str, Any]) -> SiteView:
    return SiteView(read_site_text(yaml.safe_dump(data, sort_keys=False)).site)


def test_the_area_of_a_circle_is_pi_d_squared_over_four() -> None:
    # 1.049 in: 0.864 in2 by every pipe table (ASME B36.10M, 1 in Schedule 40)
    inch = 25_400_000
    area = gas.circle(read("1.049 in", "length").exact).value  # type: ignore[arg-type]
    assert round(float(area / inch**2), 4) == 0.8643


def test_a_foot_of_four_inch_pipe_holds_what_the_pipe_tables_say() -> None:
    # 4 in Schedule 40: 0.0884 ft3 a foot in the pipe tables
    foot = 304_800_000
    made = gas.cylinder(read("4.026 in", "length").exact, foot)  # type: ignore[arg-type]
    assert round(float(made.value / foot**3), 4) == 0.0884
    assert made.steps[0].how == "3.1416 x (4.026 in) x (4.026 in) / 4 x 1 ft"


def test_pipes_find_their_system_through_the_pipes_before_them() -> None:
    view = view_of(whole())
    pipes = view.elements["gas"].value("pipes")
    assert [pipe.id for pipe in pipes.sure] == ["P1", "P2", "P3", "P4", "P5"]
    assert not pipes.open


def test_a_meter_and_a_regulator_are_on_the_way_to_a_system() -> None:
    data = whole()
    data["gas systems"]["low"] = {"working pressure": "7 in w.c."}
    data["gas meters"] = {"M-1": {"of": "gas"}}
    data["gas regulators"] = {"R-1": {"after": "P1", "feeds": "low"}}
    data["gas pipes"]["P1"]["from"] = "M-1"
    data["gas pipes"]["P2"]["from"] = "R-1"
    view = view_of(data)
    assert [pipe.id for pipe in view.elements["low"].value("pipes").sure] == ["P2"]
    assert view.elements["P5"].value("system") is view.elements["gas"]


def test_a_pipe_that_says_nothing_of_its_source_leaves_every_pipe_list_open() -> None:
    data = whole()
    del data["gas pipes"]["P3"]["from"]
    pipes = view_of(data).elements["gas"].value("pipes")
    assert [pipe.id for pipe in pipes.sure] == ["P1", "P2"]
    assert pipes.open
    assert "P3" in {missing.element for missing in pipes.missing}


def test_held_comes_from_the_clock_unless_it_is_written() -> None:
    view = view_of(whole())
    assert view.elements["T1"].value("held") == 12 * 60
    assert view.elements["T2"].value("held") == 30 * 60


@pytest.mark.parametrize(("ended", "seconds"), [("9:14:59", 599), ("9:15", 600)])
def test_one_second_short_is_one_second_short(ended: str, seconds: int) -> None:
    started = datetime.datetime(2026, 5, 3, 9, 5)
    hour, minute, *second = (int(part) for part in ended.split(":"))
    assert gas.held(started, datetime.datetime(2026, 5, 3, hour, minute, *second)).value == seconds


def test_a_drop_comes_from_two_readings_and_keeps_a_bound() -> None:
    data = whole()
    data["gas tests"]["T1"]["end pressure"] = "at least 9.9 psi"
    drop = view_of(data).elements["T1"].value("drop")
    assert isinstance(drop, Range)
    assert drop.high == read("0.1 psi", "pressure").exact


def test_a_complete_record_names_what_it_lacks() -> None:
    view = view_of(whole())
    assert view.elements["T1"].value("record_complete") is True
    lacking = view.elements["T2"].value("record_complete")
    assert isinstance(lacking, Unknown)
    assert {missing.fact for missing in lacking.missing} == {"started", "by"}


def test_a_described_system_with_nothing_written_is_asked_for() -> None:
    for word in ("yes", "not sure"):
        (piping,) = view_of({"described": {"fuel gas": word}}).of("gas_piping")
        tests = piping.value("tests")
        assert isinstance(tests, Members) and tests.open and tests.missing
    assert view_of({"described": {"fuel gas": "none"}}).of("gas_piping") == ()
    assert view_of({}).of("gas_piping") == ()


def site_of(change: Callable[[dict[str, Any]], object]) -> Site:
    """The shop with a change, its own problems not yet asked."""
    data = whole()
    del data["looked"]
    change(data)
    return Site.model_validate(_texts(data))


def _texts(value: Any) -> Any:
    return {key: _texts(inner) for key, inner in value.items()} if isinstance(value, dict) else value


WRONG: list[tuple[Callable[[dict[str, Any]], object], tuple[str, ...], str]] = [
    (lambda d: d["gas pipes"]["P1"].update({"from": "P3"}), ("gas pipes", "P1", "from"), "runs in a ring: P1, P3"),
    (
        lambda d: (
            d.update({"gas regulators": {"R-1": {"after": "P3"}}}) or d["gas pipes"]["P1"].update({"from": "R-1"})
        ),
        ("gas pipes", "P1", "from"),
        "runs in a ring: P1, P3",
    ),
    (lambda d: d["gas pipes"]["P1"].update({"from": "P1"}), ("gas pipes", "P1", "from"), "runs in a ring: P1"),
    (lambda d: d["gas pipes"]["P2"].update({"to": "K-9"}), ("gas pipes", "P2", "to"), "ends at K-9, which is nowhere"),
    (
        lambda d: d["gas pipes"]["P2"].update({"from": "P9"}),
        ("gas pipes", "P2", "from"),
        "comes from P9, which is nowhere",
    ),
    (lambda d: d["gas pipes"]["P5"].update({"to": "WH-1"}), ("gas pipes", "P5", "to"), "P4 and P5 both end at WH-1"),
    (
        lambda d: d["gas tests"]["T1"].update({"held": "10 min"}),
        ("gas tests", "T1", "held"),
        "from start to end are 12 min",
    ),
    (lambda d: d["gas tests"]["T1"].update({"ended": "2026-05-03 9:04"}), ("gas tests", "T1", "ended"), "ends before"),
    (lambda d: d["gas tests"]["T1"].update({"drop": "1 psi"}), ("gas tests", "T1", "drop"), "not the difference"),
    (lambda d: d["gas tests"]["T1"].update({"pipes": ["P1"]}), ("gas tests", "T1", "pipes"), "single pipes as well"),
    (
        lambda d: d["gas tests"]["T1"].update({"graduation": "20 psi"}),
        ("gas tests", "T1", "graduation"),
        "one division",
    ),
    (
        lambda d: d["gas tests"]["T1"].update({"isolated by": "blanks"}),
        ("gas tests", "T1", "connected"),
        "KILN still joined",
    ),
]


@pytest.mark.parametrize(("change", "path", "words"), WRONG)
def test_what_cannot_be_so_is_said_with_its_place(
    change: Callable[[dict[str, Any]], object], path: tuple[str, ...], words: str
) -> None:
    found = problems(site_of(change))
    assert [one[0] for one in found] == [path]
    assert words in found[0][1]
    assert found[0][2] and found[0][3]


def test_the_shop_itself_has_no_problem_and_an_empty_site_costs_nothing() -> None:
    assert problems(site_of(lambda data: None)) == []
    assert problems(Site.model_validate({})) == []


def test_held_and_clock_may_both_be_written_when_they_agree() -> None:
    assert problems(site_of(lambda data: data["gas tests"]["T1"].update({"held": "12 min"}))) == []


def verdicts(view: SiteView) -> dict[tuple[str, str], str]:
    found = {}
    for rule in RULES:
        for subject in view.of(rule.each):
            for one in judge(rule, Env(subject, view.roots, {})):
                found[one.name, subject.id] = one.verdict
    return found


RULES = [
    rule
    for book in BOOKS
    for rule in RuleSet(Library().folded(book)).rules()
    if rule.each in ("gas_test", "gas_piping", "gas_system")
]


def removals() -> Iterator[tuple[str, ...]]:
    """Every fact and every statement of the shop, and every gas element."""
    for list_name, elements in whole().items():
        if list_name in ("permit", "described"):
            yield from ((list_name, name) for name in elements)
        elif list_name == "looked":
            yield from (("looked", name) for name in LISTS)
        else:
            for name, facts in elements.items():
                yield from ((list_name, name, fact) for fact in facts)
                if list_name.startswith("gas"):
                    yield (list_name, name)


@pytest.mark.parametrize("removal", list(removals()), ids=" ".join)
def test_taking_anything_out_never_turns_a_verdict(removal: tuple[str, ...]) -> None:
    before, data = verdicts(view_of(whole())), whole()
    if removal[0] == "looked":
        data["looked"] = [one for one in data["looked"] if one["list"] != removal[1]]
    elif len(removal) == 2 and removal[0].startswith("gas"):
        data["looked"] = []
        _forget(data, removal[0], removal[1])
    else:
        *path, last = removal
        holder = data
        for part in path:
            holder = holder[part]
        del holder[last]
    after = verdicts(view_of(data))
    turned = {key: (before[key], after[key]) for key in before if key in after and after[key] != before[key]}
    assert all(new == "not recorded" for _, new in turned.values()), turned


@pytest.mark.parametrize("seed", range(25))
def test_taking_many_things_out_never_turns_a_verdict(seed: int) -> None:
    chance = random.Random(seed)
    before, data = verdicts(view_of(whole())), whole()
    data["looked"] = []
    for list_name in [name for name in data if name.startswith("gas")]:
        for name in [name for name in data[list_name] if chance.random() < 0.2]:
            _forget(data, list_name, name)
        for facts in data[list_name].values():
            for fact in [fact for fact in facts if chance.random() < 0.3]:
                del facts[fact]
    after = verdicts(view_of(data))
    turned = {key: (before[key], after[key]) for key in before if key in after and after[key] != before[key]}
    assert all(new == "not recorded" for _, new in turned.values()), turned


def _forget(data: dict[str, Any], list_name: str, name: str) -> None:
    """Take an element out, with everything that names it."""
    del data[list_name][name]
    for elements in data.values():
        for facts in elements.values() if isinstance(elements, dict) else ():
            for fact, value in list(facts.items()) if isinstance(facts, dict) else ():
                if value == name or (isinstance(value, list) and name in value):
                    del facts[fact]
