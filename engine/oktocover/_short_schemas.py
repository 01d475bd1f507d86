"""The short forms in the schema of a site file, so that an editor completes them as it does the long form."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote

from oktocover.reading.short.work import CLASSES, LISTS_IN_ORDER, facts_of

Schema = dict[str, Any]
IDS: Schema = {"type": "array", "items": {"type": "string"}, "minItems": 1}
TYPICAL: Schema = {
    "type": ["string", "null"],
    "description": "name of the typical from which the facts come that this entry does not say itself",
}
YAML_FILE = r"\.[yY][aA]?[mM][lL]$"


def add_short_forms(schema: Schema) -> None:
    """Put the short forms into the finished schema of the long form."""
    definitions, properties = schema["$defs"], schema["properties"]
    for made in CLASSES.values():
        definitions[made.__name__]["properties"]["typical"] = TYPICAL
    for name in LISTS_IN_ORDER:
        definitions[f"row of {name}".replace(" ", "-")] = _row(name)
    rows = [{"$ref": "#/$defs/" + f"row of {name}".replace(" ", "-")} for name in LISTS_IN_ORDER]
    properties["rows"] = _said(properties["rows"], {"type": ["array", "null"], "items": {"anyOf": rows}})
    tables = {name: _table(name) for name in LISTS_IN_ORDER}
    table = {"type": ["object", "null"], "properties": tables, "additionalProperties": False}
    properties["tables"] = _said(properties["tables"], table)
    kinds = [{"$ref": f"#/$defs/{made.__name__}"} for made in CLASSES.values()]
    typicals = {"type": "object", "additionalProperties": {"anyOf": [*kinds, {"type": "null"}]}}
    file = {"type": "string", "pattern": YAML_FILE}
    listed = {"type": "array", "items": {"anyOf": [file, typicals]}}
    properties["typicals"] = _said(properties["typicals"], {"anyOf": [typicals, listed, {"type": "null"}]})


def _table(name: str) -> Schema:
    row = {
        "type": "object",
        "additionalProperties": False,
        "required": ["id"],
        "properties": {"id": {"type": "string"}, **{fact: _fact(name, fact) for fact in facts_of(name)}},
    }
    file = {"type": "string", "pattern": r"\.([cC][sS][vV]|[yY][aA]?[mM][lL])$"}
    return {"anyOf": [file, {"type": "array", "items": {"anyOf": [file, row]}}, {"type": "null"}]}


def _said(of: Schema, made: Schema) -> Schema:
    """A property with its own description."""
    return {"description": of["description"], **made}


def _fact(name: str, fact: str) -> Schema:
    """A fact as it may stand in an entry of a list."""
    return {"$ref": f"#/$defs/{CLASSES[name].__name__}/properties/{quote(fact)}"}


def _row(name: str) -> Schema:
    spread = {}
    for fact in facts_of(name):
        one = _fact(name, fact)
        spread[fact] = {"anyOf": [one, {"type": "array", "items": {"anyOf": [one, {"type": "null"}]}}]}
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["list", "ids"],
        "properties": {"list": {"const": name}, "ids": IDS, **spread},
    }
