"""A new user's first minutes: the package installed from a copy of the repository, used from an empty folder."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import sysconfig
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SHIPPED = ("engine", "rulesets", "schemas", "examples", "pyproject.toml", "README.md", "LICENSE")


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The `oktocover` command of a new environment. Slow: a build and an environment. What the package needs is taken
    from the environment that runs the tests, so that nothing is fetched."""
    folder = tmp_path_factory.mktemp("new")
    for name in SHIPPED:
        source, target = ROOT / name, folder / "copy" / name
        if source.is_dir():
            shutil.copytree(source, target, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            target.parent.mkdir(exist_ok=True)
            shutil.copy(source, target)
    subprocess.run([sys.executable, "-m", "venv", folder / "venv"], check=True, capture_output=True)
    python = folder / "venv" / "bin" / "python"
    if not python.exists():
        pytest.skip("this system lays out environments in another way")
    site = next((folder / "venv" / "lib").glob("python*/site-packages"))
    (site / "needed.pth").write_text(_without_this_package(folder), encoding="utf-8")
    made = subprocess.run(
        [python, "-m", "pip", "install", "--no-index", "--no-build-isolation", "--no-deps", folder / "copy"],
        capture_output=True,
        text=True,
    )
    if made.returncode:
        pytest.skip(f"pip cannot build here without a network: {made.stderr[-300:]}")
    return folder / "venv" / "bin" / "oktocover"


def _without_this_package(folder: Path) -> str:
    """A folder with links to all that is installed for the tests, this package left out."""
    needed = folder / "needed"
    needed.mkdir()
    for path in Path(sysconfig.get_paths()["purelib"]).iterdir():
        if "oktocover" not in path.name and path.suffix != ".pth":
            os.symlink(path, needed / path.name)
    return f"{needed}\n"


def call(command: Path, *args: str, cwd: Path, typed: str = "") -> subprocess.CompletedProcess[str]:
    env = {key: value for key, value in os.environ.items() if key not in ("PYTHONPATH", "VIRTUAL_ENV")}
    return subprocess.run([command, *args], capture_output=True, text=True, cwd=cwd, env=env, input=typed, timeout=120)


def test_from_an_empty_folder_everything_is_found(installed: Path, tmp_path: Path) -> None:
    version = call(installed, "--version", cwd=tmp_path)
    assert version.returncode == 0 and "oktocover" in version.stdout
    where = call(installed.parent / "python", "-c", "import oktocover; print(oktocover.__file__)", cwd=tmp_path)
    assert str(installed.parents[1]) in where.stdout, "the copy is what runs, not the checkout"
    begun = call(installed, "start", cwd=tmp_path, typed="Studio\nTallow Creek\n" + "\n" * 10)
    assert begun.returncode == 0, begun.stderr
    first = call(installed, "check", "site.yaml", cwd=tmp_path)
    assert first.returncode == 3, first.stderr
    assert "Tallow Creek" in first.stdout
    example = call(installed, "check", "ceramics-studio", "--today", "2026-06-15", cwd=tmp_path)
    assert example.returncode == 1, example.stderr
    rules = call(installed, "rules", "--section", "210.52", cwd=tmp_path)
    assert rules.returncode == 0 and "nec." in rules.stdout
    proof = call(installed, "prove", "ifgc.test-hold", cwd=tmp_path)
    assert proof.returncode == 0, proof.stdout + proof.stderr
    assert sorted(path.name for path in tmp_path.iterdir()) == ["site.yaml"]
