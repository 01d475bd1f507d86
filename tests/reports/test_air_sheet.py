"""The combustion-air sheet: what takes the air of a room, and each way the code gives with its own figures."""

from __future__ import annotations

import datetime
from functools import cache

import pytest
from click.testing import CliRunner

import oktocover.measures.trades as trades
from oktocover.check import check, records_of
from oktocover.cli.main import group
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import read_site_text
from oktocover.reports._plain import columns
from oktocover.reports.air_sheet import air_rows, air_sheet
from oktocover.reports.worksheet import WIDTH, head_of
from oktocover.rules.library import Library

assert trades
DAY = datetime.date(2026, 6, 15)
SITE = """
site: Shop
permit: {jurisdiction: model codes, occupancy: accessory}
BUILDING
described: {fuel burning appliances: yes}
measured to: finished face
spaces:
  mech: {use: mechanical, size: 10 ft x 8 ft, ceiling: 9 ft, KNOWN}
  shop: {use: workshop, size: 20 ft x 20 ft, ceiling: 9 ft, KNOWN}
appliances:
  BO-1: {space: mech, what: boiler, fuel: natural gas, input: "60,000 Btu/h", draft: natural draft}
  FU-1: {space: mech, what: furnace, fuel: natural gas, input: "40,000 Btu/h", draft: fan assisted, room air: yes}
  WH-1: {space: mech, what: water heater, fuel: natural gas, input: "120,000 Btu/h", draft: direct vent}
air openings:
  A-1: {space: mech, source: outdoors, what: opening, route: direct, width: 12 in, high: 5 in, from ceiling: 6 in, cover: wood louver, closable: no}
  A-2: {space: mech, source: outdoors, what: duct, route: horizontal duct, diameter: 6 in, height: 4 in, cover: none, closable: no}
  A-3: {space: mech, source: room, other room: shop, what: opening, storeys: same, width: 12 in, high: 10 in, from ceiling: 4 in, cover: none, closable: yes}
vent connectors: {VC-1: {appliance: BO-1, size: 4 in}, VC-2: {appliance: FU-1, size: 3 in}}
looked:
  - {list: [appliances, air openings, vent connectors], whole: yes, by: M.K., day: 2026-05-03}
"""


@cache
def sheet_of(building: str = "", known: str = "infiltration known: no", left_out: str = "") -> str:
    text = (
        SITE.replace("BUILDING", building)
        .replace(", KNOWN", f", {known}" if known else "")
        .replace(left_out or "@", "")
    )
    read = read_site_text(text, "site.yaml", DAY)
    adopted = Library().adopt("model codes", [], None)
    found = check(read, adopted, DAY, "all")
    (one,) = air_rows(SiteView(read.site), adopted.rules, found.findings, records_of(read.site))
    return air_sheet(one, head_of(found))


def way(sheet: str, title: str) -> str:
    """The lines of one way, run together."""
    lines = sheet.splitlines()
    start = next(at for at, line in enumerate(lines) if line[3:].startswith(title))
    end = next(at for at, line in enumerate(lines) if at > start and (line[:1].isdigit() or line.startswith("---")))
    return " ".join(" ".join(lines[start:end]).split())


def row(sheet: str, name: str) -> list[str]:
    return next(line for line in sheet.splitlines() if line.startswith(name)).split()


def test_who_takes_the_air_of_the_room() -> None:
    """The direct-vent heater brings its own; 40,000 fan assisted and 60,000 other Btu/h are 100,000."""
    sheet = sheet_of()
    assert row(sheet, "WH-1")[-3:] == ["its", "own", "pipe"]
    assert row(sheet, "BO-1")[-2:] == ["the", "room"]
    assert row(sheet, "fan assisted")[2] == "40,000"
    assert row(sheet, "all others")[2] == "60,000"
    assert row(sheet, "together")[1] == "100,000"


def test_each_way_with_its_own_figures() -> None:
    """Volume: 10 x 8 x 9 = 720 ft3 of 50 x 100 = 5,000. A-1 60 in2 x 25 % = 15 in2: 60,000 Btu/h as one of two, 45,000
    alone. A-2, 28.27 in2 of a level duct: 2,000 Btu/h each, 56,549. The connectors: 12.57 + 7.07 = 19.63 in2.
    A fan: 0.35 x 100 = 35 cfm.
    """
    sheet = sheet_of()
    assert "> 720 ft3, needed at least 5,000 ft3: does not meet" in way(sheet, "the room itself, standard")
    two = way(sheet, "two openings to outdoors")
    assert "upper: 60,000 Btu/h, needed at least 100,000 Btu/h: does not meet" in two
    assert "lower: 56,549 Btu/h" in two
    one = way(sheet, "one opening to outdoors")
    assert "single: 45,000 Btu/h" in one and "connectors: 15 in2, needed at least 19.63 in2: does not meet" in one
    assert "to be looked at: Each appliance has 1 in clear" in one and one.endswith("not recorded")
    assert "fan air: 0 cfm, needed at least 35 cfm" in way(sheet, "a fan that brings")


def test_work_that_stands_above_is_not_repeated() -> None:
    sheet = sheet_of()
    assert sheet.count("free area of A-1 (wood louver): 60 in2 x 25 % = 15 in2") == 1


def test_an_opening_that_can_be_shut_says_so() -> None:
    sheet = sheet_of()
    assert row(sheet, "A-3")[1] == "shop"
    assert sheet.count("can be shut, so it does not count") == 1


@pytest.mark.parametrize(
    ("building", "known", "told"),
    [
        ("", "infiltration known: no", "nobody knows it"),
        ("", "infiltration: 0.35 ACH", "0.35 ACH"),
        ("building: {blower door: 3 ACH50}", "", "0.15 ACH"),
    ],
)
def test_the_air_change_and_where_it_is_tight(building: str, known: str, told: str) -> None:
    """A twentieth of 3 ACH50 is 0.15 ACH. The standard method is not open where the rate is known under 0.40."""
    sheet = sheet_of(building, known)
    assert " ".join(row(sheet, "air change")[2:]) == told
    closed = "not open here" in way(sheet, "the room itself, standard")
    assert closed == (told != "nobody knows it")
    assert ("not open here" in way(sheet, "the room itself, by its known")) != closed


def test_what_nobody_wrote_is_a_question_mark() -> None:
    sheet = sheet_of("", "", ", draft: natural draft")
    assert row(sheet, "BO-1")[-1] == "?"
    assert "all others        from 0 Btu/h to 60,000 Btu/h" in sheet
    assert row(sheet, "air change")[-1] == "?"
    assert "Result     not recorded" in sheet


@pytest.mark.parametrize("known", ["infiltration known: no", "infiltration: 0.35 ACH", ""])
def test_it_fits_the_paper(known: str) -> None:
    assert all(columns(line) <= WIDTH for line in sheet_of("", known).splitlines())


def test_the_command_prints_it_by_the_name_of_the_room() -> None:
    shown = CliRunner().invoke(group, ["worksheet", "ceramics-studio", "mechanical", "--today", "2026-06-15"])
    assert shown.exit_code == 0
    assert shown.output.startswith("WORKSHEET: combustion air, mechanical\n")
    listed = CliRunner().invoke(group, ["worksheet", "ceramics-studio", "--today", "2026-06-15"])
    assert "mechanical air: combustion air, every way on one sheet" in listed.output
