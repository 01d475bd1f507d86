"""`oktocover report`: the whole check as one page for a browser and for paper."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import click

from oktocover.check import ALL_VISITS, check
from oktocover.cli.answers import idle_answers, refuse_unknown_visits
from oktocover.cli.common import (
    Progress,
    answers_option,
    library,
    read_day,
    read_with_place,
    rulesets_option,
    site_path,
    tell,
    today_option,
)
from oktocover.measures import trades
from oktocover.reading.problems import InputProblems, Problem
from oktocover.reports._layered import World
from oktocover.reports.card import inspection_card
from oktocover.reports.html_page import SIGN
from oktocover.reports.html_report import html_report
from oktocover.reports.people import people_in, without_people

assert trades

REPORT = "report.html"
STDOUT = "-"


@click.command("report")
@click.argument("site", default="site.yaml")
@click.option(
    "-o", "--output", "output", metavar="FILE", default=REPORT, help=f"The file ({REPORT} if left out; - prints it)."
)
@click.option(
    "--for",
    "visit",
    metavar="VISIT",
    default=None,
    help="The visit it is for, or all. Default: the next one that is not signed.",
)
@click.option("--without-people", "nobody", is_flag=True, help="Leave out initials, names and numbers of licences.")
@answers_option
@today_option
@rulesets_option
def command(
    site: str,
    output: str,
    visit: str | None,
    nobody: bool,
    answers: tuple[str, ...],
    today: str | None,
    rulesets: str | None,
) -> None:
    """Write the report of SITE (site.yaml if left out): one file for a browser and for paper, with nothing to fetch.

    First what nobody looked at, then how the visit stands, the card, the findings with the plan they stand on, the walk,
    the calculations, what is in force. The exit code is that of check.
    """
    path = site_path(site)
    day = read_day(today)
    _refuse_file(output)
    read, adopted = read_with_place(path, day, rulesets, answers)
    refuse_unknown_visits(read, adopted)
    checked = check(read, adopted, day, visit, Progress("checking"))
    checked = replace(checked, warnings=(*checked.warnings, *idle_answers(read, adopted, checked)))
    card = inspection_card(read, adopted, replace(checked, visit=ALL_VISITS))
    people = people_in(read) if nobody else frozenset()
    if people:
        checked, card = without_people(checked, people), without_people(card, people)
    page = html_report(read, checked, card, World(library(rulesets), adopted), people)
    if output == STDOUT:
        tell(page, for_programs=True)
    else:
        Path(output).write_text(page, encoding="utf-8", newline="\n")
        click.echo(f"{output} is written: open it in a browser, or print it", err=True)
    sys.exit(checked.exit_code)


def _refuse_file(name: str) -> None:
    """Raise InputProblems for a file that is there already and that this tool did not write."""
    path = Path(name)
    if name == STDOUT or not path.exists():
        return
    if not path.is_dir():
        with path.open("rb") as stream:
            if SIGN.encode() in stream.read(1000):
                return
    raise InputProblems(
        [
            Problem(
                None,
                f"'{name}' is there already, and is no page that this tool wrote",
                do="name another file, or move this one away",
            )
        ]
    )
