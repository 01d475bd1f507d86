"""`oktocover rules`: what is in force in a place, and where each number comes from."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click

from oktocover.cli.common import adopted_for, library, refuse_rings, rulesets_option, site_path, tell
from oktocover.measures import trades
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Problem
from oktocover.reports.rules_form import LimitRow, RuleRow, rules_json, rules_text
from oktocover.rules.form import Rule
from oktocover.rules.library import Adopted

assert trades


@click.command("rules")
@click.argument("only", required=False, default="")
@click.option("--jurisdiction", metavar="PLACE", default=None, help="A place's name, or the path of a place file.")
@click.option("--site", metavar="SITE", default=None, help="The rules that are in force for this site.")
@click.option("--section", metavar="NUMBER", default=None, help="Rules under this section number.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print.")
@rulesets_option
def command(
    only: str, jurisdiction: str | None, site: str | None, section: str | None, form: str, rulesets: str | None
) -> None:
    """List the rules in force (those whose name begins with ONLY, if given), each with its limits and their source."""
    if site is not None and jurisdiction is not None:
        raise click.UsageError("--site has a jurisdiction of its own: give one of --site and --jurisdiction")
    if section is not None and not section.strip():
        raise click.UsageError("--section needs a number, such as 210.52")
    if site is not None:
        from oktocover.reading.site_file import read_site

        path = site_path(site)
        adopted = adopted_for(read_site(path), path, rulesets)
    else:
        shelf = library(rulesets)
        refuse_rings(shelf, jurisdiction, Path())
        adopted = shelf.adopt(jurisdiction, [], Path())
    adopted.rules.check()
    found = [
        rule
        for rule in adopted.rules.rules()
        if rule.id.startswith(only) and (section is None or _under(rule, section))
    ]
    if not found:
        _nothing(adopted, only, section)
    rows = [
        RuleRow(
            rule.id,
            rule.title,
            rule.trade,
            rule.stage,
            rule.severity,
            f"{rule.citation_book} {rule.section}",
            tuple(_limits(rule, adopted)),
        )
        for rule in found
    ]
    tell(rules_json(rows) if form == "json" else rules_text(rows), for_programs=form == "json")


def _sections(rule: Rule) -> list[str]:
    return [rule.section, *rule.also, *(node.section for node in rule.body.walk() if node.section)]


def _under(rule: Rule, section: str) -> bool:
    wanted = section.strip().lower()
    return any(
        wanted in (part.strip().lower() for part in one.replace(";", ",").split(",")) or one.lower().startswith(wanted)
        for one in _sections(rule)
    )


def _nothing(adopted: Adopted, only: str, section: str | None) -> None:
    if section is not None:
        known = sorted({one for rule in adopted.rules.rules() for one in _sections(rule)})
        near = nearest(section, known)
        raise InputProblems(
            [Problem(None, f"no rule here stands under section {section}", do=f"the nearest is {near}" if near else "")]
        )
    names = [rule.id for rule in adopted.rules.rules()]
    near = nearest(only, names)
    raise InputProblems(
        [Problem(None, f"no rule here is called '{only}'", do=f"did you mean '{near}'?" if near else "")]
    )


def _limits(rule: Rule, adopted: Adopted) -> Iterator[LimitRow]:
    thing = adopted.rules.folded.things["rules"][rule.id]
    for name, limit in rule.all_limits():
        source = _printed(adopted, thing.layer)
        for address, change in rule.history:
            if address.split(".")[-1] == name or address == "":
                source = f"{_printed(adopted, change.layer)}: {change.cite}"
        yield LimitRow(name, limit.text, source)


def _printed(adopted: Adopted, layer: str) -> str:
    return next((one.printed for one in adopted.rules.folded.layers if one.name == layer), layer)
