"""What a service or feeder feeds, gathered for its load calculation; how a machine's input and its legs are told.

Unit loads, demand factors and the shares of welders are data of the rule files. Here things are only gathered, and
what a plate says is turned into one form.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

from oktocover.findings.finding import Missing, Step
from oktocover.measures import ampacity as ampacity
from oktocover.measures import wiring as wiring
from oktocover.measures.registry import FactType, from_view, kind, list_function, measure
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Members, Number, Unknown, Worked
from oktocover.quantities import number, show
from oktocover.site.designation import designation

if TYPE_CHECKING:
    from oktocover.measures.view import SiteView

kind("load_calculation").facts.update(
    {
        "supply": FactType("word", words=("service", "feeder"), means="what it is for", computed=True),
        "supply_rating": FactType("quantity", "current", means="rating of its breaker or fuses", computed=True),
        "supply_runs": FactType("many", kind="cable", means="its conductors", computed=True),
        "outlets": FactType("many", kind="receptacle", means="the receptacles it feeds", computed=True),
    }
)


@measure(
    "equipment",
    "input",
    FactType("quantity", "power", means="what it takes: its load, or its current times its voltage", found_by="plate"),
    reads=("amps", "volts"),
    rises=("amps",),
)
def input_of(amps: Number, volts: Number) -> Worked:
    """Input (VA) of one-phase equipment: current (A) x voltage (V). A load that is written stands in its place."""
    result = number(Fraction(amps) * volts)
    how = f"{show(amps, 'current')} x {show(volts, 'voltage')}"
    return Worked(result, (Step("input of the equipment", how, show(result, "power", "VA")),))


@measure(
    "cable",
    "neutral_wire",
    FactType("quantity", "wire size", means="size of its neutral"),
    reads=("what",),
)
def neutral_wire(what: str) -> int | None:
    """Size of the neutral of three-wire conductors (2-2-2, 4/0-4/0-2/0): the last; None where it is not told."""
    made = designation(what)
    if made.bare_neutral is not None:
        return made.bare_neutral
    return made.sizes[-1] if len(made.sizes) == 3 else None


@list_function(
    "welders_together",
    of="load_calculation",
    dimension="current",
    member_reads=("effective_amps",),
    as_list_grows="rises",
    means="effective currents of welders, each by its share of the group, the largest first",
)
def welders_together(owner: Subject, members: Sequence[Subject], *, shares: Sequence[Number]) -> Worked:
    """Current (A) of a group of welders: the largest by the first share, and so on; the last share for all others.

    Formula of NEC 630.11(B). Each member's `effective_amps` has to be a figure.
    """
    ranked = sorted(((one.value("effective_amps"), one.id) for one in members), key=lambda pair: (-pair[0], pair[1]))
    parts = [(amps, shares[min(place, len(shares) - 1)]) for place, (amps, _) in enumerate(ranked)]
    result = number(sum((Fraction(amps) * share for amps, share in parts), Fraction(0)))
    how = " + ".join(f"{show(amps, 'current')} x {show(share, 'share', '%')}" for amps, share in parts)
    return Worked(result, (Step("welders together", how or "none", show(result, "current")),))


@from_view
def calculations(view: SiteView) -> None:
    """Give each load calculation what its service or feeder feeds, and that service's or feeder's own figures."""
    for machine in view.of("equipment"):
        if "load" in machine.own:
            machine.own.setdefault("input", machine.fact("load"))
    for calculation in view.of("load_calculation"):
        of = calculation.fact("of").value
        if isinstance(of, Subject):
            _supply(calculation, of)
        fed = _Fed(view, of if isinstance(of, Subject) else None, calculation)
        for named in ("machines", "new_machines"):
            if named in calculation.own:
                calculation.own[named] = _each(calculation.own[named].value.sure, ())
        calculation.own.setdefault("machines", fed.members("equipment", "equipment"))
        calculation.own["outlets"] = fed.members("receptacle", "receptacles")


def _supply(calculation: Subject, of: Subject) -> None:
    """Rating and conductors of the service or feeder, under names that both have."""
    calculation.own["supply"] = of.kind
    calculation.own["supply_rating"] = of.fact("breaker" if of.kind == "feeder" else "rating")
    if of.kind == "feeder":
        calculation.own["supply_runs"] = of.fact("runs")
        return
    cable = of.fact("cable")
    if isinstance(cable.value, Unknown):
        calculation.own["supply_runs"] = Members((), True, cable.value.missing)
        return
    as_circuit = Subject("circuit", of.id, {"breaker": of.fact("rating")}, label=of.label, path=of.path)
    run = Subject("cable", of.id, {"what": cable, "circuit": Fact(as_circuit)}, label=f"conductors of {of.label}")
    calculation.own["supply_runs"] = Members((run,))


def _each(found: Iterable[Subject], lacks: Iterable[Missing]) -> Members:
    """Each entry as often as it stands for a thing, `count` being one where it is left out; open while one is a bound."""
    made: list[Subject] = []
    missing = list(lacks)
    for one in found:
        many = one.exact("count") if "count" in one.own else 1
        if many is None:
            missing.append(one.lacks("count"))
        made.extend([one] * int(many or 1))
    return Members(tuple(made), bool(missing), tuple(dict.fromkeys(missing)))


class _Fed:
    """What is fed through one service or feeder."""

    def __init__(self, view: SiteView, of: Subject | None, calculation: Subject) -> None:
        self.view = view
        self.of = of
        self.lacks: tuple[Missing, ...] = () if of is not None else (calculation.lacks("of"),)
        self.all = of is not None and of.kind == "service"
        self.panels = set() if of is None or self.all else set(self._reached(of))

    def _reached(self, of: Subject) -> Iterator[str]:
        """The panels at the end of a feeder and of those that go on from there."""
        waiting, seen = [of], set()
        feeders = self.view.of("feeder")
        if (gap := self.view.whole("feeders")) is not None:
            self.lacks += (gap,)
        while waiting:
            end = waiting.pop().fact("to").value
            if isinstance(end, Unknown):
                self.lacks += end.missing
            if not isinstance(end, Subject) or end.id in seen:
                continue
            seen.add(end.id)
            yield end.id
            for feeder in feeders:
                start = feeder.fact("from_").value
                if isinstance(start, Subject) and start.id == end.id:
                    waiting.append(feeder)

    def members(self, member: str, list_name: str) -> Members:
        """The members of a list that it feeds; open while others may be."""
        found, lacks = [], list(self.lacks)
        for one in self.view.of(member) if self.of is not None else ():
            answer = True if self.all else self._through(one)
            if answer is True:
                found.append(one)
            elif isinstance(answer, Missing):
                lacks.append(answer)
        gap = self.view.whole(list_name)
        lacks.extend([gap] if gap is not None else [])
        return _each(found, lacks)

    def _through(self, one: Subject) -> bool | Missing:
        circuit = one.fact("circuit").value
        if not isinstance(circuit, Subject):
            return circuit.missing[0] if isinstance(circuit, Unknown) else False
        panel = circuit.fact("panel").value
        if not isinstance(panel, Subject):
            return panel.missing[0] if isinstance(panel, Unknown) else False
        return panel.id in self.panels
