"""An inspector's written corrections: they stop their visit, and the rule that would have caught them is named, or that none is."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from .old_shop import put


def write(*slips: str) -> None:
    """The shop with nothing open but these slips."""
    put()
    path = Path("site.yaml")
    text = path.read_text("utf-8").replace("held: 9 min", "held: 10 min").replace("held: 8 min", "held: 10 min")
    lines = "".join(f"  - {{visit: rough, what: Strap the pipe, given: 2026-06-10{slip}}}\n" for slip in slips)
    path.write_text(text + ("corrections:\n" + lines if slips else ""), encoding="utf-8")


def test_an_open_slip_stops_its_visit_and_no_other(run: Any) -> None:
    write()
    assert run("check").code == 0
    write(', number: "12-2"')
    ran = run("check")
    said = " ".join(ran.out.split())
    assert ran.code == 1 and "ROUGH: do not call yet" in said and "1 stops the visit" in said
    assert "written correction of rough (no. 12-2, 2026-06-10) is open: Strap the pipe" in said
    assert "site.yaml:10:5:" in said
    told = json.loads(run("check", "--format", "json").out)
    assert [one["stops"] for one in told["ready"]] == [1, 0, 0] and told["exit_code"] == 1
    assert [one["state"] for one in told["ready"]] == ["corrections", "not asked", "ready to call"]
    assert run("check", "--for", "final").code == 0
    assert "1 stops the visit" in run("check", "--format", "markdown").out
    assert "do not call yet" in run("portfolio", "--today", "2026-06-15").out


def test_a_slip_that_is_done_stops_nothing(run: Any) -> None:
    write(", done: 2026-06-11, how shown: photo handed in")
    ran = run("check")
    assert ran.code == 0 and "written correction" not in ran.out


@pytest.mark.parametrize(("slip", "held", "said"), [
    (", rule: my-town.hold, element: T-1", "9 min", "would have been caught here by my-town.hold (does not meet)"),
    (", rule: my-town.hold, element: T-1", "12 min",
     "covered here by my-town.hold (meets, as written); the slip and the site file say two things"),
    (", rule: my-town.hold, element: T-1", "~", "covered here by my-town.hold (not recorded); what it asks is not recorded"),
    (", section: P2503.5", "12 min", "no rule here covers this"),
    ("", "12 min", "no section on the slip, so no rule was looked for"),
])  # fmt: skip
def test_the_rule_that_would_have_caught_it(slip: str, held: str, said: str, run: Any) -> None:
    write(slip)
    path = Path("site.yaml")
    path.write_text(path.read_text("utf-8").replace("T-1: {of: G, held: 10 min", f"T-1: {{of: G, held: {held}"), encoding="utf-8")
    assert said in " ".join(run("card", "--today", "2026-06-15").out.split())
    (told,) = json.loads(run("card", "--today", "2026-06-15", "--format", "json").out)["corrections"]
    assert told["rule_here"] == said and told["open"] is True
