"""The papers of a job: approved plans and what differs from them, who did the work, what is ready on the day, the
inspector's corrections.

Nothing here is a fact of the building and no rule reads it; the inspection card does. There is no field for a key, a
code or anything else that opens a door.
"""

import datetime
from collections.abc import Iterator
from typing import TYPE_CHECKING

from pydantic import Field

from oktocover.site.base import Date, Node, SiteProblem, YesNo, means

if TYPE_CHECKING:
    from oktocover.site.root import Site


class ApprovedPlans(Node):
    """The set of plans the office has approved, which has to be on the site."""

    set: str | None = means("the set as it is marked: sheets A-1 to E-2, second revision", by="paper")
    date: Date | None = means("the day of the office's approval", by="paper")
    built_as_shown: YesNo | None = means("yes: nothing is built otherwise than these plans show it")


class Difference(Node):
    """One thing that was built otherwise than the approved plans show it."""

    what: str = Field(description="what is otherwise, in a few words")
    element: str | None = Field(default=None, description="id of the element it is about, if one")
    approved_in_writing: YesNo | None = means("whether the office approved the change in writing", by="paper")
    date: Date | None = means("the day of that approval", by="paper")


class WorkBy(Node):
    """Who did the work of one trade, and on which right to do it."""

    as_: str | None = Field(
        default=None, alias="as", description="what the place calls whoever may do it: registered, licensed, owner"
    )
    by: str | None = Field(default=None, description="who did it (initials)")
    licence: str | None = means("number of the licence or registration", by="paper")
    affidavit: Date | None = means("the day the owner's affidavit was handed in", by="paper")


class NotHeld(Node):
    """The office's word that it does not come for one visit on this job."""

    office: str = Field(description="the office that said so, not a person's name")
    day: Date
    why: str | None = None


class Correction(Node):
    """One line of an inspector's written corrections."""

    visit: str = Field(description="the visit at which it was written")
    what: str = Field(description="the words as they stand on the slip")
    number: str | None = Field(default=None, description="the office's own number of the slip or the line")
    section: str | None = Field(default=None, description="the section the slip names")
    element: str | None = Field(default=None, description="id of the element, the room or the wall it is about")
    given: Date = Field(description="the day it was written")
    done: Date | None = means("the day the work was put right")
    how_shown: str | None = means("how it is shown to the office: seen at the next visit, photo handed in")
    rule: str | None = Field(
        default=None, description="the rule here that would have caught it, as `oktocover rules` names it"
    )


def problems(site: "Site") -> Iterator[SiteProblem]:
    """What cannot be so in the papers of a job."""
    for index, one in enumerate(site.corrections):
        if one.done is not None and one.done < one.given:
            yield SiteProblem(
                ("corrections", index, "done"),
                f"it was put right on {one.done}, before it was written on {one.given}",
                f"a day from {one.given} on",
                "correct one of the two days",
            )
    for index, difference in enumerate(site.differs_from_plans):
        if difference.date is not None and difference.approved_in_writing is False:
            yield SiteProblem(
                ("differs from plans", index, "date"),
                "a day of approval is written, and that it was not approved",
                "approved in writing: yes, or no date",
                "take one of the two lines out",
            )
    if site.differs_from_plans and site.approved is not None and site.approved.built_as_shown:
        yield SiteProblem(
            ("approved", "built as shown"),
            "everything is built as the plans show it, and something differs from the plans",
            "built as shown: no, or no line under differs from plans",
            "take one of the two out",
        )


def days(site: "Site") -> Iterator[tuple[tuple[str | int, ...], datetime.date | None]]:
    """Every day written in the papers, with its path: none of them can lie in the future."""
    if site.approved is not None:
        yield ("approved", "date"), site.approved.date
    for index, difference in enumerate(site.differs_from_plans):
        yield ("differs from plans", index, "date"), difference.date
    for trade, work in site.work_by.items():
        yield ("work by", trade, "affidavit"), work.affidavit
    for visit, said in site.not_held.items():
        yield ("not held", visit, "day"), said.day
    for index, one in enumerate(site.corrections):
        yield ("corrections", index, "given"), one.given
        yield ("corrections", index, "done"), one.done
