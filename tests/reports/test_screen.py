"""The text of `check`: its words, order and width, against a page kept beside this file."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from oktocover.findings.checked import NOT_RECORDED, READY, Blank, Checked, Visit
from oktocover.findings.finding import Finding, FindingPlace, Missing
from oktocover.reports._plain import columns
from oktocover.reports.screen import first_screen

from . import samples
from .strategies import CHECKS

EXPECTED = Path(__file__).parent / "expected"


@pytest.mark.parametrize(("name", "checked", "every"), [
    ("first_screen", samples.SHOP, False),
    ("first_screen_all", samples.SHOP, True),
    ("ready", samples.READY_SHOP, False),
    ("not_recorded", samples.UNRECORDED_SHOP, False),
    ("empty", samples.EMPTY, False),
])
def test_the_page_is_the_one_kept_beside_this_file(name: str, checked: Checked, every: bool) -> None:
    assert first_screen(checked, all_findings=every) == (EXPECTED / f"{name}.txt").read_text("utf-8")


def test_lines_of_the_designed_page_stand_as_designed() -> None:
    """The page drawn first, on paper, 44 columns wide: these of its lines hold whatever is around them."""
    page = first_screen(replace(samples.SHOP, findings=(
        samples.KILN, *(replace(samples.finding(verdict="not met"), element=f"E{at}") for at in range(4)),
        *(samples.waiting(f"W{at}", "volume") for at in range(11)),
    ))).splitlines()
    assert page[1:8] == [
        "Rules: NEC 2020, IRC 2021, Tallow Creek",
        "Town changes: not checked by the town",
        "",
        "ROUGH ELECTRICAL: do not call yet",
        "  1 can hurt someone    4 corrections likely",
        "  2 stop the visit     11 not recorded",
        "1. Kiln cable too small     can hurt someone",
    ]
    assert "   C-06, panel P1 to X-01, studio west wall" in page
    assert "   Close it with   cable: 4-3 NM-B" in page
    assert "RESTS ON WORD: 115 holes, 55 boxes (M.K.)" in page
    assert "NOT DESCRIBED: spray finishing (not sure)" in page
    assert page[-2:] == [
        "A pre-check of what is written here. It is",
        "not an inspection; the inspector decides.",
    ]


def test_the_word_it_rests_on_is_short_and_nothing_of_it_is_lost() -> None:
    words = tuple(f"{at + 2} holes (M.K., 2026-05-03): edge, by a statement" for at in range(12))
    short = first_screen(replace(samples.READY_SHOP, rests_on=words))
    told = " ".join(short.split("RESTS ON WORD: ")[1].split("NOT DESCRIBED")[0].split())
    assert told.startswith("2 holes (M.K., 2026-05-03); 3 holes (M.K., 2026-05-03); ") and "edge" not in told
    shown = told.count("holes")
    assert told.endswith(f"; and {12 - shown} more: --all") and 0 < shown < 12
    whole = " ".join(first_screen(replace(samples.READY_SHOP, rests_on=words), all_findings=True).split())
    assert all(word in whole for word in words)


@given(CHECKS, st.booleans(), st.sampled_from([30, 37, 44, 80]))
@settings(max_examples=150, deadline=None)
def test_no_line_is_wider_than_the_paper_and_no_control_character_is_left(
    checked: Checked, every: bool, width: int
) -> None:
    page = first_screen(checked, width, every)
    for line in page.split("\n"):
        assert columns(line) <= width, line
        assert len(line) <= width
        assert not any(unicodedata.category(char) in ("Cc", "Cf", "Cs", "Zl", "Zp") for char in line)
    assert first_screen(checked, width, every) == page


def test_a_flood_of_text_is_cut_on_the_first_screen() -> None:
    flood = samples.finding(verdict="not met", title="t" * 10**6, label="l " * 10**6, remedy="r " * 10**6)
    assert len(first_screen(replace(samples.SHOP, findings=(flood,)))) < 5_000


def test_one_cause_is_one_entry_that_names_each_line() -> None:
    many = tuple(replace(samples.BOXES[0], element=f"B-{at}", elements=(f"B-{at}",),
                         place=FindingPlace("site.yaml", 200 + at, 1)) for at in range(34))
    page = first_screen(replace(samples.SHOP, findings=many))
    assert page.count("Box too full") == 1
    assert " 34 places: B-0, B-1, B-2, B-3, B-4, B-5 and 28 more " in " ".join(page.split())
    assert all(f"{200 + at}" in page for at in range(34))
    assert "34 corrections likely" in page


@pytest.mark.parametrize("change", [
    {"measured": "21 cu in"}, {"required": "at most 18 cu in"}, {"severity": "hazard"},
    {"known_by": "measured"}, {"remedy": "Another remedy."}, {"close_with": "box: other"},
])
def test_what_differs_in_more_than_its_place_is_told_apart(change: dict[str, str]) -> None:
    findings = (samples.BOXES[0], replace(samples.BOXES[1], **change))  # type: ignore[arg-type]
    assert first_screen(replace(samples.SHOP, findings=findings)).count("Box too full") == 2


def test_twenty_entries_are_shown_and_the_rest_is_counted() -> None:
    findings = tuple(samples.finding(rule=f"nec.r{at}", verdict="not met") for at in range(27))
    shop = replace(samples.SHOP, findings=findings)
    assert "20. Cable size" in first_screen(shop)
    assert "21. " not in first_screen(shop)
    assert "and 7 more: --all" in first_screen(shop)
    assert "27. Cable size" in first_screen(shop, all_findings=True)


def test_an_answer_settles_a_question_only_when_nothing_else_is_lacking() -> None:
    """C-07 lacks two facts; with one of them asked it is not settled."""
    one_of_two = replace(samples.UNRECORDED_SHOP, findings=(samples.BOTH,), blanks=samples.SHOP.blanks[2:3])
    assert "ONE ANSWER TO BEGIN WITH, OF 1 NOT" in first_screen(one_of_two)
    both = replace(one_of_two, blanks=samples.SHOP.blanks[2:])
    assert "TWO ANSWERS SETTLE THE ONE" in first_screen(both)


@pytest.mark.parametrize(("need", "words"), [
    (Missing("described", "fuel gas", "look", "site", "", ("described", "fuel gas")), "described: fuel gas"),
    (Missing("B-1", "volume", "plate", "box"), "box volume of B-1   label"),
    (Missing("studio", "whole list of boxes", "look", "list"), "whole list of boxes of studio   look"),
    (Missing("fuel gas", "gas systems", "look", "gas_system"), "gas systems of fuel gas   look"),
    (Missing("V-1", "The gap is closed", "look", "record"), "The gap is closed: V-1   look"),
    (Missing("building", "use", "paper", "building"), "building use   papers"),
    (Missing("W-1", "bearing", "official", "wall"), "wall bearing of W-1   ask the office"),
])
def test_an_answer_is_asked_for_in_the_words_of_the_site_file(need: Missing, words: str) -> None:
    waits = replace(samples.BOTH, missing=(need,))
    blank = Blank(need, (need.element,), (waits.identity,))
    page = first_screen(replace(samples.UNRECORDED_SHOP, findings=(waits,), blanks=(blank,)))
    assert f"ONE ANSWER SETTLES THE ONE\n   {words}" in page


def test_a_figure_that_is_not_recorded_is_not_told_as_measured() -> None:
    shop = replace(samples.SHOP, findings=(replace(samples.BOTH, measured="not recorded", required="yes"),))
    assert "   needed yes\n" in first_screen(shop, all_findings=True)


def test_five_answers_at_most_are_asked_on_the_first_screen() -> None:
    waiting = [samples.waiting(f"B-{at}", f"fact {at}") for at in range(9)]
    blanks = tuple(replace(samples.SHOP.blanks[0], missing=one.missing[0], elements=(one.element,),
                           settles=(one.identity,)) for one in waiting)
    shop = replace(samples.UNRECORDED_SHOP, findings=tuple(waiting), blanks=blanks)
    page = first_screen(shop)
    assert "FIVE ANSWERS SETTLE 5 OF THE 9" in page
    assert "   and 4 more: --all" in page
    assert "NINE ANSWERS SETTLE 9 OF THE 9" in first_screen(shop, all_findings=True)


@pytest.mark.parametrize(("stops", "state", "ready"), [
    (0, "ready to call", True), (1, "ready to call", False), (0, "not recorded", False),
    (0, "not asked", False),
])
def test_ready_is_said_only_when_nothing_speaks_against_it(stops: int, state: str, ready: bool) -> None:
    visit = Visit(samples.ROUGH, state, 0, 0, 0, 0, stops)  # type: ignore[arg-type]
    page = first_screen(replace(samples.READY_SHOP, visits=(visit,)))
    assert ("ready to call, on what is written here." in " ".join(page.split())) is ready


def test_an_empty_file_is_never_ready() -> None:
    assert samples.EMPTY.exit_code == NOT_RECORDED
    assert "ready to call" not in first_screen(samples.EMPTY)


@pytest.mark.parametrize(("found", "heading"), [
    (samples.WET, "CLOSER THAN A TAPE CAN TELL, MEASURE AGAIN"),
    (replace(samples.WET, verdict="met"), "CLOSER THAN A TAPE CAN TELL, MEASURE AGAIN"),
    (samples.APPROVED, "ANSWERED IN WRITING: 1"),
    (samples.DROP, "WORTH KNOWING: 1 (--all)"),
])
def test_what_is_no_plain_correction_has_a_heading_of_its_own(found: Finding, heading: str) -> None:
    page = first_screen(replace(samples.SHOP, findings=(found,)))
    assert heading in page
    assert "\n1. " not in page


def test_a_hazard_closer_than_a_tape_still_counts_and_holds_the_visit_up() -> None:
    page = first_screen(replace(samples.SHOP, findings=(samples.WET,)))
    assert "  1 can hurt someone" in page
    assert "do not call yet" in page


def test_every_comparison_is_told_where_several_decide() -> None:
    page = first_screen(replace(samples.SHOP, findings=(samples.ANY_OF_TWO,)))
    assert "   beside: measured 3 ft, needed at least 4" in page
    assert "   above: measured 6 in, needed at least 1" in page


@pytest.mark.parametrize(("trade", "said"), [
    ("electrical", "proven dead"), ("gas", "never oxygen"), ("gas", "appliances connected"),
    ("gas", "carbon monoxide"), ("mechanical", "carbon monoxide"), ("air", "let the pressure out"),
    ("framing", "the designer decides"), ("plumbing", "test with water"),
])
def test_the_cautions_of_the_trades_of_the_visit_are_said(trade: str, said: str) -> None:
    def page(trade: str) -> str:
        return " ".join(first_screen(replace(samples.SHOP, findings=(samples.finding(trade=trade),))).split())

    assert said in page(trade)
    assert said not in page("paint")
    assert "Licensed work stays licensed work." in page("paint")


def test_a_date_is_said_as_people_say_it_and_anything_else_as_it_stands() -> None:
    assert first_screen(samples.SHOP).splitlines()[0].endswith("  3 May 2026")
    assert first_screen(replace(samples.SHOP, today="spring")).splitlines()[0].endswith("  spring")


def test_later_visits_are_counts_on_one_line_each() -> None:
    page = first_screen(samples.SHOP).splitlines()
    assert "LATER VISITS            hurt  likely  blanks" in page
    assert re.fullmatch(r" ?final +0 +1 +31", next(line for line in page if "final" in line))
    assert "SIGNED: rough gas" in page
    assert "Cover plate" not in "\n".join(page)


def test_all_visits_together_are_told_by_visit() -> None:
    page = first_screen(replace(samples.SHOP, visit="all"))
    assert "ALL VISITS: do not call yet" in page
    assert "BY VISIT" in page
    assert "Cover plate" in page
    assert "   Visit: final\n" in page
    assert "   Visit: " not in first_screen(samples.SHOP)
    assert samples.READY_SHOP.exit_code == READY


def test_a_yes_or_no_names_its_fact_once() -> None:
    """`listed: no, needed yes`, not the fact twice over."""
    from oktocover.reports._entries import figures

    assert figures("listed: no", "listed: yes", "") == "listed: no, needed yes"
    assert figures("3 ft", "at most 2 ft", "over by 1 ft") == "measured 3 ft, needed at most 2 ft, over by 1 ft"
