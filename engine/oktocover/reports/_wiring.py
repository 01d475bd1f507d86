"""A circuit in words: its cable from the panel on, piece by piece, a branch deeper where it leaves the run."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from oktocover.measures.values import Range, Unknown
from oktocover.measures.view import SiteView
from oktocover.measures.wiring_graph import wiring_of
from oktocover.quantities import show
from oktocover.reports._plain import clean, wrap
from oktocover.reports.readback import WIDTH

_INDENT: Final = "  "
_DEEPEST: Final = 20
FED: Final = ("receptacles", "switches", "lights", "equipment", "appliances", "disconnects")
"""Lists of what a circuit feeds."""


def fed_by(view: SiteView, circuit: str) -> list[str]:
    """What names a circuit, in the order of its chain, what is in no chain last."""
    named = [one for field in FED for one, outlet in getattr(view.site, field).items() if outlet.circuit == circuit]
    order = {outlet: place for place, outlet in enumerate(view.site.circuits[circuit].outlets or ())}
    return sorted(named, key=lambda one: order.get(one, len(order)))


def designations(view: SiteView, circuit: str) -> str:
    """The cables of a circuit that is run in several."""
    found = [cable.what for cable in view.site.cables.values() if cable.circuit == circuit and cable.what]
    return " and ".join(dict.fromkeys(found))


def circuit_lines(view: SiteView, circuit: str) -> list[str]:
    """The cables of a circuit from its panel on, each with its designation and length."""
    pieces = {one: cable for one, cable in view.site.cables.items() if cable.circuit == circuit}
    if not pieces:
        return []
    node = wiring_of(view).node
    after: dict[str, list[str]] = {}
    for one, cable in pieces.items():
        after.setdefault(node(cable.from_ or ""), []).append(one)
    ends = {one: node(cable.to or "") for one, cable in pieces.items()}
    starts = [one for one, cable in pieces.items() if node(cable.from_ or "") not in ends.values()]
    lines = [f"{_INDENT}its cable, from the panel on"]
    told: set[str] = set()
    for depth, one in _walk(starts, after, ends, told):
        indent = _INDENT * (2 + min(depth, _DEEPEST))
        lines += wrap(_piece(view, one, pieces[one]), WIDTH, indent, indent + _INDENT)
    for one in pieces:
        if one not in told:
            lines += wrap(_piece(view, one, pieces[one]), WIDTH, _INDENT * 2, _INDENT * 3)
    return lines


def _walk(
    starts: list[str], after: dict[str, list[str]], ends: dict[str, str], told: set[str]
) -> Iterator[tuple[int, str]]:
    """Every piece once, with how deep it stands: the last that goes on from an outlet is its run, others are branches."""
    waiting = [(0, one) for one in reversed(starts)]
    while waiting:
        depth, one = waiting.pop()
        if one in told:
            continue
        told.add(one)
        yield depth, one
        onward = after.get(ends[one], []) if ends[one] else []
        waiting += [(depth + (number < len(onward) - 1), other) for number, other in reversed(list(enumerate(onward)))]


def _piece(view: SiteView, one: str, cable: Any) -> str:
    ends = f"{cable.from_ or 'somewhere'} to {cable.to or 'somewhere'}"
    return clean(f"{ends}: {cable.what or 'cable not recorded'}, {_length(view, one)}", 200)


def _length(view: SiteView, one: str) -> str:
    run = view.elements[one].value("run")
    if isinstance(run, Range):
        return f"at least {show(run.low, 'length')}" if run.low else "length not recorded"  # type: ignore[arg-type]
    return "length not recorded" if isinstance(run, Unknown) else f"{show(run, 'length')}"
