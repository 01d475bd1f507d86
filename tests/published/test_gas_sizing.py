"""Sizes of gas pipe against published worked examples, the printed tables against the equations, and a second opinion.

Sources: the annex examples of the fuel gas codes (IFGC annex A, the same in NFPA 54); a corrugated tubing maker's design
guide and another maker's installation guide; a water heater manual; tables of IFGC 2018 read in public copies.

Not compared, and why:
- Annex example 6 reads drops off a coarse table of drop per 100 ft; only that the equation gives no more is held.
- The design guide divides 80,000 Btu/h by 0.96 and prints 76,800, which is the product: only its capacity is held.
- The design guide's sizes of tubing branches come from its maker's own table at 2 in w.c., which is not shipped.
- Annex example 4 (an appliance added) only repeats example 1 with another load.
"""

from __future__ import annotations

import datetime
import math
from fractions import Fraction
from functools import cache
from typing import Any

import pytest

import oktocover.measures.trades as trades
from oktocover.measures.gas_sizing import (
    higher_pressure_flow,
    low_pressure_drop,
    low_pressure_flow,
    next_row,
    required_size,
)
from oktocover.measures.view import SiteView
from oktocover.quantities import read, show
from oktocover.reading.site_file import read_site_text
from oktocover.reports.gas_rows import GasSheet, gas_rows
from oktocover.rules.evaluate import judge
from oktocover.rules.library import Library
from oktocover.rules.limits import Schedule
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

assert trades
IFGC = RuleSet(Library().folded("ifgc 2021"))
GRAVITY, EXPANSION = {"natural gas": 0.6094, "propane": 1.2462}, {"natural gas": 0.9992, "propane": 0.9910}
LOW, HIGHER, FLOW_POWER, SLOPE_POWER = 19.17, 18.93, 0.381, 0.206
"""The equations' figures, as IFGC Table 402.4 and equations 4-1 and 4-2 print them."""
STEEL = {"1/2": 0.622, "3/4": 0.824, "1": 1.049, "1-1/4": 1.380, "1-1/2": 1.610, "2": 2.067, "2-1/2": 2.469,
         "3": 3.068, "4": 4.026}  # fmt: skip
COPPER = {"1/4": 0.305, "3/8": 0.402, "1/2": 0.527, "5/8": 0.652, "3/4": 0.745, "1": 0.995, "1-1/4": 1.245,
          "1-1/2": 1.481, "2": 1.959}  # fmt: skip
PLASTIC = {"1/2": 0.660, "3/4": 0.860, "1": 1.077, "1-1/4": 1.328, "1-1/2": 1.554, "2": 1.943, "3": 2.864, "4": 3.682}
BORES = {"steel": STEEL, "steel first stage": STEEL, "copper": COPPER, "polyethylene": PLASTIC}
"""Inside diameters in inches, as the heads of the tables print them."""


def low_flow(bore: float, drop: float, length: float, gas: str = "natural gas") -> float:
    """Equation 4-1 for the flow (cfh), written out here apart from the product; inches, in w.c., feet."""
    return float((bore * LOW * (drop / (GRAVITY[gas] * length)) ** SLOPE_POWER) ** (1 / FLOW_POWER))


def higher_flow(bore: float, inlet: float, drop: float, length: float, gas: str = "natural gas") -> float:
    """Equation 4-2 for the flow (cfh); inlet and drop in psi gauge, the equation in psia with 14.7."""
    squares = (inlet + 14.7) ** 2 - (inlet + 14.7 - drop) ** 2
    return float(
        (bore * HIGHER * (squares * EXPANSION[gas] / (GRAVITY[gas] * length)) ** SLOPE_POWER) ** (1 / FLOW_POWER)
    )


def low_drop(flow: float, bore: float, length: float) -> float:
    """Equation 4-1 for the drop (in w.c.) of natural gas."""
    return float(GRAVITY["natural gas"] * length * (flow**FLOW_POWER / (LOW * bore)) ** (1 / SLOPE_POWER))


def view_of(text: str) -> SiteView:
    return SiteView(read_site_text(text, "site.yaml", datetime.date(2026, 5, 4)).site)


def sheets(text: str) -> dict[str, GasSheet]:
    return {sheet.system.id: sheet for sheet in gas_rows(view_of(text), IFGC)}


def needed(sheet: GasSheet, by: str) -> dict[str, str]:
    """The size that each section needs, as the trade writes it."""
    found = {}
    for line in sheet.lines:
        size = getattr(line, by).needed
        found[line.pipe] = "none" if size is None else show(size, "ehd" if line.tube else "pipe size")
    return found


WHOLE = """
looked:
  - {list: gas systems, whole: yes, by: M.K., day: 2026-05-03}
  - {list: gas pipes, whole: yes, by: M.K., day: 2026-05-03}
"""

ANNEX_1 = """
described: {fuel gas: yes}
gas systems:
  house: {gas: natural gas, pressure drop: 0.5 in w.c., specific gravity: 0.60, heating value: "1,000 Btu/ft3", fittings: in the tables}
gas meters: {M: {of: house}}
gas pipes:
  S3: {from: M, material: steel, size: 1 in, length: 30 ft}
  S1: {from: S3, material: steel, size: 3/4 in, length: 10 ft}
  S2: {from: S3, material: steel, size: 3/4 in, length: 20 ft}
  RA: {from: S1, to: A, material: steel, size: 1/2 in, length: 20 ft}
  RB: {from: S1, to: B, material: steel, size: 3/4 in, length: 15 ft}
  RC: {from: S2, to: C, material: steel, size: 1/2 in, length: 10 ft}
  RD: {from: S2, to: D, material: steel, size: 3/4 in, length: 10 ft}
appliances:
  A: {fuel: natural gas, input: "35,000 Btu/h"}
  B: {fuel: natural gas, input: "75,000 Btu/h"}
  C: {fuel: natural gas, input: "35,000 Btu/h"}
  D: {fuel: natural gas, input: "100,000 Btu/h"}
"""


def test_annex_example_1_by_the_longest_length() -> None:
    """60 ft for every section: A 1/2, B 3/4, sections 1 and 2 3/4, section 3 1 in."""
    sheet = sheets(ANNEX_1 + WHOLE)["house"]
    assert {line.longest.length for line in sheet.lines} == {read("60 ft", "length").exact}
    sizes = needed(sheet, "longest")
    assert (sizes["RA"], sizes["RB"]) == ("1/2 in", "3/4 in")
    assert (sizes["S1"], sizes["S2"], sizes["S3"]) == ("3/4 in", "3/4 in", "1 in")
    loads = {line.pipe: line.load for line in sheet.lines}
    assert (loads["S1"], loads["S2"], loads["S3"]) == (110_000, 135_000, 245_000)


def test_annex_example_6_reads_no_less_off_its_coarse_table_than_the_equation_gives() -> None:
    """A 0.06, section 1 0.06 (3/4 in), section 3 0.3 in w.c.; by the equation 0.052, 0.055 and 0.226."""
    sheet = next(
        one
        for one in sheets(
            (ANNEX_1 + WHOLE).replace("gas, pressure", "gas, supply pressure: 7 in w.c., pressure", 1)
        ).values()
    )
    drops = dict(next(one for one in sheet.arrivals if one.end == "A").drops)
    water = read("1 in w.c.", "pressure").exact
    for pipe, published, equation in (("RA", 0.06, 0.052), ("S1", 0.06, 0.055), ("S3", 0.3, 0.226)):
        assert float(drops[pipe] / water) == pytest.approx(equation, abs=0.0006)
        assert drops[pipe] / water <= published


ANNEX_2 = """
described: {fuel gas: yes}
gas systems:
  street: {gas: natural gas, working pressure: 2 psi, supply pressure: 2 psi, pressure drop: 1 psi, specific gravity: 0.60,
    heating value: "1,000 Btu/ft3", fittings: in the tables, sized by: code tables}
  house: {gas: natural gas, working pressure: 8 in w.c., supply pressure: 8 in w.c., pressure drop: 3 in w.c.,
    specific gravity: 0.60, heating value: "1,000 Btu/ft3", fittings: in the tables, sized by: code tables}
gas meters: {M: {of: street}}
gas regulators: {R: {after: A, feeds: house, pressure loss: LOSS}}
gas pipes:
  A: {from: M, material: csst, ehd: EHD 18, length: 100 ft}
  B: {from: R, to: furnace, material: csst, ehd: EHD 13, length: 15 ft}
  C: {from: R, to: heater, material: csst, ehd: EHD 13, length: 10 ft}
  D: {from: R, to: range, material: csst, ehd: EHD 13, length: 25 ft}
appliances:
  furnace: {fuel: natural gas, input: "60,000 Btu/h"}
  heater: {fuel: natural gas, input: "30,000 Btu/h"}
  range: {fuel: natural gas, input: "20,000 Btu/h"}
"""


def test_annex_example_2_with_a_line_regulator() -> None:
    """110 cfh over 100 ft of 2 psi tubing: EHD 18, which carries 189; after the regulator EHD 13 for all three."""
    found = sheets(ANNEX_2.replace("LOSS", "4 in w.c.") + WHOLE)
    trunk = found["street"].lines[0]
    assert (trunk.load, trunk.longest.length) == (110_000, read("100 ft", "length").exact)
    assert needed(found["street"], "longest") == {"A": "EHD 18"}
    assert trunk.longest.carries == 189_000
    # each low pressure section by its own distance from the regulator, not from the meter
    assert needed(found["house"], "branch") == {"B": "EHD 13", "C": "EHD 13", "D": "EHD 13"}
    assert [line.branch.length for line in found["house"].lines] == [
        read(f"{n} ft", "length").exact for n in (15, 10, 25)
    ]


@pytest.mark.parametrize(("loss", "verdict"), [("4 in w.c.", "met"), ("3/4 psi", "met"), ("0.8 psi", "not met")])
def test_annex_example_2_the_tables_hold_up_to_three_quarters_of_a_pound_in_the_regulator(
    loss: str, verdict: str
) -> None:
    view = view_of(ANNEX_2.replace("LOSS", loss) + WHOLE)
    rule = IFGC.rule("ifgc.regulator-loss")
    assert rule is not None
    end = next(one for one in view.of("gas_end") if one.id == "R")
    assert [one.verdict for one in judge(rule, Env(end, view.roots))] == [verdict]


ANNEX_3 = """
described: {fuel gas: yes}
gas systems:
  house: {gas: natural gas, pressure drop: 1 in w.c., specific gravity: 0.60, heating value: "1,000 Btu/ft3", fittings: in the tables}
gas meters: {M: {of: house}}
gas pipes:
  A: {from: M, material: copper K, size: 1 in, length: 20 ft}
  B: {from: A, to: range, material: copper K, size: 1/2 in, length: 10 ft}
  C: {from: A, to: dryer, material: copper K, size: 3/8 in, length: 30 ft}
  D: {from: A, to: heater, material: copper K, size: 3/8 in, length: 10 ft}
  E: {from: A, to: furnace, material: copper K, size: 1/2 in, length: 10 ft}
appliances:
  range: {fuel: natural gas, input: "75,000 Btu/h"}
  dryer: {fuel: natural gas, input: "30,000 Btu/h"}
  heater: {fuel: natural gas, input: "35,000 Btu/h"}
  furnace: {fuel: natural gas, input: "80,000 Btu/h"}
"""


def test_annex_example_3_by_the_branch_length() -> None:
    """Trunk and dryer by 50 ft, the others by 30 ft from the meter (20 ft of trunk, not known on paper, and 10 ft)."""
    sheet = sheets(ANNEX_3 + WHOLE)["house"]
    lengths = {line.pipe: line.branch.length for line in sheet.lines}
    feet = {
        name: read(f"{n} ft", "length").exact for name, n in (("A", 50), ("B", 30), ("C", 50), ("D", 30), ("E", 30))
    }
    assert lengths == feet
    assert needed(sheet, "branch") == {"A": "1 in", "B": "1/2 in", "C": "3/8 in", "D": "3/8 in", "E": "1/2 in"}


def test_a_branch_is_measured_back_to_the_meter_and_not_from_its_tee() -> None:
    """By its own 10 ft a 3/8 in tube would carry 80 cfh and look large enough for the furnace; by 30 ft it carries 44."""
    sheet = sheets(
        ANNEX_3.replace(
            "E: {from: A, to: furnace, material: copper K, size: 1/2",
            "E: {from: A, to: furnace, material: copper K, size: 3/8",
        )
        + WHOLE
    )
    line = next(line for line in sheet["house"].lines if line.pipe == "E")
    assert line.branch.carries == 44_000
    assert line.branch.carries < line.load == 80_000
    assert column("pipe_flow", "copper", "1 in w.c.", "10 ft")[_size("3/8")] == 80


# the trunk examples of a corrugated tubing maker's design guide


def test_a_rigid_trunk_of_221_cfh_over_70_ft_needs_one_inch() -> None:
    row = column("pipe_flow", "steel", "0.5 in w.c.", "70 ft")
    assert required_size(row, 80 + 36 + 52 + 28 + 25) == _size("1")
    assert (row[_size("1")], row[_size("3/4")]) == (237, 126)


def test_drop_of_a_trunk_by_the_guide_and_by_the_equation() -> None:
    """45 ft of 3/4 in, table row 225 cfh at 0.021 in w.c. a foot: 0.945; the guide runs 1 to 3 percent over the equation."""
    assert drop_of(225, 0.824, 45) == pytest.approx(0.945, rel=0.03)
    assert drop_of(225, 0.824, 45) < 0.945


@pytest.mark.parametrize(
    ("bore", "flow", "published"),
    [(0.622, 100, 0.019), (0.622, 225, 0.083), (0.622, 500, 0.365), (0.622, 1000, 1.313), (0.622, 2000, 4.727),
     (0.824, 225, 0.021), (0.824, 500, 0.093), (0.824, 1000, 0.336), (0.824, 2000, 1.209)],
)  # fmt: skip
def test_drop_a_foot_of_the_guide_runs_a_few_percent_over_the_equation(
    bore: float, flow: int, published: float
) -> None:
    """The 100 cfh cell of 3/4 in (0.005) has one figure only and says nothing."""
    assert 0.94 * published <= drop_of(flow, bore, 1) <= published


def test_capacity_of_a_heavier_gas_in_the_guide() -> None:
    """EHD 18, 2 psi, 50 ft: 266 cfh at 0.60, 255 at 0.65."""
    row = column("tube_flow", "1 psi", "50 ft")
    gravity = IFGC.table("ifgc.gravity_factor")
    assert gravity is not None
    factor = gravity.rows["0.65"].value
    assert row[18] == 266
    assert int(row[18] * factor) == 255


def test_branch_length_and_the_next_longer_row_in_another_guide() -> None:
    """Its brand's table at 0.5 in w.c.: a range 20 ft away by the 20 ft row, a heater 27 ft away by the 30 ft row."""
    rows = {20: {18: 51, 25: 111}, 30: {18: 42, 25: 90}}
    at_range, at_heater = next_row(rows, 20), next_row(rows, 27)
    assert (at_range, at_heater) == (20, 30)
    assert required_size(rows[20], 40) == 18
    assert required_size(rows[30], 25) == 18


# propane: the row labels that slipped in one printing


PRINTED = {80: {"1/2": 101, "3/4": 212, "1": 400}, 100: {"1/2": 94, "3/4": 197, "1": 372}}
"""Table 402.4(28) as one public copy prints it, in thousands of Btu/h."""


def test_two_rows_of_the_propane_table_hold_the_figures_of_shorter_runs() -> None:
    """The rows labelled 80 and 100 ft are what the equation gives for 70 and 80 ft, at the 2,470 Btu of the other rows."""
    for label, true in ((80, 70), (100, 80)):
        for size, printed in PRINTED[label].items():
            by_equation = low_flow(STEEL[size], 0.5, true, "propane") * 2.470
            assert printed == pytest.approx(by_equation, rel=0.012)
            assert printed > 1.06 * low_flow(STEEL[size], 0.5, label, "propane") * 2.470
            assert column("propane_pipe", "steel", "0.5 in w.c.", f"{true} ft")[_size(size)] == printed * 1000


def test_a_water_heater_manual_wants_one_inch_for_199_000_at_80_ft_of_propane() -> None:
    """The slipped row would let 3/4 in pass with 212; the row of the right label carries 197."""
    row = column("propane_pipe", "steel", "0.5 in w.c.", "80 ft")
    assert required_size(row, 199_000) == _size("1")
    assert PRINTED[80]["3/4"] > 199


# the tables against the equations, cell by cell


def _size(text: str) -> Any:
    return read(f"{text} in", "pipe size").exact


@cache
def _table(name: str) -> Schedule:
    found = IFGC.table(f"ifgc.{name}")
    assert found is not None
    list(IFGC.rules())  # rows are read in the dimensions of the rules that look them up
    return found


def column(name: str, *rows: str) -> dict[Any, Fraction]:
    """A row of a table in the unit it is printed in: size (inches, or EHD) to capacity (cfh, or Btu/h)."""
    table = _table(name)
    data = table.rows
    for row in rows:
        data = data[row]
    unit = read("1 cfh", "flow").exact if name.endswith("flow") else 1
    return {table.rows_read[len(rows), text]: Fraction(cell.value) / unit for text, cell in data.items()}


def cells(name: str, kind: str, drop: str) -> list[tuple[str, int, Fraction]]:
    """The cells of one printed table: size, length in feet, capacity."""
    table = _table(name)
    found = []
    for length in table.rows[kind][drop]:
        for size, capacity in column(name, kind, drop, length).items():
            text = next(text for text in BORES[kind] if _size(text) == size)
            found.append((text, int(length.split()[0]), capacity))
    return found


def half_of_the_last_figure(printed: Fraction) -> float:
    """Printed cells have three figures, and whole units."""
    return 0.5 * 10 ** max(math.floor(math.log10(printed)) - 2, 0)


FOLLOWS = [
    # table, kind, drop, inlet psi (None: equation 4-1)
    ("pipe_flow", "steel", "0.3 in w.c.", None),
    ("pipe_flow", "steel", "0.5 in w.c.", None),
    ("pipe_flow", "steel", "3 in w.c.", None),
    ("pipe_flow", "steel", "6 in w.c.", None),
    ("pipe_flow", "steel", "2 psi", 3.0),
    ("pipe_flow", "copper", "1 psi", 2.0),
    ("pipe_flow", "copper", "1.5 psi", 2.0),
    ("pipe_flow", "copper", "3.5 psi", 5.0),
    ("pipe_flow", "polyethylene", "0.3 in w.c.", None),
    ("pipe_flow", "polyethylene", "0.5 in w.c.", None),
]


@pytest.mark.parametrize(("name", "kind", "drop", "inlet"), FOLLOWS)
def test_a_table_is_the_equation_to_its_last_figure(name: str, kind: str, drop: str, inlet: float | None) -> None:
    """Every cell lies from 1.1 percent under the equation to the equation itself, and half a last figure more."""
    for size, length, printed in cells(name, kind, drop):
        bore, amount = BORES[kind][size], float(drop.split()[0])
        exact = low_flow(bore, amount, length) if inlet is None else higher_flow(bore, inlet, amount, length)
        half = half_of_the_last_figure(printed)
        assert 0.989 * exact - half <= printed <= exact + half, (size, length, printed, exact)


@pytest.mark.parametrize(
    ("drop", "inlet", "mean", "lowest"), [("1 psi", 2.0, 0.056, 0.12), ("3.5 psi", 5.0, 0.044, 0.105)]
)
def test_two_steel_tables_do_not_follow_the_equation(drop: str, inlet: float, mean: float, lowest: float) -> None:
    """Tables 402.4(5) and (7) fall with the root of the length: they are looked up and never worked out."""
    found = cells("pipe_flow", "steel", drop)
    shares = [
        float(printed) / higher_flow(STEEL[size], inlet, float(drop.split()[0]), length)
        for size, length, printed in found
    ]
    assert sum(abs(1 - share) for share in shares) / len(shares) == pytest.approx(mean, abs=0.006)
    assert 1 - min(shares) == pytest.approx(lowest, abs=0.012)
    at_ten = {size: printed for size, length, printed in found if length == 10}
    for size, length, printed in found:
        if length <= 70:  # one printing of the 80 ft row of table (7) breaks even this
            assert float(printed) == pytest.approx(float(at_ten[size]) * math.sqrt(10 / length), rel=0.025)


@pytest.mark.parametrize("drop", ["0.5 in w.c.", "1 in w.c."])
def test_copper_at_low_pressure_is_worked_out_and_rounded_down(drop: str) -> None:
    """These two tables were not read: each cell is equation 4-1 cut to three figures, whole cubic feet."""
    for size, length, entered in cells("pipe_flow", "copper", drop):
        exact = low_flow(COPPER[size], float(drop.split()[0]), length)
        step = 10 ** max(math.floor(math.log10(exact)) - 2, 0)
        assert entered == math.floor(exact / step) * step


PROPANE = [
    ("steel", "0.5 in w.c.", None), ("steel", "1 psi", 2.0), ("steel first stage", "1 psi", 10.0),
    ("steel first stage", "3 psi", 10.0), ("copper", "0.5 in w.c.", None), ("copper", "1 psi", 2.0),
    ("polyethylene", "0.5 in w.c.", None),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "drop", "inlet"), PROPANE)
def test_propane_tables_are_the_equation_at_2470_btu(kind: str, drop: str, inlet: float | None) -> None:
    """None prints the heating value it was worked out with; by the cells it is 2,460 to 2,487 Btu/ft3."""
    for size, length, printed in cells("propane_pipe", kind, drop):
        bore, amount = BORES[kind][size], float(drop.split()[0])
        by = (
            low_flow(bore, amount, length, "propane")
            if inlet is None
            else higher_flow(bore, inlet, amount, length, "propane")
        )
        half = half_of_the_last_figure(printed / 1000)
        assert 2.460 * by - half <= printed / 1000 <= 2.487 * by + half, (size, length, printed)


def test_tubing_for_propane_is_tubing_for_natural_gas_times_one_constant() -> None:
    """1.58 in every cell that both tables have, but for EHD 37 at low pressure, which falls faster as printed."""
    for drop, most in (("0.5 in w.c.", 0.035), ("1 psi", 0.02)):
        natural, propane = _table("tube_flow").rows[drop], _table("propane_tube").rows[drop]
        for length in (one for one in propane if one in natural):
            for size, capacity in column("tube_flow", drop, length).items():
                if size == 37 and drop.endswith("w.c."):
                    continue
                other = column("propane_tube", drop, length)[size] / 1000
                assert abs(float(other / capacity) - 1.58) <= most * 1.58 + 0.6 / float(capacity), (drop, length, size)


def test_tubing_at_three_inches_repeats_the_rows_of_half_an_inch() -> None:
    """3 in w.c. over 30 and 60 ft is the same drop a foot as 0.5 in w.c. over 5 and 10 ft; EHD 39 is printed 7 lower."""
    for long, short in (("30 ft", "5 ft"), ("60 ft", "10 ft")):
        three, half = column("tube_flow", "3 in w.c.", long), column("tube_flow", "0.5 in w.c.", short)
        assert {size: value for size, value in three.items() if size != 39} == {
            size: value for size, value in half.items() if size != 39
        }
        assert abs(three[39] - half[39]) <= 8


def test_every_table_falls_with_the_length_and_rises_with_the_size() -> None:
    for name in ("pipe_flow", "propane_pipe", "tube_flow", "propane_tube"):
        rows = _table(name).rows
        parts = (
            [(kind, drop) for kind in rows for drop in rows[kind]]
            if name.startswith(("pipe", "propane_p"))
            else [(drop,) for drop in rows]
        )
        for part in parts:
            data = rows
            for key in part:
                data = data[key]
            before: dict[Any, Fraction] = {}
            for length in data:
                row = column(name, *part, length)
                values = [row[size] for size in sorted(row)]
                assert values == sorted(values), (name, part, length)
                assert all(value <= before.get(size, value) for size, value in row.items()), (name, part, length)
                before = row


LEGACY = {  # an oil burner maker's manual and two appliance manuals, natural gas, 0.3 in w.c., before 2002
    10: (278, 520, 1050, 1600), 20: (190, 350, 730, 1100), 50: (115, 215, 440, 670), 100: (79, 150, 305, 460),
}  # fmt: skip


def test_the_older_table_of_manuals_lies_within_two_percent_of_the_present_one() -> None:
    for length, published in LEGACY.items():
        row = column("pipe_flow", "steel", "0.3 in w.c.", f"{length} ft")
        for size, flow in zip(("3/4", "1", "1-1/4", "1-1/2"), published, strict=True):
            assert float(row[_size(size)]) == pytest.approx(flow, rel=0.02)


@pytest.mark.parametrize("book", ["nfpa54 2021", "upc 2021"])
def test_the_code_families_size_by_the_same_figures(book: str) -> None:
    """The fuel gas code takes its tables and equations from NFPA 54, the plumbing code family too (common knowledge)."""
    other = RuleSet(Library().folded(book))
    list(other.rules())
    for name in ("pipe_flow", "tube_flow", "propane_pipe", "propane_tube", "gravity_factor", "fitting_length"):
        table = other.table(f"{book.split()[0]}.{name}")
        assert table is not None
        assert _values(table.rows) == _values(_table(name).rows)
    found = {sheet.system.id: sheet for sheet in gas_rows(view_of(ANNEX_1 + WHOLE), other)}
    assert needed(found["house"], "longest") == needed(sheets(ANNEX_1 + WHOLE)["house"], "longest")
    assert found["house"].section.startswith(book.upper())


def _values(rows: Any) -> Any:
    return {row: _values(inner) for row, inner in rows.items()} if isinstance(rows, dict) else rows.value


# the product's equations against the same written out here, and against a fluid mechanics library


def exact(text: str, dimension: str) -> Any:
    return read(text, dimension).exact


def drop_of(flow: float, bore: float, length: float) -> float:
    """The drop (in w.c.) that the product gives for natural gas."""
    worked = low_pressure_drop(
        exact(f"{flow} cfh", "flow"), 1 / Fraction(exact(f"{bore} in", "length")), exact(f"{length} ft", "length"),
        Fraction("0.6094"), 1 / Fraction("19.17"), Fraction("0.381"), 1 / Fraction("0.206"),
    )  # fmt: skip
    return float(worked.value / exact("1 in w.c.", "pressure"))


@pytest.mark.parametrize("size", STEEL)
@pytest.mark.parametrize(("drop", "length"), [("0.3", 10), ("0.5", 60), ("3", 200)])
def test_low_pressure_equation(size: str, drop: str, length: int) -> None:
    bore = exact(f"{STEEL[size]} in", "length")
    slope = Fraction(exact(f"{drop} in w.c.", "pressure")) / exact(f"{length} ft", "length")
    flow = low_pressure_flow(
        bore, slope, 1 / Fraction("0.6094"), Fraction("19.17"), Fraction("0.381"), Fraction("0.206")
    )
    cfh = float(flow.value / exact("1 cfh", "flow"))
    assert cfh == pytest.approx(low_flow(STEEL[size], float(drop), length), rel=1e-6)
    assert drop_of(round(cfh, 6), STEEL[size], length) == pytest.approx(float(drop), rel=1e-5)
    assert low_drop(cfh, STEEL[size], length) == pytest.approx(float(drop), rel=1e-5)


@pytest.mark.parametrize("size", STEEL)
@pytest.mark.parametrize(("inlet", "drop", "length"), [(2.0, 1.0, 50), (3.0, 2.0, 90), (5.0, 3.5, 10)])
def test_higher_pressure_equation(size: str, inlet: float, drop: float, length: int) -> None:
    first, last = (Fraction(exact(f"{inlet - less + 14.7} psi", "pressure")) for less in (0, drop))
    flow = higher_pressure_flow(
        exact(f"{STEEL[size]} in", "length"), first * first - last * last, 1 / Fraction(exact(f"{length} ft", "length")),
        Fraction("0.9992") / Fraction("0.6094"), Fraction("18.93"), Fraction("0.381"), Fraction("0.206"),
    )  # fmt: skip
    assert float(flow.value / exact("1 cfh", "flow")) == pytest.approx(
        higher_flow(STEEL[size], inlet, drop, length), rel=1e-5
    )


INCH_M, FOOT_M, WATER_PA, PSI_PA = 0.0254, 0.3048, 248.84, 6894.757
DENSITY, VISCOSITY = 0.60 * 1.2226, 1.08e-5
"""Natural gas of 0.60 at 60 F and one atmosphere, kg/m3 and Pa s (common practice)."""


@pytest.mark.parametrize("size", ["1/2", "3/4", "1", "1-1/4", "1-1/2", "2"])
@pytest.mark.parametrize("length", [10, 60, 200])
def test_the_low_pressure_equation_lies_near_darcy_and_colebrook(size: str, length: int) -> None:
    """Second opinion. The code's equation is a power law with one exponent for all sizes and flows; the Darcy-Weisbach
    drop with Colebrook's friction factor bends with the Reynolds number (1,500 to 52,000 here) and with the roughness.
    For commercial steel pipe (0.046 mm) the two lie within 14 percent: the code asks for a little more in 2 in pipe and
    less near the laminar limit, where friction laws are least sure. For a perfectly smooth pipe the code lies above.
    """
    fluids = pytest.importorskip("fluids")
    flow = low_flow(STEEL[size], 0.5, length)
    bore = STEEL[size] * INCH_M
    speed = flow * FOOT_M**3 / 3600 / (math.pi * bore**2 / 4)
    reynolds = DENSITY * speed * bore / VISCOSITY

    def share(roughness: float) -> float:
        factor = fluids.friction_factor(Re=reynolds, eD=roughness / bore)
        return float(factor * length * FOOT_M / bore * DENSITY * speed**2 / 2 / (0.5 * WATER_PA))

    assert 0.86 <= share(4.6e-5) <= 1.14
    assert 0.75 <= share(0.0) <= share(4.6e-5)


@pytest.mark.parametrize("size", ["1/2", "3/4", "1", "2"])
@pytest.mark.parametrize(("inlet", "drop"), [(2.0, 1.0), (3.0, 2.0), (5.0, 3.5)])
def test_the_higher_pressure_equation_lies_near_isothermal_flow(size: str, inlet: float, drop: float) -> None:
    """Second opinion: isothermal flow of a compressible gas in commercial steel pipe, 50 ft, within 8 percent in flow."""
    fluids = pytest.importorskip("fluids")
    flow = higher_flow(STEEL[size], inlet, drop, 50)
    bore, mass = STEEL[size] * INCH_M, flow * FOOT_M**3 / 3600 * DENSITY
    factor = fluids.friction_factor(Re=4 * mass / (math.pi * bore * VISCOSITY), eD=4.6e-5 / bore)
    first, last = inlet + 14.7, inlet + 14.7 - drop
    other = fluids.isothermal_gas(
        rho=DENSITY * (first + last) / 2 / 14.696, fd=factor, P1=first * PSI_PA, P2=last * PSI_PA, L=50 * FOOT_M, D=bore
    )
    assert other / mass == pytest.approx(1, abs=0.08)


def test_the_older_low_pressure_formula_gives_less_in_small_pipe() -> None:
    """Spitzglass's formula, which older handbooks use, is known to be harsh on small pipe: two thirds to all of the flow."""
    fluids = pytest.importorskip("fluids")
    for size, least, most in (("1/2", 0.65, 0.80), ("1", 0.78, 0.92), ("2", 0.90, 1.06)):
        for length in (10, 60, 200):
            bore = STEEL[size] * INCH_M
            other = fluids.Spitzglass_low(
                SG=0.6, Tavg=288.7, L=length * FOOT_M, D=bore, P1=101325 + 0.5 * WATER_PA, P2=101325
            )
            assert least <= other * 3600 / FOOT_M**3 / low_flow(STEEL[size], 0.5, length) <= most


MAKER_1_0 = {  # an appliance maker's table at 1.0 in w.c., Schedule 40, 0.60: an extension of the code's own
    10: (250, 524, 986, 2030, 3030, 5840), 40: (118, 247, 466, 957, 1430, 2760), 80: (81, 170, 320, 657, 985, 1900),
    125: (64, 134, 252, 516, 774, 1490), 200: (50, 104, 195, 400, 600, 1160),
}  # fmt: skip


def test_a_makers_table_at_one_inch_follows_the_equation() -> None:
    """Not shipped, as no code prints it; a system sized for 1 in w.c. takes the 0.5 in table, or the equation."""
    for length, published in MAKER_1_0.items():
        for size, flow in zip(("1/2", "3/4", "1", "1-1/4", "1-1/2", "2"), published, strict=True):
            by_equation = low_flow(STEEL[size], 1.0, length)
            assert 0.985 * by_equation <= flow <= by_equation + half_of_the_last_figure(Fraction(flow)), (size, length)


BRAND_0_5 = {  # one listed brand at 0.5 in w.c.: EHD 18, 25, 31 in thousands of Btu/h, from its installation guide
    10: (71, 200, 425), 20: (51, 141, 288), 30: (42, 116, 230), 50: (33, 89, 172), 100: (24, 63, 117),
}  # fmt: skip


def test_a_brand_of_tubing_is_not_the_table_by_diameter() -> None:
    """Up to 15 percent to either side, so that the maker's own figure is asked of every corrugated tube."""
    least, most = 1.0, 1.0
    for length, published in BRAND_0_5.items():
        row = column("tube_flow", "0.5 in w.c.", f"{length} ft")
        shares = [flow / float(row[size]) for size, flow in zip((18, 25, 31), published, strict=True)]
        least, most = min(least, *shares), max(most, *shares)
    assert 0.84 <= least < 0.96
    assert 1.02 < most <= 1.16


E29 = """
described: {fuel gas: yes}
gas systems:
  house: {gas: natural gas, pressure drop: 0.5 in w.c., specific gravity: 0.60, heating value: "1,000 Btu/ft3", fittings: FITTINGS,
    sized by: code tables}
gas meters: {M: {of: house}}
gas pipes:
  S: {from: M, to: A, material: steel, size: 3/4 in, length: 52 ft, elbows: 3, tees: 1}
appliances: {A: {fuel: natural gas, input: "130,000 Btu/h"}}
"""


def test_fittings_as_length_where_the_office_asks_for_it() -> None:
    """Annex table A.2.2: 3 elbows of 2.06 ft and a tee of 4.12 ft make 62.3 ft of 52: the 70 ft row, 126 in place of 137 cfh."""
    in_the_tables = sheets(E29.replace("FITTINGS", "in the tables") + WHOLE)["house"].lines[0].longest
    as_length = sheets(E29.replace("FITTINGS", "as length") + WHOLE)["house"].lines[0].longest
    assert (in_the_tables.length, in_the_tables.carries) == (exact("52 ft", "length"), 137_000)
    assert float(as_length.length / exact("1 ft", "length")) == pytest.approx(52 + 3 * 2.06 + 4.12)
    assert as_length.carries == 126_000


def test_a_gas_of_less_heat_or_more_weight_carries_less() -> None:
    """1,000 to 950 Btu/ft3 is 0.95 of the heat; 0.65 gravity is 0.96 of the flow (annex table A.2.4): 137 x 0.96 x 950."""
    text = E29.replace("FITTINGS", "in the tables")
    lean = text.replace("1,000 Btu/ft3", "950 Btu/ft3").replace("gravity: 0.60", "gravity: 0.65")
    assert sheets(lean + WHOLE)["house"].lines[0].longest.carries == Fraction("137") * Fraction("0.96") * 950
