"""The inspection card as JSON, for other programs."""

from __future__ import annotations

import json
from typing import Any, Final

from oktocover.reports._card_parts import Card, CardVisit
from oktocover.reports.card_text import told_of_slip
from oktocover.reports.json_form import plain

FORMAT: Final = 1
"""Raised when a key goes or changes its meaning; new keys do not raise it."""


def as_object(card: Card) -> dict[str, Any]:
    """The card as plain JSON values, keys in a fixed order; every text cleaned."""
    checked = card.checked
    return {
        "format": FORMAT,
        "site": plain(checked.site),
        "file": plain(checked.file),
        "today": plain(checked.today),
        "jurisdiction": plain(checked.jurisdiction),
        "in_force": plain(checked.in_force),
        "checked_by": plain(checked.checked_by),
        "next": {"visit": plain(card.next_visit), "text": plain(card.next)},
        "exit_code": card.exit_code,
        "plans": plain(card.plans),
        "visits": [_visit(one) for one in card.visits],
        "not_on_the_card": plain(card.left_off),
        "corrections": [
            {**plain(slip), "open": slip.open, "rule_here": plain(told_of_slip(slip))} for slip in card.slips
        ],
        "at_every_visit": plain(card.always),
        "rests_on": plain(checked.rests_on),
        "not_described": plain(checked.not_described),
        "warnings": plain(card.warnings),
    }


def _visit(one: CardVisit) -> dict[str, Any]:
    visit = one.visit
    return {
        "visit": plain(one.name),
        "title": plain(visit.title),
        "trades": plain(visit.trades),
        "state": one.state,
        "why": plain(one.why),
        "signed": plain(one.signed),
        "booked": plain(visit.booked),
        "after": plain(one.waits),
        "covers": visit.covers,
        "notice": plain(visit.notice),
        "counted": plain(visit.counted),
        "answer_within": plain(visit.answer_within),
        "not_met": one.not_met,
        "not_recorded": one.not_recorded,
        "holds": plain(one.holds),
        "reminders": plain(one.reminders),
        "added_after_signature": plain(one.added),
    }


def dumps(card: Card) -> str:
    """`as_object` as text: two spaces a level, UTF-8 letters as they are, a line end at the end."""
    return json.dumps(as_object(card), indent=2, ensure_ascii=False, allow_nan=False) + "\n"
