"""`oktocover start jurisdiction`: a new file for a place, with an example of each thing it can say, commented out."""

from __future__ import annotations

import os
import re
from pathlib import Path
from string import Template

import click

from oktocover.data import data_dir
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Problem
from oktocover.rules.layers import slug
from oktocover.rules.library import MODEL, Library

NOT_SURE = "not sure"
NEW = "a new place"
BOOKS = (("houses", ("irc",)), ("gas", ("ifgc", "nfpa54", "upc")), ("wiring", ("nec",)))
"""What a place adopts, and which books there are for it."""
USUAL = {"houses": "irc 2021", "gas": "ifgc 2021", "wiring": "nec 2020"}
FIGURE = {
    "ifgc": "test-hold.short: 20 min",
    "nfpa54": "test-hold.short: 20 min",
    "upc": "test-hold.ordinary_hold: 20 min",
}
"""A figure of each gas book that an example sets: another value than the book's, within three times of it."""

TEXT = Template("""\
# yaml-language-server: $$schema=$schema
## $place: what the place adopts, and what it changes. Lines with ## are notes. Under each note stands an example: take
## the '# ' off its lines, put your own figures in, and delete what you do not need. After each step: oktocover rules
## --jurisdiction $file shows what is in force, with --against "$model" what is otherwise. The ordinance governs; say it
## here in your own words, with its section.
place: $quoted
$inside
## The editions your ordinance adopts. A later one from a day on: {book: nec 2023, from: 2027-01-01}, and on the line of
## the one before it: until: 2027-01-01.
adopts:
$adopts
$facts
## One entry a change: a name of your own, the section that says so (cite), the ordinance (passed), and what it does.
## Names and numbers of rules: oktocover rules --section 406.4.2, then oktocover rules $gas.test-hold
changes:

  ## A NUMBER: another figure where the book has one. Cases prove it: on these facts this verdict, and what it was.
  # longer-gas-test:
  #   cite: $place Code 15.08.040(B)
  #   passed: Ordinance 412, 2026-05-09
  #   set: {$gas.$figure}
  #   cases:
  #     - {rule: $gas.test-hold, given: {$held, held: 19 min 59 s}, verdict: not met, was: met}

  ## 'DELETE IN ITS ENTIRETY' can mean three things. Say which one, the rule itself is compared with it:
  ## 1. duty gone: nobody has to do it any more. What was asked for is asked for no longer.
  # no-written-record:
  #   cite: $place Code 15.08.050
  #   strike: {$gas.test-record: duty gone}
  #   cases:
  #     - {rule: $gas.test-record, given: {gauge: not recorded}, verdict: none, was: not recorded}

  ## 2. ban gone: what was forbidden may be done. It loosens a rule that keeps people from harm: it says meant: yes.
  # opening-into-bedroom:
  #   cite: $place Code 15.04.110
  #   meant: yes
  #   strike: {irc.garage-bedroom: ban gone}
  #   cases:
  #     - {rule: irc.garage-bedroom, given: {}, verdict: none, was: not recorded}

  ## 3. permission gone: what was allowed is forbidden now. An entry of a list of what may be used, an exception, a way.
  # no-carbon-dioxide:
  #   cite: $place Code 15.08.060
  #   strike: {$gas.test-medium.media.carbon dioxide: permission gone}
  #   cases:
  #     - {rule: $gas.test-medium, given: {medium: carbon dioxide}, verdict: not met, was: met}

  ## A RULE OF YOUR OWN, with a fact that nobody asked about before (the fact is declared above, under facts).
  # meter-out-of-snow:
  #   cite: $place Code 15.10
  #   add:
  #     $slug.meter-guard:
  #       title: Meter out of sliding snow
  #       section: $place Code 15.10
  #       trade: gas
  #       stage: rough gas
  #       severity: hazard
  #       each: gas_system
  #       join: any
  #       items: {placed: out_of_snow, accepted: {approval: Place or guard of the meter accepted}}
  #       remedy: Move the meter, or ask the office about a guard.
  #       basis: {check: seen, source: $place Code 15.10}
  #   cases:
  #     - {rule: $slug.meter-guard, given: {out_of_snow: yes}, verdict: met, was: none}

  ## AN EXCEPTION: when it holds, the rule is met. It can only help.
  # joints-by-photograph:
  #   cite: $place Code 15.08.070
  #   add: {$gas.test-joints: {unless: {photographed: {approval: The office accepts photographs of the joints}}}}
  #   cases:
  #     - rule: $gas.test-joints
  #       given: {joints_exposed: no, covered_joints_tested: no, record.photographed: yes}
  #       verdict: met
  #       was: not met

  ## A CELL OF A TABLE: the rule, the table, and in brackets its row (and column).
  # thicker-board:
  #   cite: $place Code 15.04.120
  #   set: {"irc.block-material.least_thickness[gypsum board]": 5/8 in}
  #   cases:
  #     - rule: irc.block-material
  #       item: thick_enough
  #       given: {material: gypsum board, thickness: 1/2 in}
  #       verdict: not met
  #       was: met

  ## VISITS: which comes after which, how long before you are called, what has to be ready.
  # wiring-after-gas:
  #   cite: $place Code 15.02.030
  #   add:
  #     irc.rough electrical.after: {rough gas: $place Code 15.02.030}
  #     irc.rough electrical: {notice: 24 h}
  #   cases:
  #     - {card: rough electrical, after: rough gas, was: none}
  #     - {card: rough electrical, notice: 24 h, was: none}

  ## FROM A DAY ON, until a day: what has not begun, or is over, is not in force.
  # no-foam-for-some-years:
  #   cite: $place Code 15.08.045
  #   from: 2027-01-01
  #   until: 2029-01-01
  #   strike: {irc.hole-air-seal.air_seals.foam: permission gone}
  #   cases:
  #     - rule: irc.hole-air-seal
  #       given: {envelope: yes, air_seal: foam, permit.applied: 2027-05-01}
  #       verdict: not met
  #       was: met

## FOR A COUNTY OR A STATE: what the places below may not do. Whether a change weakens is worked out from the rule.
# bounds:
#   gas tests: {rules: [$gas.test-hold], lower layers: may not weaken, cite: $place Code 15.01}

## WHAT THE PLACE ALSO CHANGED and no rule here covers: it is printed with every check, so that nobody takes this file for
## the ordinance.
# not checked here:
#   snow load: {cite: $place Code 15.04.020, about: ground snow load by elevation}

## WHO HAS CHECKED this file against the ordinance. Until then every page says that nobody of the town has; a year later it
## says how long ago that was.
# checked by: {office: $place building department, date: $today}
""")
FACTS = Template("""
## Facts your own rules ask for and the model does not know: the kind of thing, a dot, the fact.
# facts:
#   gas_system.out_of_snow: {type: yes or no, found by: look, means: whether the meter stands out of sliding snow}
""")


def start_place(shelf: Library, name: str, sure: bool, today: str) -> None:
    """Ask for name, place around and editions (`sure`: ask nothing), and write the file. It loads as it is.

    InputProblems when the file is there already or an answer is none that can be.
    """
    name = name or ("" if sure else click.prompt("1. What is the place called").strip())
    title, path = _file(name)
    if path.exists():
        raise InputProblems(
            [Problem(None, f"'{path}' is there already", do="name another file, or move this one away")]
        )
    known = sorted(set(shelf.places) - {MODEL})
    inside = NEW if sure else _which("2. Which county or state does it lie in", (NEW, *known))
    chosen = {what: _edition(shelf, number, what, books, sure) for number, (what, books) in enumerate(BOOKS, 3)}
    text = place_text(shelf, title, path, "" if inside == NEW else inside, chosen, today)
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("x", encoding="utf-8") as stream:
        stream.write(text)
    click.echo(f"{path} is written. It loads as it is: oktocover rules --jurisdiction {path}")


def _file(name: str) -> tuple[str, Path]:
    """The place's title and the file for it: 'Elk Fork' is elk-fork.yaml, my/elk-fork.yaml is Elk Fork."""
    shown = "".join(ch for ch in name if ch.isprintable()).strip()
    if shown.endswith((".yaml", ".yml")):
        path = Path(shown)
        return _title(path.stem.replace("-", " ").replace("_", " ").title()), path
    if not slug(shown):
        raise InputProblems([Problem(None, "the place has no name", 'oktocover start jurisdiction "Elk Fork"')])
    return _title(shown), Path(f"{slug(shown)}.yaml")


def _title(text: str) -> str:
    """A name that can stand in YAML and in a comment as it is."""
    return " ".join(re.sub(r"[^\w .'&()/-]", " ", text).split())[:80]


def _which(question: str, choices: tuple[str, ...]) -> str:
    """One of some answers; a slip of the pen is asked again with the nearest."""

    def read(text: str) -> str:
        plain = " ".join(text.lower().replace("-", " ").split())
        if plain in choices:
            return plain
        near = nearest(plain, choices)
        raise click.BadParameter(f"one of: {', '.join(choices)}" + (f"; did you mean {near}?" if near else ""))

    said: str = click.prompt(
        f"{question} ({', '.join(choices)})", default=choices[0], show_default=False, value_proc=read
    )
    return said


def _edition(shelf: Library, number: int, what: str, books: tuple[str, ...], sure: bool) -> str:
    names = [name for name in shelf.editions if name.partition(" ")[0] in books]
    usual = USUAL[what] if USUAL[what] in names else names[-1]
    return (
        NOT_SURE
        if sure
        else _which(f"{number}. Which book for {what}", (NOT_SURE, usual, *(n for n in names if n != usual)))
    )


def place_text(shelf: Library, title: str, path: Path, inside: str, chosen: dict[str, str], today: str) -> str:
    """The text of the file. `chosen`: the edition of houses, gas and wiring, or 'not sure' for the usual one."""
    taken = {what: USUAL[what] if edition == NOT_SURE else edition for what, edition in chosen.items()}
    lines = []
    for what, edition in taken.items():
        ask = "    ## not sure: ask the office which edition" if chosen[what] == NOT_SURE else ""
        lines.append(f"  {what}: {{book: {edition}}}{ask}\n")
    gas = taken["gas"].partition(" ")[0]
    words = {
        "schema": _schema(path),
        "place": title,
        "quoted": f'"{title}"',
        "file": str(path),
        "model": MODEL,
        "inside": f"in: {shelf.place(inside).name}\n" if inside else "",
        "adopts": "".join(lines).rstrip("\n"),
        "gas": gas,
        "figure": FIGURE[gas],
        "held": _held(gas),
        "slug": slug(title),
        "today": today,
    }
    return TEXT.substitute(words, facts=FACTS.substitute(words))


def _held(gas: str) -> str:
    """The facts besides the time that the case of a gas test needs."""
    if gas == "upc":
        return "working: 7 in w.c., pipes: [{material: steel, joints: threaded}]"
    return "building.use: accessory, pipes: [{material: steel, size: 3/4 in, length: 20 ft}]"


def _schema(path: Path) -> str:
    """The way from the file to the schema of this copy of the tool, for the editor."""
    schema = data_dir("schemas") / "jurisdiction.schema.json"
    try:
        return Path(os.path.relpath(schema, path.resolve().parent)).as_posix()
    except ValueError:  # another drive
        return schema.as_uri()
