"""What every element of a site file shares: how its values are read, and what is known about each fact.

A value arrives as text, the way a person wrote it; the type of the field decides what it means. `None`
always means 'not recorded'. `none` and `no` are values that somebody wrote on purpose.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Literal, get_args

from pydantic import BaseModel, ConfigDict, Field, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import PydanticCustomError, core_schema

from oktocover import quantities

if TYPE_CHECKING:
    from pydantic.json_schema import JsonSchemaValue  # only for its name: the import costs as much as a trade

HOW_KNOWN = ("planned", "assumed", "typical", "told", "looked", "measured", "tested")
"""Ways of knowing a fact, weakest first."""

HowKnown = Literal["planned", "assumed", "typical", "told", "looked", "measured", "tested"]
FoundBy = Literal["tape", "look", "plate", "maker", "paper", "map", "test", "official"]

YES = ("yes", "true", "y")
NO = ("no", "false", "n")


@dataclass(frozen=True, slots=True)
class SiteProblem:
    """One impossibility, with the path of the value in the site file."""

    path: tuple[str | int, ...]
    message: str
    expected: str = ""
    do: str = ""
    warning: bool = False


def _custom(kind: str, message: object, **context: Any) -> PydanticCustomError:
    """An error whose sentence is shown as it stands (braces in user text must not be filled in)."""
    return PydanticCustomError(kind, "{message}", {"message": message, **context})


class _Refused:
    """Why a text is no quantity, found out when it is asked."""

    def __init__(self, text: str, dimension: str) -> None:
        self.text, self.dimension = text, dimension

    @cached_property
    def parts(self) -> dict[str, str]:
        """What is said of it: message, expected, suggestion."""
        try:
            quantities.read(self.text, self.dimension)
        except quantities.QuantityError as error:
            forms, near = ", ".join(error.forms), error.suggestion or ""
            return {"message": str(error), "expected": forms, "suggestion": near}
        raise AssertionError(f"'{self.text}' can be read")


@dataclass(frozen=True, slots=True)
class _Said:
    """One part of it, as text."""

    of: _Refused
    part: str

    def __str__(self) -> str:
        return self.of.parts[self.part]

    def __bool__(self) -> bool:
        return bool(str(self))


@dataclass(frozen=True, slots=True)
class Amount:
    """Marks a field as a quantity of one dimension, read from trade notation."""

    dimension: str

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        return {"type": "string", "amount": self.dimension}

    def read(self, value: Any) -> quantities.Quantity:
        """Return the quantity `value` says, or refuse with the accepted forms."""
        if isinstance(value, quantities.Quantity):
            return value
        if not isinstance(value, str):
            raise _custom("not_text", f"a {self.dimension} was expected here, not a list or a mapping")
        found = quantities.readable(value, quantities.dimension(self.dimension))
        if found is None:
            # a word may stand in many of these fields: the sentence is made only if somebody reads it
            why = _Refused(value, self.dimension)
            raise _custom(
                "quantity",
                _Said(why, "message"),
                expected=_Said(why, "expected"),
                suggestion=_Said(why, "suggestion"),
            )
        return found


class Apart(Amount):
    """A length that may be written with `apart` behind it: at most 4 ft apart."""

    def read(self, value: Any) -> quantities.Quantity:
        """Return the length `value` says. `every 8 ft` is refused: it is what was meant, not the widest gap."""
        if not isinstance(value, str):
            return super().read(value)
        text = value.strip().removesuffix("apart").rstrip()
        if text.lower().startswith("every "):
            rest = text[len("every ") :].strip()
            said = f"'{value.strip()}' says what was meant; the widest gap is wanted: write at most {rest} apart"
            raise _custom(
                "quantity", said, expected="at most 4 ft apart, 3 ft 6 in", suggestion=f"at most {rest} apart"
            )
        return super().read(text)


@dataclass(frozen=True, slots=True)
class Reads:
    """Marks a field that a plain reader function turns from text into its value."""

    name: str
    reader: Callable[[str], Any]
    schema: tuple[tuple[str, Any], ...] = (("type", "string"),)

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        return {name: list(part) if isinstance(part, tuple) else part for name, part in self.schema}

    def read(self, value: Any) -> Any:
        """Return what `reader` makes of the text, its refusal as a field error."""
        if not isinstance(value, str):
            raise _custom("not_text", f"{self.name} was expected here, not a list or a mapping")
        try:
            return self.reader(value)
        except ValueError as error:
            raise _custom("reader", str(error)) from None


def exact_of(value: Any) -> quantities.Number | None:
    """The number of an exact quantity; None for a bound, a word, or what nobody recorded."""
    return value.exact if isinstance(value, quantities.Quantity) else None


def read_yes_no(text: str) -> bool:
    """`yes` or `no`, nothing else: a blank is not a no."""
    word = text.strip().lower()
    if word in YES:
        return True
    if word in NO:
        return False
    raise ValueError(f"'{text}' is neither yes nor no: write yes, no, or leave the line out if nobody knows")


@dataclass(frozen=True, slots=True)
class RefTo:
    """Marks text as the id of another element; `kind` says of which kind (or kinds)."""

    kinds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WallName:
    """Marks text as one side of a wall: `room.wall`, as seen from inside the room."""


Length = Annotated[quantities.Quantity, Amount("length")]
Spacing = Annotated[quantities.Quantity, Apart("length")]
"""The widest gap between two of a kind."""
Area = Annotated[quantities.Quantity, Amount("area")]
Volume = Annotated[quantities.Quantity, Amount("volume")]
Pressure = Annotated[quantities.Quantity, Amount("pressure")]
HeatRate = Annotated[quantities.Quantity, Amount("heat rate")]
Duration = Annotated[quantities.Quantity, Amount("time")]
Temperature = Annotated[quantities.Quantity, Amount("temperature")]
Voltage = Annotated[quantities.Quantity, Amount("voltage")]
Current = Annotated[quantities.Quantity, Amount("current")]
Power = Annotated[quantities.Quantity, Amount("power")]
Flow = Annotated[quantities.Quantity, Amount("flow")]
Count = Annotated[quantities.Quantity, Amount("number")]
Share = Annotated[quantities.Quantity, Amount("share")]
AirChanges = Annotated[quantities.Quantity, Amount("air changes")]
AirChanges50 = Annotated[quantities.Quantity, Amount("air changes at 50 Pa")]
WireSize = Annotated[quantities.Quantity, Amount("wire size")]
PipeSize = Annotated[quantities.Quantity, Amount("pipe size")]
YesNo = Annotated[bool, Reads("yes or no", read_yes_no, (("enum", ("yes", "no", True, False)),))]
Date = Annotated[
    datetime.date,
    Reads("a date", quantities.read_date, (("type", "string"), ("pattern", r"^\d{4}-\d{2}-\d{2}$"))),
]
Moment = Annotated[
    datetime.datetime,
    Reads("a day and a clock time", quantities.read_moment, (("type", "string"), ("examples", ("2026-05-03 9:05",)))),
]
WallSide = Annotated[str, WallName()]


def means(text: str, by: FoundBy = "look", unless: str = "") -> Any:
    """A fact that may stay unrecorded: what it means, and how it is found out.

    `unless` names a value that needs no finding out (shown in the field's description only).
    """
    return Field(default=None, description=text + unless, json_schema_extra={"found by": by})


def spaced(name: str) -> str:
    """The key a person writes for a field: words with spaces."""
    return name.rstrip("_").replace("_", " ")


class Node(BaseModel):
    """Any mapping of a site file: unknown keys are refused, nothing is changed once read."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        alias_generator=spaced,
        populate_by_name=False,
        arbitrary_types_allowed=True,
        defer_build=True,
    )


SAID_OF_ENTRY = ("known", "added", "note", "photos")
"""Fields of every element that are said of its entry; no rule reads them as facts of the thing."""


class Element(Node):
    """One thing in the building that has an id.

    Subclasses set `kind` (one word or more, snake_case, as rules say it), `plural` (the site file's list) and
    `system` (the described system it belongs to, if any).
    """

    kind: ClassVar[str]
    plural: ClassVar[str]
    system: ClassVar[str | None] = None
    short_keys: ClassVar[tuple[str, ...]] = ("typical",)
    """Keys of short forms that may stand in an entry; no fact of the thing."""

    known: HowKnown | None = Field(
        default=None, description="how the facts of this entry are known, where a fact does not say it itself"
    )
    added: Date | None = Field(
        default=None,
        description="the day it came into the building, where that is after a visit was signed: its own questions open again",
    )
    note: str | None = Field(default=None, description="anything worth writing down; no rule reads it")
    photos: list[str] | None = Field(default=None, description="names of photos; a photo is evidence, never a fact")


class OnWall(Element):
    """An element with a place on a wall, as a tape gives it."""

    wall: WallSide | None = means("which wall: room.wall, seen from inside the room")
    at: Length | None = means(
        "distance of its left edge (or its centre, for a box) from the wall's left end, seen from inside the room",
        by="tape",
    )
    height: Length | None = means("height above the floor", by="tape")


def words_of(annotation: Any) -> tuple[str, ...] | None:
    """The words a `Literal[...]` (possibly `| None`) admits, or None when the field is not a word."""
    if getattr(annotation, "__origin__", None) is Literal:
        return tuple(str(word) for word in get_args(annotation))
    found: tuple[str, ...] = ()
    for part in get_args(annotation):
        if getattr(part, "__origin__", None) is Literal:
            found += tuple(str(word) for word in get_args(part))
    return found or None
