"""JUnit XML: the parts that the strictest readers ask for, and a reader of another make reading it back."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace

import junitparser
import pytest
from hypothesis import given, settings

from oktocover.findings.checked import Checked, Visit
from oktocover.reports.junit import dumps

from . import samples
from .strategies import CHECKS

ORDER = ["skipped", "error", "failure", "system-out", "system-err"]


def _readers_take(text: str) -> None:
    """The rules of the strictest public schema for CI (junit-team/junit5, jenkins-junit.xsd)."""
    top = ET.fromstring(text)
    assert top.tag == "testsuites"
    assert "skipped" not in top.attrib
    assert set(top.attrib) <= {"name", "time", "tests", "failures", "disabled", "errors"}
    for suite in top:
        assert suite.tag == "testsuite"
        assert suite.get("name")
        assert int(suite.get("tests", "")) == len(suite.findall("testcase"))
        assert int(suite.get("skipped", "")) == len(suite.findall("testcase/skipped"))
        assert int(suite.get("failures", "")) == len(suite.findall("testcase/failure"))
        assert [child.tag for child in suite][0] == "properties"
        for case in suite.findall("testcase"):
            assert case.get("name")
            assert case.get("classname")
            assert not {"file", "line"} & set(case.attrib)
            tags = [child.tag for child in case]
            assert tags == sorted(tags, key=ORDER.index)
            for skipped in case.findall("skipped"):
                assert not skipped.attrib
                assert skipped.text
            for failure in case.findall("failure"):
                assert set(failure.attrib) == {"message", "type"}
                assert "\n" not in failure.attrib["message"]


@given(CHECKS)
@settings(max_examples=60, deadline=None)
def test_whatever_the_site_holds_readers_take_it_and_it_is_the_same_again(checked: Checked) -> None:
    text = dumps(checked)
    _readers_take(text)
    assert dumps(checked) == text


def test_another_reader_reads_the_same_counts_back() -> None:
    _readers_take(dumps(samples.SHOP))
    suites = junitparser.JUnitXml.fromstring(dumps(samples.SHOP).encode())
    suite = next(iter(suites))
    cases = {(case.classname, case.name): case for case in suite}
    assert (suite.name, suite.tests, suite.failures, suite.skipped) == (samples.ROUGH, 20, 5, 14)
    kiln = cases["nec.kiln.cable", "C-06"]
    assert isinstance(kiln.result[0], junitparser.Failure)
    assert kiln.result[0].type == "hazard"
    assert kiln.result[0].text.splitlines()[-1] == "site.yaml:74:3"
    assert "Close it with".lower() in kiln.result[0].text
    assert cases["nec.tap.size", "C-01"].result == []
    assert isinstance(cases["nec.box.volume", "B-10"].result[0], junitparser.Skipped)


@pytest.mark.parametrize(("name", "why"), [
    ("nec.box.volume", "not recorded: volume of B-10 (label)"),
    ("practice.drop", "worth knowing; Voltage drop"),
    ("nec.depth", "answered by the official's written approval: office letter"),
])
def test_what_does_not_fail_a_job_is_skipped_with_its_reason(name: str, why: str) -> None:
    top = ET.fromstring(dumps(samples.SHOP))
    skipped = top.find(f".//testcase[@classname='{name}']/skipped")
    assert skipped is not None
    assert (skipped.text or "").startswith(why)


def test_what_does_not_apply_is_left_out() -> None:
    assert "nec.spacing" not in dumps(samples.SHOP)


def test_an_empty_site_shows_no_clean_suite() -> None:
    suite = ET.fromstring(dumps(samples.EMPTY))[0]
    assert suite.get("tests") == suite.get("skipped") == "1"
    assert "nothing meets yet" in (suite.findtext("testcase/skipped") or "")


def test_a_visit_that_is_ready_is_a_case_without_a_skip() -> None:
    suite = ET.fromstring(dumps(samples.READY_SHOP))[0]
    assert suite.get("skipped") == "0"
    visit = Visit(samples.ROUGH, "ready to call", 0, 0, 0, 0, stops=1)
    stopped = replace(samples.READY_SHOP, visits=(visit,))
    assert ET.fromstring(dumps(stopped))[0].get("skipped") == "1"


def test_every_visit_has_a_suite_when_all_are_asked_for() -> None:
    names = [suite.get("name") for suite in ET.fromstring(dumps(replace(samples.SHOP, visit="all")))]
    assert names == ["rough gas", "gas pressure test", samples.ROUGH, "fireblocking and seal", "final"]
