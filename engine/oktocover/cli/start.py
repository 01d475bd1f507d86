"""`oktocover start`: a new site file, from a few questions in plain words. It writes no measurement for anybody."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from oktocover.cli.common import library, read_day, rulesets_option, today_option
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Problem
from oktocover.rules.library import MODEL

STOPPED = 130
"""Exit code when the questions were broken off, as a shell has it."""
ANSWERS = ("yes", "no", "not sure")
SYSTEMS = (
    ("electrical", "Is there new wiring?"),
    ("fuel gas", "Is there gas piping, natural or propane?"),
    ("fuel burning appliances", "Does anything burn gas, oil or wood (heater, water heater, kiln)?"),
    ("rated walls", "Is a garage next to rooms, or a wall near the lot line or fire-rated on the plans?"),
    ("fireplaces", "Is there a fireplace?"),
    ("exhaust fans", "Do fans blow air out of the building?"),
    ("spray finishing", "Will anything be sprayed (glaze, paint, finish)?"),
)
OCCUPANCIES = ("one family", "two family", "accessory", "business", "other", "not sure")
BLANKS = """
# The rooms, each with its use and its size to the framing. A rectangle: size, east-west by north-south.
spaces:
  # studio: {level: main, use: workshop, size: 18 ft x 17 ft, corner: "0 ft, 0 ft", ceiling: 9 ft}

# Doors, windows and the like: which wall (room.wall, seen from inside), from its left end, how wide.
openings:
  # D1: {wall: studio.south, at: 3 ft, width: 36 in, what: door, sill: 0 in, high: 80 in}
"""
TRADES = {
    "electrical": """
receptacles:
  # R-01: {wall: studio.north, at: 4 ft 9 in, height: 44 in, mount: wall}
""",
    "fuel gas": """
gas pipes:
  # G-1: the pipe from the meter, then each branch

gas tests:
  # T-1: medium, pressure, started, ended, gauge
""",
    "fuel burning appliances": """
appliances:
  # A-1: {space: garage, what: unit heater, fuel: natural gas, input: "45,000 Btu/h", draft: mechanical draft}
""",
}
FOOT = """
# When you have walked a room with a list and it is whole, say so; until then a list is open and proves nothing.
looked:
  # - {list: openings, in: studio, whole: yes, by: M.K., day: 2026-05-03}
"""


PLACE = "jurisdiction"
"""The word after `start` that asks for the file of a place instead of a site."""


@click.command("start")
@click.argument("what", nargs=-1, metavar="[FILE | jurisdiction [NAME]]")
@click.option("--yes", "sure", is_flag=True, help="For a place: ask nothing, take the model books.")
@today_option
@rulesets_option
def command(what: tuple[str, ...], sure: bool, today: str | None, rulesets: str | None) -> None:
    """Ask at most twelve questions and write FILE (site.yaml if left out): a site that loads.

    `start jurisdiction NAME` writes the file of a place instead (NAME, or a path that ends in .yaml), with an example
    of each thing such a file can say, commented out. Every blank has a comment that says what belongs there.
    """
    if what[:1] == (PLACE,):
        if len(what) > 2:
            raise click.UsageError(
                f'a name of several words stands in quotes: start jurisdiction "{" ".join(what[1:])}"'
            )
        _place(what[1] if len(what) == 2 else "", sure, today, rulesets)
        return
    if len(what) > 1 or sure:
        raise click.UsageError("start writes one file: start, start site.yaml, or start jurisdiction NAME [--yes]")
    _site(what[0] if what else "site.yaml", rulesets)


def _place(name: str, sure: bool, today: str | None, rulesets: str | None) -> None:
    from oktocover.cli.start_place import start_place

    if sure and not name:
        raise click.UsageError('--yes asks nothing, so name the place: start jurisdiction "Elk Fork" --yes')
    try:
        start_place(library(rulesets), name, sure, read_day(today).isoformat())
    except click.Abort:
        _stopped()


def _stopped() -> None:
    click.echo("\nstopped before the last answer: nothing is written", err=True)
    sys.exit(STOPPED)


def _site(file: str, rulesets: str | None) -> None:
    path = Path(file)
    if path.exists():
        raise InputProblems(
            [Problem(None, f"'{file}' is there already", do="name another file, or move this one away")]
        )
    shelf = library(rulesets)
    try:
        text = "".join(_asked(sorted(set(shelf.places) - {MODEL})))
    except click.Abort:
        _stopped()
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("x", encoding="utf-8") as stream:
        stream.write(text)
    click.echo(f"\n{file} is written. Fill in what you know, line by line, then run: oktocover check {file}")


def _asked(places: list[str]) -> list[str]:
    name = click.prompt("1. What is the building called", default="not sure", show_default=False).strip()
    place = click.prompt(
        f"2. Which town or county ({', '.join(places) or 'none is entered yet'}; or not sure)",
        default="not sure",
        show_default=False,
    ).strip()
    occupancy = click.prompt("3. What is it", type=click.Choice(OCCUPANCIES), default="not sure", show_choices=True)
    applied = click.prompt(
        "4. Day of the permit application (2026-05-03, or not sure)",
        default="not sure",
        show_default=False,
        value_proc=_read_day,
    )
    taped = click.prompt(
        "5. Will you measure to the bare framing or to the finished face",
        type=click.Choice(["bare framing", "finished face", "not sure"]),
        default="bare framing",
    )
    said = {
        system: click.prompt(f"{number}. {question}", type=click.Choice(ANSWERS), default="not sure")
        for number, (system, question) in enumerate(SYSTEMS, 6)
    }
    return [
        *_head(name, place, occupancy, applied, taped, places),
        *_described(said),
        "\nlevels:\n  main: {}\n",
        BLANKS,
        *(text for system, text in TRADES.items() if said.get(system) != "no"),
        FOOT,
    ]


def _head(name: str, place: str, occupancy: str, applied: str, taped: str, places: list[str]) -> list[str]:
    known = place.lower().replace("-", " ") in places
    lines = [
        f"site: {_quoted(name)}\n" if name != "not sure" else "site:    # what the building is called\n",
        "permit:\n",
    ]
    if known:
        lines.append(f"  jurisdiction: {place}\n")
    elif place == "not sure":
        lines.append("  jurisdiction:    # the town or county; left out, the model books stand in\n")
    else:
        lines.append(
            f"  jurisdiction:    # {_comment(place)}: nobody has entered it{_like(place, places)}.\n"
            "  # These are the model books' figures. Ring the office and ask: which editions, test pressure and\n"
            "  # time of the gas pipe, which gauge, how much notice, in which order the visits come, whether an\n"
            "  # owner may do the gas and the wiring, frost or burial depth. Then write a place file of your own.\n"
        )
    lines.append(
        f"  occupancy: {occupancy}\n" if occupancy != "not sure" else "  occupancy:    # what the building is used as\n"
    )
    lines.append(
        f"  applied: {applied}\n"
        if applied != "not sure"
        else "  applied:    # day of the permit application, such as 2026-05-03\n"
    )
    lines.append(
        f"measured to: {taped}\n" if taped != "not sure" else "measured to:    # bare framing or finished face\n"
    )
    lines.append("still to come:    # finish not there yet: {walls: 1/2 in, ceiling: 5/8 in, floor: none}\n")
    return lines


def _described(said: dict[str, str]) -> list[str]:
    lines = ["\n# What there is, what there is not, and what nobody is sure of.\ndescribed:\n"]
    for system, answer in said.items():
        lines.append(f"  {system}: {'none' if answer == 'no' else answer}\n")
    return lines


def _read_day(text: str) -> str:
    from oktocover.quantities import read_date

    if text.strip().lower() in ("", "not sure"):
        return "not sure"
    try:
        return read_date(text).isoformat()
    except ValueError as error:
        raise click.BadParameter(str(error)) from None


def _like(place: str, places: list[str]) -> str:
    near = nearest(place, places)
    return f"; did you mean {near}?" if near else ""


def _quoted(text: str) -> str:
    plain = "".join(ch for ch in text if ch.isprintable())[:120]
    return '"' + plain.replace("\\", "").replace('"', "'") + '"'


def _comment(text: str) -> str:
    return "".join(ch for ch in text if ch.isprintable())[:60]
