"""One piece of work under the fuel gas code, NFPA 54 and the plumbing code family, where their figures differ.

Sources: IFGC 404.12, 404.17.3 (IRC 2018 page: 18 AWG); UPC 1210.1 by a city's public page on trenches and a utility's guide
(plastic 18 in); a figure of the plumbing code with a nipple of 3 in. NFPA 54's 14 AWG and its strike barrier of 0.0508 in
are from memory.
"""

from __future__ import annotations

import datetime
from functools import cache

import pytest

import oktocover.measures.trades as trades
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import read_site_text
from oktocover.rules.evaluate import judge
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

assert trades
BOOKS = ("ifgc 2021", "nfpa54 2021", "upc 2021")
SITE = """
described: {fuel gas: yes, fuel burning appliances: yes}
gas systems: {yard: {gas: natural gas, working pressure: 7 in w.c.}}
gas pipes:
  G-1: {from: yard, material: polyethylene, place: underground, cover: 14 in, tracer: 18 AWG, tracer ends: yes}
  G-2: {from: G-1, material: csst, place: in the building, concealed: yes, through framing: holes or notches, edge: 2 in,
    plate: 0 in, plate past: 0 in}
appliances:
  BO-1: {what: boiler, fuel: natural gas, sediment trap: tee and capped nipple, trap nipple: 2 in}
"""


@cache
def rules(book: str) -> RuleSet:
    return RuleSet(Library().folded(book))


def verdicts(name: str, element: str) -> list[str]:
    """The worst verdict of a rule on an element in each book; 'not asked' where a book has no such rule."""
    view = SiteView(read_site_text(SITE, "site.yaml", datetime.date(2026, 5, 4)).site)
    told = []
    for book in BOOKS:
        rule = rules(book).rule(f"{book.split()[0]}.{name}")
        found = [] if rule is None else [one.verdict for one in judge(rule, Env(view.elements[element], view.roots))]
        told.append(min(found, key=("not met", "not recorded", "met", "does not apply").index, default="not asked"))
    return told


@pytest.mark.parametrize(
    ("rule", "element", "found"),
    [
        # 14 in of cover over plastic: 12 in, 12 in, 18 in
        ("burial-depth", "G-1", ["met", "met", "not met"]),
        # a tracer of 18 AWG: 18, 14, 18
        ("tracer-wire", "G-1", ["met", "not met", "met"]),
        # tubing 2 in from the face, bare: free from 1-1/2 in on; a barrier whatever the distance
        ("shield-plates", "G-2", ["met", "not met", "not met"]),
        # a trap with a nipple of 2 in: any length, any length, 3 in
        ("sediment-trap", "BO-1", ["met", "met", "not met"]),
        # no labels on this tubing: only the fuel gas code asks, and not behind finish
        ("gas-labels", "G-2", ["does not apply", "not asked", "not asked"]),
    ],
)
def test_one_work_three_families(rule: str, element: str, found: list[str]) -> None:
    assert verdicts(rule, element) == found
