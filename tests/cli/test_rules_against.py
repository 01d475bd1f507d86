"""`rules --against`: what a place has otherwise, in sentences that can go into minutes, and what it turns on a site."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

BOOKS = "adopts:\n  houses: {book: irc 2021}\n  gas: {book: ifgc 2021}\n  wiring: {book: nec 2020}\n"
GUARD = (
    "{title: Meter out of sliding snow, section: B 9, trade: gas, stage: rough gas, severity: hazard, each: gas_system, "
    "join: any, items: {placed: out_of_snow, approved: {approval: Place or guard accepted}}, remedy: Move it., "
    "basis: {check: memory}}"
)
FACTS = "facts:\n  gas_system.out_of_snow: {type: yes or no, found by: look, means: out of sliding snow}\n"
SITE = (
    "site: S\npermit: {occupancy: accessory}\ndescribed: {fuel gas: yes}\ngas systems:\n  G: {gas: natural gas}\n"
    "gas tests:\n  T: {of: G, held: 12 min}\n"
)


def place(change: str, head: str = "") -> None:
    """A place file with one change: set, strike or add in flow style, the authority is 'B 1'."""
    Path("b.yaml").write_text(
        f"place: Big Town\n{BOOKS}{head}changes:\n  c:\n    cite: B 1\n    meant: yes\n    {change}\n", encoding="utf-8")


def told(run: Any, *more: str, jurisdiction: str = "b.yaml", against: str = "model codes") -> Any:
    ran = run("rules", "--jurisdiction", jurisdiction, "--against", against, "--format", "json", *more)
    assert ran.code == 0, ran.err
    return json.loads(ran.out)


def test_the_sentence_for_the_minutes(run: Any) -> None:
    page = run("rules", "--jurisdiction", "Tallow Creek", "--against", "model codes").out
    assert (
        "  - Gas test held long enough: held at least 15 min, was 10 min (stricter;\n"
        "    Tallow Creek Code 15.08.040(B), Ordinance 412, 2023-05-09; before: IFGC 2021\n"
        "    406.4.2).\n") in page
    assert page.endswith("\n3 differences\n")
    turned = run("rules", "--jurisdiction", "model codes", "--against", "Tallow Creek").out
    assert "held at least 10 min, was 15 min (looser; IFGC 2021 406.4.2" in " ".join(turned.split())


def test_a_place_is_as_itself(run: Any) -> None:
    for one in ("Tallow Creek", "nec 2023", "model codes"):
        ran = run("rules", "--jurisdiction", one, "--against", one)
        assert ran.out.startswith("No difference between "), ran.out
        assert told(run, jurisdiction=one, against=one)["differences"] == []


# name: the change; what is said of it: part, change, was, now, strictness, a piece of the sentence
CHANGES: dict[str, tuple[str, tuple[str, str, str, str, str, str]]] = {
    "a least raised": (
        "set: {ifgc.test-hold.short: 15 min}",
        ("limit", "changed", "10 min", "15 min", "stricter", "held at least 15 min, was 10 min")),
    "a most lowered": (
        "set: {ifgc.test-hold.most: 12 h}", ("limit", "changed", "24 h", "12 h", "looser", "most 12 h, was 24 h")),
    "an entry struck": (
        "strike: {ifgc.test-medium.media.carbon dioxide: permission gone}",
        ("list", "changed", "air, nitrogen, carbon dioxide, inert gas", "air, nitrogen, inert gas", "stricter",
         "media: now without carbon dioxide")),
    "a severity": (
        "set: {ifgc.test-hold.severity: hazard}",
        ("severity", "changed", "correction", "hazard", "stricter", "counts as 'can hurt someone', was 'correction likely'")),
    "a visit": (
        "set: {ifgc.test-drop.stage: rough gas}",
        ("stage", "changed", "gas pressure test", "rough gas", "", "on the visit 'rough gas', was 'gas pressure test'")),
    "an exception gone": (
        "strike: {ifgc.test-joints.tested_before_cover: permission gone}",
        ("exception", "gone", "if covered joints tested is yes", "", "stricter", "no longer enough: if covered joints")),
    "an exception more": (
        "add: {ifgc.test-drop: {unless: {long: {when: held >= day, limits: {day: 24 h}}}}}",
        ("exception", "new", "", "if held is at least 24 h", "looser", "also enough: if held is at least 24 h")),
    "an item more": (
        "add: {ifgc.test-pressure: {items: {seen: {look: The inspector saw it}}}}",
        ("item", "new", "", "The inspector saw it (somebody has looked and says yes)", "stricter", "seen: also asked")),
    "an item gone": (
        "strike: {ifgc.test-gauge.source_shut: duty gone}",
        ("item", "gone", "source off is yes", "", "looser", "no longer asked: source off is yes")),
    "a condition gone": (
        "strike: {ifgc.air-opening-grade.when: condition gone}",
        ("condition", "gone", "source is outdoors", "", "stricter", "no longer only if source is outdoors")),
    "a whole rule gone": (
        "strike: {ifgc.test-joints: duty gone}",
        ("rule", "gone", "", "", "looser", "Gone: Joints can be seen during the test")),
    "a section by its number": (
        "strike: {ifgc sections 406.5: duty gone}",
        ("rule", "gone", "", "", "looser", "Gone: The gauge did not fall during the hold")),
    "another number": (
        'set: {ifgc.test-medium.section: "999.1"}',
        ("section", "changed", "406.2", "999.1", "", "stands under 999.1, was 406.2")),
    "a cell of a table": (
        'set: {"ifgc.inside_diameter[steel, 1/2 in]": 0.600 in}',
        ("cell", "changed", "0.622 in", "0.600 in", "", "'inside diameter', steel, 1/2 in: 0.600 in, was 0.622 in")),
    "a requirement": (
        'set: {ifgc.test-drop.require: "drop < allowed"}',
        ("requirement", "changed", "drop is at most 0 psi", "drop is under 0 psi", "", "asks that drop is under 0 psi, was:")),
    "the order of visits": (
        "add: {irc.rough electrical.after: {rough gas: WAC 296}}",
        ("rough gas", "new", "", "WAC 296", "", "Visit 'Rough electrical' comes after 'rough gas' (WAC 296)")),
    "what counts": (
        "set: {nec.serves_wall.not_for_walls: [counter]}",
        ("limit", "changed", "counter, switched light", "counter", "", "now without switched light")),
}  # fmt: skip


@pytest.mark.parametrize("name", CHANGES)
def test_each_kind_of_change_is_told(name: str, run: Any) -> None:
    change, (part, word, was, now, strictness, said) = CHANGES[name]
    place(change)
    (one,) = told(run)["differences"]
    assert (one["part"], one["change"], one["was"], one["now"], one["strictness"]) == (part, word, was, now, strictness)
    assert said in one["sentence"] and "B 1" in one["sentence"]
    assert set(one) == {"of", "part", "change", "address", "title", "was", "now", "strictness", "source", "was_source",
                        "text", "sentence"}


def test_a_new_rule_its_fact_and_what_is_not_checked(run: Any) -> None:
    place(f"add: {{big-town.meter-guard: {GUARD}}}", FACTS + "not checked here: {snow: {cite: B 7, about: snow load}}\n")
    found = {one["address"]: one for one in told(run)["differences"]}
    assert found["big-town.meter-guard"]["sentence"] == (
        "New: Meter out of sliding snow: placed: out of snow is yes; approved: Place or guard accepted (the office has "
        "said yes in writing) (stricter; Big Town: B 1).")
    assert found["big-town.gas_system.out_of_snow"]["change"] == "new"
    assert found["snow"]["sentence"] == "B 7: snow load."


def test_editions_are_compared_by_name(run: Any) -> None:
    found = told(run, jurisdiction="nec 2023", against="NEC 2020")["differences"]
    assert found[0]["sentence"] == "NEC 2023 is adopted, was NEC 2020."
    security = next(one for one in found if one["address"] == "nec.general_use.at_hand")
    assert "without security system" in security["sentence"] and "NEC 2023 210.52(G)" in security["sentence"]


def test_what_turns_on_a_site(run: Any) -> None:
    Path("s.yaml").write_text(SITE, encoding="utf-8")
    page = run("rules", "--jurisdiction", "Tallow Creek", "--against", "model codes", "--on", "s.yaml",
               "--today", "2026-06-15").out
    assert (
        "gas test T, Gas test held long enough: meets under model codes (measured 12 min, needed at least 10 min), does "
        "not meet under Tallow Creek (needed at least 15 min) - IFGC 2021 406.4.2, Tallow Creek Code 15.08.040(B)."
    ) in " ".join(page.split())
    assert "Visit 'gas pressure test': corrections, was not recorded." in " ".join(page.split())
    assert all(len(line) <= 80 for line in page.splitlines())


def test_nothing_turned_is_said(run: Any) -> None:
    Path("s.yaml").write_text(SITE.replace("12 min", "15 min"), encoding="utf-8")
    args = ("rules", "--jurisdiction", "Tallow Creek", "--against", "model codes", "--on", "s.yaml")
    assert "Nothing turns: every verdict and every visit stays as it is." in run(*args).out
    assert json.loads(run(*args, "--format", "json").out)["sites"] == [
        {"site": "S", "file": "s.yaml", "verdicts": [], "card": []}]


def test_what_is_no_longer_asked_names_who_took_it_out(run: Any) -> None:
    Path("s.yaml").write_text(SITE.replace("held: 12 min", "held: 12 min, source off: no"), encoding="utf-8")
    place("strike: {ifgc.test-gauge.source_shut: duty gone}")
    (site,) = told(run, "--on", "s.yaml")["sites"]
    (one,) = site["verdicts"]
    assert (one["was"], one["now"], one["authority"]) == ("not met", "not asked", "duty gone: Big Town: B 1")


def test_a_rule_that_gains_an_item_is_still_itself(run: Any) -> None:
    """`ifgc.test-drop` becomes `ifgc.test-drop.main` beside the new item: its verdict has not turned."""
    Path("s.yaml").write_text(SITE, encoding="utf-8")
    place("add: {ifgc.test-drop: {items: {seen: {look: The inspector saw it}}}}")
    (site,) = told(run, "--on", "s.yaml")["sites"]
    assert [(one["rule"], one["was"], one["now"]) for one in site["verdicts"]] == [
        ("ifgc.test-drop.seen", "not asked", "not recorded")]


def test_the_shipped_examples(run: Any) -> None:
    """The frame on the first walk was on the gauge a second short of 15 minutes; the mended one is long enough."""
    sites = told(run, "--on", "examples", jurisdiction="Tallow Creek")["sites"]
    assert [one["file"] for one in sites] == ["ceramics-studio/corrected.yaml", "ceramics-studio/site.yaml"]
    assert [len(one["verdicts"]) for one in sites] == [0, 1]
    assert sites[1]["verdicts"][0]["element"] == "GT-2"


def test_a_site_of_a_place_with_facts_of_its_own(run: Any) -> None:
    Path("s.yaml").write_text(SITE.replace("{gas: natural gas}", "{gas: natural gas, out of snow: no}"), encoding="utf-8")
    place(f"add: {{big-town.meter-guard: {GUARD}}}", FACTS)
    (site,) = told(run, "--on", "s.yaml")["sites"]
    assert [(one["rule"], one["now"]) for one in site["verdicts"]] == [("big-town.meter-guard", "not recorded")]
    assert site["verdicts"][0]["now_figures"] == "missing: Place or guard accepted"


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["--on", "s.yaml"], "name the other one with --against"),
        (["ifgc.test-hold", "--against", "model codes"], "--against compares whole places"),
        (["--against", "Tallo Creek"], "did you mean 'tallow creek'?"),
        (["--against", "model codes", "--on", "nope.yaml"], "no file or folder 'nope.yaml'"),
    ],
)
def test_a_wrong_call(args: list[str], said: str, run: Any) -> None:
    ran = run("rules", "--jurisdiction", "Tallow Creek", *args)
    assert (ran.code, ran.out) == (2, "") and said in ran.err
