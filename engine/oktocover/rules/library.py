"""Finds layers on disk and puts together the rules of a place: books, jurisdictions, the job's standards."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property
from pathlib import Path
from typing import Any

from oktocover.data import data_dir
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Problem
from oktocover.rules.adopted import Adopted as Adopted
from oktocover.rules.adopted import Variant
from oktocover.rules.adoption import WHOLE, Switchboard
from oktocover.rules.declared import declared_by
from oktocover.rules.fold import Elsewhere, Folded
from oktocover.rules.lay import lay
from oktocover.rules.layers import Layer, Thing
from oktocover.rules.looked_for import misspelt_books
from oktocover.rules.outcomes import Outcome
from oktocover.rules.parts import join_books
from oktocover.rules.read_layer import read_layer
from oktocover.rules.ruleset import RuleSet
from oktocover.site.declared import speaking

MODEL = "model codes"
"""The jurisdiction used when a site names none: the model books as they stand."""
CASES = ".cases.yaml"
NO_BOOKS = ("jurisdictions", "jobs", "tables")
"""Folders of rulesets that hold no book."""


class Library:
    """The layers under one folder of rulesets, and under others stacked on it.

    A folder stacked on another adds books, editions, places, and files to editions that are there already; it has the
    same layout. A name that two files give to two things is a mistake, whichever folders they stand in.
    """

    def __init__(self, root: Path | None = None, *stacked: Path) -> None:
        self.root = root or data_dir("rulesets")
        self.roots = (self.root, *stacked)
        self._layers: dict[str, Layer] = {}
        self._taking: list[str] = []
        self._folds: dict[tuple[str, ...], Folded] = {}
        self._compiled: dict[Any, dict[Any, tuple[Thing, Any]]] = {}
        self.doubting = False
        """Whether rules found sound before are compiled whole all the same, as a proof needs them."""

    @cached_property
    def editions(self) -> dict[str, Path]:
        """Book editions by name ('nec 2020') with their folders (the lowest, where several roots have one)."""
        found: dict[str, Path] = {}
        for root in self.roots:
            for book in sorted(p for p in root.iterdir() if p.is_dir() and p.name not in NO_BOOKS):
                for edition in sorted(p for p in book.iterdir() if p.is_dir()):
                    found.setdefault(f"{book.name} {edition.name}", edition)
        return found

    def folders(self, edition: str) -> list[Path]:
        """The folders of a book edition, one a root that has it."""
        book, _, name = edition.partition(" ")
        return [folder for root in self.roots if (folder := root / book / name).is_dir()]

    @cached_property
    def places(self) -> dict[str, Path]:
        """Shipped jurisdictions by name."""
        return self._by_name("jurisdictions")

    @cached_property
    def standards(self) -> dict[str, Path]:
        """Shipped standards a job may add, by name."""
        return self._by_name("jobs")

    def _by_name(self, folder: str) -> dict[str, Path]:
        return {path.stem.replace("-", " "): path for root in self.roots for path in _rule_files(root / folder)}

    def shown(self, path: Path) -> str:
        """The path of a rule file as people see it."""
        for root in self.roots:
            if path.is_relative_to(root):
                return str(Path("rulesets" if root is self.root else root.name) / path.relative_to(root))
        return str(path)

    def _read(self, paths: list[Path]) -> Layer:
        return read_layer(paths, {path: self.shown(path) for path in paths})

    def edition(self, name: str, changed_by: Layer | None = None) -> Layer:
        """A book edition as its own layer (without what it changes). `changed_by`: the edition that names it."""
        if name not in self._layers:
            folder = self.editions.get(name)
            if folder is None:
                near = nearest(name, self.editions)
                raise InputProblems(
                    [
                        Problem(
                            changed_by.documents[0].place(("from",)) if changed_by else None,
                            f"there is no book '{name}' in {self.root.name}",
                            "one of: " + ", ".join(self.editions),
                            f"did you mean '{near}'?" if near else "",
                        )
                    ]
                )
            self._layers[name] = self._read([path for one in self.folders(name) for path in _rule_files(one)])
        return self._layers[name]

    def chain(self, name: str) -> list[Layer]:
        """A book edition and every edition it is written as changes to, the oldest first."""
        chain: list[Layer] = []
        seen: list[str] = []
        waiting = name
        while waiting:
            if waiting in seen:
                ring = " -> ".join([*seen, waiting])
                place = chain[0].documents[0].place(("from",))
                raise InputProblems([Problem(place, f"editions are written as changes to each other: {ring}")])
            seen.append(waiting)
            layer = self.edition(waiting, chain[0] if chain else None)
            chain.insert(0, layer)
            waiting = layer.before
        return chain

    def folded(self, *editions: str) -> Folded:
        """Some book editions folded, each from its oldest layer up."""
        if editions in self._folds:
            return self._folds[editions].copy()
        result = Folded()
        for name in editions:
            for layer in self.chain(name):
                lay(result, layer, self._taken)
        if not self._taking:
            self._folds[editions] = result.copy()
        return result

    def _taken(self, name: str) -> Folded:
        """Another edition, for a `take`. Editions that take from each other in a ring are refused."""
        if name in self._taking:
            ring = " -> ".join([*self._taking, name])
            raise InputProblems([Problem(None, f"editions take from each other: {ring}")])
        self._taking.append(name)
        try:
            return self.folded(name)
        finally:
            self._taking.pop()

    def put(self, on: Folded, layer: Layer, elsewhere: Elsewhere | None = None) -> None:
        """Lay a place or a standard on folded books; what it takes comes from this library."""
        lay(on, layer, self._taken, elsewhere)

    def review_edition(self, name: str) -> list[Problem]:
        """What is wrong with the changes of an edition itself: effects, slips of the pen."""
        from oktocover.rules.review import review

        folded = self.folded(name)
        own = [edit for edit in folded.edits if edit.change.layer == name]
        return review(folded, RuleSet(folded), own)

    def place(self, name: str, beside: Path | None = None) -> Layer:
        """A jurisdiction, by its name or by a file beside the site."""
        return self._named(
            name,
            self.places,
            "jurisdiction",
            beside,
            "write a file of your own beside the site and name its path, or leave the line out for the model books",
        )

    def standard(self, name: str, beside: Path | None = None) -> Layer:
        """A job's standard, by its name or by a file beside the site."""
        return self._named(name, self.standards, "standard", beside, "name a file beside the site")

    def _named(self, name: str, known: dict[str, Path], what: str, beside: Path | None, do: str) -> Layer:
        key = name.strip()
        path = known.get(key.lower().replace("-", " "))
        if path is None and key.endswith((".yaml", ".yml")):
            path = (beside or Path()) / key
            if not path.is_file():
                raise InputProblems([Problem(None, f"there is no file '{key}' beside the site", do=do)])
            return read_layer([path], {path: key})
        if path is None:
            near = nearest(key, known)
            message = f"nobody has entered the {what} '{key}'"
            raise InputProblems(
                [
                    Problem(
                        None,
                        message,
                        "one of: " + ", ".join(sorted(known)),
                        f"did you mean '{near}'? Otherwise {do}" if near else do,
                    )
                ]
            )
        return self._read([path])

    def places_around(self, place: Layer, beside: Path | None = None) -> list[Layer]:
        """A place and the places it lies in, outermost first. A ring, or a place nobody has entered: InputProblems."""
        chain = [place]
        while chain[0].inside:
            here = chain[0].documents[0].place(("in",))
            try:
                outer = self.place(chain[0].inside, beside)
            except InputProblems as error:
                raise InputProblems([replace(one, place=one.place or here) for one in error.problems]) from None
            if any(layer.name == outer.name for layer in chain):
                ring = " in ".join([*(layer.name for layer in reversed(chain)), outer.name])
                do = "name the county or state it lies in, or take the line out"
                raise InputProblems([Problem(here, f"a place lies in itself: {ring}", do=do)])
            chain.insert(0, outer)
        return chain

    def adopt(self, jurisdiction: str | None, standards: Sequence[str], beside: Path | None = None) -> Adopted:
        """The rules of a place with the job's own standards on top. `Adopted.for_site` says which hold for one site."""
        place = self.place(jurisdiction or MODEL, beside)
        own = tuple(self.standard(name, beside) for name in standards)
        return self.adopt_chain((*self.places_around(place, beside), *own), place, own, named=bool(jurisdiction))

    def adopt_chain(
        self, chain: tuple[Layer, ...], place: Layer, standards: tuple[Layer, ...] = (), named: bool = True
    ) -> Adopted:
        """The rules of some places and standards, outermost first."""
        with speaking(declared_by((*self._books_of(chain), *chain))):
            board = Switchboard(chain)
        wrong = [*board.problems, *misspelt_books(chain, self.editions)]
        if wrong:
            raise InputProblems(wrong)

        def make(outcome: Outcome) -> Variant:
            return self._variant(board, outcome)

        latest = make(board.latest())
        return Adopted(place, standards, chain, board, (latest,), make, named, known={latest.outcome: latest})

    def _books_of(self, chain: tuple[Layer, ...]) -> list[Layer]:
        """The shipped books that some places adopt, with what they are written as changes to, each once."""
        books = dict.fromkeys(str(entry.get("book")) for layer in chain for entry in layer.adopts.values())
        layers = {layer.name: layer for name in books if name in self.editions for layer in self.chain(name)}
        return list(layers.values())

    def _variant(self, board: Switchboard, outcome: Outcome) -> Variant:
        """Fold what is in force in one outcome."""
        entries = [board.entries[name] for name in outcome.entries]
        not_shipped = tuple(dict.fromkeys(entry.book for entry in entries if entry.book not in self.editions))
        entries = [entry for entry in entries if entry.book in self.editions]
        editions = tuple(dict.fromkeys(entry.book for entry in entries))
        whole = len({name.partition(" ")[0] for name in editions}) == len(editions)
        if whole and not any(entry.parted for entry in entries):
            result = self.folded(*editions)
        else:
            result = join_books(entries, self.folded)
        for layer in board.chain:
            active = {name: one for name, one in layer.changes.items() if (layer.name, name) not in outcome.idle}
            in_force = layer if len(active) == len(layer.changes) else replace(layer, changes=active)
            if (layer.name, WHOLE) in outcome.idle:
                declared = {key: layer.things[key] if key in ("kinds", "facts") else {} for key in layer.things}
                in_force = replace(layer, changes={}, things=declared)
            self.put(result, in_force, lambda address: self._elsewhere(board, outcome, address))
        rules = RuleSet(result).share(self._compiled)
        used = (*board.chain, *(self._layers[name] for name in sorted(self._layers)))
        rules.made_from = () if self.doubting else (*outcome.entries, *map(str, sorted(outcome.idle)), *_sums(used))
        if any(layer.bounds for layer in result.layers) or not rules.found_sound():
            from oktocover.rules.review import review  # most runs need none

            result.problems += review(result, rules, [edit for edit in result.edits if edit.change.place])
        return Variant(outcome, rules, tuple(self.chain(name)[-1] for name in editions), not_shipped)

    def _elsewhere(self, board: Switchboard, outcome: Outcome, address: str) -> bool:
        """Whether a target that is missing stands in an edition that is not in force, or is not shipped."""
        book = address.partition(".")[0]
        for entry in board.entries.values():
            if entry.book not in self.editions or address.endswith("."):
                if entry.book.partition(" ")[0] == book:
                    return True
            elif self.folded(entry.book).find(address) is not None:
                return True
        added = (
            name
            for layer in board.chain
            for change in layer.changes.values()
            if (layer.name, change.name) in outcome.idle and isinstance(change.data.get("add"), dict)
            for name in change.data["add"]
        )
        return any(address == name or address.startswith(f"{name}.") for name in added)

    def case_files(self) -> list[Path]:
        """All files of cases."""
        return [path for root in self.roots for path in sorted(root.rglob(f"*{CASES}"))]


def _sums(layers: Iterable[Layer]) -> Iterator[str]:
    """What some layers are, whole: their names and the sums of their files."""
    for layer in layers:
        yield layer.name
        yield from (document.digest for document in layer.documents)


def _rule_files(folder: Path) -> list[Path]:
    if not folder.is_dir():
        return []
    return sorted(path for path in folder.rglob("*.yaml") if not path.name.endswith(CASES))
