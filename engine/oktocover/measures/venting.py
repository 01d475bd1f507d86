"""Facts of vents and connectors that follow from the appliances they serve, and what rules ask of terminals."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from oktocover.findings.finding import Step
from oktocover.measures import terminals as terminals
from oktocover.measures.registry import FactType, inverse, list_function, measure
from oktocover.measures.subject import Subject
from oktocover.measures.values import NOWHERE, Worked
from oktocover.quantities import Number, show

DRAFTS = ("natural draft", "fan assisted", "direct vent", "mechanical draft", "unvented", "mixed")
CATEGORIES = ("I", "II", "III", "IV", "none", "mixed")

inverse("appliance", "vents", "vent", via="serves", list_name="vents", means="the vents it goes into")
inverse("vent", "terminals", "vent_terminal", via="vent", list_name="terminals", means="the outdoor ends of the vent")
inverse(
    "vent",
    "connectors",
    "vent_connector",
    via="vent",
    list_name="vent connectors",
    means="the connectors that go into it",
)


GRAVITY = frozenset({"natural draft", "fan assisted"})
HOODED = frozenset({"I", "none"})


def one_word(rows: Sequence[tuple[str, ...]], together: frozenset[str], as_one: str) -> str | None:
    """The word that all rows share; `as_one` when all are among `together`; else 'mixed'. None when there is no row."""
    words = {row[0] for row in rows}
    if not words:
        return None
    if len(words) == 1:
        return words.pop()
    return as_one if words <= together else "mixed"


@measure("vent", "draft", FactType("word", words=DRAFTS, means="draft of the appliances it serves"), ("serves[draft]",))
def vent_draft(rows: Sequence[tuple[str, ...]]) -> str | None:
    """How the appliances of a vent move their flue gas: draft hoods and fans that share a vent leave it to gravity."""
    return one_word(rows, GRAVITY, "natural draft")


@measure(
    "vent",
    "category",
    FactType("word", words=CATEGORIES, means="venting category of the appliances it serves"),
    ("serves[category]",),
)
def vent_category(rows: Sequence[tuple[str, ...]]) -> str | None:
    """The venting category of the appliances of a vent: one with a draft hood has none, and goes with Category I."""
    return one_word(rows, HOODED, "I")


@measure(
    "vent",
    "input",
    FactType("quantity", "heat rate", means="input of all the appliances it serves"),
    ("serves[input]",),
    rises=("serves",),
)
def vent_input(rows: Sequence[tuple[Number, ...]]) -> Worked:
    """The sum of the inputs in Btu/h."""
    total: Number = sum((row[0] for row in rows), start=0)
    how = " + ".join(show(row[0], "heat rate") for row in rows) or "no appliance"
    return Worked(total, (Step("input into the vent", how, show(total, "heat rate")),))


@measure(
    "vent",
    "equivalent_length",
    FactType("quantity", "length", means="its length with the maker's figure for elbows"),
    ("length", "elbows", "elbow_counts_as"),
    rises=("length", "elbows", "elbow_counts_as"),
)
def equivalent_length(length: Number, elbows: Number, each: Number) -> Worked:
    """Developed length plus what each elbow counts as, both in nm (the maker's own method)."""
    total = length + elbows * each
    how = f"{show(length, 'length')} + {show(elbows, 'number')} x {show(each, 'length')}"
    return Worked(total, (Step("equivalent length", how, show(total, "length")),))


@measure(
    "vent",
    "smallest_outlet",
    FactType("quantity", "length", means="smallest flue outlet it serves"),
    ("serves[outlet]",),
)
def smallest_outlet(rows: Sequence[tuple[Number, ...]]) -> Number | None:
    """The smallest outlet diameter among the appliances of a vent, in nm."""
    return min((row[0] for row in rows), default=None)


@measure(
    "vent",
    "plate_thickness",
    FactType("quantity", "length", means="steel between it and the face; 0 for none"),
    ("shield",),
)
def plate_thickness(shield: Number | str) -> Number:
    """The thickness of the plate in nm, 0 when there is none."""
    return 0 if isinstance(shield, str) else shield


@measure(
    "vent",
    "largest_outlet",
    FactType("quantity", "length", means="largest flue outlet it serves"),
    ("serves[outlet]",),
)
def largest_outlet(rows: Sequence[tuple[Number, ...]]) -> Number | None:
    """The largest outlet diameter among the appliances of a vent, in nm."""
    return max((row[0] for row in rows), default=None)


@measure(
    "vent",
    "offset_length",
    FactType("quantity", "length", means="level length of its offset; 0 for none"),
    ("offset",),
)
def offset_length(offset: Number | str) -> Number:
    """The level length of an offset in the upright part, in nm; 0 when there is none."""
    return 0 if isinstance(offset, str) else offset


@measure(
    "vent",
    "manifold_length",
    FactType("quantity", "length", means="level length of its manifold; 0 for none"),
    ("manifold",),
)
def manifold_length(manifold: Number | str) -> Number:
    """The level length in which connectors run together, in nm; 0 when each enters the upright part by itself."""
    return 0 if isinstance(manifold, str) else manifold


TERMINAL_READS: dict[str, FactType] = {
    "draft": FactType("word", words=DRAFTS, means="draft of the appliances it serves"),
    "category": FactType("word", words=CATEGORIES, means="venting category of the appliances it serves"),
    "input": FactType("quantity", "heat rate", means="input of all the appliances it serves"),
    "size": FactType("quantity", "length", means="inside diameter of its vent"),
}


def _as_its_vent(value: Any) -> Any:
    """A terminal has this from its vent."""
    return value


for _name, _type in TERMINAL_READS.items():
    _trend = (f"vent.{_name}",) if _type.form == "quantity" else ()
    measure("terminal", _name, _type, (f"vent.{_name}",), rises=_trend)(_as_its_vent)


def _least(members: Sequence[Subject], fact: str, what: str) -> Worked | float:
    """The smallest value of a length among members, with the one it belongs to."""
    if not members:
        return NOWHERE
    nearest = min(members, key=lambda member: member.value(fact))
    value = nearest.value(fact)
    return Worked(value, (Step(f"{what} of {len(members)}", nearest.label, show(value, "length")),))


def _of_terminal(name: str, fact: str, means: str) -> Callable[..., Worked | float]:
    """Register the list function `name` of a terminal: the smallest `fact` of the members; none there: no bound."""

    @list_function(name, "terminal", "length", member_reads=(fact,), as_list_grows="falls", means=means)
    def least(owner: Subject, members: Sequence[Subject]) -> Worked | float:
        return _least(members, fact, means)

    found: Callable[..., Worked | float] = least
    return found


nearest = _of_terminal("nearest", "distance", "nearest")
nearest_beside = _of_terminal("nearest_beside", "beside", "nearest beside")
lowest_above = _of_terminal("lowest_above", "above", "least height above")
least_below = _of_terminal("least_below", "below", "least height below")
