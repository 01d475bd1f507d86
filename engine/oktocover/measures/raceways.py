"""What is drawn into a raceway, as the things that fill it: single conductors by type and size, cables by diameter.

The areas of raceways and conductors, and the share that may be filled, are data of the rule files (chapter 9).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from oktocover.measures import wiring as wiring
from oktocover.measures.registry import FactType, from_view, kind
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Members, Unknown
from oktocover.quantities import WIRE
from oktocover.site.designation import TYPES, designation

if TYPE_CHECKING:
    from oktocover.findings.finding import Missing
    from oktocover.measures.view import SiteView

_WIRE = kind("raceway_wire", "electrical", "conductors in a raceway")
_WIRE.facts.update(
    {
        "insulation": FactType("word", words=TYPES, means="type of the conductors", computed=True),
        "size": FactType("quantity", "wire size", means="their size", computed=True),
        "number": FactType("quantity", "number", means="how many of them", computed=True),
        "whole_cable": FactType("yes or no", means="a cable, that counts as one by its diameter", computed=True),
        "diameter": FactType("quantity", "length", means="diameter of a cable; of a flat one the wide side"),
    }
)
kind("raceway").facts["wires"] = FactType("many", kind="raceway_wire", means="what is drawn into it", computed=True)


@from_view
def fill(view: SiteView) -> None:
    """Give each raceway what is drawn into it; open while the list of cables is, or one of them is not told."""
    drawn: dict[str, list[Subject]] = {}
    loose: list[Missing] = []
    for cable in view.of("cable"):
        raceway, what = cable.fact("raceway").value, cable.fact("what").value
        if isinstance(raceway, Subject):
            drawn.setdefault(raceway.id, []).append(cable)
        elif isinstance(raceway, Unknown) and isinstance(what, str) and designation(what).single:
            # conductors that are no cable lie in some raceway: it may be any of them
            loose.append(cable.lacks("raceway"))
    for raceway in view.of("raceway"):
        wires: list[Subject] = []
        gap = view.whole("cables", raceway.id)
        lacks = [*([gap] if gap is not None else []), *loose]
        for cable in drawn.get(raceway.id, ()):
            what = cable.fact("what")
            if not isinstance(what.value, str):
                lacks.extend(what.value.missing if isinstance(what.value, Unknown) else ())
                continue
            made = designation(what.value)
            if made.single and not made.sizes:
                lacks.append(cable.lacks("what"))
            wires.extend(_wires(cable, what))
        raceway.own["wires"] = Members(tuple(wires), bool(lacks), tuple(dict.fromkeys(lacks)))


def _wires(cable: Subject, what: Fact) -> list[Subject]:
    """A cable as one thing by its diameter; single conductors by size, the ground as insulated as the others."""
    made = designation(what.value)
    if not made.single:
        facts = {"number": 1, "whole_cable": True, "insulation": Fact(made.type, (), what.known)}
        return [_thing(cable, cable.id, {**facts, "diameter": cable.fact("diameter")})]
    sizes = [*made.sizes, *([made.ground] if made.ground is not None else [])]
    return [
        _thing(
            cable,
            f"{cable.id} {WIRE[size]}",
            {
                "number": sizes.count(size),
                "whole_cable": False,
                "insulation": Fact(made.type, (), what.known),
                "size": Fact(size, (), what.known),
            },
        )
        for size in sorted(set(sizes), reverse=True)
    ]


def _thing(cable: Subject, name: str, facts: dict[str, Any]) -> Subject:
    label = f"conductors of {cable.label}"
    return Subject("raceway_wire", name, facts, label=label, path=cable.path, elements=cable.elements)
