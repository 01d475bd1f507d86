"""The two whole buildings in the short form: how much there is to write, and how much it stands for.

The bounds are the project's own: an evening's writing. A value is a scalar of the file; a cell of a table beside it is
one too.
"""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import pytest
import yaml

from oktocover.reading.short import expanded_text
from oktocover.reading.site_file import read_site, read_site_text
from oktocover.site.root import element_lists

EXAMPLES = Path(__file__).parents[2] / "examples"
WHOLE = [EXAMPLES / name / "corrected.yaml" for name in ("ceramics-studio", "small-house")]
TODAY = datetime.date(2026, 6, 15)
MOST_LINES, MOST_VALUES, LONGEST_LINE = 250, 1100, 190
SHORT = ("typicals", "framing", "rows", "tables", "assume")


def values(node: Any) -> int:
    """The scalars of plain data."""
    if isinstance(node, dict):
        return sum(map(values, node.values()))
    return sum(map(values, node)) if isinstance(node, list) else 1


def named(path: Path) -> str:
    return path.parent.name


def plain(path: Path) -> Any:
    return yaml.load(path.read_text("utf-8"), Loader=yaml.BaseLoader)


@pytest.mark.parametrize("path", WHOLE, ids=named)
def test_a_building_is_written_in_few_lines_and_values(path: Path) -> None:
    lines = path.read_text("utf-8").splitlines()
    data = plain(path)
    cells = [file for file in (data.get("tables") or {}).values() if isinstance(file, str)]
    assert not cells, "count the cells of a table as well"
    assert len(lines) <= MOST_LINES
    assert values(data) <= MOST_VALUES
    assert max(map(len, lines)) <= LONGEST_LINE


@pytest.mark.parametrize("path", WHOLE, ids=named)
def test_it_stands_for_several_times_as_much(path: Path) -> None:
    """What the reader writes out of it: a wall, a cable of a circuit and a box are written nowhere, and are there."""
    read = read_site(path, TODAY)
    assert values(read.expanded) > 2 * values(plain(path))
    assert not [key for key in SHORT if key in read.expanded]
    written = [read.site.cables[one].circuit for one in plain(path).get("cables") or {}]
    assert len(read.site.cables) > 20 and set(written) <= set(read.site.feeders)
    assert sum(len(getattr(read.site, name)) for name in element_lists()) > 200


@pytest.mark.parametrize("path", [*WHOLE, *(one.with_name("site.yaml") for one in WHOLE)], ids=lambda one: f"{named(one)}/{one.name}")
def test_its_long_form_is_the_same_site(path: Path) -> None:
    """The same facts, known in the same way; that they lead to the same findings is held where the forms are tested."""
    read = read_site(path, TODAY)
    text = expanded_text(read)
    whole = read_site_text(text, str(path), TODAY)
    assert whole.site == read.site and whole.known == read.known and expanded_text(whole) == text
    assert not read.warnings, "no statement has lapsed, no line about walls leaves one open"


@pytest.mark.parametrize("path", WHOLE, ids=named)
def test_every_fact_has_its_line(path: Path) -> None:
    """No fact of the long form is without a place, and none stands on the first line for want of a better one."""
    read = read_site(path, TODAY)
    for name in (field.replace("_", " ") for field in element_lists()):
        for one, facts in (read.expanded.get(name) or {}).items():
            for fact in facts:
                assert read.place((name, one, fact)).line > 3, (name, one, fact)
