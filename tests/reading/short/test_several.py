"""One line about several lists, or about several elements."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from oktocover.measures import trades
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import SiteFile

assert trades
Read = Callable[..., SiteFile]
SIGNED = "by: M.K., day: 2026-05-03"


def where(found: SiteFile, *path: str | int) -> int:
    return found.place(path).line


def test_a_line_about_several_lists(read: Read) -> None:
    found = read(
        "looked:\n"
        f"  - {{list: [spaces, openings, walls], whole: yes, count: [2, ~, 0], {SIGNED}}}\n"
        f"  - {{all: spaces, are: {{heated: yes}}, count: 2, {SIGNED}}}\n"
        f"  - {{list: receptacles, in: studio, whole: yes, {SIGNED}}}\n"
    )
    said = {one.list_: (one.whole, one.count.text if one.count else None, one.in_) for one in found.site.looked}
    assert said == {
        "spaces": (True, "2", None), "openings": (True, None, None), "walls": (True, "0", None), "receptacles": (True, None, "studio")
    }
    lines = {one.list_: where(found, "looked", number) for number, one in enumerate(found.site.looked)}
    assert lines == dict.fromkeys(("spaces", "openings", "walls"), 6) | {"receptacles": 8}


def test_a_line_about_several_elements(read: Read) -> None:
    found = read(
        "records:\n"
        f"  - {{for: irc.x.y, element: [studio, store], answer: yes, note: [one, ~], {SIGNED}}}\n"
        f"  - {{for: irc.z, element: store, answer: no, {SIGNED}}}\n"
    )
    told = [(one.for_, one.element, one.answer, one.note) for one in found.site.records]
    assert told == [("irc.x.y", "studio", True, "one"), ("irc.x.y", "store", True, None), ("irc.z", "store", False, None)]
    assert [where(found, "records", number) for number in range(3)] == [6, 6, 7]


def test_a_line_for_several_rules(read: Read, refused: Callable[..., list[str]], fits: Callable[[str], list[str]]) -> None:
    text = f"records:\n  - {{for: [irc.x, irc.y.z], element: [studio, store], answer: yes, {SIGNED}}}\n"
    found = read(text)
    told = [(one.for_, one.element) for one in found.site.records]
    assert told == [("irc.x", "studio"), ("irc.x", "store"), ("irc.y.z", "studio"), ("irc.y.z", "store")]
    assert {where(found, "records", number) for number in range(4)} == {6}
    assert fits(text) == []
    (one,) = refused(text.replace("irc.y.z", "irc.x"))
    assert one.startswith("site.yaml:6: 'irc.x' stands twice in this line")


SAID = """\
looked:
  - {list: levels, whole: yes, by: A.T., day: 2026-05-01}
  - by: M.K.
    day: 2026-05-03
    said:
      - {list: [spaces, openings], whole: yes}
      - {all: spaces, are: {heated: yes}, count: 2}
      - {list: walls, whole: yes, by: A.T.}
  - {list: receptacles, whole: yes, by: A.T., day: 2026-05-01}
records:
  - by: M.K.
    day: 2026-05-03
    answer: yes
    said:
      - {for: irc.x, element: [studio, store]}
      - {for: irc.y, element: studio, answer: no}
"""


def test_what_one_person_said_on_one_day(read: Read) -> None:
    found = read(SAID)
    told = [(one.list_, one.by, one.day.day) for one in found.site.looked]
    assert told == [
        ("levels", "A.T.", 1), ("spaces", "M.K.", 3), ("openings", "M.K.", 3), ("walls", "A.T.", 3), ("receptacles", "A.T.", 1)
    ]
    assert [where(found, "looked", number) for number in range(5)] == [6, 10, 10, 12, 13]
    assert found.place(("spaces", "store", "heated")).line == 11
    assert found.said_by["spaces", "store", "heated"] == "M.K."
    assert [(one.for_, one.element, one.answer, one.by) for one in found.site.records] == [
        ("irc.x", "studio", True, "M.K."), ("irc.x", "store", True, "M.K."), ("irc.y", "studio", False, "M.K.")
    ]
    assert [where(found, "records", number) for number in range(3)] == [19, 19, 20]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("looked: [{list: [], whole: yes, by: M, day: 2026-05-03}]", "site.yaml:5: names are written here | list: [one, another]"),
        ("looked: [{list: [spaces, spaces], whole: yes, by: M, day: 2026-05-03}]", "'spaces' stands twice in this line"),
        ("looked: [{list: [spaces, walls], count: [1], whole: yes, by: M, day: 2026-05-03}]", "'count' has 1 value for 2 in 'list'"),
        ("looked: [{by: M, day: 2026-05-03, said: walls}]", "what was said is a list of lines"),
        ("looked: [{by: M, dy: 2026-05-03, said: []}]", "'dy' is nothing that several lines have in common"),
        ("looked: [{by: M, said: [{list: walls, whole: yes}]}]", "site.yaml:5: 'day' is missing here"),
        ("looked: [{list: [spaces, walks], whole: yes, by: M, day: 2026-05-03}]", "there is no list 'walks' in a site file"),
    ],
)
def test_errors(refused: Callable[..., list[str]], text: str, message: str) -> None:
    assert message in refused(text + "\n")[0]


def test_a_lapsed_count_counts_for_its_own_list(read: Read) -> None:
    """The other lists of the line stay whole."""
    found = read(f"looked: [{{list: [spaces, openings], whole: yes, count: [3, 0], {SIGNED}}}]\n")
    view = SiteView(found.site, found.known)
    assert view.whole("spaces") is not None and view.whole("openings") is None


def test_the_schema_knows_it(fits: Callable[[str], list[str]]) -> None:
    assert fits(f"looked: [{{list: [spaces, walls], whole: yes, count: [2, ~], {SIGNED}}}]") == []
    assert fits(f"records: [{{for: a.b, element: [studio, store], answer: yes, {SIGNED}}}]") == []
    assert fits(SAID) == []
    assert fits(SAID.replace("said:", "sad:")) != [] and fits(SAID.replace("heated", "hated")) != []
    assert fits(f"records: [{{for: a.b, element: [], answer: yes, {SIGNED}}}]") != []


def test_a_system_stands_for_its_lists(read: Read) -> None:
    """All lists of what belongs to it, by the name it has under `described:`; holes belong to no one system."""
    found = read(f"looked:\n  - {{list: [spaces, electrical], whole: yes, {SIGNED}}}\n  - {{list: fuel gas, whole: yes, {SIGNED}}}\n")
    told = [one.list_ for one in found.site.looked]
    assert told[:3] == ["spaces", "panels", "circuits"]
    assert {"feeders", "disconnects", "cables", "electrodes", "gas pipes", "gas tests"} <= set(told)
    assert not {"holes", "appliances", "openings"} & set(told) and len(told) == len(set(told))
    lines = {one.list_: where(found, "looked", number) for number, one in enumerate(found.site.looked)}
    assert (lines["cables"], lines["gas valves"]) == (6, 7)
    view = SiteView(found.site, found.known)
    assert view.whole("disconnects") is None and view.whole("vents") is not None


def test_a_system_has_no_count(refused: Callable[..., list[str]]) -> None:
    (one,) = refused(f"looked: [{{list: electrical, whole: yes, count: 3, {SIGNED}}}]\n")
    assert one.startswith("site.yaml:5: 'electrical' stands for ") and "leave the count out" in one
    (two,) = refused(f"looked: [{{list: [circuits, electrical], whole: yes, {SIGNED}}}]\n")
    assert "'circuits' stands twice in this line" in two
