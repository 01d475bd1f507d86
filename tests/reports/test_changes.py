"""What is new, gone and still there, what the rules did apart from what the job did; and its ten lines of Markdown."""

from __future__ import annotations

import dataclasses
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from oktocover.findings.checked import Checked, SetAside
from oktocover.findings.finding import Finding
from oktocover.reading.problems import InputProblems
from oktocover.reports import json_form
from oktocover.reports.changes import Before, compare, known_of, read_before
from oktocover.reports.markdown import MOST_LINES, as_text, escape, summary

from . import samples
from .strategies import CHECKS, TEXT

RULES = {"nec.kiln.cable": "aaaaaaaaaa", "nec.box.fill": "bbbbbbbbbb", "nec.gfci.sink": "cccccccccc", "nec.box.volume": "d" * 10}
SHOP = replace(samples.SHOP, rules=RULES)
HTML = MarkdownIt("commonmark").enable(["table", "strikethrough"])


def names(found: tuple[Finding, ...]) -> list[str]:
    """Elements, in order."""
    return [one.element for one in found]


def with_findings(*found: Finding, rules: dict[str, str] | None = None) -> Checked:
    """The shop with these findings alone."""
    return replace(SHOP, findings=found, rules=RULES if rules is None else rules)


def test_against_itself_all_is_still_there() -> None:
    found = compare(SHOP, known_of(SHOP, "before"))
    assert not (found.by_job or found.by_rules or found.gone)
    assert found.still == tuple(one for one in SHOP.of_visit() if one.open)


def test_new_gone_and_still_there_by_hand() -> None:
    now = with_findings(samples.KILN, *samples.BOXES[:1], samples.finding(element="C-99"))
    before = known_of(with_findings(samples.WET, *samples.BOXES), "before")
    found = compare(now, before)
    assert names(found.by_job) == ["C-06"]
    assert names(found.still) == ["B-02"]
    assert [(one.known.element, one.why) for one in found.gone] == [
        ("R-04", "not asked any more"), ("B-03", "not asked any more"), ("B-05", "not asked any more"),
    ]  # fmt: skip


@pytest.mark.parametrize(("turned", "why"), [
    ({"verdict": "met"}, "meets, as written"),
    ({"verdict": "does not apply"}, "does not apply"),
    ({"alternate": "letter of 2 May"}, "answered in writing"),
    ({"set_aside": "until final, M.K.: old"}, "set aside"),
    ({"stage": "final"}, "asked at final"),
])  # fmt: skip
def test_it_is_said_why_a_finding_is_gone(turned: dict[str, str], why: str) -> None:
    found = compare(with_findings(replace(samples.KILN, **turned)), known_of(with_findings(samples.KILN), "before"))
    assert [one.why for one in found.gone] == [why] and not found.still


def test_a_rule_that_is_struck_takes_its_finding_along() -> None:
    rules = {name: says for name, says in RULES.items() if name != "nec.kiln.cable"}
    found = compare(with_findings(rules=rules), known_of(with_findings(samples.KILN), "before"))
    assert [one.why for one in found.gone] == ["the rule is not in force any more"]


def test_not_recorded_that_turned_out_wrong_is_new() -> None:
    blank = replace(samples.KILN, verdict="not recorded", measured="")
    assert names(compare(with_findings(samples.KILN), known_of(with_findings(blank), "b")).by_job) == ["C-06"]
    assert names(compare(with_findings(blank), known_of(with_findings(samples.KILN), "b")).still) == ["C-06"]


def test_what_a_changed_rule_finds_stands_apart() -> None:
    before = known_of(with_findings(rules={**RULES, "nec.kiln.cable": "0000000000"}), "before")
    found = compare(with_findings(samples.KILN, samples.WET), before)
    assert (names(found.by_rules), names(found.by_job)) == (["C-06"], ["R-04"])
    assert found.rules == (("nec.kiln.cable", "changed"),)
    new_rule = known_of(with_findings(rules={"nec.gfci.sink": "c" * 10}), "before")
    assert names(compare(with_findings(samples.KILN, samples.WET), new_rule).by_rules) == ["C-06"]


def test_what_the_old_rule_finds_too_is_of_the_job() -> None:
    before = known_of(with_findings(rules={**RULES, "nec.kiln.cable": "0000000000"}), "before")
    now = with_findings(samples.KILN)
    assert names(compare(now, before, under_old=now).by_job) == ["C-06"]
    assert names(compare(now, before, under_old=with_findings()).by_rules) == ["C-06"]
    met = with_findings(replace(samples.KILN, verdict="met"))
    assert names(compare(now, before, under_old=met).by_rules) == ["C-06"]


def test_an_item_belongs_to_its_rule() -> None:
    item = replace(samples.KILN, rule="nec.box.fill.main")
    before = known_of(with_findings(rules={**RULES, "nec.box.fill": "0000000000"}), "before")
    assert names(compare(with_findings(item), before).by_rules) == ["C-06"]


def test_rules_that_changed_since_they_were_pinned_stand_apart_without_a_site_before() -> None:
    pinned = {**RULES, "nec.box.fill": "0000000000"}
    found = compare(SHOP, None, pinned, since="2026-05-01")
    assert names(found.by_rules) == ["B-02", "B-03", "B-05"]
    text = summary(found)
    assert "- **New because the rules changed since 1 May 2026: nec.box.fill** (1)" in text


def test_findings_as_json_are_read_back(tmp_path: Path) -> None:
    path = tmp_path / "before.json"
    path.write_text(json_form.dumps(SHOP, all_visits=True), encoding="utf-8")
    read, known = read_before(path, samples.ROUGH), known_of(SHOP, "before.json")
    assert (read.findings, read.rules, read.today) == (known.findings, RULES, "2026-05-03")
    assert read_before(path, "final").findings == read.findings


@pytest.mark.parametrize(("text", "why"), [
    ("", "it is no JSON"), ("{", "it is no JSON"), ("[" * 100_000, "it is no JSON"), ("[]", "it holds no findings"),
    ('{"findings": 3}', "it holds no findings"), ('{"findings": [], "format": 9}', "its format is 9, not 1"),
])  # fmt: skip
def test_what_are_no_findings_is_refused(text: str, why: str, tmp_path: Path) -> None:
    path = tmp_path / "before.json"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputProblems, match=why):
        read_before(path, "all")


def test_findings_of_another_visit_alone_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "before.json"
    path.write_text(json_form.dumps(SHOP), encoding="utf-8")
    with pytest.raises(InputProblems, match="'rough electrical' alone, not of 'final': make it without --for"):
        read_before(path, "final")


def test_the_summary_by_hand() -> None:
    now = with_findings(samples.KILN, *samples.BOXES, *samples.UNKNOWN_BOXES)
    before = known_of(with_findings(samples.BOXES[0], samples.WET), "main/site.yaml")
    assert summary(compare(now, before)) == (
        "### Studio and garage: rough electrical, do not call yet\n"
        "1 can hurt someone, 3 corrections likely, 2 stop the visit, 5 not recorded. NEC 2020, IRC 2021, Tallow Creek, "
        "3 May 2026; against main/site.yaml. A pre-check of what is written, no inspection.\n"
        "- **New because the job changed** (3)\n"
        "  - **can hurt someone**: Kiln cable too small: C-06, panel P1 to X-01, studio west wall; measured 55 A, needed 60 A, "
        "short by 5 A; NEC 2020 210.19(A)(1), 334.80 (site.yaml:74)\n"
        "  - **correction likely**: Box too full: 2 places: B-03, B-05; measured 20.3 cu in, needed at most 20 cu in, over by "
        "0.3 cu in; NEC 2020 314.16(B) (site.yaml:108, 122)\n"
        "  - **not recorded**: box volume (5 boxes); label; 5 checks wait for it\n"
        "- **Gone** (1): Receptacle near the clay sink: R-04 (not asked any more)\n"
        "- **Still there** (1): 0 can hurt someone, 1 correction likely, 0 not recorded. First: Box too full\n"
    )


def many(count: int, verdict: str, rule: str) -> tuple[Finding, ...]:
    """Findings with nothing in common."""
    return tuple(
        samples.finding(rule=rule, element=f"E-{at}", title=f"Title {at}", verdict=verdict, measured=f"{at} A", stage=samples.ROUGH)
        for at in range(count)
    )


@pytest.mark.parametrize("job", [0, 1, 2, 40])
@pytest.mark.parametrize("rules", [0, 1, 40])
@pytest.mark.parametrize("gone", [0, 40])
@pytest.mark.parametrize("aside", [0, 40])
def test_a_job_has_ten_lines_at_most_and_every_kind_is_seen(job: int, rules: int, gone: int, aside: int) -> None:
    laid = tuple(
        SetAside(f"{at:016}", "r", f"E-{at}", "w", f"who {at}", "why", "final", "", "set aside") for at in range(aside)
    )
    now = replace(
        with_findings(*many(job, "not met", "a.job"), *many(rules, "not met", "a.rule"), rules={"a.job": "1", "a.rule": "2"}),
        set_aside=laid,
    )
    before = Before("b", "", known_of(with_findings(*many(gone, "not met", "a.gone")), "").findings, {"a.job": "1", "a.rule": "1"})
    text = summary(compare(now, before))
    lines = text.splitlines()
    assert len(lines) <= MOST_LINES and all(line.strip() for line in lines)
    assert ("**New because the job changed**" in text) == bool(job)
    assert ("**New because the rules changed: a.rule**" in text) == bool(rules)
    assert (f"**Gone** ({gone})" in text) == bool(gone)
    assert ("**Set aside**: 40 findings" in text) == bool(aside)
    told = sum(line.startswith("  - ") for line in lines)
    assert told >= min(job, 1) + min(rules, 1)
    if job == 40:
        assert "**New because the job changed** (40, " in text, "what is not shown is counted"


NASTY = (
    "@someone", "a|b", "`code`", "<b>x</b>", "<!-- x -->", "[x](http://evil.example)", "![x](y)", "**x**", "_x_", "~~x~~",
    "# x", "#12", "GH-12", "user/repo#12", "https://evil.example/x", "www.evil.example", "&lt;b&gt;", "\\*x\\*", "$x$",
    "- x", "1. x", "| a |\n|---|\n| b |", "<https://evil.example>", "a@b.example", "``` x", "&#64;someone",
)  # fmt: skip


def plain_text(markdown: str) -> tuple[str, set[str]]:
    """What a reader sees of Markdown, and the kinds of markup in it."""
    tokens = [inner for token in HTML.parse(markdown) for inner in (token, *(token.children or ()))]
    return "".join(one.content for one in tokens if one.type == "text"), {one.type for one in tokens}


@given(st.one_of(st.sampled_from(NASTY), TEXT, st.lists(st.sampled_from(NASTY), max_size=4).map(" ".join)))
@settings(max_examples=300, deadline=None)
def test_escaped_text_is_seen_as_it_stands_and_does_nothing(text: str) -> None:
    seen, kinds = plain_text(f"- **x**: {escape(text)} end")
    from oktocover.reports._plain import clean

    assert " ".join(seen.replace("\u2060", "").split()) == " ".join(f"x: {clean(text)} end".split())
    assert kinds <= {"bullet_list_open", "bullet_list_close", "list_item_open", "list_item_close", "paragraph_open",
                     "paragraph_close", "inline", "text", "strong_open", "strong_close"}  # fmt: skip
    assert "|" not in escape(text).replace("\\|", "")


@pytest.mark.parametrize("text", NASTY)
def test_no_forge_finds_a_name_a_number_or_an_address_in_it(text: str) -> None:
    import html
    import re

    for made in (escape(text), html.unescape(escape(text))):
        assert not re.search(r"(?<![\w`])@\w", made), "a mention"
        assert not re.search(r"#\d|GH-\d", made), "a number of an issue"
        assert not re.search(r"https?://\w|www\.\w", made), "an address"
        assert "<" not in escape(text)


@given(CHECKS, CHECKS)
@settings(max_examples=60, deadline=None)
def test_whatever_a_site_holds_the_summary_is_ten_lines_and_the_same_again(now: Checked, old: Checked) -> None:
    found = compare(now, known_of(old, "old"))
    text = summary(found)
    lines = text.splitlines()
    assert len(lines) <= MOST_LINES and text == summary(found)
    assert lines[0].startswith("### ") and all(line.startswith(("- ", "  - ")) for line in lines[2:])
    assert as_text(found)
    text.encode("utf-8")


def test_every_open_finding_stands_under_one_heading() -> None:
    found = compare(SHOP, known_of(with_findings(samples.WET, rules={**RULES, "nec.box.fill": "0" * 10}), "b"))
    told = [*found.by_job, *found.by_rules, *found.still]
    assert sorted(map(dataclasses.astuple, told), key=str) == sorted(
        (dataclasses.astuple(one) for one in SHOP.of_visit() if one.open), key=str
    )
