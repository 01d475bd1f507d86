"""The values that facts take while rules are evaluated: exact, bounded, unknown, or a list that may be open.

Exact values are plain Python: int or Fraction in canonical units, str for a word, bool, date. Nothing here knows
rules or files.
"""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass, field
from fractions import Fraction
from typing import TYPE_CHECKING, Any, TypeAlias

from oktocover.findings.finding import Missing, Step
from oktocover.site.base import HOW_KNOWN

if TYPE_CHECKING:
    from oktocover.measures.subject import Subject

Number: TypeAlias = int | Fraction
NOWHERE = math.inf
"""The distance to something that is not there at all."""

MEASURED = HOW_KNOWN.index("measured")
TESTED = HOW_KNOWN.index("tested")
LOOKED = HOW_KNOWN.index("looked")


@dataclass(frozen=True, slots=True)
class Unknown:
    """Not recorded: what would have to be written down."""

    missing: tuple[Missing, ...]

    def __post_init__(self) -> None:
        if not self.missing:
            raise ValueError("an unknown value must say what is missing")


@dataclass(frozen=True, slots=True)
class Range:
    """A number known only to lie between bounds; `None` is no bound on that side."""

    low: Number | float | None
    high: Number | float | None
    low_open: bool = False
    high_open: bool = False
    missing: tuple[Missing, ...] = ()
    """What would have to be recorded to make it exact."""


@dataclass(frozen=True, slots=True)
class Members:
    """A list of related subjects. Open: there may be more than are written."""

    sure: tuple[Subject, ...]
    open: bool = False
    missing: tuple[Missing, ...] = ()
    """What would close the list (a `looked` statement, as a rule)."""


Value: TypeAlias = "Number | str | bool | datetime.date | Range | Unknown | Members | Subject | float"


@dataclass(frozen=True, slots=True)
class Fact:
    """A value with its work and the weakest way in which any part of it is known (index into HOW_KNOWN)."""

    value: Any
    steps: tuple[Step, ...] = ()
    known: int = TESTED
    unit: str | None = None
    """The unit it was written in, for showing it the same way."""


@dataclass(frozen=True, slots=True)
class Worked:
    """What a measure returns when it has steps to show."""

    value: Any
    steps: tuple[Step, ...] = field(default=())


def unknown(*missing: Missing) -> Unknown:
    """An unknown value from what is missing, each named once, in order."""
    return Unknown(tuple(dict.fromkeys(missing)))
