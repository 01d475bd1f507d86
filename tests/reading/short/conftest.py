"""Short forms read from text, with the facts and the problems they lead to."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from oktocover import schemas
from oktocover.reading.problems import InputProblems
from oktocover.reading.site_file import SiteFile, read_site

TODAY = datetime.date(2026, 6, 15)
HEAD = """\
site: x
spaces:
  studio: {use: workshop, size: 18 ft x 17 ft, ceiling: 9 ft}
  store: {use: storage, size: 8 ft x 8 ft, ceiling: 9 ft}
"""
"""Four lines, so that what a test writes begins on line five."""


@pytest.fixture
def read(tmp_path: Path) -> Callable[..., SiteFile]:
    """Read HEAD and some text as a site; other files are given by name."""

    def call(text: str, files: dict[str, str] | None = None) -> SiteFile:
        for name, content in (files or {}).items():
            (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
            (tmp_path / name).write_bytes(content.encode("utf-8"))
        site = tmp_path / "site.yaml"
        site.write_text(HEAD + text, encoding="utf-8")
        return read_site(site, TODAY)

    return call


@pytest.fixture
def refused(read: Callable[..., SiteFile]) -> Callable[..., list[str]]:
    """Every problem of a site that is refused, `file:line` first, its lines joined by ' | '."""

    def call(text: str, files: dict[str, str] | None = None) -> list[str]:
        with pytest.raises(InputProblems) as caught:
            read(text, files)
        told = []
        for one in caught.value.problems:
            assert one.place is not None
            where = f"{Path(one.place.file).name}:{one.place.line}"
            parts = [one.message.replace(str(Path(one.place.file).parent) + "/", ""), one.expected, one.do]
            told.append(f"{where}: " + " | ".join(part for part in parts if part))
        return told

    return call


@pytest.fixture(scope="session")
def fits() -> Callable[[str], list[str]]:
    """What the schema of a site file finds wrong in HEAD with some text."""
    check = jsonschema.Draft202012Validator(schemas.site_schema())

    def call(text: str) -> list[str]:
        return [error.message for error in check.iter_errors(yaml.load(HEAD + text, Loader=yaml.BaseLoader))]

    return call


def where(read: SiteFile, *path: str | int) -> str:
    """`site.yaml:5` of a value."""
    place = read.place(path)
    return f"{Path(place.file).name}:{place.line}"


def shown(value: Any) -> Any:
    """A quantity as it was written, anything else as it is."""
    return getattr(value, "text", value)
