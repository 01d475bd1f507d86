"""What one place has otherwise than another, in sentences for minutes and as data."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from oktocover.reports._difference import Difference
from oktocover.reports._in_words import say
from oktocover.reports._layered import ABSENT, Trail, World, spell, spread, value_at
from oktocover.reports._plain import clean, counted, wrap
from oktocover.reports._rule_differences import RuleDiffer, entries
from oktocover.reports.json_form import plain
from oktocover.reports.rules_form import WIDTH, not_checked
from oktocover.rules.layers import Layer

HEADS = {
    "book": "BOOKS",
    "rule": "RULES",
    "definition": "DEFINITIONS",
    "table": "TABLES",
    "visit": "VISITS",
    "fact": "FACTS TO RECORD",
    "kind": "THINGS TO RECORD",
    "not checked here": "NOT CHECKED HERE",
}
"""The groups in which differences are told, in order."""
SECTIONS = {"terms": "definition", "tables": "table", "inspections": "visit", "facts": "fact", "kinds": "kind"}


def differences(now: World, before: World) -> list[Difference]:
    """Everything that `now` has otherwise than `before`, in the order in which it is told."""
    found = [*_books(now, before), *_rules(now, before)]
    for section, of in SECTIONS.items():
        found += _things(now, before, section, of)
    found += _not_checked(now, before)
    order = list(HEADS)
    return sorted(found, key=lambda one: order.index(one.of))


def _books(now: World, before: World) -> Iterator[Difference]:
    new, old = (_by_book(world) for world in (now, before))
    for book in dict.fromkeys((*new, *old)):
        is_, was = new.get(book), old.get(book)
        here, there = (layer.printed if layer else "" for layer in (is_, was))
        if here == there:
            continue
        change = "changed" if here and there else "new" if here else "gone"
        text = {
            "changed": f"{here} is adopted, was {there}",
            "new": f"{here} is adopted; {before.name} has no edition of it",
            "gone": f"no {book.upper()} is adopted, was {there}",
        }[change]
        yield Difference("book", "book", change, book, here or there, there, here, "", now.name, before.name, text)


def _by_book(world: World) -> dict[str, Layer]:
    return {layer.book: layer for layer in world.adopted.books}


def _rules(now: World, before: World) -> Iterator[Difference]:
    names = dict.fromkeys((*now.things["rules"], *before.things["rules"]))
    for name in names:
        yield from RuleDiffer(now, before, name).all()


def _things(now: World, before: World, section: str, of: str) -> Iterator[Difference]:
    for name in dict.fromkeys((*now.things[section], *before.things[section])):
        new, old = (
            spread(section, world.things[section][name].data) if name in world.things[section] else ABSENT
            for world in (now, before)
        )
        title = _title(of, name, new if new is not ABSENT else old)
        if old is ABSENT:
            yield _whole(now, before, section, of, name, title, "new", new)
        elif new is ABSENT:
            yield _whole(now, before, section, of, name, title, "gone", old)
        else:
            yield from _inside(now, before, section, of, name, title)


def _title(of: str, name: str, data: Any) -> str:
    short = name.partition(".")[2].replace("_", " ")
    if of == "definition":
        return f"what counts as '{short}'"
    if of == "visit":
        title = data.get("title") if isinstance(data, dict) else ""
        return f"visit '{title or short}'"
    return f"{of} '{short.replace('.', ', ')}'"


def _whole(
    now: World, before: World, section: str, of: str, name: str, title: str, change: str, data: Any
) -> Difference:
    source = now.source(section, name) if change == "new" else now.took_out(section, name)
    was = before.source(section, name) if change == "gone" else ""
    about = spell(data.get("is") or data.get("type") or data.get("title") or "") if isinstance(data, dict) else ""
    text = f"{'new' if change == 'new' else 'gone'}: {title}" + (f": {about}" if about and change == "new" else "")
    values = ("", about) if change == "new" else (about, "")
    return Difference(of, of, change, name, title, *values, "", source, was, text)


def _inside(now: World, before: World, section: str, of: str, name: str, title: str) -> Iterator[Difference]:
    new, old = (spread(section, world.things[section][name].data) for world in (now, before))
    for trail, is_, was in _leaves(new, old, ()):
        change = "changed" if is_ is not ABSENT and was is not ABSENT else "new" if was is ABSENT else "gone"
        here, there = ("" if value is ABSENT else _said(value) for value in (is_, was))
        if of == "definition" and trail == ("is",):
            here, there = _meaning(now, name) or here, _meaning(before, name) or there
        what = ", ".join(_spoken(key) for key in trail if key not in ("limits", "rows"))
        changed = f"{here}, was {there}"
        if isinstance(is_, list) and isinstance(was, list):
            changed = f"now {entries(is_, was)}"
        text = f"{title}, {what}: " + {"changed": changed, "new": f"{here}, new", "gone": f"no longer {there}"}[change]
        if of == "visit" and trail[0] == "after" and len(trail) > 1:
            text = f"{title} {'comes' if here else 'no longer comes'} after '{trail[1]}'" + (
                f" ({here})" if here else ""
            )
        source = now.source(section, name, trail) if is_ is not ABSENT else now.took_out(section, name, trail)
        was_source = before.source(section, name, trail) if was is not ABSENT else ""
        address = f"{name}." + ".".join(key for key in trail if key not in ("limits", "rows"))
        kind = "cell" if "rows" in trail else "limit" if "limits" in trail else trail[-1]
        yield Difference(of, kind, change, address, title, there, here, "", source, was_source, text)


def _meaning(world: World, name: str) -> str:
    term = world.adopted.rules.term(name)
    return say(term.compiled()) if term is not None else ""


def _spoken(key: str) -> str:
    return {"is": "meaning", "after": "comes after", "answer_within": "answer within"}.get(key, key.replace("_", " "))


def _said(value: Any) -> str:
    """A line of a visit is a mapping of text and cite: the text is what is said."""
    if isinstance(value, dict) and "text" in value:
        cite = f" ({spell(value['cite'])})" if value.get("cite") else ""
        return spell(value["text"]) + cite
    return spell(value)


def _leaves(new: Any, old: Any, trail: Trail) -> Iterator[tuple[Trail, Any, Any]]:
    """The smallest named parts in which two things differ."""
    if new == old or (trail and trail[-1] in ("basis", "note")):
        return
    if isinstance(new, dict) and isinstance(old, dict) and "text" not in new:
        for key in dict.fromkeys((*old, *new)):
            yield from _leaves(value_at(new, (key,)), value_at(old, (key,)), (*trail, str(key)))
    elif isinstance(new, dict) and old is ABSENT and "text" not in new:
        for key in new:
            yield from _leaves(new[key], ABSENT, (*trail, str(key)))
    elif isinstance(old, dict) and new is ABSENT and "text" not in old:
        for key in old:
            yield from _leaves(ABSENT, old[key], (*trail, str(key)))
    else:
        yield trail, new, old


def _not_checked(now: World, before: World) -> Iterator[Difference]:
    new, old = ({one.name: one for one in not_checked(world.places())} for world in (now, before))
    for name in dict.fromkeys((*new, *old)):
        if new.get(name) != old.get(name):
            change = "changed" if name in new and name in old else "new" if name in new else "gone"
            here, there = new.get(name), old.get(name)
            shown = here or there
            assert shown is not None, "one of the two has it"
            text = f"{shown.cite}: {shown.about}" + ("" if here else f"; {now.name} has no such entry")
            was, is_now = (one.about if one else "" for one in (there, here))
            cite, cite_before = (one.cite if one else "" for one in (here, there))
            yield Difference(
                "not checked here", "entry", change, name, shown.about, was, is_now, "", cite, cite_before, text
            )


def differences_text(found: list[Difference], now: str, before: str, width: int = WIDTH) -> str:
    """The differences in sentences, by what they are about."""
    now, before = clean(now, 120), clean(before, 120)
    if not found:
        return "\n".join(wrap(f"No difference between {now} and {before}.", width)) + "\n"
    lines = wrap(f"What is otherwise in {now} than in {before}. A reading: the books and the ordinances govern.", width)
    for of, head in HEADS.items():
        own = [one for one in found if one.of == of]
        if own:
            lines += ["", head]
        for one in own:
            lines += wrap(clean(one.sentence, 3000), width, "  - ", "    ")
    return "\n".join([*lines, "", counted(len(found), "difference")]) + "\n"


def differences_object(found: list[Difference], now: str, before: str) -> dict[str, Any]:
    """The differences as plain JSON values."""
    return {
        "place": clean(now),
        "against": clean(before),
        "differences": [{**plain(one), "sentence": clean(one.sentence)} for one in found],
    }
