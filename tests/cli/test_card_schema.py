"""The card's JSON follows its schema, on every shipped site; and the schema refuses what is no card."""

from __future__ import annotations

import copy
import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner

from oktocover.cli.main import group

ROOT = Path(__file__).resolve().parents[2]
SCHEMA = json.loads((ROOT / "schemas" / "card.schema.json").read_text(encoding="utf-8"))
CHECKER = jsonschema.Draft202012Validator(SCHEMA)


def card(site: Path) -> dict[str, Any]:
    done = CliRunner().invoke(group, ["card", str(site), "--format", "json", "--today", "2026-06-15"])
    assert done.exit_code in (0, 1, 3), done.output
    told: dict[str, Any] = json.loads(done.stdout)
    return told


@pytest.mark.parametrize("name", ["ceramics-studio", "short-shop"])
def test_the_card_follows_its_schema(name: str) -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    told = card(ROOT / "examples" / name / "site.yaml")
    assert list(CHECKER.iter_errors(told)) == []
    assert told["visits"] and any(one["holds"] for one in told["visits"])


def test_the_schema_refuses_what_is_no_card(tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text(
        "site: Shed\ncorrections: [{visit: final, what: a slip, given: 2026-06-10}]\n", encoding="utf-8"
    )
    told = card(tmp_path / "site.yaml")
    assert told["corrections"] and list(CHECKER.iter_errors(told)) == []
    for break_it in (
        lambda one: one.pop("next"),
        lambda one: one.update(more="x"),
        lambda one: one["visits"][0].update(state="passed"),
        lambda one: one["visits"][0].update(not_met=-1),
        lambda one: one["corrections"][0].pop("open"),
        lambda one: one.update(exit_code=7),
    ):
        broken = copy.deepcopy(told)
        break_it(broken)
        assert list(CHECKER.iter_errors(broken)), break_it
