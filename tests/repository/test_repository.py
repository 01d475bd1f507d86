"""The repository itself: what ships, which way imports go, and that what must agree does."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import zipfile
from pathlib import Path

import jsonschema
import pytest
import yaml

from oktocover import schemas
from oktocover.measures import registry

ROOT = Path(__file__).resolve().parents[2]
TOP = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "engine", "rulesets", "schemas", "tests", "examples"}


def tracked() -> list[Path]:
    """Every file under version control."""
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    return [ROOT / line for line in listed.splitlines() if (ROOT / line).is_file()]


def rule_files(cases: bool) -> list[Path]:
    found = sorted((ROOT / "rulesets").rglob("*.yaml"))
    return [path for path in found if path.name.endswith(".cases.yaml") == cases and path.parent.name != "rulesets"]


def test_the_top_level_holds_what_was_agreed() -> None:
    names = {path.relative_to(ROOT).parts[0] for path in tracked()}
    assert {name for name in names if not name.startswith(".")} == TOP


@pytest.mark.parametrize("name", sorted(schemas.MADE))
def test_each_schema_is_in_step_with_the_code(name: str) -> None:
    stored = (ROOT / "schemas" / name).read_text(encoding="utf-8")
    assert stored == schemas.text_of(name), "run: python -m oktocover.schemas"


@pytest.mark.parametrize("path", sorted((ROOT / "schemas").glob("*.json")), ids=lambda path: path.name)
def test_each_schema_is_a_schema(path: Path) -> None:
    jsonschema.Draft202012Validator.check_schema(json.loads(path.read_text(encoding="utf-8")))


def as_an_editor_reads(path: Path) -> object:
    """YAML as an editor's schema check sees it, scalars kept as text where YAML 1.1 would spoil them; `~` is nothing."""
    return _blank(yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader))


def _blank(node: object) -> object:
    if isinstance(node, dict):
        return {key: _blank(value) for key, value in node.items()}
    return [_blank(value) for value in node] if isinstance(node, list) else None if node == "~" else node


@pytest.mark.parametrize("path", rule_files(cases=False), ids=lambda path: str(path.relative_to(ROOT)))
def test_each_rule_file_fits_its_schema(path: Path) -> None:
    place = "jurisdictions" in path.parts or "jobs" in path.parts
    schema = json.loads((ROOT / "schemas" / f"{'jurisdiction' if place else 'book'}.schema.json").read_text())
    errors = list(jsonschema.Draft202012Validator(schema).iter_errors(as_an_editor_reads(path)))
    assert not errors, errors[0]


@pytest.mark.parametrize("path", rule_files(cases=True), ids=lambda path: str(path.relative_to(ROOT)))
def test_each_file_of_cases_fits_its_schema(path: Path) -> None:
    schema = json.loads((ROOT / "schemas" / "cases.schema.json").read_text())
    errors = list(jsonschema.Draft202012Validator(schema).iter_errors(as_an_editor_reads(path)))
    assert not errors, errors[0]


def test_the_common_values_fit_their_schema() -> None:
    schema = json.loads((ROOT / "schemas" / "common-values.schema.json").read_text())
    check = jsonschema.Draft202012Validator(schema)
    values = as_an_editor_reads(ROOT / "rulesets" / "common-values.yaml")
    assert not list(check.iter_errors(values))
    assert isinstance(values, dict)
    for one in values["common values"].values():
        del one["reason"]
    assert list(check.iter_errors(values)), "a value without a reason is let through"


def test_the_points_of_visits_fit_their_schema_and_speak_of_visits_there_are() -> None:
    schema = json.loads((ROOT / "schemas" / "visit-points.schema.json").read_text())
    check = jsonschema.Draft202012Validator(schema)
    points = as_an_editor_reads(ROOT / "rulesets" / "visit-points.yaml")
    assert isinstance(points, dict) and not list(check.iter_errors(points))
    visits = as_an_editor_reads(ROOT / "rulesets" / "irc" / "2021" / "inspections.yaml")
    assert isinstance(visits, dict)
    trades = {one["trade"] for one in visits["inspections"].values()}
    for name, one in points["visit points"].items():
        assert {*one.get("visits", ()), *one.get("not visits", ())} <= set(visits["inspections"]), name
        assert set(one.get("trades", ())) <= trades, name
    del points["basis"]
    assert list(check.iter_errors(points)), "a file that does not say where its points come from is let through"


def example_files() -> list[Path]:
    """YAML files of the examples that are the tool's own; what begins with a dot is another program's."""
    found = sorted((ROOT / "examples").rglob("*.yaml"))
    return [path for path in found if not any(part.startswith(".") for part in path.relative_to(ROOT).parts)]


@pytest.mark.parametrize("path", example_files(), ids=lambda path: str(path.relative_to(ROOT)))
def test_each_site_file_fits_the_schema_it_names(path: Path) -> None:
    first = path.read_text(encoding="utf-8").splitlines()[0]
    named = re.match(r"# yaml-language-server: \$schema=(.+)$", first)
    assert named, f"{path} does not name its schema on its first line"
    schema = json.loads((path.parent / named.group(1)).resolve().read_text(encoding="utf-8"))
    errors = list(jsonschema.Draft202012Validator(schema).iter_errors(as_an_editor_reads(path)))
    assert not errors, errors[0]


def test_the_schema_refuses_what_the_reader_refuses() -> None:
    schema = json.loads((ROOT / "schemas" / "site.schema.json").read_text())
    check = jsonschema.Draft202012Validator(schema)
    good = {"site": "x", "openings": {"D1": {"wall": "a.north", "what": "door", "width": "36 in"}}}
    assert not list(check.iter_errors(good))
    for bad in ({"openings": {"D1": {"wal": "a.north"}}}, {"openings": {"D1": {"what": "dor"}}}, {"opening": {}}):
        assert list(check.iter_errors(bad)), bad


def test_the_wheel_carries_the_data_of_the_checkout(tmp_path: Path) -> None:
    made = subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(tmp_path), str(ROOT)],
        capture_output=True, text=True)
    assert made.returncode == 0, made.stdout + made.stderr
    (wheel,) = tmp_path.glob("*.whl")
    names = set(zipfile.ZipFile(wheel).namelist())
    for folder in ("rulesets", "schemas", "examples"):
        for path in tracked():
            if path.relative_to(ROOT).parts[0] == folder:
                assert f"oktocover/{path.relative_to(ROOT).as_posix()}" in names


def test_no_file_names_a_registry_a_path_of_a_machine_or_how_it_was_made() -> None:
    # written in halves, so that this file does not hold what it looks for
    hosts = ["py" + "pi.org", "python" + "hosted", "npm" + "js.", "debian" + ".org"]
    words = ["tran" + "script", "seed " + "document"]
    forbidden = re.compile("|".join([*map(re.escape, hosts), *words, r"(?<![\w./-])/(?:root|work)/"]), re.I)
    for path in tracked():
        if path.suffix in (".py", ".md", ".yaml", ".toml", ".json", "") and path.name != "LICENSE":
            found = forbidden.search(path.read_text(encoding="utf-8"))
            assert found is None or path == Path(__file__), f"{path}: {found.group(0) if found else ''}"


def test_no_number_of_a_code_stands_in_the_measures() -> None:
    """Lengths, pressures and times with a unit belong into rulesets; the measures have none in their text."""
    unit = re.compile(r"read\(\s*[\"']\s*\d")
    for path in (ROOT / "engine" / "oktocover" / "measures").glob("*.py"):
        assert not unit.search(path.read_text(encoding="utf-8")), path


def test_every_kind_and_fact_says_what_it_means() -> None:
    for kind in registry.KINDS.values():
        for name, fact in kind.facts.items():
            if not fact.computed and fact.form in ("quantity", "yes or no"):
                assert fact.means, f"{kind.name}.{name} does not say what it means"
