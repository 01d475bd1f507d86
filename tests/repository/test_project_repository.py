"""The example of a project's repository keeps its word: its commands, its hooks and its workflow run as they stand."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import yaml

ROOT = Path(__file__).resolve().parents[2]
EXAMPLE = ROOT / "examples" / "project-repository"
TODAY = "2026-06-15"
WORKFLOW = yaml.safe_load((EXAMPLE / ".github" / "workflows" / "before-the-visit.yml").read_text("utf-8"))
STEPS: list[dict[str, Any]] = WORKFLOW["jobs"]["check"]["steps"]
HOOKS = {one["id"]: one for one in yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text("utf-8"))}
CONFIG = yaml.safe_load((EXAMPLE / ".pre-commit-config.yaml").read_text("utf-8"))
GIT = {"GIT_AUTHOR_NAME": "n", "GIT_AUTHOR_EMAIL": "n@example.org", "GIT_COMMITTER_NAME": "n",
       "GIT_COMMITTER_EMAIL": "n@example.org", "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_SYSTEM": os.devnull}  # fmt: skip


def shell(text: str, folder: Path, **more: str) -> subprocess.CompletedProcess[str]:
    """Run lines as a runner does: bash that stops at the first failure, with `oktocover` on the path and a fixed day."""
    tools = folder.parent / "tools"
    tools.mkdir(exist_ok=True)
    tool = tools / "oktocover"
    dated = f'case "$1" in check|set-aside|rules) set -- "$@" --today {TODAY};; esac'
    tool.write_text(f'#!/bin/bash\n{dated}\nexec {shlex.quote(sys.executable)} -m oktocover "$@"\n', encoding="utf-8")
    tool.chmod(0o755)
    env = {**os.environ, **GIT, "PATH": f"{tools}{os.pathsep}{os.environ['PATH']}", "PYTHONIOENCODING": "utf-8", **more}
    words = ["bash", "--noprofile", "--norc", "-eo", "pipefail", "-c", text]
    return subprocess.run(words, cwd=folder, env=env, capture_output=True, text=True, encoding="utf-8", timeout=120, check=False)


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """The example as a repository of its own, with a base branch on its origin."""
    folder = tmp_path / "project"
    shutil.copytree(EXAMPLE, folder)
    made = shell("git init -q -b main . && git add -A && git commit -qm site && git update-ref refs/remotes/origin/main HEAD", folder)
    assert made.returncode == 0, made.stderr
    return folder


def blocks() -> list[list[str]]:
    """The commands of each block of the README, without their comments."""
    text = (EXAMPLE / "README.md").read_text("utf-8")
    found = re.findall(r"```sh\n(.*?)```", text, re.S)
    return [[re.sub(r"\s{2,}#.*", "", line) for line in block.splitlines()] for block in found]


def test_the_first_day_ends_with_nothing_open_but_what_is_set_aside(project: Path) -> None:
    first, _ = blocks()
    (project / "set-aside.yaml").unlink()
    codes = [shell(line, project).returncode for line in first]
    assert codes == [1, 0, 0, 0]
    written = (project / "set-aside.yaml").read_text("utf-8")
    assert written.count("  - rule: ") == 1 and "element: GT-1" in written
    assert (project / "pinned-rules.yaml").is_file()


def test_the_comparisons_run(project: Path) -> None:
    _, second = blocks()
    shutil.copytree(EXAMPLE, project.parent / "base")
    site = project / "site.yaml"
    site.write_text(site.read_text("utf-8").replace("held: 16 min", "held: 9 min"), encoding="utf-8")
    ran = [shell(line, project) for line in second]
    assert [one.returncode for one in ran] == [1, 1, 1], [one.stderr for one in ran]
    assert "- **New because the job changed** (1)" in ran[0].stdout
    assert "**Still there** (1)" in ran[2].stdout, "the findings kept are those of the same site"


def test_what_is_set_aside_in_the_example_is_so(project: Path) -> None:
    ran = shell("oktocover check", project)
    assert ran.returncode == 0, ran.stdout
    assert "GAS PRESSURE TEST: nothing open but what is" in ran.stdout and "1 until framing (M.K.: " in ran.stdout
    assert "sets nothing aside any more" not in ran.stdout


def steps(project: Path) -> dict[str, subprocess.CompletedProcess[str]]:
    """Every step of the workflow that runs a command, but the set-up of the tool."""
    (project.parent / "step-summary.md").touch()
    more = {"GITHUB_BASE_REF": "main", "GITHUB_STEP_SUMMARY": str(project.parent / "step-summary.md")}
    runs = {one["name"]: one["run"] for one in STEPS if "run" in one and not one["run"].startswith("pip ")}
    return {name: shell(text, project, **more) for name, text in runs.items()}


def test_the_workflow_of_an_unchanged_site_goes_through(project: Path) -> None:
    ran = steps(project)
    assert len(ran) == 4 and {one.returncode for one in ran.values()} == {0}, [one.stderr for one in ran.values()]
    lines = (project.parent / "step-summary.md").read_text("utf-8").splitlines()
    assert 3 <= len(lines) <= 10 and lines[0].startswith("### Bicycle shed: gas pressure test, nothing open but what is set aside")
    assert "- **Still there** (0)" in lines and "M.K." not in "\n".join(lines)
    assert '"$schema"' in (project / "findings.sarif").read_text("utf-8")


def test_the_workflow_stops_at_what_a_change_brings_and_says_so_before(project: Path) -> None:
    site = project / "site.yaml"
    site.write_text(site.read_text("utf-8").replace("medium: air", "medium: oxygen"), encoding="utf-8")
    ran = steps(project)
    assert [one.returncode for one in ran.values()] == [0, 0, 0, 1]
    text = (project.parent / "step-summary.md").read_text("utf-8")
    assert "- **New because the job changed** (1)" in text and "**can hurt someone**" in text


def test_the_workflow_of_a_site_that_is_new_goes_through(project: Path) -> None:
    made = shell("git rm -q --cached site.yaml && git commit -qm none && git update-ref refs/remotes/origin/main HEAD", project)
    assert made.returncode == 0, made.stderr
    ran = steps(project)
    assert {one.returncode for one in ran.values()} == {0}
    assert "### Bicycle shed" in (project.parent / "step-summary.md").read_text("utf-8")


def test_nothing_of_a_pull_request_is_written_into_a_script() -> None:
    """A title or a branch name is text of a stranger: it comes to a script by a variable, never into its lines."""
    assert not [one for one in STEPS if "${{" in str(one.get("run"))]
    assert WORKFLOW["permissions"]["contents"] == "read"


def test_the_hooks_that_are_named_exist_and_run(project: Path) -> None:
    named = [hook for repo in CONFIG["repos"] for hook in repo["hooks"]]
    assert [one["id"] for one in named] == ["oktocover-read", "oktocover-check"] == list(HOOKS)
    for one in named:
        hook = HOOKS[one["id"]]
        assert {"id", "name", "entry", "language", "files", "pass_filenames"} <= set(hook)
        words = [*shlex.split(hook["entry"]), *one.get("args", hook.get("args", []))]
        assert shell(shlex.join(words), project).returncode == 0
        assert re.search(hook["files"], "site.yaml") and not re.search(hook["files"], "README.md")
    read = shlex.join([*shlex.split(HOOKS["oktocover-read"]["entry"]), *HOOKS["oktocover-read"]["args"]])
    (project / "site.yaml").write_text("site: x\nreceptacle: {}\n", encoding="utf-8")
    ran = shell(read, project)
    assert ran.returncode == 2 and "site.yaml:2:1" in ran.stderr


def test_the_readme_names_every_file() -> None:
    text = (EXAMPLE / "README.md").read_text("utf-8")
    files = (path.relative_to(EXAMPLE).as_posix() for path in EXAMPLE.rglob("*") if path.is_file())
    assert [name for name in files if f"`{name}`" not in text and name not in ("README.md", ".gitignore")] == []
