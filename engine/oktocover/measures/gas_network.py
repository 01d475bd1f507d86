"""The gas piping as a tree: what each pipe feeds, and the way from where a gas system begins to each of its ends.

A `gas_section` is one pipe seen as a part of the tree, a `gas_end` one end of it: an appliance, an outlet, a line
regulator, or a pipe of which nobody has written where it ends. A line regulator ends one gas system and begins the
next, so that lengths start anew there and loads do not. What is counted as length, how heat becomes flow and what a
size carries is data of the rule files.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from oktocover.findings.finding import Missing
from oktocover.measures.registry import FactType, inverse, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Members, Unknown, unknown

if TYPE_CHECKING:
    from oktocover.measures.view import SiteView

Lacks = tuple[Missing, ...]
ENDS: Final = ("appliance", "outlet", "regulator", "not written")


inverse(
    "appliance",
    "gas_valves",
    "gas_valve",
    via="serves",
    list_name="gas valves",
    means="the shutoff valves that serve it",
)


@dataclass(slots=True)
class Network:
    """Which pipe comes from what, read once from a SiteView."""

    pipes: dict[str, Subject]
    source: dict[str, Subject | None]
    """What each pipe comes from; None when nobody wrote it."""
    branches: dict[str, list[str]] = field(default_factory=dict)
    """The pipes that come from a pipe, a meter, a regulator or a system."""
    regulators: dict[str, list[Subject]] = field(default_factory=dict)
    """The regulators after a pipe."""

    @classmethod
    def of(cls, view: SiteView) -> Network:
        """The network of a site."""
        pipes = {pipe.id: pipe for pipe in view.of("gas_pipe")}
        made = cls(pipes, {})
        for name, pipe in pipes.items():
            value = pipe.value("from_")
            made.source[name] = source = value if isinstance(value, Subject) else None
            if source is not None:
                made.branches.setdefault(source.id, []).append(name)
        for regulator in view.of("gas_regulator"):
            after = regulator.value("after")
            if isinstance(after, Subject):
                made.regulators.setdefault(after.id, []).append(regulator)
        return made

    def way(self, name: str) -> tuple[list[str], str | None]:
        """The pipes from where the gas comes in to `name`, itself the last, and the pipe of which nobody wrote the source.

        Piping that runs in a ring has no beginning: the last pipe walked is named.
        """
        found: list[str] = []
        at: Subject | None = self.pipes[name]
        while at is not None and at.kind == "gas_pipe":
            if at.id in found:
                return found[::-1], at.id
            found.append(at.id)
            at = self.source[at.id]
        return found[::-1], found[-1] if at is None else None

    def below(self, name: str) -> list[str]:
        """`name` and every pipe that its gas goes on to in the same system, nearest first."""
        found = {name: None}
        waiting = [name]
        for one in waiting:
            fresh = [branch for branch in self.branches.get(one, ()) if branch not in found]
            found.update(dict.fromkeys(fresh))
            waiting.extend(fresh)
        return waiting


@subjects(
    "gas_end",
    {
        "what": FactType("word", words=ENDS, means="what the pipe ends at", computed=True),
        "pipe": FactType("one", kind="gas_pipe", means="the pipe that ends here", computed=True),
        "appliance": FactType("one", kind="appliance", means="the appliance it ends at", computed=True),
        "has_appliance": FactType("yes or no", means="an appliance stands there, or is meant to", computed=True),
        "regulator": FactType("one", kind="gas_regulator", means="the regulator it ends at", computed=True),
        "input": FactType("quantity", "heat rate", means="input of what stands there", found_by="plate", computed=True),
        "route": FactType("many", kind="gas_section", means="the sections from the source to it", computed=True),
        "served": FactType("many", kind="gas_end", means="what it feeds in the end", computed=True),
    },
    system="fuel gas",
)
def gas_ends(view: SiteView) -> Iterator[Subject]:
    """Every end of the gas piping; see `_Builder`."""
    return iter(_built(view)[1])


@subjects(
    "gas_section",
    {
        "pipe": FactType("one", kind="gas_pipe", means="the pipe it is", computed=True),
        "served": FactType(
            "many", kind="gas_end", means="all that its gas goes to, also after regulators", computed=True
        ),
        "ends": FactType("many", kind="gas_end", means="the ends it feeds in its own gas system", computed=True),
        "all_ends": FactType("many", kind="gas_end", means="all ends of its gas system", computed=True),
    },
    system="fuel gas",
)
def gas_sections(view: SiteView) -> Iterator[Subject]:
    """Every pipe as a section of the tree; see `_Builder`."""
    return iter(_built(view)[0])


def _built(view: SiteView) -> tuple[tuple[Subject, ...], tuple[Subject, ...]]:
    """Sections and ends refer to each other, so they are made together and kept together."""
    if "gas_section" not in view.by_kind or "gas_end" not in view.by_kind:
        builder = _Builder(view)
        view.by_kind["gas_section"] = tuple(builder.sections.values())
        view.by_kind["gas_end"] = tuple(end for ends in builder.ends_of.values() for end in ends)
    return view.by_kind["gas_section"], view.by_kind["gas_end"]


class _Builder:
    """Makes the sections and ends of a site. What an open list or a missing fact could add is said as open."""

    def __init__(self, view: SiteView) -> None:
        self.view = view
        self.network = Network.of(view)
        self.systems: dict[str, Fact] = {name: pipe.fact("system") for name, pipe in self.network.pipes.items()}
        self.sections = {name: _section(pipe) for name, pipe in self.network.pipes.items()}
        self.ends_of: dict[str, list[Subject]] = {name: self._ends(pipe) for name, pipe in self.network.pipes.items()}
        whole = {system.id: self._whole(system) for system in view.of("gas_system")}
        self.by_system: dict[str, Members] = {}
        for name, lacks in whole.items():
            ends = [end for pipe, found in self.ends_of.items() if self._in(pipe, name) for end in found]
            self.by_system[name] = Members(tuple(ends), bool(lacks), lacks)
        self.beyond = self._not_placed()
        self._join()

    def _in(self, pipe: str, system: str) -> bool:
        value = self.systems[pipe].value
        return isinstance(value, Subject) and value.id == system

    def _whole(self, system: Subject) -> Lacks:
        """What could still add pipes to a system."""
        pipes = system.value("pipes")
        return pipes.missing if isinstance(pipes, Members) else ()

    def _not_placed(self) -> dict[str, Lacks]:
        """For each system, what could hang on its pipes through a regulator that nobody has placed."""
        open_list = self.view.whole("gas systems")
        fed = {
            begun.id
            for kind, name in (("gas_meter", "of"), ("gas_regulator", "feeds"))
            for begun in (one.value(name) for one in self.view.of(kind))
            if isinstance(begun, Subject)
        }
        loose = {
            system.id: Missing(
                system.id,
                "source",
                "look",
                system.kind,
                "what it begins at: a meter that says `of`, or a regulator that says `feeds`",
                system.path,
            )
            for system in self.view.of("gas_system")
            if system.id not in fed
        }
        floating = [
            regulator.lacks("after")
            for regulator in self.view.of("gas_regulator")
            if not isinstance(regulator.value("after"), Subject)
        ]
        return {
            system.id: (
                *((open_list,) if open_list else ()),
                *floating,
                *(lacks for name, lacks in loose.items() if name != system.id),
            )
            for system in self.view.of("gas_system")
        }

    def _ends(self, pipe: Subject) -> list[Subject]:
        """The ends of one pipe: what it says it goes to, the regulators after it, or an end nobody wrote."""
        to = pipe.value("to")
        regulators = self.network.regulators.get(pipe.id, [])
        ends = [_regulator_end(pipe, one) for one in regulators]
        if isinstance(to, Subject):
            ends.append(_appliance_end(pipe, to) if to.kind == "appliance" else _outlet_end(pipe, to))
        if not ends and not self.network.branches.get(pipe.id):
            ends.append(_unwritten_end(pipe))
        return ends

    def _join(self) -> None:
        """Tell sections and ends of each other."""
        served = {name: self._served(name, ()) for name in self.network.pipes}
        for name, section in self.sections.items():
            system = self.systems[name].value
            known = isinstance(system, Subject)
            lacks: Lacks = system.missing if isinstance(system, Unknown) else ()
            in_system = self.by_system.get(system.id) if isinstance(system, Subject) else None
            missing = in_system.missing if in_system is not None else lacks
            ends = tuple(end for one in self.network.below(name) for end in self.ends_of[one])
            section.own["ends"] = Members(ends, bool(missing), missing)
            section.own["all_ends"] = in_system if known and in_system is not None else Members((), True, missing)
            section.own["served"] = served[name]
            for end in self.ends_of[name]:
                way, broken = self.network.way(name)
                cut = (self.network.pipes[broken].lacks("from_"),) if broken else ()
                end.own["route"] = Members(tuple(self.sections[one] for one in way), bool(cut), cut)
                regulator = end.own.get("regulator")
                after = self._after(regulator, (name,)) if isinstance(regulator, Subject) else Members((end,))
                end.own["served"] = after

    def _served(self, name: str, walked: tuple[str, ...]) -> Members:
        """The appliances and outlets that a pipe feeds in the end, through regulators too."""
        found: list[Subject] = []
        missing: list[Missing] = []
        system = self.systems[name].value
        if isinstance(system, Subject):
            missing += [*self.by_system[system.id].missing, *self.beyond[system.id]]
        elif isinstance(system, Unknown):
            missing += system.missing
        for one in self.network.below(name):
            for end in self.ends_of[one]:
                regulator = end.own.get("regulator")
                if not isinstance(regulator, Subject):
                    found.append(end)
                    continue
                after = self._after(regulator, (*walked, name))
                found += after.sure
                missing += after.missing
        return Members(tuple(dict.fromkeys(found)), bool(missing), tuple(dict.fromkeys(missing)))

    def _after(self, regulator: Subject, walked: tuple[str, ...]) -> Members:
        """What the gas system after a regulator feeds in the end."""
        fed = regulator.value("feeds")
        if not isinstance(fed, Subject):
            lacks = (regulator.lacks("feeds"),)
            return Members((), True, lacks)
        found: list[Subject] = []
        missing = [*self.by_system[fed.id].missing, *self.beyond[fed.id]]
        for name, pipe_system in self.systems.items():
            if not (isinstance(pipe_system.value, Subject) and pipe_system.value.id == fed.id) or name in walked:
                continue
            source = self.network.source[name]
            if source is not None and source.kind != "gas_pipe":
                inner = self._served(name, walked)
                found += inner.sure
                missing += inner.missing
        return Members(tuple(dict.fromkeys(found)), bool(missing), tuple(dict.fromkeys(missing)))


def _section(pipe: Subject) -> Subject:
    source, to = pipe.value("from_"), pipe.value("to")
    begins = f" from {source.id}" if isinstance(source, Subject) else ""
    goes = f" to {to.id}" if isinstance(to, Subject) else ""
    return Subject(
        "gas_section",
        pipe.id,
        {"pipe": pipe},
        base=pipe,
        path=pipe.path,
        elements=(pipe.id,),
        label=f"gas pipe {pipe.id}{begins}{goes}",
    )


def _end(pipe: Subject, at: Subject, what: str, facts: dict[str, object], label: str) -> Subject:
    none = {name: unknown(pipe.lacks("to")) for name in ("appliance", "regulator", "input")}
    own = {**none, "what": what, "pipe": pipe, "has_appliance": what == "appliance", **facts}
    elements = dict.fromkeys((at.id, pipe.id))
    return Subject("gas_end", at.id, own, path=at.path, elements=elements, label=label, where=at.where)


def _appliance_end(pipe: Subject, appliance: Subject) -> Subject:
    facts = {"appliance": appliance, "input": appliance.fact("input")}
    return _end(pipe, appliance, "appliance", facts, f"gas at {appliance.id}")


def _outlet_end(pipe: Subject, outlet: Subject) -> Subject:
    """An outlet: the input of its appliance, or what it is meant for while none stands there."""
    appliance = outlet.value("appliance")
    if isinstance(appliance, Subject):
        facts: dict[str, object] = {"appliance": appliance, "input": appliance.fact("input"), "has_appliance": True}
    else:
        load = outlet.fact("load")
        empty: object = Unknown((outlet.lacks("appliance"),)) if isinstance(load.value, Unknown) else False
        facts = {"input": load, "has_appliance": empty}
    return _end(pipe, outlet, "outlet", facts, f"gas outlet {outlet.id}")


def _regulator_end(pipe: Subject, regulator: Subject) -> Subject:
    return _end(pipe, regulator, "regulator", {"regulator": regulator}, f"gas regulator {regulator.id}")


def _unwritten_end(pipe: Subject) -> Subject:
    return _end(
        pipe, pipe, "not written", {"has_appliance": Unknown((pipe.lacks("to"),))}, f"end of gas pipe {pipe.id}"
    )
