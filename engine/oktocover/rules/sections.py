"""Parts of a book as an ordinance lists them: `irc sections R602.11, R313.1.1 to R313.2.1`, `irc all rules`."""

from __future__ import annotations

import re
from dataclasses import dataclass

Ranges = list[tuple[str, str]]
_LISTED = re.compile(r"^(\S+)\s+(?:sections?\s+(.+)|(all rules))$")
_PICKED = re.compile(r"^(?:sections?\s+(?P<sections>.+)|trades?\s+(?P<trades>.+))$")


@dataclass(frozen=True, slots=True)
class Pick:
    """A part of a book: some sections, or some trades."""

    ranges: tuple[tuple[str, str], ...] = ()
    trades: tuple[str, ...] = ()

    def holds(self, section: str, trade: str) -> bool:
        """Whether a rule belongs to the part."""
        return trade in self.trades or (bool(self.ranges) and lies_in(section, list(self.ranges)))


def pick(text: str) -> Pick | None:
    """`sections 210.8, 210.52 to 210.60` or `trade electrical, gas`; None for another text."""
    found = _PICKED.match(text.strip())
    if found is None:
        return None
    if found["sections"] is not None:
        return Pick(tuple(_ranges(found["sections"])))
    return Pick(trades=tuple(part.strip() for part in found["trades"].split(",")))


def listed(address: str) -> tuple[str, Ranges | None] | None:
    """`book sections A to B, C` as (book, ranges), `book all rules` as (book, None); None for another address."""
    found = _LISTED.match(address.strip())
    if found is None:
        return None
    return (found[1], None) if found[3] else (found[1], _ranges(found[2]))


def _ranges(text: str) -> Ranges:
    ranges = []
    for part in re.split(r",\s*|\s+and\s+", text.strip()):
        first, _, last = part.partition(" to ")
        ranges.append((first.strip(), last.strip() or first.strip()))
    return ranges


def lies_in(section: str, ranges: Ranges | None) -> bool:
    """Whether a section, or what it is a subsection of, lies in one of some ranges."""
    if ranges is None:
        return True
    own = _section_key(section)
    for first, last in ranges:
        low, high = _section_key(first), _section_key(last)
        if own >= low and (own <= high or own[: len(high)] == high):
            return True
    return False


def _section_key(section: str) -> list[tuple[int, int, str]]:
    """Sections in the order of a book: letters before figures, figures by their size."""
    return [
        (1, int(token), "") if token.isdigit() else (0, 0, token.lower())
        for token in re.findall(r"\d+|[A-Za-z]+", section)
    ]
