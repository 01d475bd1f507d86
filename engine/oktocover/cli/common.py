"""What the commands share: finding the site, the rules and the day."""

from __future__ import annotations

import contextlib
import datetime
import os
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache, partial
from pathlib import Path
from typing import Any

import click

from oktocover.data import data_dir
from oktocover.quantities import read_date
from oktocover.reading.companions import is_answers
from oktocover.reading.nodes import read_yaml_file
from oktocover.reading.problems import InputProblems, Problem
from oktocover.reading.site_file import SiteFile, make_site, named_place, site_documents
from oktocover.rules.declared_places import declared_for, who_declares
from oktocover.rules.library import MODEL, Adopted, Library
from oktocover.site.declared import NOTHING, speaking

HERE = "site.yaml"
"""The site file meant where none is named."""


def site_path(name: str) -> Path:
    """The site file or folder a person names: a path, or the name of a shipped example."""
    path = Path(name)
    if path.exists():
        return path
    first, _, rest = name.partition("/")
    try:
        example = data_dir("examples") / first
    except FileNotFoundError:
        example = path
    if example.is_dir():
        return example / (rest or "site.yaml")
    raise InputProblems(
        [
            Problem(
                None,
                f"there is no file or folder '{name}'",
                "a site file, a folder of site files, or the name of an example",
                "write one with: oktocover start",
            )
        ]
    )


def site_and_what(site: str, what: str) -> tuple[str, str]:
    """What a person gave as SITE and WHAT; beside a site.yaml, one word that is no file and no example is WHAT."""
    here = Path(HERE)
    if not site:
        return HERE, what
    plain = not site.endswith((".yaml", ".yml")) and not Path(site).exists() and here.is_file() and not what
    return (HERE, site) if plain and not (data_dir("examples") / site.partition("/")[0]).is_dir() else (site, what)


def read_day(text: str | None) -> datetime.date:
    """The day of the check: given, so that two runs give the same bytes, or today."""
    if text is None:
        return datetime.date.today()
    try:
        return read_date(text)
    except ValueError as error:
        raise InputProblems([Problem(None, f"--today: {error}")]) from None


def library(folder: str | None) -> Library:
    """The rulesets: the shipped ones, or a folder of one's own."""
    if folder is not None and not Path(folder).is_dir():
        raise InputProblems([Problem(None, f"there is no folder '{folder}'", "a folder laid out like rulesets/")])
    return Library(Path(folder) if folder else None)


def read_with_place(
    path: Path, day: datetime.date, rulesets: str | None, answers: Sequence[str] = ()
) -> tuple[SiteFile, Adopted]:
    """A site read with the facts its place declares and the answers of some files, and the rules in force for it.

    Until the command ends, whatever it prints knows those facts too.
    """
    read = read_declared(path, day, rulesets, answers)
    return read, adopted_for(read, path, rulesets)


def read_declared(path: Path, day: datetime.date, rulesets: str | None, answers: Sequence[str] = ()) -> SiteFile:
    """A site read with the facts its place declares."""
    shelf, documents = library(rulesets), site_documents(path)
    jurisdiction, standards, named = named_place(documents)
    beside = path if path.is_dir() else path.parent
    given = [read_yaml_file(file, str(file)) for name in answers for file in _answers_files(Path(name))]
    unknown: list[Problem] = []
    try:
        declared = declared_for(shelf, jurisdiction, standards, beside)
    except InputProblems as error:
        declared = NOTHING
        where = next(iter(named.values()), None)
        unknown = [one if one.place else replace(one, place=where) for one in error.problems]
    context = click.get_current_context(silent=True)
    if context is not None:
        context.with_resource(speaking(declared))
    elsewhere = cache(partial(who_declares, shelf))
    try:
        return make_site(documents, str(path), day, declared, elsewhere, given)
    except InputProblems as error:
        # a fact that this place would know looks wrong while the place itself cannot be read
        raise InputProblems([*unknown, *error.problems]) from None


def _answers_files(path: Path) -> list[Path]:
    """A file of answers, or every one of a folder."""
    if not path.is_dir():
        return [path]
    found = sorted(one for one in path.iterdir() if one.suffix in (".yaml", ".yml") and is_answers(one))
    if not found:
        do = "save one from the field sheet: answers-<site>-<day>-<initials>.yaml"
        raise InputProblems([Problem(None, f"the folder '{path}' holds no file of answers", do=do)])
    return found


def adopted_for(read: SiteFile, path: Path, rulesets: str | None) -> Adopted:
    """The rules in force for a site, on its days and for its use; a place nobody has entered is told at its line."""
    from oktocover.check import in_force

    shelf = library(rulesets)
    permit, beside = read.site.permit, path if path.is_dir() else path.parent
    named: list[tuple[tuple[str | int, ...], str, Callable[[str, Path], object]]] = []
    if permit.jurisdiction:
        named.append((("permit", "jurisdiction"), permit.jurisdiction, shelf.place))
    named += [(("permit", "standards", number), name, shelf.standard) for number, name in enumerate(permit.standards)]
    problems: list[Problem] = []
    for where, name, find in named:
        try:
            find(name, beside)
        except InputProblems as error:
            problems += [one if one.place else replace(one, place=read.place(where)) for one in error.problems]
    if problems:
        raise InputProblems(problems)
    return in_force(read, shelf.adopt(permit.jurisdiction, permit.standards, beside))


def refuse_rings(shelf: Library, jurisdiction: str | None, beside: Path) -> None:
    """Raise InputProblems, at the line `in:`, for a place that lies in itself or in a place nobody has entered."""
    shelf.places_around(shelf.place(jurisdiction or MODEL, beside), beside)


def rulesets_option(function: Any) -> Any:
    """`--rulesets FOLDER`."""
    return click.option(
        "--rulesets",
        "rulesets",
        metavar="FOLDER",
        default=None,
        help="A folder of rules to use instead of the shipped ones.",
    )(function)


def answers_option(function: Any) -> Any:
    """`--with FILE`, several times."""
    return click.option(
        "--with",
        "answers",
        metavar="FILE",
        multiple=True,
        help="A file of answers from the field (or a folder of them), laid into the site for this run; may be repeated.",
    )(function)


def today_option(function: Any) -> Any:
    """`--today YYYY-MM-DD`."""
    return click.option(
        "--today",
        metavar="DAY",
        default=None,
        help="The day of the check, such as 2026-05-03 (printed; today if left out).",
    )(function)


def tell(text: str, for_programs: bool = False) -> None:
    """Print an answer; what programs read is UTF-8 on any terminal. A reader that has left changes no exit code."""
    try:
        click.echo(text.encode("utf-8") if for_programs else text, nl=False)
        sys.stdout.flush()
    except BrokenPipeError:
        # Python would flush once more at its end, and complain.
        with contextlib.suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


class Progress:
    """Says how far a long check is, once a second, to whoever sits before it; a quick check says nothing."""

    def __init__(self, what: str) -> None:
        self.what = what
        self.next = time.monotonic() + 1 if sys.stderr.isatty() else float("inf")

    def __call__(self, done: int, of: int) -> None:
        """Called often; speaks seldom."""
        if time.monotonic() >= self.next:
            self.next = time.monotonic() + 1
            click.echo(f"{self.what}: {done} of {of} rules ...", err=True)
