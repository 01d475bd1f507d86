"""What is new, gone and still there in one visit, against the findings before; what rules did apart from what the job did."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from oktocover.check import ALL_VISITS
from oktocover.findings.checked import Checked
from oktocover.findings.finding import Finding
from oktocover.reading.problems import InputProblems, Problem
from oktocover.reports._plain import clean
from oktocover.reports._words import VERDICT
from oktocover.rules.fingerprints import changed_since

FORMAT = 1
"""The format of findings as JSON that can be read back."""
MOST_BYTES = 100_000_000


@dataclass(frozen=True, slots=True)
class Known:
    """A finding before, as far as it is told."""

    identity: str
    rule: str
    title: str
    element: str
    severity: str
    verdict: str
    stage: str


@dataclass(frozen=True, slots=True)
class Before:
    """What was open before."""

    name: str
    """What it was read from."""
    today: str
    findings: Mapping[str, Known]
    rules: Mapping[str, str] = field(default_factory=dict)
    """What each rule said then; empty: not known."""


@dataclass(frozen=True, slots=True)
class Gone:
    """A finding that holds nothing up any more."""

    known: Known
    why: str


@dataclass(frozen=True, slots=True)
class Changes:
    """The open findings of a visit, by what they are beside those before, in the order in which they are told."""

    now: Checked
    before: Before | None
    by_job: tuple[Finding, ...]
    by_rules: tuple[Finding, ...]
    still: tuple[Finding, ...]
    gone: tuple[Gone, ...]
    rules: tuple[tuple[str, str], ...]
    """Rules that are not as they were: `changed`, `new` or `gone`."""
    since: str = ""
    """The day since when rules have changed, where it is known."""


def compare(
    now: Checked,
    before: Before | None,
    pinned: Mapping[str, str] | None = None,
    under_old: Checked | None = None,
    since: str = "",
) -> Changes:
    """Compare the visit of a check with what was open before.

    `pinned`: what each rule said when the rules of the job were pinned, where the findings before were made with the rules
    of today. `under_old`: this very site under the rules before. A finding that is new, by a rule that is not as it was,
    is new because the rules changed, unless the rule as it was finds it too.
    """
    old = before.rules if before is not None and before.rules else {}
    turned = dict(changed_since(old, now.rules)) if old else {}
    repinned = dict(changed_since(pinned, now.rules)) if pinned else {}
    waiting = [one for one in now.of_visit() if one.open]
    heads: dict[str, list[Finding]] = {"by_job": [], "by_rules": [], "still": []}
    for one in waiting:
        heads[_head(one, before, turned, repinned, under_old)].append(one)
    return Changes(
        now=now,
        before=before,
        by_job=tuple(heads["by_job"]),
        by_rules=tuple(heads["by_rules"]),
        still=tuple(heads["still"]),
        gone=tuple(_gone(now, before, {one.identity for one in waiting})) if before is not None else (),
        rules=tuple({**repinned, **turned}.items()),
        since=since,
    )


def _head(
    one: Finding,
    before: Before | None,
    turned: Mapping[str, str],
    repinned: Mapping[str, str],
    under_old: Checked | None,
) -> str:
    if before is None:
        return "by_rules" if _rule_of(one, repinned) else "still"
    known = before.findings.get(one.identity)
    if known is not None and (known.verdict == "not met" or one.verdict != "not met"):
        return "by_rules" if _rule_of(one, repinned) else "still"
    if not _rule_of(one, turned):
        return "by_job"
    found_then = under_old is not None and any(
        then.identity == one.identity and then.open and then.verdict == one.verdict for then in under_old.findings
    )
    return "by_job" if found_then else "by_rules"


def _rule_of(one: Finding, rules: Mapping[str, str]) -> bool:
    """Whether the finding is of one of these rules, or of an item of it."""
    return one.rule in rules or one.rule.rpartition(".")[0] in rules


def _gone(now: Checked, before: Before, waiting: set[str]) -> Iterator[Gone]:
    today = {one.identity: one for one in now.findings}
    for identity, known in before.findings.items():
        if identity not in waiting and now.visit in (ALL_VISITS, known.stage):
            yield Gone(known, _why_gone(known, today.get(identity), now))


def _why_gone(known: Known, finding: Finding | None, now: Checked) -> str:
    if finding is None:
        rules = now.rules
        gone = rules and known.rule not in rules and known.rule.rpartition(".")[0] not in rules
        return "the rule is not in force any more" if gone else "not asked any more"
    if finding.alternate:
        return "answered in writing"
    if finding.set_aside:
        return "set aside"
    if finding.open:
        return f"asked at {finding.stage}"
    return VERDICT[finding.verdict] if finding.verdict in ("met", "does not apply") else "not asked any more"


def known_of(checked: Checked, name: str) -> Before:
    """The open findings of a check, and those that are set aside, as what was known before."""
    found = (one for one in checked.findings if one.open or one.set_aside)
    return Before(name, checked.today, _by_identity(map(_known, found)), checked.rules)


def _known(one: Finding) -> Known:
    return Known(one.identity, one.rule, one.title, one.element, one.severity, one.verdict, one.stage)


def _by_identity(found: Iterable[Known]) -> dict[str, Known]:
    return {one.identity: one for one in found}


def read_before(path: Path, visit: str) -> Before:
    """The findings of an earlier check, from its JSON. InputProblems: it is none, or of another visit alone."""
    try:
        if path.stat().st_size > MOST_BYTES:
            raise _no_findings(path, "it is too large")
        data = json.loads(path.read_bytes())
    except (ValueError, RecursionError):
        raise _no_findings(path, "it is no JSON") from None
    if not isinstance(data, dict) or not isinstance(data.get("findings"), list):
        raise _no_findings(path, "it holds no findings")
    if data.get("format") != FORMAT:
        raise _no_findings(path, f"its format is {clean(str(data.get('format')), 20)}, not {FORMAT}")
    known = [one for told in data["findings"] if isinstance(told, dict) for one in _read(told)]
    stages, of = {one.stage for one in known}, str(data.get("visit") or "")
    if visit not in (ALL_VISITS, of) and stages == {of}:
        raise _no_findings(path, f"it is of '{clean(of, 60)}' alone, not of '{visit}': make it without --for")
    rules = [one.rpartition(" ") for one in data.get("rules") or () if isinstance(one, str)]
    today = clean(str(data.get("today") or ""), 20)
    return Before(path.name, today, _by_identity(known), {name: says for name, _, says in rules})


def _read(told: Mapping[str, Any]) -> Iterator[Known]:
    words = {name: told.get(name) for name in Known.__dataclass_fields__}
    if all(isinstance(one, str) for one in words.values()) and (told.get("open") is True or told.get("set_aside")):
        yield Known(**{name: str(word) for name, word in words.items()})


def _no_findings(path: Path, why: str) -> InputProblems:
    do = "make them with: oktocover check SITE --format json > before.json; or name the site as it was"
    return InputProblems([Problem(None, f"'{path}' are no findings to compare with: {why}", do=do)])
