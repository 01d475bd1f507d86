"""SARIF 2.1.0 for code-scanning services: what does not meet, at its line in the site file.

Services that show results in a pull request ignore `kind` and show a result of any kind as an alert, so by
default there are only results that fail; open questions come on request. See OASIS SARIF 2.1.0 (errata 01).
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import PurePosixPath, PureWindowsPath
from typing import Any, Final
from urllib.parse import quote

from oktocover import __version__
from oktocover.findings.checked import Checked
from oktocover.findings.finding import Finding
from oktocover.reports._entries import figures
from oktocover.reports._fold import subject
from oktocover.reports._plain import clean
from oktocover.reports._words import ANSWERED, CLOSING, SEVERITY, found_by

SCHEMA: Final = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
LEVELS: Final = {"hazard": "error", "correction": "warning", "advisory": "note"}
MOST_RESULTS: Final = 25_000
"""Results a code-scanning upload may hold; more are cut, and the log says so."""
_TEXT = 1_000
"""Characters of a longer text; services refuse descriptions over 1,024."""


def as_sarif(checked: Checked, open_questions: bool = False, root: str = "") -> dict[str, Any]:
    """One SARIF log with one run: this check's visit.

    `open_questions` adds what is not recorded and still asked (kind `open`, level `none`). `root` is the
    folder that paths are told from; a full path outside of it is told by its file name alone, so that no
    folder names of a machine are published.
    """
    found = [one for one in checked.of_visit() if one.verdict == "not met" or (open_questions and _asked(one))]
    told = found[:MOST_RESULTS]
    books = list(dict.fromkeys(name for one in checked.in_force if (name := clean(one.name, 120))))
    taxonomies = {book: _taxa(book, told) for book in books}
    firsts = {one.rule: one for one in reversed(told)}
    indexes = {rule: at for at, rule in enumerate(sorted(firsts))}
    run: dict[str, Any] = {
        "tool": {
            "driver": {
                "name": "oktocover",
                "version": __version__,
                "rules": [_rule(firsts[rule], taxonomies) for rule in indexes],
            }
        },
        "columnKind": "unicodeCodePoints",
        "invocations": [_invocation(checked, len(found) - len(told))],
        "results": [_result(one, indexes[one.rule], checked, root, taxonomies) for one in told],
        "properties": {
            "site": clean(checked.site),
            "visit": clean(checked.visit),
            "today": clean(checked.today),
            "about": CLOSING,
        },
    }
    if books:
        run["tool"]["driver"]["supportedTaxonomies"] = [{"name": book} for book in books]
        run["taxonomies"] = [
            {"name": book, "taxa": [{"id": section} for section in taxa]} for book, taxa in taxonomies.items()
        ]
    return {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}


def dumps(checked: Checked, open_questions: bool = False, root: str = "") -> str:
    """`as_sarif` as text."""
    log = as_sarif(checked, open_questions, root)
    return json.dumps(log, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _asked(finding: Finding) -> bool:
    return finding.verdict == "not recorded" and not finding.settled


def _section(book: str, citation: str) -> str:
    """What a citation says after the book's name, with its edition or without; empty for another book."""
    cited = clean(citation, 200)
    for name in (book, book.split()[0]):
        if cited.startswith(name + " "):
            return cited[len(name) + 1 :].strip()
    return ""


def _taxa(book: str, findings: Iterable[Finding]) -> list[str]:
    return sorted({section for one in findings if (section := _section(book, one.citation))})


def _cited(finding: Finding, taxonomies: dict[str, list[str]]) -> dict[str, Any] | None:
    for book in taxonomies:
        section = _section(book, finding.citation)
        if section:
            return {"id": section, "toolComponent": {"name": book}}
    return None


def _rule(finding: Finding, taxonomies: dict[str, list[str]]) -> dict[str, Any]:
    title = clean(finding.title, _TEXT) or clean(finding.rule, _TEXT)
    about = ". ".join(part for part in (title, clean(finding.citation, 300)) if part)
    rule: dict[str, Any] = {
        "id": clean(finding.rule, 200),
        "shortDescription": {"text": title},
        "fullDescription": {"text": clean(about, _TEXT)},
        "help": {"text": clean(finding.remedy, _TEXT) or CLOSING},
        "defaultConfiguration": {"level": LEVELS[finding.severity]},
        "properties": {
            "severity": finding.severity,
            "trade": clean(finding.trade),
            "visit": clean(finding.stage),
            "tags": list(dict.fromkeys(tag for tag in (clean(finding.trade), clean(finding.stage)) if tag)),
        },
    }
    target = _cited(finding, taxonomies)
    if target:
        rule["relationships"] = [{"target": target, "kinds": ["relevant"]}]
    return rule


def _message(finding: Finding) -> str:
    parts = [f"{clean(finding.title, 300)}: {subject(finding)}"]
    if finding.verdict == "not recorded":
        parts += [
            f"not recorded: {clean(one.fact, 80)} of {clean(one.element, 60)}, {found_by(one.found_by)}"
            for one in finding.missing
        ]
    else:
        parts += [SEVERITY[finding.severity], figures(finding.measured, finding.required, finding.margin)]
    parts += [clean(finding.citation, 300), clean(finding.remedy, 500)]
    if finding.close_with:
        parts.append(f"close it with: {clean(finding.close_with, 200)}")
    if finding.alternate:
        parts.append(f"{ANSWERED}: {clean(finding.alternate, 300)}")
    return clean("; ".join(part for part in parts if part), 4 * _TEXT)


def _result(
    finding: Finding, index: int, checked: Checked, root: str, taxonomies: dict[str, list[str]]
) -> dict[str, Any]:
    wrong = finding.verdict == "not met"
    result: dict[str, Any] = {
        "ruleId": clean(finding.rule, 200),
        "ruleIndex": index,
        "kind": "fail" if wrong else "open",
        "level": LEVELS[finding.severity] if wrong else "none",
        "message": {"text": _message(finding)},
        "locations": [_location(finding, checked, root)],
        "partialFingerprints": {"ruleAndSubject/v1": finding.identity, "primaryLocationLineHash": finding.identity},
        "properties": {
            "element": clean(finding.element),
            "verdict": finding.verdict,
            "severity": finding.severity,
            "trade": clean(finding.trade),
            "visit": clean(finding.stage),
            "measured": clean(finding.measured),
            "required": clean(finding.required),
            "margin": clean(finding.margin),
            "citation": clean(finding.citation),
            "known_by": clean(finding.known_by),
        },
    }
    target = _cited(finding, taxonomies)
    if target:
        result["taxa"] = [target]
    if finding.alternate:
        result["suppressions"] = [
            {
                "kind": "external",
                "status": "accepted",
                "justification": f"{ANSWERED}: {clean(finding.alternate, _TEXT)}",
            }
        ]
    elif finding.set_aside:
        why = f"set aside {clean(finding.set_aside, _TEXT)}"
        result["suppressions"] = [{"kind": "external", "status": "accepted", "justification": why}]
    return result


def _location(finding: Finding, checked: Checked, root: str) -> dict[str, Any]:
    place = finding.place
    file, line, column = (place.file, place.line, place.column) if place else (checked.file, 1, 1)
    line, column = max(line, 1), max(column, 1)
    return {
        "physicalLocation": {
            "artifactLocation": {"uri": relative_uri(file, root), "uriBaseId": "%SRCROOT%"},
            "region": {"startLine": line, "startColumn": column, "endLine": line, "endColumn": column + 1},
        },
        "logicalLocations": [{"fullyQualifiedName": clean(finding.element), "kind": "element"}],
    }


def relative_uri(file: str, root: str = "") -> str:
    """A path as a relative URI reference with forward slashes, from `root` where it is under it."""
    path = PurePosixPath(PureWindowsPath(clean(file)).as_posix())
    base = PurePosixPath(PureWindowsPath(clean(root)).as_posix()) if root else None
    if base is not None and path.is_relative_to(base):
        path = path.relative_to(base)
    elif path.is_absolute() or PureWindowsPath(str(path)).is_absolute():
        path = PurePosixPath(path.name)
    uri = quote(str(path), safe="/")
    return uri if uri not in ("", ".") else "site"


def _invocation(checked: Checked, cut: int) -> dict[str, Any]:
    told = [clean(one, _TEXT) for one in checked.warnings]
    if cut:
        told.append(f"{cut:,} more results do not fit in one log")
    invocation: dict[str, Any] = {"executionSuccessful": True, "exitCode": checked.exit_code}
    if told:
        invocation["toolExecutionNotifications"] = [{"level": "note", "message": {"text": text}} for text in told]
    return invocation
