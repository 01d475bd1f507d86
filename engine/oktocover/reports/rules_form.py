"""What is in force here and where it comes from: as text and as JSON."""

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
