"""`oktocover prove`: run the cases of a ruleset, and show what no case would notice."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from oktocover.cli.common import library, rulesets_option, tell
from oktocover.measures import trades
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Problem
from oktocover.rules.library import Library
from oktocover.rules.prove import Proof, prove, prove_share
from oktocover.rules.read_layer import read_layer

assert trades
UNREAD = ("(cases)", "(files)")
"""Proofs that stand for files that could not be read: they are told whatever was asked for."""


@click.command("prove")
@click.argument("only", required=False, default="")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print.")
@click.option("--all", "every", is_flag=True, help="Also list what is proven.")
@click.option("--jobs", type=click.IntRange(1, 64), default=1, help="How many processes share the work.")
@rulesets_option
def command(only: str, form: str, every: bool, jobs: int, rulesets: str | None) -> None:
    """Prove the rulesets, or the part whose book, rule or layer begins with ONLY; or a place's file (ONLY is its path).

    Every case must come out as written. Taking out any name, or moving any number by one trade step, must turn a case.
    """
    written = only
    shelf = library(rulesets)
    only = _place_file(shelf, only)
    progress = _progress if form == "text" and sys.stderr.isatty() else None
    proofs = prove(shelf, only, progress) if jobs == 1 else _shared(rulesets, written, jobs)
    asked = [proof for proof in proofs if _asked(proof, only)]
    if not asked:
        raise InputProblems([_nothing(only, _names(shelf))])
    proofs = asked + [proof for proof in proofs if proof not in asked and proof.rule in UNREAD]
    tell((_as_json(proofs) if form == "json" else _as_text(proofs, every)) + "\n", for_programs=form == "json")
    sys.exit(0 if all(proof.whole for proof in proofs) else 1)


def _shared(rulesets: str | None, written: str, jobs: int) -> list[Proof]:
    """The whole proof, done by several processes."""
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    with ProcessPoolExecutor(jobs, get_context("spawn")) as pool:
        shares = pool.map(_share, [rulesets] * jobs, [written] * jobs, [(which, jobs) for which in range(jobs)])
        found = sorted((entry for share in shares for entry in share), key=lambda entry: entry[0])
    # a file that cannot be read is found by every share
    return list({(number, one.layer, one.rule, *one.failed): one for number, one in found}.values())


def _share(rulesets: str | None, written: str, share: tuple[int, int]) -> list[tuple[int, Proof]]:
    shelf = library(rulesets)
    return prove_share(shelf, _place_file(shelf, written), share)


def _place_file(shelf: Library, only: str) -> str:
    """A place's file takes its seat among the shipped places, so that it is proven like them; the place's name."""
    path = Path(only)
    if path.suffix not in (".yaml", ".yml") or not path.is_file():
        return only
    name = read_layer([path], {path: only}).name
    shelf.places[name.lower().replace("-", " ")] = path
    return name


def _name(proof: Proof) -> str:
    return proof.rule.rpartition(" ")[2]


def _names(shelf: Library) -> list[str]:
    rules = [name for edition in shelf.editions for name in shelf.folded(edition).things["rules"]]
    return [*shelf.editions, *shelf.places, *shelf.standards, *rules]


def _asked(proof: Proof, only: str) -> bool:
    return proof.layer.lower().startswith(only.lower()) or _name(proof).startswith(only)


def _nothing(only: str, names: list[str]) -> Problem:
    near = nearest(only, names)
    return Problem(None, f"nothing here is called '{only}'", do=f"did you mean '{near}'?" if near else "")


def _progress(name: str) -> None:
    click.echo(f"proving {name} ...", err=True)


def _as_json(proofs: list[Proof]) -> str:
    rows = [
        {
            "layer": p.layer,
            "rule": p.rule,
            "cases": p.cases,
            "failed": p.failed,
            "proven": p.proven,
            "not_proven": p.not_proven,
        }
        for p in proofs
    ]
    return json.dumps({"proofs": rows, "proven": all(p.whole for p in proofs)}, indent=2)


def _as_text(proofs: list[Proof], every: bool) -> str:
    lines = []
    for proof in proofs:
        mark = "proven" if proof.whole else "NOT PROVEN"
        lines.append(f"{proof.layer}: {proof.rule}: {proof.cases} cases, {len(proof.proven)} names and numbers: {mark}")
        lines += [f"    case fails: {text}" for text in proof.failed]
        lines += [f"    turns no case: {text}" for text in proof.not_proven]
        if every:
            lines += [f"    proven: {text}" for text in proof.proven]
    whole = sum(proof.whole for proof in proofs)
    cases, names = sum(p.cases for p in proofs), sum(len(p.proven) for p in proofs)
    lines.append(f"{whole} of {len(proofs)} proven; {cases} cases, {names} names and numbers")
    return "\n".join(lines)
