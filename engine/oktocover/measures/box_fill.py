"""What is in a box, as the things its volume has to hold: conductors, grounds, clamps, fittings, devices.

How much room each takes is data of the rule files; here things are only counted, by the size of wire that counts for
them (NEC 314.16(B)): a conductor by its own, the grounds by the largest ground, a device by the largest wire on it,
clamps and fittings by the largest wire in the box.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from oktocover.findings.finding import Missing, Step
from oktocover.measures.box_sizes import SECTION, volume_of
from oktocover.measures.registry import FactType, kind, subjects
from oktocover.measures.subject import Subject
from oktocover.measures.values import Fact, Members, Number, Range, Unknown, unknown
from oktocover.quantities import WIRE, show
from oktocover.site.designation import designation

if TYPE_CHECKING:
    from oktocover.measures.view import SiteView

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


FACTS = {
    "entries": FactType("many", kind="box_entry", means="what takes up room in the box", computed=True),
    "volume": FactType("quantity", "volume", means="volume marked in the box, with its rings", found_by="plate"),
}


@subjects("box_contents", FACTS, system="electrical")
def box_contents(view: SiteView) -> Iterator[Subject]:
    """What is in each box that a cable comes into, or a device stands in, as far as it is written."""
    for box in view.of("box"):
        cables, devices = box.fact("cables").value, box.fact("devices").value
        if not isinstance(cables, Members) or not isinstance(devices, Members) or not (cables.sure or devices.sure):
            continue
        lacks = tuple(dict.fromkeys((*_open(cables), *_open(devices))))
        entries = tuple(_Lines(box, cables, devices).all())
        own = {"entries": Members(entries, bool(lacks), lacks), "volume": _volume(box)}
        yield box.seen_as("box_contents", _named(box), own)


def _named(box: Subject) -> str:
    """`box B-4, studio, north wall`."""
    room, side, _ = box.where
    return ", ".join(part for part in (f"box {box.id}", room, f"{side} wall" if side else "") if part)


def _open(members: Members) -> tuple[Missing, ...]:
    return members.missing if members.open else ()


def _volume(box: Subject) -> object:
    """The marked volume with that of rings and extensions; at least the box alone while nobody has looked for them."""
    volume, more = _own_volume(box), box.fact("extension")
    if isinstance(volume.value, (Unknown, Range)) or more.value == "none":
        return volume
    known = min(volume.known, more.known)
    if isinstance(more.value, (Unknown, Range)):
        least = Range(volume.value, None, missing=more.value.missing)
        return Fact(least, volume.steps, volume.known, volume.unit)
    total = volume.value + more.value
    parts = f"{show(volume.value, 'volume', volume.unit)} + {show(more.value, 'volume', volume.unit)}"
    step = Step("volume with rings and extensions", parts, show(total, "volume", volume.unit))
    return Fact(total, (*volume.steps, step), known, volume.unit)


def _own_volume(box: Subject) -> Fact:
    """The volume marked in a box, else that of the table for its trade size."""
    marked, size = box.fact("volume"), box.fact("trade_size")
    listed = volume_of(size.value) if isinstance(marked.value, Unknown) and isinstance(size.value, str) else None
    if listed is None:
        return marked
    step = Step(f"volume of a box {size.value}", "", show(listed, "volume"), SECTION)
    return Fact(listed, (step,), size.known)


class _Lines:
    """The lines of one box, each a subject; a count or size nobody has recorded stays unknown in its line."""

    def __init__(self, box: Subject, cables: Members, devices: Members) -> None:
        self.box = box
        self.cables = cables
        self.devices = devices

    def all(self) -> Iterator[Subject]:
        """Conductors, grounds, devices, clamps, fittings and terminal blocks, in the order the section has them."""
        told = [one for one in self.cables.sure if _sizes(one)]
        insulated = [(size, 1) for one in told for size in _sizes(one)]
        grounds, unclear = self._grounds()
        sized = [(size, 1) for size in grounds if size is not None]
        made = contents(insulated, sized)
        largest = max((size for size, _ in (*insulated, *sized)), default=None)
        if grounds and not unclear:
            made = [one for one in made if one.what != "grounds"] + [Entry("grounds", len(grounds), max(sized)[0])]
        for entry in made:
            yield self._line(entry.what, entry.number, entry.size)
        for one in self.cables.sure:
            if one not in told:
                lacks = unknown(Missing(one.id, "number and size of its conductors", "plate", "cable"))
                yield self._line("conductors", lacks, lacks, f" of {one.id}")
        if unclear:
            yield self._line("grounds", len(grounds) or 1, unknown(*unclear), " of unknown size")
        size: object = largest if largest is not None else unknown(*(_open(self.cables) or (self.box.lacks("cables"),)))
        for device in self.devices.sure:
            yield self._line("devices", device.fact("gangs"), self._on(device, size), f" {device.id}")
        yield from self._counted(size)

    def _grounds(self) -> tuple[list[Number | None], list[Missing]]:
        """The sizes of the grounds that come in, and what is missing where there is one of unknown size."""
        sizes: list[Number | None] = []
        lacks: list[Missing] = []
        for one in self.cables.sure:
            number, size = one.fact("grounds").value, one.fact("ground_size").value
            if number == 0:
                continue
            if isinstance(number, Unknown) or isinstance(size, (Unknown, Range)):
                lacks.append(one.lacks("ground"))
            sizes.append(size if isinstance(size, int) else None)
        return sizes, lacks

    def _on(self, device: Subject, largest: object) -> object:
        """The largest wire of a device's own circuit in the box; of the box, where its circuit has no cable there."""
        circuit = device.fact("circuit").value
        if not isinstance(circuit, Subject):
            return largest if len({one.fact("circuit").value for one in self.cables.sure}) == 1 else circuit
        own = [size for one in self.cables.sure if one.fact("circuit").value is circuit for size in _sizes(one)]
        return max(own) if own else largest

    def _counted(self, size: object) -> Iterator[Subject]:
        """Clamps, fittings and terminal blocks, as the box says."""
        clamps = self.box.fact("clamps").value
        if isinstance(clamps, Unknown):
            yield self._line("clamps", Range(0, 1, missing=clamps.missing), size)
        elif clamps == "built in":
            yield self._line("clamps", 1, size)
        for what, name in (("support fittings", "fittings"), ("terminal blocks", "terminal_blocks")):
            number = self.box.fact(name)
            if number.value == "none":
                continue
            lost = isinstance(number.value, Unknown)
            if lost and what == "support fittings" and self.box.value("what") == "device":
                continue  # a stud or hickey carries a luminaire, and has no place behind a device
            yield self._line(what, Range(0, None, missing=number.value.missing) if lost else number, size)

    def _line(self, what: str, number: object, size: object, of: str = "") -> Subject:
        shown = f" of {WIRE[size]}" if isinstance(size, int) and what == "conductors" else ""
        name = f"{self.box.id}: {what}{shown or of}"
        return Subject("box_entry", name, {"what": what, "number": number, "size": size}, path=self.box.path)


def _sizes(cable: Subject) -> tuple[int, ...]:
    """Sizes of the insulated conductors of a cable; empty where its designation does not count them."""
    what = cable.fact("what").value
    return designation(what).sizes if isinstance(what, str) else ()
