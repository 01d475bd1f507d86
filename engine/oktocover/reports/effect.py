"""What a change of rules does to whole buildings: the same site under two places, verdict beside verdict."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from oktocover.findings.checked import Checked
from oktocover.findings.finding import Comparison, Finding
from oktocover.reports._layered import World
from oktocover.reports._plain import clean, counted, wrap
from oktocover.reports.json_form import plain
from oktocover.reports.rules_form import WIDTH

NOT_ASKED = "not asked"
SAID = {"met": "meets", "not met": "does not meet", "not recorded": "not recorded", NOT_ASKED: NOT_ASKED}


@dataclass(frozen=True, slots=True)
class Turned:
    """One verdict that is another under the other place."""

    rule: str
    element: str
    label: str
    title: str
    was: str
    now: str
    """A verdict, or 'not asked'."""
    was_figures: str
    now_figures: str
    authority: str
    """On what it rests now: section, and the town's change."""
    text: str


@dataclass(frozen=True, slots=True)
class CardLine:
    """One visit that stands otherwise."""

    visit: str
    was: str
    now: str


@dataclass(frozen=True, slots=True)
class Effect:
    """What changes on one site."""

    site: str
    file: str
    verdicts: tuple[Turned, ...]
    card: tuple[CardLine, ...]


def effect(now: Checked, before: Checked, here: World, there: World) -> Effect:
    """Compare two checks of one site: `now` under the place `here`, `before` under `there`."""
    new, old = ({(one.rule.removesuffix(".main"), one.element): one for one in side.findings} for side in (now, before))
    turned = []
    for key in dict.fromkeys((*old, *new)):
        is_, was = new.get(key), old.get(key)
        if _verdict(is_) != _verdict(was):
            turned.append(_turned(is_, was, here, there))
    return Effect(now.site, now.file, tuple(turned), tuple(_card(now, before)))


def _authority(now: Finding | None, before: Finding | None, here: World) -> str:
    """On what a verdict rests; who took the rule, item or way out where it is no longer asked."""
    if now is not None and _verdict(now) != NOT_ASKED:
        return ", ".join((now.citation, *map(_once, now.amended_by)))
    shown = now or before
    assert shown is not None, "one of the two has it"
    book, rule, *item = shown.rule.split(".")
    address = f"{book}.{rule}"
    gone = here.took_out("rules", address) or (here.took_out("rules", address, ("items", item[0])) if item else "")
    return gone or ", ".join((shown.citation, *(map(_once, now.amended_by) if now is not None else ())))


def _once(authority: str) -> str:
    """'Town: Town Code 3' names the town twice."""
    place, _, cite = authority.partition(": ")
    return cite if cite.startswith(place) else authority


def _verdict(found: Finding | None) -> str:
    """What was said; a rule that does not apply says as little as one that is not there."""
    return NOT_ASKED if found is None or found.verdict == "does not apply" else found.verdict


def _turned(now: Finding | None, before: Finding | None, here: World, there: World) -> Turned:
    shown = now or before
    assert shown is not None, "one of the two has it"
    is_, was = _verdict(now), _verdict(before)
    authority = _authority(now, before, here)
    figures = _figures(now, before), _figures(before, now)
    text = (
        f"{shown.label}, {shown.title}: {SAID[was]} under {there.name}{_bracket(figures[1])}, "
        f"{SAID[is_]} under {here.name}{_bracket(_less(figures[0], figures[1]))} - {authority}"
    )
    return Turned(
        shown.rule, shown.element, shown.label, shown.title, was, is_, figures[1], figures[0], authority, text
    )


def _figures(found: Finding | None, other: Finding | None) -> str:
    if found is None or found.verdict == "does not apply":
        return ""
    if found.verdict == "not recorded":
        return "missing: " + ", ".join(dict.fromkeys(one.fact for one in found.missing)) if found.missing else ""
    told, there = _telling(found), {one.item for one in _telling(other)}
    # Of several ways that fail, the one by which the other place has it met says most.
    comparison = next((one for one in told if one.item in there), told[0] if told else None)
    if comparison is not None and comparison.measured == comparison.required:
        return comparison.measured
    if comparison is not None:
        return f"measured {comparison.measured}, needed {comparison.required}"
    return f"measured {found.measured}, needed {found.required}" if found.measured and found.required else ""


def _telling(found: Finding | None) -> list[Comparison]:
    """The comparisons that decided a verdict."""
    return [one for one in found.comparisons if one.met is (found.verdict == "met")] if found is not None else []


def _bracket(text: str) -> str:
    return f" ({text})" if text else ""


def _less(text: str, before: str) -> str:
    """The figures without what was measured, where that is the same on both sides."""
    measured = before.partition(", needed ")[0]
    return text.removeprefix(f"{measured}, ") if measured and text.startswith(f"{measured}, ") else text


def _card(now: Checked, before: Checked) -> Iterator[CardLine]:
    new, old = ({one.name: one.state for one in side.visits} for side in (now, before))
    for visit in dict.fromkeys((*old, *new)):
        was, is_ = old.get(visit, "no such visit"), new.get(visit, "no such visit")
        if was != is_:
            yield CardLine(visit, str(was), str(is_))


def effect_text(found: list[Effect], now: str, before: str, width: int = WIDTH) -> str:
    """The effect on each site in sentences."""
    lines = wrap(f"Effect of {clean(now, 120)} instead of {clean(before, 120)} on whole buildings.", width)
    for one in found:
        lines += ["", *wrap(f"{clean(one.site, 120)} ({clean(one.file, 200)})", width, "", "  ")]
        if not one.verdicts and not one.card:
            lines += wrap("Nothing turns: every verdict and every visit stays as it is.", width, "  ")
        for turned in one.verdicts:
            lines += wrap(f"{clean(turned.text, 2000)}.", width, "  - ", "    ")
        for card in one.card:
            lines += wrap(f"Visit '{clean(card.visit, 120)}': {card.now}, was {card.was}.", width, "  - ", "    ")
    count = sum(len(one.verdicts) for one in found)
    return "\n".join([*lines, "", f"{counted(count, 'verdict')} turned on {counted(len(found), 'site')}"]) + "\n"


def effect_object(found: list[Effect]) -> list[dict[str, Any]]:
    """The effect on each site as plain JSON values."""
    return [plain(one) for one in found]
