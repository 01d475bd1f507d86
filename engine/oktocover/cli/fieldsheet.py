"""`oktocover fieldsheet`: what is still to be measured and looked at, in walking order, with a place to write it."""

from __future__ import annotations

from pathlib import Path

import click

from oktocover.check import check
from oktocover.cli.answers import refuse_unknown_visits
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
from oktocover.measures import trades
from oktocover.reports.fieldsheet import field_sheet, visits_asked
from oktocover.reports.fieldsheet_parts import Sheet

assert trades


@click.command("fieldsheet")
@click.argument("site", default="site.yaml")
@click.option(
    "--for",
    "visit",
    metavar="VISIT",
    default=None,
    help="The visit it is for, or all. Default: the next one that is not signed.",
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "html", "yaml"]),
    default="text",
    help="text: for paper. html: one page for a phone, which prints too. yaml: an answers file with every blank empty.",
)
@click.option("--out", "out", metavar="FILE", default=None, help="Write it to FILE instead of the screen.")
@answers_option
@today_option
@rulesets_option
def command(
    site: str,
    visit: str | None,
    form: str,
    out: str | None,
    answers: tuple[str, ...],
    today: str | None,
    rulesets: str | None,
) -> None:
    """Print what nobody has recorded in SITE (site.yaml if left out) and what only an eye can decide, in walking order.

    What is written on the phone page is saved as a file; `oktocover check SITE --with FILE` lays it into the site.
    """
    path = site_path(site)
    day = read_day(today)
    read, adopted = read_with_place(path, day, rulesets, answers)
    refuse_unknown_visits(read, adopted)
    checked = check(read, adopted, day, visit, Progress("checking"), figures=False)
    sheet = field_sheet(read, adopted, checked, visits_asked(checked, read))
    text = _printed(sheet, form)
    if out is None:
        tell(text, for_programs=form != "text")
        return
    Path(out).write_text(text, encoding="utf-8")
    click.echo(f"{out}: {len(sheet.questions)} blanks")


def _printed(sheet: Sheet, form: str) -> str:
    if form == "html":
        from oktocover.reports.fieldsheet_page import fieldsheet_page

        return fieldsheet_page(sheet)
    if form == "yaml":
        from oktocover.reports.fieldsheet_answers import empty_answers

        return empty_answers(sheet)
    from oktocover.reports.fieldsheet_text import fieldsheet_text

    return fieldsheet_text(sheet)
