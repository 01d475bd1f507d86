"""The short forms in the schema of a site file, so that an editor completes them as it does the long form."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote

from oktocover._chain_schema import CHAIN, add_chain
from oktocover.reading.short.assumptions import TOP, common_values
from oktocover.reading.short.many import may_be_many
from oktocover.reading.short.one_by_one import ALL, ONE_BY_ONE, one_by_one
from oktocover.reading.short.several import SHARED, SPREAD
from oktocover.reading.short.statements import WALLS
from oktocover.reading.short.wall_lines import FRAMING, SORTS, facts_of_walls
from oktocover.reading.short.wall_lines import WALLS as WALL_LIST
from oktocover.reading.short.work import NOT_FACTS, classes, facts_of, lists_in_order

Schema = dict[str, Any]
IDS: Schema = {"type": "array", "items": {"type": "string"}, "minItems": 1}
TYPICAL: Schema = {
    "type": ["string", "null"],
    "description": "name of the typical from which the facts come that this entry does not say itself",
}
HEAD: Schema = {
    "type": "string",
    "description": "at the head of a list: the typical of every entry in it that names none",
}
SIZE: Schema = {
    "type": ["string", "null"],
    "description": "width and height in one, in place of `width` and `high`: 3 ft x 6 ft 8 in",
}
SIGNED: Schema = {
    "required": ["by", "day"],
    "anyOf": [{"required": ["count"]}, {"required": ["ids"]}, {"required": ["sample"]}],
}
COMMON = "common practice"
YAML_FILE = r"\.[yY][aA]?[mM][lL]$"


def add_short_forms(schema: Schema) -> None:
    """Put the short forms into the finished schema of the long form."""
    definitions, properties = schema["$defs"], schema["properties"]
    for made in classes().values():
        facts = definitions[made.__name__]["properties"]
        facts["typical"] = TYPICAL
        facts |= {"size": SIZE} if "size" in made.short_keys else {}
        facts |= {"chain": CHAIN} if "chain" in made.short_keys else {}
    add_chain(definitions)
    for name in lists_in_order():
        definitions[f"row of {name}".replace(" ", "-")] = _row(name)
        definitions[f"several {name}".replace(" ", "-")] = _own_row(name)
        properties[name]["patternProperties"] = {",": _ref(f"several {name}")}
        properties[name]["properties"] = {"typical": {"anyOf": [HEAD, properties[name]["additionalProperties"]]}}
    rows = [{"$ref": "#/$defs/" + f"row of {name}".replace(" ", "-")} for name in lists_in_order()]
    properties["rows"] = _said(properties["rows"], {"type": ["array", "null"], "items": {"anyOf": rows}})
    tables = {name: _table(name) for name in lists_in_order()}
    table = {"type": ["object", "null"], "properties": tables, "additionalProperties": False}
    properties["tables"] = _said(properties["tables"], table)
    names = {"type": ["array", "null"], "items": {"enum": list(common_values())}}
    properties["assume"] = _said(properties["assume"], names)
    _add_several(definitions)
    looked = properties["looked"]
    spoken = [name for name in lists_in_order() if ONE_BY_ONE.get(name) != ALL]
    for name in spoken:
        definitions[f"said about {name}".replace(" ", "-")] = _statement(name)
        definitions[f"statement about {name}".replace(" ", "-")] = {"allOf": [_ref(f"said about {name}"), SIGNED]}
    looked["items"] = {"anyOf": [looked["items"], *(_ref(f"statement about {name}") for name in spoken)]}
    for section in SHARED:
        properties[section]["items"] = {"anyOf": [properties[section]["items"], _said_together(section, definitions)]}
    kinds = [{"$ref": f"#/$defs/{made.__name__}"} for made in classes().values()]
    typicals = {"type": "object", "additionalProperties": {"anyOf": [*kinds, {"type": "null"}]}}
    file = {"type": "string", "pattern": YAML_FILE}
    listed = {"type": "array", "items": {"anyOf": [file, typicals]}}
    properties["typicals"] = _said(properties["typicals"], {"anyOf": [typicals, listed, {"type": "null"}]})
    _add_walls(definitions, properties)


def _add_several(definitions: Schema) -> None:
    """One line about several lists, or several elements."""
    for made, section in (("Looked", "looked"), ("Record", "records")):
        key, others = SPREAD[section]
        facts = definitions[made]["properties"]
        for name in (key, *others, *(("for",) if section == "records" else ())):
            listed = {"type": "array", "items": {"anyOf": [facts[name], {"type": "null"}]}, "minItems": 1}
            facts[name] = {"anyOf": [facts[name], listed]}


def _said_together(section: str, definitions: Schema) -> Schema:
    """What one person said on one day: lines under `said`, which need not say again what stands beside it."""
    facts = definitions[{"looked": "Looked", "records": "Record"}[section]]["properties"]
    names = [name for name in definitions if name.startswith("said-about-")] if section == "looked" else []
    lines: list[Schema] = [{"type": "null"}, *(_ref(name) for name in names)]
    lines.append({"type": "object", "additionalProperties": False, "properties": facts})
    shared = {key: facts.get(key, {"type": "string"}) for key in SHARED[section]}
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["said"],
        "properties": {**shared, "said": {"type": "array", "items": {"anyOf": lines}}},
    }


def _add_walls(definitions: Schema, properties: Schema) -> None:
    """Classes of framing, and the list of walls as lines that each speak of one wall or of many."""
    facts = definitions["Wall"]["properties"]
    named = {"type": "string", "description": "name of a class under `framing:`"}
    words = facts[FRAMING]
    facts[FRAMING] = {"description": words.get("description", ""), "anyOf": [words, named]}
    typical = {fact: _fact(WALL_LIST, fact) for fact in facts_of_walls() if not one_by_one(WALL_LIST, fact)}
    framing = {
        "type": ["object", "null"],
        "additionalProperties": False,
        "properties": {**typical, FRAMING: words, "known": facts["known"]},
    }
    named_framings = {"type": ["object", "null"], "additionalProperties": framing}
    properties[FRAMING] = _said(properties[FRAMING], named_framings)
    lines = [{"type": "null"}, *(_wall_line(form) for form in ("all", "between", "wall", "id"))]
    properties[WALL_LIST] = {"anyOf": [properties[WALL_LIST], {"type": "array", "items": {"anyOf": lines}}]}


def _wall_line(form: str) -> Schema:
    texts = {"type": "array", "items": {"type": "string"}}
    some = {"anyOf": [{"type": "string"}, texts]}
    forms: dict[str, Schema] = {
        "all": {
            "all": {"enum": list(SORTS), "description": "which walls: those that the rooms show to be of this sort"},
            "in": {**some, "description": "only those of this room"},
            "except": {**some, "description": "walls, sides or rooms that this line does not speak of"},
            "by": {"type": "string", "description": "initials of the person who looked"},
            "day": {"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}$"},
            "how": {"type": "string", "description": "how it was looked at: read off sheet A-2"},
            "count": {"type": ["string", "integer"], "pattern": "^[0-9]+$", "description": "how many walls there were"},
        },
        "between": {"between": {**texts, "minItems": 2, "description": "the rooms on its two sides"}},
        "wall": {"wall": {"type": "string", "description": "one of its sides: room.wall"}},
        "id": {},
    }
    own = dict(forms[form])
    if form != "all":
        own["id"] = {"type": "string", "description": "what records call this wall"}
    said = (
        facts_of_walls() if form == "all" else [fact for fact in facts_of(WALL_LIST) if form == "id" or fact != "sides"]
    )
    return {
        "type": "object",
        "additionalProperties": False,
        "required": [form],
        "properties": {**own, **{fact: _fact(WALL_LIST, fact) for fact in said}},
    }


def _table(name: str) -> Schema:
    row = {
        "type": "object",
        "additionalProperties": False,
        "required": ["id"],
        "properties": {"id": {"type": "string"}, **{fact: _fact(name, fact) for fact in facts_of(name)}},
    }
    file = {"type": "string", "pattern": r"\.([cC][sS][vV]|[yY][aA]?[mM][lL])$"}
    return {"anyOf": [file, {"type": "array", "items": {"anyOf": [file, row]}}, {"type": "null"}]}


def _ref(name: str) -> Schema:
    return {"$ref": "#/$defs/" + name.replace(" ", "-")}


def _statement(name: str) -> Schema:
    facts = [fact for fact in facts_of(name) if fact not in (*NOT_FACTS, *classes()[name].short_keys)]
    said = {fact: _fact(name, fact) for fact in facts if not one_by_one(name, fact)}
    texts = {"type": "array", "items": {"type": "string"}}
    whole = {"type": ["string", "integer"], "pattern": "^[0-9]+$"}
    some = {"type": "object", "additionalProperties": False, "minProperties": 1}
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["all", "are"],
        "properties": {
            "all": {"enum": [name, *(WALLS if name == "walls" else ())]},
            "where": {
                **some,
                "properties": {fact: _fact(name, fact) for fact in facts},
                "description": "only those of which this is recorded",
            },
            "in": {"anyOf": [{"type": "string"}, texts], "description": "only those in this room, or on this wall"},
            "are": {**some, "properties": said, "description": "what was found to be so of all of them"},
            "by": {"type": "string", "description": "initials of the person who looked"},
            "day": {"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}$"},
            "how": {"type": "string", "description": "how it was looked at: block beside every hole"},
            "known": {"enum": ["looked", "measured"]},
            "count": {**whole, "description": "how many there were; when there are more or fewer the statement lapses"},
            "ids": {**texts, "description": "which there were, so that a lapsed statement can say which are new"},
            "except": {**texts, "description": "ids that it does not speak of, and that `count` does not count"},
            "photos": texts,
            **_of_holes(name),
            "sample": {
                "type": "string",
                "pattern": r"^\d+ of \d+$",
                "description": "looked at only so many: 12 of 129",
            },
        },
    }


def _of_holes(name: str) -> Schema:
    """What is said of things that nobody lists one by one."""
    about = "how many cables there were then (in those rooms); when there are more or fewer the statement lapses"
    return (
        {"cables": {"type": ["string", "integer"], "pattern": "^[0-9]+$", "description": about}}
        if may_be_many(name)
        else {}
    )


def _said(of: Schema, made: Schema) -> Schema:
    """A property with its own description."""
    return {"description": of["description"], **made}


def _fact(name: str, fact: str) -> Schema:
    """A fact as it may stand in an entry of a list."""
    return {"$ref": f"#/$defs/{classes()[name].__name__}/properties/{quote(fact)}"}


def _row(name: str) -> Schema:
    spread = _spread(name)
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["list", "ids"],
        "properties": {"list": {"const": name}, "ids": IDS, **spread},
    }


def _own_row(name: str) -> Schema:
    """The facts of an entry whose key names several ids, `R-01, R-02`."""
    return {"type": "object", "additionalProperties": False, "properties": _spread(name)}


def _spread(name: str) -> Schema:
    """Each fact as one value for all, or a list with one for each."""
    spread = {}
    for fact in facts_of(name):
        one = _fact(name, fact)
        spread[fact] = {"anyOf": [one, {"type": "array", "items": {"anyOf": [one, {"type": "null"}]}}]}
    return spread


def common_values_schema() -> Schema:
    """The schema of the file of common values."""
    texts = {"type": "array", "items": {"type": "string"}}
    basis = {"type": "object", "required": ["check"], "properties": {"check": {"enum": ["seen", "memory", COMMON]}}}
    value = {
        "type": "object",
        "additionalProperties": False,
        "required": ["list", "facts", "reason", "basis"],
        "properties": {
            "list": {"enum": list(lists_in_order())},
            "where": {"type": "object", "description": "only elements of which this is recorded"},
            "lacks": {**texts, "description": "only elements that record none of these"},
            "facts": {"type": "object", "minProperties": 1},
            "reason": {"type": "string", "description": "why people take this value"},
            "basis": basis,
        },
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "common-values.schema.json",
        "title": "Values that a site may assume by name",
        "type": "object",
        "additionalProperties": False,
        "required": [TOP],
        "properties": {TOP: {"type": "object", "additionalProperties": value}},
    }
