"""One house under three editions of the wiring book: what changed between them, and what did not.

Expectations from the published texts of 210.52, as the rules of each edition cite them: islands by number (2017), by area
(2020), optional with a provision (2023); receptacles below the top counted until 2020; a receptacle for a security system
is none of a garage's from 2023 on (210.52(G)(1)).
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from oktocover.check import check
from oktocover.findings.finding import Finding
from oktocover.measures import trades
from oktocover.reading.site_file import read_site
from oktocover.rules.library import Library

assert trades
HOUSE = Path(__file__).parents[2] / "examples" / "small-house" / "corrected.yaml"
TODAY = datetime.date(2026, 6, 15)
EDITIONS = ("2017", "2020", "2023")
Found = dict[tuple[str, str], Finding]
Under = Callable[..., Found]


def without(text: str, *ids: str) -> str:
    """A site file without some receptacles, each on one line, and without them in the chains of their circuits.

    The statement about all cables speaks of as many fewer.
    """
    lines = text.splitlines()
    left = [line for line in lines if line.strip().partition(":")[0] not in ids]
    assert len(left) == len(lines) - len(ids)
    for one in ids:
        chained = [number for number, line in enumerate(left) if "chain:" in line and re.search(rf"\b{one}\b", line)]
        assert len(chained) == 1, one
        left[chained[0]] = re.sub(rf",? \b{one}\b(?=[],])", "", left[chained[0]])
    return re.sub(r"(count|cables): 42\b", lambda found: f"{found[1]}: {42 - len(ids)}", "\n".join(left))


@pytest.fixture
def under(tmp_path: Path) -> Under:
    """The house without some entries, under a place that adopts one edition: findings by rule and element."""

    def judged(edition: str, *gone: str) -> Found:
        place = tmp_path / f"nec-{edition}.yaml"
        books = f"{{houses: {{book: irc 2021}}, gas: {{book: ifgc 2021}}, wiring: {{book: nec {edition}}}}}"
        place.write_text(f"place: NEC {edition}\nadopts: {books}\n", "utf-8")
        text = without(HOUSE.read_text("utf-8"), *gone)
        assert "jurisdiction: model codes" in text
        site = tmp_path / "site.yaml"
        site.write_text(text.replace("jurisdiction: model codes", f"jurisdiction: {place.name}"), "utf-8")
        checked = check(read_site(site, TODAY), Library().adopt(place.name, [], tmp_path), TODAY, "all")
        return {(one.rule, one.element): one for one in checked.findings}

    return judged


def about(found: Found, rule: str, element: str) -> list[str]:
    """Verdicts of a rule and of its items on one element, without what does not apply."""
    asked = [one.verdict for (name, of), one in found.items() if name.startswith(rule) and of == element]
    return sorted(verdict for verdict in asked if verdict != "does not apply")


@pytest.mark.parametrize(
    ("edition", "verdict"), [("2017", ["met"]), ("2020", ["not met"]), ("2023", ["not recorded"])]
)
def test_island_with_one_receptacle_below_its_top(under: Under, edition: str, verdict: list[str]) -> None:
    """18 ft2: one asked in 2017, two in 2020; in 2023 the one below does not count, and a provision is asked for."""
    assert about(under(edition, "R-25"), "nec.island-receptacle", "I-1") == verdict


@pytest.mark.parametrize(
    ("edition", "verdict"), [("2017", ["met"]), ("2020", ["not met"]), ("2023", ["met"])]
)
def test_island_with_one_receptacle_in_its_top(under: Under, edition: str, verdict: list[str]) -> None:
    """By area 2020 asks for two; the editions before and after are content with one."""
    assert about(under(edition, "R-26"), "nec.island-receptacle", "I-1") == verdict


@pytest.mark.parametrize(
    ("edition", "verdict"), [("2017", ["not met"]), ("2020", ["not met"]), ("2023", ["not recorded"])]
)
def test_island_without_a_receptacle(under: Under, edition: str, verdict: list[str]) -> None:
    """In 2023 it may have none, if one can be added: a question, not a correction."""
    assert about(under(edition, "R-25", "R-26"), "nec.island-receptacle", "I-1") == verdict


@pytest.mark.parametrize(("edition", "verdict"), [("2017", "met"), ("2020", "met"), ("2023", "not met")])
def test_garage_bay_with_the_receptacle_of_a_security_system(under: Under, edition: str, verdict: str) -> None:
    """R-71 feeds a camera recorder."""
    assert under(edition)["nec.garage-bay", "garage: bay 1"].verdict == verdict


@pytest.mark.parametrize("edition", EDITIONS)
def test_foyer_is_the_same_in_all_three(under: Under, edition: str) -> None:
    """Over 60 ft2, walls of 3 ft: 210.52(I) did not change."""
    assert under(edition, "R-02")["nec.foyer-receptacle", "foyer: after C-1"].verdict == "not met"
    assert under(edition)["nec.foyer-receptacle", "foyer: after C-1"].verdict == "met"


@pytest.mark.parametrize("edition", EDITIONS)
def test_each_edition_is_cited_by_its_year(under: Under, edition: str) -> None:
    """A finding names the edition it rests on."""
    assert under(edition)["nec.garage-bay", "garage: bay 1"].citation.startswith(f"NEC {edition} 210.52(G)")


def test_whole_house_differs_only_where_the_editions_do(under: Under) -> None:
    """From 2017 to 2023 the mended house gets one finding more: the garage."""
    old, new = under("2017"), under("2023")
    changed = {key for key in old.keys() & new.keys() if old[key].verdict != new[key].verdict}
    assert changed == {("nec.garage-bay", "garage: bay 1")}
