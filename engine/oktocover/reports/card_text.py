"""The inspection card as text: the next thing to do, the visits in their order, then each that is not signed yet.

Narrow enough for a phone. There is no place on it to sign, to stamp or to tick: it is nobody's permit card.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from oktocover.reports import _words
from oktocover.reports._card_parts import Added, Card, CardVisit, Hold, Reminder, Slip
from oktocover.reports._entries import close_lines
from oktocover.reports._plain import clean, counted, day, ends, listed, wrap
from oktocover.reports.screen import NARROWEST, WIDTH

SHOWN = 5
"""Things of one sort that are told of a visit; the others are counted."""
SHORT = 30
"""A detail of at most so many letters stands in brackets on the line itself."""
_CLOSED_HERE = ("slip", "ready", "papers", "people")
"""Holds of which the closing line is short and is found nowhere else."""
HEADS = (
    ("state", "Must be"),
    ("ready", "Before you call"),
    ("papers", "Have on the site"),
    ("open", "Keep open"),
    ("people", "Be there"),
    ("who", "May do the work"),
    ("instruments", "Gauges and tools"),
    ("access", "Access"),
    ("booking", "When you call"),
    ("instead", "Or instead"),
)
"""What reminders are about, in the order in which they are told, with their heads."""


def card_text(card: Card, width: int = WIDTH, every: bool = False) -> str:
    """The whole card, no line wider than `width` columns (30 at least); with `every`, nothing is left to a count."""
    width = max(width, NARROWEST)
    blocks = [
        wrap(f"NEXT: {clean(card.next, 400)}", width, "", "   "),
        _head(card, width),
        _order(card, width),
        _every_visit(card, width),
        *(_visit(one, at, card, width, every) for at, one in enumerate(card.visits, 1) if _tells(one, card)),
        _slips(card.slips, width),
        _always(card.always, width),
        _stands_on(card, width),
        wrap(_words.CLOSING, width),
    ]
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _head(card: Card, width: int) -> list[str]:
    checked = card.checked
    lines = ends(f"Inspection card: {clean(checked.site, 160)}", day(checked.today), width, "   ")
    rules = listed([*(clean(one.name, 60) for one in checked.in_force), clean(checked.jurisdiction, 80)])
    lines += wrap(f"Rules: {rules or 'none adopted yet'}", width, "", "   ")
    if checked.checked_by:
        lines += wrap(f"Town changes: {clean(checked.checked_by, 160)}", width, "", "   ")
    lines += wrap(f"Plans: {clean(card.plans, 200)}", width, "", "   ")
    for warning in card.warnings:
        lines += wrap(f"Note: {clean(warning, 300)}", width, "", "   ")
    return lines


def _order(card: Card, width: int) -> list[str]:
    """Every visit with its state and what it comes after, by their numbers."""
    if not card.visits:
        return []
    lines = ["IN THIS ORDER"]
    numbers = {one.name: at for at, one in enumerate(card.visits, 1)}
    for one in card.visits:
        after = listed(str(numbers[name]) for name in one.waits if name in numbers)
        left = clean(one.name, 60) + (f" (after {after})" if after else "")
        state = f"signed {one.signed.partition(',')[0]}" if one.signed else one.state
        entry = ends(left, state + (", added to" if one.added else ""), width - 3, "  ")
        lines += [f"{numbers[one.name]:>2} {entry[0]}", *("   " + line for line in entry[1:])]
    for gone in card.left_off:
        lines += wrap(f" - {clean(gone.name, 60)}: {clean(gone.why, 200)}", width, "", "   ")
    return lines


def _every_visit(card: Card, width: int) -> list[str]:
    """What holds all visits back alike, once."""
    waiting = [one for one in card.visits if one.state != "signed"]
    holds = [hold for hold in waiting[0].holds if hold.kind == "plans"] if waiting else []
    lines = wrap("FOR EVERY VISIT, before it is called", width)
    return lines + _told(holds, width, True) if holds else []


def _tells(one: CardVisit, card: Card) -> bool:
    """Whether a visit has a block of its own: all but those that are signed and done with."""
    return one.state != "signed" or bool(one.added) or any(slip.open and slip.visit == one.name for slip in card.slips)


def _visit(one: CardVisit, at: int, card: Card, width: int, every: bool) -> list[str]:
    lines = wrap(f"{at}. {clean(one.name, 80).upper()}: {_state_words(one)}", width, "", "   ")
    if one.signed:
        lines += wrap(f"Signed {clean(one.signed, 120)}", width, "   ", "     ")
        for added in one.added:
            lines += _added(added, width, every)
        return lines
    lines += wrap(clean(one.why, 300), width, "   ", "     ")
    visit = one.visit
    if visit.booked:
        lines += wrap(f"Booked for {day(visit.booked)}", width, "   ", "     ")
    if visit.notice:
        how = f" ({clean(visit.counted, 80)})" if visit.counted else ""
        lines += wrap(f"Call {clean(visit.notice, 80)} before{how}", width, "   ", "     ")
    if visit.answer_within:
        lines += wrap(f"The office answers within {clean(visit.answer_within, 80)}", width, "   ", "     ")
    own = [hold for hold in one.holds if hold.kind != "plans"]
    lines += _holds("Holds it back", [hold for hold in own if hold.stops], one, width, every)
    lines += _holds("Not recorded", [hold for hold in own if not hold.stops], one, width, every)
    for about, head in HEADS:
        lines += _reminders(
            head, [note for note in one.reminders if note.about == about and not held_already(note)], width
        )
    if visit.covers:
        lines += wrap("Once it is signed this work is covered.", width, "   ", "     ")
    return lines


def _state_words(one: CardVisit) -> str:
    if one.state == "ready to call":
        return _words.READY
    if one.state == "not yet":
        wrong = counted(one.not_met, "finding does", "findings do") + " not meet" if one.not_met else ""
        return f"not yet{'; ' + wrong if wrong else ''}"
    return one.state


def _holds(head: str, holds: Sequence[Hold], one: CardVisit, width: int, every: bool) -> list[str]:
    if not holds:
        return []
    shown = holds if every else holds[:SHOWN]
    lines = wrap(head, width, "   ")
    lines += _told(shown, width, every)
    if len(shown) < len(holds):
        more = f'and {len(holds) - len(shown):,} more: --all, or check SITE --for "{clean(one.name, 60)}"'
        lines += wrap(more, width, "     ", "       ")
    return lines


def _told(holds: Sequence[Hold], width: int, every: bool) -> list[str]:
    lines: list[str] = []
    for hold in holds:
        said = "can hurt someone: " if hold.kind == "hazard" else ""
        text, detail = f"- {said}{clean(hold.text, 300)}", clean(hold.detail, 400)
        if detail and len(detail) <= SHORT:
            text, detail = f"{text} ({detail})", ""
        lines += wrap(text, width, "   ", "     ") + wrap(detail, width, "     ", "       ")
        if hold.close_with and (every or hold.kind in _CLOSED_HERE):
            lines += ["  " + line if line else line for line in close_lines(hold.close_with, width - 2)]
    return lines


def _reminders(head: str, notes: Iterable[Reminder], width: int) -> list[str]:
    lines: list[str] = []
    for note in notes:
        if not lines:
            lines += wrap(head, width, "   ")
        said = {True: ": yes, as written", False: ": no, as written", None: ""}[note.answer]
        cite = f" ({clean(note.cite, 120)})" if note.cite and not note.common else ""
        lines += wrap(f"- {clean(note.text, 240)}{cite}{said}", width, "   ", "     ")
    return lines


def held_already(note: Reminder) -> bool:
    """Whether it stands among what holds the visit back already."""
    return note.answer is False or (note.answer is None and not note.common and note.about in ("state", "papers"))


def _added(added: Added, width: int, every: bool) -> list[str]:
    figures = f"{added.not_met} not met, {added.not_recorded} not recorded"
    told = figures if added.not_met or added.not_recorded else "meets, as written; the office has not seen it"
    lines = wrap(f"Added after signature: {clean(added.element, 60)}, {day(added.day)}: {told}", width, "   ", "     ")
    shown = added.texts if every else added.texts[:SHOWN]
    for text in shown:
        lines += wrap(f"- {clean(text, 240)}", width, "   ", "     ")
    if len(shown) < len(added.texts):
        lines += wrap(f"and {len(added.texts) - len(shown):,} more: --all", width, "     ")
    return lines


def _slips(slips: Sequence[Slip], width: int) -> list[str]:
    if not slips:
        return []
    lines = wrap("WRITTEN CORRECTIONS, as they stand", width)
    for slip in slips:
        number = f"no. {clean(slip.number, 40)}, " if slip.number else ""
        at = f", {clean(slip.element, 60)}" if slip.element else ""
        lines += wrap(f"{clean(slip.visit, 60)}, {number}{day(slip.given)}{at}", width, " ", "   ")
        section = f" ({clean(slip.section, 60)})" if slip.section else ""
        lines += wrap(f"'{clean(slip.what, 400)}'{section}", width, "   ")
        shown = f", shown: {clean(slip.how_shown, 160)}" if slip.how_shown else ", how it is shown not recorded"
        lines += wrap(f"done {day(slip.done)}{shown}" if slip.done else "open", width, "   ", "     ")
        lines += wrap(told_of_slip(slip), width, "   ", "     ")
    return lines


def told_of_slip(slip: Slip) -> str:
    """Which rule here would have caught a written correction, or that none would."""
    if slip.covered_by:
        named = listed(clean(one, 160) for one in slip.covered_by)
        said = {word for word in _words.VERDICT.values() for one in slip.covered_by if one.endswith(f"({word})")}
        if _words.VERDICT["not met"] in said:
            return f"would have been caught here by {named}"
        if _words.VERDICT["not recorded"] in said:
            return f"covered here by {named}; what it asks is not recorded"
        if said == {_words.VERDICT["met"]}:
            return f"covered here by {named}; the slip and the site file say two things"
        return f"covered here by {named}"
    if slip.looked:
        return "no rule here covers this"
    return "no section on the slip, so no rule was looked for"


def _always(notes: Sequence[Reminder], width: int) -> list[str]:
    lines = wrap("AT EVERY VISIT (common practice)", width)
    heads = dict(HEADS)
    for about in dict.fromkeys(note.about for note in notes):
        texts = "; ".join(clean(note.text, 240) for note in notes if note.about == about)
        lines += wrap(f"{heads.get(about, about)}: {texts}", width, "   ", "     ")
    return lines if notes else []


def _stands_on(card: Card, width: int) -> list[str]:
    checked = card.checked
    rests = "; ".join(clean(one, 200) for one in checked.rests_on) or "nothing"
    left = listed(clean(one, 160) for one in checked.not_described) or "every system is spoken of"
    lines = wrap(f"RESTS ON WORD: {rests}", width, "", "   ") + wrap(f"NOT DESCRIBED: {left}", width, "", "   ")
    for text in _words.cautions(card.trades):
        lines += wrap(text, width, "", "   ")
    return lines
