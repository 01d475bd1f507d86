"""The worksheet: what a person needs to follow the sum with a pencil, on 80 columns."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from oktocover.findings.finding import Step
from oktocover.reports._plain import columns
from oktocover.reports.worksheet import WIDTH, head_of, of_finding, sheets, worksheet

from . import samples
from .strategies import TEXT, TEXTS

HEAD = head_of(samples.SHOP, "B-2026-014")
STEPS = st.lists(st.builds(Step, TEXT, TEXT, TEXT, TEXT), max_size=4)


def test_the_sheet_is_the_one_kept_beside_this_file() -> None:
    kept = Path(__file__).parent / "expected" / "worksheet.txt"
    assert of_finding(samples.KILN, HEAD) == kept.read_text("utf-8")


@given(TEXT, TEXT, TEXTS, STEPS, TEXT, TEXT, TEXTS)
@settings(max_examples=100, deadline=None)
def test_no_line_is_wider_than_the_paper(
    title: str, label: str, sections: tuple[str, ...], steps: list[Step], result: str, site: str,
    trades: tuple[str, ...],
) -> None:
    sheet = worksheet(title, label, sections, steps, result, {"site": site, "trades": trades})
    for line in sheet.split("\n"):
        assert columns(line) <= WIDTH
        assert line.isprintable() or not line.isascii()
    assert worksheet(title, label, sections, steps, result, {"site": site, "trades": trades}) == sheet


def test_no_step_is_lost_and_each_has_its_result_and_source() -> None:
    sheet = " ".join(of_finding(samples.KILN, HEAD).split())
    for step in samples.KILN.work:
        for part in (step.what.split()[0], step.how, step.result, step.source):
            assert part in sheet


def test_a_figure_taken_as_written_is_an_input_and_no_step() -> None:
    lines = of_finding(samples.KILN, HEAD).splitlines()
    inputs = lines[lines.index("INPUTS, as written") : lines.index("STEPS")]
    assert any("load of the kiln" in line and "48 A" in line for line in inputs)
    assert not any("1.25" in line for line in inputs)


def test_what_the_title_block_lacks_is_said_to_be_not_recorded() -> None:
    assert "Permit     not recorded" in of_finding(samples.KILN, head_of(samples.SHOP))


def test_several_sums_are_several_sheets() -> None:
    both = sheets([("Load", samples.KILN.work[:2]), ("Cable", samples.KILN.work[2:])], HEAD, "C-06")
    assert both.count("WORKSHEET: ") == 2
    assert "Result     60 A\n" in both
    assert "Result     short by 5 A\n" in both
