"""Typicals: facts that many elements share."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from oktocover.reading.short.one_by_one import ONE_BY_ONE
from oktocover.reading.short.work import NOT_FACTS, facts_of
from oktocover.reading.site_file import SiteFile

Read = Callable[..., SiteFile]
Refused = Callable[..., list[str]]

SITE = """\
typicals:
  box-1: {mount: wall, height: 44 in, what: 5-20 duplex}
receptacles:
  R-1: {typical: box-1, wall: studio.north, at: 2 ft}
  R-2: {typical: box-1, height: 30 in, what: {is: 14-50, known: told}}
  R-3: {wall: studio.north}
"""


def test_what_an_entry_lacks_comes_from_its_typical(read: Read) -> None:
    found = read(SITE)
    one, two, three = found.site.receptacles.values()
    assert "typicals" not in found.expanded and "typical" not in found.expanded["receptacles"]["R-1"]
    assert (one.mount, one.height and one.height.text, one.what, one.wall) == ("wall", "44 in", "5-20 duplex", "studio.north")
    assert three.mount is None and three.height is None and three.what is None
    assert (two.mount, two.height and two.height.text, two.what) == ("wall", "30 in", "14-50")
    assert found.known == {
        ("receptacles", "R-1", "mount"): "typical",
        ("receptacles", "R-1", "height"): "typical",
        ("receptacles", "R-1", "what"): "typical",
        ("receptacles", "R-2", "mount"): "typical",
        ("receptacles", "R-2", "what"): "told",
    }


def test_a_fact_leads_to_the_line_of_the_typical(read: Read) -> None:
    found = read(SITE)
    assert found.place(("receptacles", "R-1", "height")).line == 6
    assert found.place(("receptacles", "R-1", "at")).line == 8
    assert found.place(("receptacles", "R-2", "height")).line == 9


@pytest.mark.parametrize(
    ("typical", "entry", "head", "known"),
    [
        ("height: 44 in", "", "", "typical"),
        ("height: {is: 44 in, known: measured}", "", "", "typical"),
        ("height: {is: 44 in, known: planned}", "", "", "planned"),
        ("height: 44 in, known: assumed", "", "", "assumed"),
        ("height: 44 in", ", known: planned", "", "planned"),
        ("height: 44 in", ", known: tested", "", "typical"),
        ("height: 44 in", "", "known: assumed\n", "assumed"),
        ("height: 44 in", ", known: told", "known: planned\n", "planned"),
    ],
)
def test_a_typical_is_never_known_better_than_typical(read: Read, typical: str, entry: str, head: str, known: str) -> None:
    found = read(f"{head}typicals: {{t: {{{typical}}}}}\nreceptacles: {{R: {{typical: t{entry}}}}}\n")
    assert found.known[("receptacles", "R", "height")] == known


def test_rows_and_tables_use_typicals(read: Read) -> None:
    found = read(
        SITE.split("receptacles:")[0]
        + "rows: [{list: receptacles, ids: [A, B], typical: [box-1, ~]}]\ntables: {receptacles: t.csv}\n",
        {"t.csv": "id,typical,height\nC,box-1,\nD,,\nE,box-1,18 in\n"},
    )
    heights = {name: one.height.text if one.height else None for name, one in found.site.receptacles.items()}
    assert heights == {"A": "44 in", "B": None, "C": "44 in", "D": None, "E": "18 in"}
    assert found.place(("receptacles", "C", "height")).line == 6


def test_typicals_of_a_file_and_nearest_wins(read: Read) -> None:
    shared = "typicals:\n  box-1: {height: 18 in}\n  box-2: {height: 30 in}\n"
    found = read(
        "typicals: [lib/shared.yaml, {box-1: {height: 44 in}}]\n"
        "receptacles: {A: {typical: box-1}, B: {typical: box-2}}\n",
        {"lib/shared.yaml": shared},
    )
    assert [one.height and one.height.text for one in found.site.receptacles.values()] == ["44 in", "30 in"]
    place = found.place(("receptacles", "B", "height"))
    assert place.file.endswith("lib/shared.yaml") and place.line == 3


def test_facts_the_kind_does_not_have(refused: Refused) -> None:
    (one,) = refused(
        "typicals: {t: {height: 44 in, sill: 3 ft}}\nreceptacles: {R-1: {typical: t}, R-2: {typical: t}}\nopenings: {D: {typical: t}}\n"
    )
    assert one.startswith("site.yaml:5: 'sill' is no fact of receptacles, where R-1 (at site.yaml:6:15) uses this typical")
    (two,) = refused("typicals: {t: {heigth: 44 in}}\n")
    assert two.startswith("site.yaml:5: 'heigth' is a fact of nothing") and two.endswith("did you mean 'height'?")


def test_a_name_nobody_wrote(refused: Refused) -> None:
    (one,) = refused("typicals: {box-1: {height: 44 in}}\nreceptacles: {R: {typical: bx-1}}\n")
    assert one == "site.yaml:6: there is no typical 'bx-1' | one of: box-1 | did you mean 'box-1'?"
    (two,) = refused("receptacles: {R: {typicl: box-1}}\n")
    assert two.endswith("did you mean 'typical'?")


def test_a_wrong_value_is_told_once_at_the_typical(refused: Refused) -> None:
    (one,) = refused("typicals: {t: {height: 44}}\nreceptacles: {R-1: {typical: t}, R-2: {typical: t}}\n")
    assert one.startswith("site.yaml:5: height: '44' has no unit")


@pytest.mark.parametrize("name", ONE_BY_ONE)
def test_what_is_written_one_by_one_is_never_typical(refused: Refused, name: str) -> None:
    facts = [fact for fact in facts_of(name) if fact not in (*NOT_FACTS, "typical")]
    for fact in facts if ONE_BY_ONE[name] == ("*",) else ONE_BY_ONE[name]:
        assert fact in facts
        told = refused(f"typicals: {{t: {{{fact}: x}}}}\n{name}: {{A: {{typical: t}}, B: {{typical: t}}}}\n")
        assert len(told) == 1 and told[0].startswith("site.yaml:5: ") and "each is written by itself" in told[0]


def test_what_is_no_typical_is_refused(refused: Refused) -> None:
    for text, said in {
        "typicals: x": "typicals stand under their names",
        "typicals: {t: x}": "a typical is a mapping of facts",
        "typicals: {t: {typical: u}}": "there is no typical 'u'",
        "typicals: {t: {typical: u}, u: {typical: t}}": "the typical 'u' begins with itself",
        "typicals: {t: {typical: t}}": "the typical 't' begins with itself",
        "typicals: {t: {typical: [u]}, u: {}}": "a typical is named here",
        "typicals: [[a]]": "a file of typicals, or typicals, stand here",
        "typicals: [a.yaml]": "there is no file 'a.yaml'",
        "typicals: [{t: {}}, {t: {}}]": "the typical 't' stands twice; the other is at site.yaml:5:13",
        "typicals: {t: {known: guessed}}": "'guessed' is no way of knowing",
        "typicals: {t: {height: {is: 1 ft, known: guessed}}}\nreceptacles: {A: {typical: t}}": "'guessed' is no way",
        "typicals: {t: {}}\nreceptacles: {A: {typical: [t]}}": "a typical is named here",
    }.items():
        (one,) = refused(text)
        assert said in one, text
    (other,) = refused("typicals: [a.yaml]", {"a.yaml": "typicals: {}\nrows: []\n"})
    assert other.startswith("a.yaml:1: a file of typicals holds typicals only")


def test_an_editor_completes_typicals(fits: Callable[[str], list[str]]) -> None:
    assert fits(SITE) == []
    assert fits("typicals: [a.yaml, {t: {height: 44 in}}]\nrows: [{list: receptacles, ids: [A], typical: t}]") == []
    assert fits("tables: {receptacles: [{id: A, typical: t}]}") == []
    for bad in ("typicals: {t: {heigth: 44 in}}", "typicals: {t: {sill: 1 ft, breaker: 20 A}}", "typicals: [a.csv]",
                "receptacles: {A: {typical: [t]}}"):
        assert fits(bad), bad


BOX = "typicals: {box-1: {material: plastic, volume: 20.3 cu in, gangs: 1}}\n"


def test_a_box_that_names_a_typical_is_the_outlets_own(read: Read) -> None:
    found = read(
        BOX + "receptacles: {R-1: {wall: studio.north, at: 4 ft, height: 44 in, box: box-1}}\n"
        "switches: {S-1: {space: studio, box: B-2}}\nboxes: {B-2: {typical: box-1, volume: 34 cu in}}\n"
    )
    assert found.site.receptacles["R-1"].box == "R-1 box" and found.site.switches["S-1"].box == "B-2"
    own = found.site.boxes["R-1 box"]
    assert (own.wall, own.material, own.space) == ("studio.north", "plastic", None)
    assert own.at == found.site.receptacles["R-1"].at and own.height == found.site.receptacles["R-1"].height
    assert found.known["boxes", "R-1 box", "volume"] == "typical"
    assert ("boxes", "R-1 box", "wall") not in found.known
    assert [found.place(("boxes", "R-1 box", fact)).line for fact in ("volume", "wall")] == [5, 6]
    assert list(found.site.boxes) == ["B-2", "R-1 box"]


def test_a_box_comes_from_the_typical_of_an_outlet_too(read: Read) -> None:
    found = read(
        BOX.replace("typicals: {", "typicals: {outlet: {box: box-1, height: 44 in}, ")
        + "rows: [{list: receptacles, ids: [R-1, R-2], typical: outlet, known: [~, planned]}]\n"
    )
    assert list(found.site.boxes) == ["R-1 box", "R-2 box"]
    assert found.known["receptacles", "R-1", "box"] == "typical"
    assert found.known["boxes", "R-2 box", "volume"] == "planned"
    assert found.site.boxes["R-2 box"].known == "planned"


def test_a_box_that_is_neither_box_nor_typical_is_refused(refused: Refused) -> None:
    (one,) = refused(BOX + "boxes: {B-1: {}}\nreceptacles: {R-1: {box: box-2}}\n")
    assert one.startswith("site.yaml:7: 'box-2' is no box and no typical of this site | one of: B-1, box-1")
    assert "did you mean 'box-1'?" in one or "did you mean 'B-1'?" in one
    (two,) = refused(BOX + "boxes: {R-1 box: {}}\nreceptacles: {R-1: {box: box-1}}\n")
    assert two.startswith("site.yaml:7: 'R-1 box' stands twice; the other is at")
    (three,) = refused(BOX.replace("gangs: 1", "breaker: 20 A") + "receptacles: {R-1: {box: box-1}}\n")
    assert three.startswith("site.yaml:5: 'breaker' is no fact of boxes, where R-1 box (at ")


FAMILY = """\
typicals:
  bench: {what: 5-20 duplex, mount: wall, height: 44 in, box: deep}
  low: {typical: bench, height: 18 in}
  lowest: {typical: low, mount: floor, known: planned}
  deep: {typical: square, volume: 42 cu in}
  square: {material: steel, volume: 30.3 cu in}
receptacles:
  typical: bench
  R-1: {wall: studio.north, at: 2 ft}
  R-2, R-3: {typical: [low, lowest], wall: studio.north, at: [4 ft, 6 ft]}
  R-4: {typical: none, what: L5-20}
"""


def test_a_typical_begins_with_another(read: Read) -> None:
    found = read(FAMILY)
    told = {
        one: (facts.mount, facts.height and facts.height.text, facts.what, facts.box)
        for one, facts in found.site.receptacles.items()
    }
    assert told == {
        "R-1": ("wall", "44 in", "5-20 duplex", "R-1 box"),
        "R-2": ("wall", "18 in", "5-20 duplex", "R-2 box"),
        "R-3": ("floor", "18 in", "5-20 duplex", "R-3 box"),
        "R-4": (None, None, "L5-20", None),
    }
    box = found.site.boxes["R-1 box"]
    assert (box.material, box.volume and box.volume.text) == ("steel", "42 cu in")
    assert (found.known["receptacles", "R-2", "what"], found.known["receptacles", "R-3", "what"]) == ("typical", "planned")


def test_each_fact_of_a_family_leads_to_its_own_line(read: Read) -> None:
    found = read(FAMILY)
    lines = {fact: found.place(("receptacles", "R-3", fact)).line for fact in ("what", "height", "mount", "at")}
    assert lines == {"what": 6, "height": 7, "mount": 8, "at": 14}
    assert found.place(("boxes", "R-1 box", "material")).line == 10


def test_the_typical_at_the_head_of_a_list(read: Read, refused: Refused) -> None:
    """It is that of every entry written there, of rows and tables too; what other forms make has none of it."""
    found = read(
        "typicals: {t: {height: 44 in}}\nreceptacles: {typical: t}\n"
        "tables: {receptacles: [{id: A, what: 14-50}]}\nrows: [{list: receptacles, ids: [B, C], typical: [~, none]}]\n"
    )
    assert {one: facts.height is not None for one, facts in found.site.receptacles.items()} == {
        "A": True, "B": False, "C": False}
    assert read("boxes: {typical: {volume: 20 cu in}}\n").site.boxes["typical"].volume is not None
    (one,) = refused("typicals: {t: {height: 44 in}}\nreceptacles:\n  typical: s\n  A: {}\n  B: {}\n")
    assert one.startswith("site.yaml:7: there is no typical 's'")
    (two,) = refused("typicals: {t: {breaker: 20 A}}\nreceptacles: {typical: t, A: {}, B: {}}\n")
    assert two.startswith("site.yaml:5: 'breaker' is no fact of receptacles")


def test_an_editor_completes_families(fits: Callable[[str], list[str]]) -> None:
    assert fits(FAMILY) == []
    assert fits("receptacles: {typical: [t]}") and fits("typicals: {t: {typical: 5 ft, heigth: 1 ft}}")
