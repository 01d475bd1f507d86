"""What cannot be so in the gas piping and its tests: told when a site is read, each with its place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from oktocover.quantities import show

if TYPE_CHECKING:
    from collections.abc import Iterator

    from oktocover.site.gas import GasTest
    from oktocover.site.root import Site

Problem = tuple[tuple[str, ...], str, str, str]
"""Path in the site file, what cannot be so, what was expected, what to do."""


def problems(site: Site) -> list[Problem]:
    """What cannot be so in the gas piping and its tests, each with its path, in the order of the file."""
    if not site.gas_pipes and not site.gas_tests:
        return []
    return [*_ends(site), *_goes_on(site), *_tree(site), *_tests(site)]


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


def _goes_on(site: Site) -> Iterator[Problem]:
    """Pipes that end and go on, and outlets that say twice what they are for: one of the two could be lost unseen."""
    followed = {pipe.from_: name for name, pipe in reversed(site.gas_pipes.items()) if pipe.from_ is not None}
    followed |= {one.after: name for name, one in reversed(site.gas_regulators.items()) if one.after is not None}
    for name, pipe in site.gas_pipes.items():
        if pipe.to is not None and name in followed:
            yield (
                ("gas pipes", name, "to"),
                f"pipe {name} ends at {pipe.to}, and {followed[name]} comes from its end",
                "a pipe of its own from the tee to the appliance or outlet",
                f"write the pipe to {pipe.to} as one that comes from {name}, and take `to` out here",
            )
    for name, outlet in site.gas_outlets.items():
        if outlet.appliance is not None and outlet.load is not None:
            yield (
                ("gas outlets", name, "load"),
                f"outlet {name} is for {outlet.appliance}, whose plate gives the input",
                "appliance, or load",
                "take `load` out",
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
