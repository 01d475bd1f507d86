"""Trade notation, as it is written on paper, on a phone and in a spreadsheet."""

from __future__ import annotations

from fractions import Fraction

import pytest

from oktocover.quantities import Dimension, Quantity, dimension, dimension_of_unit, read, read_any

INCH = 25_400_000

TWELVE_FEET_SIX_AND_A_HALF = [
    "12' 6-1/2\"",
    "12'6-1/2\"",
    "12'-6-1/2\"",
    "12' - 6 1/2\"",
    "12 ft 6-1/2 in",
    "12 ft. 6-1/2 in.",
    "12 feet 6 1/2 inches",
    "12FT 6-1/2IN",
    "12ft6-1/2",
    "12' 6-1/2",
    "12’ 6½”",
    "12′ 6½″",
    "12‘ 6 ½“",
    "12\u00a0ft\u202f6\u2009½\u00a0in",
    "12' 6–1/2\"",
    "12' 6-1⁄2''",
    "12' 6.5\"",
    "150-1/2 in",
    '150.5"',
    "  150½ in ",
    "１２ ft ６-½ in",
    "12\tft\t6-1/2\tin",
    "12\u200b' 6-½\"",
]


@pytest.mark.parametrize("text", TWELVE_FEET_SIX_AND_A_HALF)
def test_one_reading_of_the_tape_however_it_is_typed(text: str) -> None:
    found = read(text, "length")
    assert found.exact == Fraction(301, 2) * INCH
    assert found.text == text


@pytest.mark.parametrize(
    ("text", "sixteenths"),
    [
        ("6ft2", 74 * 16),
        ("12ft6", 150 * 16),
        ("6' 2", 74 * 16),
        ("6'-2\"", 74 * 16),
        ("6' 1/2", 72 * 16 + 8),
        ('78.5"', 78 * 16 + 8),
        ("14 ft", 168 * 16),
        ("5-1/2 ft", 66 * 16),
        ("5½'", 66 * 16),
        ('½"', 8),
        ("6½ in", 104),
        ("⅞ in", 14),
        (".5 in", 8),
        ('1/16"', 1),
        ("6''", 96),
        ("0 in", 0),
        ("5' 0\"", 960),
        ("1,000 ft", 12_000 * 16),
        ("1 yd 2 ft 3 in", (36 + 24 + 3) * 16),
        ("-3/4 in", -12),
        ("−6' 2\"", -74 * 16),
    ],
)
def test_lengths_in_feet_and_inches(text: str, sixteenths: int) -> None:
    assert read(text, "length").exact == sixteenths * INCH // 16


@pytest.mark.parametrize(
    ("text", "nanometres"),
    [
        ("3.6 m", 3_600_000_000),
        ("12.7 mm", 12_700_000),
        ("1 m 20 cm", 1_200_000_000),
        ("5 cm 3 mm", 53_000_000),
    ],
)
def test_lengths_in_metres(text: str, nanometres: int) -> None:
    assert read(text, "length").exact == nanometres


@pytest.mark.parametrize(
    "text",
    [
        "7 in w.c.",
        "7 in wc",
        '7" w.c.',
        '7"wc',
        "7 in. W.C.",
        "7 inches of water",
        "7 in H2O",
        "7 in H₂O",
        "7” wc",
        "7 inches water column",
        "7 in.w.c.",
        "7 in of water column",
    ],
)
def test_a_water_column_in_every_spelling(text: str) -> None:
    assert read(text, "pressure").exact == Fraction("24908891e-5") * 7
    assert read_any(text).dimension.name == "pressure"


@pytest.mark.parametrize(
    ("dim", "texts"),
    [
        ("pressure", ["3 psi", "3 PSIG", "3 lbf/in2", "48 oz", "48 oz/in²"]),
        (
            "area",
            [
                "40 in2",
                "40 sq in",
                "40 sq. in.",
                "40 in²",
                "40 in^2",
                "40 square inches",
                "5 in x 8 in",
                "5×8 in",
            ],
        ),
        ("volume", ["20.3 cu in", "20.3 in3", "20.3 in³", "20.3 cu. in.", "20.3 cubic inches"]),
        ("volume", ["24 in3", "2 in x 3 in x 4 in", '2x3x4"']),
        ("heat rate", ["40,000 Btu/h", "40000 BTU/hr", "40,000 Btuh", "40 MBH", "40,000 Btu per hour"]),
        ("power", ["1,500 W", "1.5 kW", "1500 watts", "1500 VA", "1.5 kVA"]),
        ("flow", ["100 cfm", "100 ft3/min", "6000 cfh", "100 cubic feet per minute", "100 CFM"]),
        ("time", ["599 s", "9 min 59 s", "9 min, 59 sec", "9 minutes 59 seconds"]),
        ("time", ["1 h 30 min", "90 min", "1.5 hours", "1-1/2 h", "1h30min"]),
        ("temperature", ["120 °F", "120F", "120 deg F", "120 º F", "120 ℉", "120 degrees F"]),
        ("resistance", ["25 ohm", "25 Ω", "25 ohms"]),
        ("angle", ["45 deg", "45°", "45 degrees"]),
        (
            "share",
            ["1/4 in per ft", '1/4" per ft', "¼ in/ft", "1/4 inch per foot", "1:48", "1/48", "1 in 48"],
        ),
        ("share", ["40 %", "40%", "40 percent", "0.40", ".4", "2/5"]),
        ("torque", ["35 lb-in", "35 in-lb", "35 in-lbs", "35 lbf-in"]),
        ("air changes at 50 Pa", ["3 ACH50", "3 ach 50", "3 ACH @ 50 Pa"]),
        ("ehd", ["EHD 18", "18 EHD", "18", "ehd18"]),
        ("number", ["1,000", "1000", "1000.0"]),
        ("mass", ["2 lb 4 oz", "2.25 lb", "36 oz"]),
    ],
)
def test_spellings_of_one_value_agree(dim: str, texts: list[str]) -> None:
    values = {read(text, dim).exact for text in texts}
    assert None not in values
    assert len(values) == 1


@pytest.mark.parametrize(
    ("small", "large"),
    [
        ("14 AWG", "12 AWG"),
        ("1 AWG", "1/0 AWG"),
        ("1/0", "2/0 AWG"),
        ("4/0 AWG", "250 kcmil"),
        ("#12", "#10"),
    ],
)
def test_a_larger_conductor_is_a_larger_value(small: str, large: str) -> None:
    left, right = read(small, "wire size").exact, read(large, "wire size").exact
    assert left is not None and right is not None
    assert left < right


@pytest.mark.parametrize("text", ["12 AWG", "#12", "#12 AWG", "12 ga", "12 gauge", "No. 12 AWG", "12awg"])
def test_a_conductor_in_every_spelling(text: str) -> None:
    assert read(text, "wire size").exact == read("12 AWG", "wire size").exact


@pytest.mark.parametrize("text", ["1-1/4", "1 1/4 in", '1¼"', "1.25 in", "5/4 in"])
def test_a_pipe_size_is_nominal_inches(text: str) -> None:
    assert read(text, "pipe size").exact == Fraction(5, 4)


@pytest.mark.parametrize(
    ("text", "low", "high", "low_open", "high_open"),
    [
        ("at least 1-1/4 in", 20, None, False, False),
        ("At Least 1-1/4 in", 20, None, False, False),
        ("1-1/4 in or more", 20, None, False, False),
        ("1-1/4 in or greater", 20, None, False, False),
        ("not less than 1-1/4 in", 20, None, False, False),
        ("≥ 1-1/4 in", 20, None, False, False),
        ('>=1¼"', 20, None, False, False),
        ("from 1-1/4 in", 20, None, False, False),
        ("over 1-1/4 in", 20, None, True, False),
        ("more than 1-1/4 in", 20, None, True, False),
        ("> 1-1/4 in", 20, None, True, False),
        ("at most 1 in", None, 16, False, False),
        ("1 in or less", None, 16, False, False),
        ("1 in max", None, 16, False, False),
        ("no more than 1 in", None, 16, False, False),
        ("below 1 in", None, 16, False, True),
        ("above 1-1/4 in", 20, None, True, False),
        ("no less than 1-1/4 in", 20, None, False, False),
        ("up to 1 in", None, 16, False, False),
        ("not over 1 in", None, 16, False, False),
        ("≤ 1 in", None, 16, False, False),
        ("under 1 in", None, 16, False, True),
        ("less than 1 in", None, 16, False, True),
        ("from 1 in to 2 in", 16, 32, False, False),
        ("1 in to 2 in", 16, 32, False, False),
        ("1 to 2 in", 16, 32, False, False),
        ("1-1/4 to 1-1/2 in", 20, 24, False, False),
        ("between 1 in and 2 in", 16, 32, False, False),
        ("over 1 in up to 2 in", 16, 32, True, False),
        ("over 1 in to under 2 in", 16, 32, True, True),
        ("from 1 in to under 2 in", 16, 32, False, True),
        ("5' 2 to 5' 6", 62 * 16, 66 * 16, False, False),
    ],
)
def test_bounds_are_records(
    text: str, low: int | None, high: int | None, low_open: bool, high_open: bool
) -> None:
    found = read(text, "length")
    ends = [None if end is None else end * INCH // 16 for end in (low, high)]
    assert [found.low, found.high] == ends
    assert (found.low_open, found.high_open) == (low_open, high_open)
    assert found.exact is None


@pytest.mark.parametrize(
    ("text", "dim"),
    [
        ("6 ft", "length"),
        ("12ft6", "length"),
        ("12' 6\"", "length"),
        ("3 psi", "pressure"),
        ("4 oz", "pressure"),
        ("14.7 psia", "absolute pressure"),
        ("12 AWG", "wire size"),
        ("1/0 AWG", "wire size"),
        ("12", "number"),
        ("1-1/2", "number"),
        ("40 %", "share"),
        ("1:50", "share"),
        ("1/4 in per ft", "share"),
        ("1 ft2 per 150 ft2", "share"),
        ("50 ft3 per 1,000 Btu/h", "volume per heat rate"),
        ("1 in2 per 4,000 Btu/h", "area per heat rate"),
        ("3 VA/ft2", "power per area"),
        ("0.5 in w.c. per 100 ft", "pressure per length"),
        ("6 ft2", "area"),
        ("3 psi per °F", "pressure per temperature difference"),
        ("1 W per K", "power per temperature difference"),
        ("10 °F per h", "temperature difference per time"),
        ("40 psf", "surface load"),
        ("12 kW", "power"),
        ("120 °F", "temperature"),
        ("0.40 ACH", "air changes"),
        ("3 ACH50", "air changes at 50 Pa"),
        ("EHD 18", "ehd"),
        ("2 or more", "number"),
        ("over 150,000 Btu/h", "heat rate"),
        ("from 6000 ft up to 6500 ft", "length"),
        ("9 min 59 s", "time"),
    ],
)
def test_the_unit_says_the_dimension(text: str, dim: str) -> None:
    assert read_any(text).dimension == dimension(dim)


def test_a_compound_is_read_as_the_dimension_the_rule_makes_of_it() -> None:
    made = dimension("area") / dimension("heat rate")
    found = read("1 in2 per 1 kW", made)
    assert found.dimension == made
    assert found.exact == read("1 in2", "area").exact / read("1 kW", "heat rate").exact  # type: ignore[operator]


def test_volts_times_amperes_compare_with_volt_amperes() -> None:
    product = dimension("voltage") * dimension("current")
    assert product == dimension("power")
    volts, amps = read("120 V", "voltage").exact, read("15 A", "current").exact
    assert volts is not None and amps is not None
    assert volts * amps == read("1,800 VA", "power").exact


@pytest.mark.parametrize(
    ("unit", "dim"),
    [
        ("psf", "surface load"),
        ("kcmil", "wire size"),
        ("ft3 per 1,000 Btu/h", "volume per heat rate"),
        ("%", "share"),
    ],
)
def test_a_unit_alone_names_its_dimension(unit: str, dim: str) -> None:
    assert dimension_of_unit(unit).name == dim


@pytest.mark.parametrize(
    ("text", "dim", "unit"),
    [
        ("12' 6\"", "length", "ft"),
        ('78.5"', "length", "in"),
        ("1.8288 m", "length", "m"),
        ('7" wc', "pressure", "in w.c."),
        ("at most 4 oz", "pressure", "oz"),
        ('1/4" per ft', "share", "in per ft"),
        ("0.4", "share", ""),
        ("5 x 8 in", "area", "in2"),
    ],
)
def test_the_unit_it_was_written_in_is_kept(text: str, dim: str, unit: str) -> None:
    assert read(text, dim).unit == unit


def test_a_quantity_made_by_hand_is_exact_and_refuses_floats() -> None:
    assert Quantity.of(Fraction(6, 2), dimension("number")).exact == 3
    with pytest.raises(TypeError, match="exact number"):
        Quantity.of(0.5, dimension("number"))  # type: ignore[arg-type]


def test_derived_dimensions_find_their_known_name() -> None:
    length, time = dimension("length"), dimension("time")
    assert (length * length * length / time).name == "flow"
    assert (dimension("heat") / dimension("volume")).name == "heating value"
    assert (dimension("flow") * dimension("heating value")).name == "heat rate"
    assert (length / length).name == "number"
    assert (dimension("share") * length).name == "length"
    compound = dimension("volume") / dimension("heat rate")
    plain, share = dimension("number"), dimension("share")
    assert compound * plain == plain * compound == compound / plain == compound
    assert share * plain == plain * share == share
    assert (compound * dimension("heat rate")).name == "volume"
    assert (compound / length).name == "area per heat rate"
    assert dimension("volume per heat rate") == dimension("volume") / dimension("heat rate")


def test_kinds_that_physics_would_mix_stay_apart() -> None:
    apart = [
        ("pressure", "absolute pressure"),
        ("air changes", "air changes at 50 Pa"),
        ("power", "heat rate"),
    ]
    apart += [("pipe size", "length"), ("temperature", "temperature difference"), ("wire size", "number")]
    for left, right in apart:
        assert not dimension(left).compatible(dimension(right))
    assert dimension("share").compatible(dimension("number"))
    assert dimension("share") != dimension("number")


def test_every_dimension_reads_the_forms_its_messages_offer() -> None:
    from oktocover.quantities import NAMES
    from oktocover.quantities._forms import forms_of

    for known in NAMES.values():
        for form in forms_of(known):
            assert read(form, known).exact is not None, (known.name, form)
    made = Dimension("power per area", dimension("power per area").powers)
    assert read(forms_of(made)[0], made).exact is not None
