"""Rules by section number: under every number a rule has or had, in any book and edition."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from oktocover.reports._layered import World
from oktocover.reports._plain import clean, counted, listed, wrap
from oktocover.reports.json_form import plain
from oktocover.reports.rules_form import WIDTH
from oktocover.rules.fold import Folded
from oktocover.rules.library import Library

NUMBER = re.compile(r"(?<![A-Z0-9.])[A-Z]{0,2}\d+(?:\.\d+)*(?:\([A-Z0-9]+\))*", re.I)
BARE = re.compile(r"\d{1,2}")
"""The 1 of 'item 1' and the 54 of 'NFPA 54' are no sections."""
NEAR = 6
"""How many nearest numbers are named when nothing stands under the one asked for."""
WHAT = {"rules": "rule", "terms": "definition", "tables": "table"}


@dataclass(frozen=True, slots=True)
class Number:
    """A section number that a thing has in one edition."""

    number: str
    how: str
    """'section' (its own or an item's), or 'also' (another book's or an older number)."""


@dataclass(frozen=True, slots=True)
class Hit:
    """A thing that stands, or stood, under the number asked for."""

    id: str
    what: str
    title: str
    editions: tuple[tuple[str, tuple[str, ...]], ...]
    """Each edition (NEC 2017) with the numbers that fit, as they are written there."""
    here: str
    """'in force', 'in force under <numbers>', 'struck here', 'not in force'."""


def numbers(data: Any) -> Iterator[Number]:
    """Every section number of a thing as its file says it."""
    if not isinstance(data, dict):
        return
    section = data.get("section")
    if isinstance(section, str):
        yield from (Number(one, "section") for one in _found(section))
    also = data.get("also")
    for text in also if isinstance(also, list) else ():
        yield from (Number(one, "also") for one in _found(str(text)))
    for group in ("items", "unless"):
        inner = data.get(group)
        for value in inner.values() if isinstance(inner, dict) else ():
            yield from numbers(value)


def _found(text: str) -> list[str]:
    return [one for one in NUMBER.findall(text) if not BARE.fullmatch(one)]


def clean_number(text: str) -> str:
    """A section number as people write it, as it is compared: 'Sec. 210.52 (A)' is 210.52(A)."""
    plain_text = re.sub(r"^(section|sect|sec|art|article|table|\u00a7)\.?\s*", "", text.strip(), flags=re.I)
    plain_text = re.sub(r"^(NEC|IRC|IFGC|UPC|NFPA\s*\d*)\s+(?:\d{4}\s+)?", "", plain_text, flags=re.I)
    return re.sub(r"\s+", "", plain_text).rstrip(".").upper()


def lies_under(number: str, wanted: str) -> bool:
    """Whether a number is the one wanted or a subsection of it: 210.52(A)(1) lies under 210.52(A), not under 210.5."""
    number = number.upper()
    return number == wanted or (number.startswith(wanted) and number[len(wanted)] in "(.")


def find(shelf: Library, world: World, wanted: str) -> list[Hit]:
    """Everything under a number in every shipped edition and in the place, in the order of the books."""
    wanted = clean_number(wanted)
    hits: dict[str, Hit] = {}
    for printed, folded in _books(shelf):
        for section, address, data in _things(folded):
            _add(hits, section, address, data, wanted, printed)
    for section, address, data in _things(world.adopted.rules.folded):
        known = {one for _, some in hits[address].editions for one in some} if address in hits else set()
        if address not in hits or any(one not in known for one in _fitting(data, wanted)):
            _add(hits, section, address, data, wanted, world.name)
    return [replace(hit, here=_here(world, hit, wanted)) for hit in hits.values()]


def _books(shelf: Library) -> Iterator[tuple[str, Folded]]:
    for name in shelf.editions:
        yield shelf.chain(name)[-1].printed, shelf.folded(name)


def _things(folded: Folded) -> Iterator[tuple[str, str, Any]]:
    for section in WHAT:
        for address, thing in folded.things[section].items():
            yield section, address, thing.data


def _fitting(data: Any, wanted: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one.number for one in numbers(data) if lies_under(one.number, wanted)))


def _add(hits: dict[str, Hit], section: str, address: str, data: Any, wanted: str, printed: str) -> None:
    fits = _fitting(data, wanted)
    if fits:
        before = hits.get(address, Hit(address, WHAT[section], _title(section, address, data), (), ""))
        hits[address] = replace(before, editions=(*before.editions, (printed, fits)))


def _title(section: str, address: str, data: Any) -> str:
    name = address.partition(".")[2].replace("_", " ")
    return str(data.get("title") or (f"what counts as '{name}'" if section == "terms" else name))


def _here(world: World, hit: Hit, wanted: str) -> str:
    section = next(key for key, what in WHAT.items() if what == hit.what)
    thing = world.things[section].get(hit.id)
    if thing is None:
        return "struck here" if any(one.address == hit.id for one in world.struck()) else "not in force"
    own = tuple(dict.fromkeys(one.number for one in numbers(thing.data)))
    return "in force" if any(lies_under(one, wanted) for one in own) else f"in force under {listed(own)}"


def nearest_numbers(shelf: Library, world: World, wanted: str, limit: int = NEAR) -> list[str]:
    """The known numbers that share most with one nobody knows, the longest common beginning first."""
    wanted = clean_number(wanted)
    known: dict[str, None] = {}
    folded: Iterable[Folded] = (*(one for _, one in _books(shelf)), world.adopted.rules.folded)
    for one in folded:
        for _, _, data in _things(one):
            known.update((number.number, None) for number in numbers(data))
    ranked = sorted((-_common(number, wanted), _distance(number, wanted), number) for number in known)
    if not ranked or -ranked[0][0] < 2:
        return []
    best = [number for shared, _, number in ranked if shared <= min(-2, ranked[0][0] + 2)]
    return best[:limit]


def _pieces(number: str) -> list[str]:
    return re.findall(r"\d+|[A-Z]+", number.upper())


def _common(number: str, wanted: str) -> int:
    """How many characters two numbers share from their beginning, in whole pieces first."""
    shared = 0
    for one, other in zip(number.upper(), wanted, strict=False):
        if one != other:
            break
        shared += 1
    return shared


def _distance(number: str, wanted: str) -> int:
    """How far apart the first pieces are that differ."""
    for one, other in zip(_pieces(number), _pieces(wanted), strict=False):
        if one != other:
            return abs(int(one) - int(other)) if one.isdigit() and other.isdigit() else 1000
    return 0


def hits_text(wanted: str, hits: list[Hit], place: str, width: int = WIDTH) -> str:
    """The hits, what is in force for the place first, each with its books."""
    lines: list[str] = []
    in_force = [hit for hit in hits if hit.here.startswith("in force")]
    other = [hit for hit in hits if hit not in in_force]
    for head, some in ((f"IN FORCE ({clean(place, 120)})", in_force), ("NOT IN FORCE THERE", other)):
        if not some:
            continue
        lines += ["", head] if lines else [head]
        for hit in some:
            lines += wrap(f"{clean(hit.id, 200)}: {clean(hit.title, 300)}", width, "  ", "      ")
            what = f"{hit.what}; " if hit.what != "rule" else ""
            moved = "" if hit.here in ("in force", "not in force") else f"; {clean(hit.here, 200)}"
            lines += wrap(f"{what}{_where(hit)}{moved}", width, "      ")
    lines += [
        "",
        f"{counted(len(hits), 'entry', 'entries')} under {clean(wanted, 60)}. One in full: oktocover rules NAME",
    ]
    return "\n".join(lines) + "\n"


def _where(hit: Hit) -> str:
    """`210.52(C)(2) in NEC 2017, NEC 2020`: editions with the same numbers together."""
    groups: dict[tuple[str, ...], list[str]] = {}
    for book, some in hit.editions:
        groups.setdefault(some, []).append(clean(book, 80))
    return "; ".join(f"{clean(listed(some), 300)} in {listed(books)}" for some, books in groups.items())


def hits_object(hits: list[Hit]) -> list[dict[str, Any]]:
    """The hits as plain JSON values."""
    return [
        {
            "id": clean(hit.id),
            "what": hit.what,
            "title": clean(hit.title),
            "editions": [{"book": clean(book), "numbers": plain(some)} for book, some in hit.editions],
            "here": clean(hit.here),
            "in_force": hit.here.startswith("in force"),
        }
        for hit in hits
    ]
