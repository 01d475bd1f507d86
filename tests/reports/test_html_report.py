"""What the report is made of: numbered entries, their places on the plan, the walk in the order of the feet."""

from __future__ import annotations

import datetime
from dataclasses import replace
from pathlib import Path

from oktocover.check import check
from oktocover.findings.checked import Checked
from oktocover.findings.finding import Finding, Missing
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import SiteFile, read_site_text
from oktocover.reports.html_report_entries import anchor, spot_of, visit_parts
from oktocover.reports.html_report_parts import Spot
from oktocover.reports.html_report_plan import Marks, level_plans
from oktocover.reports.html_report_walk import walk
from oktocover.reports.html_report_wall import elevations
from oktocover.rules.library import Library

TODAY = datetime.date(2026, 6, 15)
SITE = """
site: Shop
permit: {jurisdiction: model codes, occupancy: accessory}
described: {electrical: yes, fuel gas: none, fuel burning appliances: none, rated walls: none}
spaces:
  bay: {use: garage, size: 20 ft x 10 ft, corner: "0 ft, 0 ft", ceiling: 9 ft}
  shop: {use: workshop, size: 12 ft x 10 ft, corner: "20 ft 6 in, 0 ft", ceiling: 9 ft}
openings:
  D-1: {wall: shop.south, at: 3 ft, width: 36 in, what: door, sill: 0 in, high: 80 in}
receptacles:
  R-1: {wall: shop.north, at: 9 ft, height: 44 in}
  R-2: {wall: shop.north, at: 2 ft, height: 44 in}
  R-3: {wall: shop.west, at: 4 ft, height: 60 in}
  R-4: {wall: shop.west, at: 4 ft, height: 20 in}
  R-5: {wall: shop.south, at: 1 ft}
  R-6: {space: bay}
looked:
  - {all: receptacles, in: shop, are: {volts: 125 V}, by: A.B., day: 2026-06-01, count: 5}
"""


def read() -> tuple[SiteFile, SiteView]:
    made = read_site_text(SITE)
    return made, SiteView(made.site, made.known)


def finding(element: str, rule: str = "nec.a", **other: object) -> Finding:
    base = Finding(
        rule=rule,
        title=f"Question of {rule}",
        verdict="not met",
        severity="correction",
        trade="electrical",
        stage="rough electrical",
        element=element,
        kind="receptacle",
        elements=(element,),
        label=f"receptacle {element}",
        place=None,
        measured="1 ft",
        required="at least 2 ft",
        margin="short by 1 ft",
        citation="NEC 2020 1",
    )
    return replace(base, **other)  # type: ignore[arg-type]


def checked_with(*findings: Finding) -> Checked:
    site = read_site_text(SITE)
    adopted = Library().adopt("model codes", [], Path())
    checked = check(site, adopted, TODAY, "rough electrical", figures=False)
    return replace(checked, findings=findings, blanks=())


def test_entries_are_numbered_once_over_all_visits_the_asked_one_first() -> None:
    _, view = read()
    later = finding("R-1", "nec.z", stage="final")
    checked = checked_with(later, finding("R-1"), finding("R-2"), finding("R-3", "nec.b", severity="hazard"))
    parts = [part for part in visit_parts(checked, view) if part.entries]
    assert [part.name for part in parts] == ["rough electrical", "final"]
    told = [(one.number, one.kind, [place.element for place in one.places]) for part in parts for one in part.entries]
    assert told == [(1, "hurt", ["R-3"]), (2, "likely", ["R-1", "R-2"]), (3, "likely", ["R-1"])]


def test_a_fact_that_nobody_recorded_is_one_entry_with_all_that_waits_for_it() -> None:
    _, view = read()
    blank = (Missing("R-1", "amps", "look", kind="receptacle"),)
    checked = checked_with(
        finding("R-1", "nec.a", verdict="not recorded", missing=blank),
        finding("R-1", "nec.b", verdict="not recorded", missing=blank, severity="hazard"),
    )
    (entry,) = visit_parts(checked, view)[0].entries
    assert entry.kind == "blank" and entry.about_hazard
    assert entry.settles == ("Question of nec.a", "Question of nec.b")


def test_what_has_no_distance_stands_in_its_room_and_what_has_none_stands_nowhere() -> None:
    _, view = read()
    foot = 304_800_000
    assert spot_of(view, "R-1") == Spot("shop", "north", 9 * foot)
    assert spot_of(view, "R-6") == Spot("bay")
    assert spot_of(view, "no such thing") is None
    assert spot_of(view, "gap", finding("gap", where=("shop", "west", 2.0 * foot))) == Spot("shop", "west", 2 * foot)
    # past the end of the 10 ft wall: at its end, never outside the room
    assert spot_of(view, "gap", finding("gap", where=("shop", "west", 99.0 * foot))) == Spot("shop", "west", 10 * foot)


def test_every_mark_is_on_the_plan_and_on_its_wall() -> None:
    _, view = read()
    checked = checked_with(finding("R-1"), finding("R-3", "nec.b"), finding("R-6", "nec.c"))
    told = [one for part in visit_parts(checked, view) for one in part.entries]
    marks = Marks.of(told)
    plans, _ = level_plans(view, marks)
    assert set(marks.drawn) == {1, 2, 3}
    assert sum(one.svg.count("<a ") for one in plans) == 3
    walls = {one.title: one.numbers for one in elevations(view, marks)}
    assert walls == {"shop, north wall": (1,), "shop, west wall": (2,)}


def test_the_walk_goes_clockwise_from_the_door_left_to_right_low_to_high() -> None:
    made, view = read()
    checked = checked_with(*(finding(f"R-{at}", f"nec.{at}") for at in (1, 2, 3, 4, 5, 6)))
    rooms = walk(checked, visit_parts(checked, view), view, made)
    assert [room.title for room in rooms] == ["bay", "shop"]
    order = [(wall.title, [stop.name for stop in wall.stops]) for wall in rooms[1].walls]
    # the door is in the south wall; clockwise from south comes west, then north; R-4 hangs lower than R-3
    assert order == [("south wall", ["R-5"]), ("west wall", ["R-4", "R-3"]), ("north wall", ["R-2", "R-1"])]


def test_one_thing_is_one_stop_with_its_questions_of_other_visits_and_whose_word_it_is() -> None:
    made, view = read()
    checked = checked_with(
        finding("R-1"), finding("R-1", "nec.met", verdict="met"), finding("R-1", "nec.late", stage="final")
    )
    (room,) = walk(checked, visit_parts(checked, view), view, made)
    (stop,) = room.walls[0].stops
    assert [(one.title, one.visit, one.number) for one in stop.questions] == [
        ("Question of nec.a", "", 1),
        ("Question of nec.late", "final", 2),
    ]
    assert stop.meets == ("Question of nec.met",)
    assert stop.word == "On the word of A.B.: volts."


def test_names_in_the_page_differ_where_names_differ() -> None:
    names = ["a b", "a_b", "a-b", "A-b", "кухня", "ванна", "", "a.b"]
    assert len({anchor("wall", name) for name in names}) == len(names) - 1  # 'a b' and 'a-b' are one, told below
    assert anchor("wall", "a b") == anchor("wall", "a-b") == "wall-a-b"
