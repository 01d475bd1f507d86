"""Layers: folding never edits, every address form is found, and what cannot be is said with file and line."""

import copy
import json
from pathlib import Path
from typing import Any

import pytest

from oktocover.reading.problems import InputProblems
from oktocover.rules import addresses
from oktocover.rules.fold import Folded
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet

BASE = """
book: tst
edition: "1"
usual: {trade: general, stage: final, severity: correction, basis: {check: common practice}}
tables:
  sizes:
    section: Table 1
    keys: {size: exact}
    columns: [least, most]
    rows: {1/2 in: {least: 1 in, most: 2 in}, 1 in: {least: 3 in, most: 4 in}}
    basis: {check: common practice}
terms:
  good: {of: gizmo, is: colour in fine, limits: {fine: [red, green]}, section: "1"}
rules:
  one:
    title: One
    section: 1.2(A)
    each: gizmo
    when: {whom: marked, colour_fits: colour in colours}
    limits: {colours: [red, green], least: 6 ft, due: {by: fitted, rows: {yes: 1 in, no: 2 in}}}
    items:
      first: long >= least
      second: {when: listed, require: wide >= due, unless: {excused: {when: count_a > most, limits: {most: 1}}}}
    unless: {old: fitted}
    remedy: Mend it.
  two:
    title: Two
    section: 1.10
    each: gizmo
    require: good
    remedy: Mend it.
  seen: {title: Seen, section: "3", each: gizmo, look: It is snug, remedy: Look.}
  three:
    title: Three
    section: Table 1
    each: gizmo
    require: "wide <= sizes[long].most"
    remedy: Mend it.
"""
NEXT = """
book: tst
edition: "2"
from: "1"
changes:
  longer: {cite: TST 2 1.2, set: {tst.one.least: 7 ft}}
"""
PLACE = """
place: Town
adopts: {all: {book: tst 1}}
changes:
  change:
    cite: Ord. 1
"""


def library(folder: Path, **files: str) -> Library:
    """A folder of rulesets: `base` and `next` are editions of tst, every other file a place."""
    for name, text in {"base": BASE, "next": NEXT, **files}.items():
        path = {"base": "tst/1/all.yaml", "next": "tst/2/all.yaml"}.get(name, f"jurisdictions/{name}.yaml")
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(text.lstrip(), encoding="utf-8")
    (folder / "jobs").mkdir(exist_ok=True)
    return Library(folder)


def plain(folded: Folded) -> str:
    things = folded.things.items()
    return json.dumps({section: {name: thing.data for name, thing in named.items()} for section, named in things})


def changed(folder: Path, *changes: str, name: str = "change") -> Folded:
    """The base with a town's change; every line is part of the change."""
    town = PLACE + "".join(f"    {line}\n" for line in changes)
    adopted = library(folder, town=town).adopt("town", [])
    return adopted.rules.folded


def said(folder: Path, *changes: str) -> list[str]:
    return [problem.text() for problem in changed(folder, *changes).problems]


def wrong(folded: Folded) -> list[str]:
    try:
        RuleSet(folded).check()
    except InputProblems as error:
        return [problem.text() for problem in error.problems]
    return []


def rule(folded: Folded, name: str = "one") -> dict[str, Any]:
    found: dict[str, Any] = folded.things["rules"][f"tst.{name}"].data
    return found


def test_folding_twice_gives_the_same_and_edits_nothing(tmp_path: Path) -> None:
    shelf = library(tmp_path)
    before = plain(shelf.folded("tst 1"))
    layer = copy.deepcopy({name: thing.data for name, thing in shelf.edition("tst 1").things["rules"].items()})
    newer = plain(shelf.folded("tst 2"))
    assert plain(shelf.folded("tst 2")) == newer != before
    assert plain(shelf.folded("tst 1")) == before
    assert {name: thing.data for name, thing in shelf.edition("tst 1").things["rules"].items()} == layer
    assert plain(Library(tmp_path).folded("tst 1")) == before


def test_a_town_left_out_leaves_no_trace(tmp_path: Path) -> None:
    lines = ("set: {tst.one.least: 8 ft}", "add: {tst.one.colours: [blue]}", "strike: {tst.two: duty gone}")
    shelf = library(tmp_path, town=PLACE + "".join(f"    {line}\n" for line in lines))
    before = plain(shelf.folded("tst 1"))
    with_town = plain(shelf.adopt("town", []).rules.folded)
    assert with_town != before
    assert plain(shelf.folded("tst 1")) == before


ADDRESSES: dict[str, Any] = {
    "tst.one.least": "6 ft",
    "tst.one.first": "long >= least",
    "tst.one.first.require": "long >= least",
    "tst.one.second.require": "wide >= due",
    "tst.one.second.when": "listed",
    "tst.one.when.whom": "marked",
    "tst.one.whom": "marked",
    "tst.one.colour_fits": "colour in colours",
    "tst.one.colours.red": "red",
    "tst.one.colours[red]": "red",
    "tst.one.old": "fitted",
    "tst.one.old.when": "fitted",
    "tst.one.excused.when": "count_a > most",
    "tst.one.second.excused.most": "1",
    "tst.one.most": "1",
    "tst.one.due[yes]": "1 in",
    "tst.one.due[no]": "2 in",
    "tst.one.section": "1.2(A)",
    "tst.one.severity": "correction",
    "tst.two.main": "good",
    "tst.two.require": "good",
    "tst.seen.main": "It is snug",
    "tst.good.is": "colour in fine",
    "tst.good.fine.green": "green",
    "tst.sizes[1/2 in]": {"least": "1 in", "most": "2 in"},
    "tst.sizes[1/2 in, most]": "2 in",
    "tst.sizes[1 in].least": "3 in",
}


@pytest.mark.parametrize("address", ADDRESSES)
def test_every_form_of_address(tmp_path: Path, address: str) -> None:
    folded = library(tmp_path).folded("tst 1")
    found = folded.find(address)
    assert found is not None
    section, name, rest = found
    spot = addresses.locate(folded.things[section][name].data, rest)
    assert spot is not None and spot.value == ADDRESSES[address]
    data: Any = folded.things[section][name].data
    for step in spot.trail:
        data = data[step]
    assert data == ADDRESSES[address]


@pytest.mark.parametrize(
    "address",
    [
        "tst.one.leest",
        "tst.one.excused.remedy",
        "tst.two.join",
        "tst.two.least",
        "tst.one.colours.blue",
        "tst.sizes[2 in]",
        "tst.sizes[1 in, mid]",
        "tst.none",
        "tst",
        "",
        "tst.one.first.least.x",
        "tst.one..least",
        "tst.one.due[",
    ],
)
def test_what_is_not_there_is_not_found(tmp_path: Path, address: str) -> None:
    assert library(tmp_path).folded("tst 1").find(address) is None


def test_a_field_of_an_item_is_not_taken_for_one_of_the_rule(tmp_path: Path) -> None:
    """A rule without a note has none, even when one of its items has."""
    base = BASE.replace("first: long >= least", "first: {require: long >= least, note: Mind it}")
    folded = library(tmp_path, base=base).folded("tst 1")
    assert folded.find("tst.one.first.note") is not None
    assert folded.find("tst.one.note") is None


@pytest.mark.parametrize(
    ("lines", "where", "wanted"),
    [
        (["set: {tst.one.least: 8 ft}"], ("limits", "least"), "8 ft"),
        (["set: {tst.one.first: long > least}"], ("items", "first"), "long > least"),
        (["set: {tst.one.when.whom: listed}"], ("when", "whom"), "listed"),
        (["set: {'tst.one.due[yes]': 3 in}"], ("limits", "due", "rows", "yes"), "3 in"),
        (["set: {tst.one.severity: hazard}"], ("severity",), "hazard"),
        (["add: {tst.one.colours: [blue]}"], ("limits", "colours"), ["red", "green", "blue"]),
        (["add: {tst.one.colours: blue}"], ("limits", "colours"), ["red", "green", "blue"]),
        (["strike: {tst.one.colours.green: duty gone}"], ("limits", "colours"), ["red"]),
        (["strike: {tst.one.old: permission gone}"], ("unless",), {}),
        (["add: {tst.one: {items: {third: {look: It is there}}}}"], ("items", "third"), {"look": "It is there"}),
        (
            ["add: {tst.one.first: {unless: {spared: listed}}}"],
            ("items", "first"),
            {"require": "long >= least", "unless": {"spared": "listed"}},
        ),
        (["add: {tst.one.old: {note: Mind it}}"], ("unless", "old"), {"when": "fitted", "note": "Mind it"}),
        (["add: {tst.one.second: {severity: hazard}}"], ("items", "second", "severity"), "hazard"),
    ],
)
def test_verbs(tmp_path: Path, lines: list[str], where: tuple[str, ...], wanted: Any) -> None:
    folded = changed(tmp_path, *lines)
    assert not folded.problems and not wrong(folded)
    data: Any = rule(folded)
    for step in where:
        data = data[step]
    assert data == wanted
    assert [change.cite for _, change in folded.things["rules"]["tst.one"].history] == ["Ord. 1"]


def test_a_requirement_becomes_an_item_when_items_are_added(tmp_path: Path) -> None:
    folded = changed(tmp_path, "add: {tst.two: {items: {more: fitted}}, tst.seen: {items: {more: fitted}}}")
    assert rule(folded, "two")["items"] == {"main": "good", "more": "fitted"}
    assert rule(folded, "seen")["items"] == {"main": {"look": "It is snug"}, "more": "fitted"}
    assert not wrong(folded)


def test_tables_and_terms_change_too(tmp_path: Path) -> None:
    folded = changed(
        tmp_path,
        "set: {'tst.sizes[1/2 in, most]': 5 in, tst.good.is: colour in fine and fitted}",
        "add: {tst.sizes: {rows: {2 in: {least: 5 in, most: 6 in}}}}",
    )
    assert not folded.problems and not wrong(folded)
    assert folded.things["tables"]["tst.sizes"].data["rows"]["1/2 in"]["most"] == "5 in"
    assert "2 in" in folded.things["tables"]["tst.sizes"].data["rows"]


def test_a_limit_goes_with_its_last_user(tmp_path: Path) -> None:
    folded = changed(tmp_path, "strike: {tst.one.colour_fits: condition gone, tst.one.second: duty gone}")
    assert set(rule(folded)["limits"]) == {"least"}
    assert not wrong(folded)


def test_whole_things(tmp_path: Path) -> None:
    folded = changed(
        tmp_path,
        "strike: {tst.two: duty gone}",
        "add:",
        "  town.new: {title: New, section: '9', trade: general, stage: final, severity: correction, each: gizmo,",
        "    require: marked, basis: {check: common practice}, remedy: Do it}",
    )
    assert "tst.two" not in folded.things["rules"] and "town.new" in folded.things["rules"]
    assert not wrong(folded)


@pytest.mark.parametrize(
    ("listed", "gone"),
    [
        ("tst sections 1.2 to 1.9", {"tst.one"}),
        ("tst sections 1.2 to 1.10", {"tst.one", "tst.two"}),
        ("tst section 1", {"tst.one", "tst.two"}),
        ("tst sections 1.10, 3", {"tst.two", "tst.seen"}),
        ("tst all rules", {"tst.one", "tst.two", "tst.seen", "tst.three"}),
        ("tst section 7", set()),
    ],
)
def test_sections_struck(tmp_path: Path, listed: str, gone: set[str]) -> None:
    folded = changed(tmp_path, f"strike: {{'{listed}': duty gone}}")
    before = library(tmp_path).folded("tst 1")
    assert set(before.things["rules"]) - set(folded.things["rules"]) == gone
    assert bool(folded.struck) == (not gone)
    assert not folded.problems


def test_taken_from_another_edition(tmp_path: Path) -> None:
    for line in ("take: {tst.one.least: tst 2}", "take: {tst.one: tst 2}"):
        folded = changed(tmp_path, line)
        assert not folded.problems
        assert rule(folded)["limits"]["least"] == "7 ft"
    assert "there is no book 'tst 9'" in said(tmp_path, "take: {tst.one: tst 9}")[0]
    assert "is the same in tst 2" in said(tmp_path, "take: {tst.one.first: tst 2}")[0]


def test_editions_that_take_from_each_other_end(tmp_path: Path) -> None:
    base = BASE + "changes:\n  back: {cite: x, take: {tst.two: tst 2}}\n"
    folded = library(tmp_path, base=base).folded("tst 2")
    assert any("take from each other" in problem.message for problem in folded.problems)


@pytest.mark.parametrize(
    ("lines", "message"),
    [
        (["set: {tst.one.leest: 8 ft}"], "did you mean 'tst.one.least'?"),
        (["set: {tst.uno: {}}"], "there is nothing called 'tst.uno' to set"),
        (["set: {tst.one.least: 6 ft}"], "already: 6 ft"),
        (["set: {tst.one.least: 72 in}"], "already: 6 ft"),
        (["set: {tst.one.least: 7 psi}"], "'7 psi' is a pressure, where '6 ft' stands, a length"),
        (["set: {tst.one.least: high}"], "'high' is a word, where '6 ft' stands, a length"),
        (["set: {tst.one.least: [7 ft]}"], "is a list, where '6 ft' stands, a length"),
        (["set: {tst.one.colours: red}"], "is a word, where"),
        (["set: {'tst.one.due[yes]': 1 h}"], "'1 h' is a time, where '1 in' stands, a length"),
        (["set: {tst.one.colours.red: blue}"], "added or struck, not set"),
        (["strike: {tst.one.old: gone}"], "a strike says its effect"),
        (["strike: {tst section 1: gone}"], "a strike says its effect"),
        (["add: {tst.one.colours: [red]}"], "'red' is in the list already"),
        (["add: {tst.one: {items: {first: fitted}}}"], "'first' is there already"),
        (["add: {tst.one: {severity: hazard}}"], "set changes it"),
        (["set: [tst.one.least]"], "'set' is a mapping of addresses"),
    ],
)
def test_changes_that_cannot_be(tmp_path: Path, lines: list[str], message: str) -> None:
    found = said(tmp_path, *lines)
    assert len(found) == 1 and message in found[0]
    assert "town.yaml:6:" in found[0]


TWO = """
  second:
    cite: Ord. 2
    set: {tst.one.least: 9 ft}
"""


def test_two_changes_of_one_name(tmp_path: Path) -> None:
    town = PLACE + "    set: {tst.one.least: 8 ft}" + TWO
    found = [problem.text() for problem in library(tmp_path, town=town).adopt("town", []).rules.folded.problems]
    assert len(found) == 1 and "'second' and 'change' both change 'tst.one.least'" in found[0]
    assert "town.yaml:9:" in found[0] and "town.yaml:6:" in found[0]
    by_another_way = town.replace("{tst.one.least: 9 ft}", "{tst.one.limits.least: 9 ft}")
    assert len(library(tmp_path, town=by_another_way).adopt("town", []).rules.folded.problems) == 1
    for first, over in (("    set: {tst.one.least: 8 ft}", "    over: change"),):
        folded = library(tmp_path, town=PLACE + first + TWO + over).adopt("town", []).rules.folded
        assert not folded.problems and rule(folded)["limits"]["least"] == "9 ft"
    other = PLACE + "    over: second\n    set: {tst.one.least: 8 ft}" + TWO
    folded = library(tmp_path, town=other).adopt("town", []).rules.folded
    assert not folded.problems and rule(folded)["limits"]["least"] == "8 ft"


def test_a_mistake_of_a_change_is_shown_in_the_change(tmp_path: Path) -> None:
    for line, at in (
        ("set: {tst.one.least: 8 psi}", "town.yaml:6:"),
        ("set: {tst.one.first: long >= leest}", "town.yaml:6:"),
        ("add: {tst.one: {items: {third: lonk >= least}}}", "town.yaml:6:"),
        ("add: {tst.one: {limits: {spare: 1 in}}}", "town.yaml:6:"),
    ):
        found = wrong(changed(tmp_path, line))
        assert found and any(at in one for one in found), (line, found)
    mistaken = library(tmp_path, base=BASE.replace("long >= least", "lonk >= least")).folded("tst 1")
    assert any("tst/1/all.yaml:21:" in one for one in wrong(mistaken))


def test_names_given_twice(tmp_path: Path) -> None:
    twice = BASE.replace("  seen: {", "  good: {")
    found = [problem.text() for problem in library(tmp_path, base=twice).folded("tst 1").problems]
    assert any("'good' is already a name" in one for one in found)
    again = "book: tst\nedition: '1'\nrules:\n  one: {title: Again}\n"
    (tmp_path / "tst/1/more.yaml").write_text(again, encoding="utf-8")
    with pytest.raises(InputProblems) as refused:
        library(tmp_path).edition("tst 1")
    text = refused.value.problems[0].text()
    assert "'one' stands twice" in text and "more.yaml:4" in text and "all.yaml:15" in text


def refusal(ask: Any) -> str:
    with pytest.raises(InputProblems) as refused:
        ask()
    return "\n".join(problem.text() for problem in refused.value.problems)


def test_a_ring_of_editions(tmp_path: Path) -> None:
    base = BASE.replace('edition: "1"', 'edition: "1"\nfrom: "2"')
    text = refusal(lambda: library(tmp_path, base=base).folded("tst 1"))
    assert "tst 1 -> tst 2 -> tst 1" in text and "all.yaml:" in text


def test_what_is_not_in_the_library(tmp_path: Path) -> None:
    shelf = library(tmp_path, town=PLACE + "    set: {tst.one.least: 8 ft}\n")
    assert "did you mean 'town'" in refusal(lambda: shelf.place("twon"))
    assert "one of: town" in refusal(lambda: shelf.place("Elsewhere"))
    assert "beside the site" in refusal(lambda: shelf.adopt("own.yaml", [], tmp_path))
    assert "did you mean 'tst 1'" in refusal(lambda: shelf.folded("tts 1"))
    assert "nobody has entered the standard 'mine'" in refusal(lambda: shelf.adopt("town", ["mine"]))
    lost = library(tmp_path / "b", next=NEXT.replace('from: "1"', 'from: "0"'))
    text = refusal(lambda: lost.folded("tst 2"))
    assert "there is no book 'tst 0'" in text and "all.yaml:3:" in text
    astray = library(tmp_path / "c", town=PLACE.replace("tst 1", "tst 7") + "    set: {tst.one.least: 8 ft}\n")
    adopted = astray.adopt("town", [])
    assert adopted.warnings == ("Town adopts tst 7, which is not among the shipped books: nothing of it is checked.",)
    assert [address for address, _ in adopted.rules.folded.idle] == ["tst.one.least"]


def test_places_lie_in_places(tmp_path: Path) -> None:
    state = "place: State\nadopts: {all: {book: tst 1}}\nchanges: {s: {cite: Act 1, set: {tst.one.least: 8 ft}}}\n"
    town = "place: Town\nin: State\nchanges: {t: {cite: Ord. 1, stacking: later wins, set: {tst.one.least: 9 ft}}}\n"
    adopted = library(tmp_path, state=state, town=town).adopt("town", [])
    thing = adopted.rules.folded.things["rules"]["tst.one"]
    assert thing.data["limits"]["least"] == "9 ft"
    assert [change.cite for _, change in thing.history] == ["Act 1", "Ord. 1"]
    ring = library(tmp_path / "b", state=state.replace("adopts", "in: Town\nadopts"), town=town)
    assert "lies in itself" in refusal(lambda: ring.adopt("town", []))


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("- a list", "a rule file is a mapping"),
        ("rules: {}", "says what it is of"),
        ("book: x", "says what it is of"),
        ("place: X\nruels: {}", "did you mean 'rules'?"),
        ("place: X\nchanges: {a: {set: {x.y: 1}}}", "names no authority"),
        ("place: X\nchanges: {a: {cite: x}}", "changes nothing"),
        ("place: X\nchanges: {a: {cite: x, sett: {}}}", "did you mean 'set'?"),
        ("place: X\nadopts: {a: {}}", "adopts no book"),
        ("place: X\nusual: {title: x}", "cannot be usual"),
    ],
)
def test_files_that_are_no_layer(tmp_path: Path, text: str, message: str) -> None:
    shelf = library(tmp_path, town=text)
    found = refusal(lambda: shelf.place("town"))
    assert message in found and "town.yaml:" in found
