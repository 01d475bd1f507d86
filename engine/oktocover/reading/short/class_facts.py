"""What each wall is made of: its own facts, then those of the nearest line or class of framing that says them."""

from __future__ import annotations

from typing import Any

from oktocover.reading._field_faults import short
from oktocover.reading.short.agree import same
from oktocover.reading.short.rooms import drawn
from oktocover.reading.short.wall_lines import (
    ALL,
    BETWEEN,
    FRAMING,
    IN_A_ROOM,
    NEAREST,
    SORTS,
    WALLS,
    Framing,
    Line,
    MadeWall,
    framing_words,
)
from oktocover.reading.short.work import NOT_FACTS, Work, value_of, weakest
from oktocover.site.base import HOW_KNOWN, YES

_EXTERIOR = {"outside": "yes", "inside": "no"}


def fill_walls(work: Work, framings: dict[str, Framing], walls: list[MadeWall]) -> None:
    """Give each wall the facts it lacks, from the nearest line that says them."""
    section = work.section(WALLS) or {}
    made = {wall.id: wall for wall in walls}
    for name, facts in list(section.items()):
        if isinstance(facts, dict):
            section[name] = dict(facts)
            _fill(work, framings, made.get(name, MadeWall(name, ())), section[name])


def _fill(work: Work, framings: dict[str, Framing], wall: MadeWall, own: dict[str, Any]) -> None:
    framed = _framed(work, framings, wall.id, own)
    for rank in (NEAREST, BETWEEN, IN_A_ROOM, ALL):
        lines = [line for line in wall.lines if line.rank == rank]
        for line in lines:
            _give(work, wall, own, line, lines, framed)
        framed = framed or _framed(work, framings, wall.id, own)
    _say_sort(work, wall, own)


def _framed(work: Work, framings: dict[str, Framing], name: str, own: dict[str, Any]) -> bool:
    """Fill in the class of framing that a wall names, once it names one."""
    word = value_of(own.get(FRAMING))
    if not isinstance(word, str):
        return False
    path = (WALLS, name, FRAMING)
    if word not in framings:
        if framings and word not in framing_words():
            known = [*framing_words(), *framings]
            work.unknown(path, f"'{short(word)}' is no framing and no class of framing", word, known)
            own[FRAMING] = None
        return True
    said, named = framings[word], own.pop(FRAMING)
    how = named.get("known") if isinstance(named, dict) else None
    for fact, value in said.facts.items():
        if value_of(own.get(fact)) is None:
            own[fact] = _known(value, "typical", how, said.known, own.get("known"), work.data.get("known"))
            work.read.origins[WALLS, name, fact] = (*said.at, fact)
    return True


def _give(work: Work, wall: MadeWall, own: dict[str, Any], line: Line, others: list[Line], framed: bool) -> None:
    """Give the facts of one line to a wall that lacks them.

    Of two equally near lines neither wins; and what somebody signed for all walls of a sort has its exceptions named, so
    that a record of one wall that goes missing never turns into what is so of the others.
    """
    for fact, value in line.facts.items():
        if fact in ("known", "typical") or (fact == FRAMING and framed):  # said of the line, or given already
            continue
        path = (WALLS, wall.id, fact)
        if value_of(own.get(fact)) is not None:
            said, here = value_of(own[fact]), value_of(value)
            before = next((one for one in others if work.read.origins.get(path) == (*one.at, fact)), None)
            if before is not line and (before is not None or line.signed) and not same(WALLS, fact, said, here):
                _clash(work, wall, fact, line, here, said)
            continue
        own[fact] = _said(work, wall, line, fact, value, own)
        work.read.origins[path] = (*line.at, fact)


def _said(work: Work, wall: MadeWall, line: Line, fact: str, value: Any, own: dict[str, Any]) -> Any:
    if line.form != "all":
        how = line.facts.get("known")
        return value if fact in NOT_FACTS or how is None else _known(value, "measured", how)
    word = "looked" if line.signed else "typical"
    how = drawn(work, wall.rooms)
    return _known(value, word, how, own.get("known"), work.data.get("known")) | (line.signed or {})


def _clash(work: Work, wall: MadeWall, fact: str, line: Line, here: Any, there: Any) -> None:
    place = work.read.place((WALLS, wall.id, fact))
    message = f"two lines say the {fact} of {wall.id}: '{short(here)}' here, '{short(there)}' at {place}"
    do = f"write it at {wall.id} itself, or name {wall.id} under the except of one of them"
    work.wrong((*line.at, fact), message, do=do)


def _say_sort(work: Work, wall: MadeWall, own: dict[str, Any]) -> None:
    """What the rooms show of a wall, and no line says: whether it is an outside wall. A line about a sort says no other."""
    said = value_of(own.get("exterior"))
    line = next((one for one in wall.lines if one.form == "all" and SORTS[one.named[0]]), None)
    if said is None and wall.sort is not None:
        how = drawn(work, wall.rooms)
        own["exterior"] = _EXTERIOR[wall.sort] if how == "measured" else {"is": _EXTERIOR[wall.sort], "known": how}
        if wall.lines:
            origin = (*line.at, "all") if line is not None else wall.lines[0].at
            work.read.origins[WALLS, wall.id, "exterior"] = origin
    elif line is not None and isinstance(said, str) and (said.lower() in YES) != (SORTS[line.named[0]] == "outside"):
        message = f"'exterior: {said}' does not go with {line.named[0]}, of which {wall.id} is one"
        work.wrong((WALLS, wall.id, "exterior"), message, f"exterior: {_EXTERIOR[SORTS[line.named[0]]]}")


def _known(value: Any, *ways: object) -> dict[str, Any]:
    """A value with the weakest of some ways in which it is known."""
    told = value if isinstance(value, dict) and "is" in value else {"is": value}
    word = told.get("known")
    if word is not None and word not in HOW_KNOWN:
        return told
    return {**told, "known": weakest(word, *ways)}
