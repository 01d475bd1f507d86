"""Ranges in words: ``at least X``, ``X or more``, ``over X up to Y``, ``from X to under Y``."""

from __future__ import annotations

import re
from dataclasses import dataclass

_LOW = {"at least": False, "not less than": False, "no less than": False, "minimum": False, ">=": False} | {
    "from": False,
    "over": True,
    "more than": True,
    "greater than": True,
    "above": True,
    ">": True,
}
_HIGH = {"at most": False, "not more than": False, "no more than": False, "maximum": False, "<=": False} | {
    "up to": False,
    "not over": False,
    "under": True,
    "less than": True,
    "below": True,
    "<": True,
}


def _words(table: dict[str, bool]) -> str:
    return "|".join(re.escape(w).replace(r"\ ", r"\s+") for w in sorted(table, key=len, reverse=True))


# Compiled when the first range is met.
_PREFIX = rf"(?i)({_words(_LOW | _HIGH)})\s*(?=[\s0-9.#$R+-])"
_MIDDLE = rf"(?i)\s+(?:(?:and|but)\s+)?(?:to\s+)?({_words(_HIGH)})\s+(?=\S)|\s+(to|and)\s+(?=\S)"
_SUFFIX = (
    r"(?i)\s+(?:(or\s+(?:more|greater|larger|longer|over|above)|minimum)"
    r"|(or\s+(?:less|fewer|smaller|shorter|under|below)|maximum|max))\.?$"
)
_BETWEEN = r"(?i)between\s+"


@dataclass(frozen=True, slots=True)
class Bounds:
    """The texts of the two ends of a range, where they begin, and whether each end is left out of it."""

    low: str | None
    high: str | None
    low_at: int = 0
    high_at: int = 0
    low_open: bool = False
    high_open: bool = False


def _key(words: str) -> str:
    return " ".join(words.lower().split())


def split_bounds(text: str) -> Bounds | None:
    """Return the ends of the range that ``text`` describes in words, or None when it describes none."""
    suffix = re.search(_SUFFIX, text)
    if suffix is not None:
        end = text[: suffix.start()]
        return Bounds(end, None) if suffix.group(1) else Bounds(None, end)
    prefix = re.match(_PREFIX, text) or re.match(_BETWEEN, text)
    if prefix is None:
        return _plain_range(text, 0, False)
    words = _key(prefix.group())
    start = prefix.end()
    if words in _HIGH:
        return Bounds(None, text[start:], high_at=start, high_open=_HIGH[words])
    low_open = _LOW.get(words, False)
    return _plain_range(text, start, low_open) or Bounds(text[start:], None, start, low_open=low_open)


def _plain_range(text: str, start: int, low_open: bool) -> Bounds | None:
    """Return ``X to Y`` from ``start`` on, or None when there is no second end."""
    rest = text[start:]
    middle = re.search(_MIDDLE, rest)
    if middle is None or (start == 0 and (middle.group(2) or "").lower() == "and"):
        return None
    high_open = _HIGH.get(_key(middle.group(1) or ""), False)
    end = middle.end()
    return Bounds(rest[: middle.start()], rest[end:], start, start + end, low_open, high_open)
