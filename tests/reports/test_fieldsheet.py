"""The field sheet: what is asked, where, in which order, with which tool, and the limits only at the end."""

from __future__ import annotations

import datetime
import re

import pytest

from oktocover.check import check, in_force
from oktocover.measures.view import fact_type_of
from oktocover.quantities import read as quantity
from oktocover.reading.nodes import read_yaml
from oktocover.reading.short.work import classes
from oktocover.reading.site_file import make_site
from oktocover.reports.fieldsheet import field_sheet, visits_asked
from oktocover.reports.fieldsheet_answers import empty_answers, target
from oktocover.reports.fieldsheet_page import UNITS
from oktocover.reports.fieldsheet_parts import Question, Sheet, Stop
from oktocover.reports.fieldsheet_places import Places
from oktocover.reports.fieldsheet_text import WIDTH, fieldsheet_text
from oktocover.rules.library import Library

TODAY = datetime.date(2026, 6, 15)
SHELF = Library()
SHED = """\
site: Shed
permit: {occupancy: accessory}
described: {electrical: yes, fuel gas: none, fuel burning appliances: none, rated walls: none}
measured to: bare framing
spaces:
  loft: {use: workshop, size: 12 ft x 10 ft, corner: "0 ft, 20 ft"}
  shed: {use: workshop, size: 12 ft x 10 ft, corner: "0 ft, 0 ft"}
openings: {D-1: {wall: shed.east, at: 3 ft, width: 3 ft, what: door, sill: 0 in, high: 80 in}}
circuits: {E-1: {breaker: 20 A, cable: 12-2 NM-B}}
boxes:
  B-1: {wall: shed.north, at: 9 ft, height: 18 in, what: device, material: plastic}
  B-2: {wall: shed.north, at: 2 ft, height: 18 in, what: device, material: plastic}
  B-3: {wall: shed.south, at: 2 ft, height: 18 in, what: device, material: plastic}
  B-4: {wall: loft.south, at: 2 ft, height: 18 in, what: device, material: plastic, free conductor: at least 5 in}
receptacles: {R-1: {wall: shed.north, at: 9 ft, height: 18 in, what: 5-20 duplex, circuit: E-1, box: B-1}}
switches: {S-1: {wall: shed.east, at: 7 ft, height: 44 in, circuit: E-1}, S-2: {wall: shed.west, at: 1 ft, height: 44 in}}
lights: {L-1: {space: shed, circuit: E-1}}
"""
GAS = """\
site: Line
permit: {occupancy: accessory}
described: {electrical: none, fuel gas: yes, fuel burning appliances: none, rated walls: none}
gas systems: {house: {gas: natural gas, working pressure: 7 in w.c.}}
gas meters: {GM-1: {of: house}}
gas pipes: {G-1: {from: GM-1, to: UH-1, size: 3/4 in, length: 20 ft}}
appliances: {UH-1: {what: unit heater, fuel: natural gas, max inlet pressure: 14 in w.c.}}
gas tests: {GT-1: {of: house, medium: air, gauge: dial, full scale: 10 psi}}
"""


def sheet(text: str, visit: str, *answers: str) -> Sheet:
    documents = [read_yaml(one, f"answers-{number}.yaml") for number, one in enumerate(answers)]
    read = make_site([read_yaml(text, "site.yaml")], "site.yaml", TODAY, answers=documents)
    adopted = in_force(read, SHELF.adopt(None, [], None), TODAY)
    checked = check(read, adopted, TODAY, visit, figures=False)
    return field_sheet(read, adopted, checked, visits_asked(checked, read))


@pytest.fixture(scope="module")
def rough() -> Sheet:
    return sheet(SHED, "rough electrical")


@pytest.fixture(scope="module")
def gas() -> Sheet:
    return sheet(GAS, "gas pressure test")


def stops(of: Sheet, room: str) -> list[Stop]:
    return [stop for visit in of.visits for one in visit.rooms if one.name == room for stop in one.stops]


def question(of: Sheet, fact: str, element: str) -> Question:
    return next(one for one in of.questions if one.fact == fact and element in one.elements)


def test_a_person_walks_room_by_room_and_clockwise_from_the_door(rough: Sheet) -> None:
    assert [room.name for room in rough.visits[0].rooms] == ["loft", "shed", ""]
    places = Places(make_site([read_yaml(SHED, "site.yaml")], "site.yaml", TODAY).site)
    # the door is in the east wall; then south, west, north left to right, and last the light, which is on no wall
    walk = ["B-4", "S-1", "B-3", "S-2", "B-2", "R-1", "L-1"]
    mixed = ["L-1", "R-1", "S-2", "B-3", "B-4", "B-2", "S-1"]
    assert sorted(mixed, key=lambda name: places.order(places.spot(name))) == walk
    assert places.spot("R-1").text == "north wall, 9 ft from its left end, 18 in up"


def test_what_has_no_place_stands_where_the_thing_is_that_it_belongs_to() -> None:
    text = (
        SHED
        + "cables: {C-1: {from: B-2, to: B-3}}\nappliances: {UH-1: {space: loft}}\nvents: {V-1: {serves: [UH-1]}}\n"
    )
    places = Places(make_site([read_yaml(text, "site.yaml")], "site.yaml", TODAY).site)
    assert places.spot("C-1") == places.spot("B-3")
    assert places.spot("V-1").room == "loft"
    assert places.spot("E-1").room == "" and places.spot("shed.west").wall == "west"


def test_what_to_carry_through_a_room_comes_first(rough: Sheet) -> None:
    first = stops(rough, "shed")[0]
    assert len(first.elements) == 3
    assert first.elements == ("B-3", "B-2", "B-1"), "in walking order"


def test_many_of_a_kind_are_one_block_to_carry(rough: Sheet) -> None:
    asked = question(rough, "free conductor", "B-1")
    assert (asked.elements, asked.limit) == (("B-3", "B-2", "B-1"), "at least 6 in")
    assert asked.go == "Carry a block of 6 in: is it at least that at every one"
    assert target(asked) == {"element": ["B-3", "B-2", "B-1"], "list": "boxes", "fact": "free conductor"}
    alone = question(rough, "free conductor", "B-4")
    assert (alone.limit, alone.form, alone.written) == ("", "length", "at least 5 in")


def test_what_no_block_can_decide_is_asked_as_it_is() -> None:
    cables = "cables: {C-1: {from: B-1, to: B-2, what: 12-2 NM-B}, C-2: {from: B-2, to: B-3, what: 12-2 NM-B}}\n"
    volume = question(sheet(SHED + cables, "rough electrical"), "volume", "B-2")
    assert (volume.limit, volume.go, volume.tool) == ("", "", "label or plate")


def test_a_fact_is_asked_by_the_name_it_has_in_the_file_with_its_words() -> None:
    cables = "cables: {C-1: {from: B-1, to: B-2}}\n"
    asked = [one for one in sheet(SHED + cables, "all").questions if "C-1" in one.elements]
    facts = {one.fact: target(one) for one in asked}
    assert facts["what"] == {"element": "C-1", "list": "cables", "fact": "what"}
    assert "number and size of its conductors" not in facts
    runs = next(one for one in asked if one.fact == "runs")
    assert (runs.form, runs.several) == ("ids", True) and "in the attic" in runs.ids
    assert runs.ask.startswith("Where it runs, all of it")


def test_an_outlet_and_its_box_are_one_stop_and_each_question_says_which(rough: Sheet) -> None:
    stop = next(one for one in stops(rough, "shed") if one.elements == ("R-1",))
    assert (stop.name, stop.where) == ("receptacle R-1", "north wall, 9 ft from its left end, 18 in up")
    volume = next(one for one in stop.questions if one.fact == "volume")
    assert (volume.elements, volume.of) == (("B-1",), "box B-1")
    assert "box B-1: Volume marked in it" in fieldsheet_text(rough)
    assert next(one for one in stop.questions if one.fact == "serves").of == ""


def test_many_that_are_compared_with_no_one_limit_are_read_at_both_ends(rough: Sheet) -> None:
    assert question(rough, "setback", "B-1").form == "span"


def test_one_thing_is_one_stop_with_all_its_questions_in_the_order_of_its_description(gas: Sheet) -> None:
    tests = [stop for stop in stops(gas, "") if stop.elements == ("GT-1",)]
    assert len(tests) == 1
    facts = [one.fact for one in tests[0].questions]
    assert facts.index("pressure") < facts.index("end pressure") < facts.index("started")
    assert len(facts) == len(set(facts)) > 6


def test_tools_and_precision_are_said(gas: Sheet, rough: Sheet) -> None:
    pressure = question(gas, "pressure", "GT-1")
    assert (pressure.tool, pressure.precision, pressure.known) == (
        "gauge and clock",
        "to the finest mark of the gauge",
        "tested",
    )
    conductor = question(rough, "free conductor", "B-4")
    assert (conductor.tool, conductor.precision, conductor.known) == ("tape", "to 1/16 in", "measured")
    assert question(gas, "source off", "GT-1").tool == "by eye"


def test_what_must_be_off_and_how_high_the_gauge_may_go_stand_before_the_blanks(gas: Sheet) -> None:
    before = " ".join(next(stop.before for stop in stops(gas, "") if stop.elements == ("GT-1",)))
    assert "never oxygen" in before and "capped" in before
    assert "UH-1 14 in w.c." in before
    assert "The test asks for at least 3 psi (IFGC 2021 406.4.1)" in before
    assert "never past the end of its dial, 10 psi" in before
    text = fieldsheet_text(gas)
    assert text.index("never oxygen") < text.index("Gauge reading at the start")


def test_a_label_behind_a_cover_is_asked_with_the_supply_off(rough: Sheet) -> None:
    behind = [
        stop
        for room in rough.visits[0].rooms
        for stop in room.stops
        if any(q.tool == "label or plate" for q in stop.questions)
    ]
    assert behind
    for stop in behind:
        if stop.questions[0].key[0] in ("circuits", "boxes"):
            assert "locked off and proven dead" in stop.before[0]


def test_the_limits_stand_after_every_blank_of_the_visit(rough: Sheet) -> None:
    text = fieldsheet_text(rough)
    blanks, _, limits = text.partition("WHAT THE SECTIONS ASK")
    asked = question(rough, "setback", "B-1")
    assert any(reason.needed for one in rough.questions for reason in one.why)
    for one in rough.questions:
        for reason in one.why:
            if reason.needed.startswith(("at least ", "at most ")) and not one.limit:
                assert reason.needed not in blanks
    assert asked.why[0].citation.split(" (")[0] in " ".join(limits.split())


def test_the_paper_keeps_to_its_width_and_numbers_every_blank_once(rough: Sheet) -> None:
    text = fieldsheet_text(rough)
    assert max(map(len, text.splitlines())) <= WIDTH
    numbers = [int(one) for one in re.findall(r"^  +(\d+)\. ", text.partition("WHAT THE SECTIONS")[0], re.M)]
    assert numbers == list(range(1, len(rough.questions) + 1))
    for word in ("passed", "approved", "compliant", "violation", "safe"):
        assert word not in text.lower()


def test_a_fact_that_several_visits_wait_for_is_asked_at_the_first() -> None:
    every = sheet(SHED, "all")
    keys = [one.key for one in every.questions]
    assert len(keys) == len(set(keys))
    assert len(every.visits) > 3


def test_a_reading_closer_to_its_limit_than_a_tape_can_tell_is_asked_again() -> None:
    close = SHED.replace("free conductor: at least 5 in", "free conductor: 5-15/16 in")
    again = question(sheet(close, "rough electrical"), "free conductor", "B-4")
    assert (again.again, again.was, again.written) == (True, "5-15/16 in", "")
    blanks, _, limits = fieldsheet_text(sheet(close, "rough electrical")).partition("WHAT THE SECTIONS ASK")
    assert "Measure again" in blanks and "5-15/16 in" not in blanks
    assert "first reading 5-15/16 in" in limits


def test_readings_that_are_taken_again_are_taken_one_by_one() -> None:
    close = SHED.replace("material: plastic}", "material: plastic, free conductor: 5-15/16 in}")
    asked = [one for one in sheet(close, "rough electrical").questions if one.fact == "free conductor" and one.again]
    assert [one.elements for one in asked] == [("B-3",), ("B-2",), ("B-1",)]


def test_a_length_that_stands_on_paper_needs_no_block() -> None:
    garage = """\
site: House
permit: {occupancy: one family}
described: {electrical: none, fuel gas: none, fuel burning appliances: none, rated walls: yes}
spaces: {garage: {use: garage, size: 20 ft x 20 ft}}
garage ceilings: {Y-1: {space: garage, above: habitable rooms}, Y-2: {space: garage, above: habitable rooms}, Y-3: {space: garage, above: habitable rooms}}
"""
    board = question(sheet(garage, "all"), "board", "Y-1")
    assert (board.elements, board.tool, board.limit, board.form) == (("Y-1", "Y-2", "Y-3"), "papers", "", "length")


def test_what_was_said_instead_of_an_answer_is_there_the_next_time() -> None:
    said = "by: A.B.\nday: 2026-06-14\nanswers: [{element: B-4, fact: free conductor, said: cannot reach, note: boxed in}]\n"
    found = question(sheet(SHED, "rough electrical", said), "free conductor", "B-4")
    assert found.earlier == "cannot reach (A.B., 2026-06-14): boxed in"


def test_an_empty_answers_file_has_every_blank(rough: Sheet) -> None:
    document = read_yaml(empty_answers(rough), "answers.yaml")
    assert isinstance(document.data, dict)
    assert len(document.data["answers"]) == len(rough.questions)
    assert all(one["value"] is None for one in document.data["answers"])


def test_what_nobody_has_spoken_of_is_asked_in_plain_words() -> None:
    asked = question(sheet("site: Shed\n", "all"), "fuel gas", "described")
    assert asked.ask == "Does the building have gas piping, natural or propane?"
    assert asked.words == ("yes", "none", "not sure")
    assert target(asked) == {"element": "described", "fact": "fuel gas"}


def test_the_building_is_one_stop() -> None:
    whole = [stop for stop in stops(sheet(SHED, "final"), "") if stop.name == "the building"]
    assert len(whole) == 1 and len(whole[0].questions) > 1


def test_nothing_to_ask_is_said() -> None:
    nothing = Sheet("Shed", "2026-06-15", ("NEC 2020",), "", ())
    assert "Nothing is left to measure" in fieldsheet_text(nothing)
    assert read_yaml(empty_answers(nothing), "a.yaml").data["answers"] == []  # type: ignore[index, call-overload]


def test_every_figure_of_a_site_has_units_to_pick() -> None:
    fields = [field for made in classes().values() for field in made.model_fields.values()]
    dimensions = {found.dimension for field in fields if (found := fact_type_of(field)) is not None and found.dimension}
    assert dimensions - {"length"} <= set(UNITS)


def test_every_unit_that_the_page_offers_can_be_read() -> None:
    for dimension, units in UNITS.items():
        for unit in units:
            figure = {"wire size": {"AWG": "12", "kcmil": "250"}.get(unit), "pipe size": "3/4", "share": "1/4"}.get(
                dimension
            ) or "2"
            quantity(f"{figure} {unit}".strip(), dimension)
