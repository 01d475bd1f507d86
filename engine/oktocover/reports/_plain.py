"""Text made fit to print: no control characters, no line wider than its paper.

What a site file holds may end up in a terminal, a page or a CI log; it is cleaned here and nowhere else.
"""

from __future__ import annotations

import datetime
import re
import unicodedata
from collections.abc import Iterable

_ESCAPES = re.compile(
    r"(?:\x1b\[|\x9b)[0-?]*[ -/]*[@-~]"  # CSI: colours, cursor
    r"|(?:\x1b[\]PX^_]|[\x90\x98\x9d-\x9f])[^\x07\x1b\x9c]*(?:\x07|\x1b\\|\x9c)?"  # OSC, DCS and their like
    r"|\x1b[ -/]*[0-~]"
)
_DROPPED = {"Cc", "Cf", "Cs"}
_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
_NUMBERS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


def _shown(char: str) -> str:
    if char.isspace():
        return " "
    code = ord(char)
    noncharacter = code & 0xFFFE == 0xFFFE or 0xFDD0 <= code <= 0xFDEF
    return "" if noncharacter or unicodedata.category(char) in _DROPPED else char


def clean(text: str, limit: int | None = None) -> str:
    """One line without escapes, control or direction characters; longer than `limit` it is cut, with dots."""
    if not (text.isascii() and text.isprintable()):
        text = "".join(map(_shown, _ESCAPES.sub("", text)))
    text = " ".join(text.split())
    if limit is None or len(text) <= limit:
        return text
    kept = text[: max(limit - 3, 0)]
    at_word = kept.rpartition(" ")[0] if len(text) > len(kept) and text[len(kept)] != " " else kept
    # a cut in the middle of a word reads as another word; but a word as long as the limit must be cut
    return (at_word if len(at_word) * 2 > len(kept) else kept).rstrip() + "..."


def clean_lines(text: str) -> list[str]:
    """The lines of a text, each cleaned but for its indent, which has a meaning in YAML to copy."""
    lines = []
    for raw in text.splitlines():
        indent = len(raw) - len(raw.lstrip(" "))
        lines.append(" " * indent + clean(raw) if clean(raw) else "")
    return lines


def columns(text: str) -> int:
    """Terminal columns of a cleaned text: East Asian wide characters take two, every other one."""
    if text.isascii():
        return len(text)
    return sum(2 if unicodedata.east_asian_width(char) in "WF" else 1 for char in text)


def _cut(word: str, room: int) -> tuple[str, str]:
    """The longest start of `word` that fits `room` columns (at least one character), and the rest."""
    used = 0
    for at, char in enumerate(word):
        used += columns(char)
        if used > room:
            return word[: max(at, 1)], word[max(at, 1) :]
    return word, ""


def wrap(text: str, width: int, indent: str = "", hang: str | None = None) -> list[str]:
    """Break a cleaned text at words into lines of at most `width` columns.

    The first line starts with `indent`, the others with `hang` (the same as `indent` when left out). A word
    longer than a line is broken where the line ends. An empty text gives no line.
    """
    hang = indent if hang is None else hang
    lines: list[str] = []
    line, empty = indent, True
    for word in text.split():
        while word:
            gap = "" if empty else " "
            if columns(line) + len(gap) + columns(word) <= width:
                line, empty, word = line + gap + word, False, ""
            elif not empty:
                lines.append(line)
                line, empty = hang, True
            else:
                piece, word = _cut(word, max(width - columns(line), 2))
                line, empty = line + piece, False
    return lines if empty else [*lines, line]


def ends(left: str, right: str, width: int, hang: str = "", gap: int = 2) -> list[str]:
    """`left` wrapped, `right` at the right edge of its last line, or of a line of its own."""
    lines = wrap(left, width, "", hang)
    if not right:
        return lines
    if lines and columns(lines[-1]) + gap + columns(right) <= width:
        lines[-1] += " " * (width - columns(lines[-1]) - columns(right)) + right
        return lines
    return lines + [" " * max(width - columns(line), 0) + line for line in wrap(right, width)]


def day(text: str) -> str:
    """2026-05-03 as 3 May 2026; anything else as it stands."""
    try:
        date = datetime.date.fromisoformat(text)
    except ValueError:
        return clean(text)
    return f"{date.day} {_MONTHS[date.month - 1]} {date.year}"


def number(count: int) -> str:
    """A small count as a word, as it would be said; figures beyond twelve."""
    return _NUMBERS[count] if 0 <= count < len(_NUMBERS) else f"{count:,}"


def plural(word: str) -> str:
    """The plural of a trade noun: box, boxes; assembly, assemblies; receptacle, receptacles."""
    if re.search(r"(s|x|z|ch|sh)$", word):
        return word + "es"
    return word[:-1] + "ies" if re.search(r"[^aeiou]y$", word) else word + "s"


def counted(count: int, word: str, many: str | None = None) -> str:
    """`1 place`, `3 places`."""
    return f"{count:,} {word if count == 1 else many or plural(word)}"


def listed(parts: Iterable[str], limit: int | None = None) -> str:
    """Texts with commas between them, each once; after `limit` of them the number that is left."""
    names = list(dict.fromkeys(part for part in parts if part))
    if limit is not None and len(names) > limit:
        return ", ".join(names[:limit]) + f" and {len(names) - limit:,} more"
    return ", ".join(names)
