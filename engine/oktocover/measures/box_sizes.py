"""Volumes of unmarked metal boxes by their trade size. Data of rulesets/."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

from oktocover.data import data_dir
from oktocover.quantities import Number, read
from oktocover.reading.nodes import read_yaml_file

FILE = "box-sizes.yaml"
TOP = "box sizes"
SECTION = "Table 314.16(A)"


@cache
def box_sizes() -> dict[str, Number]:
    """Volume (nm3) by trade size. Raises InputProblems when the file cannot be read."""
    data: Any = read_yaml_file(data_dir("rulesets") / FILE, f"rulesets/{FILE}").data
    return {_plain(size): _volume(text) for size, text in data[TOP]["volumes"].items()}


def volume_of(trade_size: str) -> Number | None:
    """Volume (nm3) of a box of this trade size, `4 x 1-1/2 square`; None where the table has no such box."""
    return box_sizes().get(_plain(trade_size))


def _plain(size: str) -> str:
    """One spelling of a size: `4 in x 1-1/2 in square` and `4x1-1/2 Square` are one; a round box is as an octagon."""
    words = re.sub(r"\s*\b(?:in|inch|inches)\b\.?|\"", "", size.lower()).replace("\u00d7", "x")
    return " ".join(re.sub(r"(?<=\d)\s*x\s*(?=\d)", " x ", words).split()).replace("round", "octagon")


def _volume(text: str) -> Number:
    value = read(text, "volume").exact
    assert value is not None
    return value
