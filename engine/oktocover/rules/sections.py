"""Sections of a book as an ordinance lists them: `irc sections R602.11, R313.1.1 to R313.2.1`, `irc all rules`."""

from __future__ import annotations

import re

_SECTIONS = re.compile(r"^(\S+)\s+(?:sections?\s+(.+)|(all rules))$")


def listed(address: str) -> tuple[str, list[tuple[str, str]] | None] | None:
    """`book sections A to B, C` as (book, ranges), `book all rules` as (book, None); None for another address."""
    found = _SECTIONS.match(address.strip())
    if found is None:
        return None
    if found[3]:
        return found[1], None
    ranges = []
    for part in re.split(r",\s*", found[2]):
        first, _, last = part.partition(" to ")
        ranges.append((first.strip(), last.strip() or first.strip()))
    return found[1], ranges


def lies_in(section: str, ranges: list[tuple[str, str]] | None) -> bool:
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
