"""Statements about holes, which nobody lists one by one: an entry stands for those no entry lists."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from oktocover.reading.short import expanded_text
from oktocover.reading.site_file import SiteFile, read_site_text

Read = Callable[..., SiteFile]
Refused = Callable[..., list[str]]
SIGNED = "by: M.K., day: 2026-05-03"
REST = "holes in studio (stud / cable)"
HOLES = "holes: {N1: {space: studio, member: stud, for: cable, edge: 7/8 in}, N2: {space: studio, member: stud, for: cable}}\n"


def statement(rest: str, are: str = "size: 3/4 in, edge: at least 1-1/4 in") -> str:
    return (
        "looked:\n"
        f"  - {{all: holes, in: studio, where: {{member: stud, for: cable}}, are: {{{are}}}, {SIGNED}, {rest}}}\n"
    )


def many(found: SiteFile) -> dict[str, Any]:
    return {one: hole.many.exact if hole.many else None for one, hole in found.site.holes.items()}


def test_one_entry_stands_for_all_that_nobody_lists(read: Read) -> None:
    found = read(statement("how: block in every hole, count: 49"))
    assert many(found) == {REST: 49}
    hole = found.site.holes[REST]
    assert (hole.space, hole.member, hole.for_) == ("studio", "stud", "cable")
    assert hole.size is not None and hole.edge is not None and hole.edge.high is None
    assert {word for path, word in found.known.items() if path[1] == REST} == {"looked"}
    assert found.place(("holes", REST, "edge")).line == 6
    assert found.rests_on == ["49 holes in studio (M.K., 2026-05-03): size, edge, by a statement"]


def test_those_that_are_listed_are_among_them_and_exceptions_are_not(read: Read) -> None:
    found = read(HOLES + statement("count: 49, except: [N1]"))
    assert many(found) == {"N1": None, "N2": None, REST: 48}
    assert found.site.holes["N2"].edge == found.site.holes[REST].edge
    assert found.site.holes["N1"].edge is not None and found.site.holes["N1"].edge.exact is not None
    listed = read(HOLES.replace("N2: {", "N2: {many: 49, ") + statement("count: 49, except: [N1]"))
    assert many(listed) == {"N1": None, "N2": 49}


def test_a_second_look_at_the_same_holes_finds_the_entry(read: Read) -> None:
    second = statement("count: 49, known: measured", "cables: at most 2").partition("\n")[2]
    found = read(statement("count: 49") + second)
    assert many(found) == {REST: 49}
    assert found.known["holes", REST, "cables"] == "looked" and not found.warnings


def test_a_wall_is_kept_and_several_places_are_not(read: Read) -> None:
    wall = read(statement("count: 9").replace("in: studio", "in: studio.north"))
    assert wall.site.holes["holes in studio.north (stud / cable)"].wall == "studio.north"
    both = read(statement("count: 9").replace("in: studio", "in: [studio, store]"))
    ((name, one),) = both.site.holes.items()
    assert name == "holes in studio and store (stud / cable)" and one.wall is None and one.space is None
    bare = read(f"looked: [{{all: holes, are: {{sealed: yes}}, {SIGNED}, count: 3}}]\n")
    assert many(bare) == {"holes": 3}


def test_it_lapses_when_more_are_listed_than_it_speaks_of(read: Read) -> None:
    found = read(HOLES + statement("count: 1"))
    (warning,) = found.warnings
    assert "has lapsed: it speaks of 1, 2 are covered now: N1, N2" in warning.message
    assert many(found) == {"N1": None, "N2": None}


def test_it_lapses_when_the_cables_have_changed(read: Read) -> None:
    wired = (
        "panels: {P-1: {space: store}}\nreceptacles: {R-1: {space: studio}, R-2: {space: studio}, R-3: {space: store}}\n"
        "circuits: {C-1: {panel: P-1, chain: [R-1, R-2]}, C-2: {panel: P-1, chain: [R-3]}}\n"
    )
    found = read(wired + statement("count: 49, cables: 2"))
    assert many(found) == {REST: 49} and not found.warnings
    more = read(
        wired.replace("chain: [R-3]", "chain: [R-3, S-1]")
        + "switches: {S-1: {space: studio}}\n"
        + statement("count: 49, cables: 2")
    )
    (warning,) = more.warnings
    assert "has lapsed: there were 2 cables, and 3 are there now: C-1 to R-1, C-1 to R-2, C-2 to S-1" in warning.message
    assert more.site.holes == {}


def test_a_sample_counts_as_typical(read: Read) -> None:
    found = read(statement("sample: 12 of 129"))
    assert many(found) == {REST: 129}
    assert {word for path, word in found.known.items() if path[1] == REST} == {"typical"}


def test_a_hole_that_does_not_fit_is_an_error_with_both_places(refused: Refused) -> None:
    (one,) = refused(HOLES + statement("count: 49"))
    assert one.startswith("site.yaml:5: the edge of N1 is '7/8 in' here, and the statement of M.K., 2026-05-03")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "looked: [{all: boxes, are: {setback: 0 in}, by: M.K., day: 2026-05-03, count: 0, cables: 3}]",
            "'cables' is said of holes",
        ),
        ("looked: [{all: boxes, are: {setback: 0 in}, by: M.K., day: 2026-05-03, count: 3}]", ""),
    ],
)
def test_other_lists_are_listed(read: Read, refused: Refused, text: str, said: str) -> None:
    if said:
        assert said in refused(text)[0]
    else:
        found = read(text)
        assert found.site.boxes == {} and "has lapsed: it speaks of 3, 0 are covered" in found.warnings[0].message


def test_the_long_form_is_the_same_site(read: Read) -> None:
    found = read(HOLES + statement("count: 49, except: [N1]"))
    again = read_site_text(expanded_text(found))
    assert again.site == found.site and again.known == found.known


def test_a_statement_of_holes_fits_the_schema(fits: Callable[[str], list[str]]) -> None:
    assert fits(statement("count: 49, cables: 3")) == []
    assert fits(statement("count: 49, cables: 3").replace("all: holes", "all: boxes")) != []
