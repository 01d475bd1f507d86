"""One entry of the first screen: a finding, or one cause with its places, in a few narrow lines."""

from __future__ import annotations

from oktocover.findings.finding import Comparison, Finding
from oktocover.reports._fold import Entry, lines_of, subject
from oktocover.reports._plain import clean, clean_lines, columns, counted, ends, listed, wrap
from oktocover.reports._words import ANSWERED, SEVERITY, WEAK, found_by

PLACES_NAMED = 6
"""How many of an entry's places are named by their element; the lines in the file are all given."""

FIGURES_SHOWN = 3
"""How many of several failing figures are told on the first screen."""


def figures(measured: str, required: str, margin: str) -> str:
    """`measured 55 A, needed 60 A, short by 5 A`; empty where no figure decides."""
    parts = []
    fact, colon, said = measured.partition(": ")
    if colon and required.startswith(f"{fact}: "):
        # a yes or no: the fact is named once
        parts.append(clean(f"{fact}: {said}", 120))
        measured, required = "", required.removeprefix(f"{fact}: ")
    if measured and measured != "not recorded":
        parts.append(f"measured {clean(measured, 120)}")
    if required:
        parts.append(f"needed {clean(required, 120)}")
    if margin:
        parts.append(clean(margin, 80))
    return ", ".join(parts)


def _compared(one: Comparison) -> str:
    told = figures(one.measured, one.required, one.margin)
    return f"{clean(one.item, 60)}: {told}" if one.item else told


def _figure_lines(finding: Finding, width: int, every: bool) -> list[str]:
    """The headline figures, or each comparison where several decide together: those that fail, the nearest first."""
    telling = [one for one in finding.comparisons if finding.verdict != "not met" or one.met is not True]
    if every:
        telling = list(finding.comparisons)
    if len(telling) > 1:
        texts = [_compared(one) for one in telling[: None if every else FIGURES_SHOWN]]
        left = len(telling) - len(texts)
        texts += [f"and {left} more (--all)"] if left else []
    else:
        texts = [figures(finding.measured, finding.required, finding.margin)]
    if finding.known_by in WEAK:
        texts.append(f"How known: {finding.known_by}")
    return [line for text in texts for line in wrap(text, width, "   ", "     ")]


def _sources(entry: Entry, width: int) -> list[str]:
    """Citation and place; who changed the section."""
    finding = entry.first
    cited, place = clean(finding.citation, 300), lines_of(entry.findings)
    one_line = f"   {cited}  {place}" if cited and place else f"   {cited or place}"
    if columns(one_line) <= width:
        lines = [one_line] if cited or place else []
    else:
        lines = wrap(cited, width, "   ") + wrap(place, width, "   ", "     ")
    if finding.amended_by:
        changed = listed(clean(one, 120) for one in finding.amended_by)
        lines += wrap(f"As changed by {changed}", width, "   ", "     ")
    return lines


def close_lines(text: str, width: int) -> list[str]:
    """The line that closes the finding: beside its words where it fits, under them otherwise."""
    closing = clean_lines(text)
    if not any(closing):
        return []
    if len(closing) == 1 and columns(closing[0]) <= width - 19:
        return [f"   Close it with   {closing[0].strip()}"]
    lines = ["   Close it with"]
    for line in closing:
        indent = " " * min(len(line) - len(line.lstrip(" ")), 12, max(width - 30, 0))
        lines += wrap(line, width, "     " + indent, "       " + indent)
    return lines


def _where(entry: Entry, width: int, every: bool) -> list[str]:
    if len(entry.findings) == 1:
        return wrap(subject(entry.first), width, "   ")
    names = listed((clean(one.element, 60) for one in entry.findings), None if every else PLACES_NAMED)
    rooms = listed(
        (clean(f"{one.where[0]} {one.where[1]}", 60) for one in entry.findings), None if every else PLACES_NAMED
    )
    lines = wrap(f"{counted(len(entry.findings), 'place')}: {names}", width, "   ", "     ")
    return lines + (wrap(f"in {rooms}", width, "   ", "     ") if rooms else [])


def _missing_lines(finding: Finding, width: int) -> list[str]:
    lines = []
    for one in finding.missing:
        where = clean(found_by(one.found_by), 40)
        text = f"Not recorded: {clean(one.fact, 80)} of {clean(one.element, 60)} ({where})"
        lines += wrap(text, width, "   ", "     ")
    if finding.settled and finding.verdict == "not recorded":
        lines += wrap("No answer can turn it into 'does not meet'; it is not asked.", width, "   ")
    return lines


def entry_lines(entry: Entry, width: int, mark: str, every: bool = False, visit_said: bool = True) -> list[str]:
    """One entry: what, how bad, where, the two figures, section and place, what to do, how to close it.

    `every` names each place; `visit_said` is False where entries of several visits stand together.
    """
    finding = entry.first
    # an open question is no correction yet; only that it is about a hazard is said
    said = finding.verdict == "not met" or finding.severity == "hazard"
    severity = SEVERITY[finding.severity] if said else ""
    lines = ends(f"{mark} {clean(finding.title, 160)}", severity, width, "   ")
    lines += _where(entry, width, every)
    lines += [] if visit_said else wrap(f"Visit: {clean(finding.stage, 60)}", width, "   ")
    lines += _figure_lines(finding, width, every)
    lines += _missing_lines(finding, width)
    lines += _sources(entry, width)
    lines += wrap(clean(finding.note, 300), width, "   ")
    if finding.alternate:
        lines += wrap(f"{ANSWERED}: {clean(finding.alternate, 200)}", width, "   ", "     ")
    lines += wrap(clean(finding.remedy, 500), width, "   ")
    lines += close_lines(finding.close_with, width)
    if finding.also_touches:
        touched = listed(clean(one, 120) for one in finding.also_touches)
        lines += wrap(f"Also touches: {touched}", width, "   ", "     ")
    return lines


def short_lines(entry: Entry, width: int) -> list[str]:
    """An entry in its shortest form: what, where, figures and places; for what asks for no work now."""
    finding = entry.first
    many = len(entry.findings)
    where = subject(finding) if many == 1 else counted(many, "place")
    told = figures(finding.measured, finding.required, finding.margin)
    parts = [f"{clean(finding.title, 160)}: {where}", told]
    if finding.alternate:
        parts.append(clean(finding.alternate, 160))
    reason = clean(finding.exception or finding.note, 240)
    if finding.verdict == "does not apply" and reason:
        parts.append(reason)
    text = "; ".join(part for part in parts if part)
    return wrap(text, width, "   ", "     ") + wrap(lines_of(entry.findings), width, "     ", "       ")
