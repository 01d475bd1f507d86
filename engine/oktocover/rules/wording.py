"""What a finding says beside its figures: where to stand, and the line that closes it."""

from __future__ import annotations

from oktocover.findings.finding import Missing
from oktocover.measures import registry
from oktocover.measures.subject import Subject
from oktocover.rules.evaluate import Judged


def label(subject: Subject) -> str:
    """The subject in words: `soffit K-5, washroom, north wall`. One that was made with words of its own keeps them."""
    if subject.label != subject.id or subject.kind not in registry.kinds():
        return subject.label
    kind = subject.kind.replace("_", " ")
    what = subject.exact("what") if "what" in registry.kinds()[subject.kind].facts else None
    named = what if isinstance(what, str) and what != "other" and not any(c.isdigit() for c in what) else kind
    room, side, _ = subject.where
    return ", ".join(part for part in (f"{named} {subject.id}", room, f"{side} wall" if side else "") if part)


def close_with(judged: Judged, text: str) -> str:
    """The line that closes a finding: the rule's own, or for what is not recorded the fact that is missing."""
    if judged.item.record is not None and judged.verdict != "met":
        return _record_line(judged.name, judged.subject.id)
    if judged.verdict != "not recorded" or not judged.missing:
        return text
    first = judged.missing[0]
    if first.kind == "record":
        return _record_line(str(first.path[-1]), first.element)
    return _fact_line(first, judged.subject.id) or text


def _record_line(name: str, element: str) -> str:
    return f"records: [{{for: {name}, element: {element}, answer: yes, by: <initials>, day: <date>}}]"


def _fact_line(missing: Missing, subject: str) -> str:
    """`lot line: <what it is>`, with the entry it belongs to where that is another one; empty for lists and systems."""
    about = registry.fact_type(missing.kind, missing.fact.replace(" ", "_")) if missing.kind else None
    if about is None or missing.kind == "site" or not missing.path or missing.path[-1] != missing.fact:
        return ""
    line = f"{missing.fact}: <{'yes or no' if about.form == 'yes or no' else about.means or 'what it is'}>"
    return line if missing.element == subject else f"{missing.element}: {{{line}}}"
