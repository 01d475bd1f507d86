"""The systems of a building in words: circuits by panel, gas as a tree, appliances with their vents."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Final

from oktocover.measures.view import SiteView
from oktocover.quantities import show
from oktocover.reports._plain import clean, listed
from oktocover.reports._wiring import designations, fed_by
from oktocover.reports.readback import paragraphs, place_of, whole_or_open, written
from oktocover.site.base import SAID_OF_ENTRY, spaced

Line = tuple[int, str]
"""How deep a line stands, and its text."""
_DEEPEST: Final = 40
_NOT_MISSED: Final = ("space", "wall", "at", "height", "what", *SAID_OF_ENTRY)


def _open_lists(view: SiteView, *names: str) -> Iterator[Line]:
    """How the lists of a part stand, those alike together."""
    by_state: dict[str, list[str]] = {}
    for name in names:
        by_state.setdefault(whole_or_open(view, name), []).append(name)
    for state, lists in by_state.items():
        yield 0, f"{listed(lists)}: {state}"


def _facts(model: Any, names: Iterable[str]) -> list[str]:
    """The facts of those names as written, `size 4 in`; what is not recorded is left out."""
    found = []
    for name in names:
        value = getattr(model, name)
        if value is not None:
            found.append(f"{spaced(name)} {written(value)}")
    return found


# wiring


def electrical_lines(view: SiteView) -> list[str]:
    """Panels with their circuits, and what each circuit feeds."""
    site = view.site
    if not (site.panels or site.circuits):
        return []
    entries: list[Line] = []
    for name, panel in [*site.panels.items(), (None, None)]:
        own = {one: circuit for one, circuit in site.circuits.items() if circuit.panel == name}
        if panel is not None:
            facts = [place_of(panel), *_facts(panel, ("main", "rating"))]
            entries.append((0, f"panel {clean(str(name), 40)}: {listed(facts)}"))
        elif own:
            entries.append((0, "circuits whose panel is not recorded"))
        entries += [(1, _circuit(view, one, circuit)) for one, circuit in own.items()]
    loose = [name for name, one in site.receptacles.items() if one.circuit is None]
    if loose:
        entries.append((0, f"receptacles whose circuit is not recorded: {listed(map(clean, loose))}"))
    return ["WIRING", *paragraphs([*entries, *_open_lists(view, "panels", "circuits")])]


def _circuit(view: SiteView, name: str, circuit: Any) -> str:
    feeds = fed_by(view, name)
    said = [
        written(circuit.breaker) if circuit.breaker is not None else "breaker not recorded",
        written(circuit.cable) if circuit.cable is not None else designations(view, name) or "cable not recorded",
        f"for {clean(circuit.for_, 120)}" if circuit.for_ else "",
    ]
    return f"{clean(name, 40)}: {listed(said)}; feeds {listed(map(clean, feeds)) or 'no outlet that is written'}"


# gas


def gas_lines(view: SiteView) -> list[str]:
    """Gas systems, each with its piping as a tree from where the gas comes in, and its tests."""
    site = view.site
    if not (site.gas_systems or site.gas_pipes or site.gas_meters or site.gas_tests):
        return []
    tree = _Tree(view)
    entries: list[Line] = []
    for name, system in site.gas_systems.items():
        said = [
            *([system.gas] if system.gas else ["gas not recorded"]),
            *(_facts(system, ("working_pressure",)) or ["working pressure not recorded"]),
        ]
        entries.append((0, f"{clean(name, 40)}: {listed(said)}"))
        entries += tree.of_system(name)
        entries += [(1, _test(one, test)) for one, test in site.gas_tests.items() if test.of == name]
    entries += tree.rest()
    entries += [(0, _test(one, test)) for one, test in site.gas_tests.items() if test.of not in site.gas_systems]
    return ["GAS", *paragraphs([*entries, *_open_lists(view, "gas systems", "gas pipes", "gas valves", "gas tests")])]


class _Tree:
    """The gas piping, walked once from its sources; nothing is told twice."""

    def __init__(self, view: SiteView) -> None:
        self.site = view.site
        self.told: set[str] = set()

    def of_system(self, name: str) -> Iterator[Line]:
        """What begins a system, with everything after it."""
        site = self.site
        begins = [one for one, meter in site.gas_meters.items() if meter.of == name]
        begins += [one for one, regulator in site.gas_regulators.items() if regulator.feeds == name]
        for one in begins:
            yield 1, self._source(one)
            yield from self._pipes(one, 2)
        yield from self._pipes(name, 1)

    def rest(self) -> Iterator[Line]:
        """Pipes that hang on nothing told so far."""
        left = [name for name in self.site.gas_pipes if name not in self.told]
        if left:
            yield 0, "pipes that are not joined to a gas system as written"
        for name in left:
            if name not in self.told and self.site.gas_pipes[name].from_ not in left:
                yield from self._pipe(name, 1)
        for name in left:
            if name not in self.told:
                yield from self._pipe(name, 1)

    def _source(self, name: str) -> str:
        meter = self.site.gas_meters.get(name)
        if meter is not None:
            return f"{clean(name, 40)}, gas meter: {place_of(meter) or 'place not recorded'}"
        after = self.site.gas_regulators[name].after
        return f"{clean(name, 40)}, regulator, after {written(after)}"

    def _pipes(self, source: str, depth: int) -> Iterator[Line]:
        for name, pipe in self.site.gas_pipes.items():
            if pipe.from_ == source and name not in self.told:
                yield from self._pipe(name, depth)

    def _pipe(self, name: str, depth: int) -> Iterator[Line]:
        if name in self.told or depth > _DEEPEST:
            return
        self.told.add(name)
        yield depth, self._words(name)
        for one, regulator in self.site.gas_regulators.items():
            if regulator.after == name:
                yield depth + 1, f"{clean(one, 40)}, regulator, feeds {written(regulator.feeds)}"
        yield from self._pipes(name, depth + 1)

    def _words(self, name: str) -> str:
        site, pipe = self.site, self.site.gas_pipes[name]
        said = [
            written(pipe.size) if pipe.size is not None else "size not recorded",
            written(pipe.material) if pipe.material is not None else "material not recorded",
            f"{written(pipe.length)} long" if pipe.length is not None else "length not recorded",
            "concealed" if pipe.concealed else "",
        ]
        valves = [one for one, valve in site.gas_valves.items() if valve.pipe == name]
        fittings = [f"{written(one.what)} {key}" for key, one in site.gas_fittings.items() if one.pipe == name]
        said += [f"valve {listed(map(clean, valves))}"] if valves else []
        said += [clean(text, 60) for text in fittings]
        text = f"{clean(name, 40)}: {listed(said)}"
        return f"{text}; to {_end(site, pipe.to)}" if pipe.to is not None else text


def _end(site: Any, name: str) -> str:
    appliance, outlet = site.appliances.get(name), site.gas_outlets.get(name)
    if appliance is not None:
        heat = f", {written(appliance.input)}" if appliance.input is not None else ""
        return f"{clean(name, 40)}, {appliance.what or 'appliance'}{heat}"
    capped = {True: ", capped", False: ", not capped", None: ""}[outlet.capped] if outlet is not None else ""
    return f"{clean(name, 40)}, outlet{capped}"


def _test(name: str, test: Any) -> str:
    over = test.covers or (f"pipes {written(test.pipes)}" if test.pipes is not None else "what it covers: not recorded")
    said = [over, *_facts(test, ("medium", "pressure", "end_pressure", "drop"))]
    if test.started is not None and test.ended is not None:
        seconds = int((test.ended - test.started).total_seconds())
        said.append(f"{test.started:%Y-%m-%d %H:%M} to {test.ended:%H:%M}, held {show(seconds, 'time')}")
    elif test.held is not None:
        said.append(f"held {written(test.held)}")
    else:
        said.append("how long it was held: not recorded")
    said.append({True: "on the gauge at the visit", False: "not on the gauge", None: ""}[test.on_the_gauge])
    return f"test {clean(name, 40)}: {listed(said)}"


# appliances


def fuel_lines(view: SiteView) -> list[str]:
    """Appliances with their vents and terminals, and the openings that bring them air."""
    site = view.site
    if not (site.appliances or site.vents or site.terminals or site.air_openings):
        return []
    entries: list[Line] = []
    told: set[str] = set()
    for name, appliance in site.appliances.items():
        said = [
            appliance.what or "what it is: not recorded",
            place_of(appliance) or "room not recorded",
            *_facts(appliance, ("fuel", "input", "draft", "category")),
        ]
        entries.append((0, f"{clean(name, 40)}: {listed(said)}"))
        vents = [one for one, vent in site.vents.items() if name in (vent.serves or ())]
        for one in vents:
            entries += _vent(site, one, told)
        if not vents and appliance.draft != "unvented" and appliance.fuel != "electric":
            entries.append((1, "no vent written"))
    for one in [one for one in site.vents if one not in told]:
        entries += _vent(site, one, told)
    entries += [
        (0, f"terminal {clean(one, 40)}, of no vent as written: {place_of(terminal)}")
        for one, terminal in site.terminals.items()
        if terminal.vent not in site.vents
    ]
    for one, air in site.air_openings.items():
        said = [place_of(air), *_facts(air, ("source", "what", "width", "high", "diameter", "cover", "fan"))]
        entries.append((0, f"air {clean(one, 40)}: {listed(said)}"))
    lists = ("appliances", "vents", "vent connectors", "terminals", "air openings")
    return ["APPLIANCES", *paragraphs([*entries, *_open_lists(view, *lists)])]


def _vent(site: Any, name: str, told: set[str]) -> Iterator[Line]:
    if name in told:
        yield 1, f"vent {clean(name, 40)}, as above"
        return
    told.add(name)
    vent = site.vents[name]
    for one, connector in site.vent_connectors.items():
        if connector.vent == name:
            said = [f"of {written(connector.appliance)}", *_facts(connector, ("material", "size", "length"))]
            yield 1, f"connector {clean(one, 40)}: {listed(said)}"
    yield 1, f"vent {clean(name, 40)}: {listed(_facts(vent, ('material', 'size', 'length', 'rise', 'elbows')))}"
    ends = [(one, terminal) for one, terminal in site.terminals.items() if terminal.vent == name]
    for one, terminal in ends:
        through = f"through the {terminal.through}" if terminal.through else "through what: not recorded"
        said = [through, place_of(terminal), *_facts(terminal, ("above_grade", "above_roof"))]
        yield 2, f"terminal {clean(one, 40)}: {listed(said)}"
    if not ends:
        yield 2, "no terminal written"


# the rest


_TOLD: Final = frozenset(
    {
        "levels",
        "spaces",
        "walls",
        "openings",
        "panels",
        "circuits",
        "receptacles",
        "gas_systems",
        "gas_meters",
        "gas_regulators",
        "gas_pipes",
        "gas_fittings",
        "gas_valves",
        "gas_tests",
        "appliances",
        "vents",
        "vent_connectors",
        "terminals",
        "air_openings",
    }
)


def other_lines(view: SiteView) -> list[str]:
    """Every other list in one line each: how many, which, and whether the list is whole."""
    entries: list[Line] = []
    for field, members in _lists(view).items():
        if members and field not in _TOLD:
            entries.append(
                (0, f"{spaced(field)}, {len(members)}: {_ids(members)}; {whole_or_open(view, spaced(field))}")
            )
    return ["OTHER LISTS", *paragraphs(entries)] if entries else []


def _lists(view: SiteView) -> dict[str, Mapping[str, Any]]:
    from oktocover.site.root import element_lists

    return {field: getattr(view.site, field) for field in element_lists()}


def _ids(members: Mapping[str, Any]) -> str:
    return listed(
        clean(name, 40) + (f" ({one.what})" if getattr(one, "what", None) else "") for name, one in members.items()
    )
