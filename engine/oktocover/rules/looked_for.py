"""What to tell somebody who wrote an address that nothing has: what stands there instead, and how to find a name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from oktocover.reading.nearest import nearest
from oktocover.reading.problems import Problem
from oktocover.rules import addresses
from oktocover.rules.fold import Folded
from oktocover.rules.layers import Layer

SHOWN = 25
SHAPE = "book.rule or book.rule.name, such as ifgc.test-hold.short"


def looked_for(folded: Folded, address: str) -> tuple[str, str]:
    """What was expected and what to do, for an address that nothing in some folded layers has."""
    known = folded.addresses()
    first = address.partition(".")[0]
    if address[:1].isdigit() or " " in first:
        near = nearest(address.rpartition(" ")[2], known)
        section = address.split()[-1]
        return SHAPE, f"did you mean '{near}'?" if near else f"find its name: oktocover rules --section {section}"
    parts = addresses.split(address)
    near = nearest(address, known)
    # a long common ending is no likeness: the rule itself has to be like the one that was meant
    if near is not None and nearest(addresses.split(near)[1], parts) is None:
        near = None
    found = folded.find(".".join(parts[:2]))
    if found is not None:
        data = folded.things[found[0]][found[1]].data
        for count in range(len(parts) - 1, 1, -1):
            names = _inside(data, parts[2:count])
            if names:
                own = nearest(parts[count].removeprefix("["), names)
                here = ".".join(parts[:count]).replace(".[", "[")
                if own is not None:
                    near = f"{here}[{own}]" if parts[count].startswith("[") else f"{here}.{own}"
                near = near if near != here else None
                return f"in {here} there is: {', '.join(names[:SHOWN])}", f"did you mean '{near}'?" if near else ""
    if near:
        return "", f"did you mean '{near}'?"
    return SHAPE, "see the names there are: oktocover rules, or oktocover rules --section NUMBER"


def _inside(data: Any, names: list[str]) -> list[str]:
    """The names, list entries or rows that stand at a chain of names."""
    spot = addresses.locate(data, names) if names else None
    if names and spot is None:
        return []
    value = data if spot is None else spot.value
    if isinstance(value, list):
        return [str(one) for one in value]
    if isinstance(value, dict) and isinstance(value.get("rows"), dict):
        return [str(one) for one in value["rows"]]
    return list(dict.fromkeys(addresses.names_inside(value)))


def misspelt_books(chain: Iterable[Layer], editions: Iterable[str]) -> Iterator[Problem]:
    """Adoptions of what is no book at all: a slip of the pen. A book or edition that is only not shipped may stand."""
    known = list(editions)
    books = list(dict.fromkeys(name.partition(" ")[0] for name in known))
    for layer in chain:
        for name, entry in layer.adopts.items():
            book = str(entry.get("book") or "")
            if not book or book in known:
                continue
            says = layer.adoption_says(name)
            close = next((one for one in known if _letters(one) == _letters(book)), None)
            first, _, year = " ".join(book.lower().split()).partition(" ")
            own = [one for one in known if one.partition(" ")[0] == first]
            near = nearest(first, books)
            if close is not None:
                yield says(("book",), f"the book '{book}' is written otherwise here", "", f"did you mean '{close}'?")
            elif own and not year:
                message = f"'{book}' names no edition"
                yield says(("book",), message, "one of: " + ", ".join(own), f"write: {name}: {{book: {own[-1]}}}")
            elif not own and near is not None:
                meant = f"{near} {year}".strip()
                do = f"did you mean '{meant if meant in known else near}'?"
                yield says(("book",), f"there is no book '{first}' here", "one of: " + ", ".join(known), do)


def _letters(name: str) -> str:
    return "".join(char for char in name.lower() if char.isalnum())
