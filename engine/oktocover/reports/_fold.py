"""One cause is one finding with its places: findings folded for people to read."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from oktocover.findings.checked import Blank
from oktocover.findings.finding import Finding
from oktocover.reports._plain import clean, listed, plural


@dataclass(frozen=True, slots=True)
class Entry:
    """Findings of one rule that say the same of several subjects."""

    findings: tuple[Finding, ...]

    @property
    def first(self) -> Finding:
        """The finding that is told; the others differ from it in their place alone."""
        return self.findings[0]


def _cause(finding: Finding) -> tuple[object, ...]:
    return (
        finding.rule,
        finding.stage,
        finding.verdict,
        finding.severity,
        finding.settled,
        finding.closer_than_tape,
        finding.measured,
        finding.required,
        finding.margin,
        finding.comparisons,
        finding.remedy,
        finding.close_with,
        finding.citation,
        finding.alternate,
        finding.exception,
        finding.note,
        finding.known_by,
        tuple((one.kind, one.fact) for one in finding.missing),
    )


def fold(findings: Iterable[Finding]) -> list[Entry]:
    """Entries in the order of their first finding."""
    groups: dict[tuple[object, ...], list[Finding]] = {}
    for finding in findings:
        groups.setdefault(_cause(finding), []).append(finding)
    return [Entry(tuple(group)) for group in groups.values()]


def subject(finding: Finding) -> str:
    """Where to stand: the label, after the element's id where the label does not say it."""
    label, element = clean(finding.label, 160), clean(finding.element, 60)
    said = re.search(rf"(?<!\w){re.escape(element)}(?!\w)", label)
    own_id = finding.element in finding.elements
    return listed([element, label]) if not label or (own_id and not said) else label


def lines_of(findings: Iterable[Finding]) -> str:
    """The places as `site.yaml:74, 81  walls.yaml:9`: each file once, all its lines."""
    files: dict[str, list[int]] = {}
    for finding in findings:
        if finding.place is not None:
            files.setdefault(clean(finding.place.file), []).append(finding.place.line)
    return "  ".join(f"{file}:{listed(str(line) for line in sorted(lines))}" for file, lines in files.items())


@dataclass(frozen=True, slots=True)
class Answer:
    """One fact that several elements lack, as one line to ask."""

    fact: str
    kind: str
    found_by: str
    blanks: tuple[Blank, ...]

    @property
    def elements(self) -> tuple[str, ...]:
        """Every element that lacks the fact, each once."""
        return tuple(
            dict.fromkeys(one for blank in self.blanks for one in (blank.elements or (blank.missing.element,)))
        )

    @property
    def asked(self) -> frozenset[tuple[str, str]]:
        """The element and fact of each thing that this answer would record."""
        return frozenset(
            (element, blank.missing.fact)
            for blank in self.blanks
            for element in (*blank.elements, blank.missing.element)
        )

    @property
    def settles(self) -> frozenset[str]:
        """Identities of the findings that wait for it, alone or with others."""
        return frozenset(one for blank in self.blanks for one in blank.settles)

    @property
    def words(self) -> str:
        """`box volume of B-3` for one element, `box volume (5 boxes)` for several, `described: fuel gas`."""
        fact, kind = clean(self.fact, 110), clean(self.kind.replace("_", " "), 40)
        if self.blanks[0].missing.path[:1] == ("described",):
            return f"described: {fact}"
        of = ": " if kind == "record" else " of "
        kind = "" if kind == "record" else kind
        name = fact if not kind or re.search(rf"\b{re.escape(kind)}", fact) else f"{kind} {fact}"
        elements = self.elements
        if len(elements) == 1:
            element = clean(elements[0], 60)
            return name if not element or element == kind else f"{name}{of}{element}"
        return f"{name} ({len(elements):,} {plural(kind) if kind else 'places'})"


def answers(blanks: Iterable[Blank]) -> list[Answer]:
    """Blanks of one fact of one kind folded; those that most findings wait for come first."""
    groups: dict[tuple[str, str, str], list[Blank]] = {}
    for blank in blanks:
        missing = blank.missing
        groups.setdefault((missing.kind, missing.fact, missing.found_by), []).append(blank)
    folded = [Answer(fact, kind, by, tuple(group)) for (kind, fact, by), group in groups.items()]
    return sorted(folded, key=lambda answer: -len(answer.settles))


def settled_by(chosen: Iterable[Answer], waiting: Iterable[Finding]) -> int:
    """How many of the waiting findings these answers settle together: those that lack nothing besides."""
    chosen = list(chosen)
    asked = frozenset[tuple[str, str]]().union(*(answer.asked for answer in chosen))
    named = frozenset[str]().union(*(answer.settles for answer in chosen))
    return sum(
        one.identity in named and all((need.element, need.fact) in asked for need in one.missing) for one in waiting
    )
