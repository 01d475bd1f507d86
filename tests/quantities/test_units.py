"""Factors against the outside: a printed table and a units library.

NIST SP 811 (2008), appendix B.8, prints seven digits; the figures of water columns, Btu, flow, torque and
surface load were read in copies of that table that agree with one another, the rest are from memory. pint is
the second opinion to the last digit: its registry is asked for exact fractions, so no tolerance is needed.
"""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest

from oktocover.quantities import Number, read
from oktocover.quantities.units import BY_DIMENSION

# The SI value of one canonical unit of each dimension.
SI = {
    "length": Fraction(1, 10**9),
    "area": Fraction(1, 10**18),
    "volume": Fraction(1, 10**27),
    "pressure": Fraction(1),
    "heat": Fraction("1055.05585262") / 3600,
    "heat rate": Fraction("1055.05585262") / 3600,
    "heating value": Fraction("1055.05585262") / 3600 * 10**27,
    "flow": Fraction(1, 10**27),
    "speed": Fraction(1, 10**9),
    "mass": Fraction(1, 1000),
    "force": Fraction(1),
    "torque": Fraction(1, 10**9),
    "surface load": Fraction(10**18),
    "power": Fraction(1),
}

NIST_SP_811_B8 = [
    ("1 mil", "length", "2.54E-05"),
    ("1 in", "length", "2.54E-02"),
    ("1 ft", "length", "3.048E-01"),
    ("1 yd", "length", "9.144E-01"),
    ("1 in2", "area", "6.4516E-04"),
    ("1 ft2", "area", "9.290304E-02"),
    ("1 in3", "volume", "1.638706E-05"),
    ("1 ft3", "volume", "2.831685E-02"),
    ("1 yd3", "volume", "7.645549E-01"),
    ("1 gal", "volume", "3.785412E-03"),
    ("1 psi", "pressure", "6.894757E+03"),
    ("1 in w.c.", "pressure", "2.490889E+02"),
    ("1 ft w.c.", "pressure", "2.989067E+03"),
    ("1 in Hg", "pressure", "3.386389E+03"),
    ("1 mbar", "pressure", "1.0E+02"),
    ("1 Btu", "heat", "1.055056E+03"),
    ("1 kWh", "heat", "3.6E+06"),
    ("1 Btu/h", "heat rate", "2.930711E-01"),
    ("1 Btu/ft3", "heating value", "3.725895E+04"),
    ("1 cfm", "flow", "4.719474E-04"),
    ("1 gpm", "flow", "6.309020E-05"),
    ("1 fpm", "speed", "5.08E-03"),
    ("1 mph", "speed", "4.4704E-01"),
    ("1 lb", "mass", "4.535924E-01"),
    ("1 oz", "mass", "2.834952E-02"),
    ("1 lbf", "force", "4.448222E+00"),
    ("1 lb-in", "torque", "1.129848E-01"),
    ("1 lb-ft", "torque", "1.355818E+00"),
    ("1 psf", "surface load", "4.788026E+01"),
    ("1 hp", "power", "7.46E+02"),
]


@pytest.mark.parametrize(("text", "dim", "printed"), NIST_SP_811_B8)
def test_factor_agrees_with_every_printed_digit(text: str, dim: str, printed: str) -> None:
    value = read(text, dim).exact
    assert value is not None
    digits = len(printed.partition("E")[0].replace(".", ""))
    rounded = f"{float(value * SI[dim]):.{max(6, digits - 1)}E}"
    assert Fraction(rounded) == Fraction(printed)


PINT = {
    "length": {"ft": "foot", "in": "inch", "yd": "yard", "mil": "thou", "mm": "mm", "cm": "cm", "m": "m"},
    "area": {"ft2": "foot**2", "in2": "inch**2", "m2": "m**2", "mm2": "mm**2", "cm2": "cm**2"},
    "volume": {
        "ft3": "foot**3",
        "in3": "inch**3",
        "m3": "m**3",
        "yd3": "yard**3",
        "gal": "gallon",
        "L": "liter",
        "mL": "milliliter",
    },
    "time": {"min": "minute", "s": "second", "h": "hour", "d": "day"},
    "pressure": {
        "psi": "psi",
        "in w.c.": "foot_H2O/12",
        "ft w.c.": "foot_H2O",
        "in Hg": "inch_Hg",
        "oz": "force_ounce/inch**2",
        "kPa": "kPa",
        "Pa": "Pa",
        "bar": "bar",
        "mbar": "millibar",
    },
    "heat": {"Btu": "Btu_it", "therm": "1e5*Btu_it", "kWh": "kWh", "MJ": "MJ"},
    "heat rate": {"Btu/h": "Btu_it/hour", "MBH": "1000*Btu_it/hour", "kW": "kW", "W": "W"},
    "heating value": {"Btu/ft3": "Btu_it/foot**3", "MJ/m3": "MJ/m**3"},
    "flow": {
        "cfm": "foot**3/minute",
        "scfm": "foot**3/minute",
        "cfh": "foot**3/hour",
        "gpm": "gallon/minute",
        "gph": "gallon/hour",
        "L/s": "liter/second",
        "L/min": "liter/minute",
        "m3/h": "m**3/hour",
    },
    "speed": {"fpm": "foot/minute", "ft/s": "foot/second", "m/s": "m/s", "mph": "mile/hour"},
    "voltage": {"V": "volt", "kV": "kilovolt"},
    "current": {"A": "ampere", "mA": "milliampere"},
    "power": {
        "W": "W",
        "kW": "kW",
        "VA": "volt*ampere",
        "kVA": "kilovolt*ampere",
        "hp": "electrical_horsepower",
    },
    "resistance": {"ohm": "ohm", "kohm": "kiloohm"},
    "mass": {"lb": "pound", "oz": "ounce", "kg": "kg", "g": "g", "ton": "short_ton"},
    "force": {"lbf": "force_pound", "N": "newton", "kN": "kilonewton"},
    "torque": {"lb-in": "force_pound*inch", "lb-ft": "force_pound*foot", "N-m": "newton*m"},
    "surface load": {"psf": "force_pound/foot**2", "kN/m2": "kilonewton/m**2"},
    "frequency": {"Hz": "1/second"},
}
# Not asked of pint: ratios and notations of the trade, and temperature (tested by its fixed points).
NO_SECOND_OPINION = {
    "absolute pressure",
    "air changes",
    "air changes at 50 Pa",
    "angle",
    "calendar time",
    "money",
    "share",
    "temperature",
    "temperature difference",
}


Registry = pint.UnitRegistry[Fraction]


@pytest.fixture(scope="module")
def registry() -> Registry:
    return pint.UnitRegistry(non_int_type=Fraction, cache_folder=None)


@pytest.mark.parametrize("dim", sorted(PINT))
def test_every_unit_has_the_factor_of_a_units_library(dim: str, registry: Registry) -> None:
    table = {unit.symbol: unit.factor for unit in BY_DIMENSION[dim].values()}
    assert set(table) == set(PINT[dim])
    first = next(iter(PINT[dim]))
    for symbol, theirs in PINT[dim].items():
        ratio = (
            registry.parse_expression(theirs) / registry.parse_expression(PINT[dim][first])
        ).to_base_units()
        assert ratio.dimensionless
        ours = Fraction(table[symbol]) / Fraction(table[first])
        assert ours == Fraction(ratio.magnitude), symbol


def test_no_dimension_is_left_without_a_second_opinion() -> None:
    assert set(PINT) | NO_SECOND_OPINION == set(BY_DIMENSION)


# Ice and steam point, and the temperature at which the two scales meet (common knowledge).
@pytest.mark.parametrize(
    ("one", "other"),
    [("32 °F", "0 °C"), ("212 °F", "100 °C"), ("-40 °F", "-40 °C"), ("0 °C", "273.15 K"), ("68 °F", "20 °C")],
)
def test_temperatures_meet_at_the_fixed_points(one: str, other: str) -> None:
    assert read(one, "temperature").exact == read(other, "temperature").exact


def test_a_temperature_difference_has_no_offset() -> None:
    assert read("9 °F", "temperature difference").exact == read("5 °C", "temperature difference").exact == 5


@pytest.mark.parametrize(
    ("one", "other", "dim"),
    [
        ("72 in", "6 ft", "length"),
        ("1.8288 m", "6 ft", "length"),
        ("144 in2", "1 ft2", "area"),
        ("1728 in3", "1 ft3", "volume"),
        ("16 oz", "1 psi", "pressure"),
        ("12 in w.c.", "1 ft w.c.", "pressure"),
        ("60 cfh", "1 cfm", "flow"),
        ("40 MBH", "40,000 Btu/h", "heat rate"),
        ("1 kVA", "1,000 W", "power"),
        ("90 min", "1 h 30 min", "time"),
        ("1 d", "24 h", "time"),
        ("16 oz", "1 lb", "mass"),
        ("12 lb-in", "1 lb-ft", "torque"),
        ("50 ft3 per 1,000 Btu/h", "0.05 ft3 per Btu/h", "volume per heat rate"),
        ("1/4 in per ft", "1:48", "share"),
        ("40 %", "0.40", "share"),
    ],
)
def test_equal_by_definition_is_equal_exactly(one: str, other: str, dim: str) -> None:
    left, right = read(one, dim).exact, read(other, dim).exact
    assert left is not None
    assert left == right


def test_what_a_tape_reads_is_a_whole_number() -> None:
    values: list[Number | None] = [
        read(text, "length").exact for text in ("1/64 in", "1/32 in", "1 mm", "1 mil")
    ]
    assert values == [396_875, 793_750, 1_000_000, 25_400]
