"""An outside wall may be one entry for the sides of several rooms in a row: its openings still give to the outdoors."""

from __future__ import annotations

import pytest

import oktocover.measures.trades as trades
from oktocover.measures.outdoors import Outdoors, opening_patch
from oktocover.measures.values import Unknown
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import read_site_text

assert trades

SITE = """
spaces:
  mechanical: {size: 6 ft x 7 ft, corner: "0 ft, 0 ft", level: main}
  washroom: {size: 5 ft x 7 ft, corner: "6 ft 4 in, 0 ft", level: main}
levels: {main: {floor: 6 in}}
walls:
  W-1: {sides: [mechanical.north, washroom.north]EXTERIOR}
  W-2: {sides: [mechanical.east, washroom.west], exterior: no}
openings:
  N-1: {wall: washroom.north, at: 1 ft, width: 2 ft, sill: 5 ft, high: 2 ft, what: window, operable: yes}
  D-1: {wall: mechanical.east, at: 1 ft, width: 2 ft 6 in, sill: 0 in, high: 6 ft 8 in, what: door}
LOOKED"""

WHOLE = """
looked:
  - {list: spaces, whole: yes, by: M.K., day: 2026-05-03}
  - {list: levels, whole: yes, by: M.K., day: 2026-05-03}
"""


def gives(name: str, exterior: str, looked: str = "") -> object:
    """Whether an opening of the site above gives to the outdoors; a word when that is not recorded."""
    view = SiteView(read_site_text(SITE.replace("EXTERIOR", exterior).replace("LOOKED", looked)).site)
    found = Outdoors(view).opens_outdoors(view.elements[name], opening_patch(view.plan, view.elements[name]))
    return "not recorded" if isinstance(found, Unknown) else found


@pytest.mark.parametrize(
    ("name", "exterior", "looked", "expected"),
    [
        ("N-1", ", exterior: yes", "", True),
        ("N-1", ", exterior: no", "", False),
        ("D-1", ", exterior: yes", "", False),
        ("N-1", "", WHOLE, True),  # nothing is written behind it, and these are all rooms
        ("N-1", "", "", "not recorded"),
    ],
)
def test_sides_of_several_rooms(name: str, exterior: str, looked: str, expected: object) -> None:
    """By the entry where it says so, else by the plan. Common practice: from the drawing of the rooms."""
    assert gives(name, exterior, looked) == expected
