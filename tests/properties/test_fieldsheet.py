"""Printing a field sheet, filling every blank and laying the answers in leaves none of those blanks open."""

from __future__ import annotations

import copy
import random
from pathlib import Path
from typing import Any

import pytest
from sites import ROOT, TODAY, Plain, adopted_for, data_of, verdicts

from oktocover.check import check, in_force
from oktocover.findings.checked import Checked
from oktocover.reading.nodes import read_yaml
from oktocover.reading.site_file import SiteFile, make_site
from oktocover.reports.fieldsheet import field_sheet, visits_asked
from oktocover.reports.fieldsheet_answers import empty_answers, target
from oktocover.reports.fieldsheet_parts import Key, Question, Sheet
from oktocover.rules.library import Adopted
from oktocover.site.root import element_lists

STUDIO = ROOT / "examples" / "ceramics-studio"
HOUSE = ROOT / "examples" / "small-house"
SHOP = ROOT / "examples" / "short-shop"
PLAUSIBLE = {
    "length": "2 in",
    "pressure": "3 psi",
    "time": "15 min",
    "share": "1/4 in per ft",
    "number": "2",
    "current": "20 A",
    "volume": "30 in3",
    "temperature": "80 F",
    "heat rate": "40,000 Btu/h",
    "flow": "100 cfm",
    "voltage": "120 V",
    "power": "1,500 W",
    "area": "20 in2",
    "wire size": "12 AWG",
    "pipe size": "3/4 in",
}
"""Values that are readings of their kind; whether they meet anything does not matter here."""
LISTS = {field.replace("_", " ") for field in element_lists()}


def laid_in(data: dict[str, Any], adopted: Adopted, *answers: str) -> tuple[SiteFile, Adopted, Checked]:
    """A site with answers laid into it, checked for all visits."""
    documents = [read_yaml(text, f"answers-{number}.yaml") for number, text in enumerate(answers)]
    read = make_site([Plain(data)], "site.yaml", TODAY, answers=documents)  # type: ignore[list-item]
    adopted = in_force(read, adopted, TODAY)
    return read, adopted, check(read, adopted, TODAY, "all", figures=False)


def sheet_of(data: dict[str, Any], adopted: Adopted, *answers: str) -> tuple[Sheet, Checked]:
    """The sheet for all visits that nobody has signed."""
    read, adopted, checked = laid_in(data, adopted, *answers)
    return field_sheet(read, adopted, checked, visits_asked(checked, read)), checked


def keys(sheet: Sheet) -> set[Key]:
    """The single facts that a sheet asks for."""
    found: set[Key] = set()
    for one in sheet.questions:
        if one.key[0] in LISTS:
            found |= {(one.key[0], element, one.key[2]) for element in one.elements}
        elif one.key[0] == "records":
            found |= {(*one.key[:2], element) for element in one.elements}
        else:
            found.add(one.key)
    return found


def written(answers: list[dict[str, Any]]) -> str:
    lines = ["  - {" + ", ".join(f"{key}: {_text(value)}" for key, value in one.items()) + "}" for one in answers]
    return "\n".join(["by: A.B.", f"day: {TODAY}", "answers:" + ("" if lines else " []"), *lines]) + "\n"


def _text(value: Any) -> str:
    if isinstance(value, list):
        return "[" + ", ".join(map(_text, value)) + "]"
    return "'" + str(value).replace("'", "''") + "'"


def plausible(question: Question) -> Any:
    """A value that the fact of a question can have."""
    if question.limit:
        return question.limit
    if question.form in ("yes or no", "whole"):
        return "yes"
    if question.form == "word":
        return question.words[0]
    if question.form == "ids":
        return list(question.ids[:1]) if question.several else next(iter(question.ids), "A-1")
    if question.form in ("length", "quantity"):
        return PLAUSIBLE[question.dimension]
    if question.form == "span":
        return f"from {PLAUSIBLE[question.dimension]} to {PLAUSIBLE[question.dimension]}"
    return {"moment": "2026-06-12 9:05", "day": "2026-06-12"}.get(question.form, "A.B.")


def filled(sheet: Sheet) -> str:
    """The answers file of a sheet with every blank filled."""
    made = []
    for one in sheet.questions:
        count = {"count": one.count} if one.form == "whole" else {"count": len(one.elements)} if one.many else {}
        was = {"was": one.was} if one.was else {}
        made.append({**target(one), "value": plausible(one), **count, **was})
    return written(made)


def shop_with_blanks() -> dict[str, Any]:
    """The small shop, with what was written of its test and its valves left out."""
    data = data_of(SHOP / "site.yaml")
    for name in ("gas tests", "gas valves"):
        data[name] = {
            one: {"of": facts["of"]} if "of" in facts else {"pipe": facts["pipe"]} for one, facts in data[name].items()
        }
    data["looked"] = []
    return data


NOT_LOOKED_AT = {
    "boxes": ("setback", "fixed", "openings closed", "free conductor", "past face", "volume"),
    "lights": ("what", "fixed to", "control"),
    "penetrations": ("fill", "gap", "air seal"),
    "vents": ("clearance",),
}


@pytest.mark.parametrize("path", [STUDIO / "corrected.yaml", HOUSE / "corrected.yaml"])
def test_every_blank_that_is_filled_is_no_blank_any_more(path: Path) -> None:
    """Of a building whose boxes, lights, holes and vents nobody has looked at, and of whose lists none is whole."""
    data = data_of(path)
    for name, facts in NOT_LOOKED_AT.items():
        data[name] = {
            one: {fact: said[fact] for fact in said if fact not in facts} for one, said in data.get(name, {}).items()
        }
    data["looked"], data["records"] = [], []
    adopted = adopted_for(data, path.parent)
    sheet, _ = sheet_of(data, adopted)
    asked = keys(sheet)
    assert len(asked) > 50 and {one.form for one in sheet.questions} >= {"whole", "yes or no", "span", "word"}
    again, _ = sheet_of(data, adopted, filled(sheet))
    no_line_takes_it = {one.key for one in sheet.questions if "about" in target(one)}
    assert keys(again) & asked <= no_line_takes_it


@pytest.mark.parametrize(("path", "share"), [(SHOP / "site.yaml", 0.4), (STUDIO / "corrected.yaml", 0.1)])
def test_answers_as_the_building_was_give_back_its_verdicts(path: Path, share: float) -> None:
    """Facts taken out of a whole site, asked for on the sheet and answered with what stood there."""
    before = data_of(path)
    adopted = adopted_for(before, path.parent)
    whole = verdicts(laid_in(before, adopted)[2])
    data = copy.deepcopy(before)
    chance = random.Random(1)
    for name in sorted(LISTS & set(data)):
        for facts in data[name].values():
            for fact in [
                fact for fact in facts if fact not in ("known", "wall", "space", "sides") and chance.random() < share
            ]:
                del facts[fact]
    sheet, checked = sheet_of(data, adopted)
    answers = []
    given: set[Key] = set()
    for one in sheet.questions:
        if one.key[0] not in LISTS:
            continue
        for element in one.elements:
            old = before[one.key[0]].get(element, {}).get(one.key[2])
            value = old["is"] if isinstance(old, dict) and "is" in old else old
            if value is None or one.again or "{" in str(value):  # groups of values take no single line
                continue
            known = old.get("known", "measured") if isinstance(old, dict) else "measured"
            answers.append({"element": element, "list": one.key[0], "fact": one.key[2], "value": value, "known": known})
            given.add((one.key[0], element, one.key[2]))
    assert len(given) > 3
    again, after = sheet_of(data, adopted, written(answers))
    assert not keys(again) & given
    turned = {
        key: (whole[key], now)
        for key, now in verdicts(after).items()
        if key in whole and now not in (whole[key], "not recorded")
    }
    assert not turned
    blank = sum(one.verdict == "not recorded" for one in checked.findings)
    assert sum(one.verdict == "not recorded" for one in after.findings) < blank


def test_an_answers_file_with_every_blank_empty_changes_nothing() -> None:
    data = shop_with_blanks()
    adopted = adopted_for(data, SHOP)
    sheet, checked = sheet_of(data, adopted)
    empty = empty_answers(sheet).replace("by:          # initials", "by: A.B.")
    again, after = sheet_of(data, adopted, empty)
    assert keys(again) == keys(sheet)
    assert verdicts(after) == verdicts(checked)


def test_the_sheet_does_not_change_when_elements_are_added_elsewhere() -> None:
    data = shop_with_blanks()
    adopted = adopted_for(data, SHOP)
    ids = {one.key: one.id for one in sheet_of(data, adopted)[0].questions if not one.many}
    more = copy.deepcopy(data)
    more["gas valves"] = {"GV-0": {"pipe": "G-01"}, **more["gas valves"]}
    others = {one.key: one.id for one in sheet_of(more, adopted)[0].questions if not one.many}
    assert len(ids) > 5
    assert {key: others.get(key) for key in ids} == ids
