"""The JSON form and its schema: valid, in step both ways, the same for the same check."""

from __future__ import annotations

import dataclasses
import json
from pathlib import Path
from typing import Any, get_args, get_type_hints

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from oktocover.findings.checked import Blank, Checked, SetAside, Visit
from oktocover.findings.finding import Comparison, Finding, FindingPlace, Missing, Step
from oktocover.reports.json_form import as_object, dumps

from . import samples
from .strategies import CHECKS

SCHEMA = json.loads((Path(__file__).parents[2] / "schemas" / "findings.schema.json").read_text("utf-8"))
VALIDATOR = Draft202012Validator(SCHEMA)


def test_the_schema_is_a_schema() -> None:
    Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize(
    "checked", [samples.SHOP, samples.READY_SHOP, samples.UNRECORDED_SHOP, samples.EMPTY])
@pytest.mark.parametrize("every", [False, True])
def test_what_is_written_is_valid(checked: Checked, every: bool) -> None:
    VALIDATOR.validate(json.loads(dumps(checked, every)))


@given(CHECKS, st.booleans())
@settings(max_examples=60, deadline=None)
def test_any_site_gives_valid_clean_json_and_the_same_again(checked: Checked, every: bool) -> None:
    text = dumps(checked, every)
    VALIDATOR.validate(json.loads(text))
    text.encode("utf-8")
    assert not any(ord(char) < 32 and char != "\n" for char in text)
    assert "\\u00" not in text
    assert dumps(checked, every) == text


def _objects(node: Any) -> list[dict[str, Any]]:
    if isinstance(node, list):
        return [one for part in node for one in _objects(part)]
    if not isinstance(node, dict):
        return []
    mine = [node] if node.get("type") == "object" else []
    return mine + [one for part in node.values() for one in _objects(part)]


def test_every_object_of_the_schema_is_closed_complete_and_described() -> None:
    objects = _objects(SCHEMA)
    assert len(objects) == 16
    for one in objects:
        assert one["additionalProperties"] is False
        assert set(one["required"]) == set(one["properties"])
        for name, about in one["properties"].items():
            assert about.get("description") or "$ref" in about, name


@pytest.mark.parametrize(("definition", "kind", "added", "renamed"), [
    ("finding", Finding, {"identity", "open"}, {}),
    ("missing", Missing, set(), {}),
    ("step", Step, set(), {}),
    ("comparison", Comparison, set(), {}),
    ("place", FindingPlace, set(), {}),
    ("blank", Blank, set(), {}),
    ("visit", Visit, set(), {"name": "visit"}),
    ("set_aside", SetAside, set(), {}),
])
def test_schema_and_dataclass_have_the_same_keys(
    definition: str, kind: type[Any], added: set[str], renamed: dict[str, str]
) -> None:
    fields = {renamed.get(one.name, one.name) for one in dataclasses.fields(kind)} | added
    assert set(SCHEMA["$defs"][definition]["properties"]) == fields


def test_schema_and_check_have_the_same_keys() -> None:
    renamed = {"visits": "ready"}
    fields = {renamed.get(one.name, one.name) for one in dataclasses.fields(Checked)}
    assert set(SCHEMA["properties"]) == fields | {"format", "exit_code", "counts"}
    assert list(as_object(samples.SHOP)) == list(SCHEMA["properties"])


@pytest.mark.parametrize(("definition", "key", "kind"), [
    ("finding", "verdict", Finding), ("finding", "severity", Finding), ("visit", "state", Visit),
    ("set_aside", "state", SetAside),
])
def test_schema_and_dataclass_have_the_same_words(definition: str, key: str, kind: type[Any]) -> None:
    words = get_args(get_type_hints(kind)[key])
    assert SCHEMA["$defs"][definition]["properties"][key]["enum"] == list(words)


def test_only_what_is_open_is_told_unless_everything_is_asked_for() -> None:
    def verdicts(every: bool) -> set[str]:
        return {one["verdict"] for one in as_object(samples.SHOP, every)["findings"]}

    assert verdicts(False) == {"not met", "not recorded"}
    assert verdicts(True) == {"not met", "not recorded", "met", "does not apply"}


def test_counts_are_of_the_visit_whatever_is_told() -> None:
    counts = as_object(samples.SHOP)["counts"]
    assert counts["by_verdict"] == {"met": 1, "not_met": 7, "not_recorded": 11, "does_not_apply": 1}
    assert counts["by_severity"] == {"hazard": 2, "correction": 4, "advisory": 1}


def test_line_ends_of_a_closing_line_are_kept() -> None:
    two = samples.finding(verdict="not met", close_with="box:\n  volume: 20 cu in")
    told = as_object(dataclasses.replace(samples.SHOP, findings=(two,)))["findings"][0]
    assert told["close_with"] == "box:\n  volume: 20 cu in"


def test_a_distance_that_is_nowhere_is_null() -> None:
    far = samples.finding(verdict="not met", where=("studio", "east", float("inf")))
    told = as_object(dataclasses.replace(samples.SHOP, findings=(far,)))["findings"][0]
    assert told["where"] == {"room": "studio", "wall": "east", "distance": None}
