"""How problems are worded and put together."""

import pytest

from oktocover.reading import InputProblems, OktocoverError, Place, Problem


def test_a_place_is_written_as_editors_take_it() -> None:
    assert str(Place("site.yaml", 12, 7)) == "site.yaml:12:7"


def test_a_problem_says_where_what_expected_what_to_do_and_the_line_to_write() -> None:
    problem = Problem(
        Place("site.yaml", 12, 7),
        "`hieght` is no name known here",
        expected="a name of a receptacle",
        do="did you mean height?",
        mended="  height: 44 in\n  at: 3 ft",
    )
    assert problem.text() == (
        "site.yaml:12:7: `hieght` is no name known here\n"
        "  expected: a name of a receptacle\n"
        "  do: did you mean height?\n"
        "  write:   height: 44 in\n"
        "           at: 3 ft"
    )


def test_a_problem_without_place_or_remedy_is_one_line() -> None:
    assert Problem(None, "there is no rule").text() == "there is no rule"
    assert Problem(Place("a", 1, 2), "odd", warning=True).text() == "a:1:2: warning: odd"


def test_problems_are_shown_in_the_order_of_the_file_twenty_at_most() -> None:
    problems = [Problem(Place("s", line, 1), f"fault {line}") for line in range(23, 0, -1)]
    error = InputProblems(problems)
    assert isinstance(error, OktocoverError)
    assert [problem.message for problem in error.problems] == [f"fault {line}" for line in range(1, 24)]
    shown = str(error).splitlines()
    assert shown[0] == "s:1:1: fault 1"
    assert shown[19:] == ["s:20:1: fault 20", "and 3 more"]
    assert "more" not in str(InputProblems(problems[:20]))


def test_problems_cannot_be_changed() -> None:
    with pytest.raises(AttributeError):
        Problem(None, "x").message = "y"  # type: ignore[misc]
