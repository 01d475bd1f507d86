"""Files that stand beside a site and are no part of it: what is set aside, the rules it was pinned to, answers."""

from __future__ import annotations

from pathlib import Path

SET_ASIDE = "set-aside.yaml"
PINNED = "pinned-rules.yaml"
ANSWERS = "answers"
"""The names of files of answers from the field begin so, as the field sheet saves them."""
SITE_NAMES = ("site.yaml", "site.yml")


def companion(site: Path, name: str) -> Path:
    """Where a companion of a site stands: in the folder of a site of several files, beside a `site.yaml`.

    Another file has its own, so that sites of one folder do not share one: `shop.yaml` has `shop.set-aside.yaml`.
    """
    if site.is_dir():
        return site / name
    return site.with_name(name if site.name in SITE_NAMES else f"{site.stem}.{name}")


def is_companion(path: Path) -> bool:
    """Whether a file of a folder is such a companion by its name."""
    named = any(path.name == name or path.name.endswith(f".{name}") for name in (SET_ASIDE, PINNED))
    return named or is_answers(path)


def is_answers(path: Path) -> bool:
    """Whether a file is one of answers by its name."""
    return path.stem == ANSWERS or path.name.startswith(f"{ANSWERS}-")
