"""The unit a value is written in changes no verdict: lengths in feet and inches or in millimetres, pressures in psi or
ounces, times in minutes or seconds."""

from __future__ import annotations

import copy
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from sites import EXAMPLES, adopted_for, data_of, judged, verdicts

from oktocover.quantities import QuantityError, read
from oktocover.site.base import spaced
from oktocover.site.root import element_lists

MM = 1_000_000
NOMINAL = {
    ((spaced(name),), spaced(fact))
    for name, made in element_lists().items()
    for fact, field in made.model_fields.items()
    if "pipe size" in f"{field.annotation}{field.metadata}"
}


def millimetres(text: str) -> str | None:
    """The same length in millimetres, exactly; None when the text is no exact length with a finite decimal."""
    try:
        value = read(text, "length").exact
    except QuantityError:
        return None
    if value is None or value == 0 or (value * 1000) % MM or value != int(value):
        return None
    whole, rest = divmod(abs(int(value)), MM)
    return f"{'-' if value < 0 else ''}{whole}.{rest:06d} mm"


def seconds(text: str) -> str | None:
    """The same time in seconds."""
    try:
        value = read(text, "time").exact
    except QuantityError:
        return None
    return None if value is None or value != int(value) else f"{int(value)} s"


def ounces(text: str) -> str | None:
    """The same gas pressure in ounces: sixteen to the psi."""
    if not text.strip().endswith("psi"):
        return None
    try:
        value = read(text, "pressure").exact
        psi = read("1 psi", "pressure").exact
    except QuantityError:
        return None
    if value is None or psi is None or (value / psi * 16).denominator != 1:
        return None
    return f"{value / psi * 16} oz"


def rewritten(node: Any, change: Callable[[str], str | None], path: tuple[str, ...] = ()) -> tuple[Any, int]:
    """Data with every text that `change` understands replaced, and how many there were."""
    if isinstance(node, dict):
        made, count = {}, 0
        for key, value in node.items():
            made[key], here = rewritten(value, change, (*path, key))
            count += here
        return made, count
    if isinstance(node, list):
        pairs = [rewritten(value, change, path) for value in node]
        return [pair[0] for pair in pairs], sum(pair[1] for pair in pairs)
    # a pipe's nominal size is no length, whatever it looks like
    if isinstance(node, str) and (path[:1], path[-1]) not in NOMINAL:
        other = change(node)
        if other is not None:
            return other, 1
    return node, 0


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: f"{path.parent.name}/{path.name}")
@pytest.mark.parametrize("change", [millimetres, seconds, ounces], ids=lambda change: change.__name__)
def test_units_change_no_verdict(path: Path, change: Callable[[str], str | None]) -> None:
    data = data_of(path)
    adopted = adopted_for(data, path.parent)
    other, count = rewritten(copy.deepcopy(data), change)
    assert count or change is ounces, "nothing was rewritten: the test would prove nothing"
    assert verdicts(judged(other, adopted)) == verdicts(judged(data, adopted))
