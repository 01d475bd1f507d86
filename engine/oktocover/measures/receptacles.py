"""Receptacle outlets: what they are rated for, and the rooms, vehicle bays and sides of the house they stand in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from oktocover.findings.finding import Missing, Step
from oktocover.measures.outlets import OUTLETS, SPACE, outlets_where, room_of
from oktocover.measures.registry import FactType, inverse, kind, list_function, measure, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import Number, Unknown, Worked, unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import read, show
from oktocover.site.electrical import INDOORS

SERIES_VOLTS = {"5": "125 V", "6": "250 V", "10": "250 V", "14": "250 V", "TT": "125 V"}
"""Rated voltage by series, as NEMA WD 6 names receptacles. 10 and 14 carry 125 V to neutral besides."""

kind("receptacle").facts["along"] = FactType(
    "quantity",
    "length",
    means="distance along the floor line from where the wall space or counter begins",
    found_by="tape",
    computed=True,
)
inverse("space", "basins", "basin", via="space", list_name="basins", means="the wash basins in it")
inverse(
    "circuit",
    "receptacles",
    "receptacle",
    via="circuit",
    list_name="receptacles",
    means="receptacles that name this circuit",
)


@measure("receptacle", "volts", FactType("quantity", "voltage", means="rated voltage", found_by="plate"), ("what",))
def rated_volts(what: str) -> Number:
    """Rated voltage, from the name of the configuration. Source: NEMA WD 6, designation of series."""
    return _exact(SERIES_VOLTS[_designation(what)[0]], "voltage")


@measure("receptacle", "amps", FactType("quantity", "current", means="rated current", found_by="plate"), ("what",))
def rated_amps(what: str) -> Number:
    """Rated current, from the name of the configuration. Source: NEMA WD 6, the figure after the dash."""
    return _exact(f"{_designation(what)[1]} A", "current")


@measure(
    "receptacle",
    "above_counter",
    FactType("quantity", "length", means="height of its centre above the countertop", found_by="tape"),
    ("height", "counter.height"),
    rises=("height",),
    falls=("counter.height",),
)
def above_counter(height: Number, counter_height: Number) -> Worked:
    """Height of the receptacle above the top it serves; under zero below it."""
    result = height - counter_height
    how = f"{show(height, 'length')} - {show(counter_height, 'length')}"
    return Worked(result, (Step("height above the countertop", how, show(result, "length")),))


def _designation(what: str) -> tuple[str, str]:
    series, _, rest = what.split(" ")[0].removeprefix("L").partition("-")
    return series, rest


def _exact(text: str, dimension: str) -> Number:
    value = read(text, dimension).exact
    assert value is not None
    return value


@subjects("room_outlets", {"space": SPACE, "outlets": OUTLETS}, system="electrical")
def room_outlets(view: SiteView) -> Iterator[Subject]:
    """Each space with the receptacles in it, wherever in the room they are."""
    for room in view.by_kind["space"]:
        members = outlets_where(view, room.id, partial(_in_room, view, room.id), room.id)
        yield Subject(
            "room_outlets",
            room.id,
            {"space": room, "outlets": members},
            label=f"{room.id}: its receptacles",
            path=room.path,
            elements=(room.id,),
            where=(room.id, "", 0.0),
        )


@list_function(
    "circuits_feeding",
    of="room_outlets",
    dimension="number",
    member_reads=("circuit",),
    as_list_grows="rises",
    means="how many different circuits feed the receptacles that count",
)
def circuits_feeding(owner: Subject, members: Sequence[Subject]) -> Worked:
    """How many different circuits feed some receptacles of a room."""
    fed: dict[str, list[str]] = {}
    for member in members:
        fed.setdefault(member.value("circuit").id, []).append(member.id)
    how = "; ".join(f"{circuit} feeds {', '.join(names)}" for circuit, names in fed.items())
    return Worked(len(fed), (Step("circuits", how or "no receptacle that counts", str(len(fed))),))


def _in_room(view: SiteView, wanted: str, one: Subject) -> bool | Missing:
    found = room_of(view, one)
    if isinstance(found, Missing) and one.exact("outside") and view.elements[wanted].exact("use") in INDOORS:
        return False
    return found if isinstance(found, Missing) else found == wanted


POWERED = FactType("yes or no", means="the building has electric power", computed=True)


@subjects("vehicle_bay", {"space": SPACE, "outlets": OUTLETS, "powered": POWERED}, system="electrical")
def vehicle_bays(view: SiteView) -> Iterator[Subject]:
    """The vehicle bays of every space that has some; a garage whose bays nobody counted gives one unknown bay."""
    powered = _powered(view)
    for room in view.by_kind["space"]:
        bays = room.exact("vehicle_bays")
        if bays is None:
            if room.exact("use") in (None, "garage"):
                nobody = unknown(room.lacks("vehicle_bays"))
                yield _bay(room, "bays", {"space": room, "outlets": nobody, "powered": powered})
            continue
        for number in range(1, int(bays) + 1):
            members = outlets_where(view, room.id, partial(_in_bay, view, room.id, number), room.id)
            yield _bay(room, f"bay {number}", {"space": room, "outlets": members, "powered": powered})


def _bay(room: Subject, name: str, own: dict[str, object]) -> Subject:
    return Subject(
        "vehicle_bay",
        f"{room.id}: {name}",
        own,
        label=f"{room.id}: {name}, counted from the left",
        path=room.path,
        elements=(room.id,),
        where=(room.id, "", 0.0),
    )


def _in_bay(view: SiteView, garage: str, number: int, one: Subject) -> bool | Missing:
    here, bay = _in_room(view, garage, one), one.exact("bay")
    if here is False or bay not in (None, number):
        return False
    if isinstance(here, Missing):
        return here
    return True if bay == number else one.lacks("bay")


@subjects(
    "outdoor_side",
    {
        "side": FactType("word", words=("front", "back"), means="front or back of the house"),
        "outlets": OUTLETS,
    },
    system="electrical",
)
def outdoor_sides(view: SiteView) -> Iterator[Subject]:
    """The front and the back of the building, with the receptacles outdoors there."""
    for side in ("front", "back"):
        members = outlets_where(view, "outdoors", partial(_on_side, view, side))
        there = members.sure
        yield Subject(
            "outdoor_side",
            f"outdoors: {side}",
            {"side": side, "outlets": members},
            label=f"outdoors, {side} of the house",
            path=there[0].path if there else ("receptacles",),
            elements=(f"outdoors: {side}", *(one.id for one in there)),
            where=("outdoors", side, 0.0),
        )


def _on_side(view: SiteView, side: str, one: Subject) -> bool | Missing:
    room = room_of(view, one)
    use = view.elements[room].exact("use") if isinstance(room, str) and room in view.elements else None
    if use in INDOORS:
        return False
    outside = one.exact("outside")
    return one.lacks("outside") if outside is None else outside == side


@subjects("building_outlets", {"outlets": OUTLETS, "powered": POWERED})
def building_outlets(view: SiteView) -> Iterator[Subject]:
    """The building with all its receptacles, and whether it has electric power."""
    members = outlets_where(view, None, lambda one: True)
    yield Subject(
        "building_outlets",
        "building",
        {"outlets": members, "powered": _powered(view)},
        elements=("building",),
        label="the building",
        path=("described", "electrical"),
    )


def _powered(view: SiteView) -> object:
    said = view.described("electrical")
    if said in ("yes", "none"):
        return said == "yes"
    return Unknown(
        (
            Missing(
                "site",
                "electrical",
                "look",
                "site",
                "whether the building has electric power",
                ("described", "electrical"),
            ),
        )
    )
