"""The inspection card: states, what holds a visit back, and its words. Expectations are worked out from the small book."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from card_sites import LONG_WAY, ONE_VISIT, SHED, TODAY, card_of, shed, shelf, signed, states, visit

from oktocover.findings.checked import CORRECTIONS, NOT_RECORDED, READY
from oktocover.reading.problems import InputProblems
from oktocover.reading.site_file import read_site_text
from oktocover.reports import card_json
from oktocover.reports._plain import columns
from oktocover.reports.card_text import card_text
from oktocover.reports.people import people_in, without_people

ALL = ("rough", "wires", "test", "close", "final")


def test_what_is_whole_is_ready_and_what_comes_after_waits(tmp_path: Path) -> None:
    card = card_of(tmp_path, shed())
    assert states(card) == {
        "rough": "ready to call", "wires": "ready to call", "test": "not yet", "close": "not yet", "final": "not yet",
    }  # fmt: skip
    assert [(hold.kind, hold.visit) for hold in visit(card, "close").holds] == [("order", "test"), ("order", "wires")]
    assert card.next == "rough: ready to call, on what is written here." and card.exit_code == READY
    assert states(card_of(tmp_path, shed(permit=signed("rough"))))["test"] == "ready to call"


def test_all_signed_leaves_nothing_to_call(tmp_path: Path) -> None:
    card = card_of(tmp_path, shed(permit=signed(*ALL)))
    assert card.next == "nothing more to call: 5 visits signed, on what is written here." and card.exit_code == READY


def test_the_next_thing_is_the_first_line(tmp_path: Path) -> None:
    wrong = shed(permit=signed("rough", "wires"), gas_tests={"GT-1": {"of": "main", "pressure": "2 psi"}})
    card = card_of(tmp_path, wrong)
    assert card_text(card, width=80).splitlines()[0] == "NEXT: for test, put right: Test pressure."
    assert card.exit_code == CORRECTIONS
    blank = shed(permit=signed("rough", "wires"), gas_tests={"GT-1": {"of": "main"}})
    card = card_of(tmp_path, blank)
    assert card.next == "for test, write down: gas test pressure of GT-1." and card.exit_code == NOT_RECORDED


def test_a_hazard_comes_before_a_correction_and_both_before_what_is_not_recorded(tmp_path: Path) -> None:
    pipes = {"G-1": {"from": "main", "material": "csst", "size": "3/4 in"}, "G-2": {"from": "G-1", "size": "1/2 in"}}
    tests = {"GT-1": {"of": "main", "pressure": "2 psi"}}
    site = shed(gas_pipes=pipes, gas_tests=tests, permit=signed("wires"))
    assert [hold.kind for hold in visit(card_of(tmp_path, site), "rough").holds] == ["correction", "not recorded"]
    one = card_of(tmp_path, shed(gas_pipes=pipes, gas_tests=tests), ONE_VISIT)
    assert [hold.kind for hold in visit(one, "open walls").holds] == ["hazard", "correction", "not recorded"]


def test_the_order_is_the_places(tmp_path: Path) -> None:
    assert list(states(card_of(tmp_path, shed(), LONG_WAY))) == ["rough", "wires", "test", "close", "seal", "final"]
    one = card_of(tmp_path, shed(), ONE_VISIT)
    assert list(states(one)) == ["open walls", "final"]
    assert visit(one, "open walls").visit.trades == ("framing", "gas", "electrical")
    assert visit(one, "final").waits == ("open walls",)


TOWN_OF_ONE: dict[str, Any] = {
    **ONE_VISIT,
    "changes": {
        "own": {
            "cite": "Code 4",
            "add": {
                "tst.test.state": {"on_gauge": "Test on and holding"},
                "tst.test": {"notice": "24 h", "who": {"registered": "Registered gas fitter"}},
                "tst.wires": {"who": {"licensed": "Licensed electrician"}, "papers": {"card": "Card of the wiring"}},
            },
        }
    },
}


def test_what_was_asked_of_a_visit_is_asked_where_it_is_taken_in(tmp_path: Path) -> None:
    one = visit(card_of(tmp_path, shed(), TOWN_OF_ONE), "open walls")
    assert one.visit.notice == "24 h"
    assert [hold.text for hold in one.holds] == [
        "Test on and holding", "Card of the wiring", "who did the electrical work (this place names: licensed)",
    ]  # fmt: skip
    without_gas = shed(described={"fuel gas": "none", "electrical": "none"}, gas_systems={}, gas_pipes={}, gas_tests={})
    texts = [hold.text for hold in visit(card_of(tmp_path, without_gas, TOWN_OF_ONE), "open walls").holds]
    assert texts == [], "nobody runs a test of gas that is not there"


def test_a_visit_two_others_take_in_is_refused(tmp_path: Path) -> None:
    twice = {**ONE_VISIT, "inspections": {**ONE_VISIT["inspections"], "two": {"sees": ["rough"]}}}
    with pytest.raises(InputProblems, match="'rough' is seen at 'open walls' already"):
        card_of(tmp_path, shed(), twice)


def test_a_ring_is_told_with_its_path(tmp_path: Path) -> None:
    ring = {**LONG_WAY, "changes": {"ring": {"cite": "Code 6", "add": {"tst.rough.after": {"final": "Code 6"}}}}}
    with pytest.raises(
        InputProblems, match="the visits wait for each other: .*rough after final after close after test"
    ):
        card_of(tmp_path, shed(), ring)


def test_a_system_that_is_not_there_takes_its_visits_off_the_card(tmp_path: Path) -> None:
    card = card_of(tmp_path, shed(described={"fuel gas": "yes", "electrical": "none"}, receptacles={}))
    assert "wires" not in states(card)
    assert [(one.name, one.why) for one in card.left_off] == [("wires", "none here: electrical")]
    gone = shed(described={"fuel gas": "none", "electrical": "yes"}, gas_systems={}, gas_pipes={}, gas_tests={})
    card = card_of(tmp_path, gone)
    assert list(states(card)) == ["wires", "close", "final"]
    assert visit(card, "close").waits == ("wires",)


def test_what_comes_before_a_visit_that_is_off_the_card_still_comes_first(tmp_path: Path) -> None:
    held = {"test": {"office": "building office", "day": "2026-06-01", "why": "low pressure"}}
    card = card_of(tmp_path, shed(not_held=held))
    assert visit(card, "close").waits == ("wires", "rough")
    assert [one.why for one in card.left_off] == ["building office, 1 June 2026: low pressure"]


def test_a_visit_nobody_asked_for_says_why(tmp_path: Path) -> None:
    card = card_of(tmp_path, shed(permit=signed("rough", "wires", "test", "close")), LONG_WAY)
    seal = visit(card, "seal")
    assert seal.state == "not asked" and seal.why == "no rule here looks at this work; ask the office"
    assert visit(card, "final").state == "not recorded", "what comes after it cannot be ready"
    assert card.next == "ask the office about seal: no rule here looks at this work." and card.exit_code == NOT_RECORDED
    empty = visit(card_of(tmp_path, shed(receptacles=None)), "wires")
    assert empty.state == "not asked"
    assert empty.why == "nothing is written here that this visit looks at; ask the office what it wants to see"


def test_papers_of_the_place_hold_a_visit_back_until_they_are_written(tmp_path: Path) -> None:
    site = shed(permit=signed("rough", "wires"))
    holds = visit(card_of(tmp_path, site, LONG_WAY), "test").holds
    assert [(hold.kind, hold.text, hold.stops) for hold in holds] == [
        ("ready", "Test on and holding", False), ("papers", "Log of the test", False),
    ]  # fmt: skip
    assert holds[0].close_with == "at the visit: {test: {on gauge: yes}}"
    site["at the visit"] = {"test": {"on gauge": "yes", "log": "yes"}}
    assert visit(card_of(tmp_path, site, LONG_WAY), "test").state == "ready to call"
    site["at the visit"] = {"test": {"on gauge": "no", "log": "yes"}}
    back = visit(card_of(tmp_path, site, LONG_WAY), "test")
    assert back.state == "not yet" and back.holds[0].text == "not so: Test on and holding"


def test_common_practice_reminds_and_holds_nothing_back_until_it_is_answered_no(tmp_path: Path) -> None:
    card = card_of(tmp_path, shed())
    assert "ladder" in {note.name for note in card.always} and visit(card, "rough").state == "ready to call"
    card = card_of(tmp_path, shed(at_the_visit={"rough": {"ladder": "no"}}))
    assert visit(card, "rough").state == "not yet"
    assert visit(card, "rough").holds[0].text.startswith("not so: A ladder tall enough")


@pytest.mark.parametrize(
    ("work", "stops", "text"),
    [
        (None, False, "who did the gas work (this place names: registered)"),
        (
            {"as": "owner", "affidavit": "2026-04-01"},
            True,
            "the gas work was done by 'owner'; this place names: registered",
        ),
        ({"as": "registered"}, False, "licence or owner's affidavit of whoever did the gas work"),
    ],
)
def test_who_did_the_work_is_part_of_it(tmp_path: Path, work: Any, stops: bool, text: str) -> None:
    ready = {"test": {"on gauge": "yes", "log": "yes"}}
    site = shed(permit=signed("rough", "wires"), at_the_visit=ready, work_by={"gas": work} if work else None)
    one = visit(card_of(tmp_path, site, LONG_WAY), "test")
    assert [(hold.kind, hold.text, hold.stops) for hold in one.holds] == [("people", text, stops)]
    assert one.state == ("not yet" if stops else "not recorded")


@pytest.mark.parametrize(
    ("changes", "state", "text"),
    [
        ({"approved": None}, "not recorded", "plans of the permit: set and date not recorded"),
        ({"approved": {"set": "A-1", "built as shown": "yes"}}, "not recorded", "plans of the permit: date not recorded"),
        ({"approved": {"set": "A-1", "date": "2026-04-02"}}, "not recorded", "whether all is built as the plans of the permit show"),
        ({"approved": {"set": "A-1", "date": "2026-04-02", "built as shown": "no"}}, "not recorded",
         "something is built otherwise than the plans show; what is not recorded"),
    ],
)  # fmt: skip
def test_plans_are_part_of_it(tmp_path: Path, changes: dict[str, Any], state: str, text: str) -> None:
    one = visit(card_of(tmp_path, shed(**changes)), "rough")
    assert (one.state, one.holds[0].text) == (state, text)


@pytest.mark.parametrize(("said", "state"), [("yes", "ready to call"), ("no", "not yet"), (None, "not recorded")])
def test_what_differs_from_the_plans_waits_for_the_offices_writing(
    tmp_path: Path, said: str | None, state: str
) -> None:
    other = {"what": "door D-1 moved"} | ({"approved in writing": said} if said else {})
    plans = {"set": "A-1", "date": "2026-04-02"}
    assert visit(card_of(tmp_path, shed(approved=plans, differs_from_plans=[other])), "rough").state == state


def test_an_open_correction_holds_its_visit_back_and_a_done_one_does_not(tmp_path: Path) -> None:
    slip = {"visit": "rough", "what": "Strap the pipe", "given": "2026-06-03", "number": "12-2", "element": "G-1"}
    card = card_of(tmp_path, shed(corrections=[slip]))
    assert visit(card, "rough").state == "not yet"
    assert visit(card, "rough").holds[0].text == "written correction (no. 12-2, 3 June 2026, G-1): Strap the pipe"
    card = card_of(tmp_path, shed(corrections=[{**slip, "done": "2026-06-04", "how shown": "photo handed in"}]))
    assert visit(card, "rough").state == "ready to call"
    assert "'Strap the pipe'" in card_text(card) and "done 4 June 2026, shown: photo" in card_text(card)
    later = card_of(tmp_path, shed(corrections=[slip], permit=signed("rough")))
    assert later.next == "for rough, signed: the written correction no. 12-2 is open: Strap the pipe."


@pytest.mark.parametrize(
    ("slip", "covered", "said"),
    [
        ({"rule": "tst.steel"}, ("tst.steel (meets, as written)",), "covered here by tst.steel (meets, as written)"),
        ({"section": "Sec. 406.4"}, ("tst.pressure (meets, as written)",), "covered here by tst.pressure"),
        ({"what": "406.4.2: hold it longer"}, (), "no rule here covers this"),
        ({"what": "R305.1 ceiling low"}, ("tst.room (meets, as written)",), "covered here by tst.room"),
        ({"section": "P2503.5"}, (), "no rule here covers this"),
        ({"what": "hole 1.5 in from the edge of a 2x4"}, (), "no section on the slip, so no rule was looked for"),
    ],
)
def test_the_rule_that_would_have_caught_it_is_named(
    tmp_path: Path, slip: dict[str, str], covered: tuple[str, ...], said: str
) -> None:
    card = card_of(tmp_path, shed(corrections=[{"visit": "test", "what": "x", "given": "2026-06-03", **slip}]))
    assert card.slips[0].covered_by == covered
    assert said in " ".join(card_text(card).split())


def test_a_rule_that_is_not_in_force_is_told_with_its_line(tmp_path: Path) -> None:
    slip = {"visit": "test", "what": "x", "given": "2026-06-03", "rule": "tst.presure"}
    card = card_of(tmp_path, shed(corrections=[slip]))
    (warning,) = card.warnings
    assert "'tst.presure' is no rule in force here" in warning and "did you mean 'tst.pressure'?" in warning
    assert warning.startswith("site.yaml:")


def test_what_was_added_after_a_signature_opens_its_own_questions_only(tmp_path: Path) -> None:
    outlets = {
        "R-1": {"wall": "shed.north", "at": "4 ft", "height": "70 in"},
        "R-2": {"wall": "shed.north", "at": "8 ft", "height": "70 in", "added": "2026-06-03"},
    }
    card = card_of(tmp_path, shed(receptacles=outlets, permit=signed("rough", "wires")))
    wires = visit(card, "wires")
    assert wires.state == "signed"
    assert [(one.element, one.day, one.not_met, one.not_recorded) for one in wires.added] == [
        ("R-2", "2026-06-03", 1, 0)
    ]
    assert card.next == "R-2 was added after wires was signed: 1 finding to put right, then ask the office."
    assert "Added after signature: R-2, 3 June 2026" in card_text(card, width=80)
    outlets["R-2"]["height"] = "44 in"
    told = card_text(card_of(tmp_path, shed(receptacles=outlets, permit=signed("rough", "wires"))), width=90)
    assert "R-2, 3 June 2026: meets, as written; the office has not seen it" in told
    outlets["R-2"]["added"] = "2026-05-31"
    assert not visit(card_of(tmp_path, shed(receptacles=outlets, permit=signed("rough", "wires"))), "wires").added


def test_a_place_that_may_not_hold_a_visit_asks_what_decides(tmp_path: Path) -> None:
    asked = {"trade": "fire", "only_if": "building.storeys > few", "limits": {"few": "1"}, "after": {"close": "7"}}
    place = {**LONG_WAY, "inspections": {"seal": asked}}
    hold = next(hold for hold in visit(card_of(tmp_path, shed(), place), "seal").holds if hold.kind == "held or not")
    assert hold.text == "held here or not: by storeys of building" and not hold.stops
    card = card_of(tmp_path, shed(building={"storeys": "1"}), place)
    assert [one.why for one in card.left_off] == ["this place does not hold it for such a building"]


def full_site() -> dict[str, Any]:
    slip = {"visit": "test", "what": "Hold it longer", "given": "2026-06-03", "section": "406.4"}
    return shed(
        permit=signed("rough", "wires"),
        corrections=[slip],
        looked=[{"list": "spaces", "whole": "yes", "by": "M.K.", "day": "2026-06-01"}],
        project={"owner": "Ann Example"},
    )


@pytest.mark.parametrize("width", [30, 44, 80])
@pytest.mark.parametrize("every", [False, True])
def test_no_line_is_wider_than_its_paper(tmp_path: Path, width: int, every: bool) -> None:
    text = card_text(card_of(tmp_path, full_site(), LONG_WAY), width, every)
    assert max(columns(line) for line in text.splitlines()) <= width


def test_the_words_promise_nothing_and_leave_no_place_to_sign(tmp_path: Path) -> None:
    for place in (LONG_WAY, ONE_VISIT):
        text = card_text(card_of(tmp_path, shed(), place), 80)
        assert not re.search(
            r"\b(pass(ed)?|approved(?!( in writing)?:)|compl(y|iant|iance)|violations?|safe|certified|waive)\b",
            text,
            re.IGNORECASE,
        )
        assert not re.search(r"_{3,}|\[ ?\]|\u2610|signature:", text), "it looks like a box to sign"
        assert "It is not an inspection; the inspector decides." in " ".join(text.split())
        assert "15 June 2026" in text


def test_without_people_no_initials_names_or_licences_are_left(tmp_path: Path) -> None:
    site = full_site()
    card = card_of(tmp_path, site, LONG_WAY)
    people = people_in(read_site_text(yaml.safe_dump(site), today=TODAY))
    assert people == {"M.K.", "J.R.", "Ann Example", "GP-1182"}, "the office is no person"
    assert "M.K." in card_text(card)
    bare = without_people(card, people)
    for text in (card_text(bare), card_json.dumps(bare)):
        assert not any(name in text for name in people)
    assert "building office" in card_json.dumps(bare)


def test_json_carries_the_card(tmp_path: Path) -> None:
    told = json.loads(card_json.dumps(card_of(tmp_path, full_site(), LONG_WAY)))
    assert told["next"]["visit"] == "test" and told["exit_code"] == CORRECTIONS and told["today"] == "2026-06-15"
    by_name = {one["visit"]: one for one in told["visits"]}
    assert by_name["close"]["after"] == ["test", "wires"]
    assert by_name["test"]["notice"] == "24 h" and by_name["test"]["state"] == "not yet"
    assert [hold["kind"] for hold in by_name["test"]["holds"]] == ["slip", "ready", "papers"]
    assert told["corrections"][0]["open"] is True


def test_a_place_without_visits_says_so(tmp_path: Path) -> None:
    library = shelf(tmp_path)
    file = tmp_path / "rulesets" / "tst" / "1" / "a.yaml"
    data = yaml.safe_load(file.read_text())
    data["inspections"] = {}
    file.write_text(yaml.safe_dump(data))
    assert library.root == tmp_path / "rulesets"
    library = type(library)(library.root)
    card = card_of(tmp_path, dict(SHED), library=library)
    assert card.next.startswith("this place has no visit") and card.exit_code == NOT_RECORDED
