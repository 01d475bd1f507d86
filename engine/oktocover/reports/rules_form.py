"""What is in force here and where it comes from, and how a ruleset proved itself: as text and as JSON."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from oktocover.reports._plain import clean, counted, wrap
from oktocover.reports._words import SEVERITY
from oktocover.reports.json_form import plain

WIDTH = 80


@dataclass(frozen=True, slots=True)
class LimitRow:
    """One number, list or table of a rule, as it is in force."""

    name: str
    value: str
    from_: str
    """Which book, edition or town it comes from."""


@dataclass(frozen=True, slots=True)
class RuleRow:
    """One rule as it is in force."""

    id: str
    title: str
    trade: str
    stage: str
    severity: str
    citation: str
    limits: tuple[LimitRow, ...] = ()


@dataclass(frozen=True, slots=True)
class ProofRow:
    """How one rule came through its own cases and through having each of its names and numbers changed."""

    rule: str
    cases_run: int
    failed: tuple[str, ...] = ()
    """Cases that gave another verdict than they say."""
    limits_proven: int = 0
    not_proven: tuple[str, ...] = ()
    """Names and numbers that may be struck or nudged without turning any case."""

    @property
    def proven(self) -> bool:
        """Whether the rule has cases, all come out as written, and every name of it turns one."""
        return self.cases_run > 0 and not self.failed and not self.not_proven


def rules_text(rows: Sequence[RuleRow], width: int = WIDTH) -> str:
    """The rules, each with its section and limits; the number of them last."""
    lines: list[str] = []
    for row in rows:
        severity = SEVERITY.get(row.severity, clean(row.severity, 40))
        lines += wrap(f"{clean(row.id, 200)}  {clean(row.title, 300)}", width, "", "    ")
        about = (clean(row.citation, 300), clean(row.trade, 60), clean(row.stage, 60), severity)
        lines += wrap("; ".join(part for part in about if part), width, "    ")
        for limit in row.limits:
            text = f"{clean(limit.name, 120)}: {clean(limit.value, 400)}"
            text += f", from {clean(limit.from_, 200)}" if limit.from_ else ""
            lines += wrap(text, width, "      ", "        ")
    return "\n".join([*lines, counted(len(rows), "rule")]) + "\n"


def rules_object(rows: Sequence[RuleRow]) -> dict[str, Any]:
    """The rules as plain JSON values."""
    return {"rules": [_rule_object(row) for row in rows]}


def rules_json(rows: Sequence[RuleRow]) -> str:
    """`rules_object` as text."""
    return json.dumps(rules_object(rows), indent=2, ensure_ascii=False) + "\n"


def _rule_object(row: RuleRow) -> dict[str, Any]:
    told = {field.name: plain(getattr(row, field.name)) for field in dataclasses.fields(row)}
    told["limits"] = [
        {"name": clean(one.name), "value": clean(one.value), "from": clean(one.from_)} for one in row.limits
    ]
    return told


def proof_text(rows: Sequence[ProofRow], width: int = WIDTH) -> str:
    """What is not proven, rule by rule, then the totals."""
    lines: list[str] = []
    for row in rows:
        if row.proven:
            continue
        name = clean(row.rule, 200)
        if not row.cases_run:
            lines += wrap(f"{name}: no case", width, "", "    ")
        for case in row.failed:
            lines += wrap(f"{name}: comes out otherwise: {clean(case, 400)}", width, "", "    ")
        for one in row.not_proven:
            lines += wrap(f"{name}: turns no case: {clean(one, 400)}", width, "", "    ")
    proven = sum(row.proven for row in rows)
    cases, limits = sum(row.cases_run for row in rows), sum(row.limits_proven for row in rows)
    total = f"{proven:,} of {counted(len(rows), 'rule')} proven, by {counted(cases, 'case')}; "
    return "\n".join([*lines, *wrap(total + f"{counted(limits, 'limit')} proven", width)]) + "\n"


def proof_object(rows: Sequence[ProofRow]) -> dict[str, Any]:
    """The proof as plain JSON values."""
    return {
        "proven": sum(row.proven for row in rows),
        "rules": [{**plain(row), "proven": row.proven} for row in rows],
    }


def proof_json(rows: Sequence[ProofRow]) -> str:
    """`proof_object` as text."""
    return json.dumps(proof_object(rows), indent=2, ensure_ascii=False) + "\n"
