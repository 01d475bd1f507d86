"""Looks over what the changes of some layers did: effects said and derived, slips of the pen, and bounds from above."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from oktocover.reading.problems import Problem
from oktocover.rules import sections
from oktocover.rules.fold import Edit, Folded
from oktocover.rules.layers import Bound, Layer, Thing
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.strictness import Derive, Effect

SLIP = 3
"""From how many times as much on a figure has to be meant."""
FITTING = {
    "a whole rule": ("duty gone", "ban gone", "permission gone", "moved"),
    "an item": ("duty gone", "ban gone", "moved"),
    "a requirement": ("duty gone", "ban gone", "moved"),
    "one of several ways": ("permission gone", "moved"),
    "an exception": ("permission gone", "moved"),
    "a condition": ("condition gone", "moved"),
    "a condition of an exception or of one of several ways": ("condition gone", "moved"),
}
"""For what is struck, the effects that it can have."""
ENTRY = {"looser": ("duty gone", "ban gone", "moved"), "stricter": ("permission gone", "moved")}


def review(folded: Folded, rules: RuleSet, of: Iterable[Edit]) -> list[Problem]:
    """What is wrong with some edits of folded layers. An edit that a bound holds down gets the version above as twin."""
    derive = Derive(rules)
    found: list[Problem] = []
    for edit in of:
        effect = derive.effect(edit)
        found += _strike(edit, effect)
        found += _stated(edit, effect)
        found += _slip(edit, effect)
        for bound, layer in _bounds_on(folded, derive, edit):
            found += _bounded(folded, rules, edit, effect, bound, layer)
    return found


def _strike(edit: Edit, effect: Effect) -> Iterator[Problem]:
    """A strike whose effect is not the one it says it has."""
    if edit.verb != "strike":
        return
    said, name = str(edit.value), edit.address
    if sections.listed(edit.address) is not None:
        name = ".".join([edit.name, *(str(step) for step in edit.trail[-1:])])
    entry = effect.what == "an entry of a list"
    fitting = ENTRY.get(effect.strictness, ()) if entry else FITTING.get(effect.what, ())
    at = ("strike", edit.address)
    if fitting and said not in fitting:
        message = f"you say '{said}', but '{name}' is {effect.what}: without it the rule is {effect.strictness}"
        yield edit.change.problem(at, message, "one of: " + ", ".join(fitting), "")
    instead = edit.change.data.get("set") or edit.change.data.get("add")
    if effect.what == "a whole rule" and said == "permission gone" and not instead:
        message = f"with the rule '{name}' gone, what it permitted is not banned: nothing speaks of it any more"
        yield edit.change.problem(at, message, "the set or add, in this change, that makes the ban", "")


def _stated(edit: Edit, effect: Effect) -> Iterator[Problem]:
    """An effect that the change states and that is not so."""
    said = edit.change.data.get("effect")
    if said is None:
        return
    if not edit.change.data.get("because"):
        yield edit.change.problem(("effect",), "an effect that is stated is argued", "because: ...", "")
    if effect.strictness in ("stricter", "looser") and said in ("stricter", "looser") and said != effect.strictness:
        message = f"you say '{said}', but what it does to '{edit.address}' is {effect.strictness}: it is {effect.what}"
        yield edit.change.problem((edit.verb, edit.address), message, f"effect: {effect.strictness}", "")


def _slip(edit: Edit, effect: Effect) -> Iterator[Problem]:
    """A figure that moves far, or a hazard that becomes easier: it may be so, but must be meant."""
    if str(edit.change.data.get("meant")) in ("yes", "True"):
        return
    at, write = (edit.verb, edit.address), "meant: yes, in this change, if that is what the ordinance says"
    times = effect.times
    moved = f" ({effect.old} -> {effect.new})" if effect.old or effect.new else ""
    if times is not None and (times > SLIP or times * SLIP < 1):
        much = f"{_round(times)} times as much" if times > 1 else f"one part in {_round(1 / times)}"
        message = f"this takes '{edit.address}' from {effect.old} to {effect.new}, {much}"
        yield edit.change.problem(at, message, write, "look at the figure and its unit once more")
    elif effect.hazard and effect.strictness == "looser":
        message = f"this makes '{edit.name}', of severity hazard, looser: '{edit.address}'{moved} is {effect.what}"
        yield edit.change.problem(at, message, write, "look once more whether it is this that the ordinance changes")


def _round(value: object) -> str:
    return f"{float(value):.3g}"  # type: ignore[arg-type]


def _bounds_on(folded: Folded, derive: Derive, edit: Edit) -> Iterator[tuple[Bound, Layer]]:
    """The bounds of layers above the one an edit belongs to that speak of its rule, or of one that uses its term."""
    if not edit.change.place or not any(layer.bounds for layer in folded.layers):
        return
    about = {name: folded.things["rules"].get(name) for name in derive.users(edit)}
    about = {**about, edit.name: edit.before} if edit.section == "rules" else about
    for layer in folded.layers:
        if layer.name == edit.change.layer:
            return
        for bound in layer.bounds.values():
            if any(thing is not None and _speaks_of(bound, name, thing) for name, thing in about.items()):
                yield bound, layer


def _speaks_of(bound: Bound, name: str, thing: Thing) -> bool:
    data = thing.data if isinstance(thing.data, dict) else {}
    if bound.trade:
        return data.get("trade") == bound.trade
    if bound.rules:
        return any(name == one or name.startswith(f"{one}.") for one in bound.rules)
    book, ranges = sections.listed(bound.sections) or ("", None)
    return name.startswith(f"{book}.") and sections.lies_in(str(data.get("section", "")), ranges)


def _bounded(
    folded: Folded, rules: RuleSet, edit: Edit, effect: Effect, bound: Bound, layer: Layer
) -> Iterator[Problem]:
    at = (edit.verb, edit.address)
    above = (
        f"{layer.name} ('{bound.name}', {bound.cite}) says that lower layers {bound.lower}; it stands at {bound.place}"
    )
    if bound.lower == "may not differ":
        message = f"'{edit.address}' is not {edit.change.layer}'s to change: {above}"
        yield edit.change.problem(at, message, "", "take the line out")
        return
    if effect.strictness == "looser":
        moved = f" ({effect.old} -> {effect.new})" if effect.old or effect.new else ""
        message = f"this makes '{edit.name}' looser{moved}: it is {effect.what}. {above}"
        yield edit.change.problem(
            at, message, "what is stricter, or the same", "take the line out, or write the stricter one"
        )
        return
    if effect.strictness:
        return
    if edit.section != "rules":
        message = f"whether this makes the rules that use '{edit.name}' looser cannot be derived. {above}"
        yield edit.change.problem(at, message, "a change of the rules themselves", "")
        return
    if edit.change.data.get("effect") != "stricter":
        message = f"whether this makes '{edit.name}' looser cannot be derived. {above}"
        write = (
            "effect: stricter, and because: why it is; both versions are then evaluated, and the worse verdict stands"
        )
        yield edit.change.problem(at, message, write, "")
        return
    now = folded.things["rules"].get(edit.name)
    if now is not None and edit.before not in now.twins:
        folded.things["rules"][edit.name] = replace(now, twins=(*now.twins, edit.before))
        rules.forget(edit.name)
