"""The gas test sheet: what is on the gauge with its volume, what each code family asks, and lines where nobody has read yet."""

from __future__ import annotations

import datetime

import pytest
from click.testing import CliRunner

import oktocover.measures.trades as trades
from oktocover.check import check
from oktocover.cli.main import group
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import read_site_text
from oktocover.reports._plain import columns
from oktocover.reports.gas_test_sheet import NOT_WRITTEN, gas_test_rows, gas_test_sheet
from oktocover.reports.worksheet import WIDTH, head_of
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet

assert trades
DAY = datetime.date(2026, 6, 15)
LIBRARY = Library()
SHOP = """
site: Shop
permit: {jurisdiction: PLACE, occupancy: accessory}
described: {fuel gas: yes}
gas systems: {house: {gas: natural gas, working pressure: 7 in w.c.}}
gas pipes:
  G-1: {from: house, material: steel, size: 1 in, length: 20 ft, joints: threaded}
  G-2: {from: G-1, material: steel, size: 3/4 in, length: LONG, joints: threaded}
gas tests:
  T-1: {of: house, covers: whole system, READ}
looked:
  - {list: gas pipes, whole: yes, by: M.K., day: 2026-05-03}
"""
READ = (
    "medium: air, gauge: dial, full scale: 30 psi, graduation: 0.1 psi, pressure: 10 psi, end pressure: 9.95 psi, "
    "started: 2026-05-03 9:05, ended: 2026-05-03 9:17, temperature start: 61 F, temperature end: 60 F, by: M.K."
)


def sheet_of(book: str = "ifgc 2021", read: str = READ, long: str = "10 ft") -> str:
    """The sheet of the shop's test where one book is adopted."""
    text = SHOP.replace("PLACE", "model codes").replace("LONG", long).replace("READ", read)
    site = read_site_text(text, "site.yaml", DAY)
    adopted = LIBRARY.adopt("model codes", [], None)
    if not book.startswith("ifgc"):
        (one,) = gas_test_rows(SiteView(site.site), RuleSet(LIBRARY.folded(book)), ())
        return gas_test_sheet(one, {"site": "Shop"})
    found = check(site, adopted, DAY, "all")
    (one,) = gas_test_rows(SiteView(site.site), adopted.rules, found.findings)
    return gas_test_sheet(one, head_of(found))


def row(sheet: str, name: str) -> str:
    return next(line for line in sheet.splitlines() if line.startswith(name))


def test_the_pipes_on_the_gauge_and_what_they_hold() -> None:
    """Schedule 40 (ASME B36.10M): 20 ft of 1.049 in hold 207.4 in3, 10 ft of 0.824 in 63.99 in3, together 271.4 in3."""
    sheet = sheet_of()
    assert row(sheet, "G-1").split()[-2:] == ["207.4", "in3"]
    assert row(sheet, "G-2").split()[-2:] == ["63.99", "in3"]
    assert row(sheet, "all together").split()[-2:] == ["271.4", "in3"]


def test_what_the_gauge_said_and_what_cold_makes_of_it() -> None:
    """From 61 to 60 F: (10 + 14.696) psi x (1 - 519.67 / 520.67) = 0.04743 psi; the gauge fell 0.05 psi."""
    sheet = sheet_of()
    assert row(sheet, "fall by cold alone").endswith("0.04743 psi")
    assert row(sheet, "fall of the gauge").endswith("0.05 psi")
    assert "does not meet" in row(sheet, "The gauge did not fall")
    assert row(sheet, "held").endswith("12 min")
    assert "at least 10 min" in row(sheet, "Gas test held long enough")


def test_a_sheet_taken_to_the_gauge_has_lines_to_write_on() -> None:
    sheet = sheet_of(read="medium: air", long="at least 4 ft")
    for name in ("first reading", "last reading", "started", "fall by cold alone", "run by"):
        assert row(sheet, name).endswith(NOT_WRITTEN)
    assert "4 ft+" in row(sheet, "G-2") and row(sheet, "all together").endswith("+")
    assert NOT_WRITTEN in row(sheet, "Pressure of the gas test")
    assert row(sheet, "read by").count(NOT_WRITTEN) == 4


def test_pipes_that_nobody_has_said_are_all() -> None:
    text = SHOP.replace("PLACE", "model codes").replace("LONG", "10 ft").replace("READ", READ).split("looked:")[0]
    site = read_site_text(text, "site.yaml", DAY)
    adopted = LIBRARY.adopt("model codes", [], None)
    (one,) = gas_test_rows(SiteView(site.site), adopted.rules, ())
    assert "more may be on it: " in gas_test_sheet(one, {"site": "Shop"})


def test_where_the_code_asks_for_no_volume_none_is_printed() -> None:
    sheet = sheet_of("upc 2021")
    assert "all together" not in sheet
    assert row(sheet, "G-1").split() == ["G-1", "steel", "1", "in", "20", "ft"]


@pytest.mark.parametrize("book", ["ifgc 2021", "upc 2021"])
def test_it_fits_the_paper(book: str) -> None:
    assert all(columns(line) <= WIDTH for line in sheet_of(book).splitlines())


def test_the_command_prints_it_by_the_name_of_the_test() -> None:
    shown = CliRunner().invoke(group, ["worksheet", "ceramics-studio", "GT-2", "--today", "2026-06-15"])
    assert shown.exit_code == 0
    assert shown.output.startswith("WORKSHEET: gas pressure test, GT-2\n")
    listed = CliRunner().invoke(group, ["worksheet", "ceramics-studio", "--today", "2026-06-15"])
    assert "GT-2: gas pressure test" in listed.output
