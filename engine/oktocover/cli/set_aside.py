"""`oktocover set-aside`: the findings an old project begins with, set aside until a visit; counted and listed, never lost."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from pathlib import Path

import click

from oktocover.check import ALL_VISITS, check
from oktocover.cli.answers import refuse_unknown_visits
from oktocover.cli.common import Progress, read_day, read_with_place, rulesets_option, site_path, today_option
from oktocover.findings.checked import Checked
from oktocover.findings.finding import Finding
from oktocover.measures import trades
from oktocover.reading.companions import SET_ASIDE, companion
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Problem
from oktocover.reading.set_aside import Entry, read_set_aside, with_entries
from oktocover.reports._plain import clean, counted
from oktocover.reports.baseline import HAZARD, lay_aside, may_be_set_aside

assert trades


@click.command("set-aside")
@click.argument("site", default="site.yaml")
@click.option("--who", metavar="INITIALS", default="", help="Who sets them aside.")
@click.option("--why", metavar="REASON", default="", help="The reason, in a few words.")
@click.option("--until", metavar="VISIT", default="", help="The visit at which they count again.")
@click.option(
    "--for", "visit", metavar="VISIT", default=None, help="Findings of this visit, or all. Default: the next one."
)
@click.option("--rule", "only", metavar="NAME", default="", help="Only findings of this rule, or of a book (nec).")
@click.option(
    "--file", "file", metavar="FILE", default=None, help=f"The file to write. Default: {SET_ASIDE} beside SITE."
)
@today_option
@rulesets_option
def command(
    site: str,
    who: str,
    why: str,
    until: str,
    visit: str | None,
    only: str,
    file: str | None,
    today: str | None,
    rulesets: str | None,
) -> None:
    """Set aside what is open in SITE (site.yaml if left out) today, so that only what is new stops the next check.

    The findings are written into a file that a person can read, which `check` finds beside the site. They stay counted
    and listed, with who, why and until when, and count again at that visit or when their work is covered. What can hurt
    someone is left out.
    """
    missing = [f"--{name}" for name, said in (("who", who), ("why", why), ("until", until)) if not said.strip()]
    if missing:
        raise click.UsageError(
            f"a finding is set aside by somebody, for a reason, until a visit: give {', '.join(missing)}"
        )
    path, day = site_path(site), read_day(today)
    read, adopted = read_with_place(path, day, rulesets)
    refuse_unknown_visits(read, adopted)
    checked = check(read, adopted, day, visit, Progress("checking"))
    _refuse_visit(until, checked)
    target = Path(file) if file is not None else companion(path, SET_ASIDE)
    known = read_set_aside(target, str(target)) if target.exists() else []
    waiting = [one for one in lay_aside(checked, known).of_visit() if one.open and _of_rule(one, only)]
    taken = [one for one in waiting if may_be_set_aside(one)]
    entries = [_entry(one, who, why, until, day) for one in taken]
    entries = [one for one in entries if (one.rule, one.element) not in {(old.rule, old.element) for old in known}]
    _refuse_reached(checked, entries, until)
    if entries:
        text = target.read_text(encoding="utf-8") if target.exists() else ""
        target.write_text(with_entries(text, entries, str(target)), encoding="utf-8", newline="\n")
    click.echo(_said(target, entries, until, [one for one in waiting if one.severity == "hazard"], checked))


def _of_rule(finding: Finding, only: str) -> bool:
    return not only or finding.rule == only or finding.rule.startswith(f"{only}.")


def _refuse_visit(until: str, checked: Checked) -> None:
    names = [one.name for one in checked.visits]
    if until not in names:
        near = nearest(until, names)
        do = f"did you mean '{near}'?" if near else ""
        raise InputProblems([Problem(None, f"there is no visit '{until}' here", "one of: " + ", ".join(names), do)])


def _refuse_reached(checked: Checked, entries: Sequence[Entry], until: str) -> None:
    """What would lapse in the same breath is not written."""
    lapsed = [one for one in lay_aside(checked, entries).set_aside if one.state == "lapsed"]
    if lapsed:
        note = lapsed[0].note
        message = f"{counted(len(lapsed), 'finding')} would lapse at once: {note}"
        raise InputProblems(
            [Problem(None, message, f"a visit after that, not '{until}'", "see the order: oktocover card")]
        )


def _entry(finding: Finding, who: str, why: str, until: str, day: datetime.date) -> Entry:
    return Entry(
        rule=finding.rule,
        element=finding.element,
        who=clean(who),
        why=clean(why),
        until=until,
        what=f"{clean(finding.title, 120)} ({finding.verdict})",
        day=day.isoformat(),
        identity=finding.identity,
    )


def _said(target: Path, entries: Sequence[Entry], until: str, hazards: Iterable[Finding], checked: Checked) -> str:
    visit = "any visit" if checked.visit == ALL_VISITS else checked.visit
    if not entries:
        lines = [f"nothing more to set aside for {visit}; {target} is as it was"]
    else:
        lines = [f"{counted(len(entries), 'finding')} of {visit} set aside until {until}: {target}"]
    left = sorted({f"{one.rule} of {clean(one.element, 60)}" for one in hazards})
    if left:
        lines.append(f"{counted(len(left), 'finding')} left out: {HAZARD}")
        lines += [f"  {one}" for one in left[:10]]
        lines += [f"  and {len(left) - 10:,} more"] if len(left) > 10 else []
    return "\n".join(lines)
