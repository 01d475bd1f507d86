"""Facts and kinds of things that a layer of rules declares: what a place asks about and the model does not know.

Which of them are in force belongs to one run (`speaking`), never to the process: a site of one town is not read with
the words of another.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from typing import Annotated, Any, ClassVar, Literal

from pydantic import create_model

from oktocover import quantities
from oktocover.site.base import Amount, Date, Element, FoundBy, Moment, Node, OnWall, RefTo, YesNo, means

ROOTS = ("site", "building", "permit")
"""What there is one of in every site; their facts stand at the top of the site file, under `building:`, under `permit:`."""
DeclaredForm = Literal["quantity", "word", "yes or no", "date", "moment", "text", "one"]


@dataclass(frozen=True, slots=True)
class DeclaredFact:
    """One fact that a layer declares of a kind of thing."""

    kind: str
    name: str
    form: DeclaredForm
    means: str
    found_by: FoundBy = "look"
    dimension: str = ""
    """Of a quantity."""
    words: tuple[str, ...] = ()
    """The words it can be; beside a quantity, `none`."""
    to: str = ""
    """The kind it names, when its value is the id of another thing."""
    layer: str = field(default="", compare=False)
    """Who declares it."""

    @property
    def same_as(self) -> tuple[Any, ...]:
        """What two declarations of one fact have to agree in."""
        return (self.kind, self.name, self.form, self.dimension, self.words, self.to, self.found_by)


@dataclass(frozen=True, slots=True)
class DeclaredKind:
    """One kind of thing that a layer declares. Its facts are among the declared facts."""

    name: str
    plural: str
    means: str
    system: str | None = None
    on_wall: bool = False
    layer: str = field(default="", compare=False)

    @property
    def same_as(self) -> tuple[Any, ...]:
        """What two declarations of one kind have to agree in."""
        return (self.name, self.plural, self.system, self.on_wall)


@dataclass(frozen=True)
class Declared:
    """All that the layers of one set of rules declare. Equal content is one thing, whatever files it came from."""

    facts: tuple[DeclaredFact, ...] = ()
    kinds: tuple[DeclaredKind, ...] = ()

    @cached_property
    def _hash(self) -> int:
        return hash((self.facts, self.kinds))

    def __hash__(self) -> int:
        """Worked out once: every name of every rule is looked up by what is declared."""
        return self._hash

    @cached_property
    def by_kind(self) -> dict[str, tuple[DeclaredFact, ...]]:
        """The declared facts of each kind that has some."""
        found: dict[str, tuple[DeclaredFact, ...]] = {}
        for fact in self.facts:
            found[fact.kind] = (*found.get(fact.kind, ()), fact)
        return found


NOTHING = Declared()
_IN_FORCE: ContextVar[Declared] = ContextVar("declared facts and kinds", default=NOTHING)


def in_force() -> Declared:
    """What is declared where this runs."""
    return _IN_FORCE.get()


def joined(one: Declared, other: Declared) -> Declared:
    """What either declares, each once."""
    if NOTHING in (one, other):
        return other if one == NOTHING else one
    facts = {(fact.kind, fact.name): fact for fact in (*other.facts, *one.facts)}
    kinds = {kind.name: kind for kind in (*other.kinds, *one.kinds)}
    return Declared(tuple(facts.values()), tuple(kinds.values()))


@contextmanager
def speaking(declared: Declared) -> Iterator[None]:
    """Read, compile and ask with these facts and kinds; what was in force before is so again afterwards."""
    token = _IN_FORCE.set(declared)
    try:
        yield
    finally:
        _IN_FORCE.reset(token)


def _type_of(fact: DeclaredFact) -> Any:
    if fact.form == "quantity":
        amount = Annotated[quantities.Quantity, Amount(fact.dimension)]
        return amount | Literal[fact.words] | None if fact.words else amount | None
    if fact.form == "word":
        return Literal[fact.words] | None
    if fact.form == "one":
        return Annotated[str, RefTo((fact.to,))] | None
    plain: dict[str, Any] = {"yes or no": YesNo, "date": Date, "moment": Moment, "text": str}
    return plain[fact.form] | None


@lru_cache(maxsize=512)
def with_facts(base: type[Node], facts: tuple[DeclaredFact, ...]) -> type[Node]:
    """A model of the site with more facts, each of which may stay unrecorded like any other."""
    fields: dict[str, Any] = {fact.name: (_type_of(fact), means(fact.means, by=fact.found_by)) for fact in facts}
    made: type[Node] = create_model(base.__name__, __base__=base, __module__=__name__, __doc__=base.__doc__, **fields)
    return made


@lru_cache(maxsize=512)
def element_class(kind: DeclaredKind, facts: tuple[DeclaredFact, ...]) -> type[Element]:
    """The class of a declared kind."""
    base: type[Element] = OnWall if kind.on_wall else Element
    named = "".join(part.capitalize() for part in kind.name.split("_"))
    space = {"kind": kind.name, "plural": kind.plural, "system": kind.system, "__module__": __name__}
    own = type(named, (base,), {**space, "__doc__": kind.means, "__annotations__": _CLASS_VARS})
    return with_facts(own, facts)  # type: ignore[return-value]


_CLASS_VARS = {"kind": ClassVar[str], "plural": ClassVar[str], "system": ClassVar[str | None]}
