"""'For a town' in rulesets/README.md keeps its word: its commands run as printed, its file loads and is proven."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SECTION = (ROOT / "rulesets" / "README.md").read_text("utf-8").partition("\n## For a town: from the ordinance to the file\n")[2]
WALK = SECTION.partition("\n## ")[0]


def blocks(language: str) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", WALK, re.S)


def run(line: str, folder: Path) -> subprocess.CompletedProcess[str]:
    name, *arguments = shlex.split(line)
    assert name == "oktocover", line
    return subprocess.run(
        [sys.executable, "-m", "oktocover", *arguments], cwd=folder, capture_output=True, text=True, encoding="utf-8",
        env={**os.environ, "PYTHONIOENCODING": "utf-8"}, timeout=120, check=False)


@pytest.fixture(scope="module")
def town(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the town's file, as it is printed block by block."""
    folder = tmp_path_factory.mktemp("town")
    (folder / "elk-fork.yaml").write_text("".join(blocks("yaml")), encoding="utf-8")
    return folder


def test_every_ability_has_an_example() -> None:
    text = "".join(blocks("yaml"))
    for part in ("set:", "add:", "duty gone", "ban gone", "permission gone", "unless:", "[gypsum board]", ".after:", "notice:",
                 "from:", "facts:", "not checked here:", "checked by:", "meant: yes", "approval:", "cases:"):  # fmt: skip
        assert part in text, part


def test_the_commands_run_as_printed(town: Path, tmp_path: Path) -> None:
    first, *others = [line for block in blocks("sh") for line in block.strip().splitlines()]
    ran = run(first, tmp_path)
    assert ran.returncode == 0 and (tmp_path / "elk-fork.yaml").is_file(), ran.stderr
    assert len(others) >= 6
    for line in others:
        ran = run(line, town)
        assert ran.returncode == 0, f"{line}\n{ran.stdout}{ran.stderr}"
        assert ran.stdout and not ran.stderr


def test_the_sentence_in_the_text_is_what_the_command_prints(town: Path) -> None:
    command = re.search(r"<!-- output: (.+?) -->", WALK)
    assert command
    assert blocks("text")[0] in run(command[1], town).stdout


def test_each_printed_change_is_told_and_proven(town: Path) -> None:
    proof = run("oktocover prove elk-fork.yaml", town).stdout
    page = " ".join(run('oktocover rules --jurisdiction elk-fork.yaml --against "model codes"', town).stdout.split())
    names = re.findall(r"^  ([a-z-]+):\n    cite:", "".join(blocks("yaml")), re.M)
    assert len(names) == 8
    for name in names:
        assert f"change {name}: " in proof, name
    assert "NOT PROVEN" not in proof
    for said in ("Gone: The gas test is written down in full (looser; duty gone:", "(looser; ban gone:",
                 "now without carbon dioxide (stricter;", "New: Meter out of sliding snow", "also enough: The office accepts",
                 "least thickness for gypsum board: 5/8 in, was 1/2 in", "'Rough electrical' comes after 'rough gas'"):  # fmt: skip
        assert said in page, said
