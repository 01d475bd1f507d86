"""The plan of a site that is still being written out, as far as its rooms can be read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from pydantic import ValidationError

from oktocover.reading.short.work import Work, how_known, value_of, weakest
from oktocover.site.building import Level, Looked, Space
from oktocover.site.plan import Plan
from oktocover.site.root import Site

_PLANNED = ("level", "use", "outline", "size", "corner", "walls")
"""Facts of a space on which the plan rests."""


def drawn(work: Work, rooms: Iterable[str]) -> str:
    """How well it is known where some rooms are, and that they are rooms."""
    spaces = work.data.get("spaces")
    facts = [spaces.get(room) for room in rooms] if isinstance(spaces, dict) else []
    ways = [how_known(work, one, fact) for one in facts if isinstance(one, dict) for fact in _PLANNED if fact in one]
    return weakest("measured", *ways)


def plan_of(work: Work) -> Plan:
    """The plan of the rooms as far as they can be read; a room that cannot be read is one without an outline."""
    spaces = work.data.get("spaces")
    read = {name: _space(facts) for name, facts in spaces.items()} if isinstance(spaces, dict) else {}
    levels = work.data.get("levels")
    named = {name: Level() for name in levels} if isinstance(levels, dict) else {}
    said = list(_whole(work, "levels", len(named)))
    return Plan(Site.model_validate({"levels": named, "spaces": read, "looked": said}))


def _space(facts: Any) -> Space:
    plain = {key: value_of(facts.get(key)) for key in _PLANNED} if isinstance(facts, dict) else {}
    try:
        return Space.model_validate({key: value for key, value in plain.items() if value is not None})
    except ValidationError:
        return Space()


def spaces_whole(work: Work) -> bool:
    """Whether somebody has said, of the spaces that there are, that these are all of them."""
    spaces = work.data.get("spaces")
    return any(_whole(work, "spaces", len(spaces) if isinstance(spaces, dict) else 0))


def _whole(work: Work, name: str, number: int) -> Iterator[Looked]:
    """The statements that a list is whole in the whole building, as far as they still speak of what is there."""
    looked = work.data.get("looked")
    for said in looked if isinstance(looked, list) else ():
        if not isinstance(said, dict) or said.get("list") != name:
            continue
        try:
            read = Looked.model_validate({key: value for key, value in said.items() if value is not None})
        except ValidationError:
            continue
        count = read.count.exact if read.count is not None else number
        if read.whole and read.in_ is None and count == number:
            yield read
