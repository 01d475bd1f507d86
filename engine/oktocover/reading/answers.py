"""Answers from the field: a file of readings, each with its element and fact, laid into a site without editing it.

A reading fills a blank, or says more exactly what was written as a bound. What was only planned, assumed or typical
gives way to it, and is told. Everything else that does not agree is an error with both places and both names: between
an answer and the site, and between two answers. What could not be answered stays not recorded.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, Literal, get_args

from pydantic import Field, ValidationError

from oktocover.reading._field_faults import field_problems, short
from oktocover.reading.nodes import Document
from oktocover.reading.problems import InputProblems, Place, Problem
from oktocover.reading.short.agree import within
from oktocover.reading.short.one_by_one import one_by_one
from oktocover.reading.short.work import (
    NOT_FACTS,
    Path,
    Work,
    classes,
    facts_of,
    field_of,
    how_known,
    is_many,
    value_of,
)
from oktocover.site.base import HOW_KNOWN, Count, Date, HowKnown, Node, read_yes_no, spaced
from oktocover.site.root import site_model

if TYPE_CHECKING:
    from oktocover.reading.site_file import SiteFile

MARK = "answers file"
ROOTS = ("described", "still to come", "permit", "building")
"""Mappings of a site file that are no lists, and hold facts. `site` stands for the file itself."""
GIVES_WAY = ("planned", "assumed", "typical")
"""Ways of knowing that a reading replaces; the change is told."""
_MEANT = re.compile(r"did you mean '(.+)'\?")
NO_VALUE = ("cannot reach", "not there")
TO_DO = {
    "cannot reach": "find another way to it, or ask the office how it will look at it",
    "not there": "take the entry out of the site, or look again",
    "looks wrong": "look at it again before the visit",
    "ask": "ask, and write the answer down",
}
"""What comes next, by what was said."""
MOST_NAMED = 6
Instead = Literal["cannot reach", "not there", "looks wrong", "ask"]


class Answer(Node):
    """One reading, or what was said where there could be none."""

    element: list[str] | str | None = Field(
        default=None,
        description="id of the element; a list of ids where one look said the same of all; described, permit, site ... for "
        "facts of the building",
    )
    list_: str | None = Field(
        default=None, alias="list", description="list of the site file, where an id stands in several"
    )
    fact: str | None = Field(default=None, description="the fact, as the site file writes it: height, size, source off")
    record: str | None = Field(default=None, description="the rule, with its item, that a look answers")
    whole: str | None = Field(default=None, description="the list of which somebody says whether it is whole")
    in_: str | None = Field(
        default=None, alias="in", description="the room of which `whole` speaks; left out: the building"
    )
    about: str | None = Field(
        default=None, description="something to write into the site by hand; it is repeated, no more"
    )
    value: Any = Field(default=None, description="the reading, as it would stand in the site file; left out: no answer")
    said: Instead | None = Field(
        default=None, description="what was said where no value could be, or beside a doubtful one"
    )
    note: str | None = Field(default=None, description="why, in a few words")
    known: HowKnown | None = Field(default=None, description="how it is known: looked, measured, tested, told")
    how: str | None = Field(default=None, description="the way of the look: 1-1/4 in block beside every one")
    count: Count | None = Field(default=None, description="how many there were, of a list or of one look at many")
    except_: list[str] | None = Field(default=None, alias="except", description="those a look at many was not true of")
    was: str | None = Field(default=None, description="the reading in the site that this one takes the place of")
    by: str | None = Field(default=None, description="initials, where it was somebody else than the file says")
    day: Date | None = Field(default=None, description="the day, where it was another than the file says")


class AnswersFile(Node):
    """The readings of one person on one day."""

    site: str | None = Field(default=None, description="the building, as its site file calls it")
    by: str = Field(description="initials of the person who took the readings")
    day: Date = Field(description="the day they were taken")
    visit: str | None = Field(default=None, description="the visit the sheet was made for")
    answers: list[Answer] = Field(description="the readings")


@dataclass(frozen=True, slots=True)
class _Shifted:
    """A document whose paths begin with the mark of its file."""

    document: Document

    @property
    def lines(self) -> list[str]:
        return self.document.lines

    def place(self, path: Path) -> Place:
        return self.document.place(path[1:])

    def key_place(self, path: Path) -> Place:
        return self.document.key_place(path[1:])


@dataclass(slots=True)
class _Given:
    """An answer that somebody gave, with where it stands."""

    answer: Answer
    by: str
    day: str
    at: Path

    @property
    def who(self) -> str:
        return f"{self.by}, {self.day}"


@dataclass(slots=True)
class _Merge:
    """The work of laying answers into a site that is written out."""

    work: Work
    given: dict[Path, tuple[_Given, Any]] = field(default_factory=dict)
    said: dict[str, list[tuple[_Given, str]]] = field(default_factory=dict)
    """What was said beside a value or instead of one, in one file, by the word."""

    def wrong(self, one: _Given, key: str, message: str, expected: str = "", do: str = "") -> None:
        self.work.problems.append(Problem(self._place(one, key), message, expected, do))

    def tell(self, one: _Given, message: str, do: str = "") -> None:
        self.work.problems.append(Problem(self._place(one, "value"), message, do=do, warning=True))

    def unknown(self, one: _Given, key: str, message: str, word: str, known: Iterable[str]) -> None:
        self.work.unknown((*one.at, key), message, word, known)

    def _place(self, one: _Given, key: str) -> Place:
        return self.work.read.place((*one.at, key))


def lay_in(documents: Sequence[Document], work: Work) -> None:
    """Lay files of answers into a site that is written out; what is wrong goes to the problems of `work`."""
    merge = _Merge(work)
    for number, document in enumerate(documents):
        mark = f"{MARK} {number + 1}"
        work.read._sources[mark,] = _Shifted(document)  # type: ignore[assignment]
        for one in _answers(document, mark, work):
            _lay(merge, one)
        _tell_what_was_said(merge)


def lay_in_rooms(documents: Sequence[Document], data: dict[str, Any], read: SiteFile) -> None:
    """Lay what is answered of blank rooms into a site before its short forms are written out: walls follow from rooms.

    What is wrong is told when all answers are laid in.
    """
    rooms = data.get("spaces")
    for number, document in enumerate(documents):
        try:
            made = read_answers(document)
        except InputProblems:
            continue
        mark = f"{MARK} {number + 1}"
        read._sources[mark,] = _Shifted(document)  # type: ignore[assignment]
        for place, answer in enumerate(made.answers):
            room = rooms.get(answer.element) if isinstance(rooms, dict) and isinstance(answer.element, str) else None
            fact = answer.fact or ""
            if not isinstance(room, dict) or answer.list_ not in (None, "spaces") or answer.value is None:
                continue
            path = ("spaces", str(answer.element), fact)
            if room.get(fact) is None and fact in facts_of("spaces"):
                rooms[answer.element] = {**room, fact: _as_written(path, answer.value)}  # type: ignore[index]
                read.known[path] = str(answer.known or "looked")
                read.said_by[path] = answer.by or made.by
                read.origins[path] = (mark, "answers", place, "value")


def read_answers(document: Document) -> AnswersFile:
    """A file of answers, checked by itself. Raises InputProblems with all that is wrong in it."""
    data = document.data
    if not isinstance(data, dict) or "answers" not in data:
        expected = "by: initials, day: 2026-05-03, answers: [{element: R-01, fact: height, value: 44 in}]"
        do = "write one with: oktocover fieldsheet --format yaml, or save one from its page"
        raise InputProblems([Problem(document.place(()), "this is no file of answers", expected, do)])
    plain = {**data, "answers": data["answers"] if data["answers"] is not None else []}
    try:
        return AnswersFile.model_validate(_without_blanks(plain))
    except ValidationError as error:
        raise InputProblems(field_problems(error, plain, document, AnswersFile)) from None


def _without_blanks(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _without_blanks(inner) for key, inner in value.items() if inner is not None}
    return [_without_blanks(inner) for inner in value] if isinstance(value, list) else value


def _answers(document: Document, mark: str, work: Work) -> Iterator[_Given]:
    try:
        made = read_answers(document)
    except InputProblems as error:
        work.problems.extend(error.problems)
        return
    name = work.data.get("site")
    if made.site is not None and isinstance(name, str) and _plain(made.site) != _plain(name):
        work.wrong(
            (mark, "site"),
            f"these answers are about '{short(made.site)}'",
            f"site: {name}",
            "check which building they are from",
        )
        return
    if made.day > work.today:
        work.wrong((mark, "day"), f"{made.day} is in the future: nobody has looked yet", f"a day up to {work.today}")
        return
    for number, answer in enumerate(made.answers):
        day = (answer.day or made.day).isoformat()
        yield _Given(answer, answer.by or made.by, day, (mark, "answers", number))


def _plain(text: str) -> str:
    return " ".join(text.lower().split())


def _lay(merge: _Merge, one: _Given) -> None:
    answer = one.answer
    if answer.value is None and answer.said is None:
        return
    about = [key for key in ("fact", "record", "whole", "about") if getattr(answer, key) is not None]
    if len(about) != 1:
        say = "an answer is about one thing" if about else "this answer does not say what it is about"
        merge.wrong(one, "value", say, "fact: (with element:), record: (with element:), whole: or about:")
        return
    if answer.said in NO_VALUE and answer.value is not None:
        merge.wrong(one, "said", f"'{answer.said}', and yet there is a value", do="take out one of the two")
        return
    lay = {"fact": _fact, "record": _record, "whole": _whole, "about": _by_hand}[about[0]]
    lay(merge, one)


def _instead(merge: _Merge, one: _Given, key: Path, name: str) -> None:
    """Keep what was said beside a value or instead of one."""
    answer = one.answer
    if answer.said is not None:
        why = f": {answer.note}" if answer.note else ""
        merge.work.read.instead[key] = f"{answer.said} ({one.who}){why}"
        value = f" '{_shown(answer.value)}'" if answer.value is not None else ""
        merge.said.setdefault(answer.said, []).append(
            (one, f"{name}{value}" + (f" ({answer.note})" if answer.note else ""))
        )


def _tell_what_was_said(merge: _Merge) -> None:
    """One warning a word, however many blanks it was said of."""
    for word, found in merge.said.items():
        first = found[0][0]
        names = list(dict.fromkeys(name for _, name in found))
        more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
        merge.tell(first, f"{word} ({first.who}): {', '.join(names[:MOST_NAMED])}{more}", TO_DO[word])
    merge.said.clear()


# facts


def _fact(merge: _Merge, one: _Given) -> None:
    answer = one.answer
    fact = str(answer.fact)
    names = [answer.element] if isinstance(answer.element, str) else list(answer.element or ())
    if not names:
        merge.wrong(one, "fact", f"'{short(fact)}' of what?", "element: the id of one element, or a list of ids")
        return
    _one_look(merge, one, names)
    for name in names:
        path = _path(merge, one, name, fact)
        if path is None:
            continue
        _instead(merge, one, path, f"{fact} of {name}")
        if answer.value is not None:
            _value(merge, one, path)


def _one_look(merge: _Merge, one: _Given, names: list[str]) -> None:
    """One look at many: it is signed, counted, and listed with what the check rests on."""
    answer = one.answer
    if len(names) < 2 or answer.value is None:
        return
    others = len(answer.except_ or ())
    count = answer.count.exact if answer.count is not None else None
    if count is not None and count not in (len(names), len(names) + others):
        merge.wrong(
            one, "count", f"the look speaks of {count}, and names {len(names)}", f"count: {len(names) + others}"
        )
    how = f", {answer.how}" if answer.how else ""
    but = f", except {', '.join(answer.except_)}" if answer.except_ else ""
    what = answer.list_ or "things"
    merge.work.read.rests_on.append(f"{len(names)} {what} ({one.who}): {answer.fact}, by one look{how}{but}")


def _path(merge: _Merge, one: _Given, name: str, fact: str) -> Path | None:
    """The path of a fact in the long form; None, and said, when there is no such thing."""
    root = _root(merge, one, name, fact)
    if root is not None:
        return root or None
    lists = classes()
    wanted = one.answer.list_
    if wanted is not None and wanted not in lists:
        merge.unknown(one, "list", f"there is no list '{short(wanted)}' in a site file", wanted, lists)
        return None
    name = _by_side(merge, one, name)
    found = [each for each in ([wanted] if wanted else lists) if name in _section(merge, each)]
    if not found:
        known = [entry for each in ([wanted] if wanted else lists) for entry in _section(merge, each)]
        where = f" in {wanted}" if wanted else " in this site"
        merge.unknown(
            one, "element", f"there is no '{short(name)}'{where}", name, known[:40] or ["(nothing is written yet)"]
        )
        return None
    if len(found) > 1:
        merge.wrong(
            one, "element", f"'{short(name)}' stands in {' and in '.join(found)}", f"list: {found[0]} (or {found[1]})"
        )
        return None
    section = found[0]
    allowed = [key for key in facts_of(section) if key not in (*NOT_FACTS, "typical")]
    if fact not in allowed:
        merge.work.no_fact((*one.at, "fact"), f"'{short(fact)}' is no fact of {section}", fact, section, allowed)
        return None
    alone = one_by_one(section, fact) if isinstance(one.answer.element, list) and len(one.answer.element) > 1 else None
    if alone:
        merge.wrong(one, "element", f"{alone}: one look does not cover these", do="write one answer for each of them")
        return None
    return (section, name, fact)


def _root(merge: _Merge, one: _Given, name: str, fact: str) -> Path | None:
    """The path of a fact of the building; () when it is said to be wrong, None when `name` is an element."""
    first = next((root for root in (*ROOTS, "site") if name == root or name.startswith(f"{root} ")), None)
    if first is None or name in _elements(merge):
        return None
    rest = name[len(first) :].strip()
    model: Any = site_model()
    parts = [part for part in ("" if first == "site" else first, rest) if part]
    for part in parts:
        model = _model_at(model, part)
    known = [] if model is None else [one.alias or spaced(key) for key, one in model.model_fields.items()]
    if fact not in known:
        merge.unknown(one, "fact", f"'{short(fact)}' is no fact of {short(name)}", fact, known)
        return ()
    return (*parts, fact)


def _model_at(model: Any, part: str) -> Any:
    fields = getattr(model, "model_fields", {})
    about = next((one for key, one in fields.items() if (one.alias or spaced(key)) == part), None)
    found = () if about is None else (about.annotation, *get_args(about.annotation))
    return next((one for one in found if isinstance(one, type) and issubclass(one, Node)), None)


def _elements(merge: _Merge) -> set[str]:
    return {one for name in classes() for one in _section(merge, name)}


def _section(merge: _Merge, name: str) -> dict[str, Any]:
    found = merge.work.data.get(name)
    return found if isinstance(found, dict) else {}


def _by_side(merge: _Merge, one: _Given, name: str) -> str:
    """The wall that has a side, `studio.north`; where there is none, one is written for it."""
    room, dot, _ = name.partition(".")
    if one.answer.list_ != "walls" or not dot or room not in _section(merge, "spaces"):
        return name
    walls = _section(merge, "walls")
    for wall, facts in walls.items():
        sides = value_of(facts.get("sides")) if isinstance(facts, dict) else None
        if name == wall or name in (sides if isinstance(sides, list) else [sides]):
            return str(wall)
    merge.work.add("walls", name, {"sides": [name]}, (*one.at, "element"))
    return name


def _value(merge: _Merge, one: _Given, path: Path) -> None:
    """Lay one value in, or say what it does not agree with."""
    work, value = merge.work, _as_written(path, one.answer.value)
    if isinstance(value, dict):
        merge.wrong(
            one, "value", f"{path[-1]}: one value was expected here", "value: as it would stand in the site file"
        )
        return
    if not _can_be_read(merge, one, path, value):
        return
    into: Any = work.data
    for part in path[:-1]:
        inner = into.get(part)
        into[part] = dict(inner) if isinstance(inner, dict) else {}
        into = into[part]
    fact = str(path[-1])
    present = value_of(into.get(fact))
    known = str(one.answer.known or "looked")
    if present is not None and not _fits(merge, one, path, present, value, into):
        return
    if present is not None and _within(path, present, value) and not _within(path, value, present):
        return  # what stands there says it more exactly
    if present is not None and _within(path, value, present):
        weaker = HOW_KNOWN.index(known) <= HOW_KNOWN.index(how_known(work, into, fact))
        if weaker and _within(path, present, value):
            return
    into[fact] = (
        {"is": value, "known": known, "by": one.by, "day": one.day} if len(path) == 3 or path[0] in ROOTS else value
    )
    merge.given[path] = (one, value)
    work.read.origins[path] = (*one.at, "value")


def _can_be_read(merge: _Merge, one: _Given, path: Path, value: Any) -> bool:
    """Whether a value can stand at a path; what it should be is said at its line, with the line to copy."""
    data: Any = value
    for part in reversed(path):
        data = {part: data}
    try:
        site_model().model_validate(data)
    except ValidationError as error:
        for found in field_problems(error, data, _Everywhere(merge._place(one, "value"), merge.work.read.elsewhere)):
            meant = _MEANT.search(found.do)
            document = merge.work.read._sources[one.at[0],]
            mended = document.document.mended((*one.at[1:], "value"), meant[1]) if meant is not None else ""  # type: ignore[attr-defined]
            merge.work.problems.append(replace(found, mended=mended))
        return False
    return True


@dataclass(frozen=True, slots=True)
class _Everywhere:
    """One place for whatever is wrong with a value."""

    spot: Place
    elsewhere: Any

    def place(self, path: Path) -> Place:
        return self.spot

    key_place = place


def _fits(merge: _Merge, one: _Given, path: Path, present: Any, value: Any, facts: dict[str, Any]) -> bool:
    """Whether a value may stand where another one is written; what gives way is told, what does not is an error."""
    if _within(path, value, present) or _within(path, present, value) or present == "not sure":
        return True
    fact, of = str(path[-1]), str(path[-2]) if len(path) > 1 else "the site"
    before = merge.given.get(path)
    read = merge.work.read
    if before is not None:
        other, said = before
        message = (
            f"two answers to the {fact} of {short(of)}: '{_shown(value)}' ({one.who}) here, and '{_shown(said)}' "
            f"({other.who}) at {read.place((*other.at, 'value'))}"
        )
        merge.wrong(one, "value", message, do="find out which one is right, and take the other out")
        return False
    was = one.answer.was
    how = how_known(merge.work, facts, fact)
    place = read.place(path)
    if was is not None and _within(path, was, present) and _within(path, present, was):
        merge.tell(
            one,
            f"{fact} of {short(of)}: '{_shown(value)}' ({one.who}) takes the place of '{_shown(present)}' at {place}",
        )
        return True
    if how in GIVES_WAY:
        merge.tell(
            one,
            f"{fact} of {short(of)}: '{_shown(value)}' ({one.who}) takes the place of '{_shown(present)}', {how} at {place}",
        )
        return True
    message = f"the {fact} of {short(of)} is '{_shown(value)}' here ({one.who}), and '{_shown(present)}'{_by(facts, fact)} at {place}"
    do = f"find out which one is right; if it was measured again, add: was: {_shown(present)}"
    merge.wrong(one, "value", message, do=do)
    return False


def _by(facts: dict[str, Any], fact: str) -> str:
    told = facts.get(fact)
    by = told.get("by") if isinstance(told, dict) else None
    return f" ({by})" if by else ""


def _within(path: Path, one: Any, other: Any) -> bool:
    if len(path) == 3 and path[0] in classes():
        return within(str(path[0]), str(path[-1]), one, other)
    return bool(_word(one) == _word(other))


def _word(value: Any) -> Any:
    if not isinstance(value, str):
        return value
    text = _plain(value)
    return {"no": "none", "false": "none", "true": "yes"}.get(text, text)


def _as_written(path: Path, value: Any) -> Any:
    """A text that stands for a list, as the list: `L-01, L-02`, corners with `;` between them."""
    if not isinstance(value, str) or len(path) != 3 or path[0] not in classes():
        return value
    if not is_many(field_of(str(path[0]), str(path[-1]))):
        return value
    text = value.strip().removeprefix("[").removesuffix("]")
    if text.lower() in ("", "none", "nothing"):
        return []
    return [part.strip() for part in text.split(";" if path[-1] == "outline" else ",") if part.strip()]


def _shown(value: Any) -> str:
    return ", ".join(map(str, value)) if isinstance(value, list) else short(value)


# records and whole lists


def _yes_no(merge: _Merge, one: _Given) -> bool | None:
    try:
        return read_yes_no(str(one.answer.value))
    except ValueError as error:
        merge.wrong(one, "value", str(error), "value: yes, or no")
        return None


def _record(merge: _Merge, one: _Given) -> None:
    answer = one.answer
    names = [answer.element] if not isinstance(answer.element, list) else list(answer.element)
    for name in names:
        rule = str(answer.record)
        _instead(merge, one, ("records", rule, name or ""), f"{rule}, {name or 'the building'}")
    said = _yes_no(merge, one) if answer.value is not None else None
    if said is None:
        return
    records = list(merge.work.data.get("records") or ())
    for name in names:
        if _agrees(merge, one, records, name, said):
            continue
        made = {"for": answer.record, "element": name, "answer": "yes" if said else "no", "by": one.by, "day": one.day}
        made |= {"known": answer.known, "note": answer.note}
        merge.work.read.origins["records", len(records)] = one.at
        records.append({key: value for key, value in made.items() if value is not None})
    merge.work.data["records"] = records


def _agrees(merge: _Merge, one: _Given, records: list[Any], name: str | None, said: bool) -> bool:
    """Whether a record says the same already; one that says the other is an error with both places."""
    rule = str(one.answer.record).removesuffix(".main")
    for number, record in enumerate(records):
        if not isinstance(record, dict) or str(record.get("for")).removesuffix(".main") != rule:
            continue
        if (record.get("element") or None) != name:
            continue
        other = str(record.get("answer")).lower() in ("yes", "true", "y")
        if other != said:
            place = merge.work.read.place(("records", number))
            by = record.get("by") or "nobody named"
            message = f"{rule} of {name or 'the building'} is answered '{one.answer.value}' here ({one.who}), and otherwise by {by} at {place}"
            merge.wrong(one, "value", message, do="find out which one is right, and take the other out")
        return True
    return False


def _whole(merge: _Merge, one: _Given) -> None:
    answer = one.answer
    name = str(answer.whole)
    if not merge.work.is_list((*one.at, "whole"), name):
        return
    where = f" in {answer.in_}" if answer.in_ else ""
    _instead(merge, one, ("looked", name, answer.in_ or ""), f"list of {name}{where}")
    said = _yes_no(merge, one) if answer.value is not None else None
    if said is None:
        return
    if answer.in_ and answer.in_.partition(".")[0] not in _section(merge, "spaces"):
        merge.unknown(
            one, "in", f"there is no room '{short(answer.in_)}' in this site", answer.in_, _section(merge, "spaces")
        )
        return
    if not said:
        note = f": {answer.note}" if answer.note else ""
        merge.tell(
            one, f"the list of {name}{where} is not whole ({one.who}){note}", f"write what is missing under {name}"
        )
        return
    looked = list(merge.work.data.get("looked") or ())
    made = {"list": name, "in": answer.in_, "whole": "yes", "by": one.by, "day": one.day, "how": answer.how}
    made["count"] = answer.count.text if answer.count is not None else None
    merge.work.read.origins["looked", len(looked)] = one.at
    looked.append({key: value for key, value in made.items() if value is not None})
    merge.work.data["looked"] = looked


def _by_hand(merge: _Merge, one: _Given) -> None:
    answer = one.answer
    said = f" '{_shown(answer.value)}'" if answer.value is not None else f" {answer.said}"
    merge.tell(one, f"{answer.about}:{said} ({one.who})", "write it into the site; no line of it takes this by itself")


__all__ = ["Answer", "AnswersFile", "lay_in", "lay_in_rooms", "read_answers"]
