"""What cannot be true of a site on its face: impossible positions, rings in piping, dates in the future.

Each trade's module has a `problems(site)` of its own; this is the list of them.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable
from typing import Any

from oktocover.site import combustion, electrical, gas, paperwork, penetrations, plan_problems, venting, wiring_problems
from oktocover.site.base import Element, SiteProblem, spaced
from oktocover.site.root import Site, element_lists

Check = Callable[[Site], Iterable[Any]]

CHECKS: tuple[Check, ...] = (
    plan_problems.problems,
    electrical.problems,
    penetrations.problems,
    venting.problems,
    combustion.problems,
    gas.problems,
    wiring_problems.problems,
    paperwork.problems,
)
"""The check of each trade; each gives SiteProblems, or tuples of path, message, expected, do."""


def site_problems(site: Site, today: datetime.date | None = None) -> list[SiteProblem]:
    """Everything impossible in a site; `today` is the day of the check (no date of a look or test lies after it)."""
    found = [
        problem if isinstance(problem, SiteProblem) else SiteProblem(*problem)
        for check in CHECKS
        for problem in check(site)
    ]
    found.extend(_dates(site, today or datetime.date.today()))
    return found


def _dates(site: Site, today: datetime.date) -> Iterable[SiteProblem]:
    for index, said in enumerate(site.looked):
        if said.day > today:
            yield SiteProblem(
                ("looked", index, "day"), f"{said.day} is in the future: nobody has looked yet", f"a day up to {today}"
            )
    for index, record in enumerate(site.records):
        if record.day > today:
            yield SiteProblem(("records", index, "day"), f"{record.day} is in the future", f"a day up to {today}")
    for index, alternate in enumerate(site.alternates):
        if alternate.day > today:
            yield SiteProblem(("alternates", index, "day"), f"{alternate.day} is in the future", f"a day up to {today}")
    for path, day in paperwork.days(site):
        if day is not None and day > today:
            yield SiteProblem(path, f"{day} is in the future", f"a day up to {today}")
    for list_name in element_lists():
        for name, element in getattr(site, list_name).items():
            yield from _future_facts((spaced(list_name), name), element, today)
    for visit, signature in site.permit.visits.items():
        if signature.signed > today:
            yield SiteProblem(
                ("permit", "visits", visit, "signed"), f"{signature.signed} is in the future", f"a day up to {today}"
            )


def _future_facts(path: tuple[str, str], element: Element, today: datetime.date) -> Iterable[SiteProblem]:
    """Days and clock times of an element (a test's readings) that nobody can have read yet."""
    for field in type(element).model_fields:
        value = getattr(element, field)
        day = value.date() if isinstance(value, datetime.datetime) else value
        if isinstance(day, datetime.date) and day > today:
            yield SiteProblem((*path, spaced(field)), f"{day} is in the future", f"a day up to {today}")
