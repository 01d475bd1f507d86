"""A small book with visits, places that order them otherwise, and a shed to carry through them."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import yaml

from oktocover.check import ALL_VISITS, check
from oktocover.reading.site_file import read_site_text
from oktocover.reports._card_parts import Card, CardVisit
from oktocover.reports.card import inspection_card
from oktocover.rules.library import Library

TODAY = datetime.date(2026, 6, 15)
BOOK = """
book: tst
edition: "1"
usual: {severity: correction, basis: {check: common practice}}
inspections:
  rough: {trade: gas, covers: yes, systems: [fuel gas]}
  wires: {trade: electrical, systems: [electrical]}
  test: {trade: gas, systems: [fuel gas], after: {rough: the piping is whole}}
  close: {trade: framing, covers: yes, after: {test: "1", wires: "1"}}
  final: {trade: general, after: {close: "2"}}
rules:
  steel: {title: Steel pipe, section: 403.4, trade: gas, stage: rough, each: gas_pipe, require: material == 'steel', remedy: Ask the fitter.}
  pressure:
    title: Test pressure
    section: 406.4
    trade: gas
    stage: test
    severity: hazard
    each: gas_test
    limits: {least: 3 psi}
    require: pressure >= least
    remedy: Pump it up.
  height:
    title: Height of a receptacle
    section: 210.52
    trade: electrical
    stage: wires
    each: receptacle
    limits: {most: 66 in}
    require: height <= most
    remedy: Move it.
  room: {title: Room height, section: R305.1, trade: framing, stage: close, each: space, limits: {least: 7 ft}, require: ceiling >= least, remedy: Ask.}
  use: {title: Use of a room, section: R300, trade: general, stage: final, each: space, require: heated, remedy: Ask.}
"""
OWN = {"adopts": {"all": {"book": "tst 1"}}}
LONG_WAY: dict[str, Any] = {
    "place": "Long Way",
    **OWN,
    "inspections": {"seal": {"trade": "fire", "covers": "yes", "after": {"close": "Code 5"}}},
    "changes": {
        "own": {
            "cite": "Code 4",
            "add": {
                "tst.final.after": {"seal": "Code 5"},
                "tst.test.state": {"on_gauge": "Test on and holding"},
                "tst.test": {
                    "notice": "24 h",
                    "counted": "working days",
                    "who": {"registered": "Registered gas fitter"},
                    "witness": {"inspector": "The inspector sees the gauge"},
                    "papers": {"log": "Log of the test"},
                },
            },
        }
    },
}
ONE_VISIT: dict[str, Any] = {
    "place": "One Visit",
    **OWN,
    "inspections": {"open walls": {"trade": "framing", "covers": "yes", "sees": ["rough", "wires", "test", "close"]}},
}
SHED: dict[str, Any] = {
    "site": "Boat shed",
    "permit": {"occupancy": "accessory", "visits": {}},
    "described": {"fuel gas": "yes", "electrical": "yes"},
    "spaces": {"shed": {"use": "workshop", "size": "18 ft x 17 ft", "ceiling": "9 ft", "heated": "yes"}},
    "receptacles": {"R-1": {"wall": "shed.north", "at": "4 ft", "height": "44 in"}},
    "gas systems": {"main": {"gas": "natural gas"}},
    "gas pipes": {"G-1": {"from": "main", "material": "steel", "size": "3/4 in", "length": "20 ft"}},
    "gas tests": {"GT-1": {"of": "main", "pressure": "10 psi"}},
    "approved": {"set": "A-1 to E-2", "date": "2026-04-02", "built as shown": "yes"},
    "work by": {"gas": {"as": "registered", "licence": "GP-1182", "by": "J.R."}},
    "at the visit": {},
}


def shelf(folder: Path, place: dict[str, Any] | None = None) -> Library:
    """The book, and a place if one is given, as a folder of rules."""
    root = folder / "rulesets"
    (root / "tst" / "1").mkdir(parents=True, exist_ok=True)
    (root / "jurisdictions").mkdir(exist_ok=True)
    (root / "tst" / "1" / "a.yaml").write_text(BOOK, encoding="utf-8")
    town = {"place": "Town", **OWN}
    (root / "jurisdictions" / "town.yaml").write_text(yaml.safe_dump(place or town, sort_keys=False), encoding="utf-8")
    return Library(root)


def shed(**changes: Any) -> dict[str, Any]:
    """The shed with some of its keys (spaces as underscores) replaced; None takes one out."""
    site = {**SHED, **{key.replace("_", " "): value for key, value in changes.items()}}
    return {key: value for key, value in site.items() if value is not None}


def card_of(
    folder: Path, site: dict[str, Any], place: dict[str, Any] | None = None, library: Library | None = None
) -> Card:
    """The card of a site in a place."""
    adopted = (library or shelf(folder, place)).adopt("town", [])
    read = read_site_text(yaml.safe_dump(site, sort_keys=False), today=TODAY)
    return inspection_card(read, adopted, check(read, adopted, TODAY, ALL_VISITS, figures=False))


def visit(card: Card, name: str) -> CardVisit:
    """One visit of a card."""
    return next(one for one in card.visits if one.name == name)


def states(card: Card) -> dict[str, str]:
    """State by visit, in the order of the card."""
    return {one.name: one.state for one in card.visits}


def signed(*names: str, on: str = "2026-06-01") -> dict[str, Any]:
    """A permit on which these visits are signed."""
    return {"occupancy": "accessory", "visits": {name: {"signed": on, "by": "building office"} for name in names}}
