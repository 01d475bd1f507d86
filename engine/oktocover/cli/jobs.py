"""One site judged on its own: from its path to its findings, with nothing left behind, in this process or another."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from oktocover import __version__
from oktocover.check import ALL_VISITS, check, in_force
from oktocover.cli.answers import idle_answers, open_slips, refuse_unknown_visits
from oktocover.cli.common import library
from oktocover.findings.checked import Checked
from oktocover.measures import trades
from oktocover.reading.companions import PINNED, SET_ASIDE, companion
from oktocover.reading.problems import InputProblems, Problem
from oktocover.reading.site_file import SiteFile, make_site, named_place, site_documents
from oktocover.rules.declared_places import declared_for
from oktocover.rules.fingerprints import changed_since, fingerprints
from oktocover.rules.library import Adopted, Library
from oktocover.rules.pinned import Pinned, read_pinned
from oktocover.site.declared import speaking

if TYPE_CHECKING:
    from oktocover.reports.portfolio import Job

assert trades

NAMED = 3
"""Changed rules that are named in a sentence."""


@dataclass(frozen=True, slots=True)
class Judged:
    """A site, the rules in force for it, and what they found."""

    read: SiteFile
    adopted: Adopted
    checked: Checked


@cache
def shelf_of(rulesets: str | None) -> Library:
    """The rulesets, read once in a process however many sites are checked."""
    return library(rulesets)


def judge(path: Path, day: datetime.date, rulesets: str | None = None, visit: str | None = None) -> Judged:
    """Read and check one site. InputProblems holds all that is wrong with it or its rules."""
    shelf, documents = shelf_of(rulesets), site_documents(path)
    jurisdiction, standards, _ = named_place(documents)
    beside = path if path.is_dir() else path.parent
    declared = declared_for(shelf, jurisdiction, standards, beside)
    with speaking(declared):
        read = make_site(documents, str(path), day, declared)
        permit = read.site.permit
        adopted = in_force(read, shelf.adopt(permit.jurisdiction, permit.standards, beside))
        refuse_unknown_visits(read, adopted)
        checked = check(read, adopted, day, visit, figures=False)
        warned = (*checked.warnings, *idle_answers(read, adopted, checked), *open_slips(read))
    return Judged(read, adopted, replace(checked, warnings=warned))


def laid_aside(checked: Checked, path: Path, file: str | None = None, nobody: bool = False) -> Checked:
    """The check of a site with what is set aside: by the file named, or by the one beside the site, if there is one.

    `nobody`: whoever set it aside is not named.
    """
    target = Path(file) if file is not None else companion(path, SET_ASIDE)
    if not target.exists():
        if file is not None:
            do = "write one with: oktocover set-aside SITE --who ... --why ... --until ..."
            raise InputProblems([Problem(None, f"there is no file '{file}'", do=do)])
        return checked
    from oktocover.reading.set_aside import read_set_aside
    from oktocover.reports.baseline import lay_aside
    from oktocover.reports.people import LEFT_OUT

    entries = read_set_aside(target, str(target))
    return lay_aside(checked, [replace(one, who=LEFT_OUT) for one in entries] if nobody else entries)


def pinned_of(path: Path) -> Pinned | None:
    """The rules a site was pinned to, if it was."""
    target = companion(path, PINNED)
    return read_pinned(target, str(target)) if target.exists() else None


def with_rules(checked: Checked, adopted: Adopted, pinned: Pinned | None) -> Checked:
    """The check with what each of its rules says, and a warning where that is not what was pinned."""
    now = fingerprints(adopted)
    checked = replace(checked, rules=now)
    if pinned is None:
        return checked
    turned = list(changed_since(pinned.rules, now))
    if not turned:
        if pinned.tool in ("", __version__):
            return checked
        told = f"{pinned.file}: the rules are those pinned; they were pinned with version {pinned.tool}, this is {__version__}"
        return replace(checked, warnings=(told, *checked.warnings))
    parts = []
    for how in ("changed", "new", "gone"):
        names = [name for name, said in turned if said == how]
        if names:
            more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
            parts.append(f"{len(names)} {how} ({', '.join(names[:NAMED])}{more})")
    since = f" on {pinned.day}" if pinned.day else ""
    warned = (
        f"{pinned.file}: the rules are not those pinned{since}: {'; '.join(parts)}. Look at what turned, then pin them "
        "anew: oktocover rules --site SITE --pin"
    )
    return replace(checked, warnings=(warned, *checked.warnings))


def old_rules(judged: Judged, now: SiteFile, path: Path, day: datetime.date, rulesets: str | None) -> Checked | None:
    """The site as it is now under the rules of the site as it was; None where they cannot be laid on it."""
    permit, beside = judged.read.site.permit, path if path.is_dir() else path.parent
    try:
        adopted = shelf_of(rulesets).adopt(permit.jurisdiction, permit.standards, beside)
        return check(now, adopted, day, ALL_VISITS, figures=False)
    except InputProblems:
        return None


@dataclass(frozen=True, slots=True)
class Ask:
    """One site to look at, as plain values that travel to any process."""

    path: str
    today: str
    rulesets: str | None = None
    without_people: bool = False


def look(ask: Ask) -> Job:
    """How one site stands for its next visit. It reads files and changes nothing: the same ask, the same job."""
    from oktocover.reports.people import people_in, without_people
    from oktocover.reports.portfolio import job_of, unreadable

    path, day = Path(ask.path), datetime.date.fromisoformat(ask.today)
    try:
        judged = judge(path, day, ask.rulesets)
        pinned = pinned_of(path)
        checked = judged.checked if pinned is None else with_rules(judged.checked, judged.adopted, pinned)
        checked = laid_aside(checked, path, nobody=ask.without_people)
    except InputProblems as error:
        return unreadable(ask.path, error.problems[0].text())
    except OSError as error:
        return unreadable(ask.path, f"{ask.path}: {error.strerror or error}")
    except Exception as error:  # one job that the tool fails on must not hide the others
        return unreadable(ask.path, f"this is a fault of the tool, not of your file ({type(error).__name__}: {error})")
    job = job_of(checked, ask.path)
    if not ask.without_people:
        return job
    return without_people(job, people_in(judged.read))
