"""Rules by section number: every number a rule has or had, in any book and edition."""

from __future__ import annotations

from pathlib import Path

import pytest

from oktocover.measures import trades
from oktocover.reports import sections
from oktocover.reports._layered import World
from oktocover.rules.library import Library

assert trades
LIBRARY = Library(Path(__file__).resolve().parents[2] / "rulesets")
TOWN = World(LIBRARY, LIBRARY.adopt("Tallow Creek", []))


def found(wanted: str, world: World = TOWN) -> dict[str, sections.Hit]:
    return {hit.id: hit for hit in sections.find(LIBRARY, world, wanted)}


@pytest.mark.parametrize("written", ["210.52(A)(1)", "Sec. 210.52 (A)(1)", "NEC 2020 210.52(a)(1)", " 210.52(A)(1). "])
def test_a_number_is_read_as_people_write_it(written: str) -> None:
    assert "nec.wall-receptacle-reach" in found(written)


def test_a_section_holds_its_subsections_and_no_more() -> None:
    assert set(found("210.52(A)")) < set(found("210.52"))
    assert "nec.wall-receptacle-reach" in found("210.52(A)")
    assert "nec.bathroom-receptacle" in found("210.52") and "nec.bathroom-receptacle" not in found("210.52(A)")
    assert not found("210.5")


def test_the_residential_code_has_numbers_of_its_own() -> None:
    """G2417.4.2 beside IFGC 406.4.2, G2407.11 beside 304.11, E3901.4.2 beside NEC 210.52(C)(2): two references."""
    assert "ifgc.test-hold" in found("G2417.4.2")
    assert {"ifgc.air-opening-attic", "ifgc.air-opening-duct", "ifgc.air-opening-grade"} <= set(found("G2407.11"))
    assert "nec.island-receptacle" in found("E3901.4.2")


def test_each_edition_is_named_with_the_numbers_it_has() -> None:
    """The outer end of a peninsula is 210.52(C)(2)(b) in 2020 only; 2017 counts by the side, 2023 asks for none."""
    hit = found("210.52(C)(2)(b)")["nec.island-receptacle"]
    assert [book for book, _ in hit.editions] == ["NEC 2020"]
    assert hit.here == "in force"


def test_what_another_edition_or_book_has_is_not_in_force() -> None:
    assert found("1213.3")["upc.test-hold"].here == "not in force"
    assert found("210.52(C)(4)")["nec.divides_island"].here == "not in force"


def test_a_rule_whose_number_moved_is_found_under_the_old_one(tmp_path: Path) -> None:
    place = tmp_path / "t.yaml"
    place.write_text(
        'place: T\nadopts: {gas: {book: ifgc 2021}}\nchanges:\n'
        '  moved: {cite: T 1, set: {ifgc.test-hold.section: "906.1", ifgc.test-hold.dwelling.section: "906.2"}}\n'
        '  fewer: {cite: T 2, strike: {ifgc.test-drop: duty gone}}\n', encoding="utf-8")
    world = World(LIBRARY, LIBRARY.adopt(str(place), [], tmp_path))
    assert found("406.4.2", world)["ifgc.test-hold"].here == "in force under 906.1, G2417.4.2, 906.2"
    assert found("906.1", world)["ifgc.test-hold"].editions == (("T", ("906.1",)),)
    assert found("406.5", world)["ifgc.test-drop"].here == "struck here"


def test_the_nearest_numbers_share_the_most() -> None:
    assert sections.nearest_numbers(LIBRARY, TOWN, "406.4.9")[0].startswith("406.4")
    assert all(one.startswith("E3901") for one in sections.nearest_numbers(LIBRARY, TOWN, "E3901.99"))
    assert sections.nearest_numbers(LIBRARY, TOWN, "Z9") == []


def test_words_are_no_numbers() -> None:
    got = [one.number for one in sections.numbers({"section": "R302.11 item 5, Table R302.6; NFPA 54, 210.52(A) Ex. 1"})]
    assert got == ["R302.11", "R302.6", "210.52(A)"]
