"""What a record says of where a thing is not: a cable in the walls lies in no trench, what is plugged in is no outlet."""

from __future__ import annotations

import pytest

from oktocover.measures import trades
from oktocover.measures.values import Members
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import read_site_text

assert trades
SITE = """\
site: x
described: {electrical: yes}
spaces: {studio: {use: workshop, size: 20 ft x 20 ft, corner: "0 ft, 0 ft", ceiling: 9 ft}}
panels: {P-1: {wall: studio.west, at: 2 ft}}
trenches: {TR-1: {cover: 20 in}}
raceways: {RW-1: {what: PVC 40, trench: TR-1}}
circuits: {E-1: {panel: P-1, purpose: general, cable: 12-2 NM-B, outlets: [R-1]}}
receptacles: {R-1: {wall: studio.west, at: 6 ft, circuit: E-1}}
equipment: {M-1: {what: door opener, receptacle: R-1}}
cables: {C-1: {circuit: E-1, from: P-1, to: R-1, what: 12-2 NM-B{MORE}}}
looked:
  - {list: [spaces, electrical], whole: yes, by: M.K., day: 2026-05-03}
"""


def in_trench(more: str) -> Members:
    read = read_site_text(SITE.replace("{MORE}", more))
    found = SiteView(read.site, read.known).elements["TR-1"].value("cables")
    assert isinstance(found, Members)
    return found


@pytest.mark.parametrize(
    ("more", "cables", "is_open"),
    [
        ("", 0, True),
        (", runs: [concealed, in the attic]", 0, False),
        (", runs: [concealed, buried]", 0, True),
        (", raceway: RW-1", 0, False),
        (", raceway: RW-1, runs: [buried]", 0, True),
        (", trench: TR-1, runs: [buried]", 1, False),
    ],
)
def test_cables_of_a_trench(more: str, cables: int, is_open: bool) -> None:
    """One that runs in the building, or is in a raceway of which nothing else is told, is in no trench itself."""
    found = in_trench(more)
    assert (len(found.sure), found.open) == (cables, is_open)


def test_rooms_of_a_circuit_are_those_of_its_outlets() -> None:
    """The opener hangs anywhere; its outlet is the receptacle. What is wired has to say where it is."""
    plugged = SITE.replace("{MORE}", ", runs: [concealed]")
    wired = plugged.replace("receptacle: R-1}", "circuit: E-1}")
    rooms = []
    for text in (plugged, wired):
        read = read_site_text(text)
        found = SiteView(read.site, read.known).elements["E-1"].value("rooms")
        rooms.append(([one.id for one in found.sure], found.open))
    assert rooms == [(["studio"], False), (["studio"], True)]
