"""No report says more than a pre-check may: the words that read as a public act or a warranty are in none."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import oktocover.reports
from oktocover.findings.finding import Finding
from oktocover.reports import json_form, junit, rules_form, sarif, screen, worksheet
from oktocover.reports._plain import clean, clean_lines, columns, number, plural, wrap
from oktocover.reports._words import cautions

from . import samples

NEVER = re.compile(
    r"(?i)(?<![\w.-])(pass(es|ed|ing)?|compli(ant|es|ance)|violat\w*|illegal|safe(ly)?|approved|certified|warrant\w*"
    r"|ok|waived?|ignored?|dismiss\w*|fails code|guarantee\w*)(?![\w-])|[✓✔✅☑]"
)
KEYS = re.compile(r"\bapproved( in writing)?: ")
"""Keys of the site file, in a line to copy: what the office did stands under the office's own word."""
CHECKS = (samples.SHOP, samples.READY_SHOP, samples.UNRECORDED_SHOP, samples.EMPTY)
MODULES = sorted(Path(oktocover.reports.__file__).parent.glob("*.py"))


def _pages() -> list[str]:
    pages = [rules_form.rules_text([rules_form.RuleRow("nec.a", "A rule", "electrical", "final", "hazard", "NEC 2020 1")])]
    for checked in CHECKS:
        pages += [screen.first_screen(checked, all_findings=every) for every in (False, True)]
        pages += [json_form.dumps(checked, True), sarif.dumps(checked, True), junit.dumps(checked)]
    return [*pages, worksheet.of_finding(samples.KILN, worksheet.head_of(samples.SHOP))]


def test_no_report_says_a_word_that_reads_as_a_public_act() -> None:
    assert [found.group() for page in _pages() for found in NEVER.finditer(page)] == []


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.stem)
def test_no_text_in_the_source_holds_such_a_word(module: Path) -> None:
    tree = ast.parse(module.read_text("utf-8"))
    docstrings = {
        id(node.value) for node in ast.walk(tree)
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)}
    texts = [
        node.value for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docstrings]
    assert [text for text in texts if NEVER.search(KEYS.sub("", text))] == []


@pytest.mark.parametrize(
    "text", ["This passed.", "It is OK", "code violation", "Approved!", "safe to cover", "✔"])
def test_the_search_finds_the_words_it_is_for(text: str) -> None:
    assert NEVER.search(text)


def test_every_form_for_people_says_that_it_is_no_inspection() -> None:
    head = worksheet.head_of(samples.SHOP)
    for page in (screen.first_screen(samples.EMPTY), worksheet.of_finding(samples.KILN, head),
                 junit.dumps(samples.EMPTY), sarif.dumps(samples.EMPTY)):
        assert "It is not an inspection; the inspector decides." in " ".join(page.split())


@pytest.mark.parametrize(("text", "told"), [
    ("\x1b[31mred\x1b[0m wire", "red wire"),
    ("\x1b]8;;http://x\x1b\\link\x1b]8;;\x1b\\", "link"),
    ("\x9b2Jx", "x"),
    ("a\x00b\x7fc", "abc"),
    ("left \u202eright\u202c", "left right"),
    ("one\ntwo\tthree\u2028four\u00a0five", "one two three four five"),
    ("\ud800\ufffe\ufdd0.", "."),
    ("60 °C, 1½ in", "60 °C, 1½ in"),
])
def test_what_may_not_be_printed_is_taken_out(text: str, told: str) -> None:
    assert clean(text) == told


def test_lines_keep_their_indent_and_a_cut_text_says_so() -> None:
    assert clean_lines("a:\n  b: \x1b[1m1\n\n") == ["a:", "  b: 1", ""]
    assert clean("abcdefghij", 8) == "abcde..."
    assert clean("no cut inside a word", 16) == "no cut inside..."
    assert clean("no cut inside a word", 18) == "no cut inside a..."


def test_a_line_breaks_at_words_and_a_long_word_where_the_line_ends() -> None:
    assert wrap("one two three", 8, "  ", "   ") == ["  one", "   two", "   three"]
    assert wrap("abcdefgh ij", 5) == ["abcde", "fgh", "ij"]
    assert wrap("", 5) == []
    assert [columns(line) for line in wrap("宽宽宽宽宽", 5)] == [4, 4, 2]


def test_numbers_and_plurals_are_said_as_in_the_trade() -> None:
    assert [plural(word) for word in ("box", "switch", "assembly", "relay", "pipe")] == [
        "boxes", "switches", "assemblies", "relays", "pipes"]
    assert (number(4), number(12), number(13), number(1_300)) == ("four", "twelve", "13", "1,300")


def test_cautions_stand_in_one_order_whatever_the_order_of_trades() -> None:
    trades = ["gas", "electrical", "framing", "air", "plumbing", "hydronic"]
    assert cautions(trades) == cautions(reversed(trades))
    assert len(cautions(trades)) == 8


def test_an_entry_names_its_element_once() -> None:
    def told(**changes: str) -> str:
        found: Finding = samples.finding(verdict="not met", **changes)
        return screen.first_screen(samples.replace(samples.SHOP, findings=(found,)))

    assert "   C-01, panel P1 to R-01" in told()
    assert "   circuit C-01 of the studio" in told(label="circuit C-01 of the studio")
    assert "C-01" not in told(element="studio|north|2", label="studio, north wall")
