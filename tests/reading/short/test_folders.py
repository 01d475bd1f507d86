"""Short forms in a folder of files that is read as one site, and large ones."""

from __future__ import annotations

import datetime
import time
from pathlib import Path

import pytest

from oktocover.reading.problems import InputProblems
from oktocover.reading.site_file import read_site

TODAY = datetime.date(2026, 6, 15)
STATEMENT = "looked:\n  - {all: receptacles, are: {height: 44 in}, by: M.K., day: 2026-05-03, count: 3}\n"
FILES = {
    "1-house.yaml": "site: x\nspaces: {studio: {use: workshop}}\nlooked:\n  - {list: spaces, whole: yes, by: M.K., day: 2026-05-03}\n"
    "rows:\n  - {list: receptacles, ids: [A], wall: studio.north}\n",
    "2-power.yaml": "typicals: {t: {what: 14-50}}\nrows:\n  - {list: receptacles, ids: [B], typical: t}\ntables: {receptacles: c.csv}\n"
    + STATEMENT,
    "c.csv": "id,what\nC,14-50\n",
}


def write(folder: Path, files: dict[str, str]) -> Path:
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def test_each_fact_leads_to_its_own_file(tmp_path: Path) -> None:
    read = read_site(write(tmp_path, FILES), TODAY)
    assert list(read.site.receptacles) == ["A", "B", "C"] and not read.warnings
    places = {
        ("receptacles", "A", "wall"): "1-house.yaml:6",
        ("receptacles", "B"): "2-power.yaml:3",
        ("receptacles", "B", "what"): "2-power.yaml:1",
        ("receptacles", "C", "what"): "c.csv:2",
        ("receptacles", "A", "height"): "2-power.yaml:6",
        ("looked", 0): "1-house.yaml:4",
    }
    for path, wanted in places.items():
        place = read.place(path)
        assert f"{Path(place.file).name}:{place.line}" == wanted, path


def test_faults_are_told_in_their_own_file(tmp_path: Path) -> None:
    files = {**FILES, "2-power.yaml": FILES["2-power.yaml"].replace("[B]", "[A]").replace("44 in", "44")}
    with pytest.raises(InputProblems) as caught:
        read_site(write(tmp_path, files), TODAY)
    told = [f"{Path(one.place.file).name}:{one.place.line}" for one in caught.value.problems if one.place]
    assert told == ["2-power.yaml:3"], "that the statement covers one less is no fault of its own"
    assert "the other is at" in caught.value.problems[0].message and "1-house.yaml:6" in caught.value.problems[0].message


def test_a_statement_about_another_file_s_list_counts_all_of_it(tmp_path: Path) -> None:
    files = {**FILES, "2-power.yaml": FILES["2-power.yaml"].replace("count: 3", "count: 2")}
    (one,) = read_site(write(tmp_path, files), TODAY).warnings
    assert "it speaks of 2, 3 are covered now: A, B, C" in one.message


def test_a_large_table_is_read_in_little_time(tmp_path: Path) -> None:
    """Twenty thousand lines, each with a typical and under a statement: well under the time of a cup of coffee."""
    lines = "".join(f"R-{n},studio.north,{n} in,t\n" for n in range(20_000))
    statement = STATEMENT.replace("count: 3", "count: 20000").replace("height: 44 in", "serves: general")
    site = "site: x\nspaces: {studio: {use: workshop}}\ntypicals: {t: {what: 14-50}}\ntables: {receptacles: c.csv}\n"
    write(tmp_path, {"site.yaml": site + statement, "c.csv": "id,wall,at,typical\n" + lines})
    begun = time.perf_counter()
    read = read_site(tmp_path / "site.yaml", TODAY)
    assert len(read.known) == 40_000 and not read.warnings
    assert time.perf_counter() - begun < 20
