"""What cannot be, on its face, in the wiring lists: an outlet on two circuits, a ring of cables, a hole wider than its stud."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from oktocover.quantities import show
from oktocover.site.base import exact_of, spaced

if TYPE_CHECKING:
    from oktocover.site.root import Site

Problem = tuple[tuple[str | int, ...], str, str, str]
FED = {"receptacle": "receptacles", "switch": "switches", "light": "lights", "equipment": "equipment"}
FED |= {"appliance": "appliances", "disconnect": "disconnects"}
"""Kinds that name a circuit, and the field of the site they stand in."""
DEVICES = ("receptacles", "switches", "lights", "equipment", "disconnects")
"""Lists whose entries may name the box they are in."""


def problems(site: Site) -> Iterator[Problem]:
    """What cannot be in cables, boxes, holes, feeders and the outlets of circuits."""
    yield from _circuits(site)
    yield from _cables(site)
    yield from _feeders(site)
    for name in DEVICES:
        for one, device in getattr(site, name).items():
            yield from _box(site, name, one, device)
    for one, hole in site.holes.items():
        yield from _hole(one, hole)


def circuits_named(site: Site) -> dict[str, tuple[str, str]]:
    """By id of an outlet or box: the circuit it names, and the list it stands in."""
    return {
        one: (element.circuit, name)
        for name in FED.values()
        for one, element in getattr(site, name).items()
        if element.circuit
    }


def _circuits(site: Site) -> Iterator[Problem]:
    named = circuits_named(site)
    listed: dict[str, str] = {}
    for one, circuit in site.circuits.items():
        for number, outlet in enumerate(circuit.outlets or ()):
            path = ("circuits", one, "outlets", number)
            own, where = named.get(outlet, (one, ""))
            if own != one:
                do = f"take it out of {one}, or correct its circuit (under {spaced(where)})"
                yield path, f"{outlet} is an outlet of {one} here, and names {own} itself", "one circuit", do
            elif outlet not in site.boxes and listed.setdefault(outlet, one) != one:
                do = f"take it out of {one}, or out of {listed[outlet]}"
                yield path, f"{outlet} is an outlet of {one} and of {listed[outlet]}", "one circuit", do
        if circuit.whole and circuit.outlets is not None:
            more = [outlet for outlet, (own, _) in named.items() if own == one and outlet not in circuit.outlets]
            for outlet in more:
                at: tuple[str | int, ...] = (spaced(named[outlet][1]), outlet, "circuit")
                do = f"write it among the outlets (or into the chain) of {one}, or take `whole` out there"
                yield at, f"{outlet} names {one}, whose outlets are whole without it", "an outlet that is listed", do


def _cables(site: Site) -> Iterator[Problem]:
    before: dict[tuple[str, str], str] = {}
    for one, cable in site.cables.items():
        if cable.from_ is not None and cable.from_ == cable.to:
            yield ("cables", one, "to"), f"{one} ends where it begins, at {cable.to}", "two ends", "correct one of them"
        elif cable.from_ and cable.to and cable.circuit:
            before.setdefault((cable.circuit, cable.to), cable.from_)
    for one, cable in site.cables.items():
        if cable.circuit and cable.to and cable.from_ != cable.to and _in_ring(before, cable.circuit, cable.to):
            message = (
                f"the cables of {cable.circuit} run in a ring through {cable.to}: `from` is the end nearer the panel"
            )
            yield ("cables", one, "from"), message, "cables that start at the panel", "turn from and to round"
            return


def _in_ring(before: dict[tuple[str, str], str], circuit: str, start: str) -> bool:
    seen: set[str] = set()
    at: str | None = start
    while at is not None and at not in seen:
        seen.add(at)
        at = before.get((circuit, at))
    return at == start


def _feeders(site: Site) -> Iterator[Problem]:
    fed = {feeder.to: feeder.from_ for feeder in site.feeders.values() if feeder.to and feeder.from_}
    for one, feeder in site.feeders.items():
        at, seen = feeder.to, set[str]()
        while at is not None and at not in seen:
            seen.add(at)
            at = fed.get(at)
        if at is not None and at == feeder.to:
            message = f"{one} feeds {feeder.to} from itself"
            yield ("feeders", one, "from"), message, "the service, or a panel nearer to it", "correct from or to"
            return


def _box(site: Site, name: str, one: str, device: Any) -> Iterator[Problem]:
    box = site.boxes.get(device.box or "")
    if box is None or not device.wall or not box.wall or device.wall == box.wall:
        return
    if device.wall.partition(".")[0] == box.wall.partition(".")[0]:
        message = f"{one} is on the wall {device.wall}, its box {device.box} on {box.wall}"
        yield (spaced(name), one, "box"), message, "one wall", "correct the wall of one of them, or the box"


def _hole(one: str, hole: Any) -> Iterator[Problem]:
    size, edge, depth = exact_of(hole.size), exact_of(hole.edge), exact_of(hole.depth)
    many, cables = exact_of(hole.many), exact_of(hole.cables)
    if size is not None and depth is not None and size + (2 * (edge or 0) if hole.cut != "notch" else 0) > depth:
        beside = f" with {show(edge, 'length')} beside it" if edge is not None and hole.cut != "notch" else ""
        message = f"{one}: {show(size, 'length')}{beside} in a member of {show(depth, 'length')}"
        yield ("holes", one, "size"), message, "a hole that the member has room for", "measure both again"
    if many is not None and (many < 1 or many != int(many)):
        yield ("holes", one, "many"), f"{one} stands for {many} holes", "a whole number, 1 or more", "count them again"
    if hole.of is not None and cables is not None and len(hole.of) > cables:
        message = f"{one}: {len(hole.of)} cables are named, and it has {cables}"
        yield ("holes", one, "cables"), message, f"at least {len(hole.of)}", "count them again"
