"""`oktocover worksheet`: the calculations behind the verdicts, as sheets that can be handed over."""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from typing import Any

import click

from oktocover.check import ALL_VISITS, check
from oktocover.cli.common import (
    answers_option,
    read_day,
    read_with_place,
    rulesets_option,
    site_path,
    tell,
    today_option,
)
from oktocover.findings.checked import Checked
from oktocover.findings.finding import Finding
from oktocover.measures import trades
from oktocover.measures.view import SiteView
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Problem
from oktocover.reading.site_file import SiteFile
from oktocover.reports._plain import clean
from oktocover.reports.content import content_of
from oktocover.reports.trade_sheets import trade_sheets
from oktocover.reports.worksheet import head_of, of_finding
from oktocover.rules.library import Adopted

assert trades


@click.command("worksheet")
@click.argument("site")
@click.argument("what", required=False, default="")
@click.option("--format", "form", type=click.Choice(["text", "html"]), default="text", help="How to print.")
@answers_option
@today_option
@rulesets_option
def command(site: str, what: str, form: str, answers: tuple[str, ...], today: str | None, rulesets: str | None) -> None:
    """Print the calculations for WHAT in SITE: an element's id, a room, or a rule. Without WHAT: what there is.

    For a gas system all of its pipe sizes on one sheet, for a gas test the sheet that is signed at the gauge, for a room
    with appliances the sheet of its combustion air, for a panel its circuit schedule. As html: a page for a browser,
    each sheet on a paper of its own; without WHAT, all of them.
    """
    path = site_path(site)
    day = read_day(today)
    read, adopted = read_with_place(path, day, rulesets, answers)
    checked = check(read, adopted, day, ALL_VISITS)
    worked = [one for one in checked.findings if one.work and one.verdict != "does not apply"]
    sheets = list(trade_sheets(SiteView(read.site, read.known), adopted.rules, checked.findings))
    head = head_of(checked, read.site.permit.number or "", content_of(read))
    if not what and form == "html":
        tell(_page(read, adopted, worked, None, checked, head), for_programs=True)
        return
    if not what:
        lines = [clean(f"{sheet.element}: {sheet.title}") for sheet in sheets]
        lines += [clean(f"{one.element}: {one.title} ({one.rule})") for one in worked]
        lines.append(f"{len(lines)} calculations; print one with: oktocover worksheet {site} ELEMENT-OR-RULE")
        tell("".join(f"{line}\n" for line in lines))
        return
    chosen = [one for one in worked if _fits(one, what)]
    wanted = [sheet for sheet in sheets if sheet.element in (what, f"{what} air")]
    if not chosen and not wanted:
        names = sorted(
            {*(sheet.element for sheet in sheets), *(one.element for one in worked), *(one.rule for one in worked)}
        )
        near = nearest(what, names)
        raise InputProblems(
            [
                Problem(
                    None,
                    f"nothing is worked out for '{what}'",
                    "an element's id, a room, or a rule",
                    f"did you mean '{near}'?" if near else f"see: oktocover worksheet {site}",
                )
            ]
        )
    if form == "html":
        own = {sheet.element for sheet in wanted}
        tell(_page(read, adopted, chosen, own, checked, head), for_programs=True)
        return
    tell("\n".join([*(sheet.printed(head) for sheet in wanted), *(of_finding(one, head) for one in chosen)]))


def _page(
    read: SiteFile,
    adopted: Adopted,
    worked: Sequence[Finding],
    elements: Container[str] | None,
    checked: Checked,
    head: Mapping[str, Any],
) -> str:
    """The sheets of some elements (of all when None), and those of findings, as a page."""
    from oktocover.reports.html_report_sheets import of_finding as as_document
    from oktocover.reports.html_report_sheets import sheet_docs, worksheet_page

    docs = sheet_docs(SiteView(read.site, read.known), adopted.rules, checked.findings, head)
    own = [doc for doc in docs if elements is None or doc.element in elements]
    return worksheet_page([*own, *map(as_document, worked)], head)


def _fits(one: Finding, what: str) -> bool:
    return what in (one.element, *one.elements, one.where[0]) or one.rule == what or one.rule.startswith(what + ".")
