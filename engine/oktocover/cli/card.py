"""`oktocover card`: the inspections this building needs here, in their order, and what holds each of them back."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator

import click

from oktocover.check import ALL_VISITS, check
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
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Problem
from oktocover.reading.site_file import SiteFile
from oktocover.reports._card_holds import plain_name
from oktocover.reports._card_parts import Card
from oktocover.reports.card import inspection_card
from oktocover.reports.people import people_in, without_people
from oktocover.rules.library import Adopted
from oktocover.rules.visit_points import visit_points
from oktocover.rules.visits import Inspection

assert trades


@click.command("card")
@click.argument("site", default="site.yaml")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print.")
@click.option(
    "--all", "every", is_flag=True, help="Everything that holds each visit back, with the line that closes it."
)
@click.option("--without-people", "nobody", is_flag=True, help="Leave out initials, names and numbers of licences.")
@answers_option
@today_option
@rulesets_option
def command(
    site: str, form: str, every: bool, nobody: bool, answers: tuple[str, ...], today: str | None, rulesets: str | None
) -> None:
    """Print the inspection card of SITE (site.yaml if left out): which visits, in which order, how each stands.

    The first line is the next thing to do. Exit code 0: it is a call (or all are signed). 1: something to put right
    first. 2: something could not be read. 3: something to write down first.
    """
    path = site_path(site)
    day = read_day(today)
    read, adopted = read_with_place(path, day, rulesets, answers)
    refuse_unknown_visits(read, adopted)
    _refuse_unknown_names(read, adopted)
    checked = check(read, adopted, day, ALL_VISITS, Progress("checking"), figures=False)
    card = inspection_card(read, adopted, checked)
    tell(_printed(without_people(card, people_in(read)) if nobody else card, form, every), for_programs=form == "json")
    sys.exit(card.exit_code)


def _printed(card: Card, form: str, every: bool) -> str:
    if form == "json":
        from oktocover.reports import card_json

        return card_json.dumps(card)
    from oktocover.reports.card_text import card_text

    return card_text(card, every=every)


def _refuse_unknown_names(read: SiteFile, adopted: Adopted) -> None:
    """Raise InputProblems for papers about visits and lines that this place does not have: they would count for nothing."""
    site = read.site
    visits = {one.name: one for one in adopted.rules.inspections()}
    problems: list[Problem] = []
    named = [(("corrections", index, "visit"), one.visit) for index, one in enumerate(site.corrections)]
    for path, name in named:
        problems += _unknown(read, path, name, visits, "visit", key=False)
    for section, said in (("not held", site.not_held), ("at the visit", site.at_the_visit)):
        for name in said:
            problems += _unknown(read, (section, name), name, visits, "visit")
    for name, answers in site.at_the_visit.items():
        if name in visits:
            lines = list(_lines(visits[name]))
            known = [plain_name(one) for one in lines]
            for line in answers:
                if plain_name(line) not in known:
                    problems += _unknown(read, ("at the visit", name, line), line, known, f"line of '{name}'")
    if problems:
        raise InputProblems(problems)


def _unknown(
    read: SiteFile, path: tuple[str | int, ...], name: str, known: Iterable[str], what: str, key: bool = True
) -> Iterator[Problem]:
    names = list(known)
    if name in names:
        return
    near = nearest(name, names)
    place = read.key_place(path) if key else read.place(path)
    do = f"did you mean '{near}'?" if near else ""
    yield Problem(place, f"there is no {what} '{name}' here" if what == "visit" else f"'{name}' is no {what} here",
                  "one of: " + ", ".join(names), do)  # fmt: skip


def _lines(visit: Inspection) -> Iterator[str]:
    for name in ("state", "papers", "witness", "instruments", "instead"):
        yield from (line.name for line in visit.lists[name])
    yield from (point.name for point in visit_points())
