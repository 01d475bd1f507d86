"""The static types of rule expressions, and where the names in them come from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from oktocover.measures.registry import FactType, fact_type
from oktocover.quantities import Dimension, dimension

Form = Literal["quantity", "word", "truth", "date", "words", "quantities", "one", "many", "text", "any"]


class RuleError(ValueError):
    """Something in a rule file cannot stand; the reader adds the place."""

    def __init__(self, message: str, expected: str = "", do: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.expected = expected
        self.do = do


@dataclass(frozen=True, slots=True)
class Type:
    """What an expression gives."""

    form: Form
    dimension: Dimension | None = None
    words: tuple[str, ...] = ()
    kind: str = ""

    def __str__(self) -> str:
        if self.dimension is not None:
            return f"{'an' if self.dimension.name[0] in 'aeio' else 'a'} {self.dimension.name}"
        return {
            "any": "a number",
            "truth": "yes or no",
            "word": "a word",
            "words": "a list of words",
            "many": "a list",
            "one": f"a {self.kind}",
            "date": "a date",
            "text": "text",
        }.get(self.form, self.form)


TRUTH = Type("truth")
NUMBER = Type("quantity", dimension("number"))


def quantity(name: str) -> Type:
    """The type of a quantity of the named dimension."""
    return Type("quantity", dimension(name))


def of_fact(found: FactType) -> Type:
    """The type of a fact."""
    if found.form == "quantity":
        return Type("quantity", dimension(found.dimension), found.words)
    if found.form == "yes or no":
        return TRUTH
    if found.form in ("date", "moment"):
        return Type("date")
    if found.form in ("one", "many"):
        return Type(found.form, kind=found.kind)
    return Type("word" if found.form == "word" else "text", words=found.words)


def fact_of(kind: str, dotted: str) -> FactType | None:
    """The fact a dotted name means for a kind; the roots site, building and permit are always there."""
    first, _, rest = dotted.partition(".")
    if rest and first in ("site", "building", "permit"):
        return fact_type(first, rest)
    return fact_type(kind, dotted)
