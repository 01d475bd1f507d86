"""The JSON Schemas of the files people write, made from the code that reads them, so that both stay in step.

`python -m oktocover.schemas` writes them; a test compares them with what stands in schemas/.
"""

from __future__ import annotations

import json
from typing import Any, get_args

from oktocover._card_schema import card_schema
from oktocover._short_schemas import add_short_forms, common_values_schema
from oktocover.data import data_dir
from oktocover.measures import registry, trades
from oktocover.quantities import NAMES, QuantityError, read
from oktocover.reading import answers, set_aside
from oktocover.rules import (
    addresses,
    card_cases,
    cases,
    form,
    layers,
    limits,
    pinned,
    signed,
    verbs,
    visit_points,
    visits,
)
from oktocover.rules import declared as declarations
from oktocover.rules.fingerprints import LENGTH
from oktocover.site.base import HOW_KNOWN, FoundBy, spaced
from oktocover.site.declared import NOTHING, Declared, speaking
from oktocover.site.root import DescribedSystems, site_model

assert trades

DRAFT = "https://json-schema.org/draft/2020-12/schema"
TEXT = {"type": ["string", "number", "boolean"]}
Schema = dict[str, Any]


def site_schema(declared: Declared = NOTHING) -> Schema:
    """The schema of a site file: of any place, or of one whose rules declare facts and kinds of their own."""
    with speaking(declared):
        return _site_schema()


def _site_schema() -> Schema:
    schema = site_model().model_json_schema(by_alias=True)
    definitions = schema.setdefault("$defs", {})
    for name in NAMES:
        definitions[name.replace(" ", "-")] = _amount(name)
    _refer(schema)
    _open_blanks(schema)
    definitions["fact"] = _mapping(
        ("is", "known", "by", "day", "was", "note"), {"known": _words(HOW_KNOWN), "by": {"type": "string"}}, ("is",)
    ) | {"description": "a fact with how it is known: {is: 44 in, known: told, by: the electrician}"}
    add_short_forms(schema)
    return {
        "$schema": DRAFT,
        "$id": "site.schema.json",
        **schema,
        "title": "A site file: one building, as written down",
    }


def _amount(name: str) -> Schema:
    try:
        read("?", name)
        forms: tuple[str, ...] = ()
    except QuantityError as error:
        forms = error.forms
    plain = ["string", "number"] if name in ("number", "share", "pipe size", "ehd") else "string"
    return {
        "type": plain,
        "description": f"a {name}; bounds are welcome: at least ..., at most ...",
        "examples": list(forms),
    }


def _refer(node: Any) -> None:
    """Amounts refer to the one definition of their dimension."""
    if isinstance(node, dict):
        name = node.pop("amount", None)
        if isinstance(name, str):
            node.pop("type")
            node["$ref"] = f"#/$defs/{name.replace(' ', '-')}"
    for inner in node.values() if isinstance(node, dict) else node if isinstance(node, list) else ():
        _refer(inner)


def _open_blanks(node: Any) -> None:
    """Every property may be left blank (not recorded), and texts may look like numbers to an editor."""
    if isinstance(node, dict):
        properties = node.get("properties")
        if isinstance(properties, dict):
            for name, inner in properties.items():
                properties[name] = _with_fact(inner)
        for inner in node.values():
            _open_blanks(inner)
    elif isinstance(node, list):
        for inner in node:
            _open_blanks(inner)


def _with_fact(inner: Schema) -> Schema:
    if inner.get("default", 0) is None and "anyOf" in inner:
        options = [option for option in inner["anyOf"] if option != {"type": "null"}]
        return {
            **{k: v for k, v in inner.items() if k not in ("anyOf", "default")},
            "anyOf": [*options, {"type": "null"}, _ref("fact")],
        }
    return inner


def _mapping(keys: tuple[str, ...], special: Schema, required: tuple[str, ...] = ()) -> Schema:
    properties = {key: special.get(key, TEXT) for key in keys}
    return {
        "type": "object",
        "additionalProperties": False,
        "properties": properties,
        **({"required": list(required)} if required else {}),
    }


def _named(of: Schema) -> Schema:
    return {"type": "object", "additionalProperties": of}


def _ref(name: str) -> Schema:
    return {"$ref": f"#/$defs/{name}"}


def _words(words: Any) -> Schema:
    return {"enum": list(words)}


def _rule_definitions() -> Schema:
    expression = {
        "type": ["string", "boolean"],
        "description": "an expression: facts bare, words in quotes, numbers as limits",
    }
    named_or_text = {"anyOf": [expression, _named(expression)]}
    texts = {"type": "array", "items": {"type": "string"}}
    body = {
        "when": named_or_text,
        "limits": _named(_ref("limit")),
        "unless": {"anyOf": [expression, _named(_ref("exception"))]},
        "items": _named(_ref("item")),
        "join": {"anyOf": [_words(("all", "any")), {"type": "string", "pattern": "^at least [0-9]+$"}]},
        "severity": _words(form.SEVERITIES),
        "touches": texts,
        "also": texts,
        "each": _words(sorted(registry.KINDS)),
        "needs": _words(form.NEEDS),
        "basis": _ref("basis"),
        "require": expression,
    }
    return {
        "basis": _mapping(form.BASIS_KEYS, {"check": _words(form.CHECKS)}, ("check",)),
        "limit": {
            "anyOf": [TEXT, {"type": "array", "items": TEXT}, _ref("schedule")],
            "description": "a quantity with its unit, a list, a schedule by a fact, '= expression', or blank UNIT",
        },
        "schedule": _mapping(
            form.SCHEDULE_KEYS,
            {"by": {"anyOf": [{"type": "string"}, texts]}, "between": _words(limits.HOWS), "rows": {"type": "object"}},
            ("by", "rows"),
        ),
        "item": {"anyOf": [expression, _mapping(form.ITEM_KEYS, body)]},
        "exception": {"anyOf": [expression, _mapping(form.EXCEPTION_KEYS, body)]},
        "rule": _mapping(form.RULE_KEYS, body, ("title", "section", "each", "basis")),
        "term": _mapping(
            form.TERM_KEYS, {"of": body["each"], "limits": body["limits"], "basis": _ref("basis")}, ("of", "is")
        ),
        "table": _mapping(
            form.TABLE_KEYS,
            {"keys": _named(_words(limits.HOWS)), "columns": texts, "rows": {"type": "object"}, "basis": _ref("basis")},
            ("section", "keys", "rows", "basis"),
        ),
        "inspection": _mapping(
            visits.KEYS,
            {"limits": _named(_ref("limit")), **{name: _lines(texts) for name in addresses.VISIT_LISTS}},
        ),
        "change": _mapping(
            layers.CHANGE_KEYS,
            {
                **_switch(),
                "stacking": _words(layers.STACKING),
                "effect": _words(("stricter", "looser", "other")),
                "meant": _words(("yes", True)),
                "take": _named({"type": "string"}),
                "strike": _named(_words(verbs.EFFECTS)),
                "set": {"type": "object"},
                "add": {"type": "object"},
                "basis": _ref("basis"),
                "cases": _listed_cases(),
            },
            ("cite",),
        ),
        "case": _case(),
        "card_case": _mapping(card_cases.CARD_KEYS, {"given": {"type": "object"}}, ("card", "was")),
        "entry_case": _mapping(card_cases.ENTRY_KEYS, {}, card_cases.ENTRY_KEYS[:3]),
        "sheet_case": _mapping(card_cases.SHEET_KEYS, {"given": {"type": "object"}}, ("field sheet", "line", "was")),
    }


def _switch() -> Schema:
    """When something of a place is in force."""
    day = {"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}$"}
    return {
        "when": {
            "type": ["string", "boolean"],
            "description": "facts of the site, the building and the permit: building.units > few",
        },
        "limits": {**_named(TEXT), "description": "the figures that `when` compares with: {few: 2}"},
        "from": {"anyOf": [day, {"const": "asleep"}], "description": "the first day it is in force, or asleep"},
        "until": {**day, "description": "the first day it is no longer in force"},
        "by": {
            "type": "string",
            "description": "which date from and until are held against; applied if left out",
            "examples": ["applied", "issued", "received", "electrical.issued", "building.begun"],
        },
        "wakes": {"type": "string", "description": "what would bring into force what is asleep"},
        "status": {"const": "proposed", "description": "proposed: in force on no day"},
    }


def _lines(texts: Schema) -> Schema:
    """A list of an inspection: one name, several, or names with their texts."""
    line = {"anyOf": [TEXT, _mapping(visits.LINE_KEYS, {}, ("text",))]}
    return {"anyOf": [{"type": "string"}, texts, _named(line)]}


def _case() -> Schema:
    return _mapping(
        cases.CASE_KEYS,
        {
            "given": {"type": "object"},
            "site": {"type": "object"},
            "verdict": _words((*cases.VERDICTS, *cases.NO_VERDICTS)),
            "was": _words((*cases.VERDICTS, *cases.NO_VERDICTS)),
            "missing": {"type": "array"},
            "editions": {"type": "array"},
        },
    )


def _layer(special: Schema, required: tuple[str, ...]) -> Schema:
    usual = _mapping(
        layers.USUAL_KEYS, {"severity": _words(form.SEVERITIES), "basis": _ref("basis"), "needs": _words(form.NEEDS)}
    )
    known = {
        "usual": usual,
        "rules": _named(_loose_rule()),
        "terms": _named(_ref("term")),
        "tables": _named(_ref("table")),
        "kinds": _named(_kind_schema()),
        "facts": _named(_fact_schema()),
        "inspections": _named(_ref("inspection")),
        "changes": {"anyOf": [_named(_ref("change")), {"type": "null"}]},
        "not checked here": _named({"anyOf": [{"type": "string"}, _mapping(signed.LEFT_OUT_KEYS, {}, ("about",))]}),
        "checked by": _mapping(signed.SIGNED_KEYS, {}, ("office", "date")),
        "cautions": {"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]},
        **special,
    }
    return {**_mapping(layers.LAYER_KEYS, known, required), "$defs": _rule_definitions()}


def _fact_schema() -> Schema:
    words = {"type": "array", "items": TEXT, "minItems": 2}
    types = {"anyOf": [{"type": "string", "description": declarations.TYPES}, words]}
    special = {"type": types, "one of": words, "found by": _words(get_args(FoundBy)), "means": {"type": "string"}}
    return _mapping(declarations.FACT_KEYS, special, ("means",))


def _kind_schema() -> Schema:
    systems = _words([spaced(name) for name in DescribedSystems.model_fields])
    yes_no = _words(("yes", "no", True, False))
    special = {"system": systems, "on wall": yes_no, "facts": _named(_fact_schema())}
    return _mapping(declarations.KIND_KEYS, special, ("plural", "means"))


def _listed_cases() -> Schema:
    """Cases that stand in what they prove."""
    return {
        "type": "array",
        "items": {"anyOf": [_ref("case"), _ref("card_case"), _ref("sheet_case"), _ref("entry_case")]},
    }


def _loose_rule() -> Schema:
    return _ref("rule")


def book_schema() -> Schema:
    """The schema of a code book's file."""
    return {
        "$schema": DRAFT,
        "$id": "book.schema.json",
        "title": "Rules of one standard in one edition",
        **_layer({"adopts": False, "bounds": False, "stacking": False, "place": False}, ("book", "edition")),
    }


def jurisdiction_schema() -> Schema:
    """The schema of a place's file, or of a job's own standard."""
    cases = {"cases": _listed_cases()}
    pick = {"type": "string", "examples": ["sections 210.8, 210.52 to 210.60", "trade electrical"]}
    entry = _mapping(
        layers.ADOPT_KEYS,
        {
            **_switch(),
            **cases,
            "choice": {"type": "string", "description": "the applicant chooses: permit.<name>, written under choices"},
            "chosen": {"type": "string", "description": "the word that chooses this entry; its book if left out"},
            "only": pick,
            "without": pick,
        },
    )
    adoption = {"anyOf": [{"type": "string"}, {**entry, "oneOf": [{"required": ["book"]}, {"required": ["as"]}]}]}
    bound = _mapping(
        layers.BOUND_KEYS,
        {
            **cases,
            "lower layers": _words(("may not weaken", "may not differ")),
            "rules": {"anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}]},
        },
        ("lower layers", "cite"),
    )
    which = _words(layers.STACKING)
    reach = {"anyOf": [{"type": "string"}, _mapping(layers.REACH_KEYS, cases, ("when",))]}
    stacking = {"anyOf": [which, _mapping(layers.STACKING_KEYS, {**cases, "is": which}, ("is",))]}
    special = {"adopts": _named(adoption), "bounds": _named(bound), "stacking": stacking, "reach": reach}
    return {
        "$schema": DRAFT,
        "$id": "jurisdiction.schema.json",
        "title": "A place: what it adopts and what it changes",
        **_layer({**special, "book": False, "edition": False, "from": False}, ("place",)),
    }


def cases_schema() -> Schema:
    """The schema of a file of cases."""
    block = {
        "type": "object",
        "additionalProperties": False,
        "required": ["cases"],
        "properties": {"usual": {"type": "object"}, "cases": _named(_case())},
    }
    return {
        "$schema": DRAFT,
        "$id": "cases.schema.json",
        "title": "Cases that prove rules",
        "type": "object",
        "required": ["cases"],
        "properties": {"cases": {"type": "string"}, "note": {"type": "string"}},
        "additionalProperties": block,
    }


def visit_points_schema() -> Schema:
    """The schema of the file of what offices commonly ask for at a visit."""
    texts = {"type": "array", "items": {"type": "string"}, "minItems": 1}
    systems = {"type": "array", "items": _words([spaced(name) for name in DescribedSystems.model_fields])}
    special = {
        "about": _words(visit_points.ABOUT),
        "needs": systems,
        **dict.fromkeys(("trades", "visits", "not visits"), texts),
    }
    point = _mapping(visit_points.KEYS, special, ("about", "say", "section", "lists"))
    basis = _mapping(form.BASIS_KEYS, {"check": _words(form.CHECKS)}, ("check", "source"))
    return {
        "$schema": DRAFT,
        "$id": "visit-points.schema.json",
        "title": "What offices commonly ask for at a visit, besides the work",
        **_mapping((visit_points.TOP, "basis"), {visit_points.TOP: _named(point), "basis": basis}, ("basis",)),
    }


def answers_schema() -> Schema:
    """The schema of a file of answers from the field."""
    schema = answers.AnswersFile.model_json_schema(by_alias=True)
    definitions = schema["$defs"]
    reading = {"anyOf": [TEXT, {"type": "array", "items": TEXT}, {"type": "null"}]}
    definitions["Answer"]["properties"]["value"] |= reading
    definitions["number"] = _amount("number")
    _refer(schema)
    for node in (schema, definitions["Answer"]):
        for name, inner in node["properties"].items():
            node["properties"][name] = {key: value for key, value in inner.items() if key not in ("default", "title")}
    return {
        "$schema": DRAFT,
        "$id": "answers.schema.json",
        **schema,
        "title": "Answers: readings from the field, to be laid into a site",
    }


def set_aside_schema() -> Schema:
    """The schema of a file of findings that are set aside."""
    day = {"type": "string", "pattern": r"^\d{4}-\d{2}-\d{2}$"}
    words = {"type": "string", "pattern": r"\S"}
    special = {**dict.fromkeys(set_aside.KEYS, words), "day": day, "identity": {"pattern": "^[0-9a-f]{16}$"}}
    entry = _mapping(set_aside.KEYS, special, set_aside.NEEDED)
    return {
        "$schema": DRAFT,
        "$id": "set-aside.schema.json",
        "title": "Findings that are set aside until a visit, each with who and why",
        **_mapping((set_aside.TOP,), {set_aside.TOP: {"type": "array", "items": entry}}, (set_aside.TOP,)),
    }


def pinned_rules_schema() -> Schema:
    """The schema of a file of pinned rules."""
    head = _mapping(pinned.KEYS, {"books": {"type": "array", "items": {"type": "string"}}})
    says = {"type": "string", "pattern": f"^[0-9a-f]{{{LENGTH}}}$"}
    return {
        "$schema": DRAFT,
        "$id": "pinned-rules.schema.json",
        "title": "The rules a job is checked with, each with a short hash of what it says",
        **_mapping(
            (pinned.TOP, pinned.RULES), {pinned.TOP: head, pinned.RULES: _named(says)}, (pinned.TOP, pinned.RULES)
        ),
    }


MADE = {
    "answers.schema.json": answers_schema,
    "site.schema.json": site_schema,
    "book.schema.json": book_schema,
    "jurisdiction.schema.json": jurisdiction_schema,
    "cases.schema.json": cases_schema,
    "common-values.schema.json": common_values_schema,
    "visit-points.schema.json": visit_points_schema,
    "set-aside.schema.json": set_aside_schema,
    "pinned-rules.schema.json": pinned_rules_schema,
    "card.schema.json": card_schema,
}


def text_of(name: str) -> str:
    """The text of one schema file."""
    return json.dumps(MADE[name](), indent=1, ensure_ascii=False) + "\n"


def main() -> None:
    """Write all schemas that are made from code."""
    folder = data_dir("schemas")
    for name in MADE:
        (folder / name).write_text(text_of(name), encoding="utf-8")


if __name__ == "__main__":
    main()
