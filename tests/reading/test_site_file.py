"""Site files to a checked Site: several files as one, how facts are known, and where everything stands."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from oktocover.quantities import read
from oktocover.reading.problems import InputProblems
from oktocover.reading.site_file import read_site, read_site_text

TODAY = datetime.date(2026, 6, 15)
ROOM = "spaces:\n  studio: {use: workshop, size: 18 ft x 17 ft, ceiling: %s}\n"


def refusal(text: str) -> str:
    with pytest.raises(InputProblems) as caught:
        read_site_text(text, "s.yaml", TODAY)
    return str(caught.value)


def test_a_fact_with_how_it_is_known_is_the_fact() -> None:
    read_ = read_site_text(ROOM % "{is: 9 ft, known: told, by: the electrician}", "s.yaml", TODAY)
    plain = read_site_text(ROOM % "9 ft", "s.yaml", TODAY)
    path = ("spaces", "studio", "ceiling")
    assert read_.site.spaces["studio"].ceiling == plain.site.spaces["studio"].ceiling == read("9 ft", "length")
    assert read_.known == {path: "told"} and read_.said_by == {path: "the electrician"}
    assert plain.known == {} and plain.said_by == {}


@pytest.mark.parametrize("blank", ["", "~", "null", "{is: , known: told}"])
def test_a_blank_is_not_recorded(blank: str) -> None:
    assert read_site_text(ROOM % blank, "s.yaml", TODAY).site.spaces["studio"].ceiling is None


def test_files_of_a_folder_are_one_site_and_keep_their_places(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text(
        "site: S\n" + ROOM % "9 ft" + "looked:\n  - {list: openings, whole: yes, by: M, day: 2026-05-03}\n"
    )
    (tmp_path / "b.yaml").write_text(
        "spaces:\n  hall: {use: hall}\nlooked:\n"
        "  - {list: walls, whole: yes, by: M, day: 2026-05-03}\n"
        "  - {list: walls, whole: yes, by: M, day: 2026-05-03}\n"
    )
    (tmp_path / "notes.txt").write_text("not read")
    (tmp_path / ".hidden.yaml").write_text("not: read")
    read_ = read_site(tmp_path, TODAY)
    assert list(read_.site.spaces) == ["studio", "hall"]
    assert [said.list_ for said in read_.site.looked] == ["openings", "walls", "walls"]
    assert str(read_.key_place(("spaces", "hall"))) == f"{tmp_path}/b.yaml:2:3"
    assert str(read_.place(("looked", 0, "by"))).startswith(f"{tmp_path}/a.yaml:5:")
    assert [read_.place(("looked", n)).line for n in (1, 2)] == [4, 5]


def test_one_word_in_two_files_is_told_with_both_places(tmp_path: Path) -> None:
    (tmp_path / "a.yaml").write_text("site: S\n")
    (tmp_path / "b.yaml").write_text("measured to: bare framing\nsite: T\n")
    with pytest.raises(InputProblems) as caught:
        read_site(tmp_path, TODAY)
    assert f"{tmp_path}/b.yaml:2:1: 'site' stands in two files; the other is at {tmp_path}/a.yaml:1:1" in str(
        caught.value
    )


def test_a_faulty_value_does_not_hide_what_is_wrong_elsewhere() -> None:
    said = refusal(
        ROOM % "9" + "receptacles:\n  R1: {wall: studio.south, at: 99 ft, circuit: C1}\n  R2: {wal: studio.south}\n"
    )
    assert [line.partition(": ")[0] for line in said.splitlines() if line.startswith("s.yaml:")] == [
        "s.yaml:2:57", "s.yaml:4:32", "s.yaml:4:48", "s.yaml:5:8",
    ]  # fmt: skip


def test_a_place_is_told_once_when_two_checks_see_it() -> None:
    assert refusal("gas pipes:\n  A: {to: C}\n").count("s.yaml:2:11") == 1


def test_today_decides_what_is_in_the_future() -> None:
    text = "looked:\n  - {list: openings, whole: yes, by: M, day: 2026-06-15}\n"
    assert read_site_text(text, "s.yaml", TODAY).site.looked[0].day == TODAY
    with pytest.raises(InputProblems):
        read_site_text(text, "s.yaml", TODAY - datetime.timedelta(days=1))
