"""Rules that were once found sound are not compiled whole again; any edit, of anything they are made from, is seen."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

from oktocover.data import data_dir
from oktocover.measures import trades as trades
from oktocover.reading.kept import FOLDER
from oktocover.reading.problems import InputProblems
from oktocover.rules.library import Library
from oktocover.rules.limits import Schedule
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.unread import Unread

PLACE = """place: Elk Fork
adopts:
  houses: {book: irc 2021}
  gas: {book: ifgc 2021}
  wiring: {book: nec 2017}
changes:
  islands: {cite: Elk Fork Code 15.08, take: {nec.serves_island: nec 2020}}
"""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(FOLDER, str(tmp_path / "cache"))
    shutil.copytree(data_dir("rulesets"), tmp_path / "rules")
    (tmp_path / "rules" / "jurisdictions" / "elk-fork.yaml").write_text(PLACE, encoding="utf-8")
    return tmp_path / "rules"


def compiled(folder: Path, monkeypatch: pytest.MonkeyPatch) -> int:
    """How many rules are compiled when those about receptacles are asked for, by a library that knows nothing yet."""
    calls: list[str] = []
    inner = RuleSet.compile

    def counted(self: RuleSet, name: str, *args: object, **more: object) -> object:
        calls.append(name)
        return inner(self, name, *args, **more)  # type: ignore[arg-type]

    with monkeypatch.context() as patch:
        patch.setattr(RuleSet, "compile", counted)
        rules = Library(folder).adopt("elk fork", []).rules
        asked = list(rules.asked_of(lambda kind: kind == "receptacle"))
        rules.check()
    assert asked and all(rule.each == "receptacle" for rule in asked)
    return len(calls)


def test_the_second_time_only_what_is_asked_is_compiled(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert compiled(folder, monkeypatch) > 100
    assert compiled(folder, monkeypatch) < 40


@pytest.mark.parametrize(
    "file",
    ["jurisdictions/elk-fork.yaml", "ifgc/2021/gas/gas-test.yaml", "nec/2020/electrical/receptacles.yaml"],
    ids=["the place", "a book it adopts", "an edition it takes from"],
)
def test_an_edit_is_looked_through_anew(folder: Path, monkeypatch: pytest.MonkeyPatch, file: str) -> None:
    compiled(folder, monkeypatch)
    with (folder / file).open("a", encoding="utf-8") as stream:
        stream.write("# a word more\n")
    assert compiled(folder, monkeypatch) > 100


def test_a_mistake_is_told_every_time(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    compiled(folder, monkeypatch)
    wrong = folder / "ifgc" / "2021" / "gas" / "gas-test.yaml"
    text = wrong.read_text(encoding="utf-8")
    wrong.write_text(text.replace("each: gas_test", "each: gas_tset", 1), encoding="utf-8")
    for _ in range(2):
        rules = Library(folder).adopt("elk fork", []).rules
        list(rules.asked_of(lambda kind: kind == "receptacle"))
        assert any("gas_tset" in str(problem) for problem in rules.problems)
        with pytest.raises(InputProblems, match="gas_tset"):
            Library(folder).adopt("elk fork", []).rules.check()


def test_nothing_is_taken_for_sound_where_nothing_is_kept(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(FOLDER, "none")
    assert compiled(folder, monkeypatch) > 100
    assert compiled(folder, monkeypatch) > 100


def test_cells_of_a_sound_table_are_read_when_looked_at(folder: Path) -> None:
    whole = {name: _table(folder, name) for name in TABLES}
    rules = Library(folder).adopt("elk fork", []).rules
    rules.check()
    again = {name: _table(folder, name) for name in TABLES}
    for name in TABLES:
        first, second = whole[name], again[name]
        assert isinstance(_leaf(second.rows), Unread) and not isinstance(_leaf(first.rows), Unread), name
        assert second.types == first.types and second.type == first.type
        assert second.rows_read == first.rows_read
        assert _whole(second.rows) == first.rows, "looking at all of it reads all of it"


TABLES = ("nec.conductor_ampacity", "ifgc.pipe_flow", "nec.raceway_area")


def _table(folder: Path, name: str) -> Schedule:
    rules = Library(folder).adopt("elk fork", []).rules
    for rule in rules.rules():  # rows are read in the dimensions of the rules that look them up
        for node in rule.body.walk():
            assert node.require is None or node.require.leaves is not None
            assert all(one.leaves is not None for one in node.when.values()) and list(node.limits.values()) is not None
    made = rules.table(name)
    assert made is not None
    return made


def _leaf(rows: Any) -> Any:
    while not isinstance(rows, Unread) and isinstance(inner := next(iter(rows.values())), dict):
        if not all(isinstance(one, dict) for one in inner.values()) and not isinstance(inner, Unread):
            return inner
        rows = inner
    return rows


def _whole(rows: Any) -> Any:
    return {key: _whole(inner) for key, inner in rows.items()} if isinstance(rows, dict) else rows
