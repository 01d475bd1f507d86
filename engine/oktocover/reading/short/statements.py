"""Statements: one look at many elements, signed: `{all: receptacles, in: studio, are: {height: 44 in}, by: M.K., ...}`.

A statement gives its facts to every element it covers that does not say them itself. It covers what was there: when
the count or the ids are no longer those it names, it lapses and gives nothing. A single record that does not fit it
is an error with both places, unless the element stands under `except`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any, Literal

from pydantic import Field, ValidationError

from oktocover.quantities import Number
from oktocover.reading._field_faults import field_problems, short
from oktocover.reading.problems import Place, Problem
from oktocover.reading.short.agree import same, within
from oktocover.reading.short.many import cables_in, counted, make_rest, may_be_many, name_of_rest
from oktocover.reading.short.one_by_one import one_by_one
from oktocover.reading.short.samples import most_wrong
from oktocover.reading.short.work import NOT_FACTS, Path, Work, classes, facts_of, how_known, value_of, weakest
from oktocover.site.base import HOW_KNOWN, Count, Date, Node

WALLS = {"outside walls": {"exterior": "yes"}, "inside walls": {"exterior": "no"}}
"""Names for the walls of one sort."""
MARKS = ("all", "are", "where", "sample")
"""Keys by which a statement about many elements is told from one about a whole list."""
MOST_LISTED = 12
_SAMPLE = re.compile(r"\s*(\d{1,6})\s+of\s+(\d{1,6})\s*")


class Statement(Node):
    """One look at many elements, as it is written under `looked:`."""

    all_: str = Field(description="a list of the site file, or: outside walls, inside walls")
    where: dict[str, Any] | None = None
    in_: list[str] | str | None = None
    are: dict[str, Any]
    by: str
    day: Date
    how: str | None = None
    known: Literal["looked", "measured"] | None = None
    count: Count | None = None
    ids: list[str] | None = None
    except_: list[str] | None = None
    photos: list[str] | None = None
    sample: str | None = None
    cables: Count | None = None


@dataclass(frozen=True, slots=True)
class _Within:
    """Places of values below a path."""

    work: Work
    at: Path

    def place(self, path: Path) -> Place:
        return self.work.read.place((*self.at, *path))

    def key_place(self, path: Path) -> Place:
        return self.work.read.key_place((*self.at, *path))


@dataclass(slots=True)
class _Spoken:
    """A statement that can be understood."""

    said: Statement
    at: Path
    name: str
    where: dict[str, Any]
    places: list[str] | None
    sample: tuple[int, int] | None

    @property
    def about(self) -> str:
        """`receptacles in studio`."""
        return self.said.all_ + (f" in {', '.join(self.places)}" if self.places else "")

    @property
    def how(self) -> str:
        """How well it is known what it says, wherever it is known whom it covers."""
        return "typical" if self.sample else self.said.known or "looked"

    @property
    def count(self) -> Number | None:
        """How many it speaks of."""
        if self.said.count is not None:
            return self.said.count.exact
        return self.sample[1] if self.sample else None

    @property
    def rest(self) -> str:
        """The id of the entry that stands for those no entry lists."""
        return name_of_rest(self.said.all_, self.places, self.said.where or {})

    @property
    def signed(self) -> str:
        return f"{self.said.by}, {self.said.day}"


def expand_statements(work: Work) -> None:
    """Give the facts of every statement to what it covers, and take the statements out."""
    looked = work.data.get("looked")
    if not isinstance(looked, list):
        return
    rest: list[Any] = []
    moved: dict[Path, Path] = {}
    given: dict[Path, tuple[_Spoken, Any]] = {}
    for number, entry in enumerate(looked):
        if isinstance(entry, dict) and any(entry.get(mark) is not None for mark in MARKS):
            spoken = _understood(work, ("looked", number), entry)
            if spoken is not None:
                _apply(work, spoken, given)
            continue
        if len(rest) != number:
            moved["looked", len(rest)] = work.read._written(("looked", number))
        rest.append(entry)
    work.data["looked"] = rest
    work.read.origins.update(moved)


def _understood(work: Work, at: Path, entry: dict[str, Any]) -> _Spoken | None:
    entry = {key: value for key, value in entry.items() if value is not None}
    before = len(work.problems)
    try:
        said = Statement.model_validate(entry)
    except ValidationError as error:
        work.problems.extend(field_problems(error, entry, _Within(work, at), Statement))
        return None
    name = "walls" if said.all_ in WALLS else said.all_
    if name not in classes():
        message = f"there is no list '{short(name)}' in a site file"
        work.unknown((*at, "all"), message, name, [*classes(), *WALLS])
        return None
    places = [said.in_] if isinstance(said.in_, str) else said.in_
    where = {**WALLS.get(said.all_, {}), **(said.where or {})}
    sample = _sample(work, at, said)
    spoken = _Spoken(said, at, name, where, places, sample)
    _check_facts(work, spoken)
    _check_names(work, spoken)
    _check_figures(work, spoken)
    return spoken if len(work.problems) == before else None


def _sample(work: Work, at: Path, said: Statement) -> tuple[int, int] | None:
    if said.sample is None:
        return None
    found = _SAMPLE.fullmatch(said.sample)
    pair = (int(found[1]), int(found[2])) if found else (0, 0)
    if 1 <= pair[0] <= pair[1]:
        return pair
    work.wrong((*at, "sample"), f"'{short(said.sample)}' is no sample", "how many of how many: 12 of 129")
    return None


def _check_facts(work: Work, spoken: _Spoken) -> None:
    """Facts the list has, that may be said of many at once."""
    allowed = [key for key in facts_of(spoken.name) if key not in (*NOT_FACTS, "typical")]
    if not spoken.said.are:
        work.wrong((*spoken.at, "are"), "the statement says nothing", f"are: {{{allowed[0]}: ...}}")
    for key, facts in (("are", spoken.said.are), ("where", spoken.said.where or {})):
        for fact, value in facts.items():
            here = (*spoken.at, key, fact)
            alone = one_by_one(spoken.name, fact) if key == "are" else None
            if fact not in allowed:
                work.no_fact(here, f"'{short(fact)}' is no fact of {spoken.name}", fact, spoken.name, allowed)
            elif alone:
                do = f"write it at each of the {spoken.name}, as it was found there"
                work.wrong(here, f"{alone}: no statement covers these, they are written one by one", do=do, key=True)
            elif value is None or isinstance(value, dict):
                do = "how it is known stands beside `are`, as known: looked"
                work.wrong(here, f"{fact}: one value was expected here", "a value", do)


def _check_names(work: Work, spoken: _Spoken) -> None:
    """Rooms and walls that there are, exceptions that are in the list."""
    rooms = work.data.get("spaces")
    rooms = rooms if isinstance(rooms, dict) else {}
    for key, names in (("in", spoken.places), ("except", spoken.said.except_)):
        known = rooms if key == "in" else work.section(spoken.name) or {}
        for number, name in enumerate(names or ()):
            if (name.partition(".")[0] if key == "in" else name) not in known:
                single = key == "in" and isinstance(spoken.said.in_, str)
                here = (*spoken.at, key) if single else (*spoken.at, key, number)
                what = "room (or wall, as room.wall) of this site" if key == "in" else f"id in {spoken.name}"
                work.unknown(here, f"'{short(name)}' is no {what}", name, list(known) or ["(none is written yet)"])


def _check_figures(work: Work, spoken: _Spoken) -> None:
    """How many it covered, said once or not differently."""
    said, at = spoken.said, spoken.at
    count = said.count.exact if said.count is not None else None
    if said.count is not None and (count is None or count != int(count)):
        work.wrong((*at, "count"), f"'{short(said.count.text)}' is no count", "a whole number: count: 49")
    if said.count is None and said.ids is None and said.sample is None:
        message = "a statement covers what was there when it was made: 'count' is missing here"
        work.wrong(at, message, "count: how many there were (or ids: [...])")
    for other in (len(said.ids) if said.ids is not None else None, spoken.sample[1] if spoken.sample else None):
        if other is not None and count is not None and other != count:
            work.wrong(
                (*at, "count"),
                f"the statement speaks of {said.count.text if said.count else ''} and of {other}",
                "one number",
            )
    if said.cables is not None and not may_be_many(spoken.name):
        message = "'cables' is said of holes: how many cables there were when somebody looked"
        work.wrong((*at, "cables"), message, "count", "leave it out here", key=True)
    if said.day > work.today:
        work.wrong((*at, "day"), f"{said.day} is in the future: nobody has looked yet", f"a day up to {work.today}")


def _apply(work: Work, spoken: _Spoken, given: dict[Path, tuple[_Spoken, Any]]) -> None:
    section = work.section(spoken.name)
    if section is None:
        return
    known = {one: _covered(work, spoken, one, facts) for one, facts in section.items() if isinstance(facts, dict)}
    covered = {one: how for one, how in known.items() if how is not None}
    many = {one: counted(section[one]) if may_be_many(spoken.name) else 1 for one in covered}
    lapsed = _lapsed(spoken, many) or _rewired(work, spoken)
    if lapsed:
        place = work.read.place(spoken.at)
        do = "look again, and write the new count"
        work.problems.append(Problem(place, lapsed, do=do, warning=True))
        return
    if spoken.sample:
        _say_sample(work, spoken)
    said_by = ", ".join(spoken.said.are)
    word = "by a sample" if spoken.sample else "by a statement"
    rest = _rest(spoken, many)
    if rest and _stand_for(work, spoken, rest):
        covered[spoken.rest] = spoken.how
    work.read.rests_on.append(
        f"{sum(many.values()) + rest or 'no'} {spoken.about} ({spoken.signed}): {said_by}, {word}"
    )
    for one, how in covered.items():
        own = dict(section[one])
        section[one] = own
        for fact, value in spoken.said.are.items():
            _give(work, spoken, (spoken.name, one, fact), own, value, how, given)


def _covered(work: Work, spoken: _Spoken, one: str, facts: dict[str, Any]) -> str | None:
    """How well it is known what the statement says of an element; None where it does not cover it.

    Whether it is covered may itself be known less well than the statement: the weakest counts.
    """
    if one in (spoken.said.except_ or ()):
        return None
    used = list(spoken.where)
    for fact, word in spoken.where.items():
        value = value_of(facts.get(fact))
        if value is None or not within(spoken.name, fact, value, word):
            return None
    if spoken.places is not None:
        held = next((key for key in ("wall", "space", "sides") if _stands_in(facts.get(key), spoken.places)), None)
        if held is None:
            return None
        used.append(held)
    return weakest(spoken.how, *(how_known(work, facts, fact) for fact in used))


def _stands_in(written: Any, places: list[str]) -> bool:
    value = value_of(written)
    sides = [side for side in value if isinstance(side, str)] if isinstance(value, list) else [value]
    return any(isinstance(side, str) and (side in places or side.partition(".")[0] in places) for side in sides)


def _rest(spoken: _Spoken, many: dict[str, int]) -> int:
    """How many of those a statement speaks of no entry lists."""
    count = spoken.count if may_be_many(spoken.name) and spoken.said.ids is None else None
    return int(count) - sum(many.values()) if count is not None else 0


def _stand_for(work: Work, spoken: _Spoken, number: int) -> bool:
    """Make the entry that stands for those no entry lists."""
    told = {"known": spoken.how, "by": spoken.said.by, "day": spoken.said.day.isoformat()}
    return make_rest(
        work, spoken.name, spoken.rest, number, spoken.where, spoken.places, told, work.read._written(spoken.at)
    )


def _rewired(work: Work, spoken: _Spoken) -> str:
    """Why a statement about holes no longer holds although no hole was added: there are other cables now; or ''."""
    said = spoken.said.cables.exact if spoken.said.cables is not None else None
    now = cables_in(work, spoken.places)
    if said is None or said == len(now):
        return ""
    begin = f"the statement about {spoken.about} ({spoken.signed}) has lapsed: "
    return f"{begin}there were {said} cables, and {len(now)} are there now: {_some(now)}"


def _lapsed(spoken: _Spoken, many: dict[str, int]) -> str:
    """Why a statement no longer speaks of what is there, or ''. `many`: how many each covered entry stands for."""
    said, now = spoken.said, list(many)
    count = spoken.count
    begin = f"the statement about {spoken.about} ({spoken.signed}) has lapsed: "
    if said.ids is not None:
        parts = [
            f"{word}: {_some(names)}"
            for word, names in (
                ("new", [one for one in now if one not in said.ids]),
                ("no longer covered", [one for one in said.ids if one not in now]),
            )
            if names
        ]
        return begin + "; ".join(parts) if parts else ""
    there = sum(many.values())
    if there == count or (there < (count or 0) and may_be_many(spoken.name)):
        return ""
    listed = f": {_some(now)}" if now else ""
    return f"{begin}it speaks of {count}, {there} are covered now{listed}; with `ids` it would say which are new"


def _some(names: list[str]) -> str:
    more = len(names) - MOST_LISTED
    shown = names[-MOST_LISTED:] if more > 0 else names
    return ", ".join(map(short, shown)) + (f" and {more} before them" if more > 0 else "")


def _say_sample(work: Work, spoken: _Spoken) -> None:
    assert spoken.sample is not None
    seen, of = spoken.sample
    wrong = most_wrong(seen, of)
    may = f"as many as {wrong} of the others may be otherwise" if wrong else "none of the others should be otherwise"
    message = (
        f"{spoken.about}: {seen} of {of} were looked at ({spoken.signed}); {may} (95 percent), so it counts as typical"
    )
    work.problems.append(Problem(work.read.place(spoken.at), message, warning=True))


def _give(
    work: Work,
    spoken: _Spoken,
    path: Path,
    own: dict[str, Any],
    value: Any,
    how: str,
    given: dict[Path, tuple[_Spoken, Any]],
) -> None:
    """Give one fact to one element, or say that its own record does not fit."""
    name, fact = spoken.name, str(path[2])
    written = own.get(fact)
    present = value_of(written)
    made = {"is": value, "known": how, "by": spoken.said.by, "day": spoken.said.day.isoformat()}
    origin = work.read._written((*spoken.at, "are", fact))
    if present is None:
        own[fact] = made
    elif same(name, fact, present, value):
        if HOW_KNOWN.index(how) <= HOW_KNOWN.index(how_known(work, own, fact)):
            return
        if path not in work.read.origins and path not in given:
            own[fact] = {**made, "is": present}  # its own record, which somebody has now looked at
            return
        own[fact] = made
    elif within(name, fact, present, value):
        return
    else:
        _clash(work, spoken, path, present, value, given.get(path))
        return
    given[path] = (spoken, value)
    work.read.origins[path] = origin


def _clash(
    work: Work, spoken: _Spoken, path: Path, present: Any, value: Any, other: tuple[_Spoken, Any] | None
) -> None:
    one, fact = path[1:]
    where = work.read.place((*spoken.at, "are", fact))
    said = f"the statement of {spoken.signed} at {where} says '{_shown(value)}'"
    do = f"correct the one that is wrong, or name {short(one)} under the statement's except"
    if other is not None:
        message = f"two statements disagree on the {fact} of {short(one)}: '{_shown(present)}' here, and {said}"
    else:
        message = f"the {fact} of {short(one)} is '{_shown(present)}' here, and {said}"
    work.problems.append(Problem(work.read.place(path), message, f"{fact}: {_shown(value)}", do))


def _shown(value: Any) -> str:
    return ", ".join(map(str, value)) if isinstance(value, list) else short(value)
