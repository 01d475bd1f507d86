"""Rows: equal elements in one line."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from oktocover.reading.site_file import SiteFile

Read = Callable[..., SiteFile]
Refused = Callable[..., list[str]]

ROW = """\
rows:
  - list: receptacles
    ids: [R-06, R-07, R-08]
    at: [2 ft, 7 ft, ~]
    wall: studio.west
    height: 44 in
    what: 5-20 duplex
"""


def test_a_list_is_spread_and_a_single_value_is_shared(read: Read) -> None:
    found = read(ROW).site.receptacles
    assert list(found) == ["R-06", "R-07", "R-08"]
    assert [one.at.text if one.at else None for one in found.values()] == ["2 ft", "7 ft", None]
    assert {one.height.text for one in found.values() if one.height} == {"44 in"}
    assert {one.wall for one in found.values()} == {"studio.west"}
    assert found["R-06"].mount is None


def test_a_row_is_the_same_as_its_long_form(read: Read) -> None:
    long = """\
receptacles:
  R-06: {at: 2 ft, wall: studio.west, height: 44 in, what: 5-20 duplex}
  R-07: {at: 7 ft, wall: studio.west, height: 44 in, what: 5-20 duplex}
  R-08: {wall: studio.west, height: 44 in, what: 5-20 duplex}
"""
    short, whole = read(ROW), read(long)
    assert short.site == whole.site
    assert short.known == whole.known


def test_each_fact_leads_to_the_value_in_the_row(read: Read) -> None:
    found = read(ROW)
    lines = {
        ("receptacles", "R-07"): (7, 17),
        ("receptacles", "R-07", "at"): (8, 16),
        ("receptacles", "R-07", "height"): (10, 13),
    }
    for path, wanted in lines.items():
        place = found.place(path)
        assert (Path(place.file).name, place.line, place.column) == ("site.yaml", *wanted), path
    assert found.key_place(("receptacles", "R-08")).line == 7


def test_how_known_is_kept(read: Read) -> None:
    found = read(
        "rows: [{list: receptacles, ids: [A, B], known: told, at: {is: [1 ft, 2 ft], known: planned}, "
        "height: {is: 44 in, known: looked}}]"
    )
    assert found.known == {
        ("receptacles", one, fact): how for one in "AB" for fact, how in (("at", "planned"), ("height", "looked"))
    }
    assert found.site.receptacles["B"].known == "told"
    assert found.site.receptacles["B"].at is not None and found.site.receptacles["B"].at.text == "2 ft"


def test_a_fact_that_is_a_list_is_shared_unless_each_has_its_own(read: Read) -> None:
    shared = read("rows: [{list: walls, ids: [W1, W2], sides: [studio.north, store.south]}]").site.walls
    assert [one.sides for one in shared.values()] == [["studio.north", "store.south"]] * 2
    own = read("rows: [{list: walls, ids: [W1, W2], sides: [[studio.north], [store.east]]}]").site.walls
    assert [one.sides for one in own.values()] == [["studio.north"], ["store.east"]]


def test_rows_stand_beside_entries_and_may_be_blank(read: Read) -> None:
    found = read("receptacles:\nrows:\n  - {list: receptacles, ids: [A]}\n  -\n  - {list: openings, ids: [D1]}\n")
    assert list(found.site.receptacles) == ["A"] and list(found.site.openings) == ["D1"]
    assert read("rows:\n").site.receptacles == {}
    assert "rows" not in found.expanded


def test_an_id_that_stands_twice_is_said_with_both_places(refused: Refused) -> None:
    (one,) = refused("receptacles: {R-1: {height: 44 in}}\nrows: [{list: receptacles, ids: [R-0, R-1], height: 1 ft}]")
    assert one.startswith("site.yaml:6: 'R-1' stands twice; the other is at site.yaml:5:15")
    (two,) = refused("rows:\n  - {list: receptacles, ids: [R-1]}\n  - {list: receptacles, ids: [R-1]}\n")
    assert two.startswith("site.yaml:7: 'R-1' stands twice; the other is at site.yaml:6:31")
    (both,) = refused("rows:\n  - {list: receptacles, ids: [R-1, R-1]}\n")
    assert "stands twice" in both


def test_lists_of_another_length_are_refused(refused: Refused) -> None:
    (one,) = refused("rows:\n  - list: receptacles\n    ids: [A, B, C]\n    at: [1 ft, 2 ft]\n")
    assert one.startswith("site.yaml:8: 'at' has 2 values for 3 ids | one value for each of A, B, C, or one value")
    (more,) = refused("rows:\n  - list: receptacles\n    ids: [A, B]\n    at: [1 ft, 2 ft, 3 ft]\n")
    assert more.startswith("site.yaml:8: 'at' has 3 values for 2 ids")


def test_a_shared_value_that_is_wrong_is_told_once(refused: Refused) -> None:
    (one,) = refused("rows:\n  - {list: receptacles, ids: [A, B, C], height: 44}\n")
    assert one.startswith("site.yaml:6: height: '44' has no unit")
    spread = refused("rows:\n  - {list: receptacles, ids: [A, B], what: [5-20 duplx, 5-20 dplex]}\n")
    assert len(spread) == 2 and all("did you mean '5-20 duplex'" in one for one in spread)


def test_unknown_words_have_their_nearest(refused: Refused) -> None:
    (one,) = refused("rows:\n  - {list: receptacle, ids: [A]}\n")
    assert one.startswith("site.yaml:6: there is no list 'receptacle'") and one.endswith("did you mean 'receptacles'?")
    (two,) = refused("rows:\n  - {list: receptacles, ids: [A], heigth: 44 in}\n")
    assert two.startswith("site.yaml:6: 'heigth' is not a key") and two.endswith("did you mean 'height'?")


def test_what_is_no_row_is_refused(refused: Refused) -> None:
    for text, said in {
        "rows: {a: b}": "rows are a list",
        "rows: [a]": "a row is a mapping",
        "rows: [{ids: [A]}]": "'list' is missing",
        "rows: [{list: receptacles}]": "'ids' is missing",
        "rows: [{list: receptacles, ids: A}]": "the ids of a row are a list",
        "rows: [{list: receptacles, ids: []}]": "the ids of a row are a list",
        "rows: [{list: receptacles, ids: [[A]]}]": "this is no id",
        "rows: [{list: [A], ids: [A]}]": "a list is named here",
        "rows: [{list: receptacles, ids: [A], height: {a: b}}]": "height: a length was expected here",
    }.items():
        (one,) = refused(text)
        assert one.startswith("site.yaml:5: " + said), text


def test_a_reference_to_what_a_faulty_row_holds_is_not_a_second_fault(refused: Refused) -> None:
    told = refused("rows: [{list: receptacle, ids: [R-1]}]\nbasins: {B-1: {receptacle: R-1}}")
    assert len(told) == 1


def test_an_editor_completes_rows(fits: Callable[[str], list[str]]) -> None:
    assert fits(ROW) == []
    assert fits("rows: [{list: gas tests, ids: [T], started: [2026-05-03 9:05]}]") == []
    for bad in (
        "rows: [{list: receptacles, ids: [A], heigth: 44 in}]",
        "rows: [{list: receptacles, ids: [A], what: 5-20 duplx}]",
        "rows: [{list: receptacles}]",
        "rows: [{list: receptacle, ids: [A]}]",
    ):
        assert fits(bad), bad


OWN = """\
receptacles:
  R-01: {wall: studio.north}
  R-06, R-07,R-08: {at: [2 ft, 7 ft, ~], wall: studio.west, height: 44 in, what: 5-20 duplex}
  R-02: {wall: studio.south}
"""


def test_a_row_in_its_own_list(read: Read) -> None:
    found = read(OWN)
    assert list(found.site.receptacles) == ["R-01", "R-06", "R-07", "R-08", "R-02"], "in the order in which they are written"
    assert {name: found.site.receptacles[name] for name in ("R-06", "R-07", "R-08")} == read(ROW).site.receptacles
    lines = {("R-07",): (7, 3), ("R-07", "at"): (7, 32), ("R-07", "height"): (7, 69), ("R-02",): (8, 3)}
    for path, wanted in lines.items():
        place = found.place(("receptacles", *path)) if len(path) > 1 else found.key_place(("receptacles", *path))
        assert (place.line, place.column) == wanted, path


def test_a_row_in_its_own_list_uses_typicals(read: Read) -> None:
    found = read("typicals: {t: {height: 44 in}}\nreceptacles: {'A, B': {typical: [t, ~], mount: wall}}\n").site.receptacles
    assert [one.height.text if one.height else None for one in found.values()] == ["44 in", None]


def test_errors_of_a_row_in_its_own_list(refused: Refused) -> None:
    assert refused("receptacles:\n  A, B: {at: [1 ft]}\n")[0].startswith("site.yaml:6: 'at' has 1 value for 2 ids | ")
    assert "site.yaml:6: 'A, A' is no row of ids" in refused("receptacles:\n  A, A: {height: 1 ft}\n")[0]
    assert "'A,' is no row of ids" in refused("receptacles:\n  'A,': {height: 1 ft}\n")[0]
    assert "'B' stands twice; the other is at " in refused("receptacles:\n  A, B: {height: 1 ft}\n  B: {}\n")[0]
    assert "'B' stands twice; the other is at " in refused("receptacles:\n  B: {}\n  A, B: {height: 1 ft}\n")[0]
    assert "a row is a mapping" in refused("receptacles:\n  A, B: 1 ft\n")[0]
    assert "did you mean 'height'?" in refused("receptacles:\n  A, B: {heigt: 1 ft}\n")[0]


def test_the_schema_knows_a_row_in_its_own_list(fits: Callable[[str], list[str]]) -> None:
    assert fits(OWN) == []
    assert fits(OWN.replace("height", "heigt")) != []
    assert fits(OWN.replace("R-06, R-07,R-08", "R-06")) != [], "one id has one place"


def test_a_list_that_nobody_has_recorded_is_a_blank(read: Read) -> None:
    found = read("walls:\n  A, B: {sides: [[studio.north], ~]}\n  C, D: {sides: []}\n").site.walls
    assert [found[one].sides for one in "ABCD"] == [["studio.north"], None, [], []]
