"""`oktocover portfolio`: many sites, soonest visit first: job, visit, what blocks, whose trade."""

from __future__ import annotations

import json
import multiprocessing
import os
import re
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

import click

from oktocover.cli.common import read_day, rulesets_option, site_path, tell, today_option
from oktocover.cli.jobs import Ask, look
from oktocover.reading.companions import is_companion
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Problem
from oktocover.reports.portfolio import Job, exit_code, in_order, portfolio_object, portfolio_text, trades_of

Mapper = Callable[[Callable[[Ask], Job], Sequence[Ask]], Iterable[Job]]
"""Runs a function over many values, here or elsewhere: `map`, `pool.map`, or a cluster's."""
LIST = ".txt"
MOST_SITES = 10_000
MOST_READ = 1_000_000
"""Characters of a file that are looked through for its `site:` line."""
_SITE = re.compile(r"^site\s*:", re.MULTILINE)
_OTHER = re.compile(r"^(?:place|book|cases|set aside|pinned)\s*:", re.MULTILINE)


@click.command("portfolio")
@click.argument("sites", nargs=-1, metavar="[SITE]...")
@click.option("--jobs", "workers", type=click.IntRange(1, 256), default=None, help="Processes. Default: by processors.")
@click.option("--trade", metavar="NAME", default="", help="Only the text to paste for this trade.")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print.")
@click.option("--without-people", "nobody", is_flag=True, help="Leave out initials, names and numbers of licences.")
@today_option
@rulesets_option
def command(
    sites: tuple[str, ...],
    workers: int | None,
    trade: str,
    form: str,
    nobody: bool,
    today: str | None,
    rulesets: str | None,
) -> None:
    """Check many sites for their next visits: three lines a job, soonest visit first, and a text a trade.

    Each SITE is a site file, a folder with sites in it or below it, or a list of such paths (a .txt file, one a line).
    Left out: the folder you are in. Exit code 2: one could not be read (the others are told all the same); 1: one has
    corrections; 3: facts of one are not recorded; 0: all are ready to call, on what is written.
    """
    day = read_day(today)
    asks = [Ask(path, day.isoformat(), rulesets, nobody) for path in found_sites(sites or (".",))]
    jobs = portfolio(asks, _mapper(workers, len(asks)))
    if trade and trade not in trades_of(jobs):
        _no_trade(trade, jobs)
    if form == "json":
        told = json.dumps(portfolio_object(jobs, day), indent=2, ensure_ascii=False, allow_nan=False) + "\n"
    else:
        told = portfolio_text(jobs, day, trade=trade)
    tell(told, for_programs=form == "json")
    sys.exit(exit_code(jobs))


def portfolio(asks: Sequence[Ask], mapped: Mapper = map) -> list[Job]:
    """How every job stands, soonest visit first. `mapped` runs `look` over the asks, wherever it likes.

    `look` is a plain function of a plain value to a plain value, so that a cluster can run it:
    `portfolio(asks, lambda look, asks: client.gather(client.map(look, asks)))`.
    """
    return in_order(mapped(look, asks))


def _mapper(workers: int | None, count: int) -> Mapper:
    """Worker processes for many sites; this process alone for a few."""
    processes = min(workers or max(1, min(os.cpu_count() or 1, count // 2)), count)
    if processes < 2:
        return map
    how = "fork" if "fork" in multiprocessing.get_all_start_methods() and sys.platform == "linux" else "spawn"

    def run(function: Callable[[Ask], Job], asks: Sequence[Ask]) -> list[Job]:
        with multiprocessing.get_context(how).Pool(processes) as pool:
            return pool.map(function, asks, chunksize=1)

    return run


def _no_trade(trade: str, jobs: Sequence[Job]) -> None:
    known = trades_of(jobs)
    near = nearest(trade, known)
    do = f"did you mean '{near}'?" if near else ""
    expected = "one of: " + ", ".join(known) if known else ""
    raise InputProblems([Problem(None, f"nothing waits for the trade '{trade}'", expected, do)])


def found_sites(named: Iterable[str]) -> list[str]:
    """The paths of all sites that are named, lie in a folder that is named, or stand in a list; each once."""
    found = dict.fromkeys(path for name in named for path in _sites(name))
    if not found:
        do = "name site files, or a folder that has some: a site file has a line `site: ...`"
        raise InputProblems([Problem(None, "there is no site here", do=do)])
    if len(found) > MOST_SITES:
        raise InputProblems([Problem(None, f"more than {MOST_SITES:,} sites", do="name fewer at a time")])
    return list(found)


def _sites(name: str) -> Iterator[str]:
    path = Path(name)
    if path.suffix == LIST and path.is_file():
        lines = (line.strip() for line in path.read_text(encoding="utf-8", errors="replace").splitlines())
        for one in (path.parent / line for line in lines if line and not line.startswith("#")):
            # what a list names and is not there is a job that could not be read
            yield from _below(one) if one.is_dir() else [str(one)]
    elif path.is_dir():
        yield from _below(path)
    else:
        yield str(site_path(name))


def _below(folder: Path) -> Iterator[str]:
    """The sites of a folder and its folders: each file with a `site:` line, or the whole folder where one file has it
    and others beside it are parts of the same site."""
    files = sorted(one for one in folder.iterdir() if one.suffix in (".yaml", ".yml") and one.is_file())
    texts = {one: _begin(one) for one in files if _plain_name(one)}
    own = [one for one, text in texts.items() if _SITE.search(text)]
    parts = [one for one, text in texts.items() if one not in own and not _OTHER.search(text)]
    if len(own) == 1 and parts:
        yield str(folder)
        return
    yield from map(str, own)
    inside = (one for one in folder.iterdir() if one.is_dir() and not one.is_symlink() and not one.name.startswith("."))
    for inner in sorted(inside):
        yield from _below(inner)


def _begin(path: Path) -> str:
    with path.open(encoding="utf-8", errors="replace") as stream:
        return stream.read(MOST_READ)


def _plain_name(path: Path) -> bool:
    return not path.name.startswith(".") and not is_companion(path)
