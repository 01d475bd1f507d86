"""Every example against its expected.json: what is open in each of its sites, with figures and lines, and nothing else.

The figures of expected.json are worked out by hand; each example's README shows the arithmetic. An example's
`least` says how large it has to be. A site of which nothing is expected is one that is ready for every visit, or for
the one visit that `for` names.
"""

from __future__ import annotations

import datetime
import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from oktocover.check import check
from oktocover.cli.main import group
from oktocover.findings.checked import CORRECTIONS, READY, Checked
from oktocover.findings.finding import Finding
from oktocover.measures import trades
from oktocover.reading.site_file import read_site
from oktocover.rules.library import Library
from oktocover.site.root import element_lists

assert trades
EXAMPLES = Path(__file__).parents[2] / "examples"
FOLDERS = sorted(path.parent for path in EXAMPLES.glob("*/expected.json"))
LIBRARY = Library()
EXPECTED: dict[Path, Any] = {folder: json.loads((folder / "expected.json").read_text("utf-8")) for folder in FOLDERS}
SITES = [(folder / name) for folder in FOLDERS for name in EXPECTED[folder]["sites"]]
MENDED = [path for path in SITES if not EXPECTED[path.parent]["sites"][path.name]["open"]]
FAULTY = [path for path in SITES if path not in MENDED]


def named(path: Path) -> str:
    """`ceramics-studio/site.yaml`."""
    return f"{path.parent.name}/{path.name}"


def visit_of(path: Path) -> str:
    """The visit an example is written for; all of them unless it says one under `for`."""
    return str(EXPECTED[path.parent]["sites"][path.name].get("for", "all"))


def checked(path: Path, visit: str = "") -> Checked:
    """One site of an example, for the visit it is written for or another one."""
    return checked_for(path, visit or visit_of(path))


@cache
def checked_for(path: Path, visit: str) -> Checked:
    """One site of an example, checked on the day its expectations were written for."""
    day = datetime.date.fromisoformat(EXPECTED[path.parent]["today"])
    read = read_site(path, day)
    permit = read.site.permit
    return check(read, LIBRARY.adopt(permit.jurisdiction, permit.standards, path.parent), day, visit)


def expected(path: Path) -> list[dict[str, Any]]:
    """The findings that are expected of a site."""
    found: list[dict[str, Any]] = EXPECTED[path.parent]["sites"][path.name]["open"]
    return found


def not_met_or_recorded(path: Path) -> list[Finding]:
    """All that is neither met nor out of the question, advisories too, for the visit it is written for."""
    found = [one for one in checked(path).findings if visit_of(path) in ("all", one.stage)]
    return [one for one in found if one.verdict in ("not met", "not recorded") and not one.settled]


def as_expected(one: Finding, keys: set[str]) -> dict[str, Any]:
    """A finding in the form of expected.json."""
    told: dict[str, Any] = {key: getattr(one, key) for key in keys - {"line", "missing", "fault"}}
    told["line"] = one.place.line if one.place else None
    if one.missing:
        told["missing"] = [f"{missing.element} {missing.fact}" for missing in one.missing]
    return told


def test_there_are_examples() -> None:
    """The list is not empty, so that the tests below run at all."""
    assert FOLDERS and FAULTY and MENDED


@pytest.mark.parametrize("path", SITES, ids=named)
def test_just_what_is_expected_is_open(path: Path) -> None:
    """Same findings, same figures, same lines; nothing else is reported."""
    keys = {"rule", "element", "verdict", "severity", "measured", "required", "citation", "line"}
    found = {(one.rule, one.element): as_expected(one, keys) for one in not_met_or_recorded(path)}
    wanted = {(one["rule"], one["element"]): one for one in expected(path)}
    assert sorted(set(found) - set(wanted)) == [], "reported and not expected"
    assert sorted(set(wanted) - set(found)) == [], "expected and not reported"
    for name, one in wanted.items():
        assert found[name] == {key: value for key, value in one.items() if key != "fault"}, name


@pytest.mark.parametrize("path", SITES, ids=named)
def test_exit_codes(path: Path) -> None:
    """Of all visits together and, for a mended site, of the next one and of each that is asked."""
    code = EXPECTED[path.parent]["sites"][path.name]["exit"]
    assert checked(path).exit_code == code == (READY if path in MENDED else CORRECTIONS)


@pytest.mark.parametrize("path", MENDED, ids=named)
def test_mended_sites_are_ready_for_every_visit(path: Path) -> None:
    """Each visit that anything is asked for (a signed one too), and the default one."""
    visits = [visit for visit in checked(path).visits if visit_of(path) in ("all", visit.name)]
    asked = [visit.name for visit in visits if visit.state not in ("not asked", "signed")]
    assert asked
    assert {name: checked(path, name).exit_code for name in asked} == dict.fromkeys(asked, READY)
    assert {visit.state for visit in visits} <= {"ready to call", "signed", "not asked"}


@pytest.mark.parametrize("path", SITES, ids=named)
def test_the_command_says_the_same(path: Path) -> None:
    """`oktocover check <site> --for <visit>` ends with the expected code and prints every finding's line."""
    said = EXPECTED[path.parent]
    run = CliRunner().invoke(group, ["check", str(path), "--for", visit_of(path), "--today", said["today"]])
    assert run.exit_code == said["sites"][path.name]["exit"], run.output
    assert "ready to call" in run.output if path in MENDED else "do not call yet" in run.output


@pytest.mark.parametrize("path", FAULTY, ids=named)
def test_every_finding_says_what_to_do(path: Path) -> None:
    """A remedy and the line that closes it, with nothing left to fill in by a program."""
    for one in not_met_or_recorded(path):
        assert one.remedy and one.close_with and one.citation, (one.rule, one.element)
        assert "{element}" not in one.close_with and "{required}" not in one.remedy, one.rule


@pytest.mark.parametrize("path", FAULTY, ids=named)
def test_lines_are_those_of_the_element(path: Path) -> None:
    """The line names the element, or one that the finding is about; of a box that a typical gives its outlet, of a cable
    that a chain gives its circuit.
    """
    lines = path.read_text("utf-8").splitlines()
    for one in not_met_or_recorded(path):
        assert one.place is not None
        line = lines[one.place.line - 1]
        about = {one.element, one.element.removesuffix(" box"), one.element.partition(" to ")[0], *one.elements}
        about |= {"described"} if one.element == "building" else set()
        assert [name for name in about if names(line, name)], (one.rule, one.element, line)


def names(line: str, one: str) -> bool:
    """Whether an id stands on a line as a word of its own, before its facts: as key, in a row of keys, as `id`."""
    return re.search(rf"(?:^|[\s{{])(?:id: )?{re.escape(one)}(?:, [\w-]+)*(?::|,|$)", line) is not None


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_examples_are_large_enough(folder: Path) -> None:
    """As many elements and seeded faults as the example says it has at least."""
    least = EXPECTED[folder].get("least", {})
    for name, site in EXPECTED[folder]["sites"].items():
        data = read_site(folder / name, datetime.date.fromisoformat(EXPECTED[folder]["today"])).expanded
        lists = [data.get(field.replace("_", " ")) or {} for field in element_lists()]
        assert sum(map(len, lists)) >= least.get("elements", 1)
        if site["open"]:
            assert len({one["fault"] for one in site["open"]}) >= least.get("faults", 1)


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.name)
def test_every_fault_is_in_the_readme(folder: Path) -> None:
    """Each seeded fault has a row of the README's table, with its number."""
    text = (folder / "README.md").read_text("utf-8")
    numbers = {one["fault"] for site in EXPECTED[folder]["sites"].values() for one in site["open"]}
    assert [number for number in sorted(numbers) if f"| {number} |" not in text] == []


@pytest.mark.parametrize("path", SITES, ids=named)
def test_first_line_names_the_schema(path: Path) -> None:
    """An editor that knows YAML finds the schema of site files from the first line."""
    first = path.read_text("utf-8").splitlines()[0]
    assert first == "# yaml-language-server: $schema=../../schemas/site.schema.json"
    assert (path.parent / first.partition("=")[2]).resolve().is_file()
