"""Plain twins of what phones and word processors write: curly quotes, primes, ½, thin spaces, dashes."""

from __future__ import annotations

from dataclasses import dataclass

_TWINS: dict[str, str] = (
    dict.fromkeys("\u2018\u2019\u201a\u201b\u2032\u00b4`\u02b9\u02bc\u055a\uff07", "'")
    | dict.fromkeys("\u201c\u201d\u201e\u201f\u2033\u02ba\u3003\uff02", '"')
    | dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe63\uff0d", "-")
    | dict.fromkeys("\u200b\u200c\u200d\u2060\ufeff\u00ad\u200e\u200f", "")
    | dict.fromkeys("\u00ba\u02da", "°")
    | dict.fromkeys("\u00d7\u2715", "x")
    | {"\u2044": "/", "\u2215": "/", "\u2264": "<=", "\u2265": ">=", "\u00b7": "-", "\u22c5": "-"}
    | {"\u2126": "ohm", "\u03a9": "ohm", "°": "°"}
)
_SUPERSCRIPTS = {"\u00b2": "2", "\u00b3": "3"}


@dataclass(frozen=True, slots=True)
class Plain:
    """A text in plain characters, and for each of them where it stood in the text as written."""

    text: str
    written: str
    places: tuple[int, ...] | None

    def column(self, at: int) -> int:
        """Return the 0-based place in the written text of character ``at`` of the plain one."""
        if self.places is None:
            return at
        return self.places[at] if at < len(self.places) else len(self.written)


def _twin(char: str, before: str) -> str:
    """Return the plain twin of one character; ``before`` is the plain character in front of it."""
    if char < "\x80":
        return char
    found = _TWINS.get(char)
    if found is not None:
        return found
    if char in _SUPERSCRIPTS:
        return _SUPERSCRIPTS[char] if before.isalpha() else char
    from unicodedata import normalize

    folded = normalize("NFKC", char).replace("\u2044", "/")
    if "/" in folded and before.isdigit():
        # 6½ is six and a half, never 61/2.
        folded = "-" + folded
    return folded if folded.isascii() or folded in ("°F", "°C") else char


def plain(written: str) -> Plain:
    """Return ``written`` with plain characters and no space around it."""
    if written.isascii() and "''" not in written and "\t" not in written:
        text = written.strip()
        if len(text) == len(written):
            return Plain(text, written, None)
        start = written.index(text) if text else 0
        return Plain(text, written, tuple(range(start, start + len(text))))
    chars: list[str] = []
    places: list[int] = []
    for place, char in enumerate(written):
        twin = _twin(char, chars[-1] if chars else "")
        if twin == "'" and chars and chars[-1] == "'":
            chars[-1] = '"'
            continue
        for part in twin:
            chars.append(" " if part.isspace() else part)
            places.append(place)
    text = "".join(chars)
    start = len(text) - len(text.lstrip())
    text = text.strip()
    return Plain(text, written, tuple(places[start : start + len(text)]))
