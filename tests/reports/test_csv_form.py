"""Tables for a spreadsheet: nothing in them is a formula, and a list written as a table reads back to the same findings."""

from __future__ import annotations

import csv
import datetime
import io
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings

from oktocover.check import check
from oktocover.data import data_dir
from oktocover.findings.checked import Checked
from oktocover.measures.view import SiteView
from oktocover.reading.problems import InputProblems
from oktocover.reading.site_file import SiteFile, read_site, read_site_text
from oktocover.reports import csv_form
from oktocover.rules.library import Library

from . import samples
from .strategies import CHECKS

TODAY = datetime.date(2026, 6, 15)
STUDIO = data_dir("examples") / "ceramics-studio" / "site.yaml"
LIBRARY = Library()


def rows(text: str) -> list[dict[str, str]]:
    """A table by its heads, as the csv module of Python reads it."""
    return list(csv.DictReader(io.StringIO(text)))


def checked(read: SiteFile) -> Checked:
    """Every visit of a site under the rules of its place."""
    adopted = LIBRARY.adopt(read.site.permit.jurisdiction, read.site.permit.standards, STUDIO.parent)
    return check(read, adopted, TODAY, "all")


def test_a_finding_is_a_row_with_figures_section_and_place() -> None:
    (kiln, *rest) = rows(csv_form.findings(samples.SHOP))
    assert (kiln["element"], kiln["measured"], kiln["needed"], kiln["margin"]) == ("C-06", "55 A", "60 A", "short by 5 A")
    assert (kiln["file"], kiln["line"], kiln["section"]) == ("site.yaml", "74", "NEC 2020 210.19(A)(1), 334.80")
    assert (kiln["how bad"], kiln["verdict"]) == ("can hurt someone", "does not meet")
    assert len(rest) == 16, "seven do not meet and ten are asked; what no answer can turn is not"
    assert {one["visit"] for one in rest} == {samples.ROUGH}
    assert "final" in {one["visit"] for one in rows(csv_form.findings(samples.SHOP, all_visits=True))}
    assert len(rows(csv_form.findings(samples.SHOP, every=True))) == len(samples.SHOP.of_visit())


@pytest.mark.parametrize("begin", ["=", "+", "-", "@", "\t=", "\r", "\n+", " =", "\uff1d", "\uff0b", "\uff20"])
def test_no_cell_is_a_formula(begin: str) -> None:
    made = csv_form.cell(f'{begin}HYPERLINK("x","y")')
    assert made.startswith("'") and "\n" not in made and "\r" not in made and "\t" not in made


def test_what_is_no_formula_stands_as_it_is() -> None:
    assert csv_form.cell("R-04, 4' 9-1/2\"") == "R-04, 4' 9-1/2\""


@given(CHECKS)
@settings(max_examples=60, deadline=None)
def test_whatever_a_site_holds_no_cell_of_its_findings_is_a_formula(told: Checked) -> None:
    text = csv_form.findings(told, every=True)
    for row in csv.reader(io.StringIO(text)):
        assert len(row) == len(csv_form.FINDING_HEADS)
        assert not any(cell.startswith(csv_form.FORMULA) or set(cell) & {"\r", "\n", "\t"} for cell in row)
    assert csv_form.findings(told, every=True) == text


def test_the_circuit_schedule_has_a_row_for_each_circuit_with_its_outlets() -> None:
    read = read_site(STUDIO, TODAY)
    found = {one["circuit"]: one for one in rows(csv_form.circuits(read, SiteView(read.site, read.known)))}
    assert set(found) == set(read.site.circuits)
    garage = found["E-01"]
    assert (garage["panel"], garage["breaker"], garage["cable"]) == ("P-1", "20 A", "12-2 NM-B")
    assert (garage["outlets"], garage["outlet list"]) == ("4", "R-04; R-03; R-02; R-01")


def test_the_device_list_names_every_receptacle_switch_and_light_with_its_place() -> None:
    read = read_site(STUDIO, TODAY)
    found = {one["id"]: one for one in rows(csv_form.devices(read))}
    assert {*read.site.receptacles, *read.site.switches, *read.site.lights} <= set(found)
    one = found["R-04"]
    assert (one["list"], one["wall"], one["at"], one["circuit"]) == ("receptacles", "garage.east", "6' 0-1/16\"", "E-01")


def _verdicts(told: Checked) -> set[tuple[str, ...]]:
    return {(one.identity, one.verdict, one.measured, one.required, one.known_by, one.stage) for one in told.findings}


def _without_blanks(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _without_blanks(inner) for key, inner in value.items() if inner is not None}
    return [_without_blanks(inner) for inner in value if inner is not None] if isinstance(value, list) else value


def test_lists_out_and_in_again_give_the_same_findings(tmp_path: Path) -> None:
    """Lists of the main example as tables beside its site, in place of their entries there."""
    read = read_site(STUDIO, TODAY)
    data: dict[str, Any] = _without_blanks(read.expanded)
    lists = ("receptacles", "openings", "gas pipes", "holes", "penetrations", "appliances")
    texts = {name: csv_form.list_table(read, name) for name in lists}
    assert all(data.pop(name) for name in lists)
    for name, text in texts.items():
        (tmp_path / f"{name}.csv").write_text(text, encoding="utf-8")
    site = {**data, "tables": {name: f"{name}.csv" for name in lists}}
    (tmp_path / "site.yaml").write_text(json.dumps(site), encoding="utf-8")
    again = read_site(tmp_path / "site.yaml", TODAY)
    assert {name: csv_form.list_table(again, name) for name in lists} == texts
    assert _verdicts(checked(again)) == _verdicts(checked(read))


def test_the_apostrophe_of_a_cell_is_taken_off_again(tmp_path: Path) -> None:
    site = read_site_text("site: x\nlevels:\n  main: {floor: -1 ft, note: =1+1}\n  up: {note: \"''=1\"}\n  top: {note: x'=1}\n")
    text = csv_form.list_table(site, "levels")
    assert rows(text) == [
        {"id": "main", "floor": "'-1 ft", "note": "'=1+1"}, {"id": "up", "floor": "", "note": "'''=1"}, {"id": "top", "floor": "", "note": "x'=1"},
    ]  # fmt: skip
    (tmp_path / "levels.csv").write_text(text, encoding="utf-8")
    (tmp_path / "site.yaml").write_text("site: x\ntables: {levels: levels.csv}\n", encoding="utf-8")
    again = read_site(tmp_path / "site.yaml", TODAY)
    assert again.site.levels["main"].floor == site.site.levels["main"].floor
    assert [one.note for one in again.site.levels.values()] == ["=1+1", "''=1", "x'=1"]
    assert csv_form.list_table(again, "levels") == text


def test_a_way_of_knowing_nobody_knows_is_told_at_its_cell(tmp_path: Path) -> None:
    (tmp_path / "levels.csv").write_text("id,floor,floor known\nmain,1 ft,guessed\n", encoding="utf-8")
    (tmp_path / "site.yaml").write_text("site: x\ntables: {levels: levels.csv}\n", encoding="utf-8")
    with pytest.raises(InputProblems, match=r"levels.csv:2:11: 'guessed' is no way of knowing"):
        read_site(tmp_path / "site.yaml", TODAY)


def test_what_no_cell_can_hold_and_lists_there_are_not_are_told() -> None:
    outline = "[{at: '0 ft, 0 ft', wall: a}, '1 ft, 0 ft', '1 ft, 1 ft', '0 ft, 1 ft']"
    read = read_site_text(f"site: x\nspaces:\n  hall: {{outline: {outline}}}\n")
    with pytest.raises(InputProblems, match="site.yaml:3:19: no cell of a table can hold 'outline' of hall"):
        csv_form.list_table(read, "spaces")
    with pytest.raises(InputProblems, match="did you mean 'receptacles'"):
        csv_form.list_table(read, "receptacle")
