"""`oktocover check`: what an inspector would write up, for the next visit."""

from __future__ import annotations

import datetime
import os
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from oktocover.check import check
from oktocover.cli.answers import idle_answers, open_slips, refuse_unknown_visits
from oktocover.cli.common import (
    Progress,
    answers_option,
    read_day,
    read_with_place,
    rulesets_option,
    site_path,
    tell,
    today_option,
)
from oktocover.findings.checked import Checked
from oktocover.measures import trades
from oktocover.reading.companions import PINNED, SET_ASIDE, companion
from oktocover.reading.site_file import SiteFile
from oktocover.rules.library import Adopted

if TYPE_CHECKING:
    from oktocover.reports.changes import Changes

assert trades

FORMS = ("text", "json", "markdown", "csv", "sarif", "junit")


@click.command("check")
@click.argument("site", default="site.yaml")
@click.option(
    "--for",
    "visit",
    metavar="VISIT",
    default=None,
    help="The visit to check for, or all. Default: the next one that is booked, or else not signed.",
)
@click.option("--format", "form", type=click.Choice(FORMS), default="text", help="How to print.")
@click.option(
    "--all", "every", is_flag=True, help="Also what is met and what does not apply, and every finding in full."
)
@click.option(
    "--before",
    "before",
    metavar="OLD",
    default=None,
    help="Say what is new, gone and still there: against the site as it was, or against its findings as JSON.",
)
@click.option(
    "--set-aside",
    "aside",
    metavar="FILE",
    default=None,
    help=f"Findings that are set aside until a visit. Default: {SET_ASIDE} beside SITE, if there is one.",
)
@click.option("--without-people", "nobody", is_flag=True, help="Leave out initials, names and numbers of licences.")
@answers_option
@today_option
@rulesets_option
def command(
    site: str,
    visit: str | None,
    form: str,
    every: bool,
    answers: tuple[str, ...],
    before: str | None,
    aside: str | None,
    nobody: bool,
    today: str | None,
    rulesets: str | None,
) -> None:
    """Check SITE (a file, a folder, or the name of an example; site.yaml if left out) against the rules of its place.

    Exit code 0: ready to call, on what is written. 1: corrections. 2: something could not be read.
    3: nothing found wrong, but facts that the visit needs are not recorded. JSON lists the findings of all visits
    unless --for names one; the exit code is that of the visit.
    """
    path = site_path(site)
    day = read_day(today)
    if before is not None and form not in ("text", "markdown"):
        raise click.UsageError(
            "--before says what turned, as text or Markdown: leave it out, or give --format markdown"
        )
    read, adopted = read_with_place(path, day, rulesets, answers)
    refuse_unknown_visits(read, adopted)
    compared = form != "text" or aside is not None or _companions(path) or before is not None
    checked = check(read, adopted, day, visit, Progress("checking"), every, idle=every or compared)
    told = (*checked.warnings, *idle_answers(read, adopted, checked), *open_slips(read))
    checked = replace(checked, warnings=told)
    checked, changes = _beside(checked, read, adopted, path, aside, before, form, rulesets, nobody)
    code = checked.exit_code
    if nobody:
        checked, changes = _nameless(checked, changes, read)
    tell(_printed(checked, changes, form, every, explicit=visit is not None), for_programs=form != "text")
    sys.exit(code)


def _companions(path: Path) -> bool:
    return any(companion(path, name).exists() for name in (SET_ASIDE, PINNED))


def _beside(
    checked: Checked,
    read: SiteFile,
    adopted: Adopted,
    path: Path,
    aside: str | None,
    before: str | None,
    form: str,
    rulesets: str | None,
    nobody: bool,
) -> tuple[Checked, Changes | None]:
    """What stands beside a site: findings set aside, pinned rules, and the site as it was. Read only where it is there."""
    asked = before is not None or form in ("json", "markdown")
    if not asked and aside is None and not _companions(path):
        return checked, None
    from oktocover.cli.jobs import laid_aside, pinned_of, with_rules

    pinned = pinned_of(path)
    if asked or pinned is not None:
        checked = with_rules(checked, adopted, pinned)
    checked = laid_aside(checked, path, aside, nobody)
    if before is None and form != "markdown":
        return checked, None
    from oktocover.cli.since import changes

    return checked, changes(checked, read, before, pinned, datetime.date.fromisoformat(checked.today), rulesets)


def _nameless(checked: Checked, changes: Changes | None, read: SiteFile) -> tuple[Checked, Changes | None]:
    from oktocover.reports.people import people_in, without_people

    return without_people((checked, changes), people_in(read))


def _printed(checked: Checked, changes: Changes | None, form: str, every: bool, explicit: bool) -> str:
    if form == "json":
        from oktocover.reports import json_form

        return json_form.dumps(checked, every, all_visits=not explicit)
    if form == "csv":
        from oktocover.reports import csv_form

        return csv_form.findings(checked, every, all_visits=not explicit)
    if form == "sarif":
        from oktocover.reports import sarif

        return sarif.dumps(checked, root=os.getcwd())
    if form == "junit":
        from oktocover.reports import junit

        return junit.dumps(checked)
    if form == "markdown":
        from oktocover.reports.markdown import summary

        assert changes is not None
        return summary(changes)
    from oktocover.reports.screen import first_screen

    screen = first_screen(checked, all_findings=every)
    if changes is None:
        return screen
    from oktocover.reports.markdown import as_text

    return screen + "\n" + as_text(changes)
