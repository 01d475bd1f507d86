"""Trade steps (common practice), ladders (sizes of standards) and what a tool can read."""

from __future__ import annotations

from fractions import Fraction

import pytest

from oktocover.quantities import (
    NAMES,
    PIPE,
    WIRE,
    closer_than_tape,
    dimension,
    next_size,
    read,
    reading_step,
    show,
    trade_step,
)


@pytest.mark.parametrize(
    ("dim", "like", "step"),
    [
        ("length", None, "1/16 in"),
        ("length", "m", "1/16 in"),
        ("time", None, "1 s"),
        ("pressure", None, "0.1 psi"),
        ("pressure", "in w.c.", "0.1 in w.c."),
        ("heat rate", "kW", "1 Btu/h"),
        ("area", None, "1 in2"),
        ("volume", None, "0.1 in3"),
        ("volume", "ft3", "1 ft3"),
        ("temperature difference", None, "1 °F"),
        ("voltage", None, "1 V"),
        ("current", None, "1 A"),
        ("air changes", None, "0.01 ACH"),
        ("share", None, "1 %"),
        ("number", None, "1"),
        ("ehd", None, "1"),
    ],
)
def test_one_trade_step(dim: str, like: str | None, step: str) -> None:
    assert trade_step(dim, like) == read(step, dim).exact


def test_a_degree_of_temperature_is_a_step_without_offset() -> None:
    step = trade_step("temperature")
    assert step == Fraction(5, 9)
    value = read("120 °F", "temperature").exact
    assert value is not None and step is not None
    assert show(value + step, "temperature") == "121 °F"


def test_ladders_and_compounds_have_no_step_and_everything_else_has() -> None:
    assert {name for name in NAMES if trade_step(name) is None} == {"wire size", "pipe size", "insulation"}
    assert trade_step("volume per heat rate") is None


@pytest.mark.parametrize(
    ("size", "larger", "dim"),
    [
        ("14 AWG", "12 AWG", "wire size"),
        ("4 AWG", "3 AWG", "wire size"),
        ("1 AWG", "1/0 AWG", "wire size"),
        ("4/0 AWG", "250 kcmil", "wire size"),
        ("1/2 in", "3/4 in", "pipe size"),
        ("1 in", "1-1/4 in", "pipe size"),
        ("1-1/2 in", "2 in", "pipe size"),
        ("3 in", "4 in", "pipe size"),
    ],
)
def test_the_next_size_up_and_back(size: str, larger: str, dim: str) -> None:
    kind = dimension(dim)
    small, large = read(size, kind).exact, read(larger, kind).exact
    assert small is not None and large is not None
    assert next_size(small, kind, up=True) == large
    assert next_size(large, kind, up=False) == small


def test_a_size_between_the_rungs_goes_to_the_rungs_beside_it() -> None:
    pipe = dimension("pipe size")
    assert next_size(Fraction(5, 8), pipe, up=True) == Fraction(3, 4)
    assert next_size(Fraction(5, 8), pipe, up=False) == Fraction(1, 2)


def test_a_ladder_ends() -> None:
    wire, pipe = dimension("wire size"), dimension("pipe size")
    assert next_size(len(WIRE) - 1, wire, up=True) is None
    assert next_size(0, wire, up=False) is None
    assert next_size(PIPE[-1], pipe, up=True) is None
    assert next_size(PIPE[0], pipe, up=False) is None
    with pytest.raises(ValueError, match="a length has no ladder"):
        next_size(1, dimension("length"), up=True)


def test_conductors_of_the_ladder_grow_in_area() -> None:
    # ASTM B258: diameter in mils = 5 * 92^((36 - n) / 39), with 1/0 to 4/0 as n = 0 to -3, squared for
    # circular mils.
    def circular_mils(size: str) -> float:
        text, unit = size.split()
        if unit == "kcmil":
            return 1000.0 * int(text)
        gauge = 1 - int(text[0]) if "/" in text else int(text)
        return float((5 * 92 ** ((36 - gauge) / 39)) ** 2)

    areas = [circular_mils(size) for size in WIRE]
    assert areas == sorted(areas)
    assert round(areas[WIRE.index("12 AWG")]) == 6530  # 6,530 circular mils, the usual table figure


def test_a_sixteenth_can_be_read_and_less_cannot() -> None:
    sixteenth = read("1/16 in", "length").exact
    assert sixteenth is not None
    assert reading_step("length") == reading_step(dimension("length")) == sixteenth
    assert not closer_than_tape(sixteenth, "length")
    assert not closer_than_tape(0, "length")
    assert closer_than_tape(sixteenth - 1, "length")
    assert closer_than_tape(Fraction(-sixteenth, 2), "length")
    assert not closer_than_tape(Fraction(1, 10**6), "number")
