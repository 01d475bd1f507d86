"""Units of the trade with their exact factors to the canonical unit of each dimension.

Canonical units are chosen so that what a tape or a clock reads is a whole number: nanometre (1/64 in is
396,875 nm), second, pascal, volt, ampere, kelvin, gram, newton, and a heat unit of 1/3600 Btu, so that Btu/h
is 1.

Exact definitions are those of NIST Special Publication 811 (2008), appendix B: inch 25.4 mm, avoirdupois
pound 453.59237 g, standard gravity 9.80665 m/s2, Btu (International Table) 1055.05585262 J, US gallon 231
in3. Columns of liquid are the conventional ones of B.8: water of 1000 kg/m3, mercury of 13,595.1 kg/m3.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from .dimensions import NAMES, Dimension, Number, number

INCH = 25_400_000
FOOT = 12 * INCH
METRE = 10**9
_GRAVITY = Fraction("9.80665")
_POUND = Fraction("453.59237")
_POUND_FORCE = _POUND / 1000 * _GRAVITY
_PSI = _POUND_FORCE / Fraction("0.0254") ** 2
_WATER = 1000 * _GRAVITY * Fraction("0.0254")
_MERCURY = Fraction("13595.1") * _GRAVITY * Fraction("0.0254")
_BTU = 3600
_JOULE = _BTU / Fraction("1055.05585262")
_GALLON = 231 * INCH**3
_LITRE = 10**24


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: the symbol it is shown by, its dimension, and canonical = value * factor + offset."""

    symbol: str
    dimension: Dimension
    factor: Number
    offset: Number = 0


def _column(lengths: str, also: str = "") -> str:
    """Return the spellings of a height of water: every word for the length with every word for the water."""
    waters = "w c|wc|w g|wg|water|of water|h2o|of h2o|water column|of water column"
    words = (waters + "|" + also).strip("|").split("|")
    close = ("w c", "wc", "h2o", "wg")
    apart = [f"{length} {word}" for length in lengths.split("|") for word in words]
    return "|".join(apart + [f"{length}{word}" for length in lengths.split("|") for word in close])


# One line a unit: symbol, factor, spellings after spelled(); the symbol itself is always a spelling. The
# first unit of a dimension is the one it is shown in when nothing else is known.
_Row = tuple[str, Number, str]
_TABLE: dict[str, tuple[_Row, ...]] = {
    "length": (
        ("ft", FOOT, "'|foot|feet"),
        ("in", INCH, '"|inch|inches'),
        ("yd", 3 * FOOT, "yard|yards"),
        ("mil", Fraction(INCH, 1000), "mils|thou"),
        ("mm", 10**6, "millimeter|millimeters|millimetre|millimetres"),
        ("cm", 10**7, "centimeter|centimeters|centimetre|centimetres"),
        ("m", METRE, "meter|meters|metre|metres"),
    ),
    "area": (
        ("ft2", FOOT**2, "sq ft|sqft|sf|square foot|square feet|sq foot|sq feet"),
        ("in2", INCH**2, 'sq in|sqin|square inch|square inches|sq inch|sq inches|sq "'),
        ("m2", METRE**2, "sq m|square meter|square meters|square metre|square metres"),
        ("mm2", 10**12, "sq mm"),
        ("cm2", 10**14, "sq cm"),
    ),
    "volume": (
        ("ft3", FOOT**3, "cu ft|cuft|cf|cubic foot|cubic feet"),
        ("in3", INCH**3, 'cu in|cuin|cubic inch|cubic inches|cu inch|cu inches|cu "'),
        ("m3", METRE**3, "cu m|cubic meter|cubic meters|cubic metre|cubic metres"),
        ("yd3", 27 * FOOT**3, "cu yd|cubic yard|cubic yards"),
        ("gal", _GALLON, "gallon|gallons"),
        ("L", _LITRE, "l|liter|liters|litre|litres"),
        ("mL", _LITRE // 1000, "ml|cc|cm3"),
    ),
    "time": (
        ("min", 60, "minute|minutes|mins"),
        ("s", 1, "sec|secs|second|seconds"),
        ("h", 3600, "hr|hrs|hour|hours"),
        ("d", 86400, "day|days"),
    ),
    "pressure": (
        ("psi", _PSI, "psig|lbf/in2|lb/in2|lb/sq in|pound/square inch|pounds/square inch"),
        ("in w.c.", _WATER, _column('in|inch|inches|"')),
        ("ft w.c.", 12 * _WATER, _column("ft|feet|foot|'", "head|of head")),
        ("in Hg", _MERCURY, 'inhg|" hg|"hg|inches of mercury|inches hg|in of mercury|inches mercury'),
        ("oz", _PSI / 16, "ozs|ounce|ounces|oz/in2|oz/sq in|ounces/square inch|ounce/square inch|osi"),
        ("kPa", 1000, "kilopascal|kilopascals"),
        ("Pa", 1, "pascal|pascals"),
        ("bar", 10**5, "bars"),
        ("mbar", 100, "millibar|millibars"),
    ),
    "absolute pressure": (("psia", _PSI, "psi abs|psi absolute"), ("kPa abs", 1000, "kpa absolute|kpaa")),
    "heat": (
        ("Btu", _BTU, "btus"),
        ("therm", 100_000 * _BTU, "therms"),
        ("kWh", 3_600_000 * _JOULE, "kwhr"),
        ("MJ", 10**6 * _JOULE, ""),
    ),
    "heat rate": (
        ("Btu/h", 1, "btu/hr|btuh|btu/hour|btus/hour|btu per h|btu h"),
        ("MBH", 1000, "mbtu/h|mbtuh|kbtu/h|kbtuh|mbtu/hr|kbtu/hr"),
        ("kW", 1000 * _JOULE, "kilowatt|kilowatts"),
        ("W", _JOULE, "watt|watts"),
    ),
    "heating value": (
        ("Btu/ft3", Fraction(_BTU, FOOT**3), "btu/cu ft|btu/cubic foot|btu/cf"),
        ("MJ/m3", 10**6 * _JOULE / METRE**3, "mj/cu m"),
    ),
    "flow": (
        ("cfm", Fraction(FOOT**3, 60), "ft3/min|cu ft/min|cf/min|cubic feet/minute|cubic foot/minute"),
        ("cfh", Fraction(FOOT**3, 3600), "ft3/h|ft3/hr|cu ft/h|cu ft/hr|cf/h|cubic feet/hour|ft3/hour|scfh"),
        ("gpm", Fraction(_GALLON, 60), "gal/min|gallons/minute"),
        ("gph", Fraction(_GALLON, 3600), "gal/h|gal/hr|gallons/hour"),
        ("L/s", _LITRE, "l/sec"),
        ("L/min", Fraction(_LITRE, 60), "lpm"),
        ("m3/h", Fraction(METRE**3, 3600), "m3/hr|cu m/h|cmh"),
        ("scfm", Fraction(FOOT**3, 60), ""),
    ),
    "speed": (
        ("fpm", Fraction(FOOT, 60), "ft/min|feet/minute"),
        ("ft/s", FOOT, "ft/sec|fps|feet/second"),
        ("m/s", METRE, "m/sec"),
        ("mph", Fraction(5280 * FOOT, 3600), "miles/hour|mi/h"),
    ),
    "voltage": (("V", 1, "volt|volts|vac|vdc"), ("kV", 1000, "kilovolt|kilovolts")),
    "current": (("A", 1, "amp|amps|ampere|amperes"), ("mA", Fraction(1, 1000), "milliamp|milliamps")),
    "power": (
        ("W", 1, "watt|watts"),
        ("kW", 1000, "kilowatt|kilowatts"),
        ("VA", 1, "volt-amperes|volt-amps|volt amperes"),
        ("kVA", 1000, ""),
        ("hp", 746, "horsepower"),
    ),
    "resistance": (("ohm", 1, "ohms"), ("kohm", 1000, "kohms")),
    "temperature difference": (
        ("°F", Fraction(5, 9), "f|deg f|°f|° f|degf|degrees f|f deg|degrees fahrenheit"),
        ("°C", 1, "c|deg c|°c|° c|degc|degrees c|degrees celsius"),
        ("K", 1, "k|kelvin|kelvins"),
    ),
    "mass": (
        ("lb", _POUND, "lbs|pound|pounds|lbm"),
        ("oz", _POUND / 16, "ounce|ounces"),
        ("kg", 1000, "kilogram|kilograms"),
        ("g", 1, "gram|grams"),
        ("ton", 2000 * _POUND, "tons"),
    ),
    "force": (("lbf", _POUND_FORCE, "pounds force|lb force"), ("N", 1, "newton|newtons"), ("kN", 1000, "")),
    "torque": (
        (
            "lb-in",
            _POUND_FORCE * INCH,
            "in-lb|in-lbs|lb-in|lbf-in|inch-pounds|inch pounds|in lb|lb in|lbs-in|in-lbf",
        ),
        ("lb-ft", _POUND_FORCE * FOOT, "ft-lb|ft-lbs|lbf-ft|foot-pounds|foot pounds|ft lb|lb ft|ft-lbf"),
        ("N-m", METRE, "nm|n m|newton meters|newton metres"),
    ),
    "surface load": (
        ("psf", _POUND_FORCE / FOOT**2, "lb/ft2|lbf/ft2|lb/sq ft|pounds/square foot"),
        ("kN/m2", Fraction(1000, METRE**2), ""),
    ),
    "frequency": (("Hz", 1, "hertz|cps"),),
    "angle": (("deg", 1, "°|degree|degrees|degs"),),
    "air changes": (("ACH", 1, "air changes/hour|air changes/h|air change/hour"),),
    "air changes at 50 Pa": (("ACH50", 1, "ach 50|ach @ 50 pa|ach at 50 pa|ach@50|ach @ 50|ach at 50"),),
    # a cent is the least there is
    # months and years of the calendar are no number of days: a day of a month and the same day of another
    "calendar time": (("months", 1, "month"), ("years", 12, "year|yr|yrs")),
    "money": (("USD", 100, "usd|dollar|dollars|us dollars"),),
    "share": (("%", Fraction(1, 100), "percent|pct|per cent"),),
}

_TEMPERATURE = (
    ("°F", Fraction(5, 9), Fraction(45967, 100) * Fraction(5, 9)),
    ("°C", 1, Fraction(27315, 100)),
    ("K", 1, 0),
)

# A spelling that belongs to more than one dimension means the first of these that has it, when nothing else
# decides: ounces are gas pressure, watts are electrical, a degree Fahrenheit is a temperature.
_PREFERENCE = ("length", "pressure", "power", "temperature")


def spelled(unit: str) -> str:
    """Return the key a unit is looked up by: small letters, single spaces, no stops, ``per`` as a slash."""
    key = " ".join(unit.lower().replace(".", " ").replace("^", "").replace("**", "").replace("-/", "/").split())
    if " per " in key:
        key = key.replace(" per ", "/")
    return key.replace(" / ", "/").replace("/ ", "/").replace(" /", "/")


def _build() -> dict[str, dict[str, Unit]]:
    tables: dict[str, dict[str, Unit]] = {}
    for name, rows in _TABLE.items():
        table = tables[name] = {}
        for symbol, factor, spellings in rows:
            unit = Unit(symbol, NAMES[name], number(factor))
            for key in (symbol, spelled(symbol), *filter(None, spellings.split("|"))):
                table.setdefault(key, unit)
    affine = tables["temperature"] = {}
    for symbol, factor, offset in _TEMPERATURE:
        unit = Unit(symbol, NAMES["temperature"], number(factor), number(offset))
        for key, plain in tables["temperature difference"].items():
            if plain.symbol == symbol:
                affine[key] = unit
    return tables


def _build_any() -> dict[str, tuple[Unit, ...]]:
    found: dict[str, tuple[Unit, ...]] = {}
    for name in (*_PREFERENCE, *(name for name in BY_DIMENSION if name not in _PREFERENCE)):
        for key, unit in BY_DIMENSION[name].items():
            found[key] = (*found.get(key, ()), unit)
    return found


BY_DIMENSION: dict[str, dict[str, Unit]] = _build()
"""For each dimension its units by spelling (exact symbol, or the result of ``spelled``)."""

BY_SPELLING: dict[str, tuple[Unit, ...]] = _build_any()
"""For each spelling all units it can mean, the likeliest first."""


def unit_of(spelling: str, table: dict[str, Unit]) -> Unit | None:
    """Return the unit of ``table`` written ``spelling``, or None."""
    return table.get(spelling) or table.get(spelled(spelling))


def units_of(spelling: str) -> tuple[Unit, ...]:
    """Return every unit written ``spelling``, the likeliest first."""
    return BY_SPELLING.get(spelling) or BY_SPELLING.get(spelled(spelling), ())
