"""One difference between two places."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

ChangeWord = Literal["changed", "new", "gone"]


@dataclass(frozen=True, slots=True)
class Difference:
    """One name that two places have otherwise."""

    of: str
    """What it belongs to: rule, definition, table, visit, fact, book, not checked here."""
    part: str
    """What differs: limit, entry, cell, requirement, condition, exception, item, severity, stage, rule ..."""
    change: str
    """changed, new or gone."""
    address: str
    """The address an amendment would use."""
    title: str
    was: str
    now: str
    strictness: str
    """'stricter' or 'looser' where that can be derived, else empty."""
    source: str
    """Where it stands now, or who took it out."""
    was_source: str
    text: str
    """The difference in words, without its sources."""

    @property
    def sentence(self) -> str:
        """The difference with where it comes from, for minutes."""
        before = f"before: {self.was_source}" if self.was_source and self.was_source != self.source else ""
        if self.of in ("book", "not checked here"):
            before = ""
        source = "" if self.of in ("book", "not checked here") or self.source in self.text else self.source
        told = "; ".join(part for part in (self.strictness, source, before) if part)
        text = self.text[:1].upper() + self.text[1:]
        return f"{text} ({told})." if told else f"{text}."
