"""What is in a box, as the things its volume has to hold: conductors, grounds, clamps, fittings, devices.

How much room each takes is data of the rule files; here things are only counted, by the size of wire that counts for
them (NEC 314.16(B)): a conductor by its own, the grounds by the largest ground, a device by the largest wire on it,
clamps and fittings by the largest wire in the box.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from oktocover.measures.registry import FactType, kind
from oktocover.measures.values import Number

Kept = Literal["conductors", "grounds", "clamps", "support fittings", "devices", "terminal blocks"]

_ENTRY = kind("box_entry", "electrical", "thing in a box")
_ENTRY.facts.update(
    {
        "what": FactType(
            "word",
            words=("conductors", "grounds", "clamps", "support fittings", "devices", "terminal blocks"),
            means="what takes up room in the box",
            computed=True,
        ),
        "number": FactType("quantity", "number", means="how many; of devices, the gangs they fill", computed=True),
        "size": FactType("quantity", "wire size", means="the size of wire it counts by", computed=True),
    }
)


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of a box's contents: what, how many, and the place on the ladder of wire sizes it counts by."""

    what: Kept
    number: Number
    size: Number


def by_size(wires: Iterable[tuple[Number, Number]]) -> tuple[tuple[Number, Number], ...]:
    """Wires (size, how many) with equal sizes put together, largest first."""
    found: dict[Number, Number] = {}
    for size, number in wires:
        found[size] = found.get(size, 0) + number
    return tuple(sorted(found.items(), reverse=True))


def contents(
    insulated: Sequence[tuple[Number, Number]],
    grounds: Sequence[tuple[Number, Number]],
    devices: Sequence[tuple[Number, Number]] = (),
    clamps: bool = False,
    fittings: Number = 0,
    blocks: Sequence[tuple[Number, Number]] = (),
) -> list[Entry]:
    """What the volume of a box has to hold.

    Wires come as (size, how many), devices as (largest wire on it, gangs it fills), terminal blocks as (largest wire
    on it, how many). A wire that never leaves the box (a pigtail) is not to be given, one that passes through uncut
    is given once. Clamps count together, however many; none when their bodies are outside the box.
    """
    made = [Entry("conductors", number, size) for size, number in by_size(insulated)]
    if grounds:
        made.append(Entry("grounds", sum(number for _, number in grounds), max(size for size, _ in grounds)))
    largest = max((size for size, _ in (*insulated, *grounds)), default=None)
    if clamps and largest is not None:
        made.append(Entry("clamps", 1, largest))
    if fittings and largest is not None:
        made.append(Entry("support fittings", fittings, largest))
    made += [Entry("devices", gangs, size) for size, gangs in by_size(devices)]
    made += [Entry("terminal blocks", number, size) for size, number in by_size(blocks)]
    return made


_CONTENTS = kind("box_contents", "electrical", "what is in a box")
_CONTENTS.facts.update(
    {
        "entries": FactType("many", kind="box_entry", means="what takes up room in the box", computed=True),
        "volume": FactType("quantity", "volume", means="volume marked in the box, with its rings", found_by="plate"),
    }
)
