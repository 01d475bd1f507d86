"""Figures of the report in a browser: how large, how soon it is open, how long a filter takes with 500 findings."""

from __future__ import annotations

import datetime
import importlib.util
import shutil
import statistics
import tempfile
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

from oktocover.check import check, in_force
from oktocover.reading.site_file import read_site
from oktocover.reports._layered import World
from oktocover.reports.card import inspection_card
from oktocover.reports.html_report import html_report
from oktocover.rules.library import Library

FILTERED = """async () => {
  const form = document.getElementById('filter'), taken = [];
  const shown = () => document.getElementById('shown').textContent;
  for (const [name, value] of [['text', 'terminal'], ['text', ''], ['kind', 'hurt'], ['room', 'garage'], ['kind', ''], ['room', '']]) {
    const start = performance.now();
    form.elements[name].value = value;
    form.dispatchEvent(new Event('input'));
    document.body.offsetHeight;
    await new Promise(requestAnimationFrame);
    taken.push(performance.now() - start);
  }
  return [taken, shown()];
}"""
OPENED = "(() => { const one = performance.getEntriesByType('navigation')[0]; return one.loadEventEnd; })()"


def crowded(site: Path, rulesets: Path, today: datetime.date, count: int = 0) -> str:
    """The report of a site; with `count`, its open findings told over and over until there are so many entries."""
    library, read = Library(rulesets), read_site(site, today)
    adopted = in_force(
        read, library.adopt(read.site.permit.jurisdiction, read.site.permit.standards, site.parent), today
    )
    checked = check(read, adopted, today)
    card = inspection_card(read, adopted, replace(checked, visit="all"))
    if count:
        wrong = [one for one in checked.findings if one.verdict == "not met"]
        again = [wrong[at % len(wrong)] for at in range(count)]
        # under a name of its own each, so that they are not folded into one entry
        more = [replace(one, title=f"{one.title}, {at}", rule=f"{one.rule}-{at}") for at, one in enumerate(again)]
        others = [one for one in checked.findings if one.verdict not in ("not met", "not recorded")]
        checked = replace(checked, findings=(*more, *others))
    return html_report(read, checked, card, World(library, adopted))


def pages(site: Path, rulesets: Path, today: datetime.date) -> None:
    """Print the figures; nothing without a browser."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    if chromium is None or importlib.util.find_spec("playwright") is None:
        print("report in a browser: no chromium, or no playwright")
        return
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver, tempfile.TemporaryDirectory() as folder:
        browser = driver.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        for name, count in (("the main example", 0), ("500 findings", 500)):
            start = time.perf_counter()
            text = crowded(site, rulesets, today, count)
            made = time.perf_counter() - start
            file = Path(folder) / f"{count}.html"
            file.write_text(text, encoding="utf-8")
            print(f"report of {name}: {len(text.encode()) / 1e6:.2f} MB (budget 1.5), made in {made:.2f} s")
            _shown(browser, file, name)
        browser.close()


def _shown(browser: Any, file: Path, name: str) -> None:
    opened, taken = [], []
    for _ in range(3):
        page = browser.new_page()
        page.goto(file.as_uri())
        page.wait_for_timeout(50)
        opened.append(page.evaluate(OPENED))
        found, said = page.evaluate(FILTERED)
        taken += found
        page.close()
    print(
        f"report of {name}: open after {min(opened):.0f} ms (budget 1000); a filter takes {statistics.median(taken):.0f} ms, "
        f"{max(taken):.0f} at most; {said}"
    )
