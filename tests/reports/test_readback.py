"""The building read back in words, against pages kept beside this file."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
import sites
from hypothesis import given, settings
from hypothesis import strategies as st

from oktocover.check import ALL_VISITS, check
from oktocover.cli.common import adopted_for, read_day
from oktocover.findings.finding import Finding
from oktocover.measures.view import SiteView
from oktocover.quantities import number
from oktocover.quantities.units import INCH
from oktocover.reading.site_file import SiteFile, read_site
from oktocover.reports._plain import columns
from oktocover.reports.fact_sheet import fact_sheet, names
from oktocover.reports.plan_svg import plan_svg
from oktocover.reports.readback import readback, taped, written

from . import show_sites
from .show_sites import EMPTY, SHOP, TEN_LINES

EXPECTED = Path(__file__).parent / "expected"


def kept(name: str) -> str:
    return (EXPECTED / f"{name}.txt").read_text(encoding="utf-8")


def findings(read: SiteFile) -> tuple[Finding, ...]:
    adopted = adopted_for(read, Path("site.yaml"), None)
    return check(read, adopted, read_day("2026-06-15"), ALL_VISITS, figures=False).findings


def sheet(text: str, name: str) -> str:
    found = fact_sheet(show_sites.read(text), show_sites.view(text), name, findings(show_sites.read(text)))
    assert found is not None
    return found


@pytest.mark.parametrize(("name", "text"), [
    ("show_shop", SHOP), ("show_ten_lines", TEN_LINES), ("show_empty", EMPTY),
])
def test_the_page_is_the_one_kept_beside_this_file(name: str, text: str) -> None:
    assert readback(show_sites.view(text)) == kept(name)


@pytest.mark.parametrize(("name", "what"), [
    ("show_room", "shop"), ("show_wall", "shop.east"), ("show_element", "R-2"),
])
def test_the_sheet_is_the_one_kept_beside_this_file(name: str, what: str) -> None:
    assert sheet(SHOP, what) == kept(name)


def test_the_sentence_of_a_room_is_the_one_that_was_designed() -> None:
    """Words of the design: size, area, ceiling, door by its wall and distance, lists with who looked and when."""
    page = " ".join(readback(show_sites.view(TEN_LINES)).split())
    assert "studio (workshop) 18 ft x 17 ft, 306 sq ft" in page.replace(", no place on the plan yet", "")
    assert "door D3 on the south wall 3 ft from its left end, 36 in wide" in page
    assert "1 receptacle R-01, list whole (M.K., 3 May 2026)" in page
    assert "openings: list open" in page


def test_a_list_whose_count_no_longer_fits_is_open_again() -> None:
    page = " ".join(readback(show_sites.view(SHOP)).split())
    assert "4 receptacles, list whole (M.K., 3 May 2026)" in page
    assert "1 receptacle R-3, list open again: its count no longer fits" in page
    assert "1 gas meter GM-1, 1 appliance UH-1, 1 terminal T-1: lists open" in page


def test_the_gas_piping_is_a_tree_and_loose_pipe_is_told_apart() -> None:
    lines = readback(show_sites.view(SHOP)).splitlines()
    depth = {line.split(":")[0].strip(): len(line) - len(line.lstrip()) for line in lines if line.strip().startswith("G-0")}
    assert depth["G-01"] < depth["G-02"] == depth["G-03"]
    at = lines.index("  pipes that are not joined to a gas system as written")
    assert lines[at + 1].strip().startswith("G-04")


def test_a_ring_of_pipes_ends() -> None:

    view = show_sites.view("gas pipes: {A: {size: 1 in}, B: {from: A, size: 1 in}}\n")
    assert readback(view).count("B: 1 in") == 1


def test_values_stand_as_they_were_written_with_line_and_how_they_are_known() -> None:
    page = sheet(SHOP, "R-2")
    line = next(number for number, text in enumerate(SHOP.splitlines(), 1) if text.startswith("  R-2"))
    assert f"site.yaml:{line}, told by the electrician" in page
    assert f"site.yaml:{line}, measured" in page
    assert "5 ft 1/16 in" in sheet(SHOP, "R-1")


def test_only_what_a_rule_waits_for_is_told_as_not_recorded() -> None:
    page = sheet(SHOP, "GT-1")
    asked, _, rest = page.partition("no rule in force waits for them")
    assert "not recorded, and a rule in force waits for it" in asked
    assert "gauge (look)" in asked and "end pressure (test)" in asked and "temperature start" not in asked
    assert "other facts of a gas test not recorded" in asked


@pytest.mark.parametrize("name", ["GT-1", "R-2", "R-3", "UH-1", "T-1", "H-1", "D-1", "D-2", "garage", "G-03", "C-1", "V-1"])
def test_the_facts_told_as_not_recorded_are_those_that_open_verdicts_lack(name: str) -> None:
    read, view = show_sites.read(SHOP), show_sites.view(SHOP)
    found = findings(read)
    waited = {missing.fact for one in found for missing in one.missing if missing.element == name
              and " of " not in missing.fact and one.verdict == "not recorded" and not one.settled}
    page = (fact_sheet(read, view, name, found) or "").replace("\n      ", " ")
    parts = re.findall(r"waits for it\n((?:    .*\n)+)", page)
    rows = [row for part in parts for row in re.findall(r"^ {4}(\S[^(\n]*) \(", part, re.M)]
    assert {row for row in rows if " of " not in row} == waited


def test_what_no_answer_can_turn_is_not_asked() -> None:
    read, view = show_sites.read(SHOP), show_sites.view(SHOP)
    settled = [replace(one, settled=True) for one in findings(read)]
    assert "waits for it" in (fact_sheet(read, view, "R-2", findings(read)) or "")
    assert "waits for it" not in (fact_sheet(read, view, "R-2", settled) or "")


def test_what_only_an_answer_decides_says_under_which_name_it_is_recorded() -> None:
    assert "under records, for: ifgc.terminal-seal" in " ".join(sheet(SHOP, "T-1").split())


def test_a_derived_thing_shows_its_steps() -> None:
    text = SHOP.replace("  N-9: {wall: shop.north, what: window}\n", "").replace("at least 9 ft", "9 ft")
    page = sheet(text, "shop: after D-2")
    assert "wall space" in page and "length of the wall space" in page and "=" in page


def test_a_wall_shows_its_things_from_left_to_right_and_those_written_from_the_other_side() -> None:
    page = sheet(SHOP, "garage.west")
    # from the garage: the south end of its west wall is the left one; the door stands at 9 ft 4 in from it
    assert "9 ft 4 in: D-2, door" in page and "(written from shop.east)" in page
    rows = [line.strip().split(":")[0] for line in page.splitlines() if line.startswith("  ") and "," in line]
    assert rows.index("9 ft") < rows.index("9 ft 4 in")


def test_everything_that_has_a_name_can_be_shown_and_nothing_else() -> None:
    read, view = show_sites.read(SHOP), show_sites.view(SHOP)
    for name in names(view):
        page = fact_sheet(read, view, name)
        assert page is not None and all(columns(line) <= 80 for line in page.splitlines()), name
    assert fact_sheet(read, view, "R-77") is None


@pytest.mark.parametrize("path", sites.EXAMPLES, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_everything_of_an_example_can_be_shown(path: Path) -> None:
    read = read_site(path)
    view = SiteView(read.site, read.known)
    page = " ".join(readback(view).split())  # a long id may be broken at its spaces
    for name in view.elements:
        assert re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", page), name
    for name in names(view)[::7]:
        sheet = fact_sheet(read, view, name)
        assert sheet and max(map(columns, sheet.splitlines())) <= 80


@pytest.mark.parametrize("text", [SHOP, TEN_LINES, EMPTY], ids=["shop", "ten lines", "empty"])
def test_no_line_is_wider_than_its_paper(text: str) -> None:
    assert max(columns(line) for line in readback(show_sites.view(text)).splitlines()) <= 80


HOSTILE = r'''site: "\e[31mred\e]0;title\a"
spaces:
  "a\e[2Jb": {use: workshop, outline: ["0 ft, 0 ft", {at: "9 ft, 0 ft", wall: "x\e[1my"}, "9 ft, 9 ft", "0 ft, 9 ft"]}
openings: {"D\u202e1": {wall: "a\e[2Jb.south", at: 1 ft, width: 3 ft, what: door, note: "\e[5mblink"}}
receptacles: {"R\e[7m1": {wall: "a\e[2Jb.x\e[1my", at: 2 ft, circuit: "C\r1"}}
circuits: {"C\r1": {for: "\e[31mred\n\nlines\e[0m", cable: 12-2 NM-B}}
gas systems: {"g\e[0m": {}}
gas pipes: {"p\e[0m": {from: "g\e[0m"}, "q\e[0m": {from: "p\e[0m"}}
gas tests: {"t\e[0m": {of: "g\e[0m", by: "\e[31m"}}
appliances: {"u\e[0m": {space: "a\e[2Jb"}}
looked: [{list: openings, whole: yes, by: "\e[31mM.K.", day: 2026-05-03}]
'''


def test_no_name_of_the_site_file_steers_the_terminal_or_the_picture() -> None:
    read, view = show_sites.read(HOSTILE), show_sites.view(HOSTILE)
    sheets = [fact_sheet(read, view, name) or "" for name in names(view)]
    pages = [readback(view), *sheets]
    for line in "".join(pages).splitlines() + plan_svg(view).splitlines():
        assert line.isprintable(), line
    assert "red" in pages[0] and len(pages) > 10


@settings(max_examples=40, deadline=None)
@given(st.text(min_size=1, max_size=60).filter(lambda text: text.strip() and text.isprintable()))
def test_no_name_steers_the_page(name: str) -> None:
    text = "site: '" + name.replace("'", "''").strip() + "'\n"
    try:
        view = show_sites.view(text)
    except Exception as error:
        assert type(error).__name__ == "InputProblems"
        return
    for line in readback(view).splitlines():
        assert line.isprintable() and columns(line) <= 80


@pytest.mark.parametrize(("value", "words"), [(True, "yes"), (False, "no"), (None, "not recorded"), ([], "none"),
                                              (["a", "b"], "a, b")])
def test_values_in_words(value: object, words: str) -> None:
    assert written(value) == words


@pytest.mark.parametrize(("sixteenths", "words"), [
    (Fraction(0), "0 ft"), (Fraction(1), "1/16 in"), (Fraction(3, 2), "about 1/8 in"), (Fraction(192), "1 ft"),
    (Fraction(1935, 10), "about 1 ft 1/8 in"), (Fraction(1919, 10), "about 1 ft"),
])
def test_a_length_that_was_worked_out_has_no_digit_that_a_tape_lacks(sixteenths: Fraction, words: str) -> None:
    assert taped(number(sixteenths * INCH / 16)) == words


def test_nothing_is_judged() -> None:
    page = readback(show_sites.view(SHOP)).lower() + sheet(SHOP, "garage").lower()
    for word in ("violation", "compliant", "approved", "passed", "safe", "fails"):
        assert word not in page
