"""Editions of one book side by side: a place that adopts one for some sections, another for the rest."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from oktocover.reading.problems import Problem
from oktocover.rules.adoption import Entry
from oktocover.rules.fold import Folded
from oktocover.rules.layers import SECTIONS, Thing, alias

SHARED = ("terms", "tables")


def join_books(entries: Sequence[Entry], folded: Callable[[str], Folded]) -> Folded:
    """Fold the books of some adoptions. Of two editions of one book each gives the rules that are adopted of it.

    Terms and tables of the second edition stand under its own name, for its rules alone. A change of the place speaks
    of those of the first: the one adopted without `only`.
    """
    result = Folded()
    for book in dict.fromkeys(entry.book.partition(" ")[0] for entry in entries):
        own = [entry for entry in entries if entry.book.partition(" ")[0] == book]
        own.sort(key=lambda entry: entry.only is not None)
        clash = _whole_twice(own)
        if clash is not None:
            first, second = clash
            result.problems.append(_both(first, second, f"{first.book} and {second.book} are both in force"))
            own = [entry for entry in own if entry.book == first.book]
        for number, edition in enumerate(dict.fromkeys(entry.book for entry in own)):
            takers = [entry for entry in own if entry.book == edition]
            _lay(result, folded(edition), takers, edition if number else "", own)
    return result


def _whole_twice(entries: Sequence[Entry]) -> tuple[Entry, Entry] | None:
    """Two adoptions that take two editions whole."""
    whole = [entry for entry in entries if not entry.parted]
    return next(((whole[0], entry) for entry in whole[1:] if entry.book != whole[0].book), None)


def _both(first: Entry, second: Entry, message: str) -> Problem:
    place = first.says((), "", "", "").place
    return second.says(
        (),
        f"{message}, by '{first.name}' and '{second.name}'; '{first.name}' stands at {place}",
        "days that do not overlap (from:, until:), when:, only: and without:, or a choice: of the applicant",
        "",
    )


def _lay(result: Folded, part: Folded, takers: Sequence[Entry], edition: str, own: Sequence[Entry]) -> None:
    result.layers += [layer for layer in part.layers if layer not in result.layers]
    result.problems += part.problems
    result.edits += part.edits
    told: set[str] = set()
    for section in SECTIONS:
        for name, thing in part.things[section].items():
            if section == "rules" and not any(_takes(entry, thing) for entry in takers):
                continue
            there = result.things[section].get(name)
            if there is None:
                result.things[section][name] = replace(thing, edition=edition)
            elif section in SHARED and there.data != thing.data:
                result.things[section][f"{alias(edition)}.{name.partition('.')[2]}"] = replace(thing, edition=edition)
            elif section == "rules":
                other = next((one for one in own if one not in takers and _takes(one, there)), None)
                if other is not None and other.name not in told:
                    told.add(other.name)
                    message = f"'{name}' ({thing.data.get('section', '')}) is in force from two editions"
                    result.problems.append(_both(other, takers[0], message))


def _takes(entry: Entry, thing: Thing) -> bool:
    data = thing.data if isinstance(thing.data, dict) else {}
    also = data.get("also")
    numbers = [str(data.get("section", "")), *(map(str, also) if isinstance(also, list) else ())]
    return entry.takes(numbers, str(data.get("trade", "")))
