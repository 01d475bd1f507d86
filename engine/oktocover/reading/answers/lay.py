"""Files of answers laid into a site, one answer after the other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from oktocover.reading._field_faults import short
from oktocover.reading.answers.file import read_answers
from oktocover.reading.answers.merging import Given, Merge, Shifted, instead, plain, tell_what_was_said
from oktocover.reading.answers.paths import path_of
from oktocover.reading.answers.records import by_hand, lay_record, lay_whole
from oktocover.reading.answers.values import as_written, lay_value
from oktocover.reading.nodes import Document
from oktocover.reading.problems import InputProblems
from oktocover.reading.short.work import Work

if TYPE_CHECKING:
    from oktocover.reading.site_file import SiteFile

MARK = "answers file"
ROOM_FACTS = ("level", "use", "outline", "size", "corner", "ceiling")
"""What the walls of a room follow from, and which room is which."""
NO_VALUE = ("cannot reach", "not there")


def lay_in(documents: Sequence[Document], work: Work) -> None:
    """Lay files of answers into a site that is written out; what is wrong goes to the problems of `work`."""
    merge = Merge(work)
    for number, document in enumerate(documents):
        mark = f"{MARK} {number + 1}"
        work.read._sources[mark,] = Shifted(document)  # type: ignore[assignment]
        for one in _answers(document, mark, work):
            _lay(merge, one)
        tell_what_was_said(merge)
        _tell_whose(merge, document, mark)


def _tell_whose(merge: Merge, document: Document, mark: str) -> None:
    """On whose readings a check rests, by file."""
    for who in dict.fromkeys(one.who for one, _ in merge.given.values() if one.at[0] == mark):
        count = sum(one.who == who and one.at[0] == mark for one, _ in merge.given.values())
        merge.work.read.rests_on.append(f"{count} {'reading' if count == 1 else 'readings'} of {document.file} ({who})")


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
        read._sources[mark,] = Shifted(document)  # type: ignore[assignment]
        for place, answer in enumerate(made.answers):
            room = rooms.get(answer.element) if isinstance(rooms, dict) and isinstance(answer.element, str) else None
            fact = answer.fact or ""
            if not isinstance(room, dict) or answer.list_ not in (None, "spaces") or answer.value is None:
                continue
            path = ("spaces", str(answer.element), fact)
            if room.get(fact) is None and fact in ROOM_FACTS:
                rooms[answer.element] = {**room, fact: as_written(path, answer.value)}  # type: ignore[index]
                read.known[path] = str(answer.known or "looked")
                read.said_by[path] = answer.by or made.by
                read.origins[path] = (mark, "answers", place, "value")


def _answers(document: Document, mark: str, work: Work) -> Iterator[Given]:
    try:
        made = read_answers(document)
    except InputProblems as error:
        work.problems.extend(error.problems)
        return
    name = work.data.get("site")
    if made.site is not None and isinstance(name, str) and plain(made.site) != plain(name):
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
        yield Given(answer, answer.by or made.by, day, (mark, "answers", number))


def _lay(merge: Merge, one: Given) -> None:
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
    lay = {"fact": lay_fact, "record": lay_record, "whole": lay_whole, "about": by_hand}[about[0]]
    lay(merge, one)


def lay_fact(merge: Merge, one: Given) -> None:
    answer = one.answer
    fact = str(answer.fact)
    names = [answer.element] if isinstance(answer.element, str) else list(answer.element or ())
    if not names:
        merge.wrong(one, "fact", f"'{short(fact)}' of what?", "element: the id of one element, or a list of ids")
        return
    _one_look(merge, one, names)
    for name in names:
        path = path_of(merge, one, name, fact)
        if path is None:
            continue
        instead(merge, one, path, f"{fact} of {name}")
        if answer.value is not None:
            lay_value(merge, one, path)


def _one_look(merge: Merge, one: Given, names: list[str]) -> None:
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
