"""The findings as JSON, for other programs; schemas/findings.schema.json describes it key by key."""

from __future__ import annotations

import dataclasses
import json
import math
from collections.abc import Iterable
from typing import Any, Final, get_args

from oktocover.findings.checked import Blank, Checked, Visit
from oktocover.findings.finding import Finding, Severity, Verdict
from oktocover.reports._plain import clean, clean_lines

FORMAT: Final = 1
"""Raised when a key goes or changes its meaning; new keys do not raise it."""


def as_object(checked: Checked, every: bool = False, all_visits: bool = False) -> dict[str, Any]:
    """The check as plain JSON values, the same for the same check, keys in a fixed order.

    Findings of the check's own visit that do not meet or are not recorded; with `every`, all verdicts of it. With
    `all_visits`, those of every visit, each with its `stage`; the exit code is that of the check's own visit still.
    """
    findings = checked.findings if all_visits else checked.of_visit()
    chosen = [one for one in findings if every or one.verdict in ("not met", "not recorded")]
    return {
        "format": FORMAT,
        "site": clean(checked.site),
        "file": clean(checked.file),
        "today": clean(checked.today),
        "jurisdiction": clean(checked.jurisdiction),
        "in_force": [{"name": clean(one.name), "by": clean(one.by)} for one in checked.in_force],
        "checked_by": clean(checked.checked_by),
        "visit": clean(checked.visit),
        "exit_code": checked.exit_code,
        "counts": _counts(findings),
        "ready": [_visit(one) for one in checked.visits],
        "findings": [finding_object(one) for one in chosen],
        "blanks": [_blank(one) for one in checked.blanks],
        "rests_on": _texts(checked.rests_on),
        "not_described": _texts(checked.not_described),
        "eye_only": checked.eye_only,
        "not_checked_here": _texts(checked.not_checked_here),
        "struck_here": _texts(checked.struck_here),
        "warnings": _texts(checked.warnings),
        "set_aside": plain(checked.set_aside),
        "rules": [f"{clean(name)} {says}" for name, says in checked.rules.items()],
    }


def dumps(checked: Checked, every: bool = False, all_visits: bool = False) -> str:
    """`as_object` as text: two spaces a level, UTF-8 letters as they are, a line end at the end."""
    return json.dumps(as_object(checked, every, all_visits), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def finding_object(finding: Finding) -> dict[str, Any]:
    """One finding: every field of it, its identity, and whether it holds up the visit."""
    room, wall, distance = finding.where
    told = {field.name: plain(getattr(finding, field.name)) for field in dataclasses.fields(finding)}
    told["where"] = {
        "room": clean(room),
        "wall": clean(wall),
        "distance": distance if math.isfinite(distance) else None,
    }
    return {"identity": finding.identity, "open": finding.open, **told}


def plain(value: Any) -> Any:
    """Dataclasses, tuples and texts as JSON values; every text cleaned, its line ends kept."""
    if isinstance(value, str):
        return "\n".join(clean_lines(value)) if "\n" in value else clean(value)
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
    if isinstance(value, (tuple, list)):
        return [plain(one) for one in value]
    return value


def _texts(texts: Iterable[str]) -> list[str]:
    return [clean(one) for one in texts]


def _counts(findings: Iterable[Finding]) -> dict[str, dict[str, int]]:
    """All verdicts of the visit, and what does not meet by how bad it is."""
    verdicts = {str(name).replace(" ", "_"): 0 for name in get_args(Verdict)}
    severities = {str(name): 0 for name in get_args(Severity)}
    for one in findings:
        verdicts[one.verdict.replace(" ", "_")] += 1
        if one.verdict == "not met":
            severities[one.severity] += 1
    return {"by_verdict": verdicts, "by_severity": severities}


def _visit(visit: Visit) -> dict[str, Any]:
    told: dict[str, Any] = plain(visit)
    return {"visit": told.pop("name"), **told}


def _blank(blank: Blank) -> dict[str, Any]:
    told: dict[str, Any] = plain(blank)
    return told
