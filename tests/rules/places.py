"""A small book in two editions, places as texts, and a building to check against them."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

from oktocover.check import check
from oktocover.findings.checked import Checked
from oktocover.findings.finding import Finding
from oktocover.reading.nodes import read_yaml
from oktocover.reading.site_file import make_site
from oktocover.rules.library import Adopted, Library

TODAY = datetime.date(2026, 6, 15)
BASE = """
book: bk
edition: "1"
usual: {trade: framing, stage: final, severity: correction, basis: {check: common practice}}
terms:
  low: {of: space, is: ceiling < low_line, limits: {low_line: 8 ft}, section: "2"}
rules:
  height:
    title: Height of a room
    section: 3.1
    each: space
    when: {rooms: use in heights}
    limits: {least: 7 ft, heights: [bedroom, kitchen]}
    require: ceiling >= least
    remedy: Ask the designer.
  warm:
    title: Heated
    section: 4.2(A)
    each: space
    severity: hazard
    when: use == 'bedroom'
    require: heated
    remedy: Heat it.
inspections:
  final: {title: Final, trade: general}
"""
NEXT = """
book: bk
edition: "2"
from: "1"
changes:
  higher: {cite: BK 2 3.1, set: {bk.height.least: 8 ft}}
"""


def shelf(folder: Path, **places: str) -> Library:
    """Rulesets of the book and some places; `standards_x` is a job's standard called x."""
    files = {"bk/1/all.yaml": BASE, "bk/2/all.yaml": NEXT}
    for name, text in places.items():
        kind, _, rest = name.partition("standards_")
        files[f"jobs/{rest}.yaml" if rest else f"jurisdictions/{kind}.yaml"] = text
    files.setdefault("jobs/none.yaml", "place: None\n")
    for path, text in files.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(text.lstrip(), encoding="utf-8")
    return Library(folder)


def checked(adopted: Adopted, permit: str = "", building: str = "", ceiling: str = "7 ft 6 in") -> Checked:
    """A bedroom of one height under the rules of a place, with a permit and a building as texts."""
    text = f"site: House\npermit: {{{permit}}}\nbuilding: {{{building}}}\n"
    text += f"spaces:\n  R: {{use: bedroom, ceiling: {ceiling}, heated: yes}}\n"
    text += "looked: [{list: spaces, whole: yes, by: A, day: 2026-01-01}]\n"
    return check(make_site([read_yaml(text, "site.yaml")], "site.yaml", TODAY), adopted, TODAY, "all")


def finding(found: Checked, rule: str = "bk.height") -> Finding:
    """The finding of one rule."""
    return next(one for one in found.findings if one.rule == rule)


def verdict(adopted: Adopted, permit: str = "", building: str = "", ceiling: str = "7 ft 6 in") -> Any:
    """The verdict of the height rule on the bedroom."""
    return finding(checked(adopted, permit, building, ceiling)).verdict
