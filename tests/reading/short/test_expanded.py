"""The long form as text reads back to the same site and the same findings."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from oktocover.check import check
from oktocover.findings.checked import Checked
from oktocover.measures import trades
from oktocover.reading.short import expanded_text
from oktocover.reading.site_file import SiteFile, read_site, read_site_text
from oktocover.reports import json_form
from oktocover.rules.library import Library

assert trades
ROOT = Path(__file__).resolve().parents[3]
EXAMPLES = sorted(path for path in (ROOT / "examples").glob("*/*.yaml") if "site: " in path.read_text("utf-8"))
TODAY = datetime.date(2026, 6, 15)
LIBRARY = Library(ROOT / "rulesets")
SHORT = ("rows", "tables", "typicals", "assume", "typical")


def judged(read: SiteFile, folder: Path) -> Checked:
    permit = read.site.permit
    return check(read, LIBRARY.adopt(permit.jurisdiction, list(permit.standards), folder), TODAY, "all")


def text_of(checked: Checked) -> str:
    """All findings as JSON, without their places and without what only the short form can be told about."""
    plain = tuple(replace(one, place=None) for one in checked.findings)
    return json_form.dumps(replace(checked, findings=plain, warnings=(), rests_on=()), True)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_the_long_form_reads_back_to_the_same_findings(path: Path) -> None:
    short = read_site(path, TODAY)
    text = expanded_text(short)
    whole = read_site_text(text, str(path), TODAY)
    assert whole.site == short.site and whole.known == short.known
    assert text_of(judged(whole, path.parent)) == text_of(judged(short, path.parent))
    assert expanded_text(whole) == text
    assert not [word for word in SHORT if any(line.lstrip().startswith(f"{word}:") for line in text.splitlines())]


def test_there_are_examples_in_both_forms() -> None:
    assert len(EXAMPLES) > 2
    assert any("rows:" in path.read_text("utf-8") for path in EXAMPLES)


def test_every_form_at_once(read: Callable[..., SiteFile]) -> None:
    found = read(
        "typicals: {t: {height: 44 in, serves: {is: general, known: planned}}}\n"
        "tables: {openings: o.csv}\n"
        "rows: [{list: receptacles, ids: [A, B], wall: studio.north, at: [1 ft, ~], typical: [t, ~], note: 'a: #1'}]\n"
        "assume: [receptacles for general use]\n"
        "looked: [{all: receptacles, are: {mount: wall}, by: M.K., day: 2026-05-03, count: 2}]\n",
        {"o.csv": "id,width,note\nD-1,\"3' 6-1/2\"\"\",\"yes, \"\"off\"\"\"\n"},
    )
    text = expanded_text(found)
    assert read_site_text(text).site == found.site
    assert "{is: 44 in, known: typical}" in text and "{is: general, known: assumed}" in text
    assert "{is: wall, known: looked, by: M.K., day: '2026-05-03'}" in text
