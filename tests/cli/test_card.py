"""`oktocover card` as a person meets it: exit codes, the shipped places, mistakes in the papers."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from .conftest import TODAY, Run, write

SHED = """\
site: Boat shed
permit: {jurisdiction: PLACE, occupancy: accessory}
described: {electrical: none, fuel gas: none, fuel burning appliances: none, rated walls: none, plumbing: none,
  floor heat: FLOOR, ductwork: none, fireplaces: none, exhaust fans: none, compressed air: none}
"""


def names(run: Run, text: str) -> list[str]:
    write(Path("site.yaml"), text)
    ran = run("card", "--format", "json", "--today", TODAY)
    assert ran.err == "", ran.err
    return [one["visit"] for one in json.loads(ran.out)["visits"]]


def shed(place: str = "Tallow Creek", floor: str = "none") -> str:
    return SHED.replace("PLACE", place).replace("FLOOR", floor)


def test_the_card_follows_the_order_of_the_place(run: Run) -> None:
    book = ["framing", "fireblocking and seal", "insulation", "final"]
    assert names(run, shed()) == book
    assert names(run, shed("Alder Reach")) == ["framing", "fireblocking and seal", "air seal", "insulation", "final"]
    assert names(run, shed("Quarry Flat")) == ["open walls", "insulation", "final"]


def test_what_is_described_puts_its_visits_on_the_card(run: Run) -> None:
    heated = names(run, shed("Alder Reach", "yes"))
    assert heated[:3] == ["underground", "rough mechanical", "heating pipe test"]
    assert names(run, shed("Quarry Flat", "yes")) == ["underground", "open walls", "insulation", "final"]


def test_the_first_line_says_what_is_next_and_the_code_says_of_what_kind(run: Run) -> None:
    write(Path("site.yaml"), shed())
    ran = run("card", "--today", TODAY)
    assert ran.out.startswith("NEXT: ") and ran.code == 3
    assert "15 June 2026" in ran.out
    assert max(map(len, ran.out.splitlines())) <= 44
    slip = "corrections: [{visit: framing, what: Stud cut too deep, given: 2026-06-03}]\n"
    write(Path("site.yaml"), shed() + slip)
    ran = run("card", "--today", TODAY)
    assert ran.code == 1 and " ".join(ran.out.split()).startswith(
        "NEXT: for framing: written correction (3 June 2026): Stud cut too deep. Inspection card: Boat shed"
    )
    visits = ["framing", "fireblocking and seal", "insulation", "final"]
    signed = "".join(f"\n    {one}: {{signed: 2026-06-10, by: building office}}" for one in visits)
    text = shed().replace("permit: {jurisdiction: Tallow Creek, occupancy: accessory}",
                          f"permit:\n  jurisdiction: Tallow Creek\n  visits:{signed}")  # fmt: skip
    write(Path("site.yaml"), text)
    ran = run("card", "--today", TODAY)
    assert ran.code == 0 and ran.out.startswith("NEXT: nothing more to call: 4 visits signed")


def test_two_runs_give_the_same_bytes(run: Run) -> None:
    write(Path("site.yaml"), shed("Alder Reach", "yes"))
    assert run("card", "--today", TODAY).out == run("card", "--today", TODAY).out


def test_without_people(run: Run) -> None:
    said = "looked: [{list: spaces, whole: yes, by: M.K., day: 2026-06-01}]\nproject: {owner: Ann Example}\n"
    write(Path("site.yaml"), shed() + said)
    assert "M.K." in run("card", "--today", TODAY).out
    for form in ("text", "json"):
        assert "M.K." not in run("card", "--without-people", "--format", form, "--today", TODAY).out


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("corrections: [{visit: frame, what: x, given: 2026-06-03}]", "there is no visit 'frame' here"),
        ("not held: {rough gaz: {office: bo, day: 2026-06-01}}", "did you mean 'rough gas'?"),
        ("at the visit: {framng: {ladder: yes}}", "did you mean 'framing'?"),
        ("at the visit: {framing: {laddr: yes}}", "'laddr' is no line of 'framing' here"),
        ("at the visit: {framing: {ladder: perhaps}}", "'perhaps' is neither yes nor no"),
        ("corrections: [{visit: framing, what: x, given: 2026-07-03}]", "2026-07-03 is in the future"),
        ("corrections: [{visit: framing, what: x, given: 2026-06-03, done: 2026-06-02}]", "before it was written"),
        ("corrections: [{visit: framing, given: 2026-06-03}]", "'what' is missing here"),
        ("approved: {set: A, date: 2026-07-01}", "2026-07-01 is in the future"),
        (
            "approved: {set: A, built as shown: yes}\ndiffers from plans: [{what: door moved}]",
            "take one of the two out",
        ),
        ("differs from plans: [{what: x, approved in writing: no, date: 2026-06-01}]", "take one of the two lines out"),
        ("access code: 1234", "'access code'"),
    ],
)
def test_mistakes_in_the_papers_are_told_with_their_line(run: Run, line: str, said: str) -> None:
    write(Path("site.yaml"), shed() + line + "\n")
    ran = run("card", "--today", TODAY)
    assert ran.code == 2 and said in ran.err and "site.yaml:5:" in ran.err, ran.err


def test_a_ring_in_the_order_of_a_place_is_refused_with_its_path(run: Run) -> None:
    write(
        Path("ring.yaml"),
        "place: Ring\nadopts: {houses: {book: irc 2021}, gas: {book: ifgc 2021}, wiring: {book: nec 2020}}\n"
        "changes:\n  ring: {cite: Code 1, add: {irc.framing.after: {insulation: Code 1}}}\n",
    )
    write(Path("site.yaml"), shed("ring.yaml"))
    ran = run("card", "--today", TODAY)
    assert ran.code == 2
    assert (
        "the visits wait for each other: framing after insulation after fireblocking and seal after framing" in ran.err
    )


def test_a_trade_that_no_visit_has_is_told(run: Run) -> None:
    write(Path("site.yaml"), shed() + "work by: {gaz: {as: owner, affidavit: 2026-05-01}}\n")
    assert "'gaz' is the trade of no visit here" in " ".join(run("card", "--today", TODAY).out.split())
