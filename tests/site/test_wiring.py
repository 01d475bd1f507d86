"""What cannot be in the wiring lists, and which lists a whole circuit closes."""

from __future__ import annotations

import pytest

from oktocover.reading.problems import InputProblems
from oktocover.reading.site_file import read_site_text
from oktocover.site.root import Site
from oktocover.site.wiring_whole import box_of, cables_are_all, lists_closed, whole_circuits

HEAD = "panels: {P-1: {}, P-2: {}}\n"


def site(text: str) -> Site:
    return read_site_text(HEAD + text).site


def problems(text: str) -> list[str]:
    with pytest.raises(InputProblems) as caught:
        site(text)
    return [one.message for one in caught.value.problems]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "receptacles: {R-1: {circuit: C-2}}\ncircuits: {C-1: {outlets: [R-1]}, C-2: {}}\n",
            "R-1 is an outlet of C-1 here, and names C-2 itself",
        ),
        (
            "receptacles: {R-1: {}}\ncircuits: {C-1: {outlets: [R-1]}, C-2: {outlets: [R-1]}}\n",
            "R-1 is an outlet of C-2 and of C-1",
        ),
        (
            "lights: {L-1: {circuit: C-1}, L-2: {circuit: C-1}}\ncircuits: {C-1: {outlets: [L-1], whole: yes}}\n",
            "L-2 names C-1, whose outlets are whole without it",
        ),
        ("receptacles: {R-1: {}}\ncables: {K: {from: R-1, to: R-1}}\n", "K ends where it begins, at R-1"),
        (
            "receptacles: {R-1: {}, R-2: {}}\ncircuits: {C-1: {}}\n"
            "cables: {A: {circuit: C-1, from: R-1, to: R-2}, B: {circuit: C-1, from: R-2, to: R-1}}\n",
            "the cables of C-1 run in a ring through R-2: `from` is the end nearer the panel",
        ),
        ("feeders: {F-1: {from: P-1, to: P-2}, F-2: {from: P-2, to: P-1}}\n", "F-1 feeds P-2 from itself"),
        (
            "spaces: {a: {size: 9 ft x 9 ft}}\nboxes: {B: {wall: a.north}}\nswitches: {S-1: {wall: a.east, box: B}}\n",
            "S-1 is on the wall a.east, its box B on a.north",
        ),
        ("holes: {N: {size: 4 in, depth: 3-1/2 in}}\n", "N: 4 in in a member of 3-1/2 in"),
        (
            "holes: {N: {size: 2 in, edge: 1 in, depth: 3-1/2 in}}\n",
            "N: 2 in with 1 in beside it in a member of 3-1/2 in",
        ),
        ("holes: {N: {many: 2.5}}\n", "N stands for 5/2 holes"),
        ("circuits: {C-1: {cable: 12-Feb}}\n", "cable: '12-Feb' is a date: a spreadsheet made it of what was typed"),
        ("cables: {K: {what: 12-2 NM}}\n", "what: '12-2 NM': 'NM' is no type of cable"),
        (
            "cables: {K: {supports: every 4 ft}}\n",
            "supports: 'every 4 ft' says what was meant; the widest gap is wanted",
        ),
    ],
)
def test_what_cannot_be(text: str, said: str) -> None:
    found = problems(text)
    assert len(found) == 1 and found[0].startswith(said), found


@pytest.mark.parametrize(
    "text",
    [
        "holes: {N: {size: 2 in, edge: 3/4 in, depth: 3-1/2 in}}\n",
        "holes: {N: {size: 1 in, edge: 3 in, depth: 3-1/2 in, cut: notch}}\n",
        "boxes: {J: {}}\ncircuits: {C-1: {outlets: [J]}, C-2: {outlets: [J]}}\n",
        "feeders: {F-1: {from: P-1, to: P-2}}\n",
        "spaces: {a: {size: 9 ft x 9 ft}, b: {size: 9 ft x 9 ft}}\nboxes: {B: {wall: a.north}}\nswitches: {S-1: {wall: b.south, box: B}}\n",
        "circuits: {C-1: {whole: yes}}\nreceptacles: {R-1: {circuit: C-1}}\n",
        "cables: {K: {supports: at most 4 ft apart, from box: at most 8 in, runs: [concealed, in the attic]}}\n",
    ],
)
def test_what_can_be(text: str) -> None:
    site(text)


WHOLE = """\
receptacles: {R-1: {circuit: C-1}, R-2: {circuit: C-1, box: B}}
switches: {S-1: {circuit: C-1, box: B}}
boxes: {B: {}}
circuits: {C-1: {outlets: [R-1, R-2, S-1], whole: yes}, C-2: {whole: yes}}
cables: {K1: {circuit: C-1, from: P-1, to: R-1}, K2: {circuit: C-1, from: R-1, to: R-2}}
"""


def test_a_whole_circuit_closes_its_lists() -> None:
    found = site(WHOLE)
    assert whole_circuits(found) == {"C-1"} and cables_are_all(found, "C-1")
    assert lists_closed(found)["cables"] == lists_closed(found)["receptacles"] == {"C-1"}
    assert [box_of(found, one) for one in ("R-1", "S-1", "B", "P-1")] == [None, "B", "B", None]


@pytest.mark.parametrize(
    ("gone", "closed"),
    [
        ("whole: yes}, C-2", set()),
        ("outlets: [R-1, R-2, S-1], ", set()),
        ("K2: {circuit: C-1, from: R-1, to: R-2}", {"receptacles", "switches"}),
        ("to: R-2}", {"receptacles", "switches"}),
        ("circuit: C-1, from: R-1", {"receptacles", "switches"}),
        ("circuit: C-1, from: P-1", {"receptacles", "switches"}),
        ("S-1: {circuit: C-1, ", set()),
        ("S-1: {circuit: C-1, box: B", set()),
    ],
)
def test_what_reopens_them(gone: str, closed: set[str]) -> None:
    kept = {
        "circuit: C-1, from: R-1": "from: R-1",
        "circuit: C-1, from: P-1": "from: P-1",
        "whole: yes}, C-2": "}, C-2",
        "to: R-2}": "}",
        "S-1: {circuit: C-1, ": "S-1: {",
        "S-1: {circuit: C-1, box: B": "S-1: {",
    }
    text = WHOLE.replace(gone, kept.get(gone, ""))
    assert text != WHOLE
    assert {name for name in ("receptacles", "switches", "cables") if lists_closed(site(text)).get(name)} == closed
