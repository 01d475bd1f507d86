"""What may be in force for one site: one outcome, or several with the facts that would decide between them."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from oktocover.findings.finding import Missing
from oktocover.measures.values import Range, Unknown
from oktocover.rules.switches import CHOICES, Switch, Values


@dataclass(frozen=True, slots=True)
class Outcome:
    """What is in force: names of `adopts` entries, and (layer, change) of the changes that are not."""

    entries: tuple[str, ...]
    idle: frozenset[tuple[str, str]] = frozenset()


@dataclass(slots=True)
class Reading:
    """What is in force for one site: one outcome, or several with the facts that would decide."""

    outcomes: list[Outcome]
    tried: list[list[Values]]
    """For each outcome, the values of the open facts that lead to it."""
    missing: dict[str, Missing] = field(default_factory=dict)
    """The open facts by their full names."""
    undecided: bool = False
    """More is open than was tried: nothing can be judged."""
    wrong: list[tuple[tuple[str | int, ...], str, str, str]] = field(default_factory=list)
    """What the site says that cannot be: path in the site file, message, expected, what to do."""

    def between(self, verdicts: tuple[str | None, ...]) -> tuple[Missing, ...]:
        """The facts that make a difference to a verdict (given for each outcome): all else equal, another value turns it."""
        names = list(self.missing)
        found = []
        for name in names:
            others = [one for one in names if one != name]
            seen: dict[tuple[Any, ...], str | None] = {}
            pairs = ((values, verdicts[number]) for number, tried in enumerate(self.tried) for values in tried)
            if any(seen.setdefault(tuple(values.get(one) for one in others), got) != got for values, got in pairs):
                found.append(name)
        # Where what cannot be was left out, no single step may lead from one outcome to another.
        return tuple(self.missing[name] for name in found or names)


def windows(switches: Iterable[Switch]) -> str:
    """The days of some switches, in words."""
    parts = []
    for switch in (one for one in switches if one.dated):
        name = switch.by.removeprefix("permit.").replace(".", " ")
        parts.append(f"{name} {days(switch.first, switch.end)}")
    return " or ".join(dict.fromkeys(parts))


def days(first: datetime.date | None, end: datetime.date | None) -> str:
    """A window of days in words."""
    if first is None:
        return f"before {end}"
    return f"from {first}" if end is None else f"from {first} to before {end}"


def told(values: Values) -> str:
    """Values that lead to an outcome, in words: `permit applied 2019-12-31, building use one family`."""
    return ", ".join(
        f"{name.removeprefix(CHOICES).replace('.', ' ').replace('_', ' ')} {_word(one)}" for name, one in values.items()
    )


def _word(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "not recorded" if isinstance(value, (Unknown, Range)) else str(value)
