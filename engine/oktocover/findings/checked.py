"""The whole result of one check: findings in the order they are told, and what the first screen says around them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from oktocover.findings.finding import Finding, Missing

READY, CORRECTIONS, UNREADABLE, NOT_RECORDED = 0, 1, 2, 3
"""Exit codes of `check`."""


@dataclass(frozen=True, slots=True)
class Blank:
    """One missing fact, with everything that waits for it."""

    missing: Missing
    elements: tuple[str, ...]
    """Elements that lack this same fact."""
    settles: tuple[str, ...]
    """Identities of the findings that wait for it."""


@dataclass(frozen=True, slots=True)
class Visit:
    """How one inspection stands, on what is written."""

    name: str
    state: Literal["signed", "ready to call", "corrections", "not recorded", "not asked"]
    hazards: int
    corrections: int
    not_recorded: int
    advisories: int
    stops: int = 0
    """Findings that stop the visit itself (a test not on, papers, order)."""


@dataclass(frozen=True, slots=True)
class InForce:
    """One code book that applies, as adopted."""

    name: str
    """As printed: NEC 2020."""
    by: str = ""
    """Who adopted it."""


@dataclass(frozen=True, slots=True)
class Checked:
    """What `check` found. `findings` holds every verdict of every visit, in order; reports choose."""

    site: str
    file: str
    today: str
    jurisdiction: str
    in_force: tuple[InForce, ...]
    checked_by: str
    """Who checked the town's changes, in words: 'not checked by the town'."""
    visit: str
    """The visit this check is about ('all' for every visit)."""
    visits: tuple[Visit, ...]
    findings: tuple[Finding, ...]
    blanks: tuple[Blank, ...]
    """Missing facts of this visit, the one that settles most first."""
    rests_on: tuple[str, ...]
    """On whose word the rest stands, one line each."""
    not_described: tuple[str, ...]
    eye_only: int
    """How many points of this visit only an eye can decide."""
    not_checked_here: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()

    def of_visit(self, name: str | None = None) -> tuple[Finding, ...]:
        """Findings of one visit (this check's own when left out)."""
        wanted = name or self.visit
        return tuple(one for one in self.findings if wanted in ("all", one.stage))

    @property
    def exit_code(self) -> int:
        """0 ready to call, 1 corrections, 3 nothing wrong found but facts are missing."""
        waiting = [one for one in self.of_visit() if one.open]
        if any(one.verdict == "not met" for one in waiting):
            return CORRECTIONS
        return NOT_RECORDED if waiting or not any(one.verdict == "met" for one in self.of_visit()) else READY
