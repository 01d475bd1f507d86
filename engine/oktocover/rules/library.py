"""Finds layers on disk and puts together the rules of a place: books, jurisdictions, the job's standards."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from oktocover.data import data_dir
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Place, Problem
from oktocover.rules.fold import Folded
from oktocover.rules.layers import Layer
from oktocover.rules.read_layer import read_layer
from oktocover.rules.ruleset import RuleSet

MODEL = "model codes"
"""The jurisdiction used when a site names none: the model books as they stand."""
CASES = ".cases.yaml"
NO_BOOKS = ("jurisdictions", "jobs", "tables")
"""Folders of rulesets that hold no book."""


@dataclass(slots=True)
class Adopted:
    """The rules in force for one site, and whose word that is."""

    rules: RuleSet
    place: Layer
    books: tuple[Layer, ...]
    standards: tuple[Layer, ...]
    warnings: tuple[str, ...] = field(default_factory=tuple)


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

    def edition(self, name: str, named_at: Place | None = None) -> Layer:
        """A book edition as its own layer (without what it changes). `named_at`: where its name is written."""
        if name not in self._layers:
            folder = self.editions.get(name)
            if folder is None:
                near = nearest(name, self.editions)
                raise InputProblems(
                    [
                        Problem(
                            named_at,
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
            layer = self.edition(waiting, chain[0].documents[0].place(("from",)) if chain else None)
            chain.insert(0, layer)
            waiting = layer.before
        return chain

    def folded(self, *editions: str) -> Folded:
        """Some book editions folded, each from its oldest layer up."""
        result = Folded()
        for name in editions:
            for layer in self.chain(name):
                result.put(layer, self._taken)
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

    def put(self, on: Folded, layer: Layer) -> None:
        """Lay a place or a standard on folded books; what it takes comes from this library."""
        on.put(layer, self._taken)

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

    def adopt(self, jurisdiction: str | None, standards: list[str], beside: Path | None = None) -> Adopted:
        """The rules of a place with the job's own standards on top, checked."""
        place = self.place(jurisdiction or MODEL, beside)
        chain = [place]
        while chain[0].inside:
            outer = self.place(chain[0].inside, beside)
            if any(layer.name == outer.name for layer in chain):
                ring = " in ".join([*(layer.name for layer in reversed(chain)), outer.name])
                raise InputProblems([Problem(None, f"a place lies in itself: {ring}")])
            chain.insert(0, outer)
        adopts: dict[str, dict[str, str]] = {}
        for layer in chain:
            adopts.update(layer.adopts)
            for name, entry in layer.adopts.items():
                self.edition(entry["book"], layer.adopted_at[name])
        result = self.folded(*dict.fromkeys(entry["book"] for entry in adopts.values()))
        books = tuple(self.chain(entry["book"])[-1] for entry in adopts.values())
        own = tuple(self.standard(name, beside) for name in standards)
        for layer in (*chain, *own):
            self.put(result, layer)
        rules = RuleSet(result)
        warnings = (
            ()
            if jurisdiction
            else (
                "No jurisdiction is named: these are the model books' figures. "
                "Ask the office which editions and changes are in force.",
            )
        )
        return Adopted(rules, place, books, own, warnings)

    def case_files(self) -> list[Path]:
        """All files of cases."""
        return [path for root in self.roots for path in sorted(root.rglob(f"*{CASES}"))]


def _rule_files(folder: Path) -> list[Path]:
    if not folder.is_dir():
        return []
    return sorted(path for path in folder.rglob("*.yaml") if not path.name.endswith(CASES))
