"""Combustion air: which appliances take air from a room, what brings it, and which rooms count together."""

from __future__ import annotations

import datetime
import random
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import pytest
import yaml

import oktocover.measures.trades as trades
from oktocover.measures import air_supply, combustion_air
from oktocover.measures.subject import Subject
from oktocover.measures.values import NOWHERE, Range, Unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import read
from oktocover.reading.problems import InputProblems
from oktocover.reading.site_file import read_site_text
from oktocover.rules.evaluate import judge
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env
from oktocover.site.combustion import problems
from oktocover.site.root import Site

assert trades
INCH = 25_400_000
FOOT = 12 * INCH
LISTS = ("appliances", "air openings", "vent connectors", "spaces")
SHOP = """
described: {fuel gas: yes, fuel burning appliances: yes}
measured to: finished face
levels: {ground: {floor: 6 in}}
spaces:
  mech: {level: ground, size: 8 ft x 6 ft, corner: "24 ft, 0 ft", ceiling: 8 ft, infiltration known: no}
  shop: {level: ground, size: 24 ft x 20 ft, corner: "0 ft, 0 ft", ceiling: 9 ft, infiltration: 0.5 ACH}
  store: {level: ground, size: 10 ft x 6 ft, corner: "32 ft, 0 ft", ceiling: 8 ft}
appliances:
  WH-1: {space: mech, fuel: natural gas, input: "40,000 Btu/h", draft: natural draft}
  F-1: {space: mech, fuel: natural gas, input: "60,000 Btu/h", draft: fan assisted, room air: yes}
  UH-1: {space: shop, fuel: propane, input: "45,000 Btu/h", draft: direct vent}
  RH-1: {space: shop, fuel: propane, input: "30,000 Btu/h", draft: unvented}
  ST-1: {space: shop, fuel: wood, input: "50,000 Btu/h", draft: natural draft}
vent connectors:
  C-1: {appliance: WH-1, size: 3 in}
  C-2: {appliance: F-1, size: 4 in}
air openings:
  A1: {space: mech, source: outdoors, what: opening, route: direct, from ceiling: 6 in, width: 8 in, high: 4 in,
    cover: metal louver, closable: no}
  A2: {space: mech, source: outdoors, what: opening, route: direct, height: 6 in, width: 8 in, high: 4 in,
    cover: metal louver, closable: no}
  A3: {space: mech, source: room, other room: shop, what: opening, storeys: same, from ceiling: 6 in, width: 20 in,
    high: 10 in, cover: none, closable: no}
  A4: {space: mech, source: room, other room: shop, what: opening, storeys: same, height: 6 in, width: 20 in,
    high: 10 in, cover: free area known, free area: 140 sq in, closable: no}
  A5: {space: store, source: outdoors, what: opening, route: direct, from ceiling: 6 in, diameter: 6 in, cover: none,
    closable: no}
  FAN: {space: shop, source: outdoors, what: fan, route: direct, fan: 20 cfm, interlocked: yes}
"""


def whole() -> dict[str, Any]:
    data: dict[str, Any] = yaml.load(SHOP, Loader=yaml.BaseLoader)
    data["looked"] = [{"list": name, "whole": "yes", "by": "M.K.", "day": "2026-05-03"} for name in LISTS]
    return data


def view_of(data: dict[str, Any]) -> SiteView:
    return SiteView(read_site_text(yaml.safe_dump(data, sort_keys=False)).site)


def room(view: SiteView, name: str) -> Subject:
    (found,) = [one for one in view.of("combustion_space") if one.id == f"{name} air"]
    return found


@pytest.mark.parametrize(
    ("draft", "room_air", "takes"),
    [
        ("direct vent", None, False),
        ("natural draft", None, True),
        ("unvented", None, True),
        ("fan assisted", None, None),
        ("fan assisted", True, True),
        ("mechanical draft", False, False),
        (None, None, None),
        (None, True, True),
    ],
)
def test_who_takes_air_from_the_room(draft: str | None, room_air: bool | None, takes: bool | None) -> None:
    assert combustion_air.takes_room_air(draft, room_air) is takes


def test_inputs_count_by_draft_and_only_gas_that_takes_room_air() -> None:
    view = view_of(whole())
    mech, shop = room(view, "mech"), room(view, "shop")
    assert (mech.value("input_natural"), mech.value("input_fan"), mech.value("input_air")) == (40_000, 60_000, 100_000)
    assert (shop.value("input_natural"), shop.value("input_fan")) == (30_000, 0)
    assert [one.id for one in view.of("combustion_space")] == ["mech air", "shop air"]


def test_a_room_with_an_open_list_of_appliances_has_at_least_what_is_written() -> None:
    data = whole()
    data["looked"] = []
    found = room(view_of(data), "mech").value("input_air")
    assert isinstance(found, Range)
    assert (found.low, found.high) == (100_000, None)


def test_a_draft_nobody_wrote_may_count_or_not() -> None:
    data = whole()
    del data["appliances"]["F-1"]["room air"]
    mech = room(view_of(data), "mech")
    total = mech.value("input_air")
    assert isinstance(total, Range)
    assert (total.low, total.high) == (40_000, 100_000)
    assert [missing.fact for missing in total.missing] == ["room air"]


def test_an_appliance_without_a_room_is_asked_about_and_leaves_every_room_open() -> None:
    data = whole()
    del data["appliances"]["WH-1"]["space"]
    view = view_of(data)
    assert [one.id for one in view.of("combustion_space")] == ["mech air", "shop air", "WH-1 air"]
    assert isinstance(view.of("combustion_space")[2].value("volume"), Unknown)
    assert isinstance(room(view, "mech").value("input_air"), Range)


def test_an_opening_placed_from_the_ceiling_is_placed_from_the_floor_too() -> None:
    paths = {path.id: path for path in view_of(whole()).of("air_path")}
    assert paths["A1"].value("top_gap") == 6 * INCH
    assert paths["A1"].value("bottom_gap") == 8 * FOOT - 10 * INCH
    assert paths["A2"].value("top_gap") == 8 * FOOT - 10 * INCH
    assert paths["A4"].value("counted_area") == 140 * INCH**2
    assert paths["A5"].value("least_side") == 6 * INCH
    # 6 in round: 28.27 in2, as in the maker's table in tests/published
    assert round(float(paths["A5"].value("counted_area") / INCH**2), 2) == 28.27


def test_lists_by_room() -> None:
    view = view_of(whole())
    assert [path.id for path in room(view, "mech").value("outdoor").sure] == ["A1", "A2"]
    assert [path.id for path in room(view, "shop").value("fans").sure] == ["FAN"]
    assert [path.id for path in room(view, "mech").value("joins").sure] == ["A3", "A4"]
    assert not any(room(view, "mech").value(name).open for name in ("outdoor", "fans", "joins"))
    data = whole()
    data["looked"] = [{"list": "air openings", "in": "mech", "whole": "yes", "by": "M.K.", "day": "2026-05-03"}]
    view = view_of(data)
    # the openings of one room are whole; between rooms there may still be others
    assert [room(view, "mech").value(name).open for name in ("outdoor", "fans", "joins")] == [False, False, True]
    assert room(view, "shop").value("outdoor").open


def test_connectors_add_up_and_stay_open_while_one_is_missing() -> None:
    data = whole()
    area = room(view_of(data), "mech").value("connector_area")
    # 3 in and 4 in round: 7.07 + 12.57 in2
    assert round(float(area / INCH**2), 2) == 19.63
    data["looked"] = [one for one in data["looked"] if one["list"] != "vent connectors"]
    found = room(view_of(data), "mech").value("connector_area")
    assert isinstance(found, Range) and (found.low, found.high) == (area, None)
    data = whole()
    del data["vent connectors"]["C-2"]
    found = room(view_of(data), "mech").value("connector_area")
    assert isinstance(found, Range) and found.high is None


LIMITS = {
    "natural": read("50 ft3 per 1,000 Btu/h", "volume per heat rate").exact,
    "fan": read("50 ft3 per 1,000 Btu/h", "volume per heat rate").exact,
    "top": 12 * INCH,
    "bottom": 12 * INCH,
    "per_input": read("1 in2 per 1,000 Btu/h", "area per heat rate").exact,
    "least": 100 * INCH**2,
    "storeys_per_input": read("2 in2 per 1,000 Btu/h", "area per heat rate").exact,
    "metal": Fraction(3, 4),
    "wood": Fraction(1, 4),
}


def join(a: str, b: str, **facts: Any) -> Subject:
    """A doorway without a door between two rooms of 1,000 ft3 without appliances, unless said otherwise."""
    own = {
        "what": "open doorway", "room": a, "beyond": b, "room_volume": 1000 * FOOT**3, "beyond_volume": 1000 * FOOT**3,
        "room_natural": 0, "room_fan": 0, "beyond_natural": 0, "beyond_fan": 0, "counted_area": 0, "cover": "none",
        "top_gap": 0, "bottom_gap": 0, "storeys": "same",
    }  # fmt: skip
    return Subject("air_path", f"{a}-{b}", own | facts)


def home(natural: int = 20_000) -> Subject:
    own = {"room": "a", "volume": 1000 * FOOT**3, "input_natural": natural, "input_fan": 0}
    return Subject("combustion_space", "a air", own)


def share(paths: list[Subject], owner: Subject | None = None) -> Any:
    return air_supply.indoor_share(owner or home(), paths, **LIMITS).value  # type: ignore[arg-type]


def test_alone_a_room_gives_its_own_share() -> None:
    # 20,000 Btu/h at 50 ft3 per 1,000 need 1,000 ft3
    assert share([]) == 1
    assert share([], home(40_000)) == Fraction(1, 2)
    assert share([], home(0)) == NOWHERE


def test_a_chain_of_rooms_counts_whole() -> None:
    assert share([join("a", "b"), join("b", "c")]) == 3


def test_a_room_beyond_no_door_does_not_count() -> None:
    assert share([join("b", "c")]) == 1


def test_a_burning_room_counts_only_where_it_helps() -> None:
    # joined with a room that burns as much in half its need: (1000 + 1000) / 2000 is no better than 1
    assert share([join("a", "b", beyond_natural=20_000)]) == 1
    # a burning room in between is taken along when what lies beyond it is large
    large = join("b", "c", room_natural=20_000, beyond_volume=4000 * FOOT**3)
    assert share([join("a", "b", beyond_natural=20_000), large]) == 3


def grille(area: int, **facts: Any) -> list[Subject]:
    """Two grilles of one size between rooms a and b, in reach of ceiling and floor."""
    return [join("a", "b", what="opening", counted_area=area * INCH**2, **facts) for _ in range(2)]


def test_grilles_have_a_least_size_and_grow_with_the_input_of_all_their_rooms() -> None:
    assert [share(grille(area)) for area in (99, 100)] == [1, 2]
    hot = home(200_000)
    assert [share(grille(area), hot) for area in (199, 200)] == [Fraction(1, 10), Fraction(1, 5)]
    # 20,000 and 200,000 Btu/h ask for 220 in2; a room as hot may not be borrowed from through less
    large = {"beyond_volume": 100_000 * FOOT**3, "beyond_natural": 200_000}
    assert share(grille(219, **large)) == 1
    assert share(grille(220, **large)) == Fraction(101, 11)


def test_one_opening_is_not_an_upper_and_a_lower_one() -> None:
    tall = join("a", "b", what="opening", counted_area=1000 * INCH**2)
    assert share([tall]) == 1
    assert share([tall, tall]) == 1
    assert share([tall, join("a", "b", what="opening", counted_area=1000 * INCH**2)]) == 2


def test_the_sum_is_written_out() -> None:
    steps = air_supply.indoor_share(home(), [join("a", "b")], **LIMITS).steps  # type: ignore[arg-type]
    assert [(step.how, step.result) for step in steps[-3:]] == [
        ("1,000 ft3 + 1,000 ft3", "2,000 ft3"),
        ("50 ft3 per 1,000 Btu/h x 20,000 Btu/h", "1,000 ft3"),
        ("2,000 ft3 / 1,000 ft3", "200 %"),
    ]


def test_many_burning_rooms_are_bounded_work() -> None:
    star = [join("a", f"r{index}", beyond_natural=1000) for index in range(40)]
    assert share(star) == Fraction(41_000, 3000)


def outdoor(**facts: Any) -> Subject:
    own = {"counted_area": 25 * INCH**2, "cover": "none", "route": "direct", "top_gap": 12 * INCH, "bottom_gap": 0}
    return Subject("air_path", "A1", own | facts)


OUT = {
    "within": 12 * INCH,
    "direct": read("1 in2 per 4,000 Btu/h", "area per heat rate").exact,
    "vertical": read("1 in2 per 4,000 Btu/h", "area per heat rate").exact,
    "horizontal": read("1 in2 per 2,000 Btu/h", "area per heat rate").exact,
    "metal": Fraction(3, 4),
    "wood": Fraction(1, 4),
}


@pytest.mark.parametrize(
    ("facts", "served"),
    [
        ({}, 100_000),
        ({"route": "vertical duct"}, 100_000),
        ({"route": "horizontal duct"}, 50_000),
        ({"cover": "metal louver"}, 75_000),
        ({"cover": "wood louver"}, 25_000),
        ({"cover": "free area known"}, 100_000),
        ({"top_gap": 12 * INCH + 1}, 0),
    ],
)
def test_what_an_upper_opening_serves(facts: dict[str, Any], served: int) -> None:
    assert air_supply.top_air(home(), [outdoor(**facts)], **OUT).value == served  # type: ignore[arg-type]


def test_the_largest_single_opening_counts() -> None:
    paths = [outdoor(), outdoor(counted_area=30 * INCH**2), outdoor(counted_area=90 * INCH**2, bottom_gap=13 * INCH)]
    assert air_supply.bottom_air(home(), paths, **OUT).value == 120_000  # type: ignore[arg-type]
    areas = {name: OUT[name] for name in ("within", "metal", "wood")}
    assert air_supply.top_area(home(), paths, **areas).value == 90 * INCH**2  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("list_name", "name", "facts", "path"),
    [
        ("air openings", "A4", {"cover": "metal louver"}, ("air openings", "A4", "cover")),
        ("air openings", "A5", {"width": "3 in"}, ("air openings", "A5", "diameter")),
        ("air openings", "A1", {"height": "6 ft"}, ("air openings", "A1", "from ceiling")),
        ("air openings", "A3", {"other room": "mech"}, ("air openings", "A3", "other room")),
        ("appliances", "UH-1", {"room air": "yes"}, ("appliances", "UH-1", "room air")),
        ("appliances", "WH-1", {"room air": "no"}, ("appliances", "WH-1", "room air")),
        ("spaces", "shop", {"infiltration known": "no"}, ("spaces", "shop", "infiltration known")),
    ],
)
def test_what_cannot_be_so_is_said_with_its_place(
    list_name: str, name: str, facts: dict[str, str], path: tuple[str, ...]
) -> None:
    data = whole()
    del data["looked"]
    assert problems(Site.model_validate(data)) == []
    data[list_name][name].update(facts)
    found = problems(Site.model_validate(data))
    assert [one[0] for one in found] == [path]
    assert all(found[0])


KINDS = ("combustion_space", "air_opening")
RULES = [rule for rule in RuleSet(Library().folded("ifgc 2021")).rules() if rule.each in KINDS]
RECORDED = {("ifgc.combustion-air.one_opening.clearances", ""): (True, 4)}


def verdicts(view: SiteView) -> dict[tuple[str, str], str]:
    return {
        (one.name, subject.id): one.verdict
        for rule in RULES
        for subject in view.of(rule.each)
        for one in judge(rule, Env(subject, view.roots, RECORDED))
    }


def removals() -> Iterator[tuple[str, ...]]:
    for list_name, elements in whole().items():
        if list_name == "looked":
            yield from (("looked", name) for name in LISTS)
        elif isinstance(elements, dict) and list_name != "described":
            for name, facts in elements.items():
                yield from ((list_name, name, fact) for fact in facts)
                if list_name in ("appliances", "air openings", "vent connectors"):
                    yield (list_name, name)


SHUT = {("air openings", "A3", "closable"): "yes"}
VARIANTS: dict[str, tuple[dict[tuple[str, str, str], str], str]] = {
    "joined rooms": ({}, "met"),
    "part from the room, part from outdoors": (SHUT, "met"),
    "openings too small": (SHUT | {("air openings", "A1", "width"): "6 in"}, "not met"),
    "two large openings": (
        SHUT | {("air openings", "A1", "width"): "9 in", ("air openings", "A2", "width"): "9 in"},
        "met",
    ),
    "one large opening": (
        SHUT | {("air openings", "A1", "width"): "20 in", ("air openings", "A2", "width"): "2 in"},
        "met",
    ),
    "one opening under the connectors": (
        SHUT
        | {("air openings", "A1", "width"): "14 in", ("air openings", "A2", "width"): "2 in"}
        | {("vent connectors", "C-1", "size"): "8 in"},
        "not met",
    ),
    "a high room": (SHUT | {("spaces", "mech", "ceiling"): "110 ft"}, "met"),
    "a tight high room": (
        SHUT
        | {("spaces", "mech", "ceiling"): "110 ft", ("spaces", "mech", "infiltration"): "0.30 ACH"}
        | {("air openings", "A1", "width"): "2 in"},
        "not met",
    ),
}
"""What is changed in the shop, and the verdict on its mechanical room."""


def varied(variant: str) -> dict[str, Any]:
    data = whole()
    for (list_name, name, fact), value in VARIANTS[variant][0].items():
        data[list_name][name][fact] = value
    if "infiltration" in data["spaces"]["mech"]:
        del data["spaces"]["mech"]["infiltration known"]
    return data


def unturned(before: dict[tuple[str, str], str], data: dict[str, Any]) -> None:
    after = verdicts(view_of(data))
    turned = {key: (before[key], after[key]) for key in before if key in after and after[key] != before[key]}
    assert all(new == "not recorded" for _, new in turned.values()), turned


@pytest.mark.parametrize("variant", VARIANTS)
def test_taking_anything_out_never_turns_a_verdict(variant: str) -> None:
    before = verdicts(view_of(varied(variant)))
    assert before["ifgc.combustion-air", "mech air"] == VARIANTS[variant][1]
    for removal in removals():
        data = varied(variant)
        if removal[0] == "looked":
            data["looked"] = [one for one in data["looked"] if one["list"] != removal[1]]
        elif len(removal) == 2:
            data["looked"] = []
            _forget(data, *removal)
        else:
            data[removal[0]][removal[1]].pop(removal[2], None)
        unturned(before, data)


@pytest.mark.parametrize("seed", range(20))
def test_taking_many_things_out_never_turns_a_verdict(seed: int) -> None:
    chance = random.Random(seed)
    data = varied(chance.choice(list(VARIANTS)))
    before = verdicts(view_of(data))
    data["looked"] = []
    for list_name in ("appliances", "air openings", "vent connectors"):
        for name in [name for name in data[list_name] if chance.random() < 0.2]:
            _forget(data, list_name, name)
    for list_name in ("appliances", "air openings", "vent connectors", "spaces"):
        for facts in data[list_name].values():
            for fact in [fact for fact in facts if chance.random() < 0.2]:
                del facts[fact]
    unturned(before, data)


def _forget(data: dict[str, Any], list_name: str, name: str) -> None:
    """Take an element out, with everything that names it."""
    del data[list_name][name]
    for elements in data.values():
        for facts in elements.values() if isinstance(elements, dict) else ():
            for fact, value in list(facts.items()) if isinstance(facts, dict) else ():
                if value == name:
                    del facts[fact]


@pytest.mark.parametrize(
    ("room", "expected"),
    [
        ("infiltration: 0.35 ACH", "an air change is worked out for it, and a blower-door test is written"),
        ("infiltration known: no", "its air change is said to be unknown, and a blower-door test is written"),
    ],
)
def test_a_blower_door_test_and_another_word_on_the_air_change_cannot_both_stand(room: str, expected: str) -> None:
    text = f"building: {{blower door: 3 ACH50}}\nspaces: {{mech: {{size: 8 ft x 8 ft, ceiling: 8 ft, {room}}}}}\n"
    with pytest.raises(InputProblems, match=expected):
        read_site_text(text, "site.yaml", datetime.date(2026, 5, 4))


@pytest.mark.parametrize("door", ["3 ACH50", "9 ACH50"])
def test_taking_the_blower_door_test_out_leaves_the_rate_open(door: str) -> None:
    data = varied("joined rooms")
    for room in data["spaces"].values():
        room.pop("infiltration known", None)
        room.pop("infiltration", None)
    data["building"] = {"blower door": door}
    before = verdicts(view_of(data))
    assert before["ifgc.combustion-air", "mech air"] in ("met", "not met")
    for list_name, name, fact in (one for one in removals() if len(one) == 3):
        less = {key: dict(value) if isinstance(value, dict) else value for key, value in data.items()}
        less[list_name] = {key: dict(value) for key, value in data[list_name].items()}
        less[list_name][name].pop(fact, None)
        unturned(before, less)
    del data["building"]
    after = verdicts(view_of(data))
    assert after["ifgc.combustion-air", "mech air"] == "not recorded"
    unturned(before, data)
