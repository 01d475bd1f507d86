"""Tables: a file from a spreadsheet, or a list of mappings, as a list of the site."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oktocover.reading.short.cells import Sheet
from oktocover.reading.site_file import SiteFile

Read = Callable[..., SiteFile]
Refused = Callable[..., list[str]]

TABLES = "tables: {receptacles: devices.csv}\n"
DEVICES = '''\
id,what,wall,at,height,note
R-1,5-20 duplex,studio.north,4 ft 9 in,44 in,
R-2,,studio.west,"4' 9-1/2""",,"over the bench, ""left"""

R-3,14-50,studio.west,12' 6",none of it,x
'''


def text_of(value: object) -> object:
    return getattr(value, "text", value)


def test_the_first_column_is_the_id_and_a_blank_is_not_recorded(read: Read) -> None:
    found = read(TABLES, {"devices.csv": DEVICES.replace("none of it", "")}).site.receptacles
    assert list(found) == ["R-1", "R-2", "R-3"]
    assert [text_of(one.at) for one in found.values()] == ["4 ft 9 in", "4' 9-1/2\"", "12' 6\""]
    assert [text_of(one.height) for one in found.values()] == ["44 in", None, None]
    assert [one.what for one in found.values()] == ["5-20 duplex", None, "14-50"]
    assert found["R-2"].note == 'over the bench, "left"' and found["R-1"].note is None
    assert found["R-1"].mount is None


def test_each_cell_has_its_place(read: Read, refused: Refused) -> None:
    found = read(TABLES, {"devices.csv": DEVICES.replace("none of it", "")})
    place = found.place(("receptacles", "R-3", "what"))
    assert place.file.endswith("devices.csv") and (place.line, place.column) == (5, 5)
    assert found.key_place(("receptacles", "R-2")).line == 3
    (one,) = refused(TABLES, {"devices.csv": DEVICES})
    assert one.startswith("devices.csv:5: height: 'none of it'")


def test_lines_are_counted_through_cells_of_several_lines(refused: Refused) -> None:
    (one,) = refused(TABLES, {"devices.csv": 'id,note,height\nA,"over\nthe\nbench",44\nB,,44 in\n'})
    assert one.startswith("devices.csv:4: height: '44' has no unit")


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_a_file_as_spreadsheets_save_it(read: Read, separator: str, ending: str) -> None:
    lines = [["ID", "What", "Above_Counter"], ["R-1", "5-20 duplex", "at least 1-1/4 in"], ["", "", ""]]
    content = "\ufeff" + ending.join(separator.join(line) for line in lines) + ending
    found = read(TABLES, {"devices.csv": content}).site.receptacles
    assert list(found) == ["R-1"] and text_of(found["R-1"].above_counter) == "at least 1-1/4 in"


def test_a_declared_separator(read: Read) -> None:
    assert list(read(TABLES, {"devices.csv": "sep=|\nid|what\nR-1|14-50\n"}).site.receptacles) == ["R-1"]


def test_none_is_typed_and_a_list_has_semicolons(read: Read) -> None:
    walls = "id,sides,rating,exterior\nW1,studio.north; store.south,none,no\nW2,studio.west,,yes\n"
    found = read("tables: {walls: walls.csv}\n", {"walls.csv": walls}).site.walls
    assert found["W1"].sides == ["studio.north", "store.south"] and found["W2"].sides == ["studio.west"]
    assert found["W1"].rating == "none" and found["W2"].rating is None
    assert found["W1"].exterior is False
    tests = read("tables: {gas tests: t.csv}\n", {"t.csv": "id,connected\nT1,[]\nT2,\n"}).site.gas_tests
    assert tests["T1"].connected == [] and tests["T2"].connected is None


@pytest.mark.parametrize(
    "cell",
    ["2-Dec", "Jan-04", "2026-04-03", "03-Apr-2026", "12/2/2026", "4.3.26", "Dec-2", "2 December", "2026-04-03 00:00:00"],
)
def test_a_cell_that_became_a_date_is_refused(refused: Refused, cell: str) -> None:
    for column in ("cable", "breaker"):
        (one,) = refused("tables: {circuits: c.csv}\n", {"c.csv": f"id,{column}\nC-1,{cell}\n"})
        assert one.startswith(f"c.csv:2: {column}: '{cell}' is a date, and no date belongs here") and "12-2 NM-B" in one
    (ids,) = refused("tables: {circuits: c.csv}\n", {"c.csv": f"id,cable\n{cell},12-2 NM-B\n"})
    assert ids.startswith(f"c.csv:2: id: '{cell}' is a date")


@pytest.mark.parametrize("cell", ["12-2 NM-B", "3/4 in", "decking 2", "maybe 3", "4-3", "12/2", "1-1/4 in"])
def test_what_is_no_date_is_let_through(read: Read, cell: str) -> None:
    assert read("tables: {circuits: c.csv}\n", {"c.csv": f"id,for\nC-1,{cell}\n"}).site.circuits["C-1"].for_ == cell


def test_a_date_stands_where_dates_belong(read: Read) -> None:
    found = read("tables: {gas tests: t.csv}\n", {"t.csv": "id,started,note\nT1,2026-05-03 9:05,2026-05-03\n"})
    assert found.site.gas_tests["T1"].note == "2026-05-03"


@pytest.mark.parametrize("cell", ["#REF!", "#N/A", "=B2*2", "#NAME?", "####"])
def test_errors_and_formulas_of_a_spreadsheet_are_refused(refused: Refused, cell: str) -> None:
    (one,) = refused("tables: {circuits: c.csv}\n", {"c.csv": f"id,cable\nC-1,{cell}\n"})
    assert one.startswith("c.csv:2: cable: ") and "formula" in one


def test_heads_that_are_not_understood(refused: Refused) -> None:
    (one,) = refused(TABLES, {"devices.csv": "id,heigth\nR-1,44 in\n"})
    assert one.startswith("devices.csv:1: 'heigth' is no column") and one.endswith("did you mean 'height'?")
    (two,) = refused(TABLES, {"devices.csv": "id,height,Height\nR-1,44 in,43 in\n"})
    assert two.startswith("devices.csv:1: the column 'Height' stands twice")
    (three,) = refused(TABLES, {"devices.csv": "what,id\n14-50,R-1\n"})
    assert three.startswith("devices.csv:1: the first column of a table is 'id', here it is 'what'")


def test_ids_that_stand_twice_are_said_with_both_places(refused: Refused) -> None:
    (one,) = refused(TABLES, {"devices.csv": "id,what\nR-1,14-50\nR-1,14-50\n"})
    assert one.startswith("devices.csv:3: 'R-1' stands twice; the other is at devices.csv:2:1")
    (two,) = refused("receptacles: {R-1: {what: 14-50}}\n" + TABLES, {"devices.csv": "id\nR-1\n"})
    assert two.startswith("devices.csv:2: 'R-1' stands twice; the other is at site.yaml:5:15")


def test_rows_that_are_no_rows(refused: Refused) -> None:
    (one,) = refused(TABLES, {"devices.csv": "id,what\n,14-50\n"})
    assert one.startswith("devices.csv:2: this row has no id")
    (two,) = refused(TABLES, {"devices.csv": "id,at\nR-1,4 ft, 9 in\n"})
    assert two.startswith("devices.csv:2: '9 in' stands in a column without a head")
    (three,) = refused(TABLES, {"devices.csv": 'id,what\nR-1,14-50\nR-2,"14-50\n'})
    assert three.startswith("devices.csv:3: this quoted cell has no end")
    (four,) = refused(TABLES, {"devices.csv": "\n,,\n"})
    assert four.startswith("devices.csv:1: the table is empty")


def test_files_that_are_not_there(refused: Refused) -> None:
    (one,) = refused("tables: {receptacles: device.csv}\n", {"devices.csv": DEVICES})
    assert one.startswith("site.yaml:5: there is no file 'device.csv'") and "did you mean 'devices.csv'?" in one
    for bad in ("devices.txt", "/etc/devices.csv", "devices"):
        (two,) = refused(f"tables: {{receptacles: {bad}}}\n")
        assert two.startswith(f"site.yaml:5: '{bad}' is no file")
    (three,) = refused("tables: {receptacle: devices.csv}\n", {"devices.csv": DEVICES})
    assert three.endswith("did you mean 'receptacles'?")
    (four,) = refused(TABLES, {"devices.csv": "\0"})
    assert "not a text file" in four


def test_a_list_of_mappings_and_several_files(read: Read, refused: Refused) -> None:
    found = read(
        "tables:\n  receptacles:\n    - {id: A, height: {is: 44 in, known: told}, at: }\n    - more.yaml\n    - b.csv\n",
        {"more.yaml": "- {id: B, height: 30 in}\n", "b.csv": "id,height\nC,18 in\n"},
    )
    assert [text_of(one.height) for one in found.site.receptacles.values()] == ["44 in", "30 in", "18 in"]
    assert found.known == {("receptacles", "A", "height"): "told"}
    assert found.place(("receptacles", "A", "height")).line == 7
    assert found.place(("receptacles", "B", "height")).file.endswith("more.yaml")
    for text, said in {
        "[{height: 44 in}]": "a row of a table is a mapping with an id",
        "[[]]": "a row of a table is a mapping with an id",
        "[{id: A, heigth: 44 in}]": "'heigth' is not a key that stands in receptacles",
        "{A: {height: 44 in}}": "a table is a file, or a list of mappings",
    }.items():
        (one,) = refused(f"tables: {{receptacles: {text}}}\n")
        assert one.startswith("site.yaml:5: " + said)
    (both,) = refused("tables: {receptacles: m.yaml}\n", {"m.yaml": "A: {height: 44 in}\n"})
    assert both.startswith("m.yaml:1: a file of a table is a list of mappings")


CELL = st.text(st.sampled_from("ab 0';,\"\n\t"), max_size=6)


@given(st.lists(st.lists(CELL, min_size=2, max_size=4), min_size=1, max_size=5), st.sampled_from(",;\t"))
def test_cells_are_those_of_the_library_reader(rows: list[list[str]], separator: str) -> None:
    """Every file that the csv module of the standard library writes is read as that module reads it."""
    out = io.StringIO()
    csv.writer(out, delimiter=separator).writerows([["id", "a", "b", "c"], *rows])
    table = csv.reader(io.StringIO(out.getvalue()), delimiter=separator)
    wanted = [[" ".join(cell.split()) for cell in row] for row in table]
    found = [[" ".join(cell.text.split()) for cell in row] for row in Sheet("a.csv", out.getvalue()).rows]
    assert found == [row for row in wanted if any(row)]


def test_an_editor_completes_tables(fits: Callable[[str], list[str]]) -> None:
    assert fits(TABLES) == []
    assert fits("tables: {receptacles: [{id: A, height: 44 in}, b.csv]}") == []
    for bad in ("tables: {receptacle: a.csv}", "tables: {receptacles: a.txt}", "tables: {receptacles: [{height: 44 in}]}",
                "tables: {receptacles: [{id: A, heigth: 44 in}]}"):
        assert fits(bad), bad
