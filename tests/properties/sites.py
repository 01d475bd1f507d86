"""Whole sites for the property tests: the shipped examples as plain data, and how they are judged."""

from __future__ import annotations

import copy
import csv
import datetime
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from oktocover.check import check
from oktocover.findings.checked import Checked
from oktocover.reading.nodes import read_yaml_file
from oktocover.reading.problems import Place
from oktocover.reading.short.several import lists_by_system
from oktocover.reading.site_file import SiteFile, make_site, read_site
from oktocover.rules.library import Adopted, Library
from oktocover.site.base import spaced
from oktocover.site.root import element_lists

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted(path for path in (ROOT / "examples").glob("*/*.yaml") if path.stem in ("site", "corrected"))
TODAY = datetime.date(2026, 6, 15)
LIBRARY = Library(ROOT / "rulesets")
LISTS = tuple(spaced(name) for name in element_lists())
_ADOPTED: dict[tuple[str, ...], Adopted] = {}


class Plain:
    """Plain data in the place of a document: every value stands on line one."""

    def __init__(self, data: Any) -> None:
        self.data = data
        self.file = "site.yaml"
        self.lines: list[str] = []

    def place(self, path: tuple[str | int, ...]) -> Place:
        return Place(self.file, 1, 1)

    key_place = place


def data_of(path: Path) -> dict[str, Any]:
    """The data of a site file in its long form, every scalar as text."""
    return copy.deepcopy(read_site(path, TODAY).expanded)


def written_in(path: Path) -> dict[str, Any]:
    """The data of a site file as it is written, short forms and all; tables as lists of mappings."""
    data: Any = read_yaml_file(path, path.name).data
    assert isinstance(data, dict)
    data = copy.deepcopy(data)
    for name, table in (data.get("tables") or {}).items():
        if isinstance(table, str):
            with (path.parent / table).open(encoding="utf-8", newline="") as lines:
                data["tables"][name] = [{k: v for k, v in row.items() if v} for row in csv.DictReader(lines)]
    _without_heads(data)
    for line in data.get("looked") or ():
        _without_systems(line)
    return data


def _without_heads(data: dict[str, Any]) -> None:
    """Typicals whole, each named by its entries: without its own name an entry would take that at the head of its list,
    and without a fact of its own a typical that of the one it begins with.
    """
    typicals = data.get("typicals")
    for name in list(typicals) if isinstance(typicals, dict) else ():
        while (other := typicals[name].pop("typical", None)) is not None:
            typicals[name] = {**typicals[other], **typicals[name]}
    for section in data.values():
        head = section.pop("typical") if isinstance(section, dict) and isinstance(section.get("typical"), str) else None
        for facts in section.values() if head is not None else ():
            if facts.setdefault("typical", head) == "none":
                del facts["typical"]


def _without_systems(line: Any) -> None:
    """Lists by their names, so that one of a system can be opened."""
    if not isinstance(line, dict):
        return
    for inner in line.get("said") or ():
        _without_systems(inner)
    names = [line["list"]] if isinstance(line.get("list"), str) else line.get("list") or []
    if any(one in lists_by_system() for one in names):
        line["list"] = [name for one in names for name in lists_by_system().get(one, [one])]


def read(data: dict[str, Any]) -> SiteFile:
    """A checked site from plain data."""
    return make_site([Plain(data)], "site.yaml", TODAY)  # type: ignore[list-item]


def adopted_for(data: dict[str, Any], folder: Path) -> Adopted:
    """The rules of a site, compiled once for all tests of one process."""
    permit = data.get("permit") or {}
    key = (str(permit.get("jurisdiction") or ""), *(permit.get("standards") or ()), str(folder))
    if key not in _ADOPTED:
        _ADOPTED[key] = LIBRARY.adopt(permit.get("jurisdiction"), list(permit.get("standards") or ()), folder)
    return _ADOPTED[key]


def judged(data: dict[str, Any], adopted: Adopted) -> Checked:
    """Every verdict on plain data."""
    return check(read(data), adopted, TODAY, "all")


def verdicts(checked: Checked) -> dict[tuple[str, str], str]:
    """Verdict by rule and subject."""
    return {(one.rule, one.element): one.verdict for one in checked.findings}


def elements(data: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """(list, key) of every entry: an id, or the ids of a row."""
    for name in LISTS:
        section = data.get(name) or {}
        for one in section if isinstance(section, dict) else ():
            yield name, one
