"""The command line as a person meets it: in an empty folder, with its exit code and both streams."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path

import pytest

from oktocover.cli.main import main

TODAY = "2026-06-15"
ROOT = Path(__file__).resolve().parents[2]
LIMITED = """
import resource, sys
held = int(open("/proc/self/statm").read().split()[0]) * resource.getpagesize() if sys.platform == "linux" else 0
from oktocover.cli.main import main
if held:
    resource.setrlimit(resource.RLIMIT_AS, (held + 500_000_000, held + 500_000_000))
main()
"""
"""The whole program in a process that may hold little more than an idle one: a bomb would end it with a traceback."""


@dataclass
class Ran:
    """What one command did."""

    code: int
    out: str
    err: str
    seconds: float


Run = Callable[..., Ran]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """`run("check", "site.yaml")` in an empty folder; --today is given to the commands that know it."""
    monkeypatch.chdir(tmp_path)

    def call(*args: str, typed: str = "", today: bool = True) -> Ran:
        out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", write_through=True) for _ in range(2))
        monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
        dated = ["--today", TODAY] if today and args[:1] in (("check",), ("worksheet",)) else []
        begun = time.perf_counter()
        code: object = 0
        with redirect_stdout(out), redirect_stderr(err):
            try:
                main([*args, *dated])
            except SystemExit as stop:
                code = stop.code or 0
        assert isinstance(code, int)
        seconds = time.perf_counter() - begun
        told, said = (stream.buffer.getvalue().decode("utf-8") for stream in (out, err))  # type: ignore[attr-defined]
        return Ran(code, told, said, seconds)

    return call


@pytest.fixture
def process(tmp_path: Path) -> Callable[..., subprocess.CompletedProcess[bytes]]:
    """The command in a process of its own, for what only a process shows: its code, its bytes, its end."""

    def call(*args: str, env: dict[str, str] | None = None, limited: bool = False, cwd: Path | None = None,
             typed: bytes = b"") -> subprocess.CompletedProcess[bytes]:  # fmt: skip
        begin = ["-c", LIMITED] if limited else ["-m", "oktocover"]
        return subprocess.run(
            [sys.executable, *begin, *args],
            capture_output=True,
            cwd=cwd or tmp_path,
            env={**os.environ, **(env or {})},
            input=typed,
            timeout=120,
            check=False,
        )

    return call


def write(path: Path, text: str) -> Path:
    """Write a file, its folders too."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path
