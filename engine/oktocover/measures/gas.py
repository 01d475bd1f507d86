"""Facts of gas piping and its pressure test: what belongs to which system, how long the test was held.

Inside diameters and hold times are data of the rule files; only the area of a circle is computed here.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from oktocover.findings.finding import Missing, Step
from oktocover.measures.registry import FactType, inverse, measure, plain_function, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Members, Number, Unknown, Worked
from oktocover.quantities import show

if TYPE_CHECKING:
    from oktocover.measures.view import SiteView

PI = Fraction(314159265358979323846, 10**20)
"""The circle constant to 21 digits; what is left out is far under a nanometre on any pipe."""


@plain_function("circle", ("length",), "area", "area of a circle of this diameter")
def circle(diameter: Number) -> Worked:
    """Area (nm2) of a circle from its diameter (nm): pi d2 / 4."""
    area = PI * diameter * diameter / 4
    across = show(diameter, "length", "in")
    return Worked(
        area,
        (
            Step(
                f"area of a circle {across} across",
                f"3.1416 x ({across}) x ({across}) / 4",
                show(area, "area", "in2"),
            ),
        ),
    )


@plain_function("cylinder", ("length", "length"), "volume", "volume of a pipe of this inside diameter and length")
def cylinder(diameter: Number, length: Number) -> Worked:
    """Volume (nm3) of a pipe from its inside diameter and its length (nm): pi d2 / 4 times the length."""
    across, along = show(diameter, "length", "in"), show(length, "length", "ft")
    volume = PI * diameter * diameter / 4 * length
    how = f"3.1416 x ({across}) x ({across}) / 4 x {along}"
    return Worked(volume, (Step(f"volume of {along} of pipe, {across} inside", how, show(volume, "volume")),))


@measure(
    "gas_pipe",
    "system",
    FactType("one", kind="gas_system", means="the gas system it belongs to"),
    reads=("from_",),
)
def system_of_pipe(source: Subject) -> Any:
    """The gas system a pipe belongs to, found by walking toward the meter. A ring has none."""
    seen: set[str] = set()
    while source.kind != "gas_system":
        if source.id in seen:
            return Unknown((source.lacks("from_"),))
        seen.add(source.id)
        fact = source.fact({"gas_meter": "of", "gas_regulator": "feeds"}.get(source.kind, "from_"))
        if not isinstance(fact.value, Subject):
            return fact
        source = fact.value
    return source


inverse("gas_system", "pipes", "gas_pipe", via="system", list_name="gas pipes", means="the pipes of this system")
inverse(
    "gas_system",
    "tests",
    "gas_test",
    via="of",
    list_name="gas tests",
    means="the pressure tests of this system",
)


@measure(
    "gas_test",
    "pipes",
    FactType("many", kind="gas_pipe", means="the pipes on the gauge"),
    reads=("of", "covers"),
)
def tested_pipes(system: Subject, covers: str) -> Fact:
    """The pipes of a test that covers the whole system: those of the system, open while that list is open."""
    return system.fact("pipes")


inverse(
    "gas_pipe",
    "tests",
    "gas_test",
    via="pipes",
    list_name="gas tests",
    means="the pressure tests it was part of",
)


@measure(
    "gas_test",
    "working",
    FactType("quantity", "pressure", means="working pressure of the tested system"),
    reads=("of.working_pressure",),
    rises=("of.working_pressure",),
)
def working_pressure(pressure: Number) -> Number:
    """The working pressure (Pa, gauge) the tested system is meant for."""
    return pressure


@measure(
    "gas_test",
    "held",
    FactType("quantity", "time", means="how long the pressure was held", found_by="test"),
    reads=("started", "ended"),
)
def held(started: datetime.datetime, ended: datetime.datetime) -> Worked:
    """How long (s) a test was held, from its two clock times, when `held` itself is not written."""
    seconds = int((ended - started).total_seconds())
    return Worked(
        seconds,
        (Step("time held", f"from {started:%Y-%m-%d %H:%M} to {ended:%Y-%m-%d %H:%M}", show(seconds, "time")),),
    )


@measure(
    "gas_test",
    "drop",
    FactType("quantity", "pressure", means="how far the gauge fell", found_by="test"),
    reads=("pressure", "end_pressure"),
    rises=("pressure",),
    falls=("end_pressure",),
)
def drop(first: Number, last: Number) -> Worked:
    """How far (Pa) the gauge fell, from its two readings, when `drop` itself is not written."""
    return Worked(
        first - last,
        (
            Step(
                "drop of the gauge",
                f"{show(first, 'pressure')} - {show(last, 'pressure')}",
                show(first - last, "pressure", "psi"),
            ),
        ),
    )


ATMOSPHERE = Fraction(101_325)
"""Pressure of the standard atmosphere in pascal: what a gauge leaves out."""


@measure(
    "gas_test",
    "cold_drop",
    FactType(
        "quantity",
        "pressure",
        means="how far the gauge falls because the piping has grown colder, and nothing else",
        found_by="test",
    ),
    reads=("pressure", "temperature_start", "temperature_end"),
    rises=("pressure", "temperature_start"),
    falls=("temperature_end",),
)
def cold_drop(first: Number, warm: Number, cold: Number) -> Worked:
    """How far (Pa) a tight system falls from a first gauge reading (Pa) as it cools from one temperature (K) to another.

    P2 = P1 x T2 / T1 in absolute pressure and temperature (gas law at one volume; NFPA 54 and IFGC annex, example 5).
    Less than nothing where it has grown warmer. Where the ground is high the true figure is a little smaller.
    """
    start, end = first + ATMOSPHERE, (first + ATMOSPHERE) * cold / Fraction(warm)
    how = (
        f"({show(start, 'pressure', 'psi')} absolute) x (1 - {show(cold, 'temperature', 'K')} / "
        f"{show(warm, 'temperature', 'K')})"
    )
    return Worked(start - end, (Step("fall of the gauge by cold alone", how, show(start - end, "pressure", "psi", 3)),))


@measure(
    "gas_test",
    "record_complete",
    FactType(
        "yes or no",
        means="day, medium, both readings, time, gauge and name are written down",
        found_by="paper",
    ),
    reads=("of", "medium", "pressure", "drop", "started", "held", "gauge", "by"),
)
def record_complete(*written: Any) -> bool:
    """True as soon as everything a test log carries is written; until then what lacks is named."""
    return True


@subjects(
    "gas_piping",
    {
        "tests": FactType("many", kind="gas_test", means="its pressure tests", computed=True),
        "pipes": FactType("many", kind="gas_pipe", means="its pipes", computed=True),
        "written": FactType("many", kind="gas_system", means="the gas systems written down", computed=True),
    },
    system="fuel gas",
)
def gas_piping(view: SiteView) -> Iterator[Subject]:
    """One subject a gas system; a described fuel gas system of which nothing is written is one subject too."""
    systems = view.of("gas_system")
    for system in systems:
        yield Subject(
            "gas_piping",
            system.id,
            {name: system.fact(name) for name in ("tests", "pipes")} | {"written": Members((system,))},
            base=system,
            path=system.path,
            elements=(system.id,),
            label=f"gas piping of {system.id}",
        )
    if systems or view.described("fuel gas") not in ("yes", "not sure"):
        return
    lacks = Missing(
        "fuel gas",
        "gas systems",
        "look",
        "gas_system",
        "write the gas system, its pipes and its test",
        ("gas systems",),
    )
    nothing = Members((), True, (lacks,))
    yield Subject(
        "gas_piping",
        "fuel gas",
        {"tests": nothing, "pipes": nothing, "written": nothing},
        label="gas piping",
        path=("described", "fuel gas"),
        elements=("fuel gas",),
    )
