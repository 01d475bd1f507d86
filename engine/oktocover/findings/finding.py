"""The finding: everything a person needs to act on one verdict, as plain values."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import Literal

Verdict = Literal["met", "not met", "not recorded", "does not apply"]
Severity = Literal["hazard", "correction", "advisory"]


def identity_of(rule: str, element: str) -> str:
    """The identity of a finding of this rule (and item) on this subject."""
    return hashlib.sha256(f"{rule}|{element}".encode()).hexdigest()[:16]


@dataclass(frozen=True, slots=True)
class Missing:
    """One fact that somebody would have to record before a verdict can be given."""

    element: str
    """Id of the element (or room, wall, system) the fact belongs to."""
    fact: str
    """The fact, in the words of the site file."""
    found_by: str = "look"
    """How it is found out: tape, look, plate, maker, paper, map, test, official."""
    kind: str = ""
    means: str = ""
    path: tuple[str | int, ...] = ()


@dataclass(frozen=True, slots=True)
class Step:
    """One line of a calculation: what is worked out, how, and the result, all printed as a person writes them."""

    what: str
    how: str
    result: str
    source: str = ""


@dataclass(frozen=True, slots=True)
class Comparison:
    """One measured value beside one needed value."""

    item: str
    measured: str
    required: str
    margin: str = ""
    met: bool | None = None


@dataclass(frozen=True, slots=True)
class FindingPlace:
    """Where in the site file an element stands (1-based)."""

    file: str
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Finding:
    """The verdict of one rule (and item) on one subject."""

    rule: str
    """Dotted name: book.rule or book.rule.item."""
    title: str
    verdict: Verdict
    severity: Severity
    trade: str
    stage: str
    element: str
    """Stable name of the subject: an element's id, or room and wall."""
    kind: str
    elements: tuple[str, ...]
    label: str
    """The subject in words, with where to stand."""
    place: FindingPlace | None
    measured: str
    required: str
    margin: str
    citation: str
    amended_by: tuple[str, ...] = ()
    missing: tuple[Missing, ...] = ()
    known_by: str = "measured"
    remedy: str = ""
    close_with: str = ""
    also_touches: tuple[str, ...] = ()
    comparisons: tuple[Comparison, ...] = ()
    work: tuple[Step, ...] = ()
    exception: str = ""
    settled: bool = False
    """Not recorded, but no answer can turn it into 'not met': it is not asked and holds nothing up."""
    closer_than_tape: bool = False
    alternate: str = ""
    """The written approval that answers it, if any."""
    set_aside: str = ""
    """Until which visit somebody set it aside, who and why; empty: nobody did, or it has lapsed."""
    note: str = ""
    where: tuple[str, str, float] = ("", "", 0.0)
    """Room, wall and distance along it, for the walking order."""

    @property
    def identity(self) -> str:
        """A short name that survives edits elsewhere: of rule and subject, never of lines or figures."""
        return identity_of(self.rule, self.element)

    @property
    def open(self) -> bool:
        """Whether this finding holds up its visit."""
        if self.alternate or self.set_aside or self.severity == "advisory":
            return False
        return self.verdict == "not met" or (self.verdict == "not recorded" and not self.settled)
