"""The whole result of one check: findings in the order they are told, and what the first screen says around them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from oktocover.findings.finding import Finding, FindingPlace, Missing, Verdict

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
class VisitLine:
    """One thing a place says about a visit, by its name, and on whose authority."""

    name: str
    text: str
    cite: str = ""
    trade: str = ""
    """Whose work it is about, where the visit takes in that of several trades; else that of the visit."""
    systems: tuple[str, ...] = ()
    """The described systems it is about; empty: it is asked of every building."""


@dataclass(frozen=True, slots=True)
class VisitAsk:
    """One point of a visit that no figure decides, and who answers it."""

    who: Literal["for the eye only", "papers", "ask the office", "the maker's sheet decides", "by a test"]
    text: str
    rule: str
    elements: tuple[str, ...]
    citation: str
    verdict: Verdict
    """`not recorded` until somebody has answered."""


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
    """What stops the visit itself: the inspector's written corrections that are open."""
    title: str = ""
    trade: str = ""
    covers: bool = False
    """Whether its work is covered after it."""
    only_if: Literal["yes", "no", "not recorded"] = "yes"
    """Whether the place holds this visit for such a building."""
    depends_on: tuple[Missing, ...] = ()
    """What would have to be written to know whether it is held."""
    after: tuple[VisitLine, ...] = ()
    """The visits before it, with why."""
    not_signed: tuple[str, ...] = ()
    """Those of them that nobody has signed."""
    must_be: tuple[VisitLine, ...] = ()
    """The state the work has to be in (`state:` of the place)."""
    notice: str = ""
    counted: str = ""
    """Which hours or days count for the notice."""
    answer_within: str = ""
    """How soon the office answers a call."""
    who: tuple[VisitLine, ...] = ()
    """Who may do the work."""
    witness: tuple[VisitLine, ...] = ()
    instruments: tuple[VisitLine, ...] = ()
    instead: tuple[VisitLine, ...] = ()
    """Papers that stand in for the visit."""
    papers: tuple[VisitLine, ...] = ()
    """What has to be on the site."""
    asks: tuple[VisitAsk, ...] = ()
    """What no figure decides."""
    trades: tuple[str, ...] = ()
    """Whose work it looks at."""
    systems: tuple[str, ...] = ()
    """The described systems it is held for; empty: for every building."""
    sees: tuple[str, ...] = ()
    """Visits of the books that it takes in."""
    set_aside: int = 0
    """Findings of it that are set aside for now."""
    booked: str = ""
    """The day it is booked for, as ISO 8601."""


@dataclass(frozen=True, slots=True)
class SetAside:
    """One finding that somebody set aside until a visit, and how that stands now."""

    identity: str
    rule: str
    element: str
    what: str
    """What the finding is about, in a few words."""
    who: str
    why: str
    until: str
    """The visit at which it lapses."""
    day: str
    """When it was set aside, as ISO 8601; empty: not written."""
    state: Literal["set aside", "lapsed", "idle"]
    """`idle`: there is no such finding any more that would hold anything up."""
    note: str = ""
    """Why it has lapsed or is idle."""
    place: FindingPlace | None = None
    """Where it stands in the file of what is set aside."""


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
    struck_here: tuple[str, ...] = ()
    """Sections the place struck, of which no rule here carried anything."""
    warnings: tuple[str, ...] = ()
    set_aside: tuple[SetAside, ...] = ()
    """What somebody set aside, every entry of it, whichever visit it is about."""
    rules: dict[str, str] = field(default_factory=dict)
    """What each rule in force says, as a short hash; empty where nobody asked for it."""

    def of_visit(self, name: str | None = None) -> tuple[Finding, ...]:
        """Findings of one visit (this check's own when left out)."""
        wanted = name or self.visit
        return tuple(one for one in self.findings if wanted in ("all", one.stage))

    @property
    def stopped(self) -> int:
        """What stops the visit of this check itself, whatever is found of the work."""
        return sum(one.stops for one in self.visits if self.visit in ("all", one.name) and one.state != "signed")

    @property
    def exit_code(self) -> int:
        """0 ready to call, 1 corrections, 3 nothing wrong found but facts are missing."""
        waiting = [one for one in self.of_visit() if one.open]
        if any(one.verdict == "not met" for one in waiting) or self.stopped:
            return CORRECTIONS
        return NOT_RECORDED if waiting or not any(one.verdict == "met" for one in self.of_visit()) else READY
