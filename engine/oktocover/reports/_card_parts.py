"""What an inspection card is made of, as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from oktocover.findings.checked import Checked, Visit

State = Literal["signed", "ready to call", "not yet", "not recorded", "not asked"]
HoldKind = Literal[
    "hazard", "slip", "correction", "order", "ready", "papers", "people", "plans", "held or not", "not recorded"
]


@dataclass(frozen=True, slots=True)
class Hold:
    """One thing that keeps a visit from being called."""

    kind: HoldKind
    text: str
    stops: bool
    """True: it is so. False: nobody has recorded whether it is so."""
    detail: str = ""
    """Where to stand, figures and section, or how it is found out."""
    close_with: str = ""
    """What to write in the site file once it is done."""
    visit: str = ""
    """The visit to be signed first, for `order`."""


@dataclass(frozen=True, slots=True)
class Reminder:
    """One thing to have ready on the day; nobody has said that it is missing."""

    about: str
    """state, papers, access, open, ready, people, booking, instruments, who, instead"""
    name: str
    text: str
    cite: str = ""
    common: bool = False
    """Common practice; else the place says so."""
    answer: bool | None = None


@dataclass(frozen=True, slots=True)
class Added:
    """An element that came after a signature, and what its own questions say."""

    element: str
    day: str
    not_met: int
    not_recorded: int
    texts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Slip:
    """One line of an inspector's written corrections."""

    visit: str
    what: str
    number: str
    section: str
    element: str
    given: str
    done: str
    how_shown: str
    covered_by: tuple[str, ...]
    """The rules here that would have caught it, each with its verdict: ``irc.notch (does not meet)``."""
    looked: bool
    """Whether a rule or a section was named, so that there was something to look for."""

    @property
    def open(self) -> bool:
        """Whether nobody has written that it was put right."""
        return not self.done


@dataclass(frozen=True, slots=True)
class CardVisit:
    """One visit on the card."""

    visit: Visit
    state: State
    why: str = ""
    """For `not asked`: why no verdict stands behind it."""
    signed: str = ""
    """Day and office."""
    waits: tuple[str, ...] = ()
    """Visits on the card that come before it."""
    holds: tuple[Hold, ...] = ()
    reminders: tuple[Reminder, ...] = ()
    added: tuple[Added, ...] = ()
    not_met: int = 0
    not_recorded: int = 0

    @property
    def name(self) -> str:
        """Its name in the order."""
        return self.visit.name


@dataclass(frozen=True, slots=True)
class LeftOff:
    """A visit that is not on the card, and why."""

    name: str
    why: str


@dataclass(frozen=True, slots=True)
class Card:
    """The visits of one building in the order they come."""

    checked: Checked
    next: str
    """The next thing to do, as one sentence."""
    next_visit: str
    visits: tuple[CardVisit, ...]
    left_off: tuple[LeftOff, ...]
    slips: tuple[Slip, ...]
    plans: str
    """The approved plans, in words."""
    always: tuple[Reminder, ...] = ()
    """What is asked for at every visit, by common practice."""
    trades: tuple[str, ...] = ()
    """Trades and systems there are, for the cautions that go with them."""
    warnings: tuple[str, ...] = ()
    exit_code: int = 0
