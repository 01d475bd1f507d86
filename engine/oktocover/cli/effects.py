"""Whole sites under the rules of two places, for `oktocover rules --against PLACE --on SITE`."""

from __future__ import annotations

import contextlib
import datetime
from functools import reduce
from pathlib import Path

from oktocover.check import check, in_force
from oktocover.cli.common import site_path
from oktocover.data import data_dir
from oktocover.findings.checked import Checked
from oktocover.reading.problems import InputProblems, Problem
from oktocover.reading.site_file import SiteFile, make_site, named_place, site_documents
from oktocover.reports._layered import World
from oktocover.reports.effect import Effect, effect
from oktocover.rules.declared import declared_by
from oktocover.rules.declared_places import declared_for
from oktocover.rules.library import Library
from oktocover.site.declared import Declared, joined, speaking

EXAMPLES = "examples"
"""The word for the shipped sites below."""
SHIPPED = ("ceramics-studio/corrected.yaml", "ceramics-studio/site.yaml")


def sites(named: tuple[str, ...]) -> list[Path]:
    """The sites a person names; `examples` stands for the shipped studio, as corrected and as first walked."""
    found: list[Path] = []
    for name in named:
        if name != EXAMPLES:
            found.append(site_path(name))
            continue
        try:
            found += [path for one in SHIPPED if (path := data_dir(EXAMPLES) / one).is_file()]
        except FileNotFoundError:
            raise InputProblems(
                [Problem(None, "the examples are not shipped with this copy", do="name a site: --on site.yaml")]
            ) from None
    return found


def effects(now: World, before: World, named: tuple[str, ...], day: datetime.date) -> list[Effect]:
    """What turns on each site when the rules of `now` stand in place of those of `before`."""
    found = []
    for path in sites(named):
        declared = _declared(now, before, path)
        with speaking(declared):
            read = make_site(site_documents(path), _shown(path), day, declared)
            checked = [_check(world, read, path, day) for world in (now, before)]
            found.append(effect(checked[0], checked[1], now, before))
    return found


def _shown(path: Path) -> str:
    """A shipped example as people name it: ceramics-studio/site.yaml."""
    try:
        return str(path.relative_to(data_dir(EXAMPLES)))
    except (ValueError, FileNotFoundError):
        return str(path)


def _beside(path: Path) -> Path:
    return path if path.is_dir() else path.parent


def _declared(now: World, before: World, path: Path) -> Declared:
    """All that may stand in the site: by its own place, and by the two that are compared."""
    own, standards, _ = named_place(site_documents(path))
    parts = [declared_by(world.adopted.chain) for world in (now, before)]
    with contextlib.suppress(InputProblems):  # its own place is not what is asked about
        parts.append(declared_for(now.shelf, own, standards, _beside(path)))
    return reduce(joined, parts)


def _check(world: World, read: SiteFile, path: Path, day: datetime.date) -> Checked:
    """The site under the rules of a place, with the standards of its own job on top."""
    shelf: Library = world.shelf
    own = tuple(shelf.standard(name, _beside(path)) for name in read.site.permit.standards)
    adopted = shelf.adopt_chain((*world.adopted.chain, *own), world.adopted.place, own)
    return check(read, in_force(read, adopted), day, "all")
