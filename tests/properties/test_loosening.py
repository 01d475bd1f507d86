"""A looser limit never adds a 'not met': raising what is a most, or lowering what is a least, only helps."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from sites import EXAMPLES, LIBRARY, data_of, judged

from oktocover.rules.form import Rule
from oktocover.rules.limits import Limit
from oktocover.rules.scope import LimitLeaf


def loosenings(rule: Rule) -> Iterator[tuple[Limit, bool]]:
    """Limits that stand alone on the right of a comparison, and whether raising them loosens."""
    for node in rule.body.walk():
        tree = node.require.tree if node.require else None
        if node.require is None or not isinstance(tree, ast.Compare) or len(tree.ops) != 1:
            continue
        right = tree.comparators[0]
        leaf = node.require.leaves.get(right.id) if isinstance(right, ast.Name) else None
        if (
            isinstance(leaf, LimitLeaf)
            and leaf.limit.cell is not None
            and isinstance(leaf.limit.cell.value, (int, Fraction))
        ):
            if isinstance(tree.ops[0], (ast.Lt, ast.LtE)):
                yield leaf.limit, True
            elif isinstance(tree.ops[0], (ast.Gt, ast.GtE)):
                yield leaf.limit, False


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_loosening_a_limit_never_adds_a_finding(path: Path) -> None:
    data = data_of(path)
    permit: dict[str, Any] = data.get("permit") or {}
    adopted = LIBRARY.adopt(permit.get("jurisdiction"), list(permit.get("standards") or ()), path.parent)
    before = {(one.rule, one.element) for one in judged(data, adopted).findings if one.verdict == "not met"}
    tried = 0
    for rule in list(adopted.rules.rules()):
        for limit, raising in loosenings(rule):
            assert limit.cell is not None
            kept = limit.cell.value
            limit.cell.value = kept * 2 if raising else kept / Fraction(2)
            after = {(one.rule, one.element) for one in judged(data, adopted).findings if one.verdict == "not met"}
            limit.cell.value = kept
            tried += 1
            assert after <= before, f"loosening {rule.id} {limit.name} added {after - before}"
    assert tried > 20
