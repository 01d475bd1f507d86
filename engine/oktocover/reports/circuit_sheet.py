"""The circuit schedule of a panel: every breaker with its cable, what that carries, its load, and what is on it.

What a cable carries, and the largest breaker it allows, are those of the rules in force; nothing is worked out a second time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from oktocover.measures.subject import Subject
from oktocover.measures.values import Members, Number, Range, Unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import show, show_range
from oktocover.reports import _words
from oktocover.reports._plain import clean, columns, wrap
from oktocover.reports.worksheet import WIDTH, head_lines
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

NOTHING: Final = "?"
CARRIES: Final = "end_ampacity"
ALLOWS: Final = "breaker_at_most"
LEGS: Final = ("A", "B")
WIRED: Final = ("receptacles", "lights", "equipment")
_LINE: Final = "-" * WIDTH
_COLUMNS: Final = (
    ("circuit", 9), ("breaker", 8), ("volts", 7), ("leg", 5), ("cable", 16), ("carries", 9), ("at most", 9),
    ("load", 10), ("outlets", 7),
)  # fmt: skip
_CARRIES, _ALLOWS = "carries", "at most"


@dataclass(frozen=True, slots=True)
class Row:
    """One circuit or feeder of a panel, as it is printed."""

    name: str
    serves: str
    breaker: str
    volts: str
    leg: str
    cable: str
    carries: str
    at_most: str
    load: str
    outlets: str

    def cells(self) -> tuple[str, ...]:
        """What stands in its columns, in their order."""
        return (
            self.name, self.breaker, self.volts, self.leg, self.cable, self.carries, self.at_most, self.load,
            self.outlets,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class CircuitSheet:
    """All circuits of one panel."""

    panel: Subject
    rows: tuple[Row, ...]
    legs: tuple[tuple[str, tuple[tuple[str, Number], ...]], ...]
    """A leg, and the part of each circuit's written load that is on it."""
    open_because: tuple[str, ...]


def circuit_rows(view: SiteView, rules: RuleSet) -> list[CircuitSheet]:
    """A schedule for each panel of which a circuit is written, in the order of the file."""
    book = next((name.split(".")[0] for name in rules.folded.things["terms"] if name.endswith(f".{CARRIES}")), "")
    worked = {name: _term(rules, f"{book}.{name}") for name in (CARRIES, ALLOWS)} if book else {}
    found = (_sheet(view, panel, worked) for panel in view.of("panel"))
    return [sheet for sheet in found if sheet.rows]


def _term(rules: RuleSet, name: str) -> Callable[[Env], Any]:
    term = rules.term(name)
    if term is None:
        return lambda env: Unknown(())
    return term.compiled().evaluate


def _sheet(view: SiteView, panel: Subject, worked: Mapping[str, Callable[[Env], Any]]) -> CircuitSheet:
    circuits, feeders = panel.value("circuits"), panel.value("feeders_out")
    members = [one for found in (circuits, feeders) if isinstance(found, Members) for one in found.sure]
    lacks = [
        f"{item.element} {item.fact}".strip()
        for found in (circuits, feeders)
        if isinstance(found, Members) and found.open
        for item in found.missing
    ]
    rows = tuple(_row_of(view, one, worked) for one in members)
    return CircuitSheet(panel, rows, tuple(_legs(members)), tuple(dict.fromkeys(lacks)))


def _row_of(view: SiteView, one: Subject, worked: Mapping[str, Callable[[Env], Any]]) -> Row:
    runs = one.value("runs")
    pieces = runs.sure if isinstance(runs, Members) else ()
    whole = isinstance(runs, Members) and not runs.open
    figures = {name: [work(Env(piece, view.roots, {})) for piece in pieces] for name, work in worked.items()}
    return Row(
        one.id,
        _serves(one),
        told(one.value("breaker"), "current"),
        told(one.value("volts"), "voltage"),
        _word(one.value("leg")) if one.kind == "circuit" else NOTHING,
        ", ".join(dict.fromkeys(_word(piece.value("what")) for piece in pieces)) or NOTHING,
        _least(figures.get(CARRIES, ()), whole),
        _least(figures.get(ALLOWS, ()), whole),
        _load(one) if one.kind == "circuit" else told(one.value("load"), "current"),
        _outlets(one) if one.kind == "circuit" else "feeder",
    )


def _serves(one: Subject) -> str:
    """What a circuit is for, in the words of the file; its rooms and machines. Of a feeder the place where it ends."""
    if one.kind == "feeder":
        end = one.value("to")
        return f"to {end.label}" if isinstance(end, Subject) else NOTHING
    own = one.value("for_")
    rooms = dict.fromkeys(room for outlet in _on(one, WIRED) if (room := outlet.where[0]))
    machines = (f"{machine.id} {_word(machine.value('what'), '')}".strip() for machine in _machines(one))
    parts = (own if isinstance(own, str) else _word(one.value("purpose"), ""), ", ".join(rooms), ", ".join(machines))
    return "; ".join(dict.fromkeys(text for text in parts if text)) or NOTHING


def _on(circuit: Subject, names: Sequence[str]) -> Iterator[Subject]:
    for name in names:
        found = circuit.value(name)
        yield from found.sure if isinstance(found, Members) else ()


def _machines(circuit: Subject) -> tuple[Subject, ...]:
    feeds = circuit.value("feeds")
    return feeds.sure if isinstance(feeds, Members) else ()


def _outlets(circuit: Subject) -> str:
    """How many outlets are on it; a machine on a cord is none of its own."""
    many = sum("receptacle" not in one.own for one in _on(circuit, WIRED))
    lists = [circuit.value(name) for name in WIRED]
    is_open = any(not isinstance(one, Members) or one.open for one in lists)
    return f"{many}+" if is_open else f"{many}"


def _load(circuit: Subject) -> str:
    """The load that is written for it; else that of its machines together, at least, where receptacles are beside them."""
    written = circuit.value("load")
    if not isinstance(written, Unknown):
        return told(written, "power")
    inputs = [machine.exact("input") for machine in _machines(circuit)]
    known = [one for one in inputs if isinstance(one, (int, Fraction))]
    if not known:
        return NOTHING
    total = told(sum((Fraction(one) for one in known), Fraction(0)), "power")
    alone = circuit.value("purpose") == "one appliance" and len(known) == len(inputs)
    return total if alone else f"{total} or more"


def _least(found: Sequence[Any], whole: bool) -> str:
    """The least of the pieces; a bound, or a question mark, where one of them is not known or more may come."""
    exact = [one for one in found if isinstance(one, (int, Fraction)) and not isinstance(one, bool)]
    if not found or len(exact) < len(found):
        ranges = [one for one in found if isinstance(one, Range)]
        return told(ranges[0], "current") if whole and len(found) == len(ranges) == 1 else NOTHING
    least = show(min(exact), "current")
    return least if whole else f"{least} or less"


def _legs(members: Sequence[Subject]) -> Iterator[tuple[str, tuple[tuple[str, Number], ...]]]:
    """The legs with what is written to be on them; a circuit on both has half of its load on each. None: no leg is told."""
    if not any(one.exact("leg") for one in members if one.kind == "circuit"):
        return
    for leg in LEGS:
        parts: list[tuple[str, Number]] = []
        for one in members:
            load, on = one.exact("load"), one.exact("leg") if one.kind == "circuit" else None
            if isinstance(load, (int, Fraction)) and on in (leg, "both"):
                parts.append((one.id, load if on == leg else Fraction(load) / 2))
        yield leg, tuple(parts)


def told(value: Any, dimension: str) -> str:
    """A figure as it is printed: exact, a bound, or a question mark."""
    unit = "VA" if dimension == "power" else None
    if isinstance(value, (int, Fraction)) and not isinstance(value, bool):
        return show(value, dimension, unit, 6)
    if isinstance(value, Range):
        low = value.low if isinstance(value.low, (int, Fraction)) else None
        high = value.high if isinstance(value.high, (int, Fraction)) else None
        return show_range(low, high, value.low_open, value.high_open, dimension, unit)
    return NOTHING


def _word(value: Any, nothing: str = NOTHING) -> str:
    return nothing if isinstance(value, (Unknown, Range, Members, Subject)) else clean(str(value), 60)


def circuit_sheet(sheet: CircuitSheet, head: Mapping[str, Any]) -> str:
    """One schedule, at most 80 columns wide. `head` is what `worksheet.head_of` gives."""
    panel = sheet.panel
    lines = wrap(f"WORKSHEET: circuit schedule, {clean(panel.id, 60)}", WIDTH, "", "  ")
    lines += head_lines(head)
    lines += ["", "THE PANEL", _LINE]
    lines += [f"{name:<18}{figure}" for name, figure in panel_lines(panel)]
    lines += ["", "CIRCUITS, in the order of the file", _LINE, *_table(sheet.rows)]
    lines += ["", *(part for leg, parts in sheet.legs for part in _sum(leg, parts))]
    note = (
        f"{_CARRIES}: what the thinnest piece carries at its end; {_ALLOWS}: the largest breaker it allows. "
        "A motor or welder may have a larger one by its own article. load: as written, else of its machines. "
        "? is not recorded; 3+ is 3 at least."
    )
    lines += wrap(note, WIDTH)
    if sheet.open_because:
        lines += wrap("more may come: " + "; ".join(sheet.open_because), WIDTH, "Open       ", " " * 11)
    for text in _words.cautions(("electrical",)):
        lines += wrap(text, WIDTH, "", "  ")
    return "\n".join([*lines, *wrap(_words.CLOSING, WIDTH)]) + "\n"


def panel_lines(panel: Subject) -> Iterator[tuple[str, str]]:
    """What is written of the panel itself: its main, its busbars, its voltage, its places."""
    main = panel.value("main")
    yield "main", "none" if main == "none" else told(main, "current")
    yield "busbars", told(panel.value("rating"), "current")
    yield "volts", told(panel.value("volts"), "voltage")
    positions = panel.exact("positions")
    yield "places", NOTHING if positions is None else str(positions)


def _table(rows: Sequence[Row]) -> Iterator[str]:
    yield _line(_COLUMNS)
    for row in rows:
        cells = [wrap(text, width - 1) or [""] for (_, width), text in zip(_COLUMNS, row.cells(), strict=True)]
        for at in range(max(map(len, cells))):
            texts = [cell[at] if at < len(cell) else "" for cell in cells]
            yield _line([(text, width) for text, (_, width) in zip(texts, _COLUMNS, strict=True)])
        yield from wrap(clean(row.serves, 200), WIDTH, "         ", "           ")


def _sum(leg: str, parts: Sequence[tuple[str, Number]]) -> Iterator[str]:
    total = sum((Fraction(part) for _, part in parts), Fraction(0))
    terms = " + ".join(f"{name} {show(part, 'power', 'VA', 6)}" for name, part in parts) or "nothing written"
    yield from wrap(f"{terms} = {show(total, 'power', 'VA', 6)}", WIDTH, f"leg {leg}: ", "       ")


def _line(cells: Sequence[tuple[str, int]]) -> str:
    row = "".join(text + " " * (width - columns(text)) for text, width in cells)
    return row.rstrip()
