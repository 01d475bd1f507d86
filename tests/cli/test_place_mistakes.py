"""Mistakes an official makes in the first hour with a place's file: each is told with its line, what was expected, and
the nearest name or an example. Every one of these was typed as a new user would, and the message then mended."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

HEAD = "place: Elk Fork\nadopts:\n  houses: {book: irc 2021}\n  gas: {book: ifgc 2021}\n  wiring: {book: nec 2020}\n"
GUARD = "title: Guard, section: E 1, trade: gas, stage: rough gas, severity: hazard, each: gas_system, remedy: Move it"


def change(*lines: str, cite: str = "cite: Elk 1") -> str:
    """The file with one change of some lines; its first line is line 9 of the file."""
    return HEAD + "changes:\n  c:\n" + "".join(f"    {line}\n" for line in (cite, *lines) if line)


SHORT = "set: {ifgc.test-hold.short: 15 min}"

# name: the file, then what the message must say; the first piece is its place
MISTAKES: dict[str, tuple[str, ...]] = {
    "an address without its book": (
        change("set: {test-hold.short: 15 min}"), "t.yaml:9:", "did you mean 'ifgc.test-hold.short'?"),
    "a section for an address": (
        change("set: {406.4.2: 15 min}"), "t.yaml:9:", "book.rule.name, such as ifgc.test-hold.short",
        "oktocover rules --section 406.4.2"),
    "an edition in an address": (
        change("set: {ifgc 2021.test-hold.short: 15 min}"), "t.yaml:9:", "did you mean 'ifgc.test-hold.short'?"),
    "an underscore in an address": (
        change("set: {ifgc.test_hold.short: 15 min}"), "t.yaml:9:", "did you mean 'ifgc.test-hold.short'?"),
    "capitals in an address": (
        change("set: {IFGC.test-hold.short: 15 min}"), "t.yaml:9:", "did you mean 'ifgc.test-hold.short'?"),
    "a limit by another name": (
        change("set: {ifgc.test-hold.minimum: 15 min}"), "t.yaml:9:",
        "in ifgc.test-hold there is: short, each_part, part, most"),
    "a rule that does not exist": (
        change("set: {ifgc.snow-load.figure: 40 psf}"), "t.yaml:9:", "there is nothing called 'ifgc.snow-load.figure'",
        "oktocover rules --section NUMBER"),
    "an entry of a list by another name": (
        change("strike: {ifgc.test-medium.media.CO2: permission gone}"), "t.yaml:9:",
        "in ifgc.test-medium.media there is: air, nitrogen, carbon dioxide, inert gas"),
    "a row of a table by another name": (
        change('set: {"irc.block-material.least_thickness[gypsum]": 5/8 in}'), "t.yaml:9:",
        "did you mean 'irc.block-material.least_thickness[gypsum board]'?"),
    "a wrong unit": (
        change("set: {ifgc.test-hold.short: 15 psi}"), "t.yaml:9:33:", "'15 psi' is a pressure, where '10 min' stands",
        "write it as '10 min' is written, with its unit"),
    "no unit": (change("set: {ifgc.test-hold.short: 15}"), "t.yaml:9:33:", "'15' is a number", "with its unit"),
    "minutes for a pressure": (
        change("set: {ifgc.test-pressure.floor: 10 min}"), "t.yaml:9:37:", "'10 min' is a time, where '3 psi' stands"),
    "a misspelt unit": (
        change("set: {ifgc.test-hold.short: 15 mintues}"), "t.yaml:9:33:", "'mintues' in '15 mintues' is no known unit",
        "did you mean 'min'?"),
    "a figure in words": (change("set: {ifgc.test-hold.short: fifteen minutes}"), "t.yaml:9:33:", "with its unit"),
    "a bound for a figure": (change("set: {ifgc.test-hold.short: at least 15 min}"), "t.yaml:9:33:", "is a bound"),
    "a typo in a verb": (change("sett: {ifgc.test-hold.short: 15 min}"), "t.yaml:9:5:", "did you mean 'set'? set: {"),
    "a verb of ordinances: change": (change("change: {ifgc.test-hold.short: 15 min}"), "t.yaml:9:5:", "did you mean 'set'?"),
    "a verb of ordinances: delete": (
        change("delete: ifgc.test-drop"), "t.yaml:9:5:", "did you mean 'strike'? strike: {ifgc.test-record: duty gone}"),
    "no authority": (change(SHORT, cite=""), "t.yaml:8:5:", "names no authority", "cite: Elk Fork Code 15.08.040(B)"),
    "an empty authority": (change(SHORT, cite="cite:"), "t.yaml:8:5:", "names no authority"),
    "an open quote": (change('note: "the longer test', SHORT), "t.yaml:9:11:", "not closed", "note: the longer test"),
    "a tab": (change("set:\n\t ifgc.test-hold.short: 15 min"), "t.yaml:10:1:", "begins with a tab", "spaces"),
    "a list for a mapping": (
        change("set: [ifgc.test-hold.short, 15 min]"), "t.yaml:9:10:", "set: {ifgc.test-hold.short: 15 min}"),
    "changes as a list": (
        HEAD + "changes:\n  - cite: Elk 1\n    " + SHORT + "\n", "t.yaml:7:3:", "take the '- ' off, and give each entry a name",
        "changes: {longer-gas-test:"),
    "books as a list": ("place: E\nadopts: [irc 2021, ifgc 2021]\n", "t.yaml:2:9:", "adopts: {houses: {book: irc 2021}"),
    "a misspelt book": (HEAD.replace("ifgc 2021", "igfc 2021"), "t.yaml:4:", "no book 'igfc'", "did you mean 'ifgc 2021'?"),
    "a book without its edition": (
        HEAD.replace("nec 2020", "nec"), "t.yaml:5:", "names no edition", "nec 2017, nec 2020, nec 2023"),
    "a book in capitals": (HEAD.replace("nec 2020", "NEC 2020"), "t.yaml:5:", "did you mean 'nec 2020'?"),
    "an unknown effect": (
        change("strike: {ifgc.test-drop: removed}"), "t.yaml:9:", "not 'removed'", "'duty gone' (nobody has to do it any more)",
        "'ban gone' (what was forbidden may be done)", "'permission gone' (what was allowed may not be done)"),
    "no effect": (change("strike: {ifgc.test-drop: }"), "t.yaml:9:", "a strike says its effect: 'duty gone'"),
    "a strike without an effect": (change("strike: ifgc.test-drop"), "t.yaml:9:", "strike: {ifgc.test-record: duty gone}"),
    "the wrong effect": (
        change("strike: {ifgc.test-hold.dwelling: duty gone}"), "t.yaml:9:", "without it the rule is stricter",
        "permission gone"),
    "a comma inside braces": (
        change("set: {ifgc.test-hold.part: 1,000 ft3}"), "t.yaml:9:", "the comma ends the value",
        'set: {ifgc.test-hold.part: "1,000 ft3"}'),
    "a comma in a citation": (
        HEAD + "not checked here:\n  snow: {cite: Elk 1, Elk 2, about: snow}\n", "t.yaml:7:", '{cite: "Elk 1, Elk 2"'),
    "two colons": (change("note: the code: longer", SHORT), "t.yaml:9:", 'note: "the code: longer"'),
    "what it is already": (change("set: {ifgc.test-hold.short: 600 s}"), "t.yaml:9:", "what it is already: 10 min"),
    "sixty for six": (
        change("set: {ifgc.test-pressure.floor: 60 psi}"), "t.yaml:9:", "from 3 psi to 60 psi, 20 times", "meant: yes"),
    "no place": (HEAD.partition("\n")[2], "t.yaml:1:1:", "place: Name of the town"),
    "town for place": (HEAD.replace("place:", "town:"), "t.yaml:1:1:", "did you mean 'place'?"),
    "a rule without a basis": (
        HEAD + f"rules:\n  guard: {{{GUARD}, approval: Accepted}}\n", "t.yaml:7:", "how the numbers are known",
        "basis: {check: seen"),
    "a fact nobody declares": (
        HEAD + f"rules:\n  guard: {{{GUARD}, require: out_of_snow, basis: {{check: memory}}}}\n", "t.yaml:7:",
        "'out_of_snow' is no fact of a gas system", "facts: {gas_system.out_of_snow:"),
    "a visit that is not there": (
        change("add: {irc.rough electrical.after: {rough gass: Elk 1}}"), "t.yaml:9:", "did you mean 'rough gas'?"),
    "a date as it is said": (change("from: 1/1/2027", SHORT), "t.yaml:9:", "write 2026-05-03"),
    "a signature without a day": (
        HEAD + "checked by: {office: Elk, date: last May}\n", "t.yaml:6:", "write year, month, day, as 2026-05-03"),
    "what is not checked, as a text": (
        HEAD + "not checked here: snow load\n", "t.yaml:6:", "not checked here: {snow load: {cite:"),
    "two changes of one figure": (
        HEAD + "changes:\n  c: {cite: E 1, " + SHORT + "}\n  d: {cite: E 2, set: {ifgc.test-hold.short: 20 min}}\n",
        "t.yaml:8:", "'d' and 'c' both change", "over: c"),
    "an empty file": ("# nothing yet\n", "t.yaml:1:1:", "`place: ...` for the file of a town"),
}  # fmt: skip


@pytest.mark.parametrize("name", MISTAKES)
def test_a_mistake_is_told_as_a_colleague_would(name: str, run: Any) -> None:
    text, *said = MISTAKES[name]
    Path("t.yaml").write_text(text, encoding="utf-8")
    ran = run("rules", "--jurisdiction", "t.yaml")
    assert (ran.code, ran.out) == (2, "")
    assert "fault of the tool" not in ran.err and "Traceback" not in ran.err
    for piece in said:
        assert piece in ran.err, ran.err
    assert len(ran.err.split("t.yaml:")) <= 3, f"one mistake, many messages:\n{ran.err}"


def test_there_are_more_than_thirty() -> None:
    assert len(MISTAKES) > 30


def test_curly_quotes_are_what_was_meant(run: Any) -> None:
    Path("t.yaml").write_text(change("set: {“ifgc.test-hold.short”: 15 min}"), encoding="utf-8")
    assert "held at least 15 min, was 10 min" in run("rules", "--jurisdiction", "t.yaml", "--against", "model codes").out


def test_an_edition_that_is_not_shipped_is_told_and_no_mistake(run: Any) -> None:
    Path("t.yaml").write_text(HEAD.replace("nec 2020", "nec 2014"), encoding="utf-8")
    ran = run("rules", "--jurisdiction", "t.yaml")
    assert ran.code == 0 and "adopts nec 2014, which is not among the shipped books" in " ".join(ran.out.split())
