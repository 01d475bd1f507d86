"""Real local amendments, written as data: each turns a verdict, an entry of the card or a line of the field sheet.

`list.yaml` names them: where each is from and what it says, in our own words. `places/` holds them, a file a place;
the name of a change or an adoption is that of the list, or its note begins with it. `books/` holds what the shipped
books do not carry and the amendments change. What nobody could write stands in `not-expressed.yaml` with its reason.
`places/invented*.yaml` are amendments that nobody has passed: the promise is that the next one needs no code.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from pathlib import Path
from typing import Any

import pytest
import yaml

from oktocover.check import check
from oktocover.measures import trades
from oktocover.quantities import read_date
from oktocover.reading.site_file import read_site
from oktocover.rules.cases import Case, read_cases
from oktocover.rules.declared_places import declared_for
from oktocover.rules.library import Library
from oktocover.rules.prove import prove_rule
from oktocover.rules.prove_changes import prove_place
from oktocover.rules.ruleset import RuleSet

HERE = Path(__file__).parent
BOOKS, PLACES = HERE / "books", HERE / "places"
LEAST, MOST_LEFT, INVENTED = 115, 25, 20
TODAY = read_date("2024-07-01")
assert trades


class Shelf(Library):
    """The shipped rules with the books of these tests stacked on them, and the places beside."""

    @cached_property
    def places(self) -> dict[str, Path]:
        return {**super().places, **{path.stem.replace("-", " "): path for path in PLACES.glob("*.yaml")}}


@pytest.fixture(scope="module")
def shelf() -> Library:
    return Shelf(None, BOOKS)


def plain(path: Path) -> Any:
    return yaml.safe_load(path.read_text(encoding="utf-8"))


LISTED: dict[str, dict[str, str]] = plain(HERE / "list.yaml")
NOT_EXPRESSED: dict[str, str] = plain(HERE / "not-expressed.yaml")


def parts(place: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Everything a place says that has a name or a note: changes, adoptions, bounds, its word on stacking."""
    for section in ("changes", "adopts", "bounds"):
        for name, part in (place.get(section) or {}).items():
            yield name, part if isinstance(part, dict) else {}
    for head in ("stacking", "reach"):
        if isinstance(place.get(head), dict):
            yield head, place[head]


def written() -> dict[str, tuple[str, dict[str, Any]]]:
    """By the name of the list: the file, and what was written."""
    found: dict[str, tuple[str, dict[str, Any]]] = {}
    for path in sorted(PLACES.glob("*.yaml")):
        for name, part in parts(plain(path)):
            noted = str(part.get("note", "")).partition(": ")[0]
            for one in {name, noted} & set(LISTED):
                assert one not in found, f"{one} is written twice: {found[one][0]} and {path.name}"
                found[one] = (path.name, part)
    return found


def test_every_amendment_of_the_list_is_written_or_said_not_to_be() -> None:
    found = written()
    assert set(found) | set(NOT_EXPRESSED) == set(LISTED)
    assert not set(found) & set(NOT_EXPRESSED)
    assert len(found) >= LEAST
    assert len(NOT_EXPRESSED) <= MOST_LEFT
    assert all(reason.strip() for reason in NOT_EXPRESSED.values())


def test_each_names_its_authority_and_shows_by_cases_of_its_own_that_it_turns_something() -> None:
    for name, (file, part) in written().items():
        assert part.get("cite"), f"{file}: {name} names no authority"
        assert part.get("cases"), f"{file}: {name} has no case of its own"


def test_the_list_says_where_each_is_from_and_what_it_says() -> None:
    for name, entry in LISTED.items():
        assert set(entry) == {"place", "cite", "about"}, name
        assert all(text.strip() for text in entry.values()), name


@pytest.mark.parametrize("name", sorted(path.stem for path in PLACES.glob("*.yaml")))
def test_each_change_of_a_place_turns_its_cases(shelf: Library, name: str) -> None:
    layer = shelf.place(name)
    told = list(prove_place(shelf, layer, []))
    assert [text for one in told for text in one.failed] == []
    assert [f"{one.what}: {text}" for one in told for text in one.not_proven if one.cases] == []


def test_invented_amendments_are_written_with_no_code_either() -> None:
    invented = [part for path in PLACES.glob("invented*.yaml") for part in parts(plain(path)) if part[1].get("cases")]
    assert len(invented) >= INVENTED


def base_cases() -> list[Case]:
    return [case for path in sorted(BOOKS.rglob("*.cases.yaml")) for case in read_cases(path, path.name)]


@pytest.mark.parametrize("layer", sorted({case.layer for case in base_cases()}))
def test_the_base_provisions_are_proven_by_their_cases(shelf: Library, layer: str) -> None:
    """Each comes out as written, and each name and number of it turns a case, as with the shipped ones."""
    rules = RuleSet(shelf.folded(layer))
    by_rule: dict[str, list[Case]] = {}
    for case in base_cases():
        if case.layer == layer:
            by_rule.setdefault(case.rule, []).append(case)
    for address, cases in by_rule.items():
        rule = rules.rule(address)
        assert rule is not None, f"{cases[0].place}: there is no rule '{address}'"
        own = rules.folded.things["rules"][address].layer == layer
        proof = prove_rule(rule, layer, cases, None if own else set(), own)
        assert (proof.failed, proof.not_proven) == ([], [])


SITE = """
site: A house in Utah
climate zone: CZ5
permit: {occupancy: one family, applied: 2024-06-01}
drain tests:
  T-1: {medium: air, pressure: 6.1 psi, held: 15 min, pipe: plastic, freezing: yes, water on site: yes, top: 18 psi}
spaces: {garage: {use: garage}}
receptacles: {R-1: {space: garage, what: 6-20, to ground: 120 V, ground fault: no}}
envelope parts:
  W-1: {part: wood wall, insulation: R-15+5ci, air impermeable: no}
"""


def test_a_site_of_such_a_place_is_read_and_checked_with_what_the_place_says(shelf: Library, tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text(SITE, encoding="utf-8")
    declared = declared_for(shelf, "Utah")
    found = check(read_site(tmp_path / "site.yaml", TODAY, declared), shelf.adopt("Utah", []), TODAY, "all").findings
    told = {(one.rule, one.element): one for one in found}
    test = told["irc.drain-test", "T-1"]
    assert test.verdict == "not met" and test.required == "at most 6 psi"
    assert any("15A-3-204(3)" in one for one in test.amended_by)
    plug = told["irc.ground-fault-places.in_garage", "R-1"]
    assert plug.verdict == "does not apply" and plug.amended_by == ("Utah: Utah Code 15A-3-206(6)-(17)",)
    wall = told["irc.wall-insulation", "W-1"]
    assert wall.verdict == "met" and any("15A-3-203(11)" in one for one in wall.amended_by)
