"""A pull request's summary in Markdown: ten lines a job at most, for the visit that is checked.

Whatever comes from a site, a place or a file of findings is escaped: it can make no markup, no link and no mention.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from oktocover.check import blanks_of
from oktocover.findings.checked import Checked
from oktocover.findings.finding import Finding
from oktocover.reports._entries import figures
from oktocover.reports._fold import answers, fold, lines_of, subject
from oktocover.reports._plain import clean, counted, day, listed
from oktocover.reports._words import SEVERITY, found_by
from oktocover.reports.baseline import asides, heading
from oktocover.reports.changes import Changes, Gone
from oktocover.reports.screen import standing

MOST_LINES = 10
NAMED = 4
"""Things named on a line that counts."""
ABOUT = "A pre-check of what is written, no inspection."
_JOIN = "\u2060"
"""A word joiner: it is not seen, and what it stands in is no name, number or address for a forge."""
_MARKUP = re.compile(r"([\\`*_\[\]|~$])")
_LINKED = re.compile(r"@|#(?=\w)|(?<=\w):(?=//)|(?i:\bwww(?=\.))|(?i:\bGH(?=-\d))")


def escape(text: str, limit: int | None = None) -> str:
    """Text for Markdown, on one line: what it says is seen as it stands, and it does nothing else."""
    text = _LINKED.sub(lambda found: found.group() + _JOIN, clean(text, limit))
    text = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return _MARKUP.sub(r"\\\1", text)


def summary(changes: Changes) -> str:
    """The whole summary; no line of it is empty."""
    now = changes.now
    fixed = [_title(now), _counts(changes)]
    ends = [*_gone(changes.gone), *_still(changes), *_aside(now)]
    groups = [
        ("New because the job changed", _entries(changes.by_job)),
        (_rules_heading(changes), _entries(changes.by_rules)),
        *([("Open", _entries(changes.still))] if changes.before is None else []),
    ]
    groups = [(name, entries) for name, entries in groups if entries]
    left = MOST_LINES - len(fixed) - len(ends) - len(groups)
    lines = list(fixed)
    for at, (name, entries) in enumerate(groups):
        shown = entries[: max(1, left if at == len(groups) - 1 else (left + 1) // 2)]
        left -= len(shown)
        more = f", {len(shown)} shown" if len(shown) < len(entries) else ""
        lines += [f"- **{name}** ({len(entries)}{more})", *(f"  - {one}" for one in shown)]
    return "\n".join([*lines, *ends]) + "\n"


def _title(now: Checked) -> str:
    visit = "all visits" if now.visit == "all" else now.visit
    return f"### {escape(now.site, 120)}: {escape(visit, 80)}, {escape(standing(now)[0], 160)}"


def _counts(changes: Changes) -> str:
    now = changes.now
    cells = [f"{count:,} {words}" for count, words in standing(now)[1] if count]
    books = listed([*(one.name for one in now.in_force), now.jurisdiction])
    against = f"; against {escape(changes.before.name, 80)}" if changes.before is not None else ""
    noted = f"; {counted(len(now.warnings), 'note')} in the full report" if now.warnings else ""
    return f"{', '.join(cells) or 'Nothing open'}. {escape(books, 160)}, {day(now.today)}{against}{noted}. {ABOUT}"


def _rules_heading(changes: Changes) -> str:
    names = [name for name, _ in changes.rules]
    since = f" since {escape(day(changes.since), 40)}" if changes.since else ""
    return f"New because the rules changed{since}: {escape(listed(names, NAMED))}"


def _entries(findings: Sequence[Finding]) -> list[str]:
    """A line for each cause: what does not meet first, then each fact that nobody has recorded."""
    wrong = [one for one in findings if one.verdict == "not met"]
    lines = []
    for entry in fold(wrong):
        first, many = entry.first, len(entry.findings)
        names = listed((clean(one.element, 60) for one in entry.findings), NAMED)
        where = subject(first) if many == 1 else f"{counted(many, 'place')}: {names}"
        told = [where, figures(first.measured, first.required, first.margin), clean(first.citation, 120)]
        place = clean(lines_of(entry.findings), 160)
        text = "; ".join(part for part in told if part) + (f" ({place})" if place else "")
        lines.append(f"**{SEVERITY[first.severity]}**: {escape(first.title, 120)}: {escape(text)}")
    waiting = [one for one in findings if one.verdict == "not recorded"]
    for answer in answers(blanks_of(waiting)):
        checks = counted(len(answer.settles), "check waits", "checks wait")
        how = found_by(answer.found_by)
        lines.append(f"**not recorded**: {escape(answer.words, 160)}; {escape(how, 60)}; {checks} for it")
    return lines


def _gone(gone: Sequence[Gone]) -> list[str]:
    if not gone:
        return []
    groups: dict[tuple[str, str], list[str]] = {}
    for one in gone:
        groups.setdefault((one.known.title, one.why), []).append(one.known.element)
    told = [
        f"{escape(title, 80)}: {escape(listed(elements, NAMED), 160)} ({escape(why, 80)})"
        for (title, why), elements in groups.items()
    ]
    return [f"- **Gone** ({len(gone)}): {_and_more(told)}"]


def _still(changes: Changes) -> list[str]:
    if changes.before is None:
        return []
    still = changes.still
    if not still:
        return ["- **Still there** (0)"]
    wrong = [one for one in still if one.verdict == "not met"]
    cells = [
        f"{sum(one.severity == 'hazard' for one in wrong):,} can hurt someone",
        counted(sum(one.severity != "hazard" for one in wrong), "correction likely", "corrections likely"),
        f"{len(still) - len(wrong):,} not recorded",
    ]
    told = [escape(one.title, 80) for one in still]
    return [f"- **Still there** ({len(still)}): {', '.join(cells)}. First: {_and_more(list(dict.fromkeys(told)), 2)}"]


def _aside(now: Checked) -> list[str]:
    if not heading(now.set_aside):
        return []
    groups = [one.words for one in asides(now.set_aside)]
    groups += [f"lapsed: {one.words}" for one in asides(now.set_aside, "lapsed")]
    return [f"- **Set aside**: {heading(now.set_aside)}: {_and_more([escape(one) for one in groups])}"]


def _and_more(told: Iterable[str], shown: int = NAMED) -> str:
    """Escaped texts with semicolons between them; after some the number that is left."""
    texts = list(told)
    more = f"; and {len(texts) - shown:,} more" if len(texts) > shown else ""
    return "; ".join(texts[:shown]) + more


def as_text(changes: Changes) -> str:
    """What turned, in a few plain lines for a terminal."""
    before = changes.before
    against = f" AGAINST {clean(before.name, 80)}" if before is not None and before.name else ""
    cells = [
        (changes.by_job, "new because the job changed"),
        (changes.by_rules, "new because the rules changed"),
        (changes.gone, "gone"),
        (changes.still, "still there"),
    ]
    lines = [f"WHAT TURNED{against}", *(f"  {len(found):>5,} {words}" for found, words in cells)]
    for mark, found in (("new", changes.by_job), ("by rules", changes.by_rules)):
        for entry in fold(found):
            names = listed((clean(one.element, 60) for one in entry.findings), NAMED)
            lines.append(f"  {mark}: {clean(entry.first.title, 120)}: {names}")
    for one in changes.gone:
        lines.append(f"  gone: {clean(one.known.title, 120)}: {clean(one.known.element, 60)} ({clean(one.why, 80)})")
    return "\n".join(lines) + "\n"
