"""Voltage lost along a circuit: the current through the resistance of its conductors, there and back.

The resistance of a conductor is data of the rule files (Table 8); here is Ohm's law. Direct current and alternating
current differ by under one percent up to 1/0 AWG, so one formula serves branch circuits and small feeders.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import TYPE_CHECKING

from oktocover.findings.finding import Step
from oktocover.measures import cable_lengths as cable_lengths
from oktocover.measures.registry import from_view, plain_function
from oktocover.measures.subject import Subject
from oktocover.measures.values import Number, Worked
from oktocover.quantities import number, show

if TYPE_CHECKING:
    from oktocover.measures.view import SiteView

OHM_PER_LENGTH = "resistance per length"


@plain_function(
    "two_way_drop",
    ("length", OHM_PER_LENGTH, "current"),
    "voltage",
    "voltage lost there and back over so much cable, at so much resistance a length, by so much current",
)
def two_way_drop(length: Number, resistance: Number, current: Number) -> Worked:
    """Voltage (V) lost on both conductors of a two-wire circuit: 2 x length (nm) x resistance (ohm/nm) x current (A)."""
    lost = number(Fraction(2) * length * resistance * current)
    along = show(length, "length", "ft")
    each = show(resistance, OHM_PER_LENGTH, "ohm per 1,000 ft")
    how = f"2 x {along} x {each} x {show(current, 'current')}"
    return Worked(lost, (Step("voltage lost there and back", how, show(lost, "voltage")),))


ROOT_OF_THREE = Fraction(math.sqrt(3))


@plain_function(
    "three_phase_drop",
    ("length", OHM_PER_LENGTH, "current"),
    "voltage",
    "voltage lost between two lines of three phases over so much cable, at so much resistance a length, by so much current",
)
def three_phase_drop(length: Number, resistance: Number, current: Number) -> Worked:
    """Voltage (V) lost between lines of a balanced three-phase circuit: square root of 3 x length x resistance x current.

    Length in nm, resistance in ohm/nm, current in A.
    """
    lost = number(ROOT_OF_THREE * length * resistance * current)
    each = show(resistance, OHM_PER_LENGTH, "ohm per 1,000 ft")
    how = f"1.732 x {show(length, 'length', 'ft')} x {each} x {show(current, 'current')}"
    return Worked(lost, (Step("voltage lost between lines", how, show(lost, "voltage")),))


@from_view
def by_its_cord(view: SiteView) -> None:
    """What is plugged in is as far from the panel as its receptacle; the cord is not part of the circuit's wiring."""
    for machine in view.of("equipment"):
        plug = machine.fact("receptacle").value
        if isinstance(plug, Subject):
            machine.own["from_panel"] = plug.fact("from_panel")
