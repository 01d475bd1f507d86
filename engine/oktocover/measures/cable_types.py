"""What the standard of a type of cable says that its designation does not: metal and ground. Data of rulesets/."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from oktocover.data import data_dir
from oktocover.quantities import read
from oktocover.reading.nodes import read_yaml_file
from oktocover.site.designation import TYPES

FILE = "cable-types.yaml"
TOP = "cable types"


@dataclass(frozen=True, slots=True)
class CableType:
    """One type of cable as it is made."""

    name: str
    metal: str | None
    """Metal of its conductors when none is printed."""
    grounds: dict[int, int] | None
    """Size of the ground by that of the insulated conductors; empty: there is no wire; None: makers differ."""


@cache
def cable_types() -> dict[str, CableType]:
    """The types by their letters. Raises InputProblems when their file cannot be read."""
    data: Any = read_yaml_file(data_dir("rulesets") / FILE, f"rulesets/{FILE}").data
    found = {name: CableType(name, one.get("metal"), _grounds(one.get("ground"))) for name, one in data[TOP].items()}
    unknown = sorted(set(found) - set(TYPES))
    if unknown:
        raise ValueError(f"rulesets/{FILE}: no type of cable: {', '.join(unknown)}")
    return found


def _grounds(written: Any) -> dict[int, int] | None:
    if not isinstance(written, dict):
        return {} if written == "none" else None
    return {_size(size): _size(ground) for size, ground in written.items()}


def _size(text: str) -> int:
    value = read(text, "wire size").exact
    assert value is not None
    return int(value)
