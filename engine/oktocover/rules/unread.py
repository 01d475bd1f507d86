"""Rows of a table that was found sound before: each is read when somebody looks at it."""

from __future__ import annotations

from collections.abc import Callable, ItemsView, Mapping, ValuesView
from typing import Any


class UnreadRows(dict[str, Any]):
    """A mapping whose values are made from what is written when they are first looked at."""

    __slots__ = ("_make", "_unread")

    def __init__(self, written: Mapping[str, Any], make: Callable[[Any], Any]) -> None:
        super().__init__(written)
        self._make = make
        self._unread = set(written)

    def __getitem__(self, key: str) -> Any:
        if key in self._unread:
            self._unread.discard(key)
            self[key] = self._make(super().__getitem__(key))
        return super().__getitem__(key)

    def get(self, key: str, default: Any = None) -> Any:
        """The value of a row, or `default`."""
        try:
            return self[key]
        except KeyError:
            return default

    def values(self) -> ValuesView[Any]:  # type: ignore[override]
        """All values, each made."""
        self._all()
        return super().values()

    def items(self) -> ItemsView[str, Any]:  # type: ignore[override]
        """All rows, each made."""
        self._all()
        return super().items()

    def _all(self) -> None:
        for key in tuple(self._unread):
            self[key]
