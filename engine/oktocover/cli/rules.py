"""`oktocover rules`: what is in force in a place, and where each number comes from."""

from __future__ import annotations

import datetime
from pathlib import Path

import click

from oktocover.cli.common import (
    library,
    read_day,
    read_with_place,
    refuse_rings,
    rulesets_option,
    site_path,
    tell,
    today_option,
)
from oktocover.measures import trades
from oktocover.reading.companions import PINNED, companion
from oktocover.reading.nearest import nearest
from oktocover.reading.nodes import read_yaml
from oktocover.reading.problems import InputProblems, Problem
from oktocover.reports import differences, rule_sheet, sections
from oktocover.reports._layered import World
from oktocover.reports._plain import listed
from oktocover.reports.rules_form import as_json, place_sheet, rules_object, sheet_object, sheet_text
from oktocover.rules.declared import declared_by
from oktocover.rules.form import Rule
from oktocover.rules.layers import Layer
from oktocover.rules.library import Library
from oktocover.site.declared import Declared, in_force, joined, speaking

assert trades


@click.command("rules")
@click.argument("only", required=False, default="")
@click.option("--jurisdiction", metavar="PLACE", default=None, help="A place's name, or the path of a place file.")
@click.option("--site", metavar="SITE", default=None, help="The rules that are in force for this site.")
@click.option("--section", metavar="NUMBER", default=None, help="Rules under this number, in any book and edition.")
@click.option(
    "--against",
    metavar="PLACE",
    default=None,
    help="What is otherwise here than there: a place, its file, the model codes, or editions ('nec 2020, ifgc 2021').",
)
@click.option(
    "--on",
    "on",
    metavar="SITE",
    multiple=True,
    help="With --against: which verdicts turn on this site ('examples': the shipped ones). May be given again.",
)
@click.option("--pin", is_flag=True, help=f"With --site: write beside it which rules it is checked with ({PINNED}).")
@click.option("--schema", is_flag=True, help="The JSON Schema of the site files of this place, its own facts included.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print.")
@today_option
@rulesets_option
def command(
    only: str,
    jurisdiction: str | None,
    site: str | None,
    section: str | None,
    against: str | None,
    on: tuple[str, ...],
    pin: bool,
    schema: bool,
    form: str,
    today: str | None,
    rulesets: str | None,
) -> None:
    """List the rules in force, each with its limits and what every layer made of them; one rule (ONLY) in full.

    ONLY is a rule's name, or the beginning of some. Without --jurisdiction or --site the model books stand in.
    """
    if site is not None and jurisdiction is not None:
        raise click.UsageError("--site has a jurisdiction of its own: give one of --site and --jurisdiction")
    if section is not None and not any(char.isdigit() for char in section):
        raise click.UsageError("--section needs a number, such as 210.52")
    if against is not None and (section is not None or only):
        raise click.UsageError("--against compares whole places: leave ONLY and --section out")
    if on and against is None:
        raise click.UsageError("--on shows what turns between two places: name the other one with --against")
    if pin and (site is None or only or section is not None or against is not None or schema):
        raise click.UsageError("the rules are pinned for a site: give --site SITE --pin and nothing else")
    day = read_day(today)
    world = _world(jurisdiction, site, day, rulesets)
    programs = form == "json"
    if pin:
        _pin(world, site_path(site or ""), day)
        return
    if schema:
        from oktocover.schemas import site_schema

        tell(as_json(site_schema(_declared(world))), for_programs=True)
        return
    if section is not None:
        tell(_by_section(world, section, programs), programs)
        return
    if against is not None:
        before = _world(against, None, day, rulesets)
        tell(_turned(world, before, on, day, programs) if on else _compared(world, before, programs), programs)
        return
    found = [rule for rule in world.adopted.rules.rules() if rule.id.startswith(only)]
    if not found:
        _nothing(world, only)
    tell(_listed(world, found, only, day, programs), programs)


def _pin(world: World, site: Path, day: datetime.date) -> None:
    """Write which rules a site is checked with; what stood there before shows as a difference in version control."""
    from oktocover import __version__
    from oktocover.rules.fingerprints import changed_since, fingerprints
    from oktocover.rules.pinned import pinned_text, read_pinned

    target, now = companion(site, PINNED), fingerprints(world.adopted)
    before, schema = None, ""
    if target.exists():
        before = read_pinned(target, str(target))
        first = target.read_text(encoding="utf-8").split("\n", 1)[0]
        schema = first if first.startswith("# yaml-language-server:") else ""
    text = pinned_text(world.adopted, now, day, __version__, schema)
    target.write_text(text, encoding="utf-8", newline="\n")
    turned = [f"  {how}: {name}" for name, how in changed_since(before.rules, now)] if before is not None else []
    told = f", {len(turned)} not as they were:" if turned else ", all as they were" if before is not None else ""
    click.echo("\n".join([f"{target}: {len(now)} rules{told}", *turned]))


def _compared(now: World, before: World, programs: bool) -> str:
    found = differences.differences(now, before)
    if programs:
        return as_json(differences.differences_object(found, now.name, before.name))
    return differences.differences_text(found, now.name, before.name)


def _turned(now: World, before: World, on: tuple[str, ...], today: datetime.date, programs: bool) -> str:
    from oktocover.cli.effects import effects
    from oktocover.reports.effect import effect_object, effect_text

    found = effects(now, before, on, today)
    if not programs:
        return effect_text(found, now.name, before.name)
    return as_json({"place": now.name, "against": before.name, "sites": effect_object(found)})


def _declared(world: World) -> Declared:
    return declared_by(world.folded.layers)


def _world(jurisdiction: str | None, site: str | None, day: datetime.date, rulesets: str | None) -> World:
    """The rules of a place; until the command ends, the facts that the place declares are known."""
    shelf = library(rulesets)
    books = _books(shelf, jurisdiction)
    if books:
        adopted = shelf.adopt_chain((books,), books)
    elif site is not None:
        adopted = read_with_place(site_path(site), day, rulesets)[1]
    else:
        refuse_rings(shelf, jurisdiction, Path())
        adopted = shelf.adopt(jurisdiction, [], Path())
    adopted.check_every()
    world = World(shelf, adopted)
    click.get_current_context().with_resource(speaking(joined(in_force(), _declared(world))))
    return world


def _books(shelf: Library, named: str | None) -> Layer | None:
    """A place made of bare editions: 'nec 2020, ifgc 2021'."""
    names = [" ".join(part.lower().split()) for part in (named or "").split(",")]
    if not named or not all(name in shelf.editions for name in names):
        return None
    title = " and ".join(shelf.chain(name)[-1].printed for name in names)
    document = read_yaml("".join(f"{name}: {{book: {name}}}\n" for name in names), title)
    return Layer(title, adopts={name: {"book": name} for name in names}, adopts_in=dict.fromkeys(names, document))


def _listed(world: World, found: list[Rule], only: str, today: datetime.date, programs: bool) -> str:
    sheet = place_sheet(world, found, today, whole=not only)
    exact = next((rule for rule in found if rule.id == only), None)
    if exact is None:
        return as_json(sheet_object(sheet)) if programs else sheet_text(sheet)
    full = rule_sheet.rule_sheet(world, exact)
    if programs:
        return as_json({**sheet_object(sheet), "rule": rule_sheet.sheet_object(full)})
    return rule_sheet.sheet_text(full)


def _by_section(world: World, wanted: str, programs: bool) -> str:
    hits = sections.find(world.shelf, world, wanted)
    if not hits:
        near = sections.nearest_numbers(world.shelf, world, wanted)
        raise InputProblems(
            [
                Problem(
                    None,
                    f"no rule here stands under section {wanted.strip()}, in any book or edition",
                    do=f"the nearest is {near[0]}" + (f"; then {listed(near[1:])}" if near[1:] else "")
                    if near
                    else "see the numbers there are: oktocover rules",
                )
            ]
        )
    if not programs:
        return sections.hits_text(wanted.strip(), hits, world.name)
    own = [rule for rule in world.adopted.rules.rules() if any(hit.id == rule.id for hit in hits)]
    in_force = [rule for rule in own if any(hit.id == rule.id and hit.here == "in force" for hit in hits)]
    rows = place_sheet(world, in_force, datetime.date.today(), whole=False).rules
    return as_json(
        {"section": wanted.strip(), "place": world.name, **rules_object(rows), "hits": sections.hits_object(hits)}
    )


def _nothing(world: World, only: str) -> None:
    names = [rule.id for rule in world.adopted.rules.rules()]
    elsewhere = sorted(name for name in _everywhere(world.shelf) if name.startswith(only))
    near = nearest(only, names)
    if elsewhere:
        do = f"{elsewhere[0]} stands in another book or edition: oktocover rules --jurisdiction PLACE that adopts it"
    else:
        do = f"did you mean '{near}'?" if near else "see the names there are: oktocover rules"
    raise InputProblems([Problem(None, f"no rule here is called '{only}'", do=do)])


def _everywhere(shelf: Library) -> set[str]:
    return {name for edition in shelf.editions for name in shelf.folded(edition).things["rules"]}
