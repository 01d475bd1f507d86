"""Findings under several sets of rules that may all hold: what they agree on is a verdict, the rest is not recorded."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from functools import cache

from oktocover.findings.finding import Finding, Missing
from oktocover.rules.outcomes import Reading

WORST_FIRST = ("not met", "not recorded", "met", "does not apply")


def worse(one: Finding, other: Finding) -> Finding:
    """The worse of two verdicts on one thing by two versions of a rule; of two alike, the first."""
    held = {"not met": 0, "not recorded": 1 if not one.settled else 2, "met": 3, "does not apply": 4}
    held_other = {**held, "not recorded": 1 if not other.settled else 2}
    return other if held_other[other.verdict] < held[one.verdict] else one


def stacked(versions: Sequence[Iterable[Finding]]) -> list[Finding]:
    """The verdicts of several versions of a rule that all hold: for each thing the worse, by the version that gave it."""
    found: dict[tuple[str, str], Finding] = {}
    for version in versions:
        for one in version:
            key = (one.rule, one.element)
            found[key] = worse(found[key], one) if key in found else one
    return list(found.values())


def merged(by_variant: Sequence[Sequence[Finding]], reading: Reading) -> list[Finding]:
    """One finding for each rule and thing that any variant speaks of."""
    if len(by_variant) == 1 and not reading.undecided:
        return list(by_variant[0])
    found: dict[tuple[str, str], dict[int, Finding]] = {}
    for number, findings in enumerate(by_variant):
        for one in findings:
            found.setdefault((one.rule, one.element), {})[number] = one
    decide = cache(reading.between)
    return [_one(versions, len(by_variant), decide, reading) for versions in found.values()]


def _one(
    versions: dict[int, Finding],
    count: int,
    decide: Callable[[tuple[str | None, ...]], tuple[Missing, ...]],
    reading: Reading,
) -> Finding:
    verdicts = [versions[number].verdict if number in versions else None for number in range(count)]
    first = min(versions.values(), key=lambda one: WORST_FIRST.index(one.verdict))
    if reading.undecided:
        return _open(first, tuple(reading.missing.values()), versions.values(), whole=False)
    if len(set(verdicts)) == 1:
        if first.verdict == "not recorded":
            lacks = dict.fromkeys(missing for one in versions.values() for missing in one.missing)
            return replace(first, missing=tuple(lacks), settled=all(one.settled for one in versions.values()))
        return replace(first, note=_either_way(first, list(versions.values())))
    return _open(first, decide(tuple(verdicts)), versions.values(), whole=True)


def _open(first: Finding, facts: tuple[Missing, ...], versions: Iterable[Finding], whole: bool) -> Finding:
    """A verdict that hangs on which rules are in force."""
    versions = list(versions)
    harmless = whole and not any(
        one.verdict == "not met" or (one.verdict == "not recorded" and not one.settled) for one in versions
    )
    named = ", ".join(f"{missing.element} {missing.fact}" for missing in facts)
    more = (missing for one in versions if one.verdict == "not recorded" for missing in one.missing)
    return replace(
        first,
        verdict="not recorded",
        missing=tuple(dict.fromkeys([*facts, *more])),
        settled=harmless,
        remedy=f"Write down: {named}. It decides which rules hold here.",
        close_with=f"{facts[0].fact}: <{facts[0].means or 'what it is'}>" if facts else first.close_with,
        closer_than_tape=False,
    )


def _either_way(first: Finding, versions: list[Finding]) -> str:
    """The note of a verdict on which all agree, with what each of them asks for where that differs."""
    asked = dict.fromkeys(f"{one.citation} asks {one.required}" for one in versions if one.required)
    if len({one.required for one in versions}) < 2 or len(asked) < 2:
        return first.note
    return "; ".join(part for part in (first.note, f"the same either way: {', '.join(asked)}") if part)
