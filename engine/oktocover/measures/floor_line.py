"""The line where walls meet the floor, walked left to right as seen from inside, and how far its points are from
given spots. Pure arithmetic on exact lengths: nothing here knows the site.

A room's line is a loop: positions run from 0 to its length and begin again. Every wall is walked from its left end.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from oktocover.quantities import Number, number


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of the line that something takes up: a door, a counter, a sink."""

    start: Number
    end: Number
    name: str


@dataclass(frozen=True, slots=True)
class Stretch:
    """An unbroken stretch of a line: where it starts, how long it is, and the pieces it lies between."""

    start: Number
    length: Number
    after: str | None = None
    before: str | None = None
    closed: bool = False
    """It runs all round and meets itself."""


@dataclass(frozen=True, slots=True)
class Farthest:
    """The point of a stretch farthest from the spots on it."""

    distance: Number
    point: Number
    """Where it is, from the start of the stretch."""
    left: int | None = None
    """Index (in order along the stretch) of the spot on its left, if any."""
    right: int | None = None


def stretches_of_loop(total: Number, pieces: Sequence[Piece]) -> list[Stretch]:
    """The unbroken stretches of a closed line of length `total`; pieces that touch or overlap are one.

    A loop with no piece is one closed stretch that starts at 0.
    """
    blocks = _merged(pieces)
    if not blocks:
        return [Stretch(0, total, closed=True)]
    found = []
    for place, (_, end, _, last) in enumerate(blocks):
        wraps = place + 1 == len(blocks)
        begin, _, first, _ = blocks[0] if wraps else blocks[place + 1]
        length = begin - end + (total if wraps else 0)
        if length > 0:
            found.append(Stretch(end % total, length, last, first))
    return found


def stretches_of_run(total: Number, pieces: Sequence[Piece]) -> list[Stretch]:
    """The unbroken stretches of an open line of length `total`."""
    found = []
    at: Number = 0
    after: str | None = None
    for start, end, first, last in _merged(pieces):
        if start > at:
            found.append(Stretch(at, start - at, after, first))
        at, after = max(at, end), last
    if at < total:
        found.append(Stretch(at, total - at, after))
    return found


def _merged(pieces: Sequence[Piece]) -> list[tuple[Number, Number, str, str]]:
    """Pieces that touch or overlap as one: (start, end, name at its left end, name at its right end)."""
    blocks: list[tuple[Number, Number, str, str]] = []
    for piece in sorted(pieces, key=lambda one: (one.start, one.end)):
        if blocks and piece.start <= blocks[-1][1]:
            start, end, first, last = blocks[-1]
            blocks[-1] = (start, piece.end, first, piece.name) if piece.end > end else (start, end, first, last)
        else:
            blocks.append((piece.start, piece.end, piece.name, piece.name))
    return blocks


def along_stretch(stretch: Stretch, total: Number, position: Number) -> Number | None:
    """How far along a stretch of a loop a position of the loop lies; None when it is not on the stretch."""
    along = (position - stretch.start) % total
    return along if along <= stretch.length else None


def touches(stretch: Stretch, total: Number, start: Number, end: Number) -> bool:
    """Whether a stretch of a loop and the part of the loop from `start` to `end` have a point in common."""
    first = (start - stretch.start) % total
    return first <= stretch.length or first + (end - start) >= total


def farthest_point(length: Number, closed: bool, spots: Sequence[Number]) -> Farthest | None:
    """The point of a stretch that is farthest from the nearest of `spots` (in order along it); None without spots.

    Between two neighbouring spots that is the middle, half their distance from each; at an open end it is the end.
    A closed stretch is measured both ways round.
    """
    if not spots:
        return None
    found = []
    if closed:
        gap = length - spots[-1] + spots[0]
        found.append(Farthest(_half(gap), (spots[-1] + _half(gap)) % length, len(spots) - 1, 0))
    else:
        found.append(Farthest(spots[0], 0, None, 0))
        found.append(Farthest(length - spots[-1], length, len(spots) - 1, None))
    for place in range(len(spots) - 1):
        gap = spots[place + 1] - spots[place]
        found.append(Farthest(_half(gap), spots[place] + _half(gap), place, place + 1))
    return max(found, key=lambda one: (one.distance, -one.point))


def _half(value: Number) -> Number:
    return number(Fraction(value) / 2)
