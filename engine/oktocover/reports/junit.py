"""JUnit XML for CI: one suite a visit, one case a rule and subject.

There is no one standard; this keeps to what the strictest readers accept: `properties` first, no `skipped`
on `testsuites`, a case known by `classname` (the rule) and `name` (the subject), plain text in `skipped`.
"""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Sequence

from oktocover.findings.checked import READY, Checked
from oktocover.findings.finding import Finding
from oktocover.reports._entries import figures
from oktocover.reports._fold import subject
from oktocover.reports._plain import clean, clean_lines, listed
from oktocover.reports._words import ANSWERED, CLOSING, SEVERITY, VERDICT, found_by


def dumps(checked: Checked) -> str:
    """The check's own visit (each visit in turn for 'all') as JUnit XML text.

    A correction likely or a hazard is a failure. Not recorded, an advisory and what the official answered
    in writing are skipped, each with its reason; what does not apply is left out. Each suite has a case of
    its own for the visit, skipped until it is ready to call, so that an almost empty file shows no clean one.
    """
    top = ET.Element("testsuites", name="oktocover")
    names = [checked.visit]
    if checked.visit == "all":
        visits, stages = (one.name for one in checked.visits), (one.stage for one in checked.findings)
        names = list(dict.fromkeys([*visits, *stages]))
    tests = failures = 0
    for name in names:
        suite = _suite(checked, name)
        top.append(suite)
        tests += int(suite.get("tests", "0"))
        failures += int(suite.get("failures", "0"))
    top.set("tests", str(tests))
    top.set("failures", str(failures))
    top.set("errors", "0")
    ET.indent(top)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ET.tostring(top, encoding="unicode") + "\n"


def _suite(checked: Checked, name: str) -> ET.Element:
    found = [one for one in checked.of_visit(name) if one.verdict != "does not apply"]
    cases = [_visit_case(checked, name, found), *(_case(one) for one in found)]
    failures = sum(case.find("failure") is not None for case in cases)
    skipped = sum(case.find("skipped") is not None for case in cases)
    suite = ET.Element(
        "testsuite",
        name=clean(name) or "visit",
        tests=str(len(cases)),
        failures=str(failures),
        errors="0",
        skipped=str(skipped),
    )
    properties = ET.SubElement(suite, "properties")
    for key, value in (
        ("site", checked.site),
        ("file", checked.file),
        ("today", checked.today),
        ("jurisdiction", checked.jurisdiction),
        ("in force", listed(one.name for one in checked.in_force)),
        ("about", CLOSING),
    ):
        ET.SubElement(properties, "property", name=key, value=clean(value))
    suite.extend(cases)
    return suite


def _visit_case(checked: Checked, name: str, found: Sequence[Finding]) -> ET.Element:
    """The visit itself: its findings fail in their own cases, here it is only said that it is not ready."""
    case = ET.Element("testcase", classname="visit", name=clean(name) or "visit")
    told = next((one for one in checked.visits if one.name == name), None)
    waiting = sum(one.open for one in found)
    stops = told.stops if told else 0
    state = told.state if told else "ready to call" if checked.exit_code == READY else "not recorded"
    met = any(one.verdict == "met" for one in found)
    aside = sum(bool(one.set_aside) for one in found)
    if state == "signed" and not waiting:
        return case
    if state != "ready to call" or waiting or stops or aside or not met:
        text = f"not ready to call: {waiting} open, {stops} that stop the visit"
        text += f", {aside} set aside" if aside else ""
        ET.SubElement(case, "skipped").text = text if met else f"{text}, nothing meets yet"
    return case


def _case(finding: Finding) -> ET.Element:
    rule, element = clean(finding.rule) or "rule", clean(finding.element) or "subject"
    case = ET.Element("testcase", classname=rule, name=element)
    if finding.verdict == "not met" and finding.open:
        failure = ET.SubElement(case, "failure", message=_headline(finding), type=finding.severity)
        failure.text = _text(finding)
    elif finding.verdict != "met":
        ET.SubElement(case, "skipped").text = _reason(finding)
    return case


def _headline(finding: Finding) -> str:
    told = figures(finding.measured, finding.required, finding.margin)
    parts = (f"{clean(finding.title, 200)}: {subject(finding)}", told or VERDICT[finding.verdict])
    return "; ".join(parts)


def _reason(finding: Finding) -> str:
    if finding.alternate:
        why = f"{ANSWERED}: {clean(finding.alternate, 300)}"
    elif finding.set_aside:
        why = f"set aside {clean(finding.set_aside, 300)}"
    elif finding.verdict == "not recorded":
        lacking = "; ".join(
            f"{clean(one.fact, 80)} of {clean(one.element, 60)} ({clean(found_by(one.found_by), 40)})"
            for one in finding.missing
        )
        why = f"not recorded: {lacking}" if lacking else "not recorded"
        if finding.settled:
            why += "; no answer can turn it into 'does not meet'"
    else:
        why = SEVERITY[finding.severity]
    return f"{why}; {_headline(finding)}" if finding.verdict == "not met" else why


def _text(finding: Finding) -> str:
    """Citation, remedy, closing line and place, a line each."""
    place = finding.place
    lines = [
        SEVERITY[finding.severity],
        clean(finding.citation, 300),
        *(f"as changed by {clean(one, 200)}" for one in finding.amended_by),
        clean(finding.remedy, 500),
        *(f"close it with  {line}" for line in clean_lines(finding.close_with)),
    ]
    if finding.closer_than_tape:
        lines.append("closer than a tape can tell, measure again")
    if finding.also_touches:
        lines.append(f"also touches: {listed(clean(one, 120) for one in finding.also_touches)}")
    if place:
        lines.append(f"{clean(place.file)}:{place.line}:{place.column}")
    return "\n".join(line for line in lines if line)
