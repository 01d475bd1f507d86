"""Kinds of things made up for the tests of the rule engine, and short ways to compile and ask."""

from collections.abc import Mapping
from typing import Any

from oktocover.findings.finding import Missing
from oktocover.measures import registry
from oktocover.measures.registry import FactType, list_function, plain_function
from oktocover.measures.subject import Subject
from oktocover.measures.values import NOWHERE, Members, Range, Unknown
from oktocover.rules.evaluate import Judged, judge
from oktocover.rules.expressions import Expression, compile_expression
from oktocover.rules.form import Compiler, Rule
from oktocover.rules.limits import Limit
from oktocover.rules.scope import Env, NameScope

COLOURS = ("red", "green", "blue")
LENGTHS = ("long", "wide", "deep")
NUMBERS = ("count_a", "count_b")
TRUTHS = ("fitted", "marked", "listed")

GIZMO: dict[str, FactType] = {
    **{name: FactType("quantity", "length") for name in LENGTHS},
    **{name: FactType("quantity", "number") for name in NUMBERS},
    **{name: FactType("yes or no") for name in TRUTHS},
    "colour": FactType("word", words=COLOURS),
    "pressure": FactType("quantity", "pressure"),
    "board": FactType("quantity", "length", words=("none",)),
    "made": FactType("date"),
    "shelf": FactType("one", kind="shelf"),
    "parts": FactType("many", kind="gizmo_part"),
    "shelf_long": FactType("quantity", "length"),
}
SHELF = {"long": FactType("quantity", "length"), "use": FactType("word", words=("shop", "store"))}
PART = {
    "along": FactType("quantity", "length"),
    "counts": FactType("yes or no"),
    "weight": FactType("quantity", "mass"),
}


def install() -> None:
    """Make the kinds and functions known; `remove` takes them out again, so that no other test meets them."""
    for name, facts in (("gizmo", GIZMO), ("shelf", SHELF), ("gizmo_part", PART)):
        registry.kind(name).facts.update(facts)
    list_function("nearest_part", "gizmo", "length", member_reads=("along",), as_list_grows="falls")(nearest_part)
    list_function("middle_part", "gizmo", "length", member_reads=("along",))(middle_part)
    plain_function("twice", ("length",), "length", "two times a length")(twice)


def remove() -> None:
    for name in ("gizmo", "shelf", "gizmo_part"):
        del registry.KINDS[name]
    for name in ("nearest_part", "middle_part"):
        del registry.LIST_FUNCTIONS["gizmo", name]
    del registry.PLAIN_FUNCTIONS["twice"]


def nearest_part(owner: Subject, parts: list[Subject], *, beyond: Any = 0) -> Any:
    return min((part.value("along") for part in parts if part.value("along") >= beyond), default=NOWHERE)


def middle_part(owner: Subject, parts: list[Subject]) -> Any:
    return sorted(part.value("along") for part in parts)[len(parts) // 2] if parts else NOWHERE


def twice(value: Any) -> Any:
    return 2 * value


FOOT = 304_800_000
INCH = 25_400_000


def lacks(name: str) -> Missing:
    return Missing("G-1", name)


def unknown(name: str = "something") -> Unknown:
    return Unknown((lacks(name),))


def bound(low: Any, high: Any, low_open: bool = False, high_open: bool = False) -> Range:
    return Range(low, high, low_open, high_open, (lacks("closer"),))


def part(name: str, **facts: Any) -> Subject:
    return Subject("gizmo_part", name, facts)


def members(*parts: Subject, whole: bool = True) -> Members:
    return Members(parts, not whole, () if whole else (lacks("whole list of parts"),))


def gizmo(facts: Mapping[str, Any]) -> Subject:
    return Subject("gizmo", "G-1", facts)


def expression(text: str, limits: Mapping[str, Limit] | None = None) -> Expression:
    return compile_expression(text, NameScope("gizmo", limits or {}, lambda name, kind: None, lambda name: None))


def value(text: str, limits: Mapping[str, Limit] | None = None, **facts: Any) -> Any:
    return expression(text, limits).evaluate(env(facts))


def env(facts: Mapping[str, Any], records: Mapping[tuple[str, str], tuple[bool, int]] | None = None) -> Env:
    return Env(gizmo(facts), {name: Subject(name, name) for name in ("site", "building", "permit")}, records or {})


HEAD: dict[str, Any] = {
    "title": "A gizmo",
    "section": "1.1",
    "trade": "general",
    "stage": "final",
    "severity": "correction",
    "each": "gizmo",
    "remedy": "Mend it.",
    "basis": {"check": "common practice"},
}


def problems(**body: Any) -> list[str]:
    """What is wrong with a rule of this body, in sentences."""
    compiler = Compiler(lambda name, kind: None, lambda name: None)
    compiler.rule("thing", "test", {**HEAD, **body}, "Test")
    return [error.message for _, error in compiler.problems]


def rule(**body: Any) -> Rule:
    compiler = Compiler(lambda name, kind: None, lambda name: None)
    made = compiler.rule("thing", "test", {**HEAD, **body}, "Test")
    assert made is not None and not compiler.problems, [(path, error.message) for path, error in compiler.problems]
    return made


def asked(
    of: Rule, facts: Mapping[str, Any], records: Mapping[tuple[str, str], tuple[bool, int]] | None = None
) -> dict[str, Judged]:
    """The verdicts of a rule by item."""
    return {one.name.removeprefix("test.thing").lstrip(".") or "main": one for one in judge(of, env(facts, records))}
