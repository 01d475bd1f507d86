"""What was found sound before waits until somebody looks at it: rows of tables, parts of rules."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any


class Unread(dict[str, Any]):
    """A mapping whose values are made from what is written when they are first looked at, one by one."""

    __slots__ = ("_make", "_waiting")

    def __init__(self, written: Mapping[str, Any], make: Callable[[str, Any], Any]) -> None:
        super().__init__(written)
        self._make = make
        self._waiting = set(written)

    def __getitem__(self, key: str) -> Any:
        if key in self._waiting:
            self._waiting.discard(key)
            self[key] = self._make(key, super().__getitem__(key))
        return super().__getitem__(key)

    def get(self, key: str, default: Any = None) -> Any:
        """The value of a name, or `default`."""
        try:
            return self[key]
        except KeyError:
            return default

    def values(self) -> list[Any]:  # type: ignore[override]
        """All values, each made."""
        return [self[key] for key in tuple(self)]

    def items(self) -> list[tuple[str, Any]]:  # type: ignore[override]
        """All names and values, each made."""
        return [(key, self[key]) for key in tuple(self)]
