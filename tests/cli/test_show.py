"""`oktocover show` as a person meets it: words, one thing, and the plan in a file."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import pytest

Run = Any

SITE = """\
site: Studio
spaces:
  studio: {use: workshop, size: 18 ft x 17 ft, ceiling: 9 ft}
openings:
  D3: {wall: studio.south, at: 3 ft, width: 36 in, what: door, sill: 0 in, high: 80 in}
"""


@pytest.fixture
def site(tmp_path: Path) -> str:
    (tmp_path / "site.yaml").write_text(SITE, encoding="utf-8")
    return "site.yaml"


def test_the_whole_building_in_words(run: Run, site: str) -> None:
    ran = run("show", site)
    assert ran.code == 0 and ran.err == ""
    assert "306 sq ft" in ran.out and "door D3 on the south wall 3 ft from" in ran.out


def test_a_shipped_example_in_words(run: Run) -> None:
    ran = run("show", "ceramics-studio")
    assert ran.code == 0 and "APPLIANCES" in ran.out and "GAS" in ran.out
    assert max(map(len, ran.out.splitlines())) <= 80


@pytest.mark.parametrize("what", ["studio", "studio.south", "D3"])
def test_one_thing(run: Run, site: str, what: str) -> None:
    ran = run("show", site, what)
    assert ran.code == 0 and what in ran.out and "3 ft" in ran.out


def test_beside_a_site_its_name_may_be_left_out(run: Run, site: str) -> None:
    assert run("show").out == run("show", site).out
    assert run("show", "D3").out == run("show", site, "D3").out
    assert "APPLIANCES" in run("show", "ceramics-studio").out, "an example is an example all the same"
    assert "no file or folder 'other.yaml'" in run("show", "other.yaml").err
    assert "did you mean 'studio'" in run("show", "studioo").err


def test_an_unknown_name_is_told_the_nearest(run: Run, site: str) -> None:
    ran = run("show", site, "studio.soth")
    assert ran.code == 2 and ran.out == ""
    assert "there is no 'studio.soth' in this site" in ran.err and "did you mean 'studio.south'?" in ran.err


def test_the_plan_is_written_beside(run: Run, site: str, tmp_path: Path) -> None:
    ran = run("show", site, "--plan")
    assert ran.code == 0 and ran.out == "" and "plan.svg is written" in ran.err
    first = (tmp_path / "plan.svg").read_bytes()
    assert ET.fromstring(first).tag.endswith("svg")
    again = run("show", site, "--plan", "plan.svg")
    assert again.code == 0 and (tmp_path / "plan.svg").read_bytes() == first


def test_the_plan_on_the_output_is_the_same(run: Run, site: str, tmp_path: Path) -> None:
    run("show", site, "--plan", "here.svg")
    ran = run("show", site, "--plan", "-")
    assert ran.code == 0 and ran.out == (tmp_path / "here.svg").read_text(encoding="utf-8")


@pytest.mark.parametrize("held", ["<svg xmlns='http://www.w3.org/2000/svg'/>", "my notes", ""])
def test_a_file_of_somebody_else_is_left_alone(run: Run, site: str, tmp_path: Path, held: str) -> None:
    (tmp_path / "plan.svg").write_text(held, encoding="utf-8")
    ran = run("show", site, "--plan")
    assert ran.code == 2 and "no plan that this tool drew" in ran.err
    assert (tmp_path / "plan.svg").read_text(encoding="utf-8") == held


def test_a_folder_is_no_file_to_write(run: Run, site: str, tmp_path: Path) -> None:
    (tmp_path / "plan.svg").mkdir()
    assert run("show", site, "--plan").code == 2


def test_the_site_file_cannot_be_written_over_by_a_slip(run: Run, site: str, tmp_path: Path) -> None:
    ran = run("show", site, "--plan", "site.yaml")
    assert ran.code == 2 and "takes the name of an .svg file" in ran.err
    assert (tmp_path / "site.yaml").read_text(encoding="utf-8") == SITE


def test_plan_and_one_thing_do_not_go_together(run: Run, site: str) -> None:
    ran = run("show", site, "D3", "--plan")
    assert ran.code == 2 and "not both" in ran.err


def test_a_folder_that_is_not_there_is_told(run: Run, site: str) -> None:
    ran = run("show", site, "--plan", "nowhere/plan.svg")
    assert ran.code == 2 and "nowhere/plan.svg" in ran.err


def test_an_unreadable_site_is_told_as_everywhere(run: Run, tmp_path: Path) -> None:
    (tmp_path / "bad.yaml").write_text("spaces: {a: {size: 18 x 17}}\n", encoding="utf-8")
    ran = run("show", "bad.yaml")
    assert ran.code == 2 and "bad.yaml:1" in ran.err


def test_a_plan_of_an_unnamed_empty_site(run: Run, tmp_path: Path) -> None:
    (tmp_path / "empty.yaml").write_text("permit: {occupancy: accessory}\n", encoding="utf-8")
    assert run("show", "empty.yaml").code == 0
    assert "No room is written yet." in run("show", "empty.yaml", "--plan", "-").out


def test_the_full_form_of_a_short_site_reads_back_to_the_same_verdicts(run: Run, tmp_path: Path) -> None:
    shown = run("show", "short-shop", "--expanded")
    assert shown.code == 0
    assert "rows:" not in shown.out and "typicals:" not in shown.out
    (tmp_path / "full.yaml").write_text(shown.out, encoding="utf-8")

    def told(name: str) -> list[tuple[str, str, str]]:
        checked = run("check", name, "--format", "json", "--all", "--today", "2026-06-15")
        return [(one["rule"], one["element"], one["verdict"]) for one in json.loads(checked.out)["findings"]]

    assert told("full.yaml") == told("short-shop")


def test_the_full_form_is_asked_for_alone(run: Run, site: str) -> None:
    ran = run("show", site, "--expanded", "--plan")
    assert ran.code == 2 and "give --expanded alone" in ran.err


def test_tables_for_a_spreadsheet(run: Run) -> None:
    circuits, devices = run("show", "ceramics-studio", "--circuits"), run("show", "ceramics-studio", "--devices")
    table = run("show", "short-shop", "--table", "gas tests")
    assert (circuits.code, devices.code, table.code) == (0, 0, 0)
    assert circuits.out.startswith("circuit,panel,") and devices.out.startswith("id,list,what,wall,")
    assert table.out.splitlines()[0].startswith("id,of,covers,medium,pressure,") and ",M.K." in table.out
    nobody = run("show", "short-shop", "--table", "gas tests", "--without-people")
    assert nobody.code == 0 and "M.K." not in nobody.out and nobody.out.splitlines()[0] == table.out.splitlines()[0]


@pytest.mark.parametrize("words", [
    ["--circuits", "--devices"], ["--circuits", "--plan", "-"], ["D3", "--devices"], ["--without-people"],
    ["--table", "device"],
])  # fmt: skip
def test_one_table_at_a_time_and_of_a_list_there_is(words: list[str], run: Run, site: str) -> None:
    ran = run("show", site, *words)
    assert (ran.code, ran.out) == (2, "") and ran.err
