"""One visit in words: what comes before it, what has to be ready, whom to call, and what no figure decides."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from oktocover.findings.checked import Visit, VisitAsk, VisitLine
from oktocover.reports._plain import clean, counted, listed, wrap

WIDTH: Final = 80
ASKED: Final = ("for the eye only", "papers", "ask the office", "the maker's sheet decides", "by a test")
"""In the order in which a person deals with them on the site, at the desk, at the office."""


def visit_sheet(visit: Visit) -> str:
    """What the place says of a visit and what waits in it, at most 80 columns wide."""
    lines = wrap(f"visit {clean(visit.name, 80)} ({clean(visit.title, 120)}): {_stands(visit)}", WIDTH, "", "  ")
    for label, text in _said(visit):
        lines += wrap(f"{label}: {text}", WIDTH, "  ", "    ")
    for who in ASKED:
        asks = [one for one in visit.asks if one.who == who]
        if asks:
            lines += ["", *wrap(who, WIDTH, "  ")]
        for one in asks:
            lines += wrap(_asked(one), WIDTH, "    ", "      ")
    return "\n".join(lines) + "\n"


def _stands(visit: Visit) -> str:
    if visit.only_if == "no":
        return "not held for such a building"
    if visit.state != "corrections":
        return visit.state
    likely = counted(visit.corrections, "correction")
    return f"{visit.hazards} can hurt someone, {likely} likely, {visit.not_recorded} not recorded"


def _said(visit: Visit) -> Iterator[tuple[str, str]]:
    if visit.depends_on:
        yield "held or not", f"hangs on {listed(clean(one.fact, 80) for one in visit.depends_on)}, not recorded"
    if visit.covers:
        yield "afterwards", "its work is covered"
    for line in visit.after:
        why = f" ({clean(line.cite, 160)})" if line.cite else ""
        yield "after", clean(line.name, 80) + why + (", not signed" if line.name in visit.not_signed else "")
    if visit.notice:
        yield "call", f"{clean(visit.notice, 80)} before" + (f", {clean(visit.counted, 80)}" if visit.counted else "")
    if visit.answer_within:
        yield "the office answers within", clean(visit.answer_within, 80)
    lists: tuple[tuple[str, Iterable[VisitLine]], ...] = (
        ("must be", visit.must_be),
        ("who may do the work", visit.who),
        ("seen by", visit.witness),
        ("gauges and tools", visit.instruments),
        ("on the site", visit.papers),
        ("instead of the visit", visit.instead),
    )
    for label, found in lists:
        for line in found:
            yield label, clean(line.text, 300) + (f" ({clean(line.cite, 160)})" if line.cite else "")


def _asked(one: VisitAsk) -> str:
    things = listed(clean(element, 40) for element in one.elements[:6])
    more = f" and {len(one.elements) - 6} more" if len(one.elements) > 6 else ""
    return f"{clean(one.text, 300)}: {things}{more} ({clean(one.citation, 120)}; {clean(one.rule, 120)})"
