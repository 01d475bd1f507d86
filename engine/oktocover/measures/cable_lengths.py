"""How long a piece of cable is: as recorded, else at least the straight way between its ends as the plan has them.

No real run is shorter than the straight line between the two places where it ends. What the tape gives is the middle of
a box or the edge of a panel, so the line is taken shorter by as much as either end can be nearer.
"""

from __future__ import annotations

from dataclasses import dataclass

from oktocover.findings.finding import Missing, Step
from oktocover.measures.registry import FactType, from_view, kind
from oktocover.measures.subject import Subject
from oktocover.measures.values import TESTED, Fact, Number, Range, Unknown
from oktocover.measures.view import SiteView
from oktocover.measures.wiring_graph import FED, way_back, wiring_of
from oktocover.quantities import show
from oktocover.site.geometry import Point3, square_root
from oktocover.site.wiring_sizes import NEARER, WHOLE
from oktocover.site.wiring_whole import whole_circuits

LENGTH = "length"
_RUN = FactType(
    "quantity",
    LENGTH,
    means="its length, recorded or at least the straight way on the plan",
    found_by="tape",
    computed=True,
)
kind("cable").facts["run"] = _RUN
kind("feeder").facts["run"] = _RUN
kind("circuit").facts["farthest"] = FactType(
    "quantity", LENGTH, means="length of cable from the panel to its farthest outlet", found_by="tape", computed=True
)


@dataclass(frozen=True, slots=True)
class End:
    """One end of a cable with a place on the plan; without a height the place counts on the floor only."""

    name: str
    point: Point3
    nearer: Number
    has_height: bool
    known: int


@from_view
def lengths(view: SiteView) -> None:
    """Give every cable and feeder its length, every outlet that back to its panel, every circuit the longest of these."""
    for kind_name in ("cable", "feeder"):
        for cable in view.of(kind_name):
            cable.own["run"] = run_of(view, cable)
    made = wiring_of(view)
    farthest: dict[str, list[tuple[str, Fact]]] = {}
    for kind_name in FED:
        for outlet in view.of(kind_name):
            found = outlet.own["from_panel"] = _back(list(way_back(made, outlet)))
            circuit = outlet.fact("circuit").value
            if isinstance(circuit, Subject):
                farthest.setdefault(circuit.id, []).append((outlet.id, found))
    for circuit in view.of("circuit"):
        circuit.own["farthest"] = _farthest(view, circuit, farthest.get(circuit.id, []))


def run_of(view: SiteView, cable: Subject) -> Fact:
    """The recorded length of a cable, else at least the straight way between its ends, its drop and slack."""
    recorded = cable.fact(LENGTH)
    if not isinstance(recorded.value, Unknown):
        return recorded
    ends = [_where(view, cable.fact(name).value) for name in ("from_", "to")]
    first, second = ends
    lacks = (cable.lacks(LENGTH, "tape"),)
    if first is None or second is None or first.point.frame != second.point.frame:
        return Fact(Unknown(lacks))
    drop, slack = _said(cable, "drop"), _said(cable, "slack")
    least, steps = shortest(first, second, drop[0], slack[0])
    known = min(first.known, second.known, drop[1], slack[1])
    return Fact(Range(least, None, missing=lacks), steps, known) if least > 0 else Fact(Unknown(lacks))


def shortest(first: End, second: End, drop: Number, slack: Number) -> tuple[Number, tuple[Step, ...]]:
    """The least length of a cable between two places (nm), with its upright parts `drop` and `slack` at each end.

    The level distance and the upright parts are walked one after the other when the upright ones are known; else the
    straight line through space is the least there can be. Pythagoras, rounded down to the inch.
    """
    level_squared: Number = (first.point.x - second.point.x) ** 2 + (first.point.y - second.point.y) ** 2
    tall = first.has_height and second.has_height and first.point.zero == second.point.zero
    high, low = first.point.z, second.point.z
    up: Number = (high - low if high > low else low - high) if tall else 0
    line = _root_down(level_squared + up * up)
    straight = _less(line, first.nearer + second.nearer)
    level = _less(_root_down(level_squared), first.nearer + second.nearer)
    steps = [
        Step(
            "straight way",
            f"{first.name} to {second.name} on the plan",
            show(line, LENGTH),
        ),
        Step(
            "both ends may be nearer",
            f"less {show(first.nearer, LENGTH)} and {show(second.nearer, LENGTH)}",
            show(straight, LENGTH),
        ),
    ]
    least = straight
    if level + drop > straight:
        least = level + drop
        how = f"{show(level, LENGTH)} level + {show(drop, LENGTH)} up and down"
        steps.append(Step("with its upright parts", how, show(least, LENGTH)))
    if slack:
        how = f"{show(least, LENGTH)} + 2 x {show(slack, LENGTH)} left over"
        least += 2 * slack
        steps.append(Step("with what is left over at its ends", how, show(least, LENGTH)))
    return least, tuple(steps)


def _root_down(value: Number) -> Number:
    """The square root in whole inches, rounded down: a bound must not be past the truth, nor finer than a tape."""
    root = square_root(value)
    whole = root // WHOLE * WHOLE
    return whole if whole * whole <= value else whole - WHOLE


def _less(one: Number, other: Number) -> Number:
    """`one` less `other`, and never under zero."""
    return one - other if one > other else 0


def _said(cable: Subject, name: str) -> tuple[Number, int]:
    """The least that is said of drop or slack, by the cable, else by its circuit; nothing counts as none."""
    for fact in (cable.fact(name), cable.fact(f"circuit.{name}") if cable.kind == "cable" else None):
        if fact is None or isinstance(fact.value, Unknown):
            continue
        value = fact.value.low if isinstance(fact.value, Range) else fact.value
        return (value if isinstance(value, Number) else 0), fact.known
    return 0, TESTED


def _where(view: SiteView, end: object) -> End | None:
    """The place of an end of a cable: its own, or that of its box."""
    if not isinstance(end, Subject) or end.kind not in NEARER:
        return None
    for one in (end, end.exact("box") if end.kind != "box" else None):
        if not isinstance(one, Subject):
            continue
        wall, at, height = one.exact("wall"), one.exact("at"), one.exact("height")
        point = (
            view.plan.point(wall, at, height if isinstance(height, Number) else 0) if wall and at is not None else None
        )
        if point is not None:
            known = min(one.fact(name).known for name in ("wall", "at") + (("height",) if height is not None else ()))
            return End(end.id, point, NEARER[end.kind], height is not None, known)
    return None


def _back(steps: list[tuple[Subject, str] | Missing]) -> Fact:
    """The length of the way back to the panel: exact where every piece is, else at least what is known of it."""
    total: Number = 0
    lacks: list[Missing] = []
    parts: list[str] = []
    known, unknown_pieces = TESTED, 0
    for step in steps:
        if isinstance(step, Missing):
            lacks.append(step)
            continue
        run = step[0].fact("run")
        known = min(known, run.known)
        if isinstance(run.value, (Unknown, Range)):
            lacks.extend(run.value.missing)
        least = run.value.low if isinstance(run.value, Range) else run.value
        if isinstance(least, Number):
            total += least
            parts.append(f"{show(least, LENGTH)} ({step[0].id})")
        else:
            unknown_pieces += 1
    work = (Step("length back to the panel", " + ".join(parts), show(total, LENGTH)),) if parts else ()
    if not lacks:
        return Fact(total, work, known)
    return (
        Fact(Range(total, None, missing=tuple(dict.fromkeys(lacks))), work, known)
        if parts
        else Fact(Unknown(tuple(dict.fromkeys(lacks))))
    )


def _farthest(view: SiteView, circuit: Subject, found: list[tuple[str, Fact]]) -> Fact:
    """The longest way back from an outlet of a circuit; at least that while its outlets are not all written."""
    closes = None if circuit.id in whole_circuits(view.site) else circuit.lacks("whole")
    lacks = [closes] if closes else []
    best: tuple[str, Fact] | None = None
    most: Number = -1
    for one in found:
        value = one[1].value
        if isinstance(value, (Unknown, Range)):
            lacks.extend(value.missing)
        least = value.low if isinstance(value, Range) else value
        if isinstance(least, Number) and least > most:
            best, most = one, least
    if best is None:
        return Fact(Unknown(tuple(dict.fromkeys(lacks)) or (circuit.lacks("outlets"),)))
    steps = (Step("farthest outlet", best[0], show(most, LENGTH)), *best[1].steps)
    known = min(fact.known for _, fact in found)
    return Fact(Range(most, None, missing=tuple(dict.fromkeys(lacks))) if lacks else most, steps, known)
