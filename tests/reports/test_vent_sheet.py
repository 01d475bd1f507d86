"""The vent sheet: a shared vent of the code's annex, and a plastic vent by its maker's figures."""

from __future__ import annotations

import datetime
from functools import cache

import oktocover.measures.trades as trades
from oktocover.check import ALL_VISITS, check
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import read_site_text
from oktocover.reports.trade_sheets import trade_sheets
from oktocover.reports.worksheet import WIDTH, head_of
from oktocover.rules.library import Library

assert trades
TODAY = datetime.date(2026, 6, 15)

# Annex B of the fuel gas code, example 4: 35,000 and 150,000 Btu/h with draft hoods, single-wall connectors, 30 ft; and
# beside it a condensing boiler in PVC: 20 ft and three elbows of 5 ft each are 35 ft, of 45 ft allowed.
SITE = """
site: Shed
permit: {jurisdiction: model codes, occupancy: accessory}
described: {fuel burning appliances: yes}
spaces:
  shed: {use: workshop, size: 20 ft x 20 ft, ceiling: 9 ft}
appliances:
  WH: {space: shed, what: water heater, fuel: natural gas, input: "35,000 Btu/h", draft: natural draft, category: I, outlet: 3 in, room air: yes}
  FU: {space: shed, what: furnace, fuel: natural gas, input: "150,000 Btu/h", draft: natural draft, category: I, outlet: 6 in, room air: yes}
  BO: {space: shed, what: boiler, fuel: natural gas, input: "80,000 Btu/h", draft: direct vent, category: IV, outlet: 2 in, room air: no}
vents:
  V-1: {serves: [WH, FU], material: B vent, listing: UL 441, size: 6 in, rise: 30 ft, offset: none, manifold: none, elbows: 0}
  V-2: {serves: [BO], material: PVC, listing: ASTM D1785, size: 2 in, length: 20 ft, elbows: 3, elbow counts as: 5 ft, longest: 45 ft}
vent connectors:
  C-1: {appliance: WH, vent: V-1, material: single wall, size: 3 in, rise: 2 ft, length: 4 ft, elbows: 2}
  C-2: {appliance: FU, vent: V-1, material: single wall, size: 5 in, rise: 2 ft 6 in, length: 7 ft, elbows: 2}
looked:
  - {list: vents, whole: yes, by: M.K., day: 2026-05-03}
  - {list: vent connectors, whole: yes, by: M.K., day: 2026-05-03}
"""


@cache
def sheets() -> dict[str, list[str]]:
    """The lines of each sheet of the site, by its element."""
    read = read_site_text(SITE)
    adopted = Library().adopt("model codes", [], None)
    checked = check(read, adopted, TODAY, ALL_VISITS)
    made = trade_sheets(SiteView(read.site, read.known), adopted.rules, checked.findings)
    return {one.element: one.printed(head_of(checked)).splitlines() for one in made}


def told(name: str) -> str:
    """The sheet as one line, without the breaks."""
    return " ".join(" ".join(sheets()[name]).split())


def test_sums_of_a_shared_vent_can_be_followed() -> None:
    text = told("V-1")
    assert "input into the vent: 35,000 Btu/h + 150,000 Btu/h = 185,000 Btu/h" in text
    assert "6 in, 30 ft: 257 MBH; Table 504.3(2)" in text
    assert "measured 185,000 Btu/h, needed at most 257,000 Btu/h, 72,000 Btu/h to spare: meets" in text
    assert "3 in, 30 ft, 2 ft: 37 MBH; Table 504.3(2)" in text


# By hand: 5 in, 30 ft: 106 at 2 ft and 120 at 3 ft rise, half way 113; 150 is 37 too much.
def test_interpolation_is_written_out() -> None:
    text = told("V-1")
    assert "between 2 ft and 3 ft: 106 MBH + (2 ft 6 in - 2 ft) / (3 ft - 2 ft) x (120 MBH - 106 MBH) = 113 MBH" in text
    assert "measured 150,000 Btu/h, needed at most 113,000 Btu/h, over by 37,000 Btu/h: does not meet" in text


def test_a_plastic_vent_goes_by_its_maker() -> None:
    text = told("V-2")
    assert "20 ft + 3 x 5 ft = 35 ft" in text
    assert "measured 35 ft, needed at most 45 ft, 10 ft to spare: meets" in text
    assert "Table" not in text.partition("SIZE AND LENGTH")[2].partition("WHAT ELSE")[0]


def test_lines_fit_the_paper_and_name_what_is_missing() -> None:
    lines = sheets()["V-1"]
    assert max(map(len, lines)) <= WIDTH
    assert "clearance" in told("V-1")
    assert not [line for line in lines if line != line.rstrip()]
