"""YAML files as they were read before, and what was checked whole, kept for the next run.

Most of what a short command does is reading the same rule files again. What is kept is the plain data of a group of
files as JSON, under a name made from the content of the files and of the code that reads them: whatever is edited has
another name, so nothing stale can be found. What was found wrong is never kept. A folder that cannot be written, or a
kept file that cannot be read, costs the time and nothing else.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from pathlib import Path

import yaml

from oktocover.reading._document import Data, Document
from oktocover.reading._text import decode, read_bytes
from oktocover.reading.nodes import read_yaml
from oktocover.reading.problems import InputProblems

FOLDER = "OKTOCOVER_CACHE"
"""The environment variable that names the folder; `none`: keep nothing."""
MOST_KEPT = 120
"""The files that stay; the oldest go first."""
SOUND = ".sound"


def read_yaml_group(paths: Sequence[Path], shown: Mapping[Path, str]) -> list[Document | InputProblems]:
    """The one document of each YAML file, or what is wrong with it; `shown` are the files' names in messages."""
    files = [shown.get(path, str(path)) for path in paths]
    contents = [_content(path, file) for path, file in zip(paths, files, strict=True)]
    whole = [one for one in contents if isinstance(one, bytes)]
    kept = _place(whole, _reader(), ".json") if len(whole) == len(files) else None
    data = _kept(kept, len(files)) if kept else None
    if data is not None:
        return [Document(one, file, text, None) for one, file, text in zip(data, files, whole, strict=True)]
    found = [_read(one, file) for one, file in zip(contents, files, strict=True)]
    read = [one.data for one in found if isinstance(one, Document)]
    if kept and len(read) == len(found):
        with contextlib.suppress(OSError, ValueError, RecursionError):
            _keep(kept, json.dumps(read, ensure_ascii=False, separators=(",", ":")))
    return found


def _content(path: Path, file: str) -> bytes | InputProblems:
    try:
        return read_bytes(path, file)
    except InputProblems as error:
        return error


def _read(content: bytes | InputProblems, file: str) -> Document | InputProblems:
    if isinstance(content, InputProblems):
        return content
    try:
        return read_yaml(decode(content, file), file)
    except InputProblems as error:
        return error


@cache
def _reader() -> bytes:
    """What the code that reads is: another version of it reads anew."""
    made = hashlib.sha256(yaml.__version__.encode())
    for path in sorted(Path(__file__).parent.glob("*.py")):
        made.update(path.read_bytes())
    return made.digest()


@cache
def _engine() -> bytes:
    """Which code this is: the names, sizes and days of its files."""
    made = hashlib.sha256(_reader())
    for path, size, when in sorted(_sources(str(Path(__file__).parents[1]))):
        made.update(f"{path}\0{size}\0{when}\n".encode())
    return made.digest()


def _sources(folder: str) -> Iterator[tuple[str, int, int]]:
    """The source files below a folder: name, size, day. As cheap as it can be: every run asks."""
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir():
                yield from _sources(entry.path)
            elif entry.name.endswith(".py"):
                about = entry.stat()
                yield entry.path, about.st_size, about.st_mtime_ns


def found_sound(parts: Iterable[str]) -> bool:
    """Whether all that `parts` say was checked before by this very code, and nothing was wrong."""
    place = _sound(parts)
    return place is not None and place.exists()


def note_sound(parts: Iterable[str]) -> None:
    """Note that all that `parts` say was checked and that nothing is wrong."""
    place = _sound(parts)
    if place is not None:
        with contextlib.suppress(OSError):
            _keep(place, "")


def _sound(parts: Iterable[str]) -> Path | None:
    try:
        return _place([part.encode() for part in parts], _engine(), SOUND)
    except (OSError, UnicodeError):
        return None


def _place(contents: Sequence[bytes], code: bytes, suffix: str) -> Path | None:
    folder = os.environ.get(FOLDER, "").strip()
    if folder == "none" or not contents:
        return None
    try:
        root = Path(folder) if folder else Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
    except RuntimeError:  # no home
        return None
    made = hashlib.sha256(code)
    for content in contents:
        made.update(hashlib.sha256(content).digest())
    return root / "oktocover" / f"{made.hexdigest()}{suffix}"


def _kept(path: Path, count: int) -> list[Data] | None:
    try:
        found = json.loads(path.read_bytes())
    except (OSError, ValueError, RecursionError):
        return None
    return found if isinstance(found, list) and len(found) == count else None


def _keep(path: Path, text: str) -> None:
    """Write a kept file in one step, so that no run reads half of it; make room for it."""
    import tempfile  # a run that keeps nothing new needs none of it

    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    others = sorted(path.parent.glob("*.*"), key=lambda one: one.stat().st_mtime)
    for old in others[: max(0, len(others) - MOST_KEPT + 1)]:
        old.unlink(missing_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, suffix=".new")
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as stream:
            stream.write(text)
        os.replace(name, path)
    except OSError:
        Path(name).unlink(missing_ok=True)
        raise
