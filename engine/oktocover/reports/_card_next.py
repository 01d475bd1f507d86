"""The next thing to do: the first line of the inspection card."""

from __future__ import annotations

from collections.abc import Sequence

from oktocover.findings.checked import CORRECTIONS, NOT_RECORDED, READY
from oktocover.reports._card_parts import CardVisit, Slip
from oktocover.reports._plain import counted
from oktocover.reports._words import READY as READY_WORDS

Next = tuple[str, str, int]
"""What to do, at which visit, and the exit code that goes with it."""


def next_of(visits: Sequence[CardVisit], slips: Sequence[Slip]) -> Next:
    """What to do next on these visits, in the order they come.

    First what is open at a visit that is signed already: the next cover may bury it. Then a visit that is ready to call;
    then the first thing that holds back the first visit whose turn it is.
    """
    for one in visits:
        if one.state == "signed":
            found = _after_signature(one, slips)
            if found is not None:
                return found
    turn = [
        one for one in visits if one.state != "signed" and not any(_waits(hold.kind, hold.stops) for hold in one.holds)
    ]
    ready = next((one for one in turn if one.state == "ready to call"), None)
    if ready is not None:
        return f"{ready.name}: {READY_WORDS.rstrip('.')}{_notice(ready)}.", ready.name, READY
    for one in [*(one for one in turn if one.state != "not asked"), *turn]:
        if one.state == "not asked":
            return f"ask the office about {one.name}: {one.why.partition(';')[0]}.", one.name, NOT_RECORDED
        if one.holds:
            # an office is asked about work that no rule here looks at when nothing else is left to do
            hold = next((hold for hold in one.holds if hold.kind != "order"), one.holds[0])
            if hold.kind == "order":
                return f"ask the office about {hold.visit}: no rule here looks at this work.", hold.visit, NOT_RECORDED
            if hold.kind in ("hazard", "correction"):
                return f"for {one.name}, put right: {hold.text}.", one.name, CORRECTIONS
            if hold.stops:
                return f"for {one.name}: {hold.text}.", one.name, CORRECTIONS
            return f"for {one.name}, write down: {hold.text}.", one.name, NOT_RECORDED
        return f"for {one.name}: nothing that decides it is recorded yet.", one.name, NOT_RECORDED
    if not visits:
        return "this place has no visit for what is described here; ask the office.", "", NOT_RECORDED
    return f"nothing more to call: {counted(len(visits), 'visit')} signed, on what is written here.", "", READY


def _waits(kind: str, stops: bool) -> bool:
    return kind == "order" and stops


def _notice(one: CardVisit) -> str:
    counted_in = f", {one.visit.counted}" if one.visit.counted else ""
    return f"; call {one.visit.notice} before{counted_in}" if one.visit.notice else ""


def _after_signature(one: CardVisit, slips: Sequence[Slip]) -> Next | None:
    for slip in slips:
        if slip.visit == one.name and slip.open:
            number = f" no. {slip.number}" if slip.number else ""
            return (
                f"for {one.name}, signed: the written correction{number} is open: {slip.what}.",
                one.name,
                CORRECTIONS,
            )
    for added in one.added:
        what = f"{added.element} was added after {one.name} was signed"
        if added.not_met:
            return (
                f"{what}: {counted(added.not_met, 'finding')} to put right, then ask the office.",
                one.name,
                CORRECTIONS,
            )
        if added.not_recorded:
            return f"{what}: {counted(added.not_recorded, 'question')} not recorded.", one.name, NOT_RECORDED
    return None
