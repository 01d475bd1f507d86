"""Pages in a real browser: Debian's chromium, driven without a network. Without one these tests are skipped."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

CHROMIUM = next((found for found in map(shutil.which, ("chromium", "chromium-browser")) if found), None)
WHY_NOT = "no chromium on the path (Debian: apt-get install chromium)"
PHONE = (390, 844)
DESK = (1280, 900)
STANDARDS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
"""What axe-core is asked about: WCAG 2.0 to 2.2, levels A and AA, and its own advice."""


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """One running browser for all pages of a worker."""
    if CHROMIUM is None:
        pytest.skip(WHY_NOT)
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    with playwright.sync_playwright() as driver:
        running = driver.chromium.launch(
            executable_path=CHROMIUM,
            args=["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--disable-background-networking"],
        )
        yield running
        running.close()


@pytest.fixture
def open_page(browser: Any) -> Iterator[Callable[..., Any]]:
    """`open_page(file, size=PHONE or DESK, dark=False, **context)`: a page of that file, in a context of its own.

    A request for anything but files, and anything a script complains of, fails the test at its end.
    """
    contexts: list[Any] = []
    wrong: list[str] = []

    def opened(file: Path, size: tuple[int, int] = DESK, dark: bool = False, **options: Any) -> Any:
        wide, high = size
        context = browser.new_context(
            viewport={"width": wide, "height": high}, color_scheme="dark" if dark else "light", **options
        )
        contexts.append(context)
        page = context.new_page()
        page.on("request", lambda asked: asked.url.startswith(("file:", "data:", "blob:")) or wrong.append(asked.url))
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.on("console", lambda said: wrong.append(said.text) if said.type in ("error", "warning") else None)
        page.goto(file.as_uri())
        return page

    yield opened
    for context in contexts:
        context.close()
    assert not wrong, wrong


@pytest.fixture(scope="session")
def violations() -> Callable[[Any], list[str]]:
    """`violations(page)`: what axe-core finds on a page as it is shown, one line each; nothing when it is in order."""
    axe = pytest.importorskip("axe_playwright_python.base", reason="axe-playwright-python is not installed")
    script = (Path(axe.__file__).parent / "axe.min.js").read_text(encoding="utf-8")

    def found(page: Any) -> list[str]:
        page.evaluate(script)
        options = json.dumps({"resultTypes": ["violations"], "runOnly": {"type": "tag", "values": STANDARDS}})
        answer = page.evaluate(f"axe.run(document, {options})")
        return [
            f"{one['id']}: {one['help']}: {node['target']} {node.get('failureSummary', '')}"
            for one in answer["violations"]
            for node in one["nodes"]
        ]

    return found


@pytest.fixture(scope="session")
def outside() -> Callable[[Any], list[str]]:
    """`outside(page)`: texts that reach over the right edge of the page, or are cut at the edge of their own box."""

    def found(page: Any) -> list[str]:
        texts: list[str] = page.evaluate(OUTSIDE)
        return texts

    return found


OUTSIDE = """() => {
  const wide = document.documentElement.clientWidth, found = [];
  if (document.documentElement.scrollWidth > wide) found.push('the page is ' + document.documentElement.scrollWidth + ' wide');
  const scrolls = (node) => {
    for (let one = node; one && one !== document.body; one = one.parentElement) {
      const style = getComputedStyle(one);
      if (/(auto|scroll)/.test(style.overflowX)) return true;
      if (style.clipPath !== 'none' || style.visibility === 'hidden') return true;
    }
    return false;
  };
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode, parent = node.parentElement;
    if (!node.data.trim() || /^(SCRIPT|STYLE|TITLE|DESC)$/i.test(parent.tagName) || scrolls(parent)) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const box of range.getClientRects()) {
      if (box.width && (box.right > wide + 0.5 || box.left < -0.5) && box.bottom > 0) { found.push(node.data.trim().slice(0, 60)); break; }
    }
  }
  return found;
}"""
