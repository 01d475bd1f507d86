"""Answers from the field: what fills a blank, what gives way, what is a conflict, and how mistakes are told."""

from __future__ import annotations

import datetime
import json
from pathlib import Path

import jsonschema
import pytest
import yaml

from oktocover.quantities import read as quantity
from oktocover.reading.nodes import read_yaml
from oktocover.reading.problems import InputProblems
from oktocover.reading.site_file import SiteFile, make_site

TODAY = datetime.date(2026, 6, 15)
ROOT = Path(__file__).resolve().parents[2]
SITE = """\
site: Shed
described: {electrical: yes, compressed air: not sure}
typicals:
  usual: {height: 44 in}
spaces: {shed: {use: workshop, size: 12 ft x 10 ft}}
receptacles:
  R-1: {wall: shed.north, at: 2 ft, typical: usual}
  R-2: {wall: shed.north, what: 5-20 duplex, height: {is: 18 in, known: measured, by: M.K.}}
  R-3: {wall: shed.north, at: at least 9 ft}
switches: {S-1: {wall: shed.east}}
lights: {L-1: {space: shed}, L-2: {space: shed}}
holes: {N-1: {wall: shed.east, edge: at least 1 in}}
looked:
  - {list: openings, whole: yes, by: M.K., day: 2026-06-01}
records:
  - {for: nec.plates, element: building, answer: yes, by: M.K., day: 2026-06-01}
"""
HEAD = "by: A.B.\nday: 2026-06-14\nanswers:\n"


def laid(*lines: str, head: str = HEAD) -> SiteFile:
    text = head + "".join(f"  - {{{line}}}\n" for line in lines)
    return make_site([read_yaml(SITE, "site.yaml")], "site.yaml", TODAY, answers=[read_yaml(text, "answers.yaml")])


def refused(*lines: str, head: str = HEAD) -> str:
    with pytest.raises(InputProblems) as caught:
        laid(*lines, head=head)
    return str(caught.value)


def told(read: SiteFile) -> str:
    return "\n".join(one.text() for one in read.warnings)


def test_a_reading_fills_a_blank_with_its_person_and_its_line() -> None:
    read = laid("element: R-2, fact: at, value: 5 ft 2-1/2 in, known: measured")
    assert read.site.receptacles["R-2"].at == quantity("5 ft 2-1/2 in", "length")
    path = ("receptacles", "R-2", "at")
    assert read.known[path] == "measured" and read.said_by[path] == "A.B."
    assert str(read.place(path)).startswith("answers.yaml:4:")
    assert str(read.place(("receptacles", "R-2", "what"))).startswith("site.yaml:8:")
    assert told(read) == ""


def test_a_blank_in_the_file_answers_nothing() -> None:
    read = laid("element: R-2, fact: at, value: ", "element: R-2, fact: serves, known: looked")
    assert read.site.receptacles["R-2"].at is None and read.site.receptacles["R-2"].serves is None


def test_a_bound_is_made_exact_and_an_exact_value_stays() -> None:
    assert laid("element: R-3, fact: at, value: 9 ft 6 in").site.receptacles["R-3"].at == quantity(
        "9 ft 6 in", "length"
    )
    assert laid("element: R-2, fact: height, value: at least 12 in").site.receptacles["R-2"].height == quantity(
        "18 in", "length"
    )
    assert "is '8 ft' here" in refused("element: R-3, fact: at, value: 8 ft")


def test_what_was_only_typical_gives_way_and_is_told() -> None:
    read = laid("element: R-1, fact: height, value: 43 in, known: measured")
    assert read.site.receptacles["R-1"].height == quantity("43 in", "length")
    text = told(read)
    assert "'43 in' (A.B., 2026-06-14) takes the place of '44 in', typical at site.yaml:4" in text


def test_looking_at_what_was_typical_makes_it_known_better() -> None:
    read = laid("element: R-1, fact: height, value: 44 in, known: measured")
    assert read.known["receptacles", "R-1", "height"] == "measured"
    assert told(read) == ""


def test_a_site_and_an_answer_that_disagree_are_shown_with_both_places_and_names() -> None:
    text = refused("element: R-2, fact: height, value: 17 in")
    assert "answers.yaml:4:" in text and "site.yaml:8:" in text
    assert "'17 in' here (A.B., 2026-06-14), and '18 in' (M.K.)" in text
    assert "add: was: 18 in" in text


def test_a_reading_taken_again_keeps_the_old_one_in_sight() -> None:
    read = laid("element: R-2, fact: height, value: 17 in, was: 18 in, note: tape slipped")
    assert read.site.receptacles["R-2"].height == quantity("17 in", "length")
    assert "takes the place of '18 in' at site.yaml:8" in told(read)
    assert "and '18 in'" in refused("element: R-2, fact: height, value: 17 in, was: 16 in")


def test_two_answers_that_disagree_are_shown_with_both_places_and_names() -> None:
    one = read_yaml(HEAD + "  - {element: R-2, fact: at, value: 5 ft}\n", "one.yaml")
    two = read_yaml(HEAD.replace("A.B.", "C.D.") + "  - {element: R-2, fact: at, value: 6 ft}\n", "two.yaml")
    with pytest.raises(InputProblems) as caught:
        make_site([read_yaml(SITE, "site.yaml")], "site.yaml", TODAY, answers=[one, two])
    text = str(caught.value)
    assert "two.yaml:4:" in text and "one.yaml:4:" in text
    assert "'6 ft' (C.D., 2026-06-14) here, and '5 ft' (A.B., 2026-06-14)" in text
    same = read_yaml(HEAD.replace("A.B.", "C.D.") + "  - {element: R-2, fact: at, value: 60 in}\n", "two.yaml")
    read = make_site([read_yaml(SITE, "site.yaml")], "site.yaml", TODAY, answers=[one, same])
    assert read.said_by["receptacles", "R-2", "at"] == "A.B."


def test_one_look_at_many_is_signed_and_counted() -> None:
    read = laid(
        "element: [R-1, R-2, R-3], list: receptacles, fact: location, value: dry, count: 3, how: walked the room"
    )
    assert {one.location for one in read.site.receptacles.values()} == {"dry"}
    look = "3 receptacles (A.B., 2026-06-14): location, by one look, walked the room"
    assert read.rests_on == [look, "3 readings of answers.yaml (A.B., 2026-06-14)"]
    assert "names 2" in refused("element: [R-1, R-2], list: receptacles, fact: location, value: dry, count: 5")


def test_an_exception_of_a_look_has_an_answer_of_its_own() -> None:
    read = laid(
        "element: [R-1, R-3], list: receptacles, fact: location, value: dry, count: 3, except: [R-2]",
        "element: R-2, list: receptacles, fact: location, value: damp",
    )
    assert read.site.receptacles["R-2"].location == "damp"
    assert "except R-2" in read.rests_on[0]


def test_what_is_found_out_one_by_one_is_not_said_of_many() -> None:
    site = SITE + "gas pipes: {G-1: {}, G-2: {}}\n"
    text = HEAD + "  - {element: [G-1, G-2], fact: length, value: 9 ft, count: 2}\n"
    with pytest.raises(InputProblems, match="one look does not cover these"):
        make_site([read_yaml(site, "site.yaml")], "site.yaml", TODAY, answers=[read_yaml(text, "answers.yaml")])


@pytest.mark.parametrize("word", ["cannot reach", "not there", "ask"])
def test_what_could_not_be_answered_stays_not_recorded_and_is_told(word: str) -> None:
    read = laid(f"element: R-2, fact: at, said: {word}, note: behind the shelf")
    assert read.site.receptacles["R-2"].at is None
    assert f"{word} (A.B., 2026-06-14): at of R-2 (behind the shelf)" in told(read)
    assert read.instead["receptacles", "R-2", "at"] == f"{word} (A.B., 2026-06-14): behind the shelf"


def test_what_was_said_of_many_blanks_is_one_warning() -> None:
    read = laid(
        "element: [R-1, R-2, R-3], fact: location, said: ask", "element: S-1, fact: box, said: ask, note: whose?"
    )
    (warning,) = read.warnings
    assert (
        "ask (A.B., 2026-06-14): location of R-1, location of R-2, location of R-3, box of S-1 (whose?)"
        in warning.text()
    )


def test_a_doubtful_value_counts_and_is_told() -> None:
    read = laid("element: R-2, fact: at, value: 5 ft, said: looks wrong")
    assert read.site.receptacles["R-2"].at == quantity("5 ft", "length")
    assert "looks wrong" in told(read)
    assert "and yet there is a value" in refused("element: R-2, fact: at, value: 5 ft, said: cannot reach")


def test_lists_of_ids_may_be_written_as_text() -> None:
    assert laid('element: S-1, fact: controls, value: "L-1, L-2"').site.switches["S-1"].controls == ["L-1", "L-2"]
    assert laid("element: S-1, fact: controls, value: [L-1]").site.switches["S-1"].controls == ["L-1"]
    assert laid("element: S-1, fact: controls, value: none").site.switches["S-1"].controls == []
    assert "L-9" in refused("element: S-1, fact: controls, value: [L-9]")


def test_facts_of_the_building_are_answered_by_where_they_stand() -> None:
    read = laid(
        "element: described, fact: fuel gas, value: no",
        "element: described, fact: compressed air, value: none",
        "element: site, fact: measured to, value: bare framing",
        "element: still to come, fact: walls, value: 1/2 in",
        "element: permit, fact: occupancy, value: accessory",
        "element: permit gas, fact: number, value: G-7",
    )
    site = read.site
    assert (site.described.fuel_gas, site.described.compressed_air) == ("none", "none")
    assert site.measured_to == "bare framing" and site.permit.occupancy == "accessory"
    assert site.permit.gas is not None and site.permit.gas.number == "G-7"
    assert "is 'none' here" in refused("element: described, fact: electrical, value: none")


def test_a_wall_that_has_no_entry_gets_one_for_the_side_that_was_looked_at() -> None:
    read = laid("element: shed.west, list: walls, fact: exterior, value: yes")
    assert read.site.walls["shed.west"].sides == ["shed.west"] and read.site.walls["shed.west"].exterior is True


def test_walls_follow_from_a_room_that_is_measured_in_the_field() -> None:
    site = SITE.replace(", size: 12 ft x 10 ft", "") + "walls: [{all: outside walls, spacing: 16 in}]\n"
    site = site.replace("looked:\n", "looked:\n  - {list: spaces, whole: yes, by: M.K., day: 2026-06-01}\n")
    site = site.replace("{use: workshop}", '{use: workshop, corner: "0 ft, 0 ft"}')
    answers = HEAD + "  - {element: shed, list: spaces, fact: size, value: 12 ft x 10 ft, known: measured}\n"

    def walls(*documents: str) -> int:
        given = [read_yaml(one, "answers.yaml") for one in documents]
        return len(make_site([read_yaml(site, "site.yaml")], "site.yaml", TODAY, answers=given).site.walls)

    assert (walls(), walls(answers)) == (0, 4)


def test_a_record_is_answered_once() -> None:
    read = laid("element: [L-1, L-2], record: nec.light-support, value: yes")
    assert [(one.for_, one.element, one.answer, one.by) for one in read.site.records[1:]] == [
        ("nec.light-support", "L-1", True, "A.B."),
        ("nec.light-support", "L-2", True, "A.B."),
    ]
    assert len(laid("element: building, record: nec.plates, value: yes").site.records) == 1
    text = refused("element: building, record: nec.plates, value: no")
    assert "M.K." in text and "site.yaml:16" in text and "A.B." in text
    assert "neither yes nor no" in refused("element: building, record: nec.other, value: perhaps")


def test_a_whole_list_is_a_statement_with_its_count() -> None:
    said = laid("whole: receptacles, in: shed, value: yes, count: 3").site.looked[-1]
    assert (said.list_, said.in_, said.whole, said.by) == ("receptacles", "shed", True, "A.B.")
    assert said.count == quantity("3", "number")
    read = laid("whole: lights, value: no, note: one more in the loft")
    assert len(read.site.looked) == 1
    assert "the list of lights is not whole (A.B., 2026-06-14): one more in the loft" in told(read)
    assert "there is no room 'shad'" in refused("whole: receptacles, in: shad, value: yes")


def test_what_no_line_takes_is_repeated() -> None:
    assert "box of R-2: 'B-7' (A.B., 2026-06-14)" in told(laid("about: box of R-2, value: B-7"))


@pytest.mark.parametrize(
    ("line", "message", "do"),
    [
        ("element: R-2, fact: at, value: 12", "has no unit", ""),
        (
            "element: R-2, fact: mount, value: wal",
            "not one of the words",
            "write:   - {element: R-2, fact: mount, value: wall}",
        ),
        ("element: R-9, fact: at, value: 3 ft", "there is no 'R-9' in this site", "did you mean 'R-"),
        (
            "element: R-2, list: recaptacles, fact: at, value: 3 ft",
            "no list 'recaptacles'",
            "did you mean 'receptacles'",
        ),
        ("element: R-2, fact: hight, value: 3 ft", "'hight' is no fact of receptacles", "did you mean 'height'"),
        ("element: described, fact: fuel gass, value: yes", "no fact of described", "did you mean 'fuel gas'"),
        ("element: R-2, value: 3 ft", "does not say what it is about", "fact: (with element:)"),
        ("fact: at, value: 3 ft", "'at' of what?", "element:"),
        ("whole: lihgts, value: yes", "no list 'lihgts'", "did you mean 'lights'"),
        ("element: R-2, fact: at, valeu: 3 ft", "'valeu' is not a key", "did you mean 'value'"),
        ("element: R-2, fact: at, said: cant reach", "not one of the words", "did you mean 'cannot reach'"),
        ("element: R-2, fact: at, value: {ft: 3}", "one value was expected", ""),
    ],
)
def test_mistakes_name_their_line_and_what_to_do(line: str, message: str, do: str) -> None:
    text = refused(line)
    assert text.startswith("answers.yaml:4:") and message in text and do in text


def test_answers_of_another_building_or_day_are_refused() -> None:
    assert "these answers are about 'Barn'" in refused(
        "element: R-2, fact: at, value: 3 ft", head="site: Barn\n" + HEAD
    )
    laid("element: R-2, fact: at, value: 3 ft", head="site: SHED\n" + HEAD)
    assert "in the future" in refused(head=HEAD.replace("06-14", "07-14"))
    assert "this is no file of answers" in refused(head="site: Shed\n")
    assert "'by' is missing" in refused("element: R-2, fact: at, value: 3 ft", head=HEAD.replace("by: A.B.\n", ""))


def test_the_schema_knows_what_the_reader_accepts() -> None:
    schema = jsonschema.Draft202012Validator(json.loads((ROOT / "schemas" / "answers.schema.json").read_text()))
    lines = [
        "  - {element: [R-1, R-3], list: receptacles, fact: at, value: 3 ft, count: 3, except: [R-2], how: walked}",
        "  - {element: R-2, fact: at, said: cannot reach, note: behind the shelf}",
        "  - {whole: lights, in: shed, value: yes, count: 2}",
    ]
    good = yaml.safe_load(HEAD.replace("2026-06-14", '"2026-06-14"') + "\n".join(lines))
    assert list(schema.iter_errors(good)) == []
    bad = yaml.safe_load('by: A.B.\nday: "2026-06-14"\nanswers: [{element: R-2, fact: at, said: no idea}]')
    assert list(schema.iter_errors(bad))
