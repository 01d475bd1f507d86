"""What every page has: nothing to fetch, no script but its own, a way past the head by keyboard."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from oktocover.reports.html_page import render


def test_a_script_that_is_not_the_page_s_own_never_runs(browser: Any, tmp_path: Path) -> None:
    page = render("base.html.j2").replace("<main", "<script>document.title = 'ran'</script><main")
    assert "script>document" in page
    file = tmp_path / "page.html"
    file.write_text(page, encoding="utf-8")
    context = browser.new_context()
    opened = context.new_page()
    opened.goto(file.as_uri())
    title = opened.title()
    context.close()
    assert title == ""


def test_the_first_stop_of_the_keyboard_leads_past_the_head(open_page: Any, tmp_path: Path) -> None:
    file = tmp_path / "page.html"
    file.write_text(render("base.html.j2"), encoding="utf-8")
    page = open_page(file)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "To the content"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
