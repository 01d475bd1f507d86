"""All short forms of a site, in the order in which each can build on those before it."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING, Any

from oktocover.reading.problems import Problem
from oktocover.reading.short.assumptions import expand_assumptions
from oktocover.reading.short.chains import expand_chains
from oktocover.reading.short.classes import Classes
from oktocover.reading.short.places import expand_places
from oktocover.reading.short.rows import expand_rows
from oktocover.reading.short.several import expand_several
from oktocover.reading.short.statements import expand_statements
from oktocover.reading.short.tables import expand_tables
from oktocover.reading.short.typicals import expand_typicals, take_heads, use_heads, use_typicals
from oktocover.reading.short.work import Work

if TYPE_CHECKING:
    from oktocover.reading.site_file import SiteFile


def expand(
    data: dict[str, Any], read: SiteFile, problems: list[Problem], today: datetime.date | None = None
) -> dict[str, Any]:
    """The long form of `data`. What is wrong goes to `problems`; `read` learns where each value was written."""
    found: list[Problem] = []
    work = Work(data, read, found, today or datetime.date.today())
    expand_several(work)
    heads = take_heads(work)
    walls = Classes(work)
    expand_rows(work)
    expand_tables(work)
    expand_places(work)
    use_heads(work, heads)
    typicals = expand_typicals(work)
    expand_places(work, nearest=True)
    walls.make()
    use_typicals(work, typicals)
    walls.fill()
    expand_chains(work)
    expand_statements(work)
    expand_assumptions(work)
    # a statement has lapsed over a row that could not be read: the row is what has to be put right
    faulty = any(not one.warning for one in found)
    problems.extend(one for one in found if not (faulty and one.warning))
    return work.data
