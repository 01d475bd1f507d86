"""Folding: layers laid on top of each other, from the books up to the job.

Folding never edits what it folds, so that leaving a layer out gives the same rules as before it was written.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from oktocover.reading.problems import Problem
from oktocover.rules import addresses
from oktocover.rules.addresses import Spot
from oktocover.rules.layers import SECTIONS, Change, Layer, Mark, Path, Thing

Elsewhere = Callable[[str], bool]
"""Whether something that is not there is only not in force: in another edition a place adopts, or not shipped."""


@dataclass(slots=True)
class Edit:
    """One name that one change touched, with the thing before and after it."""

    change: Change
    verb: str
    address: str
    value: Any
    section: str
    name: str
    spot: Spot | None
    before: Thing
    after: Thing | None
    """None: the whole thing is gone."""

    @property
    def trail(self) -> Path:
        """The keys inside the thing."""
        return self.spot.trail if self.spot is not None else ()

    def touches(self, trail: Path) -> bool:
        """Whether it wrote or took out what stands at a trail, or a part of it."""
        if self.verb == "add":
            return Mark(self.trail, "add", self.address, self.value, self.change).covers(trail) is not None
        shorter = min(len(self.trail), len(trail))
        return self.trail[:shorter] == trail[:shorter]


class Folded:
    """Books and places put on top of each other: every thing by its address, with its history."""

    def __init__(self) -> None:
        self.things: dict[str, dict[str, Thing]] = {section: {} for section in SECTIONS}
        """By section: book.name -> Thing."""
        self.layers: list[Layer] = []
        self.problems: list[Problem] = []
        self.struck: list[tuple[str, Change]] = []
        """Sections a change struck in which nothing stood, with the change."""
        self.edits: list[Edit] = []
        """What the changes of all layers did, in order."""
        self.idle: list[tuple[str, Change]] = []
        """Addresses of changes whose book or edition is not in force, or not shipped."""

    def copy(self) -> Folded:
        """The same things, on which other layers can be laid."""
        made = Folded()
        made.things = {section: dict(things) for section, things in self.things.items()}
        made.layers, made.problems, made.struck = [*self.layers], [*self.problems], [*self.struck]
        made.edits, made.idle = [*self.edits], [*self.idle]
        return made

    def addresses(self) -> list[str]:
        """Every address of a whole thing, and of the names inside rules."""
        found: list[str] = []
        for section in SECTIONS:
            for name, thing in self.things[section].items():
                found.append(name)
                found.extend(f"{name}.{inner}" for inner in addresses.names_inside(thing.data))
        return found

    def find(self, address: str) -> tuple[str, str, list[str]] | None:
        """(section, thing, names inside) for an address, or None when nothing has it."""
        parts = addresses.split(address)
        name, rest = ".".join(parts[:2]), parts[2:]
        for section in SECTIONS:
            thing = self.things[section].get(name)
            if thing is not None and (not rest or addresses.locate(thing.data, rest) is not None):
                return section, name, rest
        return None
