"""Which lists a circuit that is written whole closes: its outlets are all of them, and so are its cables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from oktocover.site.wiring_problems import FED, circuits_named

if TYPE_CHECKING:
    from oktocover.site.root import Site

BOXED = ("receptacles", "switches", "lights", "equipment", "disconnects")


def whole_circuits(site: Site) -> frozenset[str]:
    """Circuits of which somebody said that their outlets are all of them, and wrote the outlets down.

    An outlet that is listed there and names no circuit keeps it open: it would be missing from the lists by circuit.
    """
    named = circuits_named(site)
    return frozenset(
        name
        for name, one in site.circuits.items()
        if one.whole and one.outlets and all(outlet in named or outlet in site.boxes for outlet in one.outlets)
    )


def lists_closed(site: Site) -> dict[str, set[str]]:
    """By list of the site file: the circuits in which it is whole."""
    whole = whole_circuits(site)
    complete = {name for name in whole if cables_are_all(site, name)}
    lists = {name.replace("_", " "): set(whole) for name in FED.values()}
    return {name: circuits for name, circuits in {**lists, "cables": complete}.items() if circuits}


def cables_are_all(site: Site, circuit: str) -> bool:
    """Whether a piece of cable comes to every outlet of a circuit, or to its box, from its panel on."""
    one = site.circuits[circuit]
    pieces = [cable for cable in site.cables.values() if cable.circuit == circuit and cable.to and cable.from_]
    reached = {end for cable in pieces for end in (cable.to, box_of(site, cable.to or "")) if end}
    return all(outlet in reached or box_of(site, outlet) in reached for outlet in one.outlets or ())


def box_of(site: Site, name: str) -> str | None:
    """The box an outlet is in; a box is its own; None when nobody has recorded it."""
    if name in site.boxes:
        return name
    for field in BOXED:
        device = getattr(site, field).get(name)
        if device is not None:
            found: str | None = device.box
            return found
    return None
