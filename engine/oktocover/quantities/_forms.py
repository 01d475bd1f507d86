"""How each dimension is said in a sentence, and ways to write one, for messages."""

from __future__ import annotations

from .dimensions import Dimension

FORMS: dict[str, tuple[str, ...]] = {
    "length": ("14 ft", "12' 6-1/2\"", "3.6 m"),
    "area": ("40 in2", "306 sq ft", "1.5 m2"),
    "volume": ("20.3 cu in", "50 ft3", "2 m3"),
    "time": ("10 min", "9 min 59 s", "24 h"),
    "pressure": ("3 psi", "7 in w.c.", "4 oz", "20 kPa"),
    "absolute pressure": ("14.7 psia",),
    "heat": ("1,000 Btu", "1 therm"),
    "heat rate": ("40,000 Btu/h", "40 MBH", "12 kW"),
    "heating value": ("1,000 Btu/ft3", "37 MJ/m3"),
    "flow": ("100 cfm", "40 cfh", "1.5 gpm", "20 L/s"),
    "speed": ("700 fpm", "3 m/s"),
    "voltage": ("120 V", "480 V"),
    "current": ("20 A", "500 mA"),
    "power": ("1,500 W", "12 kW", "180 VA"),
    "resistance": ("25 ohm",),
    "temperature": ("120 °F", "49 °C"),
    "temperature difference": ("20 °F", "10 K"),
    "mass": ("30 lb", "2 lb 4 oz", "12 kg"),
    "force": ("500 lbf", "2 kN"),
    "torque": ("35 lb-in", "10 lb-ft", "4 N-m"),
    "surface load": ("40 psf", "2 kN/m2"),
    "frequency": ("60 Hz",),
    "angle": ("45 deg",),
    "air changes": ("0.40 ACH",),
    "air changes at 50 Pa": ("3 ACH50",),
    "wire size": ("12 AWG", "1/0 AWG", "250 kcmil"),
    "pipe size": ("3/4 in", "1-1/4"),
    "share": ("40 %", "1/4 in per ft", "1:50", "0.40"),
    "number": ("2", "1.5", "1,000"),
    "ehd": ("EHD 18", "18"),
    "money": ("10,000 USD", "$500"),
    "insulation": ("R-20", "R-13+10ci", "15ci", "R-20+5ci or R-30"),
    "calendar time": ("6 months", "2 years"),
    "year": ("year 1978", "1978"),
}

_SAID = {
    "air changes": "an air change rate",
    "air changes at 50 Pa": "an air change rate at 50 Pa",
    "ehd": "an EHD",
    "money": "an amount of money",
    "insulation": "insulation",
    "calendar time": "a time by the calendar",
    "number": "a plain number",
}


def forms_of(dim: Dimension) -> tuple[str, ...]:
    """Return accepted ways to write a value of ``dim``."""
    if dim.name in FORMS:
        return FORMS[dim.name]
    upper, _, lower = dim.name.partition(" per ")
    if upper in FORMS and lower in FORMS:
        return (f"{FORMS[upper][0]} per {FORMS[lower][0]}",)
    return ("50 ft3 per 1,000 Btu/h",)


def said(dim: Dimension) -> str:
    """Return the dimension's name with its article, as 'a length'."""
    if dim.name in _SAID:
        return _SAID[dim.name]
    return f"{'an' if dim.name[0] in 'aeiou' else 'a'} {dim.name}"


def written_like(dim: Dimension) -> str:
    """Return the second half of a message: how a value of ``dim`` is written."""
    return f"{said(dim)} is written like {', '.join(forms_of(dim))}"
