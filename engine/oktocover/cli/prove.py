"""`oktocover prove`: run the cases of a ruleset, and show what no case would notice."""

from __future__ import annotations

import json
import sys

import click

from oktocover.cli.common import library, rulesets_option
from oktocover.measures import trades
from oktocover.rules.prove import Proof, prove

assert trades


@click.command("prove")
@click.argument("only", required=False, default="")
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", help="How to print.")
@click.option("--all", "every", is_flag=True, help="Also list what is proven.")
@rulesets_option
def command(only: str, form: str, every: bool, rulesets: str | None) -> None:
    """Prove the rulesets, or the part whose book, rule or layer begins with ONLY.

    Every case must come out as written, and taking out any name or moving any number by one trade step must turn a case.
    """
    proofs = prove(library(rulesets), only, _progress if form == "text" and sys.stderr.isatty() else None)
    click.echo(_as_json(proofs) if form == "json" else _as_text(proofs, every))
    if not proofs:
        click.echo(f"nothing here is called '{only}'", err=True)
        sys.exit(2)
    sys.exit(0 if all(proof.whole for proof in proofs) else 1)


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
    lines.append(
        f"{whole} of {len(proofs)} proven; {sum(p.cases for p in proofs)} cases, {sum(len(p.proven) for p in proofs)} names and numbers"
    )
    return "\n".join(lines)
