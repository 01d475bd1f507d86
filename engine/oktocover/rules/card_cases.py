"""Cases of a change that no verdict shows: an entry of the inspection card, a line of the field sheet, a finding's words.

`{card: rough electrical, after: rough gas, was: none}` and
`{field sheet: utah.meter-guard.approved, given: {...}, line: Guard of the meter accepted, was: none}` and
`{entry: nec.voltage-drop.severity, is: correction, was: advisory}`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from oktocover.findings.finding import Missing
from oktocover.reading.nearest import nearest
from oktocover.rules.addresses import VISIT_FIELDS, VISIT_LISTS, locate
from oktocover.rules.cases import Case, given_roots, run
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.types import RuleError
from oktocover.rules.visits import Inspection
from oktocover.site.declared import speaking

CARD, SHEET, ENTRY, NONE = "card", "field sheet", "entry", "none"
ENTRIES = ("title", *VISIT_FIELDS)
"""What a case may ask of a card."""
CARD_KEYS = (CARD, *ENTRIES, "given", "was", "note")
ENTRY_KEYS = (ENTRY, "is", "was", "note")
WORDS = ("title", "section", "severity", "stage", "trade", "remedy")
"""What of a rule a finding prints and no verdict shows. Everything else is proven by verdicts."""
SHEET_KEYS = (SHEET, "line", "by", "given", "was", "note")


def is_one(data: Mapping[str, Any]) -> bool:
    """Whether a case is about the card or the field sheet."""
    return CARD in data or SHEET in data or ENTRY in data


def expected(data: Mapping[str, Any]) -> tuple[str, str]:
    """(what the case says with its change, what it says without). RuleError when it does not say them."""
    what = next(key for key in (CARD, SHEET, ENTRY) if key in data)
    keys = {CARD: CARD_KEYS, SHEET: SHEET_KEYS, ENTRY: ENTRY_KEYS}[what]
    for key in data:
        if key not in keys:
            near = nearest(key, keys)
            do = f"did you mean '{near}'?" if near else ""
            raise RuleError(f"'{key}' is not part of such a case", "one of: " + ", ".join(keys), do)
    wanted, was = data.get(_entry(data)), data.get("was")
    if not isinstance(wanted, str) or not isinstance(was, str):
        raise RuleError(f"a case of the {what} says one entry, and was: what it was", "was: none")
    return wanted.strip(), was.strip()


def _entry(data: Mapping[str, Any]) -> str:
    if SHEET in data or ENTRY in data:
        return "line" if SHEET in data else "is"
    entries = [key for key in ENTRIES if key in data]
    if len(entries) != 1:
        raise RuleError("a case of the card asks for one entry", "one of: " + ", ".join(ENTRIES))
    return entries[0]


def outcome(case: Case, rules: RuleSet) -> str:
    """What the card or the field sheet of these rules says: the entry the case names, what it was, or `none`."""
    data = case.data
    wanted, was = expected(data)
    if ENTRY in data:
        return _printed(str(data[ENTRY]).strip(), rules)
    found = _on_card(case, rules) if CARD in data else _on_sheet(case, rules)
    if _entry(data) in (*VISIT_LISTS, "line"):
        return next((text for text in (wanted, was) if text in found), NONE)
    return found[0] if found else NONE


def _on_card(case: Case, rules: RuleSet) -> list[str]:
    name, entry = str(case.data[CARD]).strip(), _entry(case.data)
    inspections = {one.name: one for one in rules.inspections()}
    inspection = inspections.get(name)
    if inspection is None:
        return []
    if entry in VISIT_LISTS:
        return [text for line in inspection.lists[entry] for text in (line.name, line.text)]
    if entry == "only_if":
        return [_held(inspection, case, rules)]
    if entry == "covers":
        return ["yes" if inspection.covers else "no"]
    text = str(getattr(inspection, entry))
    return [text] if text else []


def _printed(address: str, rules: RuleSet) -> str:
    """A word of a rule that its findings print."""
    field = address.rpartition(".")[2]
    if field not in WORDS:
        raise RuleError(f"'{address}' is proven by a verdict", "one of: " + ", ".join(WORDS), "rule:, given:, verdict:")
    found = rules.folded.find(address)
    if found is None:
        return NONE
    section, name, rest = found
    spot = locate(rules.folded.things[section][name].data, rest)
    return NONE if spot is None or spot.value is None else str(spot.value)


def _held(inspection: Inspection, case: Case, rules: RuleSet) -> str:
    with speaking(rules.declared):
        held = inspection.held(given_roots(case))
    return "yes" if held is True else "no" if held is False else "not recorded"


def _on_sheet(case: Case, rules: RuleSet) -> list[str]:
    """Everything the field sheet would ask for one rule, on the facts the case gives."""
    address = str(case.data[SHEET]).strip()
    name = ".".join(address.split(".")[:2])
    rule = rules.rule(name)
    if rule is None:
        return []
    case.made = None
    judged = run(case, rule).judged
    case.made = None
    asked = [one for one in judged if address in (name, one.name) or one.name.startswith(address)]
    by = case.data.get("by")
    missing = [item for one in asked for item in one.missing if by in (None, item.found_by)]
    return [text for item in missing for text in _texts(item)]


def _texts(missing: Missing) -> tuple[str, ...]:
    return (missing.fact, missing.means)


__all__ = ["CARD_KEYS", "ENTRY_KEYS", "SHEET_KEYS", "expected", "is_one", "outcome"]
