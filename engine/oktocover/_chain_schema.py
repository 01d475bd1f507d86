"""The chain of a circuit in the schema of a site file."""

from __future__ import annotations

from typing import Any

Schema = dict[str, Any]
CHAIN: Schema = {"$ref": "#/$defs/chain"}
"""A chain, a blank, or a chain with how it is known."""


def add_chain(definitions: Schema) -> None:
    """Put the definitions of a chain beside those of the elements."""
    facts = {"$ref": "#/$defs/Cable"}
    alone = {
        "type": "object",
        "minProperties": 1,
        "maxProperties": 1,
        "additionalProperties": {"anyOf": [{"type": ["string", "null"]}, facts]},
        "description": "an outlet with the designation, or facts, of the cable that comes to it: {S-1: 14-3 NM-B}",
    }
    run = {"$ref": "#/$defs/chain-run"}
    definitions["chain-run"] = {
        "type": "array",
        "minItems": 1,
        "items": {"anyOf": [{"type": ["string", "null"]}, alone, run]},
        "description": "outlets in the order the cable runs; an inner list is a branch from the outlet before it",
    }
    known = {
        "type": "object",
        "additionalProperties": False,
        "required": ["is"],
        "properties": {"is": run, **{key: {"type": "string"} for key in ("known", "by", "day", "was", "note")}},
    }
    definitions["chain"] = {
        "anyOf": [run, {"type": ["string", "null"]}, known],
        "description": "the outlets of this circuit in the order its cable runs: [P-1, R-11, R-12, [R-13, R-14]]",
    }
    definitions["chain-run"]["examples"] = [["P-1", "R-11", "R-12", ["R-13", "R-14"], {"S-1": "14-3 NM-B"}]]
