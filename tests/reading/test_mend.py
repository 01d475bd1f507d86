"""Each common mistake is told in a sentence, at its line, with a line that YAML takes.

What YAML refuses and how it words it was tried on libyaml 0.2.5; the sentences are ours.
"""

import pytest
import yaml
from hypothesis import example, given, settings
from hypothesis import strategies as st

from oktocover.reading import InputProblems, Problem, read_yaml
from oktocover.reading import _parser as parser_module

MISTAKES = [
    # text, line told, mended line, part of the sentence
    ("a:\n\tb: 1", 2, "  b: 1", "begins with a tab"),
    ("a: 1\n\tb: 1", 2, "b: 1", "begins with a tab"),
    ("a:\n\tb: 1\n\tc: 2\n\td: 3", 2, "  b: 1", "and so do 2 other lines"),
    ("wall: studio: south", 1, 'wall: "studio: south"', "two colons"),
    ("a:\n  - wall: studio: south  # c", 2, '  - wall: "studio: south"  # c', "two colons"),
    ("a: \u201cx: y\u201d", 1, 'a: "x: y"', "typographic quotes"),
    ("a: 1\nwidth:36 in\nb: 2", 2, "width: 36 in", "no space after the colon"),
    ("width:36 in\nb: 2", 1, "width: 36 in", "no space after the colon"),
    ("x:\n  width:36 in", 2, "  width: 36 in", "no space after the colon"),
    ("x:\n  - width:36 in", 2, "  - width: 36 in", "no space after the colon"),
    ("x: {width:36 in, b: 2}", 1, "x: {width: 36 in, b: 2}", "no space after the colon"),
    ("x:{a: 1, b: 2}\nc: 3", 1, "x: {a: 1, b: 2}", "no space after the colon"),
    ("{width:36 in b: 2}", 1, "{width: 36 in b: 2}", "no space after the colon"),
    ("a: 1\nc :2\nd: 3", 2, "c: 2", "no space after the colon"),
    ('x: "12\' 6-1/2""', 1, "x: 12' 6-1/2\"", "quotes inside the quotes"),
    ('x: {at: "12\' 6-1/2"", b: 2}', 1, "x: {at: 12' 6-1/2\", b: 2}", "do not come in pairs"),
    ("a: 'don't'", 1, "a: don't", "quotes inside the quotes"),
    ('x: "A" wall\ny: 1', 1, "x: '\"A\" wall'", "after the closing quote"),
    ('x: "36 in  # c\ny: 1', 1, "x: 36 in  # c", "not closed"),
    ('a: "abc\nb: "def"\n', 1, "a: abc", "not closed"),
    ('a: "C:\\q"', 1, "a: 'C:\\q'", "backslash"),
    ("x: %a", 1, 'x: "%a"', "cannot begin with %"),
    ("x: @a", 1, 'x: "@a"', "cannot begin with @"),
    ("x: `a`", 1, 'x: "`a`"', "cannot begin with `"),
    ("x: * see plans", 1, 'x: "* see plans"', "begins with *"),
    ("x: *see plans", 1, 'x: "*see plans"', "begins with *"),
    ("x: & Sons", 1, 'x: "& Sons"', "begins with &"),
    ("x: >3 in", 1, 'x: ">3 in"', "begins with >"),
    ("x: >= 3 in", 1, 'x: ">= 3 in"', "begins with >"),
    ("x: - 3", 1, 'x: "- 3"', "list item"),
    ("x: {a: %b, c: 1}", 1, 'x: {a: "%b", c: 1}', "cannot begin with %"),
    ("x: {input: 40,000 Btu/h}", 1, 'x: {input: "40,000 Btu/h"}', "comma"),
    ("x: {input: 1,040,000 Btu/h, b: 2}", 1, 'x: {input: "1,040,000 Btu/h", b: 2}', "comma"),
    (
        "x: {input: 40,000 Btu/h, low: 10,000 Btu/h}",
        1,
        'x: {input: "40,000 Btu/h", low: "10,000 Btu/h"}',
        "comma",
    ),
    ("x: [40,000 Btu/h, 3 ft]", 1, 'x: ["40,000 Btu/h", 3 ft]', "comma"),
    ("{main: p >= max(a, b)}", 1, '{main: "p >= max(a, b)"}', "comma"),
    ("x: [max(a, b), c]", 1, 'x: ["max(a, b)", c]', "comma"),
    ("x: [\u201ca, b\u201d, c]", 1, 'x: ["a, b", c]', "comma"),
    ("x: {by: \u201cM.K., owner\u201d}", 1, 'x: {by: "M.K., owner"}', "comma"),
    ("a: [1, 2\nb: 3", 1, "a: [1, 2]", "not closed"),
    ("a: {b: 1\nc: 3\n", 1, "a: {b: 1}", "not closed"),
    ("a: {b: [1, 2}\nc: 3\n", 1, "a: {b: [1, 2]}", "closes a ["),
    ("a: {b: 1,\n    c: 2\nd: 3\n", 2, "    c: 2}", "not closed"),
    ("a: {b: 1\n    c: 2}\nd: 3\n", 1, "a: {b: 1,", "no comma"),
    ("a: {b: c d: e}", 1, "a: {b: c, d: e}", "no comma"),
    ("a: {x: y: z}", 1, 'a: {x: "y: z"}', "second colon"),
    ("a: [b}\nc: 1", 1, "a: [b]", "closes a ["),
    ("a: {b: 1}}", 1, "a: {b: 1}", "after the closing bracket"),
    ("a: [1] in", 1, 'a: "[1] in"', "after the closing bracket"),
    ("a: ]", 1, 'a: "]"', "without its ["),
    ("a:\n  b: 1\n   c: 2", 3, "  c: 2", "indentation of this line (3 spaces)"),
    ("a:\n  b: 1\n c: 2", 3, "  c: 2", "indentation of this line (1 space)"),
    ("a:\n  - x: 1\n  b: 2", 3, "    b: 2", "side by side"),
    ("a:\n  - x\n  b: 1", 3, "  - b: 1", "side by side"),
    ("a:\n  b: 1\n  - x", 3, "", "side by side"),
    ("a: 1\n- x", 2, "", "side by side"),
    ("b: c\n  - a", 2, "", "more text of the value on line 1"),
    ("walls\n  a: b", 1, "walls:", "no colon"),
    ("a: 1\nfoo\nb: 2", 2, "foo:", "no colon"),
    ("a: 1\nwall south\nb: 2", 2, "wall: south", "no colon"),
    ("-a: 1\n-b: 2", 1, "- a: 1", "no space after its dash"),
    ("x:\n  -a\n  -b", 2, "  - a", "no space after its dash"),
    ("x:\n  \u2013 a\n  \u2013 b", 2, "  - a", "long dash"),
    ("x:\n  \u2014 wall: south", 2, "  - wall: south", "long dash"),
    ("a: 2 #12", 1, 'a: "2 #12"', "is lost"),
    ("a: #12 copper", 1, 'a: "#12 copper"', "is lost"),
    ("a: {b: 2 #12}\nc: 1", 1, 'a: {b: "2 #12"}', "is lost"),
    ('a: "abc\nb: "\nc: 1', 1, None, "runs on into line 2"),
    ("a: *x", 1, 'a: "*x"', "alias"),
    ("a: !x y", 1, 'a: "!x y"', "tag"),
    ("a: x\u200by", 1, "a: xy", "invisible"),
]


def first_problem(text: str) -> Problem:
    with pytest.raises(InputProblems) as caught:
        read_yaml(text, "site.yaml")
    return caught.value.problems[0]


@pytest.mark.parametrize(("text", "line", "mended", "said"), MISTAKES)
def test_a_mistake_is_told_with_its_mended_line(text: str, line: int, mended: str | None, said: str) -> None:
    problem = first_problem(text)
    assert problem.place is not None
    assert problem.place.line == line
    assert said in problem.message
    if mended is not None:
        assert problem.mended == mended
    assert "cannot be read" not in problem.message or mended is None


@pytest.mark.parametrize("text", [text for text, _, mended, _ in MISTAKES if mended])
def test_a_file_with_every_mended_line_copied_into_it_can_be_read(text: str) -> None:
    for _ in range(4):
        try:
            document = read_yaml(text, "s")
        except InputProblems as refused:
            lines = text.split("\n")
            for problem in refused.problems:
                if problem.place and problem.mended:
                    lines[problem.place.line - 1] = problem.mended
            assert "\n".join(lines) != text, str(refused)
            text = "\n".join(lines)
        else:
            assert _blanks_filled(document.data) == yaml.load(text, yaml.CBaseLoader)
            return
    pytest.fail(f"still not readable:\n{text}")


@pytest.mark.parametrize(("text", "line", "mended", "said"), MISTAKES)
def test_the_parser_written_in_python_tells_the_same(
    text: str, line: int, mended: str | None, said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(parser_module, "_Loader", yaml.SafeLoader)
    problem = first_problem(text)
    assert problem.place is not None
    assert (problem.place.line, said in problem.message) == (line, True)
    if mended is not None:
        assert problem.mended == mended


@pytest.mark.parametrize(
    "text",
    [
        "url: https://example.org/a:b",
        "note: see\n  https://example.org",
        "at: 9:05",
        "started:\n  9:05",
        "- 4:12\n- 9:05",
        "4:12: x",
        "https://example.org/a: x",
        "x: [100, 200]",
        "x: [1, 2,3]",
        "x: [1,2000]",
        "x: [1,20]",
        "x: {a: 1,b: 2}",
        "x: {a: (b), c: d}",
        "x: 40,000 Btu/h",
        "a: 1 # 3 comes later",
        "a: 1 #see below",
        "# 12\na: 1",
        "#12\na: 1",
        "a: '2 #12'",
        "a: C#12",
        "t:\n  -10 F: x\n  -20 F: y",
        "a: -10 F",
        "a:\n  - -10 F",
        "a: |\n  width:36 in\n  - b\n  -c\n  k: v #12\n",
        "a: 'two\n  lines: of\n  text'",
        "a: plain text\n  that goes on\n  and on",
        "{a: {b: , c: }}",
        "key : value",
        "a:\t1",
    ],
)
def test_what_is_meant_as_it_stands_is_left_alone(text: str) -> None:
    assert _blanks_filled(read_yaml(text, "s").data) == yaml.load(text, yaml.CBaseLoader)


def _blanks_filled(data: object) -> object:
    """With '' for 'not recorded', as a failsafe reader has it."""
    if isinstance(data, dict):
        return {key: _blanks_filled(value) for key, value in data.items()}
    if isinstance(data, list):
        return [_blanks_filled(item) for item in data]
    return "" if data is None else data


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("x: {input: 1,040,000 Btu/h, b: 2}", 1),
        ("x: {input: 40,000 Btu/h, low: 10,000 Btu/h}", 2),
        ("{main: p >= max(a, b)}", 1),
        ("x: [max(a, b, c), max(d, e)]", 2),
        ("{width:36 in, b: 2}", 1),
    ],
)
def test_one_fault_is_told_once(text: str, count: int) -> None:
    with pytest.raises(InputProblems) as caught:
        read_yaml(text, "s")
    assert len(caught.value.problems) == count


def test_thirty_mended_lines_are_enough_for_one_run() -> None:
    with pytest.raises(InputProblems) as caught:
        read_yaml("".join(f"x{n}: y: z\n" for n in range(100)), "s")
    assert len(caught.value.problems) == 30


def test_in_a_very_large_file_a_mistake_is_told_without_a_mended_line() -> None:
    # Every try parses the whole text again; the answer in time matters more.
    mistake = "x: y: z\n"
    assert first_problem(mistake + "# filler\n" * 10_000).mended == 'x: "y: z"'
    problem = first_problem(mistake + "# filler\n" * 190_000)
    assert "two colons" in problem.message
    assert problem.mended == ""


GOOD = """\
site: Studio
described: {fuel gas: yes, floor heat: yes}
rooms:
  studio:
    length: 18 ft
    width: 17 ft
    openings:
      - {at: 2 ft, width: 36 in}
      - {at: 9 ft, width: 72 in}
circuits:
  C-03:
    breaker: 20 A GFCI
    chain: [P1, R-01, R-02]
notes:
  - first
  - second
""".splitlines()

BREAKS = {
    "glue the colon": lambda line: line.replace(": ", ":", 1),
    "second colon": lambda line: line + ": x" if ": " in line and line[-1] not in "]}" else line,
    "quote in quotes": lambda line: line.split(": ")[0] + ': "6\' 2""' if line.count(": ") == 1 else line,
    "open quote": lambda line: line.replace(": ", ': "', 1) if line.count(": ") == 1 else line,
    "percent": lambda line: line.replace(": ", ": %", 1) if line.count(": ") == 1 else line,
    "lose the bracket": lambda line: line.rstrip("]}"),
    "double the bracket": lambda line: line + line[-1] if line[-1] in "]}" else line,
    "thousands": lambda line: line.replace(" ft,", ",000 ft,").replace("P1,", "40,000 P1,"),
    "hash": lambda line: line + " #12" if line[-1] not in ":]}" else line,
    "tab": lambda line: "\t" + line.lstrip() if line.startswith(" ") else line,
    "no colon": lambda line: line[:-1] if line.endswith(":") else line,
    "dash": lambda line: line.replace("- ", "-", 1) if line.endswith("first") else line,
}


@settings(deadline=None)
@given(st.sampled_from(sorted(BREAKS)), st.integers(0, len(GOOD) - 1))
def test_one_broken_line_is_found_and_its_mended_line_makes_the_file_readable(how: str, row: int) -> None:
    lines = list(GOOD)
    lines[row] = BREAKS[how](lines[row])
    if lines == GOOD:
        return
    problem = first_problem("\n".join(lines))
    assert problem.place is not None
    told = problem.place.line - 1
    assert abs(told - row) <= 1
    assert problem.mended, str(problem)
    assert told == row or how == "no colon"
    lines[told] = problem.mended
    read_yaml("\n".join(lines), "s")


@settings(deadline=None)
@example([("glue the colon", 1), ("glue the colon", 1)])
@given(st.lists(st.tuples(st.sampled_from(sorted(BREAKS)), st.integers(0, len(GOOD) - 1)), max_size=5))
def test_several_broken_lines_never_end_in_another_error(breaks: list[tuple[str, int]]) -> None:
    lines = list(GOOD)
    for how, row in breaks:
        lines[row] = BREAKS[how](lines[row])
    try:
        read_yaml("\n".join(lines), "s")
    except InputProblems as refused:
        assert all(problem.message for problem in refused.problems)
    else:
        assert lines == GOOD or all(how in ("no colon", "dash", "tab") for how, _ in breaks)
