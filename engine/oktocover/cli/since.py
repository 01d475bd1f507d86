"""What `check --before` compares with: the findings of an earlier check, or the site as it was."""

from __future__ import annotations

import datetime
from pathlib import Path

from oktocover.check import ALL_VISITS
from oktocover.cli.common import site_path
from oktocover.cli.jobs import judge, old_rules, pinned_of
from oktocover.findings.checked import Checked
from oktocover.reading.problems import InputProblems, Problem
from oktocover.reading.site_file import SiteFile
from oktocover.reports.changes import Before, Changes, compare, known_of, read_before
from oktocover.rules.fingerprints import changed_since, fingerprints
from oktocover.rules.pinned import Pinned


def changes(
    checked: Checked,
    read: SiteFile,
    before: str | None,
    pinned: Pinned | None,
    day: datetime.date,
    rulesets: str | None,
) -> Changes:
    """What turned since `before` (a file of findings or a site), and since the rules were pinned."""
    if before is None:
        return compare(checked, None, pinned.rules if pinned else None, since=pinned.day if pinned else "")
    path = Path(before)
    if path.suffix == ".json":
        if not path.is_file():
            raise InputProblems(
                [Problem(None, f"there is no file '{before}'", "findings as JSON, or a site as it was")]
            )
        known = read_before(path, checked.visit)
        return compare(checked, known, since=known.today)
    path = site_path(before)
    judged = judge(path, day, rulesets, ALL_VISITS)
    old = known_of(judged.checked, "/".join(path.parts[-2:]))
    old = Before(old.name, old.today, old.findings, fingerprints(judged.adopted))
    turned = any(changed_since(old.rules, checked.rules))
    under_old = old_rules(judged, read, path, day, rulesets) if turned else None
    pin = pinned_of(path) or pinned
    return compare(checked, old, pin.rules if pin else None, under_old, pin.day if pin else "")
