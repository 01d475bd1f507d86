"""One house under three editions of the wiring book: what changed between them, and what did not.

Expectations from the published texts of 210.52, as the rules of each edition cite them: islands by number (2017), by area
(2020), optional with a provision (2023); receptacles below the top counted until 2020; a receptacle for a security system
is none of a garage's from 2023 on (210.52(G)(1)). And of 210.8, 210.12 and 210.21(B)(3): ground-fault protection for
125 V of 15 and 20 A (2017), for up to 250 V of any rating (2020), in the whole kitchen (2023); a receptacle larger than its
shared circuit since 2023. Surge protector (230.67), emergency disconnect (230.85) and the quarter allowance for each ground
over four in a box (314.16(B)(5)) came with 2020.
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
from oktocover.reading.site_file import read_site_text
from oktocover.rules.library import Library

assert trades
HOUSE = Path(__file__).parents[2] / "examples" / "small-house" / "corrected.yaml"
TODAY = datetime.date(2026, 6, 15)
EDITIONS = ("2017", "2020", "2023")
Found = dict[tuple[str, str], Finding]
Under = Callable[..., Found]


def without(text: str, *ids: str) -> str:
    """A site file without some receptacles, each on one line, and without them in the chains of their circuits.

    The statements about all receptacles, cables and boxes speak of as many fewer.
    """
    lines = text.splitlines()
    left = [line for line in lines if line.strip().partition(":")[0] not in ids]
    assert len(left) == len(lines) - len(ids)
    for one in ids:
        chained = [number for number, line in enumerate(left) if "chain:" in line and re.search(rf"\b{one}\b", line)]
        assert len(chained) == 1, one
        left[chained[0]] = re.sub(rf",? \b{one}\b(?=[],])", "", left[chained[0]])
    fewer = r"(count|cables): (42|65)\b"
    return re.sub(fewer, lambda found: f"{found[1]}: {int(found[2]) - len(ids)}", "\n".join(left))


@pytest.fixture(scope="module")
def under(tmp_path_factory: pytest.TempPathFactory) -> Under:
    """The house without some entries, under a place that adopts one edition: findings by rule and element."""
    folder, library, known = tmp_path_factory.mktemp("editions"), Library(), {}

    def judged(edition: str, *gone: str, swap: tuple[tuple[str, str], ...] = ()) -> Found:
        asked = (edition, gone, swap)
        if asked not in known:
            place = folder / f"nec-{edition}.yaml"
            books = f"{{houses: {{book: irc 2021}}, gas: {{book: ifgc 2021}}, wiring: {{book: nec {edition}}}}}"
            place.write_text(f"place: NEC {edition}\nadopts: {books}\n", "utf-8")
            text = without(HOUSE.read_text("utf-8"), *gone)
            for old, new in (*swap, ("jurisdiction: model codes", f"jurisdiction: {place.name}")):
                assert old in text
                text = text.replace(old, new)
            read = read_site_text(text, str(folder / "site.yaml"), TODAY)
            checked = check(read, library.adopt(place.name, [], folder), TODAY, "all")
            known[asked] = {(one.rule, one.element): one for one in checked.findings}
        return known[asked]

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


OTHERWISE = {"nec.garage-bay", "nec.fan-ready-box", "nec.receptacle-tub"}
"""What 2023 judges otherwise than 2017 in the mended house, which is written for 2020.

The garage: a security system's receptacle counts no more. Boxes where a fan may come (2017) or would fit. How near a tub
a receptacle is: in its space (2017, of which nothing is written), or within 3 ft.
"""


def test_whole_house_differs_only_where_the_editions_do(under: Under) -> None:
    """What both ask of the mended house they judge alike but for three rules; of what is new, a light is missing."""
    old, new = under("2017"), under("2023")
    asked = [key for key in old.keys() & new.keys() if "does not apply" not in (old[key].verdict, new[key].verdict)]
    assert {key[0] for key in asked if old[key].verdict != new[key].verdict} == OTHERWISE
    newly = {key: one.verdict for key, one in new.items() if key in old and old[key].verdict == "does not apply" != one.verdict}
    assert {key for key, verdict in newly.items() if verdict != "met"} == {("nec.room-light", "laundry")}
    assert ("nec.gfci-dwelling.kitchen", "R-31") in newly, "all receptacles of the kitchen, not those of the counters alone"


PLAIN = (
    ("gfci: yes, afci: yes", "gfci: no, afci: no"),
    ("are: {tamper resistant: yes}", "are: {tamper resistant: yes, gfci: no, afci: no}"),
)
"""Plain breakers, and no protection built into a receptacle. Whatever a receptacle ahead would give is not there either."""


def unprotected(found: Found, rule: str) -> set[str]:
    """The elements of which an item of a rule says that they are not protected."""
    return {of for (name, of), one in found.items() if name.startswith(rule) and one.verdict == "not met"}


IN_ALL = {"R-21", "R-22", "R-23", "R-24", "R-25", "R-26", "R-42", "R-43", "R-72", "R-81", "R-82", "R-83"}
"""Counters of the kitchen, the bathroom, the laundry, the garage (ceiling too), outdoors."""


@pytest.mark.parametrize(
    ("edition", "more"),
    [("2017", {"R-71"}), ("2020", {"R-71", "R-44"}), ("2023", {"R-44", "R-27", "R-28", "R-31", "R-33", "R-34"})],
)
def test_plain_breakers_protect_nobody(under: Under, edition: str, more: set[str]) -> None:
    """R-44 is the dryer's 14-30 in the laundry, in range from 2020; from 2023 every receptacle of the kitchen is.

    R-71 feeds a camera recorder: from 2023 it is excused if it feeds nothing else, which nobody has written.
    """
    text = HOUSE.read_text("utf-8")
    chains = tuple((line, line.replace("chain:", "whole: yes, chain:")) for line in text.splitlines() if "chain:" in line)
    found = under(edition, swap=(*chains, *PLAIN))
    assert unprotected(found, "nec.gfci-dwelling") == IN_ALL | more
    assert unprotected(found, "nec.arc-fault-dwelling") == {"E-01", "E-02", "E-03", "E-06", "E-07", "E-09", "E-12", "E-15"}


@pytest.mark.parametrize(("edition", "verdict"), [("2017", ["not met"]), ("2020", ["not met"]), ("2023", ["met"])])
def test_receptacle_of_20_amperes_on_a_shared_circuit_of_15(under: Under, edition: str, verdict: list[str]) -> None:
    """Table 210.21(B)(3) was to be kept as it stands; since 2023 its figures are the least."""
    swap = (("R-02: {wall: foyer.west at 10 ft}", "R-02: {wall: foyer.west at 10 ft, what: 5-20 duplex}"),)
    assert about(under(edition, swap=swap), "nec.shared-receptacle-rating", "R-02") == verdict


POORER = (
    ("surge protector: yes", "surge protector: no"),
    ("drop: underground, disconnect: outside", "drop: underground, disconnect: inside at the entry"),
    ("E-12: {typical: c15,", "E-12: {typical: c15, gfci: no, whole: yes,"),
    ("[R-03, R-01, R-02, R-11, R-12, R-13, R-14, R-16, R-15, R-17, R-18]",
     "[JB-9, [R-03, R-01, R-02], [R-11, R-12, R-13], [R-14, R-16, R-15], [R-17, R-18]]"),
    ("switches:\n", "boxes: {JB-9: {typical: plastic, space: living, clamps: outside, volume: 22.25 in3}}\nswitches:\n"),
)  # fmt: skip
"""No surge protector, a disconnect indoors, a dishwasher on a plain breaker, and a box where five cables of 14-2 meet."""


@pytest.mark.parametrize(
    ("edition", "surge", "outdoors", "fill"),
    [("2017", [], [], ("met", "22 in3")), ("2020", ["not met"], ["not met"], ("not met", "22.5 in3")),
     ("2023", ["not met"], ["not met"], ("not met", "22.5 in3"))],
)  # fmt: skip
def test_what_2020_asks_of_service_and_boxes(
    under: Under, edition: str, surge: list[str], outdoors: list[str], fill: tuple[str, str]
) -> None:
    """Surge protector (230.67) and emergency disconnect (230.85) since 2020; grounds over four in a box since 2020.

    Ten conductors and, up to 2017, one allowance for all grounds: 11 x 2 in3 = 22 in3. Since then a quarter for the fifth
    ground: 11.25 x 2 in3 = 22.5 in3 (314.16(B)(5)).
    """
    found = under(edition, swap=POORER)
    assert about(found, "nec.surge-protection", "SV-1") == surge
    assert about(found, "nec.emergency-disconnect.outdoors", "SV-1") == outdoors
    box = found["nec.box-fill", "JB-9"]
    assert (box.verdict, box.required) == (fill[0], f"at least {fill[1]}")


@pytest.mark.parametrize(("edition", "section"), [("2017", "210.8(D)"), ("2020", "422.5(A)"), ("2023", "422.5(A)")])
def test_dishwasher_on_a_plain_breaker(under: Under, edition: str, section: str) -> None:
    """Asked in all three, since 2020 by the article on appliances."""
    found = under(edition, swap=POORER)["nec.gfci-appliance", "DW-1"]
    assert found.verdict == "not met" and section in found.citation
