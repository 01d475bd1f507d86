"""Protection through the chain of a circuit: by its breaker, the device itself, or a receptacle ahead of it.

Expectations from the instructions that come with ground-fault receptacles, common practice: what is wired to the load
terminals of one is protected by it, what is wired to its line terminals is not.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from oktocover.measures import trades
from oktocover.measures.protection import volts_to_ground
from oktocover.measures.values import Members, Unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import read
from oktocover.reading.site_file import read_site_text
from oktocover.rules.evaluate import judge
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

assert trades

HEAD = """\
permit: {occupancy: one family}
spaces:
  garage: {use: garage, size: 24 ft x 20 ft, ceiling: 9 ft}
  bedroom: {use: bedroom, size: 12 ft x 12 ft, ceiling: 8 ft}
panels: {P-1: {wall: garage.west, at: 2 ft, height: 60 in}}
"""
PLAIN = "what: 5-20 duplex, mount: wall, height: 44 in, serves: general, gfci: no"
CHAIN = "breaker: 20 A, volts: 120 V, cable: 12-2 NM-B, gfci: no, whole: yes"


def view_of(text: str) -> SiteView:
    found = read_site_text(HEAD + text)
    return SiteView(found.site, found.known)


def row(first: str = PLAIN, circuit: str = CHAIN, chain: str = "[P-1, R-1, R-2, R-3]", more: str = "") -> SiteView:
    """Three receptacles of a garage in the order their cable runs; the first may be otherwise."""
    return view_of(
        f"circuits: {{E-1: {{panel: P-1, {circuit}, chain: {chain}}}}}\n"
        "receptacles:\n"
        f"  R-1: {{wall: garage.north, at: 2 ft, {first}}}\n"
        f"  R-2: {{wall: garage.north, at: 8 ft, {PLAIN}}}\n"
        f"  R-3: {{wall: garage.north, at: 14 ft, {PLAIN}}}\n" + more
    )


def told(view: SiteView, fact: str = "gfci_protected", kind: str = "receptacle") -> list[Any]:
    """The fact of each of a kind: yes, no, or None while it is not known."""
    values = [one.value(fact) for one in view.of(kind)]
    return [None if isinstance(value, Unknown) else value for value in values]


def first(**facts: str) -> str:
    return ", ".join([PLAIN.replace("gfci: no", "gfci: yes"), *(f"{name.replace('_', ' ')}: {is_}" for name, is_ in facts.items())])


@pytest.mark.parametrize(
    ("view", "wanted"),
    [
        (row(), [False, False, False]),
        (row(circuit=CHAIN.replace("gfci: no", "gfci: yes")), [True, True, True]),
        (row(first(goes_on="load")), [True, True, True]),
        (row(first(goes_on="line")), [True, False, False]),
        (row(first(goes_on="nothing")), [True, False, False]),
        (row(first()), [True, None, None]),  # from which terminals it goes on, nobody wrote
        (row(PLAIN.replace("gfci: no", "goes on: load")), [None, None, None]),  # built in or not, nobody wrote
        (row(first(goes_on="load"), chain="[P-1, R-2, R-1, R-3]"), [True, False, True]),  # only what comes after
        (row(first(goes_on="load"), chain="[P-1, R-2, [R-1], [R-3]]"), [True, False, False]),  # on another branch
        (row(circuit=CHAIN.replace(", gfci: no", "")), [None, None, None]),
        (row(first(goes_on="load"), circuit=CHAIN.replace(", gfci: no", "")), [True, True, True]),
        (row(circuit=CHAIN.replace(", whole: yes", "")), [None, None, None]),  # others may stand ahead
        (row(first(goes_on="load"), circuit=CHAIN.replace(", whole: yes", "")), [True, True, True]),
    ],
)
def test_protection_follows_the_cable(view: SiteView, wanted: list[Any]) -> None:
    assert told(view) == wanted


def test_what_is_missing_is_named() -> None:
    """Which terminals feed the rest: asked of the receptacle that stands ahead, not of the one after it."""
    value = row(first()).elements["R-2"].value("gfci_protected")
    assert [(one.element, one.fact) for one in value.missing] == [("R-1", "goes on")]


def test_arc_fault_protection_goes_the_same_way() -> None:
    plain = PLAIN.replace("gfci: no", "gfci: no, afci: yes, goes on: load")
    assert told(row(plain, CHAIN + ", afci: no"), "afci_protected") == [True, True, True]


MACHINES = """\
equipment:
  wired: {space: garage, what: dryer, circuit: E-1, connected: wired}
  plugged: {space: garage, what: dryer, circuit: E-1, connected: cord and plug, receptacle: R-1}
  either: {space: garage, what: dryer, circuit: E-1}
"""


def test_a_machine_has_what_its_receptacle_has() -> None:
    """A wired one only what its circuit has; where nobody wrote how it is connected, nobody can tell."""
    view = row(first(goes_on="line"), CHAIN.replace(", whole: yes", ""), "[P-1, R-1, R-2, R-3]", MACHINES)
    assert told(view, kind="equipment")[1:] == [True, None]
    covered = row(first(), CHAIN.replace("gfci: no, whole: yes", "gfci: yes"), "[P-1, R-1, R-2, R-3]", MACHINES)
    assert told(covered, kind="equipment") == [True, True, True]


def test_rooms_of_a_circuit_count_switches_and_lights() -> None:
    """A light in the bedroom makes the garage's circuit one that goes to a bedroom; while a list is open, so is this."""
    more = "lights: {L-1: {space: bedroom, circuit: E-1}}\nswitches: {S-1: {wall: garage.south, circuit: E-1}}\n"
    circuit = CHAIN.replace(", whole: yes", "")
    rooms = row(circuit=circuit, more=more).elements["E-1"].value("rooms")
    assert isinstance(rooms, Members) and rooms.open
    assert [one.id for one in rooms.sure] == ["garage", "bedroom"]
    closed = "looked: [{list: [receptacles, lights, switches, equipment], whole: yes, by: A.B., day: 2026-05-01}]\n"
    rooms = row(circuit=circuit, more=more + closed).elements["E-1"].value("rooms")
    assert not rooms.open and [one.id for one in rooms.sure] == ["garage", "bedroom"]


@pytest.mark.parametrize(
    ("where", "outdoors"),
    [("wall: garage.north", False), ("outside: front", True), ("space: deck", True), ("serves: general", None)],
)
def test_outdoors(where: str, outdoors: bool | None) -> None:
    deck = "  deck: {use: deck, size: 8 ft x 8 ft}\npanels"
    view = SiteView(read_site_text(HEAD.replace("panels", deck) + f"receptacles: {{R-1: {{{where}}}}}\n").site)
    value = view.elements["R-1"].value("outdoors")
    assert (None if isinstance(value, Unknown) else value) is outdoors


@pytest.mark.parametrize(
    ("volts", "ground"), [("120 V", "120 V"), ("208 V", "120 V"), ("240 V", "120 V"), ("277 V", "277 V"), ("480 V", "277 V")]
)
def test_volts_to_ground_of_the_usual_systems(volts: str, ground: str) -> None:
    """ANSI C84.1: 120/240 V three-wire, 208Y/120 V, 480Y/277 V."""
    assert volts_to_ground(read(volts, "voltage").exact or 0) == read(ground, "voltage").exact
    assert volts_to_ground(read("230 V", "voltage").exact or 0) is None


def test_a_high_leg_is_recorded() -> None:
    view = row(circuit=CHAIN.replace("volts: 120 V", "volts: 240 V, to ground: 208 V"))
    assert view.elements["E-1"].value("to_ground") == read("208 V", "voltage").exact


RULES = {
    edition: [
        rule
        for rule in RuleSet(Library().folded(edition)).rules()
        if rule.id.startswith(("nec.gfci", "nec.arc-fault", "nec.tamper", "nec.weather", "nec.shared"))
    ]
    for edition in ("nec 2017", "nec 2020", "nec 2023")
}
WHOLE = {
    "breaker": ["breaker: 20 A"],
    "volts": ["volts: 120 V"],
    "circuit gfci": ["gfci: no", "gfci: yes"],
    "circuit afci": ["afci: no", "afci: yes"],
    "chain": ["whole: yes"],
}
DEVICE = {
    "what": ["what: 5-20 duplex", "what: 5-15 duplex", "what: 6-20"],
    "serves": ["serves: general", "serves: security system"],
    "gfci": ["gfci: yes", "gfci: no"],
    "afci": ["afci: yes", "afci: no"],
    "goes on": ["goes on: load", "goes on: line"],
    "height": ["mount: wall, height: 44 in", "mount: wall, height: 70 in"],
    "tamper": ["tamper resistant: yes", "tamper resistant: no"],
    "sink": ["to sink: 5 ft", "to sink: none"],
    "reach": ["reachable: yes", "reachable: no"],
    "dedicated": ["dedicated: yes", "dedicated: no"],
}


@st.composite
def sites(draw: st.DrawFn) -> tuple[str, str]:
    """A whole circuit, and the same with some of its facts left out."""
    texts = []
    circuit = {name: draw(st.sampled_from(words)) for name, words in WHOLE.items()}
    devices = [{name: draw(st.sampled_from(words)) for name, words in DEVICE.items()} for _ in range(3)]
    rooms = [draw(st.sampled_from(["garage", "bedroom"])) for _ in range(3)]
    for keep in (st.just(True), st.sampled_from([True, True, True, False])):
        said = ", ".join(text for text in circuit.values() if draw(keep))
        lines = [f"circuits: {{E-1: {{panel: P-1, {said + ', ' if said else ''}chain: [P-1, R-1, R-2, R-3]}}}}", "receptacles:"]
        for place, (facts, room) in enumerate(zip(devices, rooms, strict=True), 1):
            kept = [text for text in facts.values() if draw(keep)]
            where = [f"wall: {room}.north, at: {2 + 3 * place} ft"] if draw(keep) else []
            lines.append(f"  R-{place}: {{{', '.join([*where, *kept])}}}")
        if draw(keep):
            closed = "[receptacles, cables, lights, switches, equipment]"
            lines.append(f"looked: [{{list: {closed}, whole: yes, by: A.B., day: 2026-05-01}}]")
        texts.append("\n".join(lines) + "\n")
    return texts[0], texts[1]


def verdicts(text: str, edition: str) -> dict[tuple[str, str], str]:
    view = view_of(text)
    found: dict[tuple[str, str], str] = {}
    for rule in RULES[edition]:
        for subject in view.of(rule.each):
            for judged in judge(rule, Env(subject, view.roots, {})):
                found[judged.name, subject.id] = judged.verdict
    return found


@pytest.mark.parametrize("edition", list(RULES))
@settings(max_examples=80, deadline=None)
@given(pair=sites())
def test_leaving_facts_out_changes_no_verdict_but_to_not_recorded(edition: str, pair: tuple[str, str]) -> None:
    """Each verdict that is still asked for stays, or becomes 'not recorded'."""
    whole, less = (verdicts(text, edition) for text in pair)
    for key, verdict in less.items():
        assert verdict in (whole[key], "not recorded"), (key, whole[key], verdict)


@pytest.mark.parametrize("edition", list(RULES))
def test_nothing_of_it_is_asked_before_the_final_visit(edition: str) -> None:
    """Devices are trim: at rough electrical they are only planned."""
    assert RULES[edition] and {rule.stage for rule in RULES[edition]} == {"final"}
