"""A rule whose stage is no visit would never be asked: it is refused, with the nearest visit."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from oktocover.data import data_dir
from oktocover.reading.problems import InputProblems
from oktocover.rules.library import Library


def test_a_stage_that_is_no_visit_is_refused_with_its_line(tmp_path: Path) -> None:
    root = tmp_path / "rulesets"
    shutil.copytree(data_dir("rulesets"), root)
    file = root / "ifgc" / "2021" / "gas" / "gas-test.yaml"
    file.write_text(file.read_text().replace("stage: gas pressure test", "stage: gas presure test"))
    with pytest.raises(InputProblems) as refused:
        Library(root).adopt("model codes", []).rules.check()
    text = str(refused.value)
    assert "there is no visit 'gas presure test'" in text
    assert "did you mean 'gas pressure test'?" in text
    assert "gas-test.yaml:" in text


def test_a_place_that_lies_in_itself_is_refused(tmp_path: Path) -> None:
    for one, other in (("a", "b"), ("b", "a")):
        (tmp_path / f"{one}.yaml").write_text(f"place: {one}\nin: {other}.yaml\nadopts: {{gas: {{book: ifgc 2021}}}}\n")
    with pytest.raises(InputProblems, match="a place lies in itself: a in b in a"):
        Library().adopt("a.yaml", [], tmp_path)
