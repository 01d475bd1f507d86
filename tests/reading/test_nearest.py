"""The nearest known word. Likeness is difflib's; which words people mistake is common practice."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from oktocover.reading import nearest

FIELDS = [
    "height",
    "width",
    "length",
    "wall",
    "at",
    "measured to",
    "still to come",
    "breaker",
    "cable",
    "box-1",
]


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("hieght", "height"),
        ("lenght", "length"),
        ("Width", "width"),
        ("walls", "wall"),
        ("braker", "breaker"),
        ("measured_to", "measured to"),
        ("still-to-come", "still to come"),
        ("Box_1", "box-1"),
        ("cabel", "cable"),
        ("BREAKER", "breaker"),
        ("panel", None),
        ("zzzz", None),
        ("", None),
    ],
)
def test_a_mistyped_word_finds_the_one_that_was_meant(word: str, meant: str | None) -> None:
    assert nearest(word, FIELDS) == meant


def test_several_are_said_nearest_first() -> None:
    assert nearest("R-1", ["R-11", "R-1", "X-99", "R-12"], limit=3) == "R-1, R-11 or R-12"
    assert nearest("R-1", ["R-11", "R-12"], limit=1) == "R-11"


def test_nothing_to_choose_from_is_none() -> None:
    assert nearest("x", []) is None


@settings(deadline=None)
@given(st.text(max_size=12), st.lists(st.text(max_size=12), max_size=6))
def test_a_suggestion_is_always_one_of_the_choices(word: str, choices: list[str]) -> None:
    found = nearest(word, choices)
    assert found is None or found in choices
    assert nearest(word, [word, *choices]) == word
