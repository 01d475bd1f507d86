"""Places and sizes in one value."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oktocover.reading.site_file import SiteFile, read_site_text

Read = Callable[..., SiteFile]
Refused = Callable[..., list[str]]


def told(found: SiteFile, name: str, one: str, *facts: str) -> list[str | None]:
    element = getattr(found.site, name)[one]
    return [getattr(value, "text", value) for value in (getattr(element, fact) for fact in facts)]


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("studio.north", ["studio.north", None, None]),
        ("studio.north at 12 ft", ["studio.north", "12 ft", None]),
        ("studio.north at 12' 6-1/2\" up 44 in", ["studio.north", "12' 6-1/2\"", "44 in"]),
        ('"studio.north at 12 ft, up 44 in"', ["studio.north", "12 ft", "44 in"]),
        ("studio.north up 44 in", ["studio.north", None, "44 in"]),
        ("studio.north at at least 3 ft up at most 4 ft", ["studio.north", "at least 3 ft", "at most 4 ft"]),
        ("studio.window wall at 3 ft", ["studio.window wall", "3 ft", None]),
    ],
)
def test_a_place_on_a_wall(written: str, meant: list[str | None]) -> None:
    found = read_site_text(
        "spaces: {studio: {use: workshop, size: 18 ft x 17 ft, walls: {window wall: north}}}\n"
        f"receptacles: {{R: {{wall: {written}}}}}\n"
    )
    assert told(found, "receptacles", "R", "wall", "at", "height") == meant


def test_a_size(read: Read) -> None:
    found = read(
        "openings: {D: {size: 3 ft x 6 ft 8 in}, N: {size: {is: 4 ft by 3 ft, known: planned}}}\n"
        "air openings: {A: {size: 5 in x 4 in}}\noutside things: {X: {size: 0 in x 20 in}}\n"
    )
    assert told(found, "openings", "D", "width", "high") == ["3 ft", "6 ft 8 in"]
    assert told(found, "air_openings", "A", "width", "high") == ["5 in", "4 in"]
    assert told(found, "outside_things", "X", "width", "high") == ["0 in", "20 in"]
    assert {fact: found.known["openings", "N", fact] for fact in ("width", "high")} == dict.fromkeys(("width", "high"), "planned")


def test_a_hole_with_what_goes_through(read: Read, refused: Refused) -> None:
    found = read(
        "typicals: {p: {hole: 1 in for 5/8 in}}\n"
        "penetrations:\n  A: {hole: 1-1/4 in for 7/8 in}\n  B, C: {hole: [2 in, 3/4 in for at most 1/2 in], item: [1 in, ~]}\n"
        "  D: {typical: p}\n  E: {typical: p, item: 3/8 in}\n"
    )
    told_of = {one: told(found, "penetrations", one, "hole", "item") for one in "ABCDE"}
    assert told_of == {
        "A": ["1-1/4 in", "7/8 in"], "B": ["2 in", "1 in"], "C": ["3/4 in", "at most 1/2 in"],
        "D": ["1 in", "5/8 in"], "E": ["1 in", "3/8 in"],
    }
    assert found.place(("penetrations", "A", "item")).line == 7
    (one,) = refused("penetrations: {A: {hole: 1 in for 1/2 in, item: 1/2 in}}\n")
    assert one.startswith("site.yaml:5: '1 in for 1/2 in' says the item of A, and so does its entry at")


def test_rows_and_typicals_say_places_and_sizes(read: Read) -> None:
    found = read(
        "typicals: {d: {size: 3 ft x 7 ft}}\n"
        "openings:\n  A, B: {wall: [studio.north at 1 ft, store.east at 2 ft], typical: d, width: [~, 30 in]}\n"
    )
    assert told(found, "openings", "A", "wall", "at", "width", "high") == ["studio.north", "1 ft", "3 ft", "7 ft"]
    assert told(found, "openings", "B", "wall", "at", "width", "high") == ["store.east", "2 ft", "30 in", "7 ft"], "nearest wins"
    assert found.known["openings", "A", "width"] == "typical" and ("openings", "B", "width") not in found.known
    places = {path: (found.place(path).line, found.place(path).column) for path in (("openings", "B", "at"), ("openings", "A", "high"))}
    assert places == {("openings", "B", "at"): (7, 39), ("openings", "A", "high"): (5, 22)}


def test_errors(refused: Refused) -> None:
    both = refused("receptacles:\n  R: {wall: studio.north at 2 ft, at: 3 ft}\n")[0]
    assert both.startswith("site.yaml:6: 'studio.north at 2 ft' says the at of R, and so does its entry at ")
    assert "'north at 2 ft' names no place on a wall" in refused("receptacles: {R: {wall: north at 2 ft}}\n")[0]
    assert "'3 ft' is no size" in refused("openings: {D: {size: 3 ft}}\n")[0]
    assert "site.yaml:5" in refused("receptacles: {R: {wall: studio.north at 2 fot}}\n")[0]
    assert "'size' is not a key that stands here" in refused("receptacles: {R: {size: 3 ft x 4 ft}}\n")[0]


def test_the_schema_knows_it(fits: Callable[[str], list[str]]) -> None:
    assert fits("openings: {D: {wall: studio.north at 12 ft up 44 in, size: 3 ft x 6 ft 8 in}}") == []
    assert fits("receptacles: {R: {size: 3 ft x 4 ft}}") != []


LENGTHS = st.integers(1, 400).map(lambda sixteenths: f"{sixteenths // 16}-{sixteenths % 16}/16 in" if sixteenths % 16 else f"{sixteenths // 16} in")


@given(at=LENGTHS, height=LENGTHS)
def test_it_is_the_long_form(at: str, height: str) -> None:
    head = "spaces: {studio: {use: workshop, size: 18 ft x 17 ft, ceiling: 90 ft}}\n"
    short = read_site_text(head + f"receptacles: {{R: {{wall: studio.north at {at} up {height}}}}}")
    long = read_site_text(head + f"receptacles: {{R: {{wall: studio.north, at: {at}, height: {height}}}}}")
    assert short.site == long.site and short.known == long.known and short.expanded == long.expanded
