"""Hand-made results of checks for the tests of every report form. All data is invented."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from oktocover.findings.checked import Blank, Checked, InForce, Visit
from oktocover.findings.finding import Comparison, Finding, FindingPlace, Missing, Step

ROUGH = "rough electrical"


def finding(**changes: Any) -> Finding:
    """A finding that meets; each test says what it changes."""
    usual: dict[str, Any] = {
        "rule": "nec.tap.size", "title": "Cable size", "verdict": "met", "severity": "correction",
        "trade": "electrical", "stage": ROUGH, "element": "C-01", "kind": "circuit", "elements": ("C-01",),
        "label": "panel P1 to R-01, studio east wall", "place": FindingPlace("site.yaml", 40, 5),
        "measured": "20 A", "required": "at least 20 A", "margin": "", "citation": "NEC 2020 210.19(A)(1)",
    }
    return Finding(**(usual | changes))


KILN = finding(
    rule="nec.kiln.cable", title="Kiln cable too small", verdict="not met", severity="hazard",
    element="C-06", elements=("C-06", "X-01"), label="panel P1 to X-01, studio west wall",
    place=FindingPlace("site.yaml", 74, 3), measured="55 A", required="60 A", margin="short by 5 A",
    citation="NEC 2020 210.19(A)(1), 334.80",
    remedy="Power off and proven dead, then run 4-3 NM-B, or ask the electrician.",
    close_with="cable: 4-3 NM-B", also_touches=("cable adjustment", "box fill of B-09"),
    work=(
        Step("load of the kiln", "", "48 A", "X-01, label"),
        Step("continuous load", "48 A x 1.25", "60 A", "NEC 2020 210.19(A)(1)"),
        Step("cable 6-3 NM-B, 60 °C column", "Table 310.16, row 6, copper", "55 A", "NEC 2020 334.80"),
        Step("compare", "55 A with 60 A", "short by 5 A"),
    ),
    where=("studio", "west", 0.0),
)
BOXES = tuple(
    finding(
        rule="nec.box.fill", title="Box too full", verdict="not met", element=name, kind="box",
        elements=(name,), label=f"box at {at}, studio north wall", place=FindingPlace("site.yaml", line, 7),
        measured="20.3 cu in", required="at most 20 cu in", margin="over by 0.3 cu in",
        citation="NEC 2020 314.16(B)",
        amended_by=("Tallow Creek 12-3",), remedy="Use a deeper box.", close_with="box: box-4sq",
        known_by="typical", where=("studio", "north", float(line)),
    )
    for name, at, line in (("B-02", "4 ft 9 in", 101), ("B-03", "8 ft", 108), ("B-05", "12 ft", 122))
)
WET = finding(
    rule="nec.gfci.sink", title="Receptacle near the clay sink", verdict="not met", severity="hazard",
    element="R-04", kind="receptacle", elements=("R-04",), label="studio, east wall, 6 ft from the left",
    place=FindingPlace("devices.csv", 5, 1), measured="6 ft 1/16 in", required="at most 6 ft",
    margin="over by 1/16 in", citation="NEC 2020 210.8(B)", closer_than_tape=True,
)
DROP = finding(
    rule="practice.drop", title="Voltage drop on the long run", verdict="not met", severity="advisory",
    element="C-03", elements=("C-03",), measured="3.4 %", required="at most 3 %", margin="over by 0.4 %",
    citation="common practice",
)


def waiting(name: str, fact: str, *, kind: str = "box", by: str = "plate", rule: str = "nec.box.volume",
            **changes: Any) -> Finding:
    """A finding that waits for one fact of one element."""
    return finding(
        rule=rule, title="Volume of the box", verdict="not recorded", element=name, kind=kind,
        elements=(name,), label=f"{name}, studio", measured="", required="", citation="NEC 2020 314.16",
        missing=(Missing(name, fact, by, kind, f"{fact} as marked", ("boxes", name, fact)),),
        **changes,
    )


UNKNOWN_BOXES = tuple(
    waiting(f"B-1{at}", "volume", place=FindingPlace("site.yaml", 130 + at, 7)) for at in range(5)
)
UNKNOWN_STAPLES = tuple(
    waiting(f"K-0{at}", "distance from box", kind="cable", by="tape", rule="nec.staple.box")
    for at in range(4)
)
BOTH = finding(
    rule="nec.breaker.fit", title="Breaker fits the panel", verdict="not recorded", element="C-07",
    elements=("C-07",), label="C-07 in panel P1", measured="", required="", citation="NEC 2020 110.3(B)",
    missing=(
        Missing("P1", "listed breakers", "maker", "panel"),
        Missing("C-07", "breaker type", "plate", "circuit"),
    ),
)
SETTLED = waiting("B-30", "volume", settled=True)
NOT_FOR_SHOPS = finding(
    rule="nec.spacing", title="Receptacles along the wall", verdict="does not apply", measured="",
    required="", exception="not a dwelling room",
)
APPROVED = finding(
    rule="nec.depth", title="Depth of the feeder", verdict="not met", element="F-1", elements=("F-1",),
    label="feeder from house to studio", measured="16 in", required="at least 18 in", margin="short by 2 in",
    citation="NEC 2020 300.5", alternate="office letter of 2 May 2026: steel conduit at 16 in",
)
FINAL = finding(rule="nec.cover", title="Cover plate", stage="final", verdict="not met", element="R-09")


def _blanks() -> tuple[Blank, ...]:
    def of(found: tuple[Finding, ...]) -> Blank:
        first = found[0]
        return Blank(
            first.missing[0], tuple(one.element for one in found), tuple(one.identity for one in found))

    return (
        of(UNKNOWN_BOXES), of(UNKNOWN_STAPLES),
        Blank(BOTH.missing[0], ("P1",), (BOTH.identity,)),
        Blank(BOTH.missing[1], ("C-07",), (BOTH.identity,)),
    )


EMPTY = Checked(
    site="", file="site.yaml", today="2026-05-03", jurisdiction="", in_force=(), checked_by="", visit=ROUGH,
    visits=(), findings=(), blanks=(), rests_on=(), not_described=(), eye_only=0,
)
SHOP = Checked(
    site="Studio and garage", file="site.yaml", today="2026-05-03", jurisdiction="Tallow Creek",
    in_force=(InForce("NEC 2020", "State of Example"), InForce("IRC 2021", "State of Example")),
    checked_by="not checked by the town", visit=ROUGH,
    visits=(
        Visit("rough gas", "signed", 0, 0, 0, 0),
        Visit("gas pressure test", "not recorded", 0, 0, 2, 0),
        Visit(ROUGH, "corrections", 2, 3, 10, 1, stops=2),
        Visit("fireblocking and seal", "not recorded", 0, 0, 14, 0),
        Visit("final", "corrections", 0, 1, 31, 2),
    ),
    findings=(
        KILN, *BOXES, WET, *UNKNOWN_BOXES, *UNKNOWN_STAPLES, BOTH, SETTLED, DROP, APPROVED, NOT_FOR_SHOPS,
        finding(), FINAL,
    ),
    blanks=_blanks(), rests_on=("115 holes, 55 boxes (M.K.)",), not_described=("spray finishing (not sure)",),
    eye_only=6, not_checked_here=("12-7: smoke alarms joined by radio",),
)
READY_SHOP = replace(
    SHOP, findings=(finding(), FINAL), blanks=(),
    visits=(Visit(ROUGH, "ready to call", 0, 0, 0, 0), Visit("final", "corrections", 0, 1, 0, 0)),
)
UNRECORDED_SHOP = replace(
    SHOP, findings=(finding(), *UNKNOWN_BOXES, BOTH), blanks=(_blanks()[0], *_blanks()[2:]),
    visits=(Visit(ROUGH, "not recorded", 0, 0, 6, 0),),
)
ANY_OF_TWO = finding(
    rule="irc.vent.place", title="Vent terminal away from the window", verdict="not met", measured="",
    required="",
    comparisons=(
        Comparison("beside", "3 ft", "at least 4 ft", "short by 1 ft", False),
        Comparison("above", "6 in", "at least 1 ft", "short by 6 in", False),
    ),
)
