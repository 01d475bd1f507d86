"""Which kinds of subject there are, which facts each has, and the functions that compute them.

Trade modules register with the three decorators below when they are imported; `oktocover.measures.trades`
imports them all, in one place.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any, Literal

from oktocover.findings.finding import Missing
from oktocover.measures.subject import Subject, as_fact
from oktocover.measures.values import TESTED, Fact, Members, Range, Unknown, Worked
from oktocover.site.declared import NOTHING, Declared, DeclaredFact, in_force

Form = Literal["quantity", "word", "yes or no", "date", "moment", "text", "one", "many"]
Trend = Literal["rises", "falls"]


@dataclass(frozen=True, slots=True)
class FactType:
    """What a fact is: the static side, used when rule files are checked."""

    form: Form
    dimension: str = ""
    """Name of the dimension, for a quantity."""
    words: tuple[str, ...] = ()
    """The words it can be, for a word; empty: any."""
    kind: str = ""
    """Kind of the related subject, for `one` and `many`."""
    means: str = ""
    found_by: str = "look"
    computed: bool = False


@dataclass(frozen=True, slots=True)
class Measure:
    """A computed fact of one kind."""

    kind: str
    name: str
    compute: Callable[..., Any]
    reads: tuple[str, ...]
    rises: tuple[str, ...] = ()
    falls: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ListFunction:
    """A function that rules call over a list: `farthest(outlets, serves_wall)`."""

    name: str
    of: str
    """Kind of the subject that owns the list."""
    compute: Callable[..., Any]
    dimension: str
    owner_reads: tuple[str, ...]
    member_reads: tuple[str, ...]
    as_list_grows: Trend | None
    options: tuple[str, ...]
    """Names of limits it takes as keywords."""
    means: str


@dataclass(frozen=True, slots=True)
class PlainFunction:
    """A function that rules call on numbers: `circle(bore)`. Rises with each argument."""

    name: str
    compute: Callable[..., Any]
    arguments: tuple[str, ...]
    dimension: str
    means: str


@dataclass(slots=True)
class Kind:
    """A kind of subject."""

    name: str
    title: str
    """In words, singular: 'wall space'."""
    system: str | None = None
    facts: dict[str, FactType] = field(default_factory=dict)
    measures: dict[str, Measure] = field(default_factory=dict)
    build: Callable[[Any], Iterable[Subject]] | None = None
    """Makes the subjects of a derived kind from a SiteView."""


@dataclass(frozen=True, slots=True)
class Inverse:
    """A list that follows from references: all `member`s whose fact `via` names the subject."""

    kind: str
    name: str
    member: str
    via: str
    list_name: str
    elsewhere: Callable[[Subject], bool] | None = None


KINDS: dict[str, Kind] = {}
"""The kinds of the model and of the measures. Rules and reports ask `kinds()`, which has the declared ones too."""
MADE_FROM: dict[str, str] = {
    "air_path": "air_opening",
    "appliance_place": "appliance",
    "assembly": "wall",
    "gas_piping": "gas_system",
    "hole": "penetration",
    "island": "counter",
    "passage": "opening",
    "rated_box": "membrane_box",
    "terminal": "vent_terminal",
    "terminal_opening": "opening",
    "terminal_thing": "outside_thing",
}
"""Derived kinds whose subjects have a recorded thing as base, and so what a place declares of it."""
ON_WALL, ON_WALL_FACTS = "opening", ("wall", "at", "height")
"""What a declared kind with a place on a wall has, as openings have it."""
INVERSES: list[Inverse] = []
LIST_FUNCTIONS: dict[tuple[str, str], ListFunction] = {}
PLAIN_FUNCTIONS: dict[str, PlainFunction] = {}
FROM_VIEW: list[Callable[[Any], None]] = []


def kind(name: str, system: str | None = None, title: str = "") -> Kind:
    """The kind `name`, made when it is first named."""
    found = KINDS.get(name)
    if found is None:
        found = KINDS[name] = Kind(name, title or name.replace("_", " "), system)
    if system:
        found.system = system
    return found


def kinds() -> Mapping[str, Kind]:
    """Every kind with its facts, those included that a place declares where this runs."""
    declared = in_force()
    return _with_declared(declared) if declared != NOTHING else KINDS


@lru_cache(maxsize=64)
def _with_declared(declared: Declared) -> dict[str, Kind]:
    found = dict(KINDS)
    for made in declared.kinds:
        on_wall = {fact: KINDS[ON_WALL].facts[fact] for fact in ON_WALL_FACTS} if made.on_wall else {}
        found[made.name] = Kind(made.name, made.name.replace("_", " "), made.system, on_wall)
        all_of_it = FactType("many", kind=made.name, means=f"all {made.plural} of the site", computed=True)
        found["site"] = replace(found["site"], facts={**found["site"].facts, made.plural.replace(" ", "_"): all_of_it})
    for name, facts in declared.by_kind.items():
        types = {fact.name: _declared_type(fact) for fact in facts}
        for one in (name, *(derived for derived, of in MADE_FROM.items() if of == name)):
            found[one] = replace(found[one], facts={**types, **found[one].facts})
    return found


def _declared_type(fact: DeclaredFact) -> FactType:
    return FactType(fact.form, fact.dimension, fact.words, fact.to, fact.means, fact.found_by)


def fact_type(kind_name: str, name: str) -> FactType | None:
    """The type of the fact `name` (dotted: through relations) of a kind, or None if there is no such fact."""
    first, _, rest = name.partition(".")
    known = kinds().get(kind_name)
    found = known.facts.get(first) if known else None
    if found is None or not rest:
        return found
    return fact_type(found.kind, rest) if found.form in ("one", "many") else None


def subjects(name: str, facts: dict[str, FactType], system: str | None = None) -> Callable[[Any], Any]:
    """Register the builder of a derived kind: a function from a SiteView to its subjects, and the facts they have."""

    def register(build: Callable[[Any], Iterable[Subject]]) -> Callable[[Any], Iterable[Subject]]:
        into = kind(name, system)
        into.build = build
        into.facts.update(facts)
        return build

    return register


def from_view(give: Callable[[Any], None]) -> Callable[[Any], None]:
    """Register a function that puts facts needing the whole site into recorded subjects of a SiteView (`own`).

    For inputs of measures only (a room's shape, the finish to come); the work itself stays in pure measures.
    """
    FROM_VIEW.append(give)
    return give


def inverse(
    kind_name: str,
    name: str,
    member: str,
    via: str,
    list_name: str,
    means: str = "",
    elsewhere: Callable[[Subject], bool] | None = None,
) -> None:
    """Register the list `name` of a kind: the `member`s that refer to it by their fact `via`.

    `list_name` is the site file's list that has to be whole before the inverse is ("receptacles"). `elsewhere` tells of
    a member that does not record `via` whether its other facts say that it belongs to none of these.
    """
    INVERSES.append(Inverse(kind_name, name, member, via, list_name, elsewhere))
    kind(kind_name).facts[name] = FactType("many", kind=member, means=means, computed=True)


def measure(
    kind_name: str,
    name: str,
    type_: FactType,
    reads: Sequence[str],
    rises: Sequence[str] = (),
    falls: Sequence[str] = (),
) -> Callable[[Any], Any]:
    """Register a computed fact. The function takes one plain value a read, in order, and returns a value or Worked.

    A read is a fact, dotted through relations (`space.ceiling`), or a list with the facts of its members wanted
    (`pipes[size, length]`: a tuple of tuples). When any plain read is not recorded the result is not recorded, with
    all that is missing. `rises` and `falls` name reads (a list by its name) in which the result is monotone, so
    that a bound or an open list gives a bound.
    """

    def register(compute: Callable[..., Any]) -> Callable[..., Any]:
        into = kind(kind_name)
        into.facts[name] = replace(type_, computed=True)
        into.measures[name] = Measure(kind_name, name, compute, tuple(reads), tuple(rises), tuple(falls))
        return compute

    return register


def list_function(
    name: str,
    of: str,
    dimension: str,
    owner_reads: Sequence[str] = (),
    member_reads: Sequence[str] = (),
    as_list_grows: Trend | None = None,
    means: str = "",
) -> Callable[[Any], Any]:
    """Register a function over a list: `f(owner, members, **options)`; `owner` and members are Subjects.

    Every fact named in `owner_reads` and `member_reads` is exact when it is called; its keyword-only parameters are
    the limits a rule may pass. It returns a number (canonical units) or Worked; `NOWHERE` when there is none.
    """

    def register(compute: Callable[..., Any]) -> Callable[..., Any]:
        options = tuple(
            parameter.name
            for parameter in inspect.signature(compute).parameters.values()
            if parameter.kind is inspect.Parameter.KEYWORD_ONLY
        )
        LIST_FUNCTIONS[of, name] = ListFunction(
            name, of, compute, dimension, tuple(owner_reads), tuple(member_reads), as_list_grows, options, means
        )
        return compute

    return register


def plain_function(name: str, arguments: Sequence[str], dimension: str, means: str) -> Callable[[Any], Any]:
    """Register a function on numbers, rising in each argument; `arguments` are the names of their dimensions."""

    def register(compute: Callable[..., Any]) -> Callable[..., Any]:
        PLAIN_FUNCTIONS[name] = PlainFunction(name, compute, tuple(arguments), dimension, means)
        return compute

    return register


def computed_fact(subject: Subject, name: str) -> Fact | None:
    """The computed fact `name` of a subject, or None when its kind computes no such fact."""
    known = KINDS.get(subject.kind)
    found = known.measures.get(name) if known else None
    return run_measure(found, subject) if found else None


def run_measure(found: Measure, subject: Subject) -> Fact:
    """Fetch what a measure reads, call it on plain values, and carry bounds and open lists through."""
    lows: list[Any] = []
    highs: list[Any] = []
    missing: list[Missing] = []
    known = TESTED
    bounded = False
    for read in found.reads:
        name = read.split("[", 1)[0]
        low, high, lacks, how = _read(subject, read)
        known = min(known, how)
        if lacks and name not in found.rises and name not in found.falls:
            missing.extend(lacks)
        elif lacks:
            bounded = True
            low, high = (high, low) if name in found.falls else (low, high)
            if low is None and high is None:
                missing.extend(lacks)
            lows.append((low, lacks))
            highs.append((high, lacks))
            continue
        lows.append((low, ()))
        highs.append((high, ()))
    if missing:
        return Fact(Unknown(tuple(dict.fromkeys(missing))), (), known)
    if not bounded:
        return as_worked(found.compute(*(value for value, _ in lows)), subject, found.name, known)
    return _bounded(found, subject, lows, highs, known)


def _bounded(found: Measure, subject: Subject, lows: list[Any], highs: list[Any], known: int) -> Fact:
    lacks = tuple(dict.fromkeys(item for side in (lows, highs) for _, more in side for item in more))
    ends: list[Any] = []
    steps: tuple[Any, ...] = ()
    for side in (lows, highs):
        if any(value is None for value, _ in side):
            ends.append(None)
            continue
        fact = as_worked(found.compute(*(value for value, _ in side)), subject, found.name, known)
        if isinstance(fact.value, Unknown):
            return fact
        ends.append(fact.value)
        steps = fact.steps or steps
    if ends == [None, None]:
        return Fact(Unknown(lacks), (), known)
    return Fact(Range(ends[0], ends[1], missing=lacks), steps, known)


def as_worked(result: Any, subject: Subject, name: str, known: int) -> Fact:
    """A Fact from what a measure returned."""
    steps = ()
    if isinstance(result, Worked):
        result, steps = result.value, result.steps
    fact = as_fact(result, subject, name, known)
    return Fact(fact.value, steps or fact.steps, min(known, fact.known), fact.unit)


def _read(subject: Subject, read: str) -> tuple[Any, Any, tuple[Missing, ...], int]:
    """One read: (low, high, missing, how known). Exact: low is high and nothing is missing."""
    name, bracket, rest = read.partition("[")
    fact = subject.fact(name)
    value = fact.value
    if isinstance(value, Unknown):
        return None, None, value.missing, fact.known
    if isinstance(value, Range):
        return value.low, value.high, value.missing or (subject.lacks(name),), fact.known
    if not isinstance(value, Members):
        return value, value, (), fact.known
    wanted = [part.strip() for part in rest.rstrip("]").split(",")] if bracket else []
    rows, missing, known = [], list(value.missing if value.open else ()), fact.known
    for member in value.sure:
        facts = [member.fact(part) for part in wanted]
        known = min([known, *(one.known for one in facts)])
        lacks = [item for one in facts if isinstance(one.value, Unknown) for item in one.value.missing]
        lacks += [item for one in facts if isinstance(one.value, Range) for item in one.value.missing]
        if lacks:
            missing.extend(lacks)
        else:
            rows.append(tuple(one.value for one in facts))
    if value.open and not missing:
        missing.append(subject.lacks(name))
    return tuple(rows), (None if missing else tuple(rows)), tuple(missing), known
