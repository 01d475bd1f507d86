"""One visit in words. The expected text is written by hand from the visit above it."""

from dataclasses import replace

from oktocover.findings.checked import Visit, VisitAsk, VisitLine
from oktocover.findings.finding import Missing
from oktocover.reports.screen import first_screen
from oktocover.reports.visit_sheet import visit_sheet

from . import samples

FULL = Visit(
    "gas test", "corrections", 2, 1, 3, 0,
    title="Gas pressure test", trade="gas", covers=True,
    after=(VisitLine("rough gas", "rough gas", "Code 1"), VisitLine("framing", "framing")),
    not_signed=("framing",),
    must_be=(VisitLine("on_gauge", "Test on with the gauge in sight", "Town: Code 2"),),
    notice="24 h", counted="working days", answer_within="48 h",
    who=(VisitLine("licensed", "Registered installer"),),
    witness=(VisitLine("inspector", "The inspector"),),
    instruments=(VisitLine("dial", "Gauge of 0.1 psi"),),
    instead=(VisitLine("letter", "A letter of the utility"),),
    papers=(VisitLine("card", "Permit card"),),
    asks=(
        VisitAsk("ask the office", "The test medium", "tst.medium", ("T",), "TST 1", "not recorded"),
        VisitAsk("for the eye only", "The gauge stands still", "tst.seen", tuple("abcdefgh"), "TST 2", "not recorded"),
    ),
)  # fmt: skip
SHEET = """\
visit gas test (Gas pressure test): 2 can hurt someone, 1 correction likely, 3
  not recorded
  afterwards: its work is covered
  after: rough gas (Code 1)
  after: framing, not signed
  call: 24 h before, working days
  the office answers within: 48 h
  must be: Test on with the gauge in sight (Town: Code 2)
  who may do the work: Registered installer
  seen by: The inspector
  gauges and tools: Gauge of 0.1 psi
  on the site: Permit card
  instead of the visit: A letter of the utility

  for the eye only
    The gauge stands still: a, b, c, d, e, f and 2 more (TST 2; tst.seen)

  ask the office
    The test medium: T (TST 1; tst.medium)
"""


def test_everything_a_place_says_of_a_visit() -> None:
    assert visit_sheet(FULL) == SHEET


def test_a_visit_that_is_not_held_or_may_not_be() -> None:
    assert visit_sheet(Visit("board", "not asked", 0, 0, 0, 0, title="Board", only_if="no")) == (
        "visit board (Board): not held for such a building\n"
    )
    hangs = (Missing("building", "storeys", "look"),)
    open_ = Visit("board", "not asked", 0, 0, 0, 0, title="Board", only_if="not recorded", depends_on=hangs)
    assert visit_sheet(open_) == "visit board (Board): not asked\n  held or not: hangs on storeys, not recorded\n"


def _page(visit: Visit, width: int = 44) -> list[str]:
    checked = replace(samples.EMPTY, visit=visit.name, visits=(visit,))
    lines = first_screen(checked, width).splitlines()
    begin = next((at for at, line in enumerate(lines) if line.startswith(("AT THE VISIT", "This place"))), None)
    return [] if begin is None else lines[begin : next(at for at in range(begin, len(lines)) if lines[at][:5] == "RESTS")]


def test_the_first_screen_says_in_three_lines_what_has_to_be_ready() -> None:
    assert _page(FULL) == [
        "AT THE VISIT: Test on with the gauge in",
        "   sight; call 24 h before (working days);",
        "   and 5 more: show SITE VISIT",
    ]
    for width in range(30, 80):
        assert 1 <= len(_page(FULL, width)) <= 3


def test_a_place_that_says_nothing_of_a_visit_takes_no_line() -> None:
    plain = replace(FULL, must_be=(), notice="", who=(), witness=(), instruments=(), instead=(), papers=())
    assert _page(plain) == []
    assert _page(replace(FULL, state="signed")) == []
    assert _page(replace(FULL, only_if="no")) == ["This place does not hold this visit for such", "   a building."]
