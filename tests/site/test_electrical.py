"""What cannot be in the electrical lists is refused with its place."""

from __future__ import annotations

import pytest

from oktocover.reading.problems import InputProblems
from oktocover.reading.site_file import read_site_text

ROOMS = """
spaces:
  kitchen: {use: kitchen, size: 12 ft x 10 ft}
  deck: {use: deck}
counters:
  I1: {what: island, space: kitchen}
"""


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("receptacles: {R-01: {wall: kitchen.north, space: deck}}", "R-01 is on a wall of kitchen and in deck"),
        (
            "receptacles: {R-01: {wall: kitchen.north, counter: I1}}",
            "on the wall kitchen.north and at the island or peninsula I1",
        ),
        ("receptacles: {R-01: {space: deck, counter: I1}}", "R-01 is in deck, its counter I1 in kitchen"),
        ("receptacles: {R-01: {space: kitchen, outside: front}}", "R-01 is outdoors and in kitchen"),
        ("receptacles: {R-01: {wall: kitchen.north, outside: back}}", "R-01 is outdoors and in kitchen"),
    ],
)
def test_a_receptacle_in_two_places_is_refused(text: str, says: str) -> None:
    with pytest.raises(InputProblems) as caught:
        read_site_text(ROOMS + text)
    assert says in str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        "receptacles: {R-01: {space: deck, outside: back}}",
        "receptacles: {R-01: {wall: kitchen.north, at: 2 ft}}",
        "receptacles: {R-01: {counter: I1}}",
        "receptacles: {R-01: {space: kitchen, counter: I1}}",
    ],
)
def test_a_receptacle_in_one_place_is_read(text: str) -> None:
    assert "R-01" in read_site_text(ROOMS + text).site.receptacles


@pytest.mark.parametrize(
    ("at", "refused"), [("1 ft", False), ("6 ft 6 in", False), ("6 ft 7 in", True), ("11 in", True)]
)
def test_a_sink_lies_within_its_counter(at: str, refused: bool) -> None:
    text = (
        "spaces: {kitchen: {use: kitchen, size: 12 ft x 10 ft}}\n"
        "counters: {C1: {what: wall counter, wall: kitchen.north, at: 1 ft, length: 8 ft, "
        f"breaks: [{{what: sink, at: {at}, width: 30 in}}]}}}}"
    )
    if refused:
        with pytest.raises(InputProblems) as caught:
            read_site_text(text)
        assert "the sink of C1 is not within it" in str(caught.value)
    else:
        assert read_site_text(text).site.counters["C1"].breaks


def test_a_counter_is_in_the_room_of_its_wall() -> None:
    with pytest.raises(InputProblems) as caught:
        read_site_text(ROOMS + "  C1: {what: wall counter, wall: kitchen.north, space: deck}")
    assert "C1 is along the wall kitchen.north and in deck" in str(caught.value)


@pytest.mark.parametrize(
    ("at", "what", "says"),
    [
        ("4 ft", "wall counter", ""),
        ("4 ft 1/16 in", "wall counter", "C1 runs from 4 ft 1/16 in to 12 ft 1/16 in, and kitchen.north is 12 ft long"),
        ("4 ft 1/16 in", "peninsula", ""),
    ],
)
def test_a_counter_along_a_wall_ends_with_it(at: str, what: str, says: str) -> None:
    """A peninsula stands out from its wall: its length says nothing along it."""
    text = (
        "spaces: {kitchen: {use: kitchen, size: 12 ft x 10 ft}}\n"
        f"counters: {{C1: {{what: {what}, wall: kitchen.north, at: {at}, length: 8 ft}}}}"
    )
    if not says:
        assert "C1" in read_site_text(text).site.counters
        return
    with pytest.raises(InputProblems) as caught:
        read_site_text(text)
    assert says in str(caught.value)


def test_a_counter_longer_than_its_wall_is_refused_at_its_length() -> None:
    text = (
        "spaces: {kitchen: {use: kitchen, size: 12 ft x 10 ft}}\n"
        "counters: {C1: {what: wall counter, wall: kitchen.north, at: 0 in, length: 13 ft}}"
    )
    with pytest.raises(InputProblems) as caught:
        read_site_text(text)
    assert "C1 is 13 ft long, and kitchen.north is 12 ft long" in str(caught.value)
