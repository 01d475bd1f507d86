"""One value laid into a site, or what it does not agree with."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Any

from pydantic import ValidationError

from oktocover.reading._field_faults import field_problems, short
from oktocover.reading.answers.merging import Given, Merge, plain, shown
from oktocover.reading.answers.paths import ROOTS
from oktocover.reading.problems import Place
from oktocover.reading.short.agree import within
from oktocover.reading.short.work import Path, classes, field_of, how_known, is_many, value_of
from oktocover.site.base import HOW_KNOWN
from oktocover.site.root import site_model

GIVES_WAY = ("planned", "assumed", "typical")
"""Ways of knowing that a reading replaces; the change is told."""
_MEANT = re.compile(r"did you mean '(.+)'\?")


def lay_value(merge: Merge, one: Given, path: Path) -> None:
    """Lay one value in, or say what it does not agree with."""
    work, value = merge.work, as_written(path, one.answer.value)
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


def _can_be_read(merge: Merge, one: Given, path: Path, value: Any) -> bool:
    """Whether a value can stand at a path; what it should be is said at its line, with the line to copy."""
    data: Any = value
    for part in reversed(path):
        data = {part: data}
    try:
        site_model().model_validate(data)
    except ValidationError as error:
        for found in field_problems(error, data, _Everywhere(merge.place(one, "value"), merge.work.read.elsewhere)):
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


def _fits(merge: Merge, one: Given, path: Path, present: Any, value: Any, facts: dict[str, Any]) -> bool:
    """Whether a value may stand where another one is written; what gives way is told, what does not is an error."""
    if _within(path, value, present) or _within(path, present, value) or present == "not sure":
        return True
    fact, of = str(path[-1]), str(path[-2]) if len(path) > 1 else "the site"
    before = merge.given.get(path)
    read = merge.work.read
    if before is not None:
        other, said = before
        message = (
            f"two answers to the {fact} of {short(of)}: '{shown(value)}' ({one.who}) here, and '{shown(said)}' "
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
            f"{fact} of {short(of)}: '{shown(value)}' ({one.who}) takes the place of '{shown(present)}' at {place}",
        )
        return True
    if how in GIVES_WAY:
        merge.tell(
            one,
            f"{fact} of {short(of)}: '{shown(value)}' ({one.who}) takes the place of '{shown(present)}', {how} at {place}",
        )
        return True
    message = f"the {fact} of {short(of)} is '{shown(value)}' here ({one.who}), and '{shown(present)}'{_by(facts, fact)} at {place}"
    do = f"find out which one is right; if it was measured again, add: was: {shown(present)}"
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
    text = plain(value)
    return {"no": "none", "false": "none", "true": "yes"}.get(text, text)


def as_written(path: Path, value: Any) -> Any:
    """A text that stands for a list, as the list: `L-01, L-02`, corners with `;` between them."""
    if not isinstance(value, str) or len(path) != 3 or path[0] not in classes():
        return value
    if not is_many(field_of(str(path[0]), str(path[-1]))):
        return value
    text = value.strip().removeprefix("[").removesuffix("]")
    if text.lower() in ("", "none", "nothing"):
        return []
    return [part.strip() for part in text.split(";" if path[-1] == "outline" else ",") if part.strip()]
