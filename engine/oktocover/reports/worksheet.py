"""A calculation on paper: every figure can be followed with a pencil, and handed over."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Final

from oktocover.findings.checked import Checked
from oktocover.findings.finding import Finding, Step
from oktocover.reports import _words
from oktocover.reports._entries import figures
from oktocover.reports._fold import subject
from oktocover.reports._plain import clean, columns, day, listed, wrap

WIDTH: Final = 80
_WHAT, _HOW, _RESULT = 26, 32, 14
_LABEL = 11
_RULE = "-" * WIDTH


def head_of(checked: Checked, permit: str = "", content: str = "") -> dict[str, Any]:
    """The title block that all sheets of one check share: site, permit, what is in force, content of the file, date.

    `content` is what `content.content_of` says of the site file.
    """
    return {
        "site": checked.site,
        "permit": permit,
        "content": content,
        "date": checked.today,
        "checked_by": checked.checked_by,
        "not_checked_here": checked.not_checked_here,
        "in_force": [*(one.name for one in checked.in_force), checked.jurisdiction],
    }


def worksheet(
    title: str,
    subject_label: str,
    sections: Sequence[str],
    steps: Sequence[Step],
    result: str,
    checked_head: Mapping[str, Any],
) -> str:
    """One sheet, at most 80 columns wide.

    A step without a `how` is an input: a figure taken as it is written, with where it comes from. `result`
    is the last line of the sum, in words. `checked_head` is what `head_of` gives; `trades` in it adds the
    cautions of those trades.
    """
    given = [step for step in steps if not step.how.strip()]
    worked = [step for step in steps if step.how.strip()]
    lines = wrap(f"WORKSHEET: {clean(title, 300)}", WIDTH, "", "  ")
    lines += head_lines(checked_head)
    lines += _field("Subject", clean(subject_label, 400))
    lines += ["", "INPUTS, as written", _RULE, *_inputs(given)]
    lines += ["", "STEPS", _RULE, *_steps(worked)]
    lines += [_RULE, *_field("Result", clean(result, 600))]
    lines += _field("Section", listed(clean(one, 200) for one in sections) or "none cited")
    lines += ["", *_foot(checked_head.get("trades", ()))]
    return "\n".join(lines) + "\n"


def of_finding(finding: Finding, checked_head: Mapping[str, Any]) -> str:
    """The sheet of one finding, from the work that it carries."""
    told = figures(finding.measured, finding.required, finding.margin)
    verdict = _words.VERDICT[finding.verdict]
    sections = (finding.citation, *(f"as changed by {one}" for one in finding.amended_by))
    head = {**checked_head, "trades": checked_head.get("trades", (finding.trade,))}
    return worksheet(
        finding.title, subject(finding), sections, finding.work, f"{told}: {verdict}" if told else verdict, head
    )


def sheets(
    parts: Iterable[tuple[str, Sequence[Step]]],
    checked_head: Mapping[str, Any],
    subject_label: str = "",
    sections: Sequence[str] = (),
) -> str:
    """Several sums of one subject, a sheet each; the result of a sheet is that of its last step."""
    made = [
        worksheet(title, subject_label, sections, steps, steps[-1].result if steps else "not recorded", checked_head)
        for title, steps in parts
    ]
    return "\n".join(made)


def _field(name: str, text: str) -> list[str]:
    return wrap(text, WIDTH, name.ljust(_LABEL), " " * _LABEL) or [name.ljust(_LABEL) + "not recorded"]


def head_lines(head: Mapping[str, Any]) -> list[str]:
    """The title block of a sheet: site, permit, rules in force, town, content of the site file, date."""
    rules = listed(clean(str(one), 120) for one in head.get("in_force", ()))
    lines = _field("Site", clean(str(head.get("site", "")), 300))
    lines += _field("Permit", clean(str(head.get("permit", "")), 120))
    lines += _field("In force", rules)
    if head.get("checked_by"):
        lines += _field("Town", f"changes: {clean(str(head['checked_by']), 200)}")
    left_out = head.get("not_checked_here") or ()
    if left_out:
        lines += _field("Not here", f"changed too, and not checked here: {clean('; '.join(map(str, left_out)), 400)}")
    if head.get("content"):
        lines += _field("Content", clean(str(head["content"]), 200))
    return lines + _field("Date", day(str(head.get("date", ""))))


def _row(cells: Sequence[tuple[str, int]]) -> list[str]:
    """Cells wrapped beside each other, each to its width, a space between."""
    wrapped = [wrap(text, width) or [""] for text, width in cells]
    rows = []
    for at in range(max(map(len, wrapped))):
        row = ""
        for (_, width), cell in zip(cells, wrapped, strict=True):
            text = cell[at] if at < len(cell) else ""
            row += text + " " * (width - columns(text) + 1)
        rows.append(row.rstrip())
    return rows


def _inputs(given: Sequence[Step]) -> list[str]:
    if not given:
        return ["none besides those in the steps"]
    lines: list[str] = []
    for step in given:
        lines += _row(
            [(clean(step.what, 400), 4 + _WHAT), (clean(step.source, 400), _HOW), (clean(step.result, 200), _RESULT)]
        )
    return lines


def _steps(worked: Sequence[Step]) -> list[str]:
    if not worked:
        return ["no sum: the figures are compared as they are written"]
    lines: list[str] = []
    for at, step in enumerate(worked, 1):
        how = clean(step.how, 600)
        lines += _row(
            [(f"{at}", 3), (clean(step.what, 400), _WHAT), (how, _HOW), (f"= {clean(step.result, 200)}", _RESULT + 1)]
        )
        lines += wrap(clean(step.source, 400), WIDTH, " " * (5 + _WHAT), " " * (7 + _WHAT))
    return lines


def _foot(trades: Iterable[str]) -> list[str]:
    lines: list[str] = []
    for text in _words.cautions(trades):
        lines += wrap(text, WIDTH, "", "  ")
    return lines + wrap(_words.CLOSING, WIDTH)
