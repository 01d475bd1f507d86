"""The words that every report uses for the same thing, and the cautions of each trade."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

SEVERITY: Final = {
    "hazard": "can hurt someone",
    "correction": "correction likely",
    "advisory": "worth knowing",
}
VERDICT: Final = {
    "met": "meets, as written",
    "not met": "does not meet",
    "not recorded": "not recorded",
    "does not apply": "does not apply",
}
FOUND_BY: Final = {
    "plate": "label",
    "maker": "maker's sheet",
    "paper": "papers",
    "official": "ask the office",
}
"""How a fact is found out, where the screen has another word for it than the site file."""
WEAK: Final = frozenset({"planned", "assumed", "typical", "told"})
"""Ways of knowing that are said beside a figure because nobody has looked yet."""
READY: Final = "ready to call, on what is written here."
CLOSING: Final = "A pre-check of what is written here. It is not an inspection; the inspector decides."
ANSWERED: Final = "answered by the official's written approval"

GAS_TEST: Final = "Gas test: never oxygen, never with appliances connected; valves and regulators off first."
_CAUTIONS: Final = (
    (("electrical",), "Wiring: power off, locked and proven dead before a hand goes in."),
    (("gas",), GAS_TEST),
    (
        ("gas", "vent", "mechanical", "fuel", "appliance", "fireplace"),
        "Fuel and vents: carbon monoxide gives no sign; an alarm that works before the first fire.",
    ),
    (("air",), "Compressed air: let the pressure out before anything is loosened; no air in PVC pipe."),
    (("plumbing",), "Drains: air under pressure can burst plastic pipe; test with water."),
    (("hydronic", "heat"), "Heating loops: pressure off before a fitting is touched."),
    (
        ("framing", "structure", "fireblocking"),
        "Structure: no cut past the table in a stud, joist or plate; the designer decides.",
    ),
)
LICENSED: Final = "The local code and the office decide. Licensed work stays licensed work."


def cautions(trades: Iterable[str]) -> tuple[str, ...]:
    """The short cautions that go with these trades, in a fixed order, and the one that always stands."""
    words = {word for trade in trades for word in trade.lower().replace("-", " ").replace("_", " ").split()}
    return (*(text for about, text in _CAUTIONS if words & set(about)), LICENSED)


def found_by(word: str) -> str:
    """Where an answer is found: tape, look, label, maker's sheet, papers, map, test, ask the office."""
    return FOUND_BY.get(word, word)
