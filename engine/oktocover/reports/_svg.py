"""The bare drawing sheet under the plan: numbers with fixed digits, escaped text, and labels that keep apart."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Final

from oktocover.reports._plain import clean, columns

Spot = tuple[float, float]
Box = tuple[float, float, float, float]
"""Left, top, right, bottom, in the sheet's units (y grows downward)."""

_CELL: Final = 48.0
_LETTER: Final = 0.64
_NARROW: Final = 0.37
_NARROW_ONES: Final = frozenset(" .,:;-/'()|fijlrt1")
"""Widths as a part of the height, those of the wide sans-serifs, so that narrow ones fit too."""


def n(value: float) -> str:
    """A coordinate with at most three decimals: at 4 units to the foot still finer than 1/200 in."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def safe(text: str, limit: int = 200) -> str:
    """Text of a site file fit for XML, as content and as an attribute."""
    plain = clean(text, limit)
    return plain.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace('"', "&quot;")


def text_width(text: str, size: float) -> float:
    """About how wide a cleaned text is, rather too wide than too narrow."""
    narrow = sum(char in _NARROW_ONES for char in text)
    return ((columns(text) - narrow) * _LETTER + narrow * (_NARROW + 0.04)) * size


def around(spot: Spot, wide: float, high: float) -> Box:
    """The box of that size with its middle at `spot`."""
    return spot[0] - wide / 2, spot[1] - high / 2, spot[0] + wide / 2, spot[1] + high / 2


def overlap(one: Box, other: Box) -> float:
    """The area that two boxes share."""
    wide = min(one[2], other[2]) - max(one[0], other[0])
    high = min(one[3], other[3]) - max(one[1], other[1])
    return wide * high if wide > 0 and high > 0 else 0.0


class Taken:
    """What is drawn already, so that a label finds a free place near what it names."""

    def __init__(self, sheet: Box) -> None:
        self.sheet = sheet
        self._cells: dict[tuple[int, int], list[Box]] = {}
        self._words: dict[tuple[int, int], list[Box]] = {}

    def add(self, box: Box, words: bool = False) -> None:
        """Keep labels off a box; off `words` the leaders of labels keep as well."""
        for cell in _cells(box):
            self._cells.setdefault(cell, []).append(box)
            if words:
                self._words.setdefault(cell, []).append(box)

    def line(self, start: Spot, end: Spot, half: float = 1.0) -> None:
        """Keep labels off a line, by small boxes along it."""
        steps = max(1, math.ceil(math.dist(start, end) / 6))
        if start[0] == end[0] or start[1] == end[1]:
            steps = 1
        for at in range(steps):
            a, b = (partway(start, end, part / steps) for part in (at, at + 1))
            self.add((min(a[0], b[0]) - half, min(a[1], b[1]) - half, max(a[0], b[0]) + half, max(a[1], b[1]) + half))

    def cost(self, box: Box) -> float:
        """How much of a box is taken, or off the sheet."""
        found = {other for cell in _cells(box) for other in self._cells.get(cell, ())}
        area = (box[2] - box[0]) * (box[3] - box[1])
        return sum(overlap(box, other) for other in sorted(found)) + 4 * (area - overlap(box, self.sheet))

    def crossed(self, start: Spot, end: Spot) -> int:
        """How many places of a leader lie in words."""
        steps = max(1, int(math.dist(start, end) / 3))
        found = 0
        for x, y in (partway(start, end, at / steps) for at in range(steps)):
            boxes = self._words.get((math.floor(x / _CELL), math.floor(y / _CELL)), ())
            found += any(left < x < right and top < y < bottom for left, top, right, bottom in boxes)
        return found

    def best(self, spots: Iterable[Spot], wide: float, high: float, lead: Spot | None = None) -> Spot:
        """The first spot where a box of that size is free, else the one where it covers least; it is then taken.

        A label whose leader begins at `lead` is also put where that leader crosses no words.
        """
        chosen = self._search(spots, wide, high, lead)[0]
        self.add(around(chosen, wide, high), words=True)
        return chosen

    def free(
        self, spots: Iterable[Spot], wide: float, high: float, lead: Spot | None = None, most: float = 0.01
    ) -> Spot | None:
        """The same, or None (and nothing taken) where it would cover more than `most`."""
        chosen, cost = self._search(spots, wide, high, lead)
        if cost > most:
            return None
        self.add(around(chosen, wide, high), words=True)
        return chosen

    def _search(self, spots: Iterable[Spot], wide: float, high: float, lead: Spot | None) -> tuple[Spot, float]:
        least, chosen = math.inf, (0.0, 0.0)
        for spot in spots:
            cost = self.cost(around(spot, wide, high))
            if lead is not None and cost < least:
                cost += 20 * self.crossed(lead, spot)
            if cost < least:
                least, chosen = cost, spot
            if cost <= 0.01:
                break
        return chosen, least


def partway(start: Spot, end: Spot, part: float) -> Spot:
    """The spot that far from `start` to `end`, as a part of the way."""
    return start[0] + (end[0] - start[0]) * part, start[1] + (end[1] - start[1]) * part


def _cells(box: Box) -> Iterator[tuple[int, int]]:
    for column in range(math.floor(box[0] / _CELL), math.floor(box[2] / _CELL) + 1):
        for row in range(math.floor(box[1] / _CELL), math.floor(box[3] / _CELL) + 1):
            yield column, row


def beside(spot: Spot, out: Spot, wide: float, high: float, start: float, first: int) -> list[Spot]:
    """Places for the middle of a label beside a spot of a wall, nearest first.

    `out` is the unit vector out of the room; `first` says which side is tried first (1 outside, -1 inside).
    """
    along = -out[1], out[0]
    reach = abs(out[0]) * wide / 2 + abs(out[1]) * high / 2
    found: list[tuple[float, Spot]] = []
    for side in (first, -first):
        for far in (0, 5, 10, 16, 24, 34, 46, 60):
            for shift in (0, 7, -7, 14, -14, 22, -22, 32, -32, 44, -44):
                away = side * (start + far + reach)
                place = (spot[0] + out[0] * away + along[0] * shift, spot[1] + out[1] * away + along[1] * shift)
                found.append((far + 0.8 * abs(shift) + (10 if side != first else 0), place))
    found.sort(key=lambda one: one[0])
    return [place for _, place in found]
