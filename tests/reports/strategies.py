"""Findings and checks with any text that a site file may hold: control characters, escapes, long words."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hypothesis import strategies as st

from oktocover.findings.checked import Blank, Checked, InForce, SetAside, Visit
from oktocover.findings.finding import Comparison, Finding, FindingPlace, Missing, Step

from .samples import EMPTY, ROUGH

NASTY = st.sampled_from([
    "\x1b[31mred\x1b[0m", "\x1b]0;title\x07", "\x00", "\u202eright to left", "\r\n\t", "\x85", "\u2028",
    "\ufffe", "\ud800", "\x9b2J", "x" * 90, "宽" * 40, "site/" * 30, "a & b < c > \"d\" 'e' ]]>", "",
])
TEXT = st.one_of(NASTY, st.text(st.characters(), max_size=60),
                 st.builds(str.__add__, NASTY, st.text(st.characters(exclude_categories=()), max_size=20)))
TEXTS = st.lists(TEXT, max_size=3).map(tuple)
# a lone surrogate has no bytes, so reading refuses it in a name; in a text of the site it may still turn up
NAME = TEXT.map(lambda text: text.encode("utf-8", "ignore").decode())
MISSING = st.builds(
    Missing, NAME, TEXT, TEXT, TEXT, TEXT, st.lists(st.one_of(TEXT, st.integers()), max_size=3).map(tuple))
FINDINGS = st.builds(
    Finding, rule=NAME, title=TEXT,
    verdict=st.sampled_from(["met", "not met", "not recorded", "does not apply"]),
    severity=st.sampled_from(["hazard", "correction", "advisory"]), trade=TEXT,
    stage=st.sampled_from([ROUGH, "final"]), element=NAME, kind=TEXT, elements=TEXTS, label=TEXT,
    place=st.none() | st.builds(FindingPlace, TEXT, st.integers(1, 10**6), st.integers(1, 10**4)),
    measured=TEXT, required=TEXT, margin=TEXT, citation=TEXT, amended_by=TEXTS,
    missing=st.lists(MISSING, max_size=2).map(tuple), known_by=st.sampled_from(["planned", "measured"]),
    remedy=TEXT, close_with=TEXT, also_touches=TEXTS,
    comparisons=st.lists(
        st.builds(Comparison, TEXT, TEXT, TEXT, TEXT, st.none() | st.booleans()), max_size=2).map(tuple),
    work=st.lists(st.builds(Step, TEXT, TEXT, TEXT, TEXT), max_size=3).map(tuple), exception=TEXT,
    settled=st.booleans(), closer_than_tape=st.booleans(), alternate=TEXT, set_aside=TEXT, note=TEXT,
    where=st.tuples(TEXT, TEXT, st.floats()),
)


def _with(findings: list[Finding], parts: dict[str, Any]) -> Checked:
    blanks = tuple(
        Blank(need, (need.element,), (one.identity,)) for one in findings for need in one.missing)
    return replace(EMPTY, findings=tuple(findings), blanks=blanks, **parts)


_COUNT = st.integers(0, 10**7)
ASIDE = st.builds(
    SetAside, st.just("0123456789abcdef"), NAME, NAME, TEXT, TEXT, TEXT, TEXT, TEXT,
    st.sampled_from(["set aside", "lapsed", "idle"]), TEXT, st.none() | st.builds(FindingPlace, TEXT, st.just(3), st.just(1)))
CHECKS = st.builds(_with, st.lists(FINDINGS, max_size=4), st.fixed_dictionaries({
    "site": TEXT, "file": TEXT, "today": TEXT, "jurisdiction": TEXT, "checked_by": TEXT,
    "in_force": st.lists(st.builds(InForce, TEXT, TEXT), max_size=3).map(tuple),
    "visit": st.sampled_from([ROUGH, "all"]),
    "visits": st.lists(
        st.builds(Visit, st.sampled_from([ROUGH, "final", "宽" * 30]),
                  st.sampled_from(["signed", "ready to call", "corrections", "not recorded", "not asked"]),
                  _COUNT, _COUNT, _COUNT, _COUNT, _COUNT), max_size=3).map(tuple),
    "rests_on": TEXTS, "not_described": TEXTS, "not_checked_here": TEXTS, "struck_here": TEXTS, "warnings": TEXTS,
    "eye_only": _COUNT, "set_aside": st.lists(ASIDE, max_size=2).map(tuple),
}))
