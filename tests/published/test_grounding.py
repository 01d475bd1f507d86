"""Conductors to grounding electrodes against the published table. Each check names its source."""

from __future__ import annotations

from typing import Any

import pytest

from oktocover.measures.subject import Subject
from oktocover.quantities import read
from oktocover.rules.scope import Env

from .electrical_book import ruleset


def wire(text: str) -> int:
    found = read(text, "wire size").exact
    assert found is not None
    return int(found)


def needed(what: str, supply: str, metal: str, conductor: str = "copper") -> Any:
    facts = {"what": what, "supply_wire": wire(supply), "supply_metal": metal, "conductor_metal": conductor}
    made = ruleset().term("nec.electrode_wire_needed")
    assert made is not None
    return made.compiled().evaluate(Env(Subject("electrode", "G-1", facts), {}))


# Table 250.66, read on a supplier's page. It prints '1 or smaller' for the first row of aluminum, where the next begins at 2/0.
TABLE = [
    ("2 AWG", "1/0 AWG", "8 AWG", "6 AWG"),
    ("1/0 AWG", "3/0 AWG", "6 AWG", "4 AWG"),
    ("3/0 AWG", "250 kcmil", "4 AWG", "2 AWG"),
    ("350 kcmil", "500 kcmil", "2 AWG", "1/0 AWG"),
    ("600 kcmil", "900 kcmil", "1/0 AWG", "3/0 AWG"),
]


@pytest.mark.parametrize(("copper", "aluminum", "of_copper", "of_aluminum"), TABLE)
def test_a_conductor_to_a_water_pipe_is_that_of_the_table(
    copper: str, aluminum: str, of_copper: str, of_aluminum: str
) -> None:
    for supply, metal in ((copper, "copper"), (aluminum, "aluminum")):
        assert needed("water pipe", supply, metal) == wire(of_copper)
        assert needed("water pipe", supply, metal, "aluminum") == wire(of_aluminum)


@pytest.mark.parametrize(("copper", "aluminum", "of_copper", "of_aluminum"), TABLE)
def test_a_bonding_jumper_of_a_service_is_that_of_the_same_table(
    copper: str, aluminum: str, of_copper: str, of_aluminum: str
) -> None:
    """Table 250.102(C)(1) has the rows of Table 250.66 as far as these go."""
    for supply, metal in ((copper, "copper"), (aluminum, "aluminum")):
        service = Subject("service", "S-1", {"supply_wire": wire(supply), "supply_metal": metal})
        for name, size in (("copper_bond", of_copper), ("aluminum_bond", of_aluminum)):
            made = ruleset().term(f"nec.{name}")
            assert made is not None
            assert made.compiled().evaluate(Env(service, {})) == wire(size)


def test_never_more_than_6_to_a_rod_and_4_to_the_footing() -> None:
    """250.66(A) and (B), read on a supplier's page and in a city's list: 6 AWG copper to rods, 4 AWG copper to the footing."""
    assert needed("ground rod", "600 kcmil", "copper") == wire("6 AWG")
    assert needed("footing steel", "600 kcmil", "copper") == wire("4 AWG")
    assert needed("ground rod", "2 AWG", "copper") == wire("8 AWG")


def test_the_usual_house() -> None:
    """Common practice: a service of 200 A on 2/0 copper or 4/0 aluminum has 4 AWG of copper to the water pipe."""
    assert needed("water pipe", "2/0 AWG", "copper") == needed("water pipe", "4/0 AWG", "aluminum") == wire("4 AWG")
