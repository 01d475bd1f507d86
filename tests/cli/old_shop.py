"""A small town of three visits and three rules, and an old shop in it."""

from __future__ import annotations

from pathlib import Path

TOWN = """\
place: My Town
adopts: {}
inspections:
  rough: {title: Rough, covers: yes}
  middle: {title: Middle, after: rough, covers: yes}
  final: {title: Final, after: middle}
rules:
  hold:
    title: Held long enough
    section: "1"
    each: gas_test
    trade: gas
    stage: rough
    severity: correction
    limits: {least: 10 min}
    require: held >= least
    remedy: Hold it longer.
    basis: {check: common practice}
  pressure:
    title: Pumped up enough
    section: "2"
    each: gas_test
    trade: gas
    stage: rough
    severity: hazard
    limits: {least: 3 psi}
    require: pressure >= least
    remedy: Pump it up, valves off first.
    basis: {check: common practice}
  scale:
    title: Scale of the gauge
    section: "3"
    each: gas_test
    trade: gas
    stage: final
    severity: correction
    limits: {most: 15 psi}
    require: full_scale <= most
    remedy: Another gauge.
    basis: {check: common practice}
"""
SITE = """\
site: Old shop
permit: {jurisdiction: my-town.yaml, occupancy: accessory%s}
described: {fuel gas: yes}
gas systems: {G: {gas: natural gas, working pressure: 7 in w.c.}}
gas tests:
  T-1: {of: G, held: 9 min, pressure: %s, full scale: 15 psi}
  T-2: {of: G, held: 8 min, pressure: 3 psi, full scale: 15 psi}
  T-3: {of: G, held: 10 min, pressure: 3 psi, full scale: 15 psi}
"""


def put(pressure: str = "3 psi", signed: str = "") -> None:
    """The site in its town."""
    Path("my-town.yaml").write_text(TOWN, encoding="utf-8")
    visits = ", ".join(f"{one}: {{signed: 2026-06-01, by: office}}" for one in signed.split())
    Path("site.yaml").write_text(SITE % (f", visits: {{{visits}}}" if visits else "", pressure), encoding="utf-8")
