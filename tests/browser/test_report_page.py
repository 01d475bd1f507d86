"""The report in a browser: marks lead to findings and back, filters, paper, screen readers, sizes of screens."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from oktocover.cli.main import group

MAIN = Path(__file__).resolve().parents[2] / "examples" / "ceramics-studio" / "site.yaml"
DAY = "2026-06-15"
PHONE, DESK = (390, 844), (1280, 900)


def written(site: Path, file: Path, *more: str) -> Path:
    """The report of a site as a file; corrections are no failure of the command."""
    done = CliRunner().invoke(group, ["report", str(site), "-o", str(file), "--today", DAY, *more])
    assert done.exit_code in (0, 1, 3), done.output
    return file


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The report of the main example, which has mistakes built in on purpose."""
    return written(MAIN, tmp_path_factory.mktemp("report") / "report.html")


def test_a_mark_on_the_plan_leads_to_its_finding_and_back(open_page: Any, report: Path) -> None:
    page = open_page(report)
    mark = page.locator("svg.plan .mark").first
    number = mark.get_attribute("data-n")
    mark.click()
    finding = page.locator(f"#f-{number}")
    assert page.evaluate("location.hash") == f"#f-{number}"
    assert page.evaluate("document.activeElement.id") == f"f-{number}"
    assert finding.is_visible()
    finding.get_by_role("link", name="plan").click()
    back = page.locator(page.evaluate("location.hash"))
    assert back.get_attribute("data-n") == number
    box = back.bounding_box()
    assert box is not None and 0 <= box["y"] <= DESK[1], "the mark is in sight"


def test_a_mark_is_reached_and_followed_by_keyboard_alone(open_page: Any, report: Path) -> None:
    page = open_page(report)
    page.locator("svg.plan .mark").first.focus()
    number = page.evaluate("document.activeElement.dataset.n")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == f"f-{number}"


def test_filters_leave_what_was_asked_for_and_say_how_many(open_page: Any, report: Path) -> None:
    page = open_page(report)
    total = page.locator(".finding").count()
    page.get_by_role("combobox", name="Kind").select_option(label="can hurt someone")
    shown = page.locator(".finding:visible")
    kinds = {shown.nth(at).get_attribute("data-kind") for at in range(shown.count())}
    assert kinds == {"hurt"}
    assert page.get_by_role("status").inner_text() == f"{shown.count()} of {total} shown"
    assert 0 < shown.count() < total
    page.get_by_role("combobox", name="Room").select_option(label="garage")
    assert all("garage" in (one.get_attribute("data-rooms") or "") for one in page.locator(".finding:visible").all())
    page.get_by_role("button", name="Show all").click()
    page.wait_for_function("total => document.getElementById('shown').textContent.startsWith(total + ' of')", arg=total)
    page.get_by_role("searchbox", name="Text").fill("terminal t-3")
    found = page.locator(".finding:visible")
    assert found.count() >= 1
    assert all("t-3" in (one.text_content() or "").lower() for one in found.all())


def test_a_mark_of_a_finding_that_is_filtered_away_is_not_shown(open_page: Any, report: Path) -> None:
    page = open_page(report)
    page.get_by_role("combobox", name="Kind").select_option(label="can hurt someone")
    assert page.locator("svg .mark:not(.hurt):visible").count() == 0
    assert page.locator("svg .mark.hurt:visible").count() > 0


def test_a_link_to_a_finding_that_is_filtered_away_shows_all_again(open_page: Any, report: Path) -> None:
    page = open_page(report)
    page.get_by_role("searchbox", name="Text").fill("no finding says this")
    assert page.locator(".finding:visible").count() == 0
    page.evaluate("location.hash = '#f-1'")
    page.locator("#f-1").wait_for(state="visible")


def test_every_link_leads_somewhere_in_the_page(open_page: Any, report: Path) -> None:
    page = open_page(report)
    dead = page.evaluate(
        "[...document.querySelectorAll('a')].map(a => a.getAttribute('href'))"
        ".filter(to => !to || to[0] !== '#' || !document.getElementById(to.slice(1)))"
    )
    assert dead == []
    twice = page.evaluate(
        "(ids => ids.filter((id, at) => ids.indexOf(id) !== at))([...document.querySelectorAll('[id]')].map(e => e.id))"
    )
    assert twice == []


def whole(page: Any) -> None:
    """Lay out what is out of sight as well, which the browser puts off."""
    page.add_style_tag(content=".finding { content-visibility: visible !important }")


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_no_text_stands_outside_the_page(open_page: Any, outside: Any, report: Path, size: tuple[int, int]) -> None:
    page = open_page(report, size)
    whole(page)
    page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
    assert outside(page) == []


@pytest.mark.parametrize(("size", "dark"), [(PHONE, True), (DESK, False)], ids=["phone, dark", "desk, light"])
def test_axe_finds_nothing(open_page: Any, violations: Any, report: Path, size: tuple[int, int], dark: bool) -> None:
    page = open_page(report, size, dark)
    whole(page)
    # of the sheets, which are all made alike, a few: axe takes its time over every cell
    page.evaluate(
        "for (const one of document.querySelectorAll('details.visit, .sheet:nth-of-type(9n)')) one.open = true"
    )
    assert violations(page) == []


def test_only_what_scrolls_is_a_stop_of_the_keyboard(open_page: Any, report: Path) -> None:
    wide, narrow = open_page(report, DESK), open_page(report, PHONE)
    for page, scrolls in ((wide, False), (narrow, True)):
        page.locator("svg.plan").first.scroll_into_view_if_needed()
        page.wait_for_function(
            "scrolls => document.querySelector('.plan-figure .scroll').hasAttribute('tabindex') === scrolls",
            arg=scrolls,
        )


def test_it_reads_without_a_script(browser: Any, report: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(report.as_uri())
    seen = page.locator(".finding").count(), page.locator("#filter").is_visible()
    context.close()
    assert seen[0] > 10 and not seen[1]


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="no pdftotext (Debian: apt-get install poppler-utils)")
def test_no_page_of_the_paper_cuts_a_row(open_page: Any, report: Path, tmp_path: Path) -> None:
    page = open_page(report)
    whole(page)
    rows = page.evaluate(ROWS)
    assert len(rows) > 40
    pdf = tmp_path / "report.pdf"
    page.pdf(path=str(pdf), prefer_css_page_size=True)
    text = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], capture_output=True, text=True, check=True).stdout
    pages = [set(re.findall(r"\w+", one)) for one in text.split("\f")]
    cut = [row for row in rows if not any(set(re.findall(r"\w+", row)) <= words for words in pages)]
    assert cut == []


ROWS = """[...document.querySelectorAll('#walk tr, .figures tr, .order tr')].map(row => row.innerText)"""


def test_the_main_report_is_small_enough_to_send(report: Path) -> None:
    assert report.stat().st_size < 1_500_000
