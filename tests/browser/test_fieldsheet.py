"""The field sheet on a phone: filled in, saved, laid into the site, and the findings that waited for it are settled."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from oktocover.check import check, in_force
from oktocover.cli.main import group
from oktocover.findings.checked import Checked
from oktocover.reading.nodes import read_yaml_file
from oktocover.reading.site_file import make_site
from oktocover.rules.library import Library

PHONE = (390, 844)
TODAY = datetime.date(2026, 6, 15)
SITE = """
site: Shed <b>& "shop"</b>
permit: {occupancy: accessory}
described: {electrical: yes, fuel gas: yes, fuel burning appliances: none, rated walls: none}
measured to: bare framing
spaces: {shed: {use: workshop, size: 12 ft x 10 ft}}
receptacles:
  R-1, R-2, R-3: {wall: shed.north, at: [2 ft, 5 ft, 9 ft], height: 18 in, what: 5-20 duplex, circuit: E-1}
circuits: {E-1: {breaker: 20 A, cable: 12-2 NM-B}}
boxes:
  B-1, B-2, B-3: {wall: shed.north, at: [2 ft, 5 ft, 9 ft], height: 18 in, what: device, material: plastic, trade size: 3 x 2}
gas systems: {house: {gas: natural gas, working pressure: 7 in w.c.}}
gas meters: {GM-1: {of: house}}
gas pipes: {G-1: {from: GM-1, size: 3/4 in, length: 20 ft}}
gas tests: {GT-1: {of: house, medium: air, gauge: dial}}
"""


@pytest.fixture
def shed(tmp_path: Path) -> Path:
    site = tmp_path / "site.yaml"
    site.write_text(SITE, encoding="utf-8")
    return site


@pytest.fixture
def page_of(shed: Path, open_page: Callable[..., Any]) -> Callable[..., Any]:
    """Open the sheet of the shed, for one visit, on a phone."""

    def opened(visit: str, **options: Any) -> Any:
        out = shed.with_name("sheet.html")
        args = ["fieldsheet", str(shed), "--for", visit, "--format", "html", "--out", str(out), "--today", str(TODAY)]
        made = CliRunner().invoke(group, args)
        assert made.exit_code == 0, made.output
        return open_page(out, **{"size": PHONE, "accept_downloads": True, **options})

    return opened


def judged(site: Path, *answers: Path) -> Checked:
    documents = [read_yaml_file(path, path.name) for path in answers]
    read = make_site([read_yaml_file(site, site.name)], site.name, TODAY, answers=documents)
    return check(read, in_force(read, Library().adopt(None, [], site.parent), TODAY), TODAY, "all", figures=False)


def waiting(checked: Checked, element: str, fact: str) -> list[str]:
    return [
        one.rule
        for one in checked.findings
        if any((missing.element, missing.fact) == (element, fact) for missing in one.missing)
    ]


def blank(page: Any, stop: str, words: str) -> Any:
    """The blank of a stop whose question has these words."""
    return (
        page.locator("article")
        .filter(has=page.get_by_role("heading", name=stop))
        .locator("fieldset")
        .filter(has_text=words)
    )


def saved(page: Any, folder: Path) -> Path:
    page.get_by_label("Day of the readings").fill("2026-06-15")
    with page.expect_download() as download:
        page.get_by_role("button", name="Save file").click()
    path = folder / download.value.suggested_filename
    download.value.save_as(path)
    return path


def test_a_reading_is_asked_before_its_limit_saved_and_settles_its_findings(
    shed: Path, page_of: Callable[..., Any]
) -> None:
    page = page_of("gas pressure test")
    pressure = blank(page, "gas test GT-1", "Gauge reading at the start of the hold")
    before = judged(shed)
    assert waiting(before, "GT-1", "pressure") and waiting(before, "GT-1", "source off")

    assert page.get_by_text("never oxygen").first.bounding_box()["y"] < pressure.bounding_box()["y"]
    assert not pressure.get_by_text("What the section asks").is_visible()
    pressure.get_by_label("figure", exact=True).fill("3.5")
    assert pressure.get_by_text("What the section asks").is_visible()
    assert pressure.get_by_text("Reads: 3.5 psi").is_visible()
    blank(page, "gas test GT-1", "Pump or bottle shut off").get_by_role("button", name="Yes").click()
    started = blank(page, "gas test GT-1", "first reading")
    started.get_by_label("day").fill("2026-06-14")
    started.get_by_label("clock").fill("09:05:00")
    assert page.locator("#unsaved").inner_text() == "3 not saved"

    page.get_by_role("button", name="Save file").click()
    assert page.evaluate("document.activeElement.id") == "by", "a file without a name is not saved"
    page.get_by_label("Your initials").fill("A.B.")
    answers = saved(page, shed.parent)
    assert answers.name.startswith("answers-shed-b-shop-b-2026-06-15-a-b-")
    assert page.locator("#unsaved").inner_text() == "all saved"
    after = judged(shed, answers)
    assert not waiting(after, "GT-1", "pressure")
    assert not waiting(after, "GT-1", "source off")
    assert not waiting(after, "GT-1", "started")


def test_lengths_are_put_together_from_feet_inches_and_a_fraction(shed: Path, page_of: Callable[..., Any]) -> None:
    shed.write_text(
        SITE.replace("B-1, B-2, B-3: {wall: shed.north, at: [2 ft, 5 ft, 9 ft]", "B-1: {wall: shed.north, at: 2 ft")
    )
    page = page_of("rough electrical")
    at = blank(page, "box B-1", "Shortest conductor, from where")
    at.get_by_label("feet").fill("5")
    at.get_by_label("inches").fill("2")
    at.get_by_role("button", name="fraction").click()
    at.get_by_role("button", name="5/16 inch", exact=True).click()
    assert at.get_by_text("Reads: 5 ft 2-5/16 in").is_visible()
    assert (
        "element: B-1, list: boxes, fact: free conductor, value: 5 ft 2-5/16 in" in page.locator("#yaml").input_value()
    )


def test_one_look_at_many_is_one_answer_with_its_exceptions(shed: Path, page_of: Callable[..., Any]) -> None:
    page = page_of("rough electrical")
    conductor = blank(page, "3 boxes", "Shortest conductor, from where")
    conductor.get_by_role("button", name="Not at every one").click()
    conductor.get_by_label("B-2").check()
    conductor.get_by_label("inches").fill("5")
    page.get_by_label("Your initials").fill("A.B.")
    answers = saved(page, shed.parent)
    text = answers.read_text(encoding="utf-8")
    assert "element: [B-1, B-3], list: boxes, fact: free conductor, value: at least 6 in" in text
    assert "count: 3, except: [B-2]" in text
    assert "element: B-2, list: boxes, fact: free conductor, value: 5 in" in text
    checked = judged(shed, answers)
    verdicts = {one.element: one.verdict for one in checked.findings if one.rule == "nec.free-conductor.from_sheath"}
    assert verdicts == {"B-1": "met", "B-2": "not met", "B-3": "met"}
    assert any(
        "2 boxes (A.B., 2026-06-15): free conductor, by one look, 6 in block at every one" in one
        for one in checked.rests_on
    )


def test_entries_outlive_the_page_until_they_are_forgotten(page_of: Callable[..., Any]) -> None:
    page = page_of("gas pressure test")
    fact = blank(page, "gas test GT-1", "Pump or bottle shut off")
    fact.get_by_role("button", name="ask").click()
    fact.get_by_label("a note").fill("whose gauge?")
    page.on("dialog", lambda dialog: dialog.accept())
    page.wait_for_timeout(300)  # the browser writes its storage down a moment after the script has said so
    page.reload()
    fact = blank(page, "gas test GT-1", "Pump or bottle shut off")
    assert fact.get_by_role("button", name="ask").get_attribute("aria-pressed") == "true"
    assert fact.get_by_label("a note").input_value() == "whose gauge?"
    page.get_by_text("The answers as text").click()
    assert 'said: ask, note: "whose gauge?"' in page.locator("#yaml").input_value()
    with page.expect_navigation():
        page.get_by_role("button", name="Forget all answers").click()
    fact = blank(page, "gas test GT-1", "Pump or bottle shut off")
    assert fact.get_by_role("button", name="ask").get_attribute("aria-pressed") == "false"


def test_a_browser_that_keeps_nothing_says_so_and_still_saves(
    shed: Path, page_of: Callable[..., Any], browser: Any
) -> None:
    page_of("gas pressure test")
    context = browser.new_context(viewport={"width": 390, "height": 844}, accept_downloads=True)
    context.add_init_script("Object.defineProperty(window, 'localStorage', {get() { throw new Error('shut'); }})")
    page = context.new_page()
    page.goto(shed.with_name("sheet.html").as_uri())
    assert "save the file after each room" in page.locator("#kept").inner_text()
    page.get_by_label("Your initials").fill("A.B.")
    blank(page, "gas test GT-1", "Pump or bottle shut off").get_by_role("button", name="No", exact=True).click()
    text = saved(page, shed.parent).read_text(encoding="utf-8")
    context.close()
    assert "fact: source off, value: no" in text


def test_the_sheet_can_be_filled_in_by_keyboard_alone(page_of: Callable[..., Any]) -> None:
    page = page_of("gas pressure test")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"
    page.get_by_role("button", name="Next blank").focus()
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.closest('.ask') !== null")
    assert page.evaluate("document.activeElement.closest('.ask').querySelector('.number').textContent") == "1."


@pytest.mark.parametrize(("visit", "dark"), [("rough electrical", False), ("gas pressure test", True)])
def test_nothing_on_the_sheet_shuts_anybody_out(
    page_of: Callable[..., Any],
    violations: Callable[[Any], list[str]],
    outside: Callable[[Any], list[str]],
    visit: str,
    dark: bool,
) -> None:
    page = page_of(visit, dark=dark)
    assert violations(page) == []
    assert outside(page) == []
    for button in page.get_by_role("button", name="fraction").all()[:2]:
        button.click()
    for button in page.get_by_role("button", name="Not at every one").all():
        button.click()
    for box in page.get_by_role("checkbox").all()[:2]:
        if box.is_visible():
            box.check()
    page.get_by_role("button", name="Yes").first.click()
    page.get_by_text("Rooms and visits").click()
    page.get_by_text("The answers as text").click()
    assert violations(page) == []
    assert outside(page) == []


def test_targets_are_big_enough_for_gloves(page_of: Callable[..., Any]) -> None:
    page = page_of("all")
    small = page.evaluate(
        """() => [...document.querySelectorAll('main button, main select, .bar button')].filter((one) => one.offsetParent)
        .map((one) => [one.textContent, one.getBoundingClientRect()]).filter(([, box]) => box.height < 44 || box.width < 44)
        .map(([text]) => text)"""
    )
    assert small == []


def test_what_a_site_says_is_text_and_never_markup(page_of: Callable[..., Any]) -> None:
    page = page_of("all")
    assert page.locator("h1").inner_text() == 'Field sheet: Shed <b>& "shop"</b>'
    assert page.locator("h1 b").count() == 0


def test_printed_it_is_paper_with_blanks_and_the_limits_at_the_end(page_of: Callable[..., Any], tmp_path: Path) -> None:
    page = page_of("gas pressure test", size=(1280, 900))
    page.emulate_media(media="print")
    assert not page.locator("button").first.is_visible()
    limits = page.get_by_text("What the sections ask (read it when the readings are written)")
    last = page.locator("fieldset").last
    assert limits.is_visible()
    assert limits.bounding_box()["y"] > last.bounding_box()["y"]
    assert page.locator(".paper .rule").first.is_visible()
    page.emulate_media(media="screen")
    blank(page, "gas test GT-1", "Pump or bottle shut off").get_by_role("button", name="Yes").click()
    page.emulate_media(media="print")
    assert blank(page, "gas test GT-1", "Pump or bottle shut off").get_by_text("Written: yes").is_visible()
    page.pdf(path=tmp_path / "sheet.pdf", prefer_css_page_size=True)
    assert (tmp_path / "sheet.pdf").stat().st_size > 10_000


def test_without_scripts_the_page_is_the_paper_sheet(page_of: Callable[..., Any], browser: Any, shed: Path) -> None:
    page_of("gas pressure test")
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(shed.with_name("sheet.html").as_uri())
    shown = page.locator(".paper .rule").first.is_visible(), page.locator(".bar").is_visible()
    context.close()
    assert shown == (True, False)
