"""Values stay text, empty stays empty, and each value knows its place.

The outside check is PyYAML's own composer with its failsafe constructor (BaseLoader), and the standard library's
JSON writer: JSON with quoted scalars is YAML.
"""

import json
from pathlib import Path

import pytest
import yaml
from hypothesis import example, given, settings
from hypothesis import strategies as st

from oktocover.reading import InputProblems, Place, read_yaml, read_yaml_documents, read_yaml_file

SITE = """\
# a comment
site: Studio and garage
measured to: bare framing
rooms:
  studio: {length: 18 ft, width: 17 ft}
  mechanical:
walls:
  - {wall: studio.south, at: 12' 6-1/2"}
  -
    wall: studio.west
    boxes: [a, b,
            c]
"""


def problems_of(text: str) -> tuple[str, ...]:
    with pytest.raises(InputProblems) as caught:
        read_yaml(text, "site.yaml")
    return tuple(problem.text() for problem in caught.value.problems)


@pytest.mark.parametrize(
    "written",
    [
        "9:05",
        "10:15",
        "014",
        "no",
        "off",
        "on",
        "NO",
        "y",
        "true",
        "2026-05-03",
        "12-2",
        "4-3",
        "3/4",
        "310.10",
        "4:12",
        "1e3",
        "0x1F",
        "1_000",
        ".inf",
        "=",
        "12' 6-1/2\"",
        "1½ in",
        "12\u2019 6\u20111/2\u201d",
        "at least 1-1/4 in",
        "7 in w.c.",
        "None",
    ],
)
def test_a_value_is_the_text_that_was_written(written: str) -> None:
    assert read_yaml(f"x: {written}\n", "s").data == {"x": written}
    assert read_yaml(f"- {written}\n", "s").data == [written]
    assert read_yaml(f"{{x: {written}}}\n", "s").data == {"x": written}


@pytest.mark.parametrize("written", ["on", "off", "yes", "no", "y", "n", "1", "9:05", "2026-05-03", "014"])
def test_a_name_is_the_text_that_was_written(written: str) -> None:
    assert read_yaml(f"{written}: x\n", "s").data == {written: "x"}


@pytest.mark.parametrize(
    "written", ["x:", "x: ", "x: ~", "x: null", "x:   # later", "{x: }", "{x: null}", "? x"]
)
def test_nothing_written_is_not_recorded(written: str) -> None:
    assert read_yaml(written, "s").data == {"x": None}


def test_nothing_written_on_purpose_is_text() -> None:
    assert read_yaml("a: ''\nb: \"null\"\nc: '~'\nd: none\n", "s").data == {
        "a": "",
        "b": "null",
        "c": "~",
        "d": "none",
    }


def test_typographic_spaces_stand_for_spaces() -> None:
    assert read_yaml("x:\n\u00a0\u00a0at:\u00a036\u202fin\u2028\n", "s").data == {"x": {"at": "36 in"}}


@pytest.mark.parametrize(
    ("written", "text"),
    [
        ("\u201cSouth wall\u201d", "South wall"),
        ("\u2018South wall\u2019", "South wall"),
        ("\u201eS\u00fcdwand\u201c", "S\u00fcdwand"),
        ("12\u2019 6\u201d", "12\u2019 6\u201d"),
        ("\u201cA\u201d wall", "\u201cA\u201d wall"),
    ],
)
def test_typographic_quotes_around_a_value_are_quotes(written: str, text: str) -> None:
    assert read_yaml(f"x: {written}", "s").data == {"x": text}


def test_a_byte_order_mark_and_windows_line_ends_are_accepted() -> None:
    document = read_yaml("\ufeffa: 1\r\nb:\r\n  - 2\r\n", "s")
    assert document.data == {"a": "1", "b": ["2"]}
    assert document.place(("b", 0)) == Place("s", 3, 5)
    assert document.line_text(3) == "  - 2"


@pytest.mark.parametrize(
    ("path", "line", "column"),
    [
        ((), 2, 1),
        (("site",), 2, 7),
        (("rooms", "studio"), 5, 11),
        (("rooms", "studio", "width"), 5, 34),
        (("rooms", "mechanical"), 6, 14),
        (("rooms", "mechanical", "length"), 6, 14),
        (("rooms", "loft", "length"), 5, 3),
        (("walls", 0, "at"), 8, 30),
        (("walls", 1), 10, 5),
        (("walls", 1, "boxes", 2), 12, 13),
        (("walls", -1, "boxes", -1), 12, 13),
        (("walls", 7), 8, 3),
        (("walls", "x"), 8, 3),
        (("site", "deeper", 0), 2, 7),
    ],
)
def test_a_place_is_the_value_or_its_nearest_parent(
    path: tuple[str | int, ...], line: int, column: int
) -> None:
    assert read_yaml(SITE, "site.yaml").place(path) == Place("site.yaml", line, column)


@pytest.mark.parametrize(
    ("path", "line", "column"),
    [
        (("site",), 2, 1),
        (("rooms", "studio", "width"), 5, 27),
        (("walls", 0, "at"), 8, 26),
        (("walls", 1), 10, 5),
        (("walls", 1, "boxes"), 11, 5),
        (("walls", 1, "boxes", 0), 11, 13),
        (("rooms", "loft", "length"), 4, 1),
        ((), 2, 1),
    ],
)
def test_a_key_has_its_own_place(path: tuple[str | int, ...], line: int, column: int) -> None:
    assert read_yaml(SITE, "site.yaml").key_place(path) == Place("site.yaml", line, column)


def test_a_document_writes_its_line_with_another_value_or_name() -> None:
    document = read_yaml(SITE + "note: a long\n  text\n", "site.yaml")
    assert document.mended(("site",), "Shed") == "site: Shed"
    assert document.mended(("rooms", "studio", "width"), "16 ft") == "  studio: {length: 18 ft, width: 16 ft}"
    assert document.mended(("rooms", "mechanical"), "{}") == "  mechanical: {}"
    assert (
        document.mended_key(("rooms", "studio", "length"), "depth")
        == "  studio: {depth: 18 ft, width: 17 ft}"
    )
    assert document.mended(("note",), "short") == ""
    assert document.mended(("walls",), "none") == ""
    assert document.mended(("not there",), "x") == ""
    assert document.mended_key(("walls", 0), "x") == ""
    assert document.line_text(99) == ""


def test_a_name_twice_is_told_with_both_lines() -> None:
    assert problems_of("a: 1\nb:\n  c: 1\n  d: 2\n  c: 3\n") == (
        "site.yaml:5:3: `c` stands already on line 3, in the same place\n"
        "  expected: each name once\n"
        "  do: give one of them another name, or take out line 5 or line 3",
    )


def test_all_faults_of_a_file_are_told_at_once() -> None:
    text = "a: 1\na: 2\nwall: studio: south\nb: {input: 40,000 Btu/h}\nc: *d\nat:36 in\n"
    places = [line.split(": ")[0] for line in problems_of(text)]
    assert places == ["site.yaml:2:1", "site.yaml:3:13", "site.yaml:4:12", "site.yaml:5:4", "site.yaml:6:1"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "the file is empty"),
        ("# only\n\n", "the file is empty"),
        ("---\n---\n", "the file is empty"),
        ("a: &x 1", "anchors are not used"),
        ("a: *x", "aliases are not used"),
        ("*x : 1", "aliases are not used"),
        ("<<: {a: 1}", "`<<` (merging) is not used"),
        ("a: !!int 3", "tags are not used"),
        ("a: !thing {b: c}", "tags are not used"),
        ("%YAML 1.1\n---\na: b", "directive"),
        ("%TAG ! !x\n---\na: b", "directive"),
        ("? [a, b]\n: c", "where a name belongs"),
        ("{[a]: c}", "where a name belongs"),
        ("a: {{b}}", "where a name belongs"),
        (": x", "a value without a name"),
        ("{a, b: c}", "`a` has no value"),
        ("a: 1\n---\nb: 2", "a second document begins here"),
        ("a: b\0c", "a zero byte here (U+0000)"),
        ("a: b\x07c", "a control character here (U+0007)"),
        ("a: b\u200bc", "an invisible character here (U+200B)"),
        ("a: b\u202ec", "an invisible character here (U+202E)"),
        ("a: b\ud800c", "half a character here (U+D800)"),
    ],
)
def test_what_these_files_do_not_use_is_refused_in_a_sentence(text: str, said: str) -> None:
    found = problems_of(text)
    assert len(found) == 1
    assert said in found[0].splitlines()[0]


def test_text_may_be_tagged_as_text() -> None:
    assert read_yaml("a: !!str 12", "s").data == {"a": "12"}


def test_documents_are_read_apart_and_empty_ones_left_out() -> None:
    documents = read_yaml_documents("a: 1\n---\n# nothing\n---\n- 2\n", "s")
    assert [document.data for document in documents] == [{"a": "1"}, ["2"]]
    assert documents[1].place((0,)) == Place("s", 5, 3)


@pytest.mark.parametrize(
    ("content", "said", "line", "column"),
    [
        ("a: b".encode("utf-16"), "saved as UTF-16", 1, 1),
        ("a: b".encode("utf-16-le"), "saved as UTF-16", 1, 1),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "not a text file", 1, 1),
        (
            b"a: 1\nb: 12\x92 6\n",
            "0x92 is not UTF-8 text (in the old Windows encoding it would be \u2019)",
            2,
            6,
        ),
        ("\u00e9: ".encode() + b"\xff", "0xff is not UTF-8", 1, 4),
        (b"", "the file is empty", 1, 1),
    ],
)
def test_bytes_that_are_no_text_are_refused(
    tmp_path: Path, content: bytes, said: str, line: int, column: int
) -> None:
    path = tmp_path / "site.yaml"
    path.write_bytes(content)
    with pytest.raises(InputProblems) as caught:
        read_yaml_file(path, "site.yaml")
    (problem,) = caught.value.problems
    assert said in problem.message
    assert problem.place == Place("site.yaml", line, column)


def test_a_file_is_read_under_its_shown_name(tmp_path: Path) -> None:
    path = tmp_path / "x.yaml"
    path.write_bytes(b"\xef\xbb\xbfa: 1\xc2\xbd in\n")
    document = read_yaml_file(path, "site/x.yaml")
    assert document.data == {"a": "1\u00bd in"}
    assert str(document.place(("a",))) == "site/x.yaml:1:4"
    assert read_yaml_file(path).file == str(path)


def test_a_file_that_cannot_be_opened_is_told(tmp_path: Path) -> None:
    for path, said in [
        (tmp_path / "none.yaml", "no such file"),
        (tmp_path, "not a file"),
        (tmp_path / "a\0b", "file"),
    ]:
        with pytest.raises(InputProblems, match=said):
            read_yaml_file(path, "site.yaml")


# Characters that YAML and JSON both carry; above the BMP JSON writes two escapes, which YAML does not join.
TEXT = st.text(
    st.characters(max_codepoint=0xFFFD, exclude_categories=["Cs"], exclude_characters="\x7f"), max_size=20
)
DATA = st.recursive(
    TEXT, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXT, inner, max_size=4), max_leaves=20
)


@settings(deadline=None)
@given(DATA, st.sampled_from([None, 2]))
def test_quoted_text_comes_back_unchanged(data: object, indent: int | None) -> None:
    assert read_yaml(json.dumps(data, indent=indent), "s").data == data


PIECES = st.sampled_from(
    [
        "a",
        "b-1",
        "12' 6\"",
        "9:05",
        "no",
        ": ",
        ":",
        "- ",
        "\n",
        "\n  ",
        "\n    ",
        "{",
        "}",
        "[",
        "]",
        ", ",
        ",",
    ]
    + [
        '"',
        "'",
        "#",
        " # c",
        "|",
        ">",
        "\t",
        "&x ",
        "*x",
        "!t ",
        "%",
        "~",
        "null",
        "? ",
        "---\n",
        " ",
        "(",
        "000",
    ]
    + ["\u201c", "\u201d", "\u2019", "\u00a0", "\\", "@", "`", "\u2013 ", "-x", "<<", "\r\n"]
)


@settings(deadline=None)
@example("a\n---\n")
@given(st.lists(PIECES, max_size=30).map("".join))
def test_what_is_accepted_is_what_a_failsafe_reader_reads(text: str) -> None:
    try:
        data = read_yaml(text, "s").data
    except InputProblems:
        return
    plain = text.replace("\u00a0", " ")
    try:
        others = list(yaml.load_all(plain, yaml.BaseLoader))
    except yaml.YAMLError:  # the parser written in Python refuses tabs that libyaml takes
        others = list(yaml.load_all(plain, yaml.CBaseLoader))
    # Empty documents are left out here and kept there.
    theirs = [_comparable(other) for other in others]
    assert [part for part in [_comparable(data)] if part != ""] == [part for part in theirs if part != ""]


def _comparable(data: object) -> object:
    if isinstance(data, dict):
        return {_comparable(key): _comparable(value) for key, value in data.items()}
    if isinstance(data, list):
        return [_comparable(item) for item in data]
    text = "" if data in (None, "~", "null") else str(data)
    quoted = len(text) > 1 and text[0] == "\u201c" and text[-1] == "\u201d"
    return text[1:-1] if quoted else text


@settings(deadline=None)
@given(st.text(max_size=200) | st.lists(PIECES, max_size=60).map("".join))
def test_any_text_is_read_or_refused_with_its_places(text: str) -> None:
    try:
        read_yaml(text, "s")
    except InputProblems as refused:
        assert refused.problems
        for problem in refused.problems:
            assert problem.message and problem.place is not None
            assert problem.place.line >= 1 and problem.place.column >= 1
            assert problem.place.line <= text.count("\n") + text.count("\r") + 1


@settings(deadline=None)
@given(st.lists(PIECES, max_size=30).map("".join))
def test_places_are_those_of_another_parser(text: str) -> None:
    text = text.replace("\u00a0", " ")
    try:
        document = read_yaml(text, "s")
        node = yaml.compose(text, yaml.BaseLoader)  # written in Python, shares nothing with libyaml
    except (InputProblems, yaml.YAMLError):
        return
    for path, place in _places(node, ()) if node is not None else []:
        assert document.place(path) == place


def _places(node: yaml.Node, path: tuple[str | int, ...]) -> list[tuple[tuple[str | int, ...], Place]]:
    """Of all values that are not empty: where nothing is written, parsers differ on where."""
    mark = node.start_mark
    own = [(path, Place("s", mark.line + 1, mark.column + 1))] if node.value else []
    if isinstance(node, yaml.MappingNode):
        pairs = [(_comparable(key.value) or key.value, value) for key, value in node.value]
        return own + [found for key, value in pairs for found in _places(value, (*path, str(key)))]
    if isinstance(node, yaml.SequenceNode):
        return own + [found for n, value in enumerate(node.value) for found in _places(value, (*path, n))]
    return own
