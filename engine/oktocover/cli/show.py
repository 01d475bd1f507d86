"""`oktocover show`: the building read back in words, one thing fact by fact, or the plan as a picture."""

from __future__ import annotations

from pathlib import Path

import click

from oktocover.check import ALL_VISITS, check
from oktocover.cli.common import (
    adopted_for,
    answers_option,
    read_day,
    read_declared,
    rulesets_option,
    site_and_what,
    site_path,
    tell,
    today_option,
)
from oktocover.measures import trades
from oktocover.measures.view import SiteView
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Problem
from oktocover.reading.site_file import SiteFile

assert trades

PLAN = "plan.svg"
STDOUT = "-"


@click.command("show")
@click.argument("site", required=False, default="")
@click.argument("what", required=False, default="")
@click.option(
    "--plan",
    "plan",
    metavar="[FILE.svg]",
    default=None,
    is_flag=False,
    flag_value=PLAN,
    help=f"Draw the plan to scale ({PLAN} if no file is named; - prints it).",
)
@click.option(
    "--expanded", is_flag=True, help="Print the full form that rows, tables, typicals and statements stand for."
)
@click.option("--circuits", is_flag=True, help="The circuit schedule, as a table for a spreadsheet (CSV).")
@click.option("--devices", is_flag=True, help="The device list, as a table for a spreadsheet (CSV).")
@click.option(
    "--table",
    "table",
    metavar="LIST",
    default="",
    help="One list of the site (receptacles) as a CSV table with all its facts; `tables:` in a site reads it back.",
)
@click.option("--without-people", "nobody", is_flag=True, help="Of a table: leave out initials, names and licences.")
@answers_option
@today_option
@rulesets_option
def command(
    site: str,
    what: str,
    plan: str | None,
    expanded: bool,
    circuits: bool,
    devices: bool,
    table: str,
    nobody: bool,
    answers: tuple[str, ...],
    today: str | None,
    rulesets: str | None,
) -> None:
    """Read SITE (site.yaml if left out) back, so that a slip is seen at once. Nothing is judged.

    WHAT: a room, a wall (studio.north), an element, or something worked out from them: each fact with its value, where
    it came from and how it is known. Or a visit: what it wants ready, and what no figure decides.
    """
    site, what = site_and_what(site, what)
    if expanded and (what or plan is not None):
        raise click.UsageError("the full form is that of the whole site: give --expanded alone")
    if plan is not None and what:
        raise click.UsageError("the plan shows the whole building: give WHAT or --plan, not both")
    if plan is not None and plan != STDOUT and not plan.lower().endswith(".svg"):
        raise click.UsageError(f"--plan takes the name of an .svg file, or -; not '{plan}'")
    sheets = sum((circuits, devices, bool(table)))
    if sheets > 1 or (sheets and (what or expanded or plan is not None)):
        raise click.UsageError("one table at a time: give --circuits, --devices or --table LIST alone")
    if nobody and not sheets:
        raise click.UsageError("--without-people is for tables: give --circuits, --devices or --table LIST with it")
    path = site_path(site)
    read = read_declared(path, read_day(today), rulesets, answers)
    view = SiteView(read.site, read.known)
    if sheets:
        from oktocover.reports import csv_form

        sheet = csv_form.list_table(read, table) if table else None
        sheet = sheet or (csv_form.circuits(read, view) if circuits else csv_form.devices(read))
        if nobody:
            from oktocover.reports.people import people_in, without_people

            sheet = without_people(sheet, people_in(read))
        tell(sheet, for_programs=True)
    elif expanded:
        from oktocover.reading.short import expanded_text

        tell(expanded_text(read), for_programs=True)
    elif plan is not None:
        _draw(view, plan)
    elif what:
        tell(_sheet(read, view, what, path, today, rulesets))
    else:
        from oktocover.reports.readback import readback

        tell(readback(view))


def _draw(view: SiteView, name: str) -> None:
    from oktocover.reports.plan_svg import SIGN, plan_svg

    if name == STDOUT:
        tell(plan_svg(view), for_programs=True)
        return
    path = Path(name)
    if path.is_dir() or (path.exists() and SIGN.encode() not in _begin(path)):
        raise InputProblems(
            [
                Problem(
                    None,
                    f"'{name}' is there already, and is no plan that this tool drew",
                    do="name another file, or move this one away",
                )
            ]
        )
    path.write_text(plan_svg(view), encoding="utf-8", newline="\n")
    click.echo(f"{name} is written: open it in a browser", err=True)


def _begin(path: Path) -> bytes:
    with path.open("rb") as stream:
        return stream.read(300)


def _sheet(read: SiteFile, view: SiteView, what: str, path: Path, today: str | None, rulesets: str | None) -> str:
    from oktocover.reports.fact_sheet import fact_sheet, names

    known = names(view)
    if what not in known and view.plan.wall(what) is None:
        adopted = adopted_for(read, path, rulesets)
        visits = [one.name for one in adopted.rules.inspections()]
        if what in visits:
            from oktocover.reports.visit_sheet import visit_sheet

            checked = check(read, adopted, read_day(today), ALL_VISITS, figures=False)
            return next(visit_sheet(one) for one in checked.visits if one.name == what)
        near = nearest(what, [*known, *visits])
        raise InputProblems(
            [
                Problem(
                    None,
                    f"there is no '{what}' in this site",
                    "a room, a wall (room.wall), the id of an element, or a visit",
                    f"did you mean '{near}'?" if near else f"see everything with: oktocover show {path}",
                )
            ]
        )
    checked = check(read, adopted_for(read, path, rulesets), read_day(today), ALL_VISITS, figures=False)
    return fact_sheet(read, view, what, checked.findings) or ""
