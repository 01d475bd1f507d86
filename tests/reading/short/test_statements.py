"""Statements: one look at many elements."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from oktocover.reading.short.one_by_one import ALL, ONE_BY_ONE
from oktocover.reading.short.work import NOT_FACTS, facts_of, lists_in_order
from oktocover.reading.site_file import SiteFile

Read = Callable[..., SiteFile]
Refused = Callable[..., list[str]]

FOUR = """\
receptacles:
  R-1: {wall: studio.north, at: 2 ft, what: 5-20 duplex}
  R-2: {wall: studio.south, at: 2 ft, what: 5-20 duplex}
  R-3: {space: store, what: 5-20 duplex}
  R-4: {wall: studio.west, what: 14-50}
"""
SIGNED = "by: M.K., day: 2026-05-03"


def heights(read: SiteFile) -> dict[str, Any]:
    return {name: one.height.text if one.height else None for name, one in read.site.receptacles.items()}


def statement(rest: str, are: str = "height: 44 in") -> str:
    return f"looked:\n  - {{all: receptacles, are: {{{are}}}, {SIGNED}, {rest}}}\n"


def test_it_gives_its_facts_to_all_it_covers(read: Read) -> None:
    found = read(FOUR + statement("count: 4"))
    assert set(heights(found).values()) == {"44 in"}
    assert found.known == {("receptacles", f"R-{n}", "height"): "looked" for n in range(1, 5)}
    assert found.said_by["receptacles", "R-1", "height"] == "M.K."
    assert found.place(("receptacles", "R-1", "height")).line == 11
    assert found.place(("receptacles", "R-1", "at")).line == 6
    assert found.rests_on == ["4 receptacles (M.K., 2026-05-03): height, by a statement"]
    assert not found.warnings and found.site.looked == []


@pytest.mark.parametrize(
    ("rest", "covered"),
    [
        ("where: {what: 5-20 duplex}, count: 3", "R-1 R-2 R-3"),
        ("in: studio, count: 3", "R-1 R-2 R-4"),
        ("in: store, count: 1", "R-3"),
        ("in: studio.north, count: 1", "R-1"),
        ("in: [store, studio.west], count: 2", "R-3 R-4"),
        ("in: studio, where: {what: 14-50}, count: 1", "R-4"),
        ("where: {at: at most 3 ft}, count: 2", "R-1 R-2"),
        ("where: {at: 24 in}, count: 2", "R-1 R-2"),
        ("except: [R-1, R-2], count: 2", "R-3 R-4"),
        ("ids: [R-4, R-3, R-2, R-1]", "R-1 R-2 R-3 R-4"),
    ],
)
def test_what_it_covers(read: Read, rest: str, covered: str) -> None:
    found = read(FOUR + statement(rest))
    assert not found.warnings
    assert {name for name, height in heights(found).items() if height} == set(covered.split())


def test_outside_and_inside_walls(read: Read) -> None:
    walls = "walls: {A: {exterior: yes}, B: {exterior: no}, C: {}, D: {exterior: true}}\nlooked:\n"
    found = read(
        walls
        + f"  - {{all: outside walls, are: {{framing: 2x6}}, {SIGNED}, count: 2}}\n"
        + f"  - {{all: inside walls, are: {{framing: 2x4}}, {SIGNED}, count: 1}}\n"
    )
    assert {name: one.framing for name, one in found.site.walls.items()} == {"A": "2x6", "B": "2x4", "C": None, "D": "2x6"}


def test_walls_are_in_the_rooms_of_their_sides(read: Read) -> None:
    found = read(
        "walls: {A: {sides: [studio.north, store.south]}, B: {sides: [store.east]}}\n"
        f"looked: [{{all: walls, in: studio, are: {{framing: 2x4}}, {SIGNED}, count: 1}}]\n"
    )
    assert [one.framing for one in found.site.walls.values()] == ["2x4", None]


@pytest.mark.parametrize(("rest", "known"), [("known: measured, count: 4", "measured"), ("count: 4, how: by tape", "looked"),
                                             ("sample: 2 of 4", "typical"), ("known: measured, sample: 2 of 4", "typical")])
def test_how_it_is_known(read: Read, rest: str, known: str) -> None:
    assert read(FOUR + statement(rest)).known["receptacles", "R-1", "height"] == known


def test_what_decides_whether_it_is_covered_weighs_too(read: Read) -> None:
    found = read(
        "receptacles:\n"
        "  A: {what: {is: 14-50, known: told}}\n  B: {what: 14-50, known: planned}\n  C: {what: 14-50}\n"
        + statement("where: {what: 14-50}, count: 3")
    )
    assert [found.known["receptacles", one, "height"] for one in "ABC"] == ["told", "planned", "looked"]


def test_where_it_stands_weighs_too_when_that_decides(read: Read) -> None:
    found = read(
        "receptacles: {A: {wall: {is: studio.north, known: planned}}, B: {wall: studio.north}}\n"
        + statement("in: studio, count: 2")
    )
    assert [found.known["receptacles", one, "height"] for one in "AB"] == ["planned", "looked"]
    everywhere = read("receptacles: {A: {wall: {is: studio.north, known: planned}}}\n" + statement("count: 1"))
    assert everywhere.known["receptacles", "A", "height"] == "looked"


def test_a_sample_says_how_many_may_be_wrong(read: Read) -> None:
    many = "rows: [{list: receptacles, ids: [" + ", ".join(f"R-{n}" for n in range(129)) + "]}]\n"
    found = read(many + statement("sample: 12 of 129"))
    (one,) = found.warnings
    assert one.place is not None and one.place.line == 7
    assert "12 of 129 were looked at (M.K., 2026-05-03); as many as 27 of the others may be otherwise (95 percent)" in one.message
    assert "so it counts as typical" in one.message
    (whole,) = read(FOUR + statement("sample: 4 of 4")).warnings
    assert "none of the others" in whole.message


@pytest.mark.parametrize("rest", ["count: 3", "count: 5", "sample: 1 of 3", "except: [R-1], count: 4", "in: store, count: 2"])
def test_it_lapses_when_the_count_has_changed(read: Read, rest: str) -> None:
    found = read(FOUR + statement(rest))
    (one,) = found.warnings
    assert one.place is not None and one.place.line == 11 and "has lapsed" in one.message
    assert set(heights(found).values()) == {None} and found.rests_on == [] and found.known == {}
    assert "ids" in one.message


def test_a_lapsed_statement_says_which_are_new(read: Read) -> None:
    (one,) = read(FOUR + statement("ids: [R-1, R-2, R-9]")).warnings
    assert "(M.K., 2026-05-03) has lapsed: new: R-3, R-4; no longer covered: R-9" in one.message
    (two,) = read(FOUR + statement("count: 3")).warnings
    assert "it speaks of 3, 4 are covered now: R-1, R-2, R-3, R-4; with `ids`" in two.message
    (three,) = read(statement("count: 3")).warnings
    assert "it speaks of 3, 0 are covered now; with" in three.message
    many = "rows: [{list: receptacles, ids: [" + ", ".join(f"R-{n}" for n in range(30)) + "]}]\n"
    (four,) = read(many + statement("count: 3")).warnings
    assert "R-29 and 18 before them" in four.message


def test_a_record_that_disagrees_is_an_error_with_both_places(read: Read, refused: Refused) -> None:
    other = FOUR.replace("at: 2 ft, what", "height: 30 in, what", 1)
    (one,) = refused(other + statement("count: 4"))
    assert one.startswith(
        "site.yaml:6: the height of R-1 is '30 in' here, and the statement of M.K., 2026-05-03 at site.yaml:11:38 says '44 in'"
    )
    assert "name R-1 under the statement's except" in one
    assert heights(read(other + statement("except: [R-1], count: 3")))["R-1"] == "30 in"


@pytest.mark.parametrize(
    ("own", "said", "fits"),
    [
        ("44 in", "3 ft 8 in", True),
        ("1 in", "at most 1-1/4 in", True),
        ("at most 1 in", "at most 1-1/4 in", True),
        ("at most 1-1/4 in", "at most 1-1/4 in", True),
        ("at most 2 in", "at most 1-1/4 in", False),
        ("at least 1 in", "at most 1-1/4 in", False),
        ("at least 1/2 in", "1-1/4 in", False),
        ("2 in", "at most 1-1/4 in", False),
        ("1 in", "1-1/16 in", False),
        ("at most 1 in", "less than 1 in", False),
        ("less than 1 in", "at most 1 in", True),
        ("less than 1 in", "less than 1 in", True),
        ("at least 1 in", "more than 1 in", False),
        ("more than 1 in", "at least 1 in", True),
    ],
)
def test_a_record_may_be_more_exact_than_the_statement(read: Read, refused: Refused, own: str, said: str, fits: bool) -> None:
    text = f"receptacles: {{R: {{height: {own}}}}}\n" + statement("count: 1", f"height: {said}")
    if fits:
        assert heights(read(text)) == {"R": own}
    else:
        assert "the height of R" in refused(text)[0]


def test_looking_makes_a_record_better_known_and_never_worse(read: Read) -> None:
    found = read(
        "receptacles:\n  A: {height: {is: 44 in, known: planned}}\n  B: {height: 44 in}\n"
        "  C: {height: {is: 3 ft 8 in, known: told}}\n  D: {height: {is: 40 in, known: told}}\n"
        + statement("except: [D], count: 3")
    )
    assert found.known == {
        ("receptacles", "A", "height"): "looked",
        ("receptacles", "C", "height"): "looked",
        ("receptacles", "D", "height"): "told",
    }
    assert heights(found)["C"] == "3 ft 8 in" and found.place(("receptacles", "C", "height")).line == 8


def test_it_is_better_than_a_typical_and_may_not_disagree_with_it(read: Read, refused: Refused) -> None:
    typical = "typicals: {t: {height: 44 in}}\nreceptacles: {A: {typical: t}, B: {}}\n"
    found = read(typical + statement("count: 2"))
    assert set(found.known.values()) == {"looked"}
    assert found.place(("receptacles", "A", "height")).line == 8
    (one,) = refused(typical + statement("count: 2", "height: 42 in"))
    assert one.startswith("site.yaml:5: the height of A is '44 in' here, and the statement")


def test_two_statements(read: Read, refused: Refused) -> None:
    second = f"  - {{all: receptacles, in: studio, are: {{height: 3 ft 8 in}}, known: measured, {SIGNED}, count: 3}}\n"
    found = read(FOUR + statement("count: 4") + second)
    assert found.known["receptacles", "R-1", "height"] == "measured"
    assert found.known["receptacles", "R-3", "height"] == "looked"
    (one, *others) = refused(FOUR + statement("count: 4") + second.replace("3 ft 8 in", "42 in"))
    assert one.startswith("site.yaml:11: two statements disagree on the height of R-1: '44 in' here, and the statement")
    assert "site.yaml:12:" in one and len(others) == 2


def test_one_statement_may_rest_on_another(read: Read) -> None:
    second = f"  - {{all: receptacles, where: {{mount: wall}}, are: {{height: 44 in}}, known: measured, {SIGNED}, count: 4}}\n"
    found = read(FOUR + statement("count: 4", "mount: wall") + second)
    assert found.known["receptacles", "R-1", "height"] == "looked"
    lapsed = read(FOUR + statement("count: 3", "mount: wall") + second)
    assert len(lapsed.warnings) == 2 and set(heights(lapsed).values()) == {None}


@pytest.mark.parametrize("name", ONE_BY_ONE)
def test_what_no_statement_covers(refused: Refused, name: str) -> None:
    facts = [fact for fact in facts_of(name) if fact not in (*NOT_FACTS, "typical")]
    for fact in facts if ONE_BY_ONE[name] == ALL else ONE_BY_ONE[name]:
        (one,) = refused(f"looked: [{{all: {name}, are: {{{fact}: x}}, {SIGNED}, count: 0}}]")
        assert one.startswith("site.yaml:5: ") and "no statement covers these, they are written one by one" in one


def test_other_statements_keep_their_places(read: Read, refused: Refused) -> None:
    whole = f"  - {{list: openings, whole: yes, {SIGNED}}}\n"
    found = read(FOUR + "looked:\n" + whole + statement("count: 4").split("\n", 1)[1] + whole.replace("openings", "walls"))
    assert [(said.list_, found.place(("looked", n)).line) for n, said in enumerate(found.site.looked)] == [
        ("openings", 11), ("walls", 13)
    ]
    told = refused(FOUR + statement("count: 4") + whole.replace("openings", "opening"))
    assert len(told) == 1 and told[0].startswith("site.yaml:12: there is no list 'opening'")


@pytest.mark.parametrize(
    ("entry", "said"),
    [
        ("all: receptacle, are: {height: 1 ft}, count: 0", "there is no list 'receptacle' | one of: levels"),
        ("all: inside wall, are: {framing: 2x4}, count: 0", "there is no list 'inside wall'"),
        ("all: receptacles, are: {heigth: 1 ft}, count: 4", "'heigth' is no fact of receptacles"),
        ("all: receptacles, where: {wat: x}, are: {height: 1 ft}, count: 4", "'wat' is no fact of receptacles"),
        ("all: receptacles, are: {}, count: 4", "the statement says nothing"),
        ("all: receptacles, count: 4", "'are' is missing here"),
        ("are: {height: 1 ft}, count: 4", "'all' is missing here"),
        ("all: receptacles, are: {height: 1 ft}", "a statement covers what was there when it was made: 'count' is missing"),
        ("all: receptacles, are: {height: 1 ft}, count: at least 4", "'at least 4' is no count"),
        ("all: receptacles, are: {height: 1 ft}, count: 4, ids: [R-1]", "the statement speaks of 4 and of 1"),
        ("all: receptacles, are: {height: 1 ft}, count: 4, sample: 1 of 3", "the statement speaks of 4 and of 3"),
        ("all: receptacles, are: {height: 1 ft}, sample: some", "'some' is no sample | how many of how many: 12 of 129"),
        ("all: receptacles, are: {height: 1 ft}, sample: 5 of 4", "'5 of 4' is no sample"),
        ("all: receptacles, are: {height: 1 ft}, sample: 0 of 4", "'0 of 4' is no sample"),
        ("all: receptacles, in: studo, are: {height: 1 ft}, count: 4", "'studo' is no room"),
        ("all: receptacles, in: [studo.north], are: {height: 1 ft}, count: 4", "'studo.north' is no room"),
        ("all: receptacles, except: [R-9], are: {height: 1 ft}, count: 4", "'R-9' is no id in receptacles"),
        ("all: receptacles, are: {height: {is: 1 ft, known: told}}, count: 4", "height: one value was expected here"),
        ("all: receptacles, are: {height: ~}, count: 4", "height: one value was expected here"),
        ("all: receptacles, are: {height: 1 ft}, known: told, count: 4", "known: 'told' is not one of the words"),
        ("all: receptacles, are: {height: 1 ft}, cuont: 4", "'cuont' is not a key that stands here"),
        ("all: receptacles, are: {height: 44}, count: 4", "height: '44' has no unit"),
    ],
)
def test_what_is_no_statement_is_refused(refused: Refused, entry: str, said: str) -> None:
    told = refused(FOUR + f"looked: [{{{entry}, {SIGNED}}}]\n")
    assert len(told) == 1, told
    assert told[0].startswith("site.yaml:10: ") and said.split(" | ")[0] in told[0]


def test_it_is_signed_and_not_of_tomorrow(refused: Refused) -> None:
    are = "all: receptacles, are: {height: 1 ft}, count: 4"
    assert "'by' is missing" in refused(FOUR + f"looked: [{{{are}, day: 2026-05-03}}]")[0]
    assert "'day' is missing" in refused(FOUR + f"looked: [{{{are}, by: M.K.}}]")[0]
    assert "in the future" in refused(FOUR + f"looked: [{{{are}, by: M.K., day: 2026-06-16}}]")[0]


def test_it_says_nothing_of_what_is_not_written(read: Read) -> None:
    """A wall of which nobody has said whether it is outside gets neither the facts of outside nor of inside walls."""
    found = read(f"walls: {{A: {{}}}}\nlooked: [{{all: inside walls, are: {{framing: 2x4}}, {SIGNED}, count: 0}}]\n")
    assert found.site.walls["A"].framing is None and found.site.walls["A"].exterior is None


def test_an_editor_completes_statements(fits: Callable[[str], list[str]]) -> None:
    assert fits(FOUR + statement("in: studio, where: {what: 14-50}, except: [R-1], count: 3, photos: [a.jpg], how: x")) == []
    assert fits(f"looked: [{{all: outside walls, are: {{framing: 2x4}}, {SIGNED}, ids: [A]}}]") == []
    assert fits(f"looked: [{{list: openings, whole: yes, {SIGNED}}}]") == []
    for bad in ("count: 3, known: told", "count: 3, wher: {}", "how: x", "sample: some"):
        assert fits(FOUR + statement(bad)), bad
    assert fits(FOUR + statement("count: 4", "heigth: 44 in"))
    for name in lists_in_order():
        if name in ONE_BY_ONE:
            fact = ONE_BY_ONE[name][0] if ONE_BY_ONE[name] != ALL else "note"
            assert fits(f"looked: [{{all: {name}, are: {{{fact}: 1 ft}}, {SIGNED}, count: 0}}]")
