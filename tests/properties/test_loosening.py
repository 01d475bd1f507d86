"""A looser limit never adds a 'not met': raising what is a most, or lowering what is a least, only helps."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from sites import EXAMPLES, LIBRARY, data_of, read

from oktocover.check import Records, in_force, records_of
from oktocover.measures.view import SiteView
from oktocover.rules.evaluate import judge
from oktocover.rules.form import Rule
from oktocover.rules.library import Library
from oktocover.rules.limits import Limit
from oktocover.rules.scope import Env, LimitLeaf
from oktocover.site.declared import speaking


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


def failing(rule: Rule, view: SiteView, records: Records) -> set[tuple[str, str]]:
    """What of a rule is not met. A limit stands in one rule, so that no other can turn."""
    envs = (Env(subject, view.roots, records) for subject in view.of(rule.each))
    return {(one.name, one.subject.id) for env in envs for one in judge(rule, env, False) if one.verdict == "not met"}


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_loosening_a_limit_never_adds_a_finding(path: Path) -> None:
    data = data_of(path)
    permit: dict[str, Any] = data.get("permit") or {}
    made = read(data)
    view, records = SiteView(made.site, made.known), records_of(made.site)
    library = Library(LIBRARY.root)
    library.doubting = True  # limits are moved in place: none of them may be shared with another test
    adopted = in_force(
        made, library.adopt(permit.get("jurisdiction"), list(permit.get("standards") or ()), path.parent)
    )
    tried = 0
    with speaking(adopted.rules.declared):
        for rule in adopted.rules.rules():
            limits = list(loosenings(rule))
            before = failing(rule, view, records) if limits else set()
            for limit, raising in limits:
                assert limit.cell is not None
                kept = limit.cell.value
                limit.cell.value = kept * 2 if raising else kept / Fraction(2)
                after = failing(rule, view, records)
                limit.cell.value = kept
                tried += 1
                assert after <= before, f"loosening {rule.id} {limit.name} added {after - before}"
    assert tried > 20
