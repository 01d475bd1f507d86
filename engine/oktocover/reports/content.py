"""What a paper was made from: the name of the site file, a short sum of its content, the latest day written in it."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator
from pathlib import PurePath
from typing import Any, Final

from oktocover.reading.site_file import SiteFile
from oktocover.reports._plain import day

_DAYS: Final = frozenset({"day", "date", "signed", "given", "done", "added"})
_DATE: Final = re.compile(r"\d{4}-\d{2}-\d{2}")


def content_of(read: SiteFile) -> str:
    """`site.yaml, content 3f2a 91bc 77d0, written up to 13 June 2026`.

    The sum is of what is said, not of spaces, comments or the order of keys: the same sum on two papers means the same
    building was written. The day is the latest one under a key such as `day` or `signed`; none is told where none is.
    """
    sources = read.sources()
    text = json.dumps(sources, sort_keys=True, ensure_ascii=False, default=str)
    made = hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()
    groups = " ".join(made[at : at + 4] for at in (0, 4, 8))
    latest = max(_days(sources), default="")
    return f"{PurePath(read.shown).name}, content {groups}" + (f", written up to {day(latest)}" if latest else "")


def _days(data: Any) -> Iterator[str]:
    if isinstance(data, dict):
        for key, inner in data.items():
            text = str(inner)[:10]
            if key in _DAYS and _DATE.fullmatch(text):
                yield text
            else:
                yield from _days(inner)
    elif isinstance(data, list):
        for inner in data:
            yield from _days(inner)
