"""The one error of this package: a text that is no quantity, said in a sentence a person can act on."""

from __future__ import annotations

_SHOWN = 60


def clip(text: str) -> str:
    """Return ``text`` short enough, and printable enough, to stand inside a one-line message."""
    line = "".join(c if c.isprintable() else "?" for c in text[: _SHOWN + 1])
    return line if len(line) <= _SHOWN else line[: _SHOWN - 1] + "…"


class QuantityError(ValueError):
    """A text could not be read as the quantity its place asks for.

    ``message`` is the whole sentence (also ``str()``), ``found`` the text as it was written, ``expected`` the
    name of the dimension, ``forms`` accepted ways to write one, ``suggestion`` the nearest unit or the mended
    text when there is one, ``column`` the 0-based place of the offending part in ``found``.
    """

    def __init__(
        self,
        message: str,
        *,
        found: str = "",
        expected: str = "",
        forms: tuple[str, ...] = (),
        suggestion: str | None = None,
        column: int = 0,
    ) -> None:
        super().__init__(message)
        self.message = message
        self.found = found
        self.expected = expected
        self.forms = forms
        self.suggestion = suggestion
        self.column = column

    def __str__(self) -> str:
        return self.message
