"""Cables through framing and along it: which run in the building, where they end in boxes without clamps, which holes
they may share.

A cable through many holes is judged by the fullest that is sealed. While the holes are not all written down it may go
through one that nobody has counted, and the number of cables beside it stays open.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from oktocover.findings.finding import Missing, Step
from oktocover.measures import wiring_boxes as wiring_boxes
from oktocover.measures.registry import FactType, from_view, kind, measure, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Members, Range, Unknown, unknown
from oktocover.measures.wiring_graph import wiring_of
from oktocover.site.designation import designation

if TYPE_CHECKING:
    from oktocover.measures.view import SiteView

NOT_FASTENED = frozenset({"buried", "in raceway", "in concrete", "overhead"})
"""Ways in which a cable runs that ask for no staples."""
BARE = frozenset({"exposed", "in the basement", "in the crawl space", "in the attic"})
"""Ways in which a cable runs where it can be reached when the building is finished."""


PAIR = 2
"""Insulated conductors of a circuit that has no neutral to leave out."""


@measure(
    "cable",
    "fastened",
    FactType("yes or no", means="some of it runs in the building, outside raceways, and has to be held"),
    reads=("runs",),
)
def fastened(runs: Sequence[str]) -> bool:
    """Whether a cable runs anywhere but underground, overhead, in concrete or in a raceway."""
    return not set(runs) <= NOT_FASTENED


@measure(
    "cable",
    "exposed",
    FactType("yes or no", means="some of it runs where it can be reached when all is finished"),
    reads=("runs",),
)
def exposed(runs: Sequence[str]) -> bool:
    """Whether some of a cable stays open to reach: exposed, in a basement, crawl space or attic."""
    return not set(runs).isdisjoint(BARE)


kind("cable").facts["clampless"] = FactType(
    "yes or no", means="it ends in a box that has no clamp for it", computed=True
)
kind("cable").facts["carrying"] = FactType(
    "quantity", "number", means="conductors that carry current in its sheath or raceway", computed=True
)


@from_view
def beside(view: SiteView) -> None:
    """Give cables the boxes they end in, and the most cables that share a sealed hole with them."""
    fullest = _fullest(view)
    boxes = wiring_of(view).boxes
    for cable in view.of("cable"):
        ends = [cable.fact(name).value for name in ("from_", "to")]
        cable.own["clampless"] = _clampless(view, [boxes.get(end.id) for end in ends if isinstance(end, Subject)])
        cable.own["carrying"] = _carrying(view, cable)
        if "sealed_together" not in cable.own:
            cable.own["sealed_together"] = _shared(cable, fullest)


def _clampless(view: SiteView, boxes: list[str | None]) -> object:
    """Whether one of the boxes a cable ends in has no clamps; unknown while one of them has not been looked at."""
    found = [view.elements[box].fact("clamps") for box in boxes if box is not None]
    if any(fact.value == "none" for fact in found):
        return Fact(True, (), min(fact.known for fact in found))
    lost = [item for fact in found if isinstance(fact.value, Unknown) for item in fact.value.missing]
    return unknown(*lost) if lost else Fact(False, (), min((fact.known for fact in found), default=5))


def _carrying(view: SiteView, cable: Subject) -> object:
    """Conductors that carry current in the sheath of a cable, or with its own in their raceway.

    The grounds do not; of three or more insulated conductors one may be a neutral that carries only what is left over.
    """
    raceway = cable.fact("raceway").value
    lacks: list[Missing] = []
    together = [cable]
    if isinstance(raceway, Subject):
        together = [one for one in view.of("cable") if one.fact("raceway").value is raceway]
        closes = view.whole("cables", raceway.id)
        lacks = [closes] if closes else []
    elif _single(cable) or "in raceway" in (view.site.cables[cable.id].runs or ()):
        lacks = [cable.lacks("raceway")]
    elif view.site.cables[cable.id].runs is None:
        lacks = [cable.lacks("runs")]
    counts = [one.fact("insulated") for one in together]
    lacks += [item for one in counts if isinstance(one.value, Unknown) for item in one.value.missing]
    told = [int(one.value) for one in counts if not isinstance(one.value, Unknown)]
    least, most = sum(number - (number > PAIR) for number in told), sum(told)
    known = min((one.known for one in counts), default=5)
    if lacks:
        return Fact(Range(least, None, missing=tuple(dict.fromkeys(lacks))), (), known)
    if least == most:
        return Fact(most, (), known)
    neutral = Missing(
        cable.id, "whether its neutral carries current", "look", "cable", "a neutral of two hots does not"
    )
    return Fact(Range(least, most, missing=(neutral,)), (), known)


def _single(cable: Subject) -> bool:
    what = cable.fact("what").value
    return isinstance(what, str) and designation(what).single


def _fullest(view: SiteView) -> Fact | None:
    """The most cables through any hole that is sealed, or may be; None while the holes are not all written."""
    if view.whole("holes") is not None:
        return None
    most, name, known = 1, "", 5
    missing: list[Missing] = []
    for hole in view.of("framing_hole"):
        sealed = hole.fact("sealed")
        if sealed.value is False or hole.value("member") == "steel stud":
            continue
        through = hole.fact("cables_through")
        low, high = _ends(through.value)
        known = min(known, through.known, sealed.known)
        if isinstance(sealed.value, Unknown):
            missing.extend(sealed.value.missing)
        if high is None:
            assert isinstance(through.value, (Unknown, Range))
            return Fact(Range(1, None, missing=through.value.missing), (), known)
        if high > most:
            most, name = high, hole.id
        if low != high:
            missing.append(hole.lacks("cables"))
    steps = (Step("most cables in a sealed hole", f"{name}, the fullest", str(most)),) if name else ()
    return Fact(Range(1, most, missing=tuple(dict.fromkeys(missing))) if most > 1 else 1, steps, known)


def _ends(value: object) -> tuple[int, int | None]:
    """The least and the most of a count."""
    if isinstance(value, Range):
        return int(value.low or 0), None if value.high is None else int(value.high)
    return (0, None) if isinstance(value, Unknown) else (int(str(value)), int(str(value)))


def _shared(cable: Subject, fullest: Fact | None) -> object:
    """Cables in one sealed hole with this one: at most so many as in the fullest hole of the building."""
    lacks = (cable.lacks("sealed_together"),)
    if fullest is None:
        return Fact(Unknown(lacks))
    value = fullest.value
    if isinstance(value, Range):
        value = Range(value.low, value.high, missing=(*lacks, *value.missing))
    return Fact(value, fullest.steps, fullest.known)


@subjects(
    "wiring_holes",
    {
        "all_written": FactType(
            "yes or no", means="somebody has said that the holes written down are all of them", computed=True
        ),
        "holes": FactType("many", kind="framing_hole", means="the holes written down", computed=True),
    },
    system="electrical",
)
def wiring_holes(view: SiteView) -> Iterator[Subject]:
    """The holes of the building as one list, where cable runs through framing that will be closed."""
    concealed = [one for one in view.of("cable") if "concealed" in (view.site.cables[one.id].runs or ())]
    holes = view.of("framing_hole")
    if not concealed and not holes:
        return
    closes = view.whole("holes")
    yield Subject(
        "wiring_holes",
        "holes for wiring",
        {
            "all_written": True if closes is None else unknown(closes),
            "holes": Members(holes, closes is not None, (closes,) if closes else ()),
        },
        label="holes for wiring",
        path=("holes",),
        elements=tuple(one.id for one in holes) or ("holes",),
    )
