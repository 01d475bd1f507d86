"""Worksheets of the wiring: box fill, ampacity and a breaker, each line to be followed with a pencil."""

from __future__ import annotations

from pathlib import Path
from typing import Any

STUDIO = Path(__file__).resolve().parents[1] / "properties" / "kiln_studio.yaml"


def sheet(run: Any, what: str) -> str:
    ran = run("worksheet", str(STUDIO), what)
    assert ran.code == 0, ran.err
    return " ".join(ran.out.split())


def test_the_fill_of_a_box_is_told_line_by_line(run: Any) -> None:
    told = sheet(run, "B-2")
    assert "conductor volume: 12 AWG Table 314.16(B) 2.25 in3" in told
    assert "allowances x conductor volume = = 9 in3 space needed 4 x 2.25 in3" in told
    assert "= 4.5 in3 needed 2 x 2.25 in3" in told
    assert "9 in3 + 2.25 in3 + 4.5 in3 + = 18 in3 2.25 in3" in told
    assert "measured 20.3 in3, needed at least 18 in3, 2.3 in3 to spare: meets, as written" in told


def test_the_ampacity_of_a_circuit_is_told_with_table_row_and_column(run: Any) -> None:
    told = sheet(run, "E-07")
    assert "conductor ampacity: copper, 4 Table 310.16 70 A AWG, 60 C" in told
    assert "standard rating: 70 A 240.6(A) 70 A" in told
    assert "measured 60 A, needed at most 70 A, 10 A to spare: meets, as written" in told


def test_a_continuous_load_is_told_with_its_125_percent(run: Any) -> None:
    told = sheet(run, "X-1")
    assert "60 A" in told
    assert "measured 70 A, needed at least 60 A, 10 A to spare: meets, as written" in told


def test_cables_in_an_unmarked_metal_box_name_the_table_of_its_volume(run: Any) -> None:
    assert "volume of a box 4-11/16 x Table 314.16(A) 42 in3" in sheet(run, "B-9")


def test_the_circuits_of_a_panel_stand_on_one_sheet(run: Any) -> None:
    told = sheet(run, "P-1")
    assert "WORKSHEET: circuit schedule, P-1" in told
    assert "E-07 60 A 240 V ? 4-3 NM-B 70 A 70 A 11,520 VA 1" in told
    assert "one appliance; studio; X-2 welder" in told


def test_the_voltage_lost_on_the_way_is_told_with_length_and_resistance(run: Any) -> None:
    """4 AWG of copper has 0.308 ohm on 1,000 ft: 2 x length x 0.308 x 48 A, against 3 percent of 240 V."""
    told = sheet(run, "nec.equipment-drop")
    assert "conductor resistance: copper, Chapter 9 Table 8 0.308 ohm per 4 AWG 1,000 ft" in told
    assert "2 x 18 ft 5 in x 0.308 ohm per = 0.5445 V back 1,000 ft x 48 A" in told
    assert "branch share x volts = 3 % x 240 = 7.2 V" in told
