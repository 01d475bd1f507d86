"""The README keeps its word: the printed screen is the real one, the example file loads, the commands exist."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

from oktocover.cli.main import COMMANDS
from oktocover.reading.site_file import read_site_text

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", README, re.S)


def test_the_screen_in_the_readme_is_what_the_command_prints() -> None:
    command = re.search(r"<!-- output: oktocover (.+?) -->", README)
    assert command
    run = subprocess.run(
        [sys.executable, "-m", "oktocover", *command.group(1).split()],
        cwd=ROOT, capture_output=True, text=True, encoding="utf-8", env={**os.environ, "PYTHONIOENCODING": "utf-8"})
    assert run.returncode == 1, run.stderr
    shown = blocks("text")[0]
    assert len(shown.splitlines()) > 30
    assert run.stdout.startswith(shown), "run: python tests/repository/test_readme.py"


def test_the_card_in_the_readme_is_what_the_command_prints(tmp_path: Path) -> None:
    """Of the site file that stands above it, written into an empty folder."""
    command = re.search(r"<!-- output: oktocover (card site.yaml .+?) -->", README)
    assert command
    site = next(block for block in blocks("yaml") if "corrections:" in block)
    (tmp_path / "site.yaml").write_text(site, encoding="utf-8")
    run = subprocess.run(
        [sys.executable, "-m", "oktocover", *command.group(1).split()],
        cwd=tmp_path, capture_output=True, text=True, encoding="utf-8", env={**os.environ, "PYTHONIOENCODING": "utf-8"})
    assert run.returncode == 1, run.stderr
    shown = blocks("text")[1]
    assert len(shown.splitlines()) > 20
    assert run.stdout.startswith(shown)


def test_the_site_in_the_readme_loads() -> None:
    site = next(block for block in blocks("yaml") if "spaces:" in block)
    assert read_site_text(site).site.spaces


def test_every_command_stands_in_the_readme() -> None:
    for name in COMMANDS:
        assert f"oktocover {name}" in README


def test_the_set_up_is_two_commands() -> None:
    (setup,) = blocks("sh")
    assert len(setup.strip().splitlines()) == 2


def refresh() -> None:
    """Put the real screen into the README."""
    command = re.search(r"<!-- output: oktocover (.+?) -->", README)
    assert command
    run = subprocess.run([sys.executable, "-m", "oktocover", *command.group(1).split()], cwd=ROOT, capture_output=True, text=True)
    lines = run.stdout.splitlines()[:62]
    screen = "```text\n" + "\n".join(lines) + "\n```"
    (ROOT / "README.md").write_text(
        re.sub(r"```text\n.*?```", lambda _: screen, README, count=1, flags=re.S), encoding="utf-8")


if __name__ == "__main__":
    refresh()
