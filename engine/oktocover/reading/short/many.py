"""Entries that stand for several things alike, `many: 48`: how they count, and the one a statement makes for the rest.

Nobody lists every hole. A statement about holes says how many there were; those that no entry lists are one entry of
their own, which stands for all of them.
"""

from __future__ import annotations

from typing import Any

from oktocover.quantities import QuantityError, read
from oktocover.reading.short.work import Path, Work, facts_of, value_of

KEY = "many"
ENDS = ("from", "to")


def may_be_many(name: str) -> bool:
    """Whether an entry of a list can stand for several things."""
    return KEY in facts_of(name)


def counted(facts: dict[str, Any]) -> int:
    """How many things an entry stands for; one where it does not say, or says nothing that can be counted."""
    written = value_of(facts.get(KEY))
    try:
        number = read(str(written), "number").exact if written is not None else 1
    except QuantityError:
        return 1
    return int(number) if number is not None and number >= 1 and number == int(number) else 1


def name_of_rest(all_: str, places: list[str] | None, where: dict[str, Any]) -> str:
    """The id of the entry that stands for the rest: `holes in studio (stud / cable)`; stable under edits elsewhere.

    It has no comma: a key with one names several entries.
    """
    name = all_ + (f" in {' and '.join(places)}" if places else "")
    name += f" ({' / '.join(str(word) for word in where.values())})" if where else ""
    return name.replace(",", ";")


def make_rest(
    work: Work,
    name: str,
    one: str,
    number: int,
    where: dict[str, Any],
    places: list[str] | None,
    said: dict[str, Any],
    at: Path,
) -> bool:
    """Put the entry for the rest into its list; `said` is how its facts are known. False when its id is taken."""
    facts = {fact: {"is": value, **said} for fact, value in where.items()}
    origins = {fact: (*at, "where", fact) for fact in where}
    if places is not None and len(places) == 1:
        fact = "wall" if "." in places[0] else "space"
        facts.setdefault(fact, {"is": places[0], **said})
        origins.setdefault(fact, (*at, "in"))
    facts[KEY] = {"is": str(number), **said}
    origins[KEY] = (*at, "count")
    if not work.add(name, one, facts, at):
        return False
    work.read.origins.update({(name, one, fact): place for fact, place in origins.items()})
    return True


def cables_in(work: Work, places: list[str] | None) -> list[str]:
    """The cables that begin or end in some rooms or on some walls; without places, all of them."""
    cables = work.data.get("cables")
    found = {one: facts for one, facts in cables.items() if isinstance(facts, dict)} if isinstance(cables, dict) else {}
    if places is None:
        return list(found)
    stands = {one: _room_and_wall(facts) for _, one, facts in work.entries()}
    return [
        one
        for one, facts in found.items()
        if any(place in stands.get(value_of(facts.get(end)) or "", ()) for end in ENDS for place in places)
    ]


def _room_and_wall(facts: dict[str, Any]) -> tuple[str, ...]:
    wall, space = value_of(facts.get("wall")), value_of(facts.get("space"))
    return tuple(
        dict.fromkeys(
            part for word in (wall, space) if isinstance(word, str) for part in (word, word.partition(".")[0])
        )
    )
