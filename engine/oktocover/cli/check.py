"""`oktocover check`: what an inspector would write up, for the next visit."""

from __future__ import annotations

import os
import sys
from dataclasses import replace

import click

from oktocover.check import check
from oktocover.cli.answers import idle_answers, refuse_unknown_visits
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

assert trades


@click.command("check")
@click.argument("site", default="site.yaml")
@click.option(
    "--for",
    "visit",
    metavar="VISIT",
    default=None,
    help="The visit to check for, or all. Default: the next one that is not signed.",
)
@click.option(
    "--format", "form", type=click.Choice(["text", "json", "sarif", "junit"]), default="text", help="How to print."
)
@click.option(
    "--all", "every", is_flag=True, help="Also what is met and what does not apply, and every finding in full."
)
@answers_option
@today_option
@rulesets_option
def command(
    site: str,
    visit: str | None,
    form: str,
    every: bool,
    answers: tuple[str, ...],
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
    read, adopted = read_with_place(path, day, rulesets, answers)
    refuse_unknown_visits(read, adopted)
    checked = check(read, adopted, day, visit, Progress("checking"), figures=every)
    checked = replace(checked, warnings=(*checked.warnings, *idle_answers(read, adopted, checked)))
    tell(_printed(checked, form, every, explicit=visit is not None), for_programs=form != "text")
    sys.exit(checked.exit_code)


def _printed(checked: Checked, form: str, every: bool, explicit: bool) -> str:
    if form == "json":
        from oktocover.reports import json_form

        return json_form.dumps(checked, every, all_visits=not explicit)
    if form == "sarif":
        from oktocover.reports import sarif

        return sarif.dumps(checked, root=os.getcwd())
    if form == "junit":
        from oktocover.reports import junit

        return junit.dumps(checked)
    from oktocover.reports.screen import first_screen

    return first_screen(checked, all_findings=every)
