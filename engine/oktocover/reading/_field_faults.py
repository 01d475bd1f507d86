"""What the site model refuses, said as a person would: which value, what could stand there, the nearest word."""

from __future__ import annotations

import typing
from collections.abc import Iterator
from functools import lru_cache
from typing import Any, Protocol

from pydantic import ValidationError

from oktocover.reading.nearest import nearest
from oktocover.reading.problems import Place, Problem
from oktocover.site.base import Element, Node, spaced
from oktocover.site.root import element_lists, site_model

Path = tuple[str | int, ...]
MOST_SHOWN = 60


class Placed(Protocol):
    """Whatever knows where a value stands."""

    def place(self, path: Path) -> Place: ...

    def key_place(self, path: Path) -> Place: ...


def lists() -> frozenset[str]:
    """Keys of a site file under which elements stand by their ids."""
    return _spaced_lists(tuple(element_lists()))


@lru_cache(maxsize=64)
def _spaced_lists(names: tuple[str, ...]) -> frozenset[str]:
    return frozenset(map(spaced, names))


_WANTED = {
    "dict_type": "a mapping, each entry with its name: `name: {...}`",
    "list_type": "a list: [one, another]",
    "string_type": "text",
    "model_type": "a mapping: `key: value` on lines of its own, or {key: value}",
}


def field_problems(
    error: ValidationError, data: dict[str, Any], read: Placed, root: type[Node] | None = None
) -> Iterator[Problem]:
    """What the model `root` (left out: that of a whole site) says is wrong, one problem a value, each at its place in the file."""
    by_path: dict[Path, list[dict[str, Any]]] = {}
    for one in error.errors(include_url=False):
        path = real_path(one["loc"], data)
        by_path.setdefault(path, []).append(typing.cast("dict[str, Any]", one))
    for path, found in by_path.items():
        yield _field_problem(path, found, data, read, root or site_model())


def real_path(loc: tuple[Any, ...], data: Any) -> Path:
    """The part of pydantic's location that is really in the file (unions add parts of their own)."""
    path: list[str | int] = []
    for part in loc:
        if (
            isinstance(data, dict)
            and part in data
            or isinstance(data, list)
            and isinstance(part, int)
            and part < len(data)
        ):
            data = data[part]
        else:
            continue
        path.append(part)
    return tuple(path)


def _at(data: Any, path: Path) -> Any:
    for part in path:
        data = data[part]
    return data


def _field_problem(
    path: Path, found: list[dict[str, Any]], data: dict[str, Any], read: Placed, root: type[Node]
) -> Problem:
    first = min(
        found,
        key=lambda one: (
            ("extra_forbidden", "quantity", "reader", "not_text").index(one["type"])
            if one["type"] in ("extra_forbidden", "quantity", "reader", "not_text")
            else 9
        ),
    )
    context = first.get("ctx") or {}
    value = _at(data, path)
    name = _called(path)
    if first["type"] == "extra_forbidden":
        choices = keys_at(path[:-1], root)
        near = nearest(str(path[-1]), choices)
        declares = _elsewhere(path, read)
        if declares:
            message, do = f"'{short(path[-1])}' is asked for by {declares} only, which is not in force here", ""
            return Problem(
                read.key_place(path),
                message,
                "one of: " + ", ".join(choices),
                "name that place under permit: jurisdiction, or take the line out",
            )
        return Problem(
            read.key_place(path),
            f"'{short(path[-1])}' is not a key that stands here",
            "one of: " + ", ".join(choices),
            f"did you mean '{near}'?" if near else "",
        )
    if first["type"] == "missing":
        return Problem(read.place(path), f"'{first['loc'][-1]}' is missing here", f"{first['loc'][-1]}: ...")
    words = _words(found)
    if words:
        near = nearest(value, words) if isinstance(value, str) else None
        also = next((one["ctx"]["expected"] for one in found if one["type"] == "quantity" and one.get("ctx")), "")
        return Problem(
            read.place(path),
            f"{name}: '{short(value)}' is not one of the words that can stand here"
            if isinstance(value, str)
            else f"{name}: one word was expected here, not a list or a mapping",
            ", ".join(words) + (f", or {also}" if also else ""),
            f"did you mean '{near}'?" if near else "",
        )
    if first["type"] in ("quantity", "reader", "not_text"):
        suggestion = context.get("suggestion") or ""
        message, expected = str(context.get("message", first["msg"])), str(context.get("expected") or "")
        do = f"did you mean '{suggestion}'?" if suggestion else ""
        if "writ" not in message and not do:
            do = "write one value here" if first["type"] == "not_text" else "correct this value"
        return Problem(read.place(path), f"{name}: {message}", "" if expected in message else expected, do)
    kind, text = first["type"], isinstance(value, str)
    do = f"write {name}: [{value}]" if kind == "list_type" and text and len(value) < 60 else ""
    return Problem(read.place(path), f"{name}: this cannot stand here", _WANTED.get(kind, first["msg"]), do)


def _elsewhere(path: Path, read: Placed) -> str:
    """Which place declares a key that does not stand here; nothing when none does."""
    ask = getattr(read, "elsewhere", None)
    if ask is None or len(path) not in (1, 2, 3):
        return ""
    owner = "site" if len(path) == 1 else str(path[0])
    return str(ask(owner, str(path[-1])))


def _called(path: Path) -> str:
    """What a value is called in a sentence: its key, or which entry of which list it is."""
    if path and isinstance(path[-1], int):
        return f"{_called(path[:-1])}, entry {path[-1] + 1}"
    return short(path[-1]) if path else "the file"


def short(value: object) -> str:
    """A word of the file as it is repeated in a sentence: one that never ends is cut."""
    text = str(value)
    return text if len(text) <= MOST_SHOWN else text[:MOST_SHOWN] + "..."


def _words(found: list[dict[str, Any]]) -> list[str]:
    words: list[str] = []
    for one in found:
        if one["type"] == "literal_error":
            words.extend(part.strip().strip("'") for part in one["ctx"]["expected"].replace(" or ", ", ").split(","))
    return [word for word in words if word]


def keys_at(path: Path, root: Any = None) -> list[str]:
    """The keys that may stand in the mapping at `path` of a site file (or of what `root` is the model of)."""
    model = root or site_model()
    for part in path:
        model = _inside(model, part)
        if model is None:
            return []
    if isinstance(model, type) and issubclass(model, Node):
        own = model.short_keys if issubclass(model, Element) else ()
        return [*(field.alias or spaced(name) for name, field in model.model_fields.items()), *own]
    return []


def _inside(model: Any, part: str | int) -> Any:
    if isinstance(model, type) and issubclass(model, Node):
        found = next((f for name, f in model.model_fields.items() if (f.alias or spaced(name)) == part), None)
        return found.annotation if found else None
    for inner in typing.get_args(model):
        if isinstance(inner, type) and issubclass(inner, Node):
            return inner
        deeper = _inside(inner, part) if typing.get_args(inner) else None
        if deeper is not None:
            return deeper
    return None
