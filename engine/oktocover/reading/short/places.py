"""Places and sizes as a person says them: `wall: studio.north at 12 ft up 44 in`, `size: 3 ft x 6 ft 8 in`.

The first is the wall, `at` and `height` of a thing on a wall, the second the width and the height (`high`) of an opening
or of a thing outside; `hole: 1-1/4 in for 7/8 in` is the hole and the item that goes through it.
"""

from __future__ import annotations

import re
from typing import Any

from oktocover.reading._field_faults import short
from oktocover.reading.short.work import Path, Work, classes
from oktocover.site.base import OnWall

_ON_WALL = re.compile(r"(?P<wall>[^,]*?\.[^,]*?)(?:,?\s+at\s+(?P<at>.+?))?(?:,?\s+up\s+(?P<height>.+))?")
_TIMES = re.compile(r"\s*[x×]\s*|\s+by\s+", re.IGNORECASE)
_THROUGH = re.compile(r"(?P<hole>.+?)\s+for\s+(?P<item>.+)")
WALL, SIZE, HOLE = "wall", "size", "hole"
SIZED = ("width", "high")
BORED = (HOLE, "item")


def expand_places(work: Work, nearest: bool = False) -> None:
    """Take the places and sizes of all entries apart into the facts that they say.

    `nearest`: they come from typicals by now, and what the entry says itself wins.
    """
    kinds = {
        name: (issubclass(made, OnWall), SIZE in made.short_keys, set(BORED) <= set(made.model_fields))
        for name, made in classes().items()
    }
    for name, one, facts in list(work.entries()):
        on_wall, has_size, is_bored = kinds[name]
        if on_wall and _says_more(facts.get(WALL)):
            _apart(work, (name, one, WALL), _ON_WALL.fullmatch, (WALL, "at", "height"), nearest)
        if has_size and facts.get(SIZE) is not None:
            _apart(work, (name, one, SIZE), _two, SIZED, nearest)
        if is_bored and " for " in (_text(facts.get(HOLE)) or ""):
            _apart(work, (name, one, HOLE), _THROUGH.fullmatch, BORED, nearest)


def _says_more(written: Any) -> bool:
    text = _text(written)
    return text is not None and (" at " in text or " up " in text)


def _text(written: Any) -> str | None:
    value = written.get("is") if isinstance(written, dict) else written
    return value if isinstance(value, str) else None


def _two(text: str) -> tuple[str, str] | None:
    parts = [part for part in _TIMES.split(text.strip()) if part]
    return (parts[0], parts[1]) if len(parts) == 2 else None


def _apart(work: Work, path: Path, read: Any, facts: tuple[str, ...], nearest: bool) -> None:
    """Put the facts that one text says into its entry; the entry may say none of them a second time."""
    name, one, key = str(path[0]), str(path[1]), str(path[2])
    own = work.data[name][one] = dict(work.data[name][one])
    written = own.pop(key)
    text = _text(written)
    found = read(text) if text is not None else None
    if found is None:
        message, like = {
            WALL: (
                f"'{short(text or written)}' names no place on a wall",
                "studio.north at 12 ft, or studio.north at 12 ft up 44 in",
            ),
            SIZE: (f"'{short(text or written)}' is no size", "width by height, such as 3 ft x 6 ft 8 in"),
            HOLE: (f"'{short(text or written)}' is no hole with what goes through", "1-1/4 in for 7/8 in"),
        }[key]
        work.wrong(path, message, like)
        return
    values = found.groups() if isinstance(found, re.Match) else found
    origin = work.read._written(path)
    for fact, value in zip(facts, values, strict=True):
        if value is None:
            continue
        if own.get(fact) is not None and nearest:
            continue
        if own.get(fact) is not None:
            other = work.read.place((name, one, fact))
            message = f"'{short(text)}' says the {fact} of {short(one)}, and so does its entry at {other}"
            work.wrong(path, message, "each fact once", f"take '{fact}' out, or the part of it that says it here")
            continue
        own[fact] = {**written, "is": value} if isinstance(written, dict) else value
        work.read.origins[name, one, fact] = origin
