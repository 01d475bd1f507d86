"""Nothing a place file can say gets past the reader as anything but a problem with its place."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from oktocover.reading.problems import InputProblems
from oktocover.rules.layers import ADOPT_KEYS, BOUND_KEYS, CHANGE_KEYS
from oktocover.rules.library import Library

from .places import checked, shelf

ADDRESSES = (
    "bk.height.least",
    "bk.height",
    "bk.height.heights",
    "bk.height.heights.kitchen",
    "bk.height.when.rooms",
    "bk.low.low_line",
    "bk.warm.require",
    "bk sections 3 to 4",
    "bk all rules",
    "bk..x",
    "bk",
    "",
    "bk.height[",
)
words = st.sampled_from(
    (
        "bk 1",
        "bk 2",
        "bk",
        "yes",
        "2020-01-01",
        "2021-01-01",
        "asleep",
        "proposed",
        "issued",
        "permit.wiring",
        "building.units > few",
        "building.use == 'factory'",
        "1/0 > 1",
        "__import__('os')",
        "later wins",
        "both apply",
        "duty gone",
        "permission gone",
        "8 ft",
        "7 psi",
        "sections 3 to",
        "trade framing",
        "may not weaken",
        "may not differ",
        "bk.height",
        "bk 3.1",
        "x" * 3000,
        "",
    )
)
leaf = st.one_of(
    words,
    st.none(),
    st.lists(words, max_size=2),
    st.dictionaries(st.sampled_from(("few", "least", *ADDRESSES)), words, max_size=2),
)
adoption = st.dictionaries(st.sampled_from(ADOPT_KEYS), leaf, max_size=5)
change = st.dictionaries(st.sampled_from(CHANGE_KEYS), leaf, max_size=6)
bound = st.dictionaries(st.sampled_from(BOUND_KEYS), leaf, max_size=4)


def some(of: Any) -> Any:
    return st.dictionaries(st.sampled_from(("a", "b", "c")), st.one_of(of, leaf), max_size=3)


@settings(deadline=None, max_examples=400, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.fixed_dictionaries(
        {"place": st.just("Town")},
        optional={
            "in": words,
            "adopts": some(adoption),
            "changes": some(change),
            "bounds": some(bound),
            "stacking": leaf,
            "facts": leaf,
            "rules": leaf,
        },
    )
)
def test_any_place_is_read_or_refused(tmp_path: Path, data: dict[str, Any]) -> None:
    shelf(tmp_path)
    (tmp_path / "jurisdictions").mkdir(exist_ok=True)
    (tmp_path / "jurisdictions" / "town.yaml").write_text(yaml.safe_dump(data), encoding="utf-8")
    try:
        adopted = Library(tmp_path).adopt("town", [])
        adopted.check_every()
        checked(adopted)
    except InputProblems as error:
        assert error.problems and all(problem.message for problem in error.problems)
        assert any(problem.place is not None for problem in error.problems), str(error)


@pytest.mark.parametrize("key", ["adopts", "changes", "bounds", "stacking", "in", "not checked here", "checked by"])
@pytest.mark.parametrize("value", ["text", "[a, b]", "{a: [b]}", "{a: {b: {c: d}}}", "''", "null"])
def test_any_value_of_a_key(tmp_path: Path, key: str, value: str) -> None:
    library = shelf(tmp_path, town=f"place: Town\n{key}: {value}\n")
    try:
        library.adopt("town", []).check_every()
    except InputProblems as error:
        assert "town.yaml:" in str(error)


nearly = st.fixed_dictionaries(
    {
        "adopts": st.fixed_dictionaries(
            {
                "a": st.builds(
                    lambda more: {"book": "bk 1", **more},
                    st.dictionaries(st.sampled_from(ADOPT_KEYS[2:]), leaf, max_size=2),
                )
            },
            optional={"b": st.builds(lambda more: {"book": "bk 2", **more}, adoption)},
        ),
        "changes": st.dictionaries(
            st.sampled_from(("c", "d")),
            st.builds(
                lambda verb, address, value, more: {"cite": "x", **more, verb: {address: value}},
                st.sampled_from(("set", "add", "strike", "take")),
                st.sampled_from(ADDRESSES),
                leaf,
                st.dictionaries(st.sampled_from([key for key in CHANGE_KEYS if key != "cite"]), leaf, max_size=1),
            ),
            max_size=2,
        ),
    },
    optional={
        "bounds": st.just({"x": {"trade": "framing", "lower layers": "may not weaken", "cite": "y"}}),
        "stacking": st.sampled_from(("later wins", "both apply")),
    },
)


@settings(deadline=None, max_examples=600, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(nearly, nearly)
def test_places_that_are_nearly_right(tmp_path: Path, state: dict[str, Any], town: dict[str, Any]) -> None:
    shelf(tmp_path)
    (tmp_path / "jurisdictions").mkdir(exist_ok=True)
    for name, data in (("state", {"place": "State", **state}), ("town", {"place": "Town", "in": "State", **town})):
        (tmp_path / "jurisdictions" / f"{name}.yaml").write_text(yaml.safe_dump(data), encoding="utf-8")
    try:
        adopted = Library(tmp_path).adopt("town", [])
        adopted.check_every()
        checked(adopted)
    except InputProblems as error:
        assert error.problems and all(problem.place is not None for problem in error.problems), str(error)
