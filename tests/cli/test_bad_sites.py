"""A site that cannot be read: exit code 2, sentences with file, line, column and what to do, and nothing on stdout."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

import pytest

HEAD = "site: S\nspaces:\n  studio: {use: workshop, size: 18 ft x 17 ft, ceiling: 9 ft}\n"
SPACE = "site: S\nspaces:\n  studio: {%s}\n"
WALLED = HEAD + "receptacles:\n  R1: {wall: studio.south, at: 1 ft, height: 44 in%s}\n"
MOST_SECONDS = 5.0
"""Loose, so that a busy machine does not fail a test; the budget is one second."""

# name: the file, then what the error must say (the place first)
BAD: dict[str, tuple[str, ...]] = {
    # not a site at all
    "empty": ("", "s.yaml:1:1:", "empty", "oktocover start"),
    "only comments": ("# a\n\n# b\n", "s.yaml:1:1:", "empty"),
    "a word": ("hello\n", "s.yaml:1:1:", "a site file is a mapping"),
    "a list": ("- a\n- b\n", "s.yaml:1:1:", "a site file is a mapping"),
    "not yaml": ("site: [a\n:::\n}{\n", "s.yaml:1:7:", "not closed", "s.yaml:3:1:", "cannot be read"),
    "two documents": ("site: S\n---\nsite: T\n", "s.yaml:3:1:", "second document"),
    "a tab": ("site: S\nspaces:\n\tstudio: {use: workshop}\n", "s.yaml:3:1:", "tab", "spaces"),
    "an anchor": ("a: &a x\nsite: *a\n", "s.yaml:1:4:", "anchors are not used", "s.yaml:2:7:", "alias"),
    "a control character": ('site: "a\x1b[31mb"\n', "s.yaml:1:9:", "control character"),
    # the wrong kind of thing, at every level
    "site is a list": ("site: [a]\n", "s.yaml:1:7:", "expected: text"),
    "site is a mapping": ("site: {a: b}\n", "s.yaml:1:7:", "expected: text"),
    "permit is a list": ("site: S\npermit: [a]\n", "s.yaml:2:9:", "expected: a mapping"),
    "described is a list": ("site: S\ndescribed: [electrical]\n", "s.yaml:2:12:", "expected: a mapping"),
    "a described list": ("site: S\ndescribed: {electrical: [yes]}\n", "s.yaml:2:25:", "yes, none or not sure"),
    "spaces is a list": ("site: S\nspaces: [a, b]\n", "s.yaml:2:9:", "expected: a mapping"),
    "spaces is text": ("site: S\nspaces: studio\n", "s.yaml:2:9:", "expected: a mapping"),
    "a space is text": ("site: S\nspaces:\n  studio: big\n", "s.yaml:3:11:", "expected: a mapping"),
    "a space is a list": ("site: S\nspaces:\n  studio: [18 ft]\n", "s.yaml:3:11:", "expected: a mapping"),
    "a word is a list": (SPACE % "use: [workshop]", "s.yaml:3:17:", "use: one word was expected", "kitchen"),
    "a word is a mapping": (SPACE % "use: {a: b}", "s.yaml:3:17:", "use: one word was expected", "kitchen"),
    "a length is a list": (SPACE % "ceiling: [9 ft]", "s.yaml:3:21:", "a length was expected"),
    "a length is a mapping": (SPACE % "ceiling: {feet: 9}", "s.yaml:3:21:", "a length was expected"),
    "a list is text": (SPACE % "photos: a.jpg", "s.yaml:3:20:", "a list", "do: write photos: [a.jpg]"),
    "an outline is a number": (SPACE % "outline: 3", "s.yaml:3:21:", "expected: a list"),
    "a corner is a list": (SPACE % "outline: [[1, 2]]", "s.yaml:3:22:", "outline, entry 1", "expected: text"),
    "looked is text": ("site: S\nlooked: yes\n", "s.yaml:2:9:", "expected: a list"),
    "looked is a mapping": ("site: S\nlooked: {list: openings}\n", "s.yaml:2:9:", "expected: a list"),
    "a statement is text": ("site: S\nlooked:\n  - openings\n", "s.yaml:3:5:", "looked, entry 1", "a mapping"),
    "a statement says little": ("site: S\nlooked:\n  - {in: x}\n", "s.yaml:3:5:", "'list' is missing"),
    # values
    "nan": (SPACE % "ceiling: .nan", "s.yaml:3:21:", "no value that can be measured", "14 ft"),
    "nan feet": (SPACE % "ceiling: nan ft", "s.yaml:3:21:", "no value that can be measured"),
    "infinity": (SPACE % "ceiling: -.inf", "s.yaml:3:21:", "no value that can be measured"),
    "infinite feet": (SPACE % "ceiling: inf ft", "s.yaml:3:21:", "no value that can be measured"),
    "a power of ten": (SPACE % "ceiling: 1e999999999 ft", "s.yaml:3:21:", "power of ten"),
    "very many digits": (SPACE % f"ceiling: {'9' * 10_000} ft", "s.yaml:3:21:", "too long"),
    "a division by zero": (SPACE % "ceiling: 1/0 ft", "s.yaml:3:21:", "ceiling:"),
    "no unit": (SPACE % "ceiling: 9", "s.yaml:3:21:", "has no unit", "14 ft"),
    "a wrong dimension": (SPACE % "ceiling: 9 psi", "s.yaml:3:21:", "is a pressure, a length was expected"),
    "a typo in a unit": (SPACE % "ceiling: 9 fte", "s.yaml:3:21:", "no known unit", "did you mean 'ft'?"),
    "braces": (SPACE % "ceiling: '{x} {0} %s'", "s.yaml:3:21:", "'{x} {0} %s'"),
    "a typo in a word": (SPACE % "use: workshp", "s.yaml:3:17:", "did you mean 'workshop'?"),
    "a word without end": (SPACE % f"use: {'w' * 10_000}", "s.yaml:3:17:", "www...' is not one of the words"),
    "a typo in a key": (SPACE % "celing: 9 ft", "s.yaml:3:12:", "did you mean 'ceiling'?"),
    "a typo in a list's name": ("site: S\nspces: {}\n", "s.yaml:2:1:", "did you mean 'spaces'?"),
    "a typo in a way of knowing": (SPACE % "ceiling: {is: 9 ft, known: measurd}", "s.yaml:3:39:", "'measured'?"),
    "a typo in a fact": (SPACE % "ceiling: {is: 9 ft, knwn: told}", "s.yaml:3:32:", "did you mean 'known'?"),
    "a space written as a fact": ("site: S\nspaces: {is: {a: {use: hall}}}\n", "s.yaml:2:15:", "'a' is not a key"),
    "a day that differs": (
        "site: S\nlooked:\n  - {list: openings, whole: yes, by: M, day: 03/05/2026}\n",
        "s.yaml:3:46:",
        "write 2026-05-03",
    ),
    "no such day": (
        "site: S\nlooked:\n  - {list: openings, whole: yes, by: M, day: 2026-02-30}\n",
        "s.yaml:3:46:",
        "no day of the calendar",
    ),
    "a day to come": (
        "site: S\nlooked:\n  - {list: openings, whole: yes, by: M, day: 2026-06-16}\n",
        "s.yaml:3:46:",
        "in the future",
        "a day up to 2026-06-15",
    ),
    "a visit signed some day": (
        "site: S\npermit: {visits: {rough gas: {signed: 2027-01-01, by: office}}}\n",
        "s.yaml:2:39:",
        "in the future",
    ),
    # names
    "a name twice": ("site: S\nspaces:\n  a: {}\n  a: {}\n", "s.yaml:4:3:", "already on line 3", "another name"),
    "a key twice": ("site: S\nsite: T\n", "s.yaml:2:1:", "already on line 1"),
    "an id in two lists": (
        HEAD + "circuits:\n  A: {}\nreceptacles:\n  A: {}\n",
        "'A' is used twice",
        "s.yaml:5:3",
        "s.yaml:7:3",
        "another id",
    ),
    "an empty id": ("site: S\nspaces:\n  '': {use: hall}\n", "s.yaml:3:3:", "no id"),
    "a blank id": ("site: S\nspaces:\n  ~: {use: hall}\n", "s.yaml:3:3:", "no id"),
    "a room with a point": ("site: S\nspaces:\n  a.b: {use: hall}\n", "s.yaml:3:3:", "a point in it", "'a-b'"),
    "a reference to nothing": (
        WALLED % ", circuit: C-10" + "circuits:\n  C-1: {}\n",
        "s.yaml:5:62:",
        "'C-10' is no circuit",
        "did you mean 'C-1'?",
    ),
    "a reference to another kind": (WALLED % ", circuit: studio", "s.yaml:5:62:", "'studio' is a space, not a circuit"),
    "a statement about no list": (
        "site: S\nlooked:\n  - {list: opening, whole: yes, by: M, day: 2026-05-03}\n",
        "s.yaml:3:12:",
        "no list 'opening'",
        "did you mean 'openings'?",
    ),
    "a statement about no room": (
        HEAD + "looked:\n  - {list: openings, in: [studo], whole: yes, by: M, day: 2026-05-03}\n",
        "s.yaml:5:27:",
        "'studo' is the id of nothing",
        "did you mean 'studio'?",
    ),
    "a statement but for nothing": (
        HEAD + "looked:\n  - {list: openings, in: studio, whole: yes, by: M, day: 2026-05-03, except: [D9]}\n",
        "s.yaml:5:79:",
        "'D9' is the id of nothing",
    ),
    "an unknown place": (
        "site: S\npermit: {jurisdiction: Tallo Creek}\n",
        "s.yaml:2:24:",
        "nobody has entered",
        "did you mean 'tallow creek'?",
    ),
    "an unknown standard": (
        "site: S\npermit: {standards: [shop receptacle]}\n",
        "s.yaml:2:22:",
        "did you mean 'shop receptacles'?",
    ),
    "a place file that is not there": (
        "site: S\npermit: {jurisdiction: my-town.yaml}\n",
        "s.yaml:2:24:",
        "no file 'my-town.yaml' beside the site",
        "do:",
    ),
    "an unknown visit": (
        "site: S\npermit: {visits: {rogh gas: {signed: 2026-05-03, by: office}}}\n",
        "s.yaml:2:19:",
        "no visit 'rogh gas'",
        "did you mean 'rough gas'?",
    ),
    # the plan
    "a crossing outline": (
        SPACE % "outline: ['0 ft, 0 ft', '10 ft, 10 ft', '10 ft, 0 ft', '0 ft, 10 ft']",
        "s.yaml:3:",
        "crosses the wall",
        "order of the corners",
    ),
    "two corners": (SPACE % "outline: ['0 ft, 0 ft', '10 ft, 10 ft']", "s.yaml:3:21:", "three corners"),
    "a room without area": (SPACE % "size: 0 ft x 3 ft", "s.yaml:3:18:", "no area"),
    "half a size": (SPACE % "size: 18 ft", "s.yaml:3:18:", "is not a size", "18 ft x 17 ft"),
    "an opening wider than its wall": (
        HEAD + "openings:\n  D1: {wall: studio.south, at: 0 ft, width: 19 ft}\n",
        "s.yaml:5:45:",
        "D1 is 19 ft wide, and studio.south is 18 ft long",
    ),
    "past the end of a wall": (WALLED.replace("1 ft", "19 ft") % "", "s.yaml:5:32:", "from 0 in to 18 ft", "left end"),
    "before its beginning": (WALLED.replace("1 ft", "-1 ft") % "", "s.yaml:5:32:", "left of the left end"),
    "no such wall": (WALLED.replace(".south", ".suth") % "", "s.yaml:5:14:", "no wall 'suth'", "write studio.south"),
    "no such room": (WALLED.replace("studio.south", "stdio.south") % "", "s.yaml:5:14:", "write studio.south"),
    "a wall without its room": (WALLED.replace("studio.south", "south") % "", "s.yaml:5:14:", "room.wall"),
    # gas
    "a ring of pipes": (
        "site: S\ngas pipes:\n  A: {from: B}\n  B: {from: A}\n",
        "s.yaml:3:13:",
        "in a ring",
        "correct what A comes from",
    ),
    "a pipe to nowhere": ("site: S\ngas pipes:\n  A: {to: C}\n", "s.yaml:3:11:", "'C' is no appliance or gas outlet"),
}


def refused(ran: Any) -> None:
    """The marks of every refusal."""
    assert ran.code == 2, ran.out + ran.err
    assert ran.out == ""
    assert "Traceback" not in ran.err and "fault of the tool" not in ran.err
    assert ran.seconds < MOST_SECONDS
    assert all(len(line) < 1_100 for line in ran.err.splitlines())


@pytest.mark.parametrize("name", BAD)
def test_a_bad_site_is_refused_with_its_place(name: str, run: Any) -> None:
    text, *said = BAD[name]
    Path("s.yaml").write_text(text, encoding="utf-8")
    ran = run("check", "s.yaml", "--for", "all")
    refused(ran)
    for part in said:
        assert part in ran.err, ran.err
    assert re.search(r"^  (expected|do|write): |: write |written like |write the number out", ran.err, re.M), ran.err


@pytest.mark.parametrize("form", ["text", "json", "sarif", "junit"])
def test_no_form_prints_half_an_answer(form: str, run: Any) -> None:
    Path("s.yaml").write_text(SPACE % "ceiling: 9", encoding="utf-8")
    refused(run("check", "s.yaml", "--format", form))


def test_all_faults_of_a_file_are_told_in_one_go(run: Any) -> None:
    Path("s.yaml").write_text(
        "site: S\npermit: {occupancy: hous}\nspaces:\n"
        "  studio: {celing: 9 ft, use: workshp, size: 18 ft x 17 ft}\n  hall: {ceiling: 9}\n"
        "openings:\n  D1: {wall: studio.south, at: 0 ft, width: 19 ft}\n"
        "receptacles:\n  R1: {wall: studio.nort, circuit: C9}\n"
        "looked:\n  - {list: opening, whole: yes, by: M, day: 2026-05-03}\n",
        encoding="utf-8",
    )
    ran = run("check", "s.yaml")
    refused(ran)
    places = re.findall(r"^s\.yaml:(\d+):", ran.err, re.M)
    assert places == ["2", "4", "4", "5", "7", "9", "9", "11"]


def test_one_fault_makes_no_others_look_wrong(run: Any) -> None:
    """A list whose name is mistyped is one fault, not one more for each that refers to it."""
    Path("s.yaml").write_text((WALLED % "").replace("spaces:", "spces:"), encoding="utf-8")
    ran = run("check", "s.yaml")
    refused(ran)
    assert len(re.findall(r"^s\.yaml:", ran.err, re.M)) == 1


def test_a_folder_tells_both_places_of_an_id(run: Any) -> None:
    for name in ("gas", "rooms"):
        Path(f"house/{name}.yaml").parent.mkdir(exist_ok=True)
        Path(f"house/{name}.yaml").write_text("spaces:\n  studio: {use: workshop}\n", encoding="utf-8")
    ran = run("check", "house")
    refused(ran)
    assert "house/rooms.yaml:2:3: 'studio' stands twice; the other is at house/gas.yaml:2:3" in ran.err


def test_a_folder_tells_the_faults_of_all_its_files(run: Any) -> None:
    Path("house").mkdir()
    Path("house/a.yaml").write_text("site: [a\n", encoding="utf-8")
    Path("house/b.yaml").write_text("\tsite: b\n", encoding="utf-8")
    ran = run("check", "house")
    refused(ran)
    assert "house/a.yaml:1:" in ran.err and "house/b.yaml:1:" in ran.err


def test_a_folder_without_yaml(run: Any) -> None:
    Path("house").mkdir()
    Path("house/notes.txt").write_text("site: x", encoding="utf-8")
    ran = run("check", "house")
    refused(ran)
    assert "holds no .yaml file" in ran.err and "oktocover start" in ran.err


@pytest.mark.parametrize("name", ["nope.yaml", "no/such/folder", "a\0b", "v" * 20_000, "\x1b[31mred"])
def test_a_file_that_is_not_there(name: str, run: Any) -> None:
    ran = run("check", name)
    refused(ran)
    assert not set(ran.err) & {"\x1b", "\0"}


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read everything")
def test_a_folder_nobody_may_read(run: Any) -> None:
    Path("house").mkdir(mode=0o000)
    ran = run("check", "house")
    refused(ran)
    assert "house" in ran.err and "ermission" in ran.err


BYTES = {
    "utf-16": ("site: Studio\n".encode("utf-16"), "UTF-16"),
    "utf-16 without a mark": ("site: Studio\n".encode("utf-16-le"), "UTF-16"),
    "binary": (b"\x7fELF" + bytes(range(256)) * 10, "zero bytes"),
    "latin-1": ("site: Caf\u00e9\n".encode("latin-1"), "UTF-8"),
    "twenty megabytes": (b"# nothing here\n" * 1_400_000, "larger than 8 MB"),
    "a million deep": (b"[" * 1_000_000, "nested"),
    "a million names deep": (b"{a: " * 1_000_000, "nested"),
    "an alias bomb": (
        b"a0: &a0 x\n"
        + b"".join(b"a%d: &a%d [%s]\n" % (n + 1, n + 1, b", ".join([b"*a%d" % n] * 9)) for n in range(9)),
        "anchors are not used",
    ),
    "too many rooms": (
        b"site: S\nspaces:\n" + b"".join(b"  r%d: {use: workshp}\n" % n for n in range(20_000)),
        "workshop",
    ),
}


@pytest.mark.parametrize("name", BYTES)
def test_hostile_bytes_are_refused_soon_and_small(name: str, process: Any, tmp_path: Path) -> None:
    content, said = BYTES[name]
    (tmp_path / "s.yaml").write_bytes(content)
    done = process("check", "s.yaml", limited=True)
    assert done.returncode == 2, done.stderr[-500:]
    assert done.stdout == b""
    assert b"Traceback" not in done.stderr and b"MemoryError" not in done.stderr
    assert b"s.yaml:" in done.stderr and said.encode() in done.stderr


def test_what_people_type_is_read_as_they_mean_it(run: Any) -> None:
    """YAML 1.1 would make 9:05 a number, `no` false and 012 ten; typographic marks come with pasted text."""
    Path("s.yaml").write_text(
        "site: no\npermit: {number: 012}\nspaces:\n"
        "  on: {use: workshop, size: 18\u2032 x 17\u2019 6\u00bd\u201d, ceiling: 8\u2032 11-1/2\u2033, heated: no}\n"
        "gas systems:\n  G: {gas: natural gas}\n"
        "gas tests:\n  T: {of: G, started: 2026-05-03 9:05, ended: 2026-05-03 9:35}\n",
        encoding="utf-8",
    )
    ran = run("check", "s.yaml", "--format", "json", "--for", "all", "--all")
    assert ran.code in (1, 3), ran.err
    assert '"site": "no"' in ran.out
    assert "30 min" in ran.out
