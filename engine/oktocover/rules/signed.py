"""Whose word the changes of a place are: whether its office has looked at them, and what of them no rule here covers."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from oktocover.quantities import QuantityError, read_date
from oktocover.reading.nearest import nearest
from oktocover.reading.nodes import Document
from oktocover.reading.problems import Problem
from oktocover.rules.layers import Layer

SIGNED_KEYS = ("office", "date", "against", "note")
LEFT_OUT_KEYS = ("cite", "about", "note")
UNSIGNED = "not checked by the town"
LONG_AGO = 12
"""Months from which on the age of a signature is said."""


def signature_problems(document: Document, data: Mapping[str, Any]) -> Iterator[Problem]:
    """What is wrong with `checked by` and `not checked here` of one file."""
    said = data.get("checked by")
    if isinstance(said, dict) and said:
        yield from _keys(document, ("checked by",), said, SIGNED_KEYS)
        if not isinstance(said.get("office"), str) or not said["office"].strip():
            yield Problem(
                document.place(("checked by",)), "a signature says which office", "office: Building Department"
            )
        try:
            read_date(str(said.get("date", "")))
        except QuantityError as error:
            yield Problem(document.place(("checked by", "date")), str(error), "date: 2026-01-15")
    left_out = data.get("not checked here")
    for name, entry in left_out.items() if isinstance(left_out, dict) else ():
        at = ("not checked here", name)
        if isinstance(entry, dict):
            yield from _keys(document, at, entry, LEFT_OUT_KEYS)
        about = entry.get("about") if isinstance(entry, dict) else entry
        if not isinstance(about, str) or not about.strip():
            expected = "{cite: Code 15.04.020, about: ground snow load by elevation}"
            yield Problem(document.place(at), f"'{name}' does not say what it is about", expected)


def _keys(
    document: Document, at: tuple[str, ...], said: Mapping[str, Any], known: tuple[str, ...]
) -> Iterator[Problem]:
    for key in said:
        if key not in known:
            near = nearest(key, known)
            do = f"did you mean '{near}'?" if near else ""
            yield Problem(
                document.key_place((*at, key)), f"'{key}' does not stand here", "one of: " + ", ".join(known), do
            )


def office_words(places: Iterable[Layer], today: datetime.date) -> str:
    """Who checked the changes of some places, outermost first; nothing when they change nothing."""
    said = [(layer.name, _words(layer, today)) for layer in places if _changes(layer)]
    if len(said) == 1:
        return said[0][1]
    if said and all(words == UNSIGNED for _, words in said):
        return f"not checked by {', nor by '.join(name for name, _ in said)}"
    return "; ".join(f"{name}: {words}" for name, words in said)


def _changes(layer: Layer) -> bool:
    said = (layer.changes, layer.things["rules"], layer.things["inspections"], layer.not_checked, layer.checked_by)
    return any(said)


def _words(layer: Layer, today: datetime.date) -> str:
    said = layer.checked_by
    if not said:
        return UNSIGNED
    against = f" against {said['against']}" if said.get("against") else ""
    day = read_date(str(said["date"]))
    return f"checked by {said['office']} on {day}{against}{_age(day, today)}"


def _age(day: datetime.date, today: datetime.date) -> str:
    months = (today.year - day.year) * 12 + today.month - day.month - (today.day < day.day)
    return f", {months} months ago" if months >= LONG_AGO else ""


def not_checked(places: Iterable[Layer]) -> Iterator[str]:
    """What some places also changed and no rule here covers: section and subject, a line each."""
    for layer in places:
        for name, entry in layer.not_checked.items():
            about = entry.get("about") if isinstance(entry, dict) else entry
            cite = entry.get("cite", name) if isinstance(entry, dict) else name
            yield f"{cite}: {about}"
