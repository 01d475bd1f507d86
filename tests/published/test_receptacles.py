"""Receptacle placement against worked answers and tables from outside the project; the source stands by each check."""

from __future__ import annotations

import math
from typing import Any

import pytest
import yaml

import oktocover.measures.trades as trades
from oktocover.measures.receptacles import rated_amps, rated_volts
from oktocover.measures.view import SiteView
from oktocover.quantities import read
from oktocover.reading.site_file import read_site_text
from oktocover.rules.evaluate import judge
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

assert trades


def verdicts(edition: str, rule_id: str, site: dict[str, Any]) -> list[str]:
    rule = RuleSet(Library().folded(edition)).rule(f"nec.{rule_id}")
    assert rule is not None
    view = SiteView(read_site_text(yaml.safe_dump(site, sort_keys=False)).site)
    return [one.verdict for subject in view.of(rule.each) for one in judge(rule, Env(subject, view.roots, {}))]


def statement(name: str) -> dict[str, str]:
    return {"list": name, "whole": "yes", "by": "M.K.", "day": "2026-05-03"}


# Ratings of configurations: ANSI/NEMA WD 6, as tabled in a distributor's chart and in a school's outlet table.
@pytest.mark.parametrize(
    ("what", "volts", "amps"),
    [
        ("5-15 duplex", "125 V", "15 A"),
        ("5-20 single", "125 V", "20 A"),
        ("6-15", "250 V", "15 A"),
        ("6-20", "250 V", "20 A"),
        ("6-50", "250 V", "50 A"),
        ("10-30", "250 V", "30 A"),
        ("14-30", "250 V", "30 A"),
        ("14-50", "250 V", "50 A"),
        ("TT-30", "125 V", "30 A"),
        ("L5-30", "125 V", "30 A"),
        ("L6-30", "250 V", "30 A"),
        ("L14-30", "250 V", "30 A"),
    ],
)
def test_ratings_follow_from_the_name_of_the_configuration(what: str, volts: str, amps: str) -> None:
    assert rated_volts(what) == read(volts, "voltage").exact
    assert rated_amps(what) == read(amps, "current").exact


def room_17_ft_square(receptacles: int) -> dict[str, Any]:
    """A living room 17 ft square with one 3 ft doorway, and receptacles as far apart as evenly set ones can be."""
    wall_line = 4 * 17 - 3
    found = {}
    for place in range(receptacles):
        along = wall_line * (2 * place + 1) / (2 * receptacles)
        # The door begins at the left end of the south wall; seen from inside the walls go south, west, north, east.
        run = along + 3
        wall, at = ("south", "west", "north", "east")[int(run // 17)], run % 17
        found[f"R-{place + 1}"] = {
            "wall": f"room.{wall}",
            "at": f"{at:.6f} ft",
            "height": "16 in",
            "what": "5-15 duplex",
            "mount": "wall",
            "serves": "general",
        }
    return {
        "permit": {"occupancy": "one family"},
        "spaces": {"room": {"use": "living", "size": "17 ft x 17 ft"}},
        "openings": {"D1": {"wall": "room.south", "at": "0 in", "width": "3 ft", "what": "door"}},
        "receptacles": found,
        "looked": [statement("openings"), statement("receptacles")],
    }


@pytest.mark.parametrize("edition", ["nec 2017", "nec 2020", "nec 2023"])
def test_a_17_ft_square_room_with_a_3_ft_doorway_needs_six(edition: str) -> None:
    # A training question (room 17 ft square, doorway 3 ft, corners do not break the wall): 65 ft of wall line, one
    # receptacle reaches 6 ft each way, so 65 / 12 rounded up.
    assert math.ceil(65 / 12) == 6
    assert verdicts(edition, "wall-receptacle-reach", room_17_ft_square(6)) == ["met"]
    assert verdicts(edition, "wall-receptacle-reach", room_17_ft_square(5)) == ["not met"]


@pytest.mark.parametrize(("first", "verdict"), [("9 ft", "met"), ("9 ft 1/4 in", "not met")])
def test_from_a_door_frame_six_feet_and_every_twelve_feet_after(first: str, verdict: str) -> None:
    # A master electrician's answer in a builders' journal: from a door frame within 6 ft, then at least every 12 ft.
    def box(wall: str, where: str) -> dict[str, str]:
        return {
            "wall": wall,
            "at": where,
            "height": "16 in",
            "what": "5-15 duplex",
            "mount": "wall",
            "serves": "general",
        }

    site = {
        "permit": {"occupancy": "one family"},
        "spaces": {"den": {"use": "den", "size": "21 ft x 12 ft"}},
        "openings": {"D1": {"wall": "den.south", "at": "0 in", "width": "3 ft", "what": "door"}},
        "receptacles": {
            # The right side of the door is 3 ft from the left end of the wall.
            "R-1": box("den.south", first),
            "R-2": box("den.west", "0 in"),
            "R-3": box("den.west", "12 ft"),
            "R-4": box("den.north", "12 ft"),
            "R-5": box("den.east", "3 ft"),
            "R-6": box("den.east", "6 ft"),
        },
        "looked": [statement("openings"), statement("receptacles")],
    }
    assert verdicts("nec 2017", "wall-receptacle-reach", site) == [verdict]


def island(length: str, depth: str, count: int) -> dict[str, Any]:
    return {
        "permit": {"occupancy": "one family"},
        "spaces": {"kitchen": {"use": "kitchen"}},
        "counters": {
            "I1": {
                "what": "island",
                "space": "kitchen",
                "length": length,
                "depth": depth,
                "height": "36 in",
                "breaks": "none",
            }
        },
        "receptacles": {
            f"K-{n}": {"counter": "I1", "what": "5-20 duplex", "mount": "countertop", "serves": "counter"}
            for n in range(count)
        },
        "looked": [statement("receptacles"), statement("counters")],
    }


@pytest.mark.parametrize(
    ("length", "depth", "needed"),
    [
        # The handbook's island of 54 in by 20 in, 7.5 ft2, as worked out in a trade forum: one.
        ("54 in", "20 in", 1),
        # 20 ft2 in a trade forum: one for the first 9 ft2, one for the rest.
        ("5 ft", "4 ft", 2),
        # 30 ft2 in a trade forum: 9 + 18 + 3, so three outlets, however many receptacles are under one plate.
        ("7 ft 6 in", "4 ft", 3),
    ],
)
def test_outlets_by_the_area_of_an_island_in_the_2020_edition(length: str, depth: str, needed: int) -> None:
    rule = "island-receptacle"
    assert verdicts("nec 2020", rule, island(length, depth, needed))[0] == "met"
    assert verdicts("nec 2020", rule, island(length, depth, needed - 1))[0] == "not met"


def test_the_2017_edition_asks_for_one_whatever_the_area() -> None:
    # A trade article that compares the editions: one for each island of 24 in by 12 in or more.
    assert verdicts("nec 2017", "island-receptacle", island("7 ft 6 in", "4 ft", 1))[0] == "met"


def test_a_three_car_garage_has_one_in_each_bay() -> None:
    # A maker's comparison of the 2014 and 2017 editions: three in a three-car garage, one shared by two bays no longer.
    def garage(*bays: int) -> dict[str, Any]:
        return {
            "permit": {"occupancy": "one family"},
            "spaces": {"garage": {"use": "garage", "vehicle bays": "3"}},
            "described": {"electrical": "yes"},
            "measured to": "finished face",
            "receptacles": {
                f"G-{bay}": {
                    "space": "garage",
                    "bay": str(bay),
                    "height": "5-1/2 ft",
                    "what": "5-20 duplex",
                    "mount": "wall",
                    "serves": "general",
                }
                for bay in bays
            },
            "looked": [statement("receptacles")],
        }

    assert verdicts("nec 2017", "garage-bay", garage(1, 2, 3)) == ["met", "met", "met"]
    assert verdicts("nec 2017", "garage-bay", garage(1, 3)) == ["met", "not met", "met"]


@pytest.mark.parametrize(
    ("edition", "gap", "verdict"), [("nec 2020", "2 in", "not met"), ("nec 2020", "16 in", "does not apply")]
)
def test_a_free_standing_porch_near_the_house_in_the_2020_edition(edition: str, gap: str, verdict: str) -> None:
    # A training question: a porch that stands free 2 in from the home is asked for, a deck 16 in away is not.
    site = {
        "permit": {"occupancy": "one family"},
        "spaces": {"porch": {"use": "porch", "off house": gap}},
        "looked": [statement("receptacles")],
    }
    assert verdicts(edition, "deck-receptacle", site) == [verdict]
