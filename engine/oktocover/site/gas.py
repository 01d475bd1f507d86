"""Fuel gas piping and its pressure test: what a person writes about the pipe, its ends and the gauge.

The piping is a tree: each pipe says where its gas comes `from` (the system, its meter, a regulator or another pipe)
and what it ends `to` (an appliance or an outlet). A tee needs no entry: two pipes come from the same pipe.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, ClassVar, Literal

from oktocover.quantities import Quantity, show
from oktocover.site.base import (
    Amount,
    Count,
    Duration,
    Element,
    Length,
    Moment,
    OnWall,
    PipeSize,
    Pressure,
    RefTo,
    Temperature,
    YesNo,
    means,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from oktocover.site.root import Site

Problem = tuple[tuple[str, ...], str, str, str]
"""Path in the site file, what cannot be so, what was expected, what to do."""

GasMaterial = Literal["steel", "copper K", "copper L", "csst", "polyethylene", "other"]


class GasSystem(Element):
    """Gas piping at one working pressure, from its meter, tank or line regulator to the appliances."""

    kind: ClassVar[str] = "gas_system"
    plural: ClassVar[str] = "gas systems"
    system: ClassVar[str | None] = "fuel gas"

    gas: Literal["natural gas", "propane"] | None = means("what will flow in it", by="paper")
    working_pressure: Pressure | None = means(
        "highest gauge pressure the piping is meant to work at: 7 in w.c., 2 psi", by="paper"
    )
    specific_gravity: Count | None = means("specific gravity of the gas, from the utility or the supplier", by="paper")
    pressure_drop: Pressure | None = means("pressure drop the piping was sized for", by="paper")


class GasMeter(OnWall):
    """The meter, or the last regulator of a propane supply: where the owner's piping begins."""

    kind: ClassVar[str] = "gas_meter"
    plural: ClassVar[str] = "gas meters"
    system: ClassVar[str | None] = "fuel gas"

    of: Annotated[str, RefTo(("gas_system",))] | None = means("the gas system that begins here")


class GasRegulator(Element):
    """A regulator in the line. What comes after it is a gas system of its own, at its own working pressure."""

    kind: ClassVar[str] = "gas_regulator"
    plural: ClassVar[str] = "gas regulators"
    system: ClassVar[str | None] = "fuel gas"

    after: Annotated[str, RefTo(("gas_pipe",))] | None = means("the pipe that feeds it")
    feeds: Annotated[str, RefTo(("gas_system",))] | None = means("the gas system that begins at its outlet")
    max_inlet_pressure: Pressure | None = means("highest inlet pressure on its plate", by="plate")


class GasPipe(Element):
    """One length of gas pipe or tubing of one size, from a tee (or the meter) to the next tee or its end."""

    kind: ClassVar[str] = "gas_pipe"
    plural: ClassVar[str] = "gas pipes"
    system: ClassVar[str | None] = "fuel gas"

    from_: Annotated[str, RefTo(("gas_pipe", "gas_system", "gas_meter", "gas_regulator"))] | None = means(
        "what its gas comes from: the pipe it branches off, the meter, a regulator, or the gas system itself"
    )
    to: Annotated[str, RefTo(("appliance", "gas_outlet"))] | None = means(
        "the appliance or outlet it ends at; left out where other pipes come from its end"
    )
    size: PipeSize | None = means("nominal size", by="tape")
    material: GasMaterial | None = means("pipe or tubing: steel is Schedule 40")
    length: Length | None = means("length along the pipe, fittings included", by="tape")
    inside: Length | None = means(
        "inside diameter by the maker, for tubing that no standard gives one for (csst, other)", by="maker"
    )
    ehd: Annotated[Quantity, Amount("ehd")] | None = means(
        "equivalent hydraulic diameter printed on the tubing", by="plate"
    )
    elbows: Count | None = means("number of its elbows")
    tees: Count | None = means("number of its tees, the one at its start included")
    joints: Literal["threaded", "welded", "flared", "brazed", "press", "heat fusion", "mechanical"] | None = means(
        "how its joints are made"
    )
    concealed: YesNo | None = means("it will be hidden by finish, concrete or earth")


class GasFitting(Element):
    """A fitting that has to be told apart: a union in a wall, a manifold, a press fitting."""

    kind: ClassVar[str] = "gas_fitting"
    plural: ClassVar[str] = "gas fittings"
    system: ClassVar[str | None] = "fuel gas"

    pipe: Annotated[str, RefTo(("gas_pipe",))] | None = means("the pipe it stands in")
    what: Literal["elbow", "tee", "coupling", "union", "bushing", "manifold", "cap", "plug", "other"] | None = means(
        "what it is"
    )
    concealed: YesNo | None = means("it will be hidden by finish")


class GasValve(Element):
    """A shutoff valve."""

    kind: ClassVar[str] = "gas_valve"
    plural: ClassVar[str] = "gas valves"
    system: ClassVar[str | None] = "fuel gas"

    pipe: Annotated[str, RefTo(("gas_pipe",))] | None = means("the pipe it stands in")
    serves: Annotated[str, RefTo(("appliance", "gas_outlet"))] | None = means("the appliance or outlet it shuts off")
    listed: YesNo | None = means("marked as a gas valve", by="plate")
    rating: Pressure | None = means("pressure marked on it", by="plate")
    distance: Length | None = means("along the pipe to the appliance", by="tape")
    same_room: YesNo | None = means("it is in the room of the appliance")
    ready_access: YesNo | None = means("reached without moving anything or using a tool")


class GasOutlet(Element):
    """An end of the piping that an appliance will be joined to."""

    kind: ClassVar[str] = "gas_outlet"
    plural: ClassVar[str] = "gas outlets"
    system: ClassVar[str | None] = "fuel gas"

    appliance: Annotated[str, RefTo(("appliance",))] | None = means("the appliance that will stand here")
    capped: YesNo | None = means("closed by a threaded cap or plug")


class GasTest(Element):
    """One pressure test. `pressure` is the gauge reading at the start of the hold."""

    kind: ClassVar[str] = "gas_test"
    plural: ClassVar[str] = "gas tests"
    system: ClassVar[str | None] = "fuel gas"

    of: Annotated[str, RefTo(("gas_system",))] | None = means("the gas system that is tested")
    covers: Literal["whole system"] | None = means(
        "that the whole system is on the gauge; for a test in sections write `pipes` and leave this out"
    )
    pipes: list[Annotated[str, RefTo(("gas_pipe",))]] | None = means("the pipes on the gauge, for a test in sections")
    medium: Literal["air", "nitrogen", "carbon dioxide", "inert gas", "oxygen", "fuel gas", "water", "other"] | None = (
        means("what the pipe is pumped up with")
    )
    pressure: Pressure | None = means("gauge reading at the start of the hold", by="test")
    end_pressure: Pressure | None = means("gauge reading at the end of the hold", by="test")
    drop: Pressure | None = means("how far the gauge fell; left out when both readings are written", by="test")
    started: Moment | None = means("day and clock time of the first reading: 2026-05-03 9:05", by="test")
    ended: Moment | None = means("day and clock time of the last reading", by="test")
    held: Duration | None = means(
        "how long the pressure was held; left out when both clock times are written", by="test"
    )
    gauge: Literal["dial", "manometer", "electronic", "chart recorder", "other", "none"] | None = means("kind of gauge")
    full_scale: Pressure | None = means("highest figure on the gauge", by="plate")
    graduation: Pressure | None = means("what one small division of the gauge is", by="plate")
    dial: Length | None = means("diameter of the dial", by="tape")
    source_off: YesNo | None = means("pump or bottle shut off and taken off before the hold")
    joints_exposed: YesNo | None = means("every joint of the tested piping could be seen during the hold")
    covered_joints_tested: YesNo | None = means(
        "the only joints out of sight are ends of covered pipe that were tested before they were covered"
    )
    isolated_by: (
        Literal["disconnected and capped", "blanks", "nothing fitted yet", "closed valves", "nothing"] | None
    ) = means(
        "how appliances, regulators and controls were kept off the test pressure; "
        "nothing fitted yet: only capped pipe is there"
    )
    connected: list[Annotated[str, RefTo(("appliance", "gas_regulator"))]] | None = means(
        "appliances and regulators still joined to the piping during the test, also those behind a shut valve; "
        "[] when there are none"
    )
    live_gas: Literal["none near", "blank", "two valves with a telltale", "rated valve", "one valve"] | None = means(
        "what stood between the test and any pipe that holds fuel gas"
    )
    temperature_start: Temperature | None = means("temperature of the piping at the start", by="test")
    temperature_end: Temperature | None = means("temperature of the piping at the end", by="test")
    on_the_gauge: YesNo | None = means("pumped up, with the gauge on it, when the inspector comes", by="test")
    witness: Literal["inspector", "gas utility", "other", "nobody"] | None = means(
        "who watched the gauge, beside who ran it"
    )
    by: str | None = means("who ran the test (initials)")
    tag: YesNo | None = means("the tag or certificate of the office hangs on the piping", by="paper")


def problems(site: Site) -> list[Problem]:
    """What cannot be so in the gas piping and its tests, each with its path, in the order of the file."""
    if not site.gas_pipes and not site.gas_tests:
        return []
    return [*_ends(site), *_tree(site), *_tests(site)]


def _ends(site: Site) -> Iterator[Problem]:
    """Pipes that begin or end at something that is not in the file."""
    sources = {*site.gas_pipes, *site.gas_systems, *site.gas_meters, *site.gas_regulators}
    targets = {*site.appliances, *site.gas_outlets}
    for name, pipe in site.gas_pipes.items():
        if pipe.from_ is not None and pipe.from_ not in sources:
            yield (
                ("gas pipes", name, "from"),
                f"pipe {name} comes from {pipe.from_}, which is nowhere in this file",
                "a gas pipe, gas system, gas meter or gas regulator of this file",
                "write the name of what feeds it",
            )
        if pipe.to is not None and pipe.to not in targets:
            yield (
                ("gas pipes", name, "to"),
                f"pipe {name} ends at {pipe.to}, which is nowhere in this file",
                "an appliance or a gas outlet of this file",
                f"add {pipe.to}, or leave `to` out when other pipes come from the end of {name}",
            )


def _tree(site: Site) -> Iterator[Problem]:
    """Piping that runs in a ring, and ends that two pipes feed.

    Each thing has one source at most, so that a walk from each pipe toward the meter finds every ring; a graph
    library would take longer to import than everything else that is done with the piping.
    """
    source = {name: pipe.from_ for name, pipe in site.gas_pipes.items()}
    source |= {name: regulator.after for name, regulator in site.gas_regulators.items()}
    walked: set[str] = set()
    for start in site.gas_pipes:
        trail: list[str] = []
        name: str | None = start
        while name in source and name not in walked:
            walked.add(name)
            trail.append(name)
            name = source[name]
        if name in trail:
            ring = [one for one in site.gas_pipes if one in trail[trail.index(name) :]]
            yield (
                ("gas pipes", ring[0], "from"),
                f"the gas piping runs in a ring: {', '.join(ring)}",
                "each pipe comes from one nearer to the meter",
                f"correct what {ring[0]} comes from",
            )
    feeders: dict[str, list[str]] = {}
    for name, pipe in site.gas_pipes.items():
        feeders.setdefault(pipe.to or "", []).append(name)
    for end in [*site.gas_outlets, *site.appliances]:
        pipes = feeders.get(end, [])
        if len(pipes) > 1:
            yield (
                ("gas pipes", pipes[1], "to"),
                f"{' and '.join(pipes)} both end at {end}",
                "one pipe to each appliance or outlet",
                f"correct the end of {pipes[1]}, or let it come from {pipes[0]}",
            )


def _tests(site: Site) -> Iterator[Problem]:
    """Tests that say one thing twice and differently, or an impossible thing."""
    for name, test in site.gas_tests.items():
        path = ("gas tests", name)
        if test.covers is not None and test.pipes is not None:
            yield (
                (*path, "pipes"),
                f"test {name} covers the whole system and names single pipes as well",
                "covers, or pipes",
                "take one of the two lines out",
            )
        if test.connected and test.isolated_by in ("disconnected and capped", "blanks", "nothing fitted yet"):
            yield (
                (*path, "connected"),
                f"test {name}: {', '.join(test.connected)} still joined, and isolated by '{test.isolated_by}'",
                "isolated by: closed valves, or nothing; or no connected list",
                "write what was joined to the piping while it was under test",
            )
        yield from _clock(path, name, test)
        yield from _readings(path, name, test)


def _clock(path: tuple[str, ...], name: str, test: GasTest) -> Iterator[Problem]:
    if test.started is None or test.ended is None:
        return
    seconds = int((test.ended - test.started).total_seconds())
    if seconds < 0:
        yield (
            (*path, "ended"),
            f"test {name} ends before it starts",
            "an end after the start",
            "correct one of the two clock times",
        )
    elif test.held is not None and test.held.exact != seconds:
        yield (
            (*path, "held"),
            f"test {name}: from start to end are {show(seconds, 'time')}, `held` says otherwise",
            f"held: {show(seconds, 'time')}",
            "take `held` out, or correct the clock times",
        )


def _readings(path: tuple[str, ...], name: str, test: GasTest) -> Iterator[Problem]:
    if test.pressure is not None and test.end_pressure is not None and test.drop is not None:
        first, last = test.pressure.exact, test.end_pressure.exact
        if first is None or last is None or test.drop.exact != first - last:
            yield (
                (*path, "drop"),
                f"test {name}: `drop` is not the difference of the two readings",
                "both readings, or drop",
                "take `drop` out, or correct a reading",
            )
    if (
        test.graduation is not None
        and test.full_scale is not None
        and test.graduation.low is not None
        and test.full_scale.high is not None
        and test.graduation.low > test.full_scale.high
    ):
        yield (
            (*path, "graduation"),
            f"test {name}: one division of the gauge is more than its whole scale",
            "a division smaller than the scale",
            "correct graduation or full scale",
        )
