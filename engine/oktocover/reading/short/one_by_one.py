"""What no typical and no statement may say of many at once: each is looked up, measured or tested by itself.

A test is a reading on a gauge, a terminal stands where it stands, a length of gas pipe decides how long the test is
held, what a wall carries or is rated for is the designer's word, and a circuit has its own outlets.
"""

from __future__ import annotations

ALL: tuple[str, ...] = ("*",)
ONE_BY_ONE: dict[str, tuple[str, ...]] = {
    "gas tests": ALL,
    "terminals": ALL,
    "gas pipes": ("length",),
    "circuits": ("chain", "outlets", "whole"),
    "walls": ("bearing", "rating", "rated for", "both faces"),
    "penetrations": (
        "rating",
        "listed system",
        "f rating",
        "fill tested",
        "sheet gap least",
        "sheet gap most",
        "sheet item most",
        "sheet depth",
    ),
    "membrane boxes": ("listed", "listed gap", "listed apart"),
}
"""By list: the facts that are written entry by entry; ALL where that is every fact."""


def one_by_one(name: str, fact: str) -> str | None:
    """What is written one by one when this fact of this list is; None when many may be said at once."""
    facts = ONE_BY_ONE.get(name, ())
    if facts == ALL:
        return name
    return f"{fact} of {name}" if fact in facts else None
