"""What a check says about one visit besides its findings: what must be ready, who is asked, who answers."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from typing import Any, Literal

from oktocover.findings.checked import VisitAsk
from oktocover.findings.finding import Finding
from oktocover.measures.subject import Subject
from oktocover.rules.visits import Inspection

Asked = Literal["for the eye only", "papers", "ask the office", "the maker's sheet decides", "by a test"]
WHO: dict[str, Asked] = {
    "look": "for the eye only",
    "paper": "papers",
    "official": "ask the office",
    "maker": "the maker's sheet decides",
    "test": "by a test",
}
"""Whom a record goes to, by how it is found out."""


def said_of(inspection: Inspection, roots: Mapping[str, Subject], signed: Container[str]) -> dict[str, Any]:
    """The fields of a Visit that come from the place's own words."""
    held = inspection.held(roots)
    lists = inspection.lists
    return {
        "title": inspection.title,
        "trade": inspection.trade,
        "covers": inspection.covers,
        "trades": inspection.trades,
        "systems": inspection.systems,
        "sees": inspection.stages[1:],
        "only_if": "yes" if held is True else "no" if held is False else "not recorded",
        "depends_on": held if isinstance(held, tuple) else (),
        "after": lists["after"],
        "not_signed": tuple(line.name for line in lists["after"] if line.name not in signed),
        "must_be": lists["state"],
        "notice": inspection.notice,
        "counted": inspection.counted,
        "answer_within": inspection.answer_within,
        **{name: lists[name] for name in ("who", "witness", "instruments", "instead", "papers")},
    }


def asked_at(findings: Iterable[Finding]) -> tuple[VisitAsk, ...]:
    """The points of a visit that no figure decides, each once for all the elements it is asked of."""
    found: dict[tuple[Asked, str, str], list[Finding]] = {}
    for one in findings:
        for missing in one.missing:
            who = WHO.get(missing.found_by)
            if who is None or (missing.kind != "record" and missing.found_by != "official"):
                continue
            found.setdefault((who, missing.means or missing.fact, one.rule), []).append(one)
    return tuple(
        VisitAsk(who, text, rule, tuple(dict.fromkeys(one.element for one in ones)), ones[0].citation, ones[0].verdict)
        for (who, text, rule), ones in found.items()
    )
