"""The gas sizing sheet: every figure can be added up with a pencil, on 80 columns, also where much is not recorded."""

from __future__ import annotations

import datetime
import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

import oktocover.measures.trades as trades
from oktocover.cli.main import group
from oktocover.measures.view import SiteView
from oktocover.quantities import read
from oktocover.reading.problems import InputProblems
from oktocover.reading.site_file import read_site_text
from oktocover.reports._plain import columns
from oktocover.reports.gas_rows import gas_rows
from oktocover.reports.gas_sheet import gas_sheet
from oktocover.reports.worksheet import WIDTH
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet

assert trades
RULES = RuleSet(Library().folded("ifgc 2021"))
HEAD = {"site": "Shop", "permit": "B-1", "date": "2026-06-15", "in_force": ["IFGC 2021"]}
SHOP = """
site: Shop
described: {fuel gas: yes}
gas systems:
  house: {gas: natural gas, working pressure: 7 in w.c., supply pressure: 7 in w.c., pressure drop: 0.5 in w.c.,
    specific gravity: 0.60, heating value: "1,000 Btu/ft3", fittings: in the tables, sized by: code tables}
gas meters: {M: {of: house}}
gas pipes:
  G-1: {from: M, material: steel, size: 1 in, length: 12 ft 6 in, elbows: 2, tees: 0}
  G-2: {from: G-1, to: KILN, material: steel, size: 3/4 in, length: 40 ft, elbows: 3, tees: 1}
  G-3: {from: G-1, to: HEATER, material: steel, size: 1/2 in, length: 7 ft, elbows: 1, tees: 1}
appliances:
  KILN: {fuel: natural gas, input: "150,000 Btu/h", min inlet pressure: 5 in w.c.}
  HEATER: {fuel: natural gas, input: "75,000 Btu/h"}
looked:
  - {list: gas systems, whole: yes, by: M.K., day: 2026-05-03}
  - {list: gas pipes, whole: yes, by: M.K., day: 2026-05-03}
"""


def sheet_of(text: str, system: str = "house") -> str:
    view = SiteView(read_site_text(text, "site.yaml", datetime.date(2026, 6, 15)).site)
    return next(gas_sheet(one, HEAD) for one in gas_rows(view, RULES) if one.system.id == system)


def part(sheet: str, title: str) -> list[str]:
    """The lines under one heading; what a narrow paper put on a second line joined to the first."""
    lines = sheet.splitlines()
    start = next(at for at, line in enumerate(lines) if line.startswith(title)) + 2
    found: list[str] = []
    for line in lines[start:]:
        if not line or line.startswith("---"):
            break
        if line.startswith("          "):
            found[-1] += " " + line.strip()
        else:
            found.append(line)
    return found


def row(sheet: str, pipe: str) -> list[str]:
    return next(re.split(r"  +", line) for line in part(sheet, "SECTIONS") if line.startswith(pipe))


def test_each_run_adds_up_and_the_longest_is_marked() -> None:
    runs = part(sheet_of(SHOP), "RUNS")
    assert runs == [
        "KILN      G-1 12 ft 6 in + G-2 40 ft = 52 ft 6 in <- longest",
        "HEATER    G-1 12 ft 6 in + G-3 7 ft = 19 ft 6 in",
    ]


def test_each_load_adds_up() -> None:
    assert part(sheet_of(SHOP), "LOADS") == [
        "G-1       KILN 150 cfh + HEATER 75 cfh = 225 cfh",
        "G-2       KILN 150 cfh",
        "G-3       HEATER 75 cfh",
    ]


def test_a_section_has_its_row_what_it_carries_and_what_it_needs() -> None:
    """60 ft row: 1 in carries 257, 3/4 in 137, 1/2 in 65; 20 ft row: 1/2 in carries 118."""
    sheet = sheet_of(SHOP)
    lines = [line.split() for line in part(sheet, "SECTIONS")]
    assert ["G-1", "long", "52", "ft", "6", "in", "60", "ft", "225", "1", "in", "257", "32", "1", "in"] in lines
    short = ["G-2", "long", "52", "ft", "6", "in", "60", "ft", "150", "3/4", "in", "137", "short", "13", "1", "in"]
    assert short in lines
    own = ["branch", "19", "ft", "6", "in", "20", "ft", "75", "1/2", "in", "118", "43", "1/2", "in"]
    assert own in lines


def test_the_pressure_at_an_end_is_the_supply_less_each_drop() -> None:
    for line in part(sheet_of(SHOP), "PRESSURE")[1:]:
        if "=" not in line or line.startswith("  "):
            continue
        figures, result = line.split(" = ")
        drops = [float(found) for found in re.findall(r"G-\d (\d+\.\d+|\d+)", figures)]
        assert 7 - sum(drops) == pytest.approx(float(result.split()[0]), abs=0.002)


def test_elbows_and_tees_as_length_lengthen_the_run() -> None:
    """1 in: 2 x 2.62 ft; 3/4 in: 3 x 2.06 + 4.12 ft (annex table A.2.2): 12.5 + 5.24 + 40 + 10.3 = 68.04 ft."""
    sheet = sheet_of(SHOP.replace("in the tables", "as length"))
    run = next(line for line in part(sheet, "RUNS") if line.startswith("KILN"))
    length = read(run.split(" = ")[1].removesuffix(" <- longest"), "length")
    assert float((length.exact or 0) / 304_800_000) == pytest.approx(68.04, abs=0.001)
    assert "70 ft" in " ".join(row(sheet, "G-1"))


def test_propane_and_tubing_have_their_own_units_and_sizes() -> None:
    text = SHOP.replace("natural gas, working", "propane, working").replace("material: steel, size: 1/2 in", "material: csst, ehd: EHD 18")
    sheet = sheet_of(text)
    assert part(sheet, "LOADS")[0] == "G-1       KILN 150 MBH + HEATER 75 MBH = 225 MBH"
    assert "EHD 18" in " ".join(row(sheet, "G-3"))


def test_what_is_not_recorded_is_a_question_mark_and_never_a_figure() -> None:
    sheet = sheet_of(SHOP.replace('heating value: "1,000 Btu/ft3", ', "").replace("length: 40 ft, ", ""))
    assert "KILN      G-1 12 ft 6 in + G-2 ? = at least 12 ft 6 in" in sheet
    assert row(sheet, "G-1")[-3:] == ["?", "?", "?"]
    assert "<- longest" not in sheet


def test_an_open_list_says_what_may_still_come() -> None:
    sheet = sheet_of(SHOP[: SHOP.index("looked:")])
    assert "225+" in sheet
    assert "Open       more may come: " in sheet
    assert "whole list of gas pipes" in sheet


@given(st.integers(1, 400), st.integers(1, 3000), st.sampled_from(["steel", "csst", "copper L", "other"]), st.booleans())
@settings(max_examples=40, deadline=None)
def test_no_line_is_wider_than_the_paper(feet: int, load: int, material: str, as_length: bool) -> None:
    text = SHOP.replace("40 ft", f"{feet} ft 11-15/16 in").replace("150,000 Btu/h", f"{load} MBH")
    text = text.replace("material: steel, size: 3/4", f"material: {material}, ehd: EHD 25, size: 3/4")
    text = text.replace("in the tables", "as length" if as_length else "in the tables")
    for line in sheet_of(text).split("\n"):
        assert columns(line) <= WIDTH, line


def test_books_that_size_no_gas_pipe_make_no_sheet() -> None:
    view = SiteView(read_site_text(SHOP, "site.yaml", datetime.date(2026, 6, 15)).site)
    assert gas_rows(view, RuleSet(Library().folded("nec 2020"))) == []


def test_the_command_prints_the_sheet_of_a_gas_system(tmp_path: Path) -> None:
    site = tmp_path / "site.yaml"
    site.write_text(SHOP, encoding="utf-8")
    run = CliRunner()
    listed = run.invoke(group, ["worksheet", str(site), "--today", "2026-06-15"])
    assert "house: gas pipe sizing, every section on one sheet" in listed.output
    printed = run.invoke(group, ["worksheet", str(site), "house", "--today", "2026-06-15"])
    assert printed.exit_code == 0
    assert printed.output.startswith("WORKSHEET: gas pipe sizing, house\n")
    wrong = run.invoke(group, ["worksheet", str(site), "hous", "--today", "2026-06-15"])
    assert isinstance(wrong.exception, InputProblems)
    assert "did you mean 'house'?" in str(wrong.exception)
