"""The text of `check`: one phone page about one visit, the surest and most dangerous first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from oktocover.findings.checked import CORRECTIONS, READY, Checked, Visit
from oktocover.findings.finding import Finding
from oktocover.reports import _words
from oktocover.reports._entries import close_lines, entry_lines, short_lines
from oktocover.reports._fold import Entry, answers, fold, settled_by
from oktocover.reports._plain import clean, columns, counted, day, ends, listed, number, wrap

WIDTH = 44
NARROWEST = 30
SHOWN = 20
"""Entries on the first screen."""
READY_LINES = 3
"""Lines in which the first screen says what a visit wants ready."""
REST_LINES = 6
"""Lines in which the first screen says on whose word the rest stands."""
ANSWERS = 5
"""Answers asked for on the first screen."""


@dataclass(frozen=True, slots=True)
class _Sorted:
    """The findings of the visit, by the heading they come under; each in the order they were given."""

    wrong: tuple[Finding, ...]
    close: tuple[Finding, ...]
    answered: tuple[Finding, ...]
    aside: tuple[Finding, ...]
    waiting: tuple[Finding, ...]
    advisories: tuple[Finding, ...]
    settled: tuple[Finding, ...]
    met: tuple[Finding, ...]
    not_asked: tuple[Finding, ...]


def _heading(finding: Finding) -> str:
    if finding.verdict == "does not apply":
        return "not_asked"
    if finding.verdict == "met":
        return "close" if finding.closer_than_tape else "met"
    if finding.alternate:
        return "answered"
    if finding.set_aside:
        return "aside"
    if finding.severity == "advisory":
        return "advisories"
    if finding.verdict == "not met":
        return "close" if finding.closer_than_tape else "wrong"
    return "settled" if finding.settled else "waiting"


def _sort(findings: Iterable[Finding]) -> _Sorted:
    heads: dict[str, list[Finding]] = {name: [] for name in _Sorted.__dataclass_fields__}
    for finding in findings:
        heads[_heading(finding)].append(finding)
    return _Sorted(**{name: tuple(found) for name, found in heads.items()})


def first_screen(checked: Checked, width: int = WIDTH, all_findings: bool = False) -> str:
    """The whole text of `check`, no line wider than `width` columns (30 at least).

    With `all_findings` nothing is left to a count: every entry with all its places, what meets, and what does
    not apply with its reason.
    """
    width = max(width, NARROWEST)
    found = _sort(checked.of_visit())
    blocks = [
        _head(checked, width),
        _state(checked, found, width),
        _at_the_visit(checked, width),
        _wrong(checked, found.wrong, width, all_findings),
        _answers(checked, found.waiting, width, all_findings),
        _close(found.close, width, all_findings),
        _short("ANSWERED IN WRITING", found.answered, width, all_findings),
        _set_aside(checked, width, all_findings),
        _worth_knowing(found.advisories, width, all_findings),
        _everything(checked, found, width) if all_findings else [],
        _stands_on(checked, width, all_findings),
        _other_visits(checked, width),
        _cautions(checked, width),
        wrap(_words.CLOSING, width),
    ]
    return "\n".join("\n".join(block) for block in blocks if block) + "\n"


def _head(checked: Checked, width: int) -> list[str]:
    names = [clean(one.name, 60) for one in checked.in_force]
    rules = listed([*names, clean(checked.jurisdiction, 80)]) or "none adopted yet"
    lines = ends(clean(checked.site, 160) or "A site without a name", day(checked.today), width)
    lines += wrap(f"Rules: {rules}", width, "", "   ")
    if checked.checked_by:
        lines += wrap(f"Town changes: {clean(checked.checked_by, 160)}", width, "", "   ")
    for warning in checked.warnings:
        lines += wrap(f"Note: {clean(warning, 300)}", width, "", "   ")
    return [*lines, ""]


def _visit(checked: Checked) -> Visit | None:
    return next((one for one in checked.visits if one.name == checked.visit), None)


def _state(checked: Checked, found: _Sorted, width: int) -> list[str]:
    name = "ALL VISITS" if checked.visit == "all" else clean(checked.visit, 80).upper()
    words, cells = _standing(checked, found)
    lines = wrap(f"{name or 'NO VISIT'}: {words}", width, "", "   ")
    return lines + (_counts(cells, width) if any(count for count, _ in cells) else [])


def standing(checked: Checked) -> tuple[str, list[tuple[int, str]]]:
    """How the visit stands, in words, and the four counts with their words: hurt, corrections, stops, not recorded."""
    return _standing(checked, _sort(checked.of_visit()))


def _standing(checked: Checked, found: _Sorted) -> tuple[str, list[tuple[int, str]]]:
    visit = _visit(checked)
    stops = sum(one.stops for one in checked.visits) if visit is None else visit.stops
    wrong = [one for one in (*found.wrong, *found.close) if one.verdict == "not met"]
    hazards = sum(one.severity == "hazard" for one in wrong)
    corrections = len(wrong) - hazards
    cells = [
        (hazards, "can hurt someone"),
        (corrections, "correction likely" if corrections == 1 else "corrections likely"),
        (stops, "stops the visit" if stops == 1 else "stop the visit"),
        (len(found.waiting), "not recorded"),
    ]
    return _state_words(checked, found, visit, stops), cells


def _at_the_visit(checked: Checked, width: int) -> list[str]:
    """What the place says has to be ready for this visit, in three lines at most."""
    visit = _visit(checked)
    if visit is None or visit.state == "signed":
        return []
    if visit.only_if == "no":
        return wrap("This place does not hold this visit for such a building.", width, "", "   ")
    counted = f" ({visit.counted})" if visit.counted else ""
    parts = [line.text for line in visit.must_be]
    parts += [f"call {visit.notice} before{counted}"] if visit.notice else []
    parts += [line.text for line in (*visit.who, *visit.witness, *visit.instruments, *visit.papers)]
    parts += [f"or instead: {line.text}" for line in visit.instead]
    parts += [f"held or not: by {one.fact}" for one in visit.depends_on]
    if not parts:
        return []
    for shown in range(len(parts), 0, -1):
        more = f"; and {len(parts) - shown} more: show SITE VISIT" if shown < len(parts) else ""
        lines = wrap(f"AT THE VISIT: {'; '.join(clean(one, 120) for one in parts[:shown])}{more}", width, "", "   ")
        if len(lines) <= READY_LINES:
            return lines
    return [*lines[: READY_LINES - 1], clean(lines[READY_LINES - 1], width - 3) + "..."]


def _state_words(checked: Checked, found: _Sorted, visit: Visit | None, stops: int) -> str:
    code = checked.exit_code
    if code == CORRECTIONS or stops:
        return "do not call yet"
    if visit is not None and visit.state == "signed" and code == READY:
        return "signed, on what is written here."
    if code == READY and found.aside:
        return f"nothing open but what is set aside ({len(found.aside):,})"
    if code == READY and (visit is None or visit.state == "ready to call"):
        return _words.READY
    facts = {(need.element, need.fact) for one in found.waiting for need in one.missing}
    count = len(facts) or len(found.waiting)
    if not count:
        return "nothing found wrong, but nothing that decides it is recorded yet"
    return f"nothing found wrong, but {counted(count, 'fact is', 'facts are')} not recorded"


def _counts(cells: Sequence[tuple[int, str]], width: int) -> list[str]:
    """Four counts in two columns, figures under figures; one column where the paper is too narrow."""
    texts = [f"{count:>3,} {words}" for count, words in cells]
    rows = [f"{left:<22}{right}" for left, right in zip(texts[::2], texts[1::2], strict=True)]
    if all(columns(row) <= width for row in rows):
        return rows
    return [line for text in texts for line in wrap(text, width, "  ")]


def _wrong(checked: Checked, findings: Sequence[Finding], width: int, every: bool) -> list[str]:
    entries = fold(findings)
    shown = entries if every else entries[:SHOWN]
    one_visit = checked.visit != "all"
    lines = [
        line for at, entry in enumerate(shown, 1) for line in entry_lines(entry, width, f"{at}.", every, one_visit)
    ]
    if len(shown) < len(entries):
        lines += wrap(f"and {len(entries) - len(shown):,} more: --all", width)
    return lines


def _answers(checked: Checked, waiting: Sequence[Finding], width: int, every: bool) -> list[str]:
    asked = answers(checked.blanks)
    if not waiting or not asked:
        return []
    shown = asked if every else asked[:ANSWERS]
    settled, count = settled_by(shown, waiting), len(waiting)
    said = number(len(shown)).upper()
    if settled:
        verb = "ANSWER SETTLES" if len(shown) == 1 else "ANSWERS SETTLE"
        total = "THE ONE" if count == 1 else f"{settled:,} OF THE {count:,}"
        lines = wrap(f"{said} {verb} {total}", width, "", "   ")
    else:
        noun = "ANSWER" if len(shown) == 1 else "ANSWERS"
        lines = wrap(f"{said} {noun} TO BEGIN WITH, OF {count:,} NOT RECORDED", width, "", "   ")
    for answer in shown:
        where = clean(_words.found_by(answer.found_by), 40)
        words = wrap(answer.words, width, "   ", "     ") or ["   (a fact without a name)"]
        if columns(words[-1]) + 3 + columns(where) <= width:
            words[-1] += f"   {where}"
        else:
            words += wrap(where, width, "     ")
        lines += words
    if len(shown) < len(asked):
        lines += wrap(f"and {len(asked) - len(shown):,} more: --all", width, "   ")
    return lines


def _close(findings: Sequence[Finding], width: int, every: bool) -> list[str]:
    entries = fold(findings)
    if not entries:
        return []
    lines = wrap("CLOSER THAN A TAPE CAN TELL, MEASURE AGAIN", width, "", "   ")
    for entry in entries if every else entries[:ANSWERS]:
        first = entry.first
        verdict = _words.VERDICT[first.verdict]
        said = f"{verdict}, {_words.SEVERITY[first.severity]}" if first.verdict == "not met" else verdict
        lines += [*short_lines(entry, width), *wrap(said, width, "     ")]
        if first.verdict == "not met" and first.citation:
            lines += wrap(clean(first.citation, 300), width, "     ")
        lines += close_lines(first.close_with, width)
    return lines + _left(entries, every, width)


def _left(entries: Sequence[Entry], every: bool, width: int) -> list[str]:
    if every or len(entries) <= ANSWERS:
        return []
    return wrap(f"and {len(entries) - ANSWERS:,} more: --all", width, "   ")


def _short(heading: str, findings: Sequence[Finding], width: int, every: bool) -> list[str]:
    entries = fold(findings)
    if not entries:
        return []
    lines = wrap(f"{heading}: {len(findings):,}", width, "", "   ")
    for entry in entries if every else entries[:ANSWERS]:
        lines += short_lines(entry, width)
    return lines + _left(entries, every, width)


def _set_aside(checked: Checked, width: int, every: bool) -> list[str]:
    """All that anybody set aside, of any visit: how many, who, why, until when; each by its name on --all."""
    if not checked.set_aside:
        return []
    from oktocover.reports.baseline import asides, heading

    lines = wrap(f"SET ASIDE: {heading(checked.set_aside) or 'nothing any more'}", width, "", "   ")
    for state, said in (("set aside", ""), ("lapsed", "lapsed: ")):
        groups = asides(checked.set_aside, state)
        for one in groups if every else groups[:ANSWERS]:
            lines += wrap(f"{said}{one.words}", width, "   ", "     ")
            lines += wrap(one.names, width, "     ", "       ") if every else []
        if not every and len(groups) > ANSWERS:
            lines += wrap(f"and {len(groups) - ANSWERS:,} more: --all", width, "   ")
    return lines


def _worth_knowing(advisories: Sequence[Finding], width: int, every: bool) -> list[str]:
    wrong = [one for one in advisories if one.verdict == "not met"]
    if every or not wrong:
        return []
    return wrap(f"WORTH KNOWING: {len(wrong):,} (--all)", width, "", "   ")


def _everything(checked: Checked, found: _Sorted, width: int) -> list[str]:
    """What the first screen only counts: advisories, each open question, what meets, what does not apply."""
    lines: list[str] = []
    for heading, findings in (
        ("WORTH KNOWING", found.advisories),
        ("NOT RECORDED", (*found.waiting, *found.settled)),
    ):
        entries = fold(findings)
        if entries:
            lines += wrap(f"{heading}: {len(findings):,}", width, "", "   ")
        for entry in entries:
            lines += entry_lines(entry, width, "-", True, checked.visit != "all")
    lines += _short("MEETS, AS WRITTEN", found.met, width, True)
    return lines + _short("DOES NOT APPLY", found.not_asked, width, True)


def _stands_on(checked: Checked, width: int, every: bool) -> list[str]:
    """On whose word the rest stands, and what was never looked at."""
    left = listed(clean(one, 160) for one in checked.not_described)
    left = left or ("every system is spoken of" if checked.findings else "nothing is written yet")
    lines = _rests_on(checked.rests_on, width, every)
    lines += wrap(f"NOT DESCRIBED: {left}", width, "", "   ")
    changes = checked.not_checked_here
    if changes:
        lines += wrap("NOT CHECKED HERE, though the town changed it", width, "", "   ")
        for one in changes if every else changes[:ANSWERS]:
            lines += wrap(clean(one, 400 if every else 80), width, "   ", "     ")
        if not every and len(changes) > ANSWERS:
            lines += wrap(f"and {len(changes) - ANSWERS:,} more: --all", width, "   ")
    for one in checked.struck_here if every else checked.struck_here[:ANSWERS]:
        text = f"STRUCK HERE, nothing in this tool carried it: {clean(one, 400 if every else 120)}"
        lines += wrap(text, width, "", "   ")
    if checked.eye_only:
        lines += wrap(f"For the inspector's eye only: {checked.eye_only:,}", width, "", "   ")
    return lines


def _rests_on(words: Sequence[str], width: int, every: bool) -> list[str]:
    """On whose word the rest stands; in short without the facts that each speaks of, and not more than a few lines."""
    told = [clean(one, 800) if every else clean(one.split(": ", 1)[0], 200) for one in words]
    lines = wrap(f"RESTS ON WORD: {'; '.join(told) or 'nothing'}", width, "", "   ")
    shown = len(told)
    while not every and len(lines) > REST_LINES:
        shown -= 1
        more = f"and {len(told) - shown:,} more: --all"
        lines = wrap(f"RESTS ON WORD: {'; '.join([*told[:shown], more])}", width, "", "   ")
    return lines


def _other_visits(checked: Checked, width: int) -> list[str]:
    names = [one.name for one in checked.visits]
    at = names.index(checked.visit) if checked.visit in names else -1
    if checked.visit == "all":
        return _visit_table("BY VISIT", checked.visits, width)
    earlier = [one for one in checked.visits[: max(at, 0)] if one.state != "signed"]
    signed = [one for one in checked.visits if one.state == "signed" and one.name != checked.visit]
    later = [one for one in checked.visits[at + 1 :] if one.state != "signed"]
    lines = _visit_table("EARLIER, NOT SIGNED", earlier, width) + _visit_table("LATER VISITS", later, width)
    if signed:
        lines += wrap(f"SIGNED: {listed(clean(one.name, 60) for one in signed)}", width, "", "   ")
    return lines


def _visit_table(heading: str, visits: Sequence[Visit], width: int) -> list[str]:
    """One line a visit: what can hurt someone, corrections likely, facts not recorded."""
    if not visits:
        return []
    room = max(width - 22, 8)
    lines = wrap(heading, width, "", "   ")
    title = f"{'hurt':>6}{'likely':>8}{'blanks':>8}"
    lines = [heading.ljust(width - 22) + title] if len(heading) < room else [*lines, title.rjust(width)]
    for one in visits:
        figures = (
            "not asked yet"
            if one.state == "not asked"
            else "signed"
            if one.state == "signed"
            else f"{one.hazards:>6,}{one.corrections:>8,}{one.not_recorded:>8,}"
        )
        lines += ends(" " + clean(one.name, 60), figures, width, "   ", gap=0)
    return lines


def _cautions(checked: Checked, width: int) -> list[str]:
    trades = [one.trade for one in checked.of_visit() if one.verdict != "does not apply"]
    lines = ["CAUTIONS"]
    for text in _words.cautions(trades):
        lines += wrap(text, width, "   ", "     ")
    return lines
