"""Conductors of services and the equipment grounds of feeders against figures from outside. Each check names its source."""

from __future__ import annotations

from typing import Any

import pytest

from oktocover.measures.grounding import circular_mils
from oktocover.measures.subject import Subject
from oktocover.measures.values import Members, Unknown
from oktocover.quantities import WIRE
from oktocover.rules.evaluate import judge
from oktocover.rules.scope import Env

from .electrical_book import amount, ruleset


def wire(text: str) -> int:
    return int(amount(text, "wire size"))


def run(what: str, device: str, enlarged_from: str = "not enlarged") -> Subject:
    small: Any = enlarged_from if enlarged_from == "not enlarged" else wire(enlarged_from)
    circuit = Subject("circuit", "F-1", {"breaker": amount(device, "current"), "enlarged_from": small})
    return Subject("cable", "F-1", {"what": what, "circuit": circuit})


def term(name: str, subject: Subject) -> Any:
    made = ruleset().term(f"nec.{name}")
    assert made is not None
    return made.compiled().evaluate(Env(subject, {}))


# Chapter 9 Table 8, circular mils as printed, read on five public pages that agree.
PRINTED = {
    "14 AWG": 4110, "12 AWG": 6530, "10 AWG": 10380, "8 AWG": 16510, "6 AWG": 26240, "4 AWG": 41740, "3 AWG": 52620,
    "2 AWG": 66360, "1 AWG": 83690, "1/0 AWG": 105600, "2/0 AWG": 133100, "3/0 AWG": 167800, "4/0 AWG": 211600,
    "250 kcmil": 250000, "500 kcmil": 500000,
}  # fmt: skip


@pytest.mark.parametrize(("size", "printed"), PRINTED.items())
def test_areas_of_conductors_are_those_printed_to_a_tenth_of_a_percent(size: str, printed: int) -> None:
    """Worked out from the diameters of ASTM B258; the table rounds a little otherwise."""
    assert circular_mils(wire(size)) == pytest.approx(printed, rel=0.001)


def test_what_is_no_size_has_no_area() -> None:
    assert isinstance(circular_mils(len(WIRE)), Unknown)
    assert isinstance(circular_mils(-1), Unknown)


# Table 250.122, copper read in a copy and in an instructor's newsletter, aluminum in the copy.
GROUNDS = {
    "15 A": ("14 AWG", "12 AWG"), "20 A": ("12 AWG", "10 AWG"), "60 A": ("10 AWG", "8 AWG"), "100 A": ("8 AWG", "6 AWG"),
    "200 A": ("6 AWG", "4 AWG"), "300 A": ("4 AWG", "2 AWG"), "400 A": ("3 AWG", "1 AWG"), "500 A": ("2 AWG", "1/0 AWG"),
    "600 A": ("1 AWG", "2/0 AWG"), "800 A": ("1/0 AWG", "3/0 AWG"),
}  # fmt: skip


@pytest.mark.parametrize("device", GROUNDS)
def test_the_ground_is_that_of_the_table(device: str) -> None:
    copper, aluminum = GROUNDS[device]
    assert term("ground_by_table", run("3 x 500 THHN CU", device)) == wire(copper)
    assert term("ground_by_table", run("3 x 500 THHN AL", device)) == wire(aluminum)


@pytest.mark.parametrize(
    ("what", "device", "small", "needed", "enough", "short", "source"),
    [
        (
            "3 x 6 THHN CU",
            "40 A",
            "8 AWG",
            16497,
            "8 AWG",
            "10 AWG",
            "a code instructor's text (prints 16504, ratio rounded)",
        ),
        ("3 x 350 THHN CU", "300 A", "250 kcmil", 58436, "2 AWG", "3 AWG", "a training page: ratio 1.4, 58,436, 2 AWG"),
        ("3 x 1/0 THHN CU", "20 A", "12 AWG", 105600, "1/0 AWG", "1 AWG", "a trade discussion: it grows one for one"),
    ],
)
def test_the_ground_grows_with_the_wire(
    what: str, device: str, small: str, needed: int, enough: str, short: str, source: str
) -> None:
    mils = term("grown_ground", run(what, device, small))
    assert float(mils) == pytest.approx(needed, rel=0.001), source
    assert circular_mils(wire(short)) < mils <= circular_mils(wire(enough)), source


def verdict(what: str, rating: str) -> str:
    """What is said of the breaker of a feeder with the whole load of one dwelling."""
    current = amount(rating, "current")
    circuit = Subject("circuit", "F-1", {"breaker": current, "terminals": "75 C", "receptacles": Members(())})
    runs = Members((Subject("cable", "F-1", {"what": what, "circuit": circuit}),))
    own = {"breaker": current, "whole_dwelling": True, "in_parallel": False, "runs": runs}
    feeder = Subject("feeder", "F-1", own)
    rule = ruleset().rule("nec.feeder-conductors")
    assert rule is not None
    return next(one.verdict for one in judge(rule, Env(feeder, {})) if one.name.endswith("feeder_breaker"))


# Table 310.12 (310.15(B)(7) before 2020): the smallest sizes for a rating, read on a supplier's page.
DWELLING = [
    ("100 A", "4", "2"), ("110 A", "3", "1"), ("125 A", "2", "1/0"), ("150 A", "1", "2/0"), ("175 A", "1/0", "3/0"),
    ("200 A", "2/0", "4/0"), ("225 A", "3/0", "250"), ("250 A", "4/0", "300"), ("300 A", "250", "350"), ("350 A", "350", "500"),
    ("400 A", "400", "600"),
]  # fmt: skip


@pytest.mark.parametrize(("rating", "copper", "aluminum"), DWELLING)
def test_83_percent_gives_the_sizes_of_the_printed_table(rating: str, copper: str, aluminum: str) -> None:
    """And the size before it does not: a hundred amperes on 4 copper, 85 A, two hundred on 4/0 aluminum, 180 A."""
    ladder = [name.split()[0] for name in WIRE]
    for metal, size in (("CU", copper), ("AL", aluminum)):
        assert verdict(f"3 x {size} THHN {metal}", rating) == "met"
        assert verdict(f"3 x {ladder[ladder.index(size) - 1]} THHN {metal}", rating) == "not met"


NOT_HELD = {
    "400 A on two sets of 400 kcmil, three answers on a forum": "conductors in parallel are not entered",
}
