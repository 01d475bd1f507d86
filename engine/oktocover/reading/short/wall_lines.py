"""The lines of `walls:` written as a list, and the named classes of framing: what each says, checked by itself.

Four forms, the nearest to a wall first: an entry with its `id` and `sides` as in the long form, or one side by name
(`wall: garage.west`); the wall between rooms (`between: [garage, studio]`); all of a sort in a room (`all: outside walls,
in: garage`); all of a sort.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from oktocover.quantities import read_date
from oktocover.reading._field_faults import short
from oktocover.reading.short.one_by_one import one_by_one
from oktocover.reading.short.work import NOT_FACTS, Path, Work, facts_of, field_of, value_of
from oktocover.site.base import HOW_KNOWN, words_of

WALLS = "walls"
FRAMING = "framing"
SORTS = {"outside walls": "outside", "inside walls": "inside", "walls": ""}
"""What `all:` may say, and the sort of wall that it means; '' is any."""
SIGNED = ("by", "day", "count")
NEAREST, BETWEEN, IN_A_ROOM, ALL = 3, 2, 1, 0
"""How near a line is to the walls it speaks of; the nearest wins, fact by fact."""
_OWN_KEYS = {
    "all": ("all", "in", "except", "by", "day", "how", "count"),
    "between": ("between", "id"),
    "wall": ("wall", "id"),
    "sides": ("id",),
}
_FORMS = (
    "{all: outside walls, ...}, {between: [room, room], ...}, {wall: room.wall, ...} or {id: ..., sides: [...], ...}"
)


@dataclass(slots=True)
class Line:
    """One line of the list of walls."""

    form: str
    at: Path
    rank: int
    named: list[str]
    """What it is about: a word of SORTS, rooms, or sides."""
    facts: dict[str, Any]
    id: str | None = None
    places: list[str] | None = None
    spared: list[str] = field(default_factory=list)
    """What stands under its `except`."""
    signed: dict[str, Any] | None = None
    """`by` and `day` of a signed line about all walls of a sort."""
    count: int | None = None


@dataclass(slots=True)
class MadeWall:
    """One wall: its sides, the lines that name it or its rooms, and the lines about all walls that speak of it."""

    id: str
    sides: tuple[str, ...]
    named: bool = False
    """Whether somebody gave it this id."""
    written: bool = False
    """Whether it stood in the list of walls already, with its sides."""
    lines: list[Line] = field(default_factory=list)
    sort: str | None = None

    @property
    def rooms(self) -> list[str]:
        """The rooms on its sides."""
        return list(dict.fromkeys(side.partition(".")[0] for side in self.sides))


def facts_of_walls() -> list[str]:
    """The facts that may be said of many walls in one line."""
    return [fact for fact in facts_of(WALLS) if fact not in (*NOT_FACTS, "typical", "sides")]


def wall_lines(work: Work) -> list[Line]:
    """The lines of `walls:` when it is a list, which is replaced by an empty mapping."""
    written = work.data.get(WALLS)
    if not isinstance(written, list):
        return []
    work.data[WALLS] = {}
    lines = [_line(work, (WALLS, number), one) for number, one in enumerate(written) if one is not None]
    return [line for line in lines if line is not None]


def _line(work: Work, at: Path, written: Any) -> Line | None:
    if not isinstance(written, dict):
        work.wrong(at, "a line of walls is a mapping", _FORMS)
        return None
    said = {key: value for key, value in written.items() if value is not None}
    forms = [form for form in ("all", "between", "wall", "sides") if form in said]
    if len(forms) > 1 or not (forms or "id" in said):
        found = f"'{forms[0]}' and '{forms[1]}' do not stand in one line" if forms else "this line names no wall"
        work.wrong(at, found, _FORMS)
        return None
    form = forms[0] if forms else "sides"
    own = _OWN_KEYS[form]
    allowed = (
        facts_of_walls() if form == "all" else [one for one in facts_of(WALLS) if one != "sides" or form == "sides"]
    )
    for key in said:
        if key not in own and key not in allowed:
            message = f"'{short(key)}' is not a key that stands in a line of walls with '{form}'"
            work.unknown((*at, key), message, key, [*own, *allowed], key=True)
            return None
    facts = {key: value for key, value in said.items() if key not in own}
    named = _names(work, (*at, form), said.get(form, []), form)
    name = said.get("id")
    if named is None or not _is_id(work, at, form, name):
        return None
    rank = {"all": IN_A_ROOM if "in" in said else ALL, "between": BETWEEN}.get(form, NEAREST)
    line = Line(form, at, rank, named, facts, name)
    return line if form != "all" or _class(work, line, said) else None


def _is_id(work: Work, at: Path, form: str, name: Any) -> bool:
    if name is None and form == "sides":
        work.wrong(at, "'id' is missing here", "id: W-1")
        return False
    if name is not None and (not isinstance(name, str) or not name.strip()):
        work.wrong((*at, "id"), "this is no id", "a short one, such as W-1")
        return False
    return True


def _names(work: Work, at: Path, value: Any, form: str) -> list[str] | None:
    """What a line is about, as texts; None, and said, when that cannot be."""
    if form == "sides":
        return []
    many = form == "between"
    names = value if many and isinstance(value, list) else [value]
    if any(not isinstance(one, str) for one in names) or (many and len(set(names)) < 2):
        like = {"all": "outside walls", "between": "[garage, studio]", "wall": "garage.west"}[form]
        work.wrong(at, "two rooms or more are named here" if many else "one name is written here", f"{form}: {like}")
        return None
    if form == "all" and names[0] not in SORTS:
        work.unknown(at, f"'{short(names[0])}' is no sort of wall", names[0], SORTS)
        return None
    if form == "wall" and not names[0].partition(".")[2]:
        work.wrong(at, f"'{short(names[0])}' names no wall", "room.wall, as seen from inside the room")
        return None
    return names


def rooms_known(work: Work, line: Line) -> bool:
    """Whether the rooms that a line names are rooms of the site; said when not."""
    spaces = work.data.get("spaces")
    rooms = list(spaces) if isinstance(spaces, dict) else []
    fine = True
    for key, names in ((line.form, line.named if line.form in ("between", "wall") else ()), ("in", line.places or ())):
        for number, name in enumerate(names):
            room = name.partition(".")[0]
            if room not in rooms:
                here = (*line.at, key, number) if key == "between" or len(names) > 1 else (*line.at, key)
                work.unknown(here, f"'{short(room)}' is no room of this site", room, rooms or ["(none is written yet)"])
                fine = False
    return fine


def _class(work: Work, line: Line, said: dict[str, Any]) -> bool:
    """Fill in what a line about all walls of a sort says of itself; False when it cannot be understood."""
    before = len(work.problems)
    for key in ("in", "except"):
        value = said.get(key, [])
        names = [value] if isinstance(value, str) else value
        if not isinstance(names, list) or any(not isinstance(one, str) for one in names):
            work.wrong((*line.at, key), "names are written here", f"{key}: [garage]")
        elif key == "in":
            line.places = names or None
        else:
            line.spared = names
    _signature(work, line, said)
    _one_by_one(work, line)
    return len(work.problems) == before


def _signature(work: Work, line: Line, said: dict[str, Any]) -> None:
    """A signed line is somebody's look at all of them, with the number that there were."""
    count = said.get("count")
    if count is not None:
        if not (isinstance(count, str) and count.isdigit()):
            work.wrong((*line.at, "count"), f"'{short(count)}' is no count", "a whole number: count: 6")
            return
        line.count = int(count)
    if "by" not in said and "day" not in said:
        return
    for key in SIGNED:
        if key not in said:
            like = {"by": "by: M.K.", "day": "day: 2026-05-03", "count": "count: how many there were"}[key]
            work.wrong(line.at, f"a signed line has {', '.join(SIGNED)}: '{key}' is missing here", like)
    try:
        day = read_date(str(said.get("day")))
    except ValueError:
        work.wrong((*line.at, "day"), f"'{short(said.get('day'))}' is no day", "day: 2026-05-03")
        return
    if day > work.today:
        work.wrong((*line.at, "day"), f"{day} is in the future: nobody has looked yet", f"a day up to {work.today}")
    line.signed = {"by": str(said.get("by")), "day": day.isoformat()}


def _one_by_one(work: Work, line: Line) -> None:
    for fact in line.facts:
        alone = one_by_one(WALLS, fact)
        if alone and line.signed is None:
            do = "sign the line: by, day and count, with the exceptions under except; or write it at each wall"
            work.wrong(
                (*line.at, fact), f"{alone}: a line about all of them says it only when it is signed", do=do, key=True
            )
        value = line.facts[fact]
        if not isinstance(value, (str, dict)) or (isinstance(value, dict) and "is" not in value):
            work.wrong((*line.at, fact), f"{fact}: one value was expected here", "a value")


@dataclass(slots=True)
class Framing:
    """A named class of framing: its facts, and where it is written."""

    facts: dict[str, Any]
    at: Path
    known: str | None


def framings(work: Work) -> dict[str, Framing]:
    """The named classes of framing of the site, taken out of it."""
    written = work.data.pop(FRAMING, None)
    if written is None:
        return {}
    if not isinstance(written, dict):
        work.wrong((FRAMING,), "classes of framing stand under their names", "framing: {outside: {framing: 2x6}}")
        return {}
    found: dict[str, Framing] = {}
    for name, facts in written.items():
        framing = _framing(work, (FRAMING, name), name, facts if facts is not None else {})
        if framing is not None:
            found[name] = framing
    return found


def framing_words() -> tuple[str, ...]:
    """What framing can be, without a class of a name."""
    about = field_of(WALLS, FRAMING)
    return words_of(about.annotation) or () if about is not None else ()


def _framing(work: Work, at: Path, name: str, facts: Any) -> Framing | None:
    if name in framing_words():
        do = f"another name, such as outside: {{framing: {name}}}"
        work.wrong(at, f"'{short(name)}' is a kind of framing already, and cannot name a class", do, key=True)
        return None
    if not isinstance(facts, dict):
        work.wrong(at, "a class of framing is a mapping of facts", "{framing: 2x6, spacing: 16 in}")
        return None
    allowed = [fact for fact in facts_of_walls() if not one_by_one(WALLS, fact)]
    before = len(work.problems)
    for fact in facts:
        alone = one_by_one(WALLS, fact)
        if alone:
            do = "take it out here; write it at each wall, or in a signed line about all of a sort"
            work.wrong((*at, fact), f"{alone}: no class of framing says it", do=do, key=True)
        elif fact not in (*allowed, "known"):
            work.unknown((*at, fact), f"'{short(fact)}' is no fact of walls", fact, allowed, key=True)
    said = facts.get("known")
    if said is not None and said not in HOW_KNOWN:
        work.unknown((*at, "known"), f"'{short(said)}' is no way of knowing", said, HOW_KNOWN)
    kind = value_of(facts.get(FRAMING))
    if isinstance(kind, str) and kind not in framing_words():
        work.unknown((*at, FRAMING), f"'{short(kind)}' is no kind of framing", kind, framing_words())
    if len(work.problems) > before:
        return None
    return Framing({fact: value for fact, value in facts.items() if value is not None and fact != "known"}, at, said)
