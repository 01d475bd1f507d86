"""The JSON Schema of the inspection card's JSON, made from the values that the card is made of."""

from __future__ import annotations

import dataclasses
import types
import typing
from typing import Any, Final, Literal

from oktocover.findings.checked import InForce
from oktocover.reports import card_json
from oktocover.reports._card_parts import Added, Hold, LeftOff, Reminder, Slip, State

Schema = dict[str, Any]
DRAFT: Final = "https://json-schema.org/draft/2020-12/schema"
TEXT: Final[Schema] = {"type": "string"}
COUNT: Final[Schema] = {"type": "integer", "minimum": 0}
TEXTS: Final[Schema] = {"type": "array", "items": TEXT}
_PLAIN: Final[dict[Any, Schema]] = {str: TEXT, bool: {"type": "boolean"}, int: {"type": "integer"}}


def card_schema() -> Schema:
    """What `card --format json` prints; keys as in `card_json.as_object`."""
    site = dict.fromkeys(("site", "file", "today", "jurisdiction"), TEXT)
    next_ = _object({"visit": TEXT, "text": TEXT})
    slip = of_type(Slip)
    slip = _object({**slip["properties"], "open": {"type": "boolean"}})
    slip["properties"]["rule_here"] = {**TEXT, "description": "Which rule here would have caught it, in words."}
    return {
        "$schema": DRAFT,
        "$id": "card.schema.json",
        "title": "The inspection card of one building",
        **_object(
            {
                "format": {"const": card_json.FORMAT, "description": "Raised when a key goes or changes its meaning."},
                **site,
                "in_force": _list(InForce),
                "checked_by": TEXT,
                "next": {**next_, "description": "The next thing to do, and the visit it is for."},
                "exit_code": {"enum": [0, 1, 2, 3]},
                "plans": TEXT,
                "visits": {"type": "array", "items": _visit(), "description": "In the order in which they come."},
                "not_on_the_card": _list(LeftOff),
                "corrections": {"type": "array", "items": slip},
                "at_every_visit": _list(Reminder),
                "rests_on": TEXTS,
                "not_described": TEXTS,
                "warnings": TEXTS,
            }
        ),
    }


def _visit() -> Schema:
    texts = ("visit", "title", "why", "signed", "booked", "notice", "counted", "answer_within")
    return _object(
        {
            **dict.fromkeys(texts, TEXT),
            "trades": TEXTS,
            "after": TEXTS,
            "state": of_type(State),
            "covers": {"type": "boolean"},
            "not_met": COUNT,
            "not_recorded": COUNT,
            "holds": _list(Hold),
            "reminders": _list(Reminder),
            "added_after_signature": _list(Added),
        }
    )


def _list(of: type) -> Schema:
    return {"type": "array", "items": of_type(of)}


def _object(properties: Schema) -> Schema:
    return {"type": "object", "additionalProperties": False, "required": list(properties), "properties": properties}


def of_type(of: Any) -> Schema:
    """The schema of what `json_form.plain` makes of a value of this type."""
    origin, inside = typing.get_origin(of), typing.get_args(of)
    if dataclasses.is_dataclass(of):
        hints = typing.get_type_hints(of)
        return _object({field.name: of_type(hints[field.name]) for field in dataclasses.fields(of)})
    if origin is Literal:
        return {"enum": list(inside)}
    if origin is tuple:
        return {"type": "array", "items": of_type(inside[0])}
    if origin in (typing.Union, types.UnionType):
        return {"anyOf": [{"type": "null"} if one is type(None) else of_type(one) for one in inside]}
    return dict(_PLAIN[of])
