"""Designations of cables and of conductors in a raceway. How they are printed: common practice of the trade."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from oktocover.quantities import WIRE
from oktocover.site.designation import CABLES, TYPES, Designation, DesignationError, designation, read_cable


def told(text: str) -> tuple[str, list[str], str | None, bool | None, str | None]:
    made = designation(text)
    ground = WIRE[made.ground] if made.ground is not None else None
    return made.type, [WIRE[size] for size in made.sizes], ground, made.grounded, made.metal


@pytest.mark.parametrize(
    ("text", "type_", "sizes", "ground", "grounded", "metal"),
    [
        ("12-2 NM-B", "NM-B", ["12 AWG"] * 2, None, None, None),
        ("14-3 NM-B", "NM-B", ["14 AWG"] * 3, None, None, None),
        ("12-2-2 NM-B", "NM-B", ["12 AWG"] * 4, None, None, None),
        ("12-2 AL NM-B", "NM-B", ["12 AWG"] * 2, None, None, "aluminum"),
        ("10-3 UF-B with ground", "UF-B", ["10 AWG"] * 3, None, True, None),
        ("12-2 NM-B without ground", "NM-B", ["12 AWG"] * 2, None, False, None),
        ("4-3 SE", "SE", ["4 AWG"] * 3, None, None, None),
        ("1/0-3 SER", "SER", ["1/0 AWG"] * 3, None, None, None),
        ("2-2-2-4 AL URD", "URD", ["2 AWG"] * 3, "4 AWG", True, "aluminum"),
        ("4/0-4/0-2/0 AL URD", "URD", ["4/0 AWG", "4/0 AWG", "2/0 AWG"], None, False, "aluminum"),
        ("2/0-2/0-2/0-1 AL SER", "SER", ["2/0 AWG"] * 3, "1 AWG", True, "aluminum"),
        ("250-250-250-1/0 AL SER", "SER", ["250 kcmil"] * 3, "1/0 AWG", True, "aluminum"),
        ("3 x 10 THWN-2 CU, 10 ground", "THWN-2", ["10 AWG"] * 3, "10 AWG", True, "copper"),
        ("2 x 2 THWN-2 AL, 1 x 4, 6 ground", "THWN-2", ["2 AWG", "2 AWG", "4 AWG"], "6 AWG", True, "aluminum"),
        ("10 THHN CU", "THHN", [], None, None, "copper"),
        ("18-5 CL2", "CL2", ["18 AWG"] * 5, None, None, None),
    ],
)
def test_what_a_designation_tells(
    text: str, type_: str, sizes: list[str], ground: str | None, grounded: bool | None, metal: str | None
) -> None:
    assert told(text) == (type_, sizes, ground, grounded, metal)
    assert designation(text).text == text


def test_the_neutral_of_a_service_entrance_cable_has_no_insulation() -> None:
    made = designation("2-2-2 SEU")
    assert (len(made.sizes), WIRE[made.bare_neutral or 0], made.grounded) == (2, "2 AWG", False)
    assert designation("4-4-4-6 SER").bare_neutral is None


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("12/2 NM-B", "12-2 NM-B"),
        ("12-2NM-B", "12-2 NM-B"),
        ("12-2 nmb", "12-2 NM-B"),
        ("12\u20112 NM\u2011B", "12-2 NM-B"),
        (" 12 - 2  nm-b ", "12-2 NM-B"),
        ("12/2 NM-B w/g", "12-2 NM-B with ground"),
        ("14/3 nm-b w/ground", "14-3 NM-B with ground"),
        ("2/0-2/0-2/0-1 ser alum", "2/0-2/0-2/0-1 AL SER"),
        ("3 #10 thhn + #10 ground", "3 x 10 THHN, 10 ground"),
        ("(3) 8 THWN-2, (1) 10 EGC", "3 x 8 THWN-2, 10 ground"),
        ("THHN 10 CU", "10 THHN CU"),
    ],
)
def test_slips_are_read_as_they_are_meant(written: str, meant: str) -> None:
    assert read_cable(written) == meant


@pytest.mark.parametrize(
    ("written", "nearest"),
    [
        ("12/2", "12-2 NM-B"),
        ("12-2", "12-2 NM-B"),
        ("12-2 NM", "12-2 NM-B"),
        ("12/2 w/g", "12-2 NM-B"),
        ("12 2 NM-B", "12-2 NM-B"),
        ("12-2 NMC", "12-2 NMC-B"),
        ("6-3 SOO W", ""),
    ],
)
def test_what_is_no_designation_is_refused_with_the_nearest(written: str, nearest: str) -> None:
    if not nearest:
        assert read_cable(written) == "6-3 SOOW"
        return
    with pytest.raises(DesignationError) as caught:
        read_cable(written)
    assert caught.value.suggestion == nearest and f"did you mean '{nearest}'?" in str(caught.value)


@pytest.mark.parametrize("cell", ["12-Feb", "Feb-12", "2-Dec", "2026-12-02", "12/2/2026", "4-Mar-26"])
def test_a_date_of_a_spreadsheet_is_told_as_one(cell: str) -> None:
    with pytest.raises(DesignationError, match="is a date: a spreadsheet made it of what was typed"):
        read_cable(cell)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "yes",
        "copper",
        "10 AWG",
        "3/4 in",
        "13-2 NM-B",
        "12-0 NM-B",
        "12-99 NM-B",
        "1-2-3-4-5 SER",
        "x" * 200,
        "10 ground",
        "3 x 10 THHN, 2 x 12 XHHW",
        "12-2 XYZ",
        "99/0-3 SER",
    ],
)
def test_nonsense_is_refused(text: str) -> None:
    with pytest.raises(DesignationError):
        read_cable(text)


def test_a_type_that_is_none_is_answered_with_those_there_are() -> None:
    with pytest.raises(DesignationError, match="one of: NM-B, NMC-B, UF-B"):
        read_cable("12-2 XYZ")


@given(st.sampled_from(CABLES[:5]), st.sampled_from(("14", "12", "10", "8", "6")), st.integers(2, 4))
def test_the_usual_spelling_is_read_as_itself(type_: str, size: str, count: int) -> None:
    made = designation(f"{size}-{count} {type_}")
    assert made.text == f"{size}-{count} {type_}" and designation(made.text) == made
    assert made.sizes == (WIRE.index(f"{size} AWG"),) * count


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        made = designation(text)
    except DesignationError as error:
        assert str(error)
    else:
        assert isinstance(made, Designation) and made.type in (*TYPES, "")
        assert designation(made.text).sizes == made.sizes
