"""Which facts and kinds may stand in a site: those its place, its books and its standards declare."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path as FilePath

from oktocover.reading.problems import InputProblems
from oktocover.rules.declared import declared_by
from oktocover.rules.library import MODEL, Library
from oktocover.site.declared import Declared
from oktocover.site.root import Site, element_lists

_DECLARES = re.compile(rb"^(facts|kinds):", re.MULTILINE)


def declared_for(
    library: Library, jurisdiction: str | None, standards: Iterable[str] = (), beside: FilePath | None = None
) -> Declared:
    """What may stand in a site of this place: all that its layers declare, whichever of them are in force that day."""
    layers = library.places_around(library.place(jurisdiction or MODEL, beside), beside)
    books = [entry["book"] for layer in layers for entry in layer.adopts.values() if entry.get("book")]
    for name in dict.fromkeys(books):
        if name in library.editions and _speaks_of_facts(library, name):
            layers += library.chain(name)
    return declared_by([*layers, *(library.standard(name, beside) for name in standards)])


def _speaks_of_facts(library: Library, edition: str) -> bool:
    """Whether a file of this book declares anything: most do not, and need not be parsed to know it."""
    books = {folder.parent for folder in library.folders(edition)}
    return any(_DECLARES.search(path.read_bytes()) for book in books for path in book.rglob("*.yaml"))


def who_declares(library: Library, owner: str, word: str) -> str:
    """Which shipped place or standard declares a fact of a list (or root), or a list of the site file; or nothing."""
    kinds = {made.plural: made.kind for made in element_lists(Site).values()}
    for find, names in ((library.place, library.places), (library.standard, library.standards)):
        for name in names:
            try:
                declared = declared_by([find(name)])
            except InputProblems:
                continue
            own = kinds | {kind.plural: kind.name for kind in declared.kinds}
            asked = (own.get(owner, owner), word.replace(" ", "_"))
            is_list = owner == "site" and word in {kind.plural for kind in declared.kinds}
            if is_list or asked in {(fact.kind, fact.name) for fact in declared.facts}:
                return find(name).name
    return ""
