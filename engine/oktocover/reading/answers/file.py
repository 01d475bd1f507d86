"""The form of a file of answers."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field, ValidationError

from oktocover.reading._field_faults import field_problems
from oktocover.reading.nodes import Document
from oktocover.reading.problems import InputProblems, Problem
from oktocover.site.base import Count, Date, HowKnown, Node

Instead = Literal["cannot reach", "not there", "looks wrong", "ask"]


class Answer(Node):
    """One reading, or what was said where there could be none."""

    element: list[str] | str | None = Field(
        default=None,
        description="id of the element; a list of ids where one look said the same of all; described, permit, site ... for "
        "facts of the building",
    )
    list_: str | None = Field(
        default=None, alias="list", description="list of the site file, where an id stands in several"
    )
    fact: str | None = Field(default=None, description="the fact, as the site file writes it: height, size, source off")
    record: str | None = Field(default=None, description="the rule, with its item, that a look answers")
    whole: str | None = Field(default=None, description="the list of which somebody says whether it is whole")
    in_: str | None = Field(
        default=None, alias="in", description="the room of which `whole` speaks; left out: the building"
    )
    about: str | None = Field(
        default=None, description="something to write into the site by hand; it is repeated, no more"
    )
    value: Any = Field(default=None, description="the reading, as it would stand in the site file; left out: no answer")
    said: Instead | None = Field(
        default=None, description="what was said where no value could be, or beside a doubtful one"
    )
    note: str | None = Field(default=None, description="why, in a few words")
    known: HowKnown | None = Field(default=None, description="how it is known: looked, measured, tested, told")
    how: str | None = Field(default=None, description="the way of the look: 1-1/4 in block beside every one")
    count: Count | None = Field(default=None, description="how many there were, of a list or of one look at many")
    except_: list[str] | None = Field(default=None, alias="except", description="those a look at many was not true of")
    was: str | None = Field(default=None, description="the reading in the site that this one takes the place of")
    by: str | None = Field(default=None, description="initials, where it was somebody else than the file says")
    day: Date | None = Field(default=None, description="the day, where it was another than the file says")


class AnswersFile(Node):
    """The readings of one person on one day."""

    site: str | None = Field(default=None, description="the building, as its site file calls it")
    by: str = Field(description="initials of the person who took the readings")
    day: Date = Field(description="the day they were taken")
    visit: str | None = Field(default=None, description="the visit the sheet was made for")
    answers: list[Answer] = Field(description="the readings")


def read_answers(document: Document) -> AnswersFile:
    """A file of answers, checked by itself. Raises InputProblems with all that is wrong in it."""
    data = document.data
    if not isinstance(data, dict) or "answers" not in data:
        expected = "by: initials, day: 2026-05-03, answers: [{element: R-01, fact: height, value: 44 in}]"
        do = "write one with: oktocover fieldsheet --format yaml, or save one from its page"
        raise InputProblems([Problem(document.place(()), "this is no file of answers", expected, do)])
    plain = {**data, "answers": data["answers"] if data["answers"] is not None else []}
    try:
        return AnswersFile.model_validate(_without_blanks(plain))
    except ValidationError as error:
        raise InputProblems(field_problems(error, plain, document, AnswersFile)) from None


def _without_blanks(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _without_blanks(inner) for key, inner in value.items() if inner is not None}
    return [_without_blanks(inner) for inner in value] if isinstance(value, list) else value
