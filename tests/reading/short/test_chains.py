"""Chains: outlets in the order their cable runs."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from oktocover.reading.short import expanded_text
from oktocover.reading.site_file import SiteFile, read_site_text

Read = Callable[..., SiteFile]
Refused = Callable[..., list[str]]

OUTLETS = """\
panels: {P-1: {main: 100 A}, P-2: {}}
receptacles: {R-1: {wall: studio.north, at: 2 ft}, R-2: {}, R-3: {}, R-4: {known: planned}}
switches: {S-1: {}}
lights: {L-1: {}}
boxes: {J-1: {}, B-2: {}}
"""
"""Lines 5 to 9; a chain stands on line 11."""


def circuit(chain: str, rest: str = "panel: P-1, cable: 12-2 NM-B", more: str = "") -> str:
    return f"{OUTLETS}circuits:\n  C-1: {{{rest}, chain: {chain}}}\n{more}"


def cables(found: SiteFile) -> dict[str, tuple[Any, ...]]:
    return {one: (cable.circuit, cable.from_, cable.to, cable.what) for one, cable in found.site.cables.items()}


def ends(found: SiteFile) -> list[tuple[str | None, str | None]]:
    return [(cable.from_, cable.to) for cable in found.site.cables.values()]


def test_a_chain_is_one_piece_of_cable_to_each_outlet(read: Read) -> None:
    found = read(circuit("[P-1, R-1, R-2, [R-3, R-4], {S-1: 14-3 NM-B}, L-1]"))
    assert cables(found) == {
        "C-1 to R-1": ("C-1", "P-1", "R-1", "12-2 NM-B"),
        "C-1 to R-2": ("C-1", "R-1", "R-2", "12-2 NM-B"),
        "C-1 to R-3": ("C-1", "R-2", "R-3", "12-2 NM-B"),
        "C-1 to R-4": ("C-1", "R-3", "R-4", "12-2 NM-B"),
        "C-1 to S-1": ("C-1", "R-2", "S-1", "14-3 NM-B"),
        "C-1 to L-1": ("C-1", "S-1", "L-1", "12-2 NM-B"),
    }
    named = {**found.site.receptacles, **found.site.switches, **found.site.lights}
    assert {one.circuit for one in named.values()} == {"C-1"}
    assert found.site.circuits["C-1"].outlets == ["R-1", "R-2", "R-3", "R-4", "S-1", "L-1"]
    assert "chain" not in found.expanded["circuits"]["C-1"]
    assert found.site.circuits["C-1"].cable is None  # 12-2 NM-B is not all along it
    assert read(circuit("[R-1, {R-2: 12/2 nmb}]")).site.circuits["C-1"].cable == "12-2 NM-B"


def test_each_fact_keeps_its_place(read: Read) -> None:
    found = read(circuit("\n    [P-1, R-1,\n    R-2,\n    [R-3],\n    {S-1: {what: 14-3 NM-B,\n    length: 12 ft}}]"))
    lines = {
        ("receptacles", "R-1", "circuit"): 12,
        ("receptacles", "R-2", "circuit"): 13,
        ("cables", "C-1 to R-3"): 14,
        ("cables", "C-1 to R-3", "to"): 14,
        ("cables", "C-1 to R-3", "what"): 11,
        ("cables", "C-1 to S-1", "what"): 15,
        ("cables", "C-1 to S-1", "length"): 16,
    }
    assert {path: found.place(path).line for path in lines} == lines
    assert found.chain_of(("receptacles", "R-1", "circuit")) == "C-1"
    assert found.chain_of(("receptacles", "R-1", "wall")) is None


@pytest.mark.parametrize(
    ("chain", "pairs"),
    [
        ("[R-1, R-2]", [("P-1", "R-1"), ("R-1", "R-2")]),
        ("[[R-1], [R-2]]", [("P-1", "R-1"), ("P-1", "R-2")]),
        ("[P-1, [R-1], [R-2, [R-3]], R-4]", [("P-1", "R-1"), ("P-1", "R-2"), ("R-2", "R-3"), ("P-1", "R-4")]),
        ("[R-1, J-1, [R-2], R-3]", [("P-1", "R-1"), ("R-1", "J-1"), ("J-1", "R-2"), ("J-1", "R-3")]),
        ("'P-1, R-1; R-2'", [("P-1", "R-1"), ("R-1", "R-2")]),
        ("[P-1, R-1, ~, R-2, R-3]", [("P-1", "R-1"), ("R-2", "R-3")]),
        ("[P-1, R-1, [~, R-2], R-3]", [("P-1", "R-1"), ("R-1", "R-3")]),
        ("[P-1, R-1, ~, [R-2, S-1], R-3]", [("P-1", "R-1"), ("R-2", "S-1")]),
    ],
)
def test_the_ways_a_chain_can_run(read: Read, chain: str, pairs: list[tuple[str, str]]) -> None:
    assert ends(read(circuit(chain))) == pairs


def test_the_panel_comes_from_the_chain_or_stays_unrecorded(read: Read) -> None:
    found = read(circuit("[P-2, R-1]", "breaker: 20 A"))
    assert found.site.circuits["C-1"].panel == "P-2" and ends(found) == [("P-2", "R-1")]
    open_start = read(circuit("[R-1, R-2]", "breaker: 20 A"))
    assert open_start.site.circuits["C-1"].panel is None
    assert ends(open_start) == [(None, "R-1"), ("R-1", "R-2")]
    assert {cable.what for cable in open_start.site.cables.values()} == {None}


def test_devices_of_one_box_have_no_cable_between_them(read: Read) -> None:
    shared = OUTLETS.replace("S-1: {}", "S-1: {box: B-2}").replace("R-2: {}", "R-2: {box: B-2}")
    text = circuit("[R-1, R-2, S-1, L-1]").replace(OUTLETS, shared)
    assert ends(read(text)) == [("P-1", "R-1"), ("R-1", "R-2"), ("S-1", "L-1")]
    entered = circuit("[J-1, R-1, B-2, R-2, R-3]").replace(OUTLETS, shared)
    assert ends(read(entered))[2:] == [("R-1", "B-2"), ("R-2", "R-3")]


def test_how_a_chain_is_known(read: Read) -> None:
    planned = read(circuit("[P-1, R-1, R-4]", "known: planned, cable: 12-2 NM-B"))
    assert planned.known["receptacles", "R-1", "circuit"] == "planned"
    assert planned.site.cables["C-1 to R-1"].known == "planned"
    told = read(circuit("{is: [P-1, R-1, R-4], known: told}", "panel: P-1, cable: {is: 12-2 NM-B, known: measured}"))
    assert told.known["receptacles", "R-1", "circuit"] == "told"
    assert told.known["receptacles", "R-4", "circuit"] == "planned"
    assert told.known["circuits", "C-1", "outlets"] == "told"
    assert told.known["cables", "C-1 to R-1", "what"] == "measured"


def test_a_cable_that_stands_in_its_list_keeps_what_it_says(read: Read, refused: Refused) -> None:
    own = "cables: {C-1 to R-2: {what: 10-2 NM-B, length: 30 ft}, C-9: {}}\n"
    found = read(circuit("[R-1, R-2]", more=own))
    assert cables(found)["C-1 to R-2"] == ("C-1", "R-1", "R-2", "10-2 NM-B")
    assert found.site.cables["C-1 to R-2"].length is not None and len(found.site.cables) == 3
    (one,) = refused(circuit("[R-1, R-2]", more=own.replace("length: 30 ft", "from: R-3")))
    assert one.startswith("site.yaml:12: the from of C-1 to R-2 is 'R-3' here, and R-1 in the chain at site.yaml:11")


@pytest.mark.parametrize(
    ("chain", "said"),
    [
        ("[R-1, R-9]", "site.yaml:11: 'R-9' is the id of nothing in this site | an outlet, box or disconnect: R-1"),
        ("[R-1, r-2]", "did you mean 'R-2'?"),
        ("[R-1, studio]", "site.yaml:11: 'studio' is a space, and no cable of a circuit ends there"),
        ("[R-1, P-2]", "site.yaml:11: 'P-2' is a panel: a branch circuit ends before it"),
        ("[R-1, R-2, R-1]", "site.yaml:11: 'R-1' stands twice in chains; the other place is site.yaml:11"),
        ("[R-1, [R-2, [R-1]]]", "'R-1' stands twice in chains"),
        ("[P-2, R-1]", "site.yaml:11: the chain of C-1 begins at P-2, and its panel is P-1 at site.yaml:11"),
        ("[R-1, []]", "site.yaml:11: a branch without outlets"),
        ("[]", "site.yaml:11: a chain is a list of outlets, in the order the cable runs | chain: [P-1, R-11"),
        ("{R-1: x}", "a chain is a list of outlets"),
        ("[P-1]", "site.yaml:11: the chain of C-1 leads to no outlet"),
        ("[{R-1: a, R-2: b}]", "an entry of a chain is an outlet, an outlet with its own cable, or a list of outlets"),
        ("[{R-1: [R-2]}]", "an entry of a chain is an outlet"),
        ("[{R-1: {wat: 3}}]", "site.yaml:11: 'wat' is no fact of the cable to R-1"),
        ("[{R-1: {from: P-2}}]", "'from' is no fact of the cable to R-1"),
        ("[{R-1: 14-Mar}]", "site.yaml:11: what: '14-Mar' is a date: a spreadsheet made it of what was typed"),
    ],
)
def test_what_no_chain_can_be(refused: Refused, chain: str, said: str) -> None:
    problems = refused(circuit(chain))
    assert any(said in one for one in problems), problems
    assert all(one.startswith("site.yaml:11: ") for one in problems)


def test_a_whole_chain_has_no_blank(refused: Refused) -> None:
    (one,) = refused(circuit("[R-1, [~, R-2]]", "whole: yes"))
    assert one.startswith("site.yaml:11: the chain of C-1 has a blank, and its outlets are said to be whole")


def test_an_outlet_is_on_one_circuit(refused: Refused) -> None:
    named = circuit("[R-1]").replace("R-1: {", "R-1: {circuit: C-2, ") + "  C-2: {}\n"
    (one,) = refused(named)
    assert one.startswith("site.yaml:11: 'R-1' stands in the chain of C-1, and names C-2 at site.yaml:6:")
    (two,) = refused(circuit("[R-1]", more="  C-2: {chain: [R-2, R-1]}\n"))
    assert two.startswith("site.yaml:12: 'R-1' stands twice in chains; the other place is site.yaml:11")


def test_a_junction_box_may_hold_two_circuits(read: Read) -> None:
    found = read(circuit("[J-1, R-1]", more="  C-2: {panel: P-1, chain: [J-1, R-2]}\n"))
    assert [one for one in found.site.cables if one.endswith("J-1")] == ["C-1 to J-1", "C-2 to J-1"]


def test_a_whole_chain_has_no_room_for_another_outlet(refused: Refused) -> None:
    (one,) = refused(circuit("[R-1]", "whole: yes").replace("R-2: {}", "R-2: {circuit: C-1}"))
    assert one.startswith("site.yaml:6: R-2 names C-1, whose outlets are whole without it | an outlet that is listed")


def test_a_chain_and_a_list_of_outlets_are_too_much(refused: Refused) -> None:
    (one,) = refused(circuit("[R-1]", "outlets: [R-1]"))
    assert one.startswith("site.yaml:11: C-1 has a chain and a list of outlets")


def test_chains_in_rows_and_tables(read: Read) -> None:
    rows = "rows: [{list: circuits, ids: [C-1, C-2], panel: P-1, chain: [[R-1, R-2], [R-3]], cable: [12-2 NM-B, 14-2 NM-B]}]\n"
    found = read(OUTLETS + rows)
    assert {one: cable.what for one, cable in found.site.cables.items()} == {
        "C-1 to R-1": "12-2 NM-B",
        "C-1 to R-2": "12-2 NM-B",
        "C-2 to R-3": "14-2 NM-B",
    }
    assert found.place(("receptacles", "R-3", "circuit")).line == 10
    table = {"c.csv": 'id,panel,cable,chain\nC-1,P-1,12-2 NM-B,"R-1, R-2"\nC-2,P-1,14-2 NM-B,R-3\n'}
    sheet = read(OUTLETS + "tables: {circuits: c.csv}\n", table)
    assert cables(sheet) == cables(found)
    assert sheet.place(("receptacles", "R-2", "circuit")).file.endswith("c.csv")


def test_statements_speak_of_the_cables_of_chains(read: Read) -> None:
    said = "by: M.K., day: 2026-05-03"
    looked = (
        f"looked:\n  - {{all: cables, are: {{supports: at most 4 ft apart, from box: at most 8 in}}, {said}, count: 2}}\n"
        f"  - {{all: cables, where: {{circuit: C-1}}, are: {{runs: [concealed]}}, {said}, ids: [C-1 to R-1, C-1 to R-2]}}\n"
    )
    found = read(circuit("[R-1, R-2]", more=looked))
    assert not found.warnings
    assert {str(one.supports.high) for one in found.site.cables.values() if one.supports} == {str(4 * 12 * 25_400_000)}
    assert [one.runs for one in found.site.cables.values()] == [["concealed"]] * 2
    more = read(circuit("[R-1, R-2, R-3]", more=looked))
    assert len(more.warnings) == 2 and "new: C-1 to R-3" in more.warnings[1].message


def test_no_typical_and_no_statement_gives_a_chain(refused: Refused) -> None:
    (one,) = refused(OUTLETS + "typicals: {t: {chain: [R-1]}}\ncircuits: {C-1: {typical: t}}\n")
    assert "chain of circuits: each is written by itself" in one


def test_a_chain_fits_the_schema(fits: Callable[[str], list[str]]) -> None:
    for chain in ("[P-1, R-1, [R-2, {S-1: 14-3 NM-B}]]", "'P-1, R-1'", "{is: [R-1], known: planned}", "~"):
        assert fits(f"circuits: {{C-1: {{chain: {chain}}}}}") == []
    for chain in ("{a: b}", "[{a: b, c: d}]", "[]"):
        assert fits(f"circuits: {{C-1: {{chain: {chain}}}}}") != [], chain


NAMES = [f"R-{number}" for number in range(1, 9)]


@st.composite
def trees(draw: st.DrawFn) -> list[Any]:
    """A chain over some of the names, branches and own designations in it."""
    left = draw(st.permutations(NAMES))[: draw(st.integers(1, len(NAMES)))]

    def run(names: list[str], depth: int) -> list[Any]:
        made: list[Any] = []
        while names:
            if depth < 3 and made and draw(st.integers(0, 3)) == 0:
                size = draw(st.integers(1, len(names)))
                made.append(run(names[:size], depth + 1))
                names = names[size:]
                continue
            one, names = names[0], names[1:]
            made.append({one: "14-3 NM-B"} if draw(st.booleans()) else one)
        return made

    return run(list(left), 0)


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(chain=trees(), whole=st.booleans(), known=st.sampled_from((None, "planned", "told")))
def test_the_long_form_of_any_chain_is_the_same_site(chain: list[Any], whole: bool, known: str | None) -> None:
    names = ", ".join(f"{name}: {{}}" for name in NAMES)
    rest = (", whole: yes" if whole else "") + (f", known: {known}" if known else "")
    written = repr(chain).replace("'", "")
    text = (
        f"panels: {{P-1: {{}}}}\nreceptacles: {{{names}}}\ncircuits: {{C-1: {{panel: P-1, chain: {written}{rest}}}}}\n"
    )
    short = read_site_text(text)
    long = read_site_text(expanded_text(short))
    assert long.site == short.site and long.known == short.known
    outlets = short.site.circuits["C-1"].outlets or []
    assert sorted(cable.to or "" for cable in short.site.cables.values()) == sorted(outlets)
    assert all(cable.from_ == "P-1" or cable.from_ in outlets for cable in short.site.cables.values())
