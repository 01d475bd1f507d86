"""From bytes to text a YAML parser may see: size, encoding and characters that do not belong.

Separate from the parser because these faults are about the file as it was saved, not about what it says.
"""

import re
from pathlib import Path

from oktocover.reading.problems import InputProblems, Place, Problem

MOST_BYTES = 8_000_000
MOST_LINES = 200_000

# Pasted text brings typographic spaces and line separators; they stand for a plain space. One character for
# one character, so that columns stay true.
_SPACES = re.compile("[\u00a0\u0085\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000]")
_UNWANTED = re.compile(
    "[^\t\n\r -~\u00a0-\u00ac\u00ae-\u200a\u200c\u200d\u2010-\u2029\u202f-\u205f\u2061-\u2065"
    "\u206a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)
_BREAK = re.compile("\r\n|\n|\r")
_DIRECTIVE = re.compile(r"^%[A-Za-z]", re.MULTILINE)
_MOST_SHOWN = 50


def split_lines(text: str) -> list[str]:
    """The lines of `text` without their breaks, counted as editors count them."""
    return _BREAK.split(text)


def read_bytes(path: Path, file: str) -> bytes:
    """The content of a file, or InputProblems when it is not there, not a file, or larger than 8 MB."""
    try:
        if not path.exists():
            raise _refusal(file, "there is no such file", do="check the name and the folder")
        if not path.is_file():
            raise _refusal(file, "this is not a file", expected="one text file")
        with path.open("rb") as stream:
            content = stream.read(MOST_BYTES + 1)
    except OSError as error:
        reason = (error.strerror or "unknown reason").lower()
        raise _refusal(file, f"the file could not be read: {reason}") from error
    except ValueError as error:  # a NUL inside the name
        raise _refusal(file, "this cannot be the name of a file") from error
    return content


def decode(content: bytes, file: str) -> str:
    """The text of a file saved as UTF-8, with or without a byte order mark; InputProblems for all else."""
    _check_size(len(content), file)
    if content[:2] in (b"\xff\xfe", b"\xfe\xff") or _looks_like_utf16(content):
        raise _refusal(file, "the file is saved as UTF-16", expected="UTF-8", do="save it again with encoding UTF-8")
    if b"\0" in content:
        raise _refusal(file, "this is not a text file (it holds zero bytes)", expected="YAML text in UTF-8")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputProblems([_bad_byte(content, error.start, file)]) from error


def clean(text: str, file: str) -> str:
    """`text` with typographic spaces made plain; InputProblems when characters in it cannot be meant."""
    _check_size(len(text), file)
    if text.count("\n") + text.count("\r") > 2 * MOST_LINES:
        raise _refusal(file, f"the file has more than {MOST_LINES:,} lines", do="split it into a folder of files")
    text = text.removeprefix("\ufeff")
    if text.isascii():
        faults = _UNWANTED.search(text)
    else:
        text = _SPACES.sub(" ", text)
        faults = _UNWANTED.search(text)
    if faults:
        raise InputProblems(_unwanted_characters(text, file))
    # Before the parser sees them: its cost grows with the square of the number of %TAG lines.
    directive = _DIRECTIVE.search(text)
    if directive:
        raise InputProblems([_directive(text, directive.start(), file)])
    return text


def _check_size(size: int, file: str) -> None:
    if size > MOST_BYTES:
        raise _refusal(
            file,
            f"the file is larger than {MOST_BYTES // 1_000_000} MB",
            expected="text somebody wrote; photos and drawings are named, not put inside",
            do="split it into a folder of files, one a trade",
        )


def _looks_like_utf16(content: bytes) -> bool:
    head = content[:64]
    return len(head) >= 4 and (not any(head[1::2]) or not any(head[0::2])) and any(head)


def _bad_byte(content: bytes, at: int, file: str) -> Problem:
    before = content[:at].decode("utf-8-sig", errors="replace")
    lines = split_lines(before)
    byte = content[at : at + 1]
    meant = byte.decode("cp1252", errors="replace")
    known = meant.isprintable() and meant != "\ufffd"
    hint = f" (in the old Windows encoding it would be {meant})" if known else ""
    return Problem(
        Place(file, len(lines), len(lines[-1]) + 1),
        f"the byte {byte[0]:#04x} is not UTF-8 text{hint}",
        expected="UTF-8",
        do="save the file again with encoding UTF-8",
    )


def _unwanted_characters(text: str, file: str) -> list[Problem]:
    problems: list[Problem] = []
    for number, line in enumerate(split_lines(text), start=1):
        fault = _UNWANTED.search(line)
        if fault is None:
            continue
        if len(problems) == _MOST_SHOWN:
            break
        code = ord(fault.group())
        problems.append(
            Problem(
                Place(file, number, fault.start() + 1),
                f"there is {_kind(code)} here (U+{code:04X})",
                do="delete it, or type the line again",
                mended=_UNWANTED.sub("", line) if len(line) <= 200 else "",
            )
        )
    return problems


def _kind(code: int) -> str:
    if code == 0:
        return "a zero byte"
    if code < 0xA0:
        return "a control character"
    return "half a character" if 0xD800 <= code <= 0xDFFF else "an invisible character"


def _directive(text: str, at: int, file: str) -> Problem:
    line = len(split_lines(text[:at]))
    message = "a line that begins with % is a YAML directive; these files use none"
    return Problem(Place(file, line, 1), message, do="take the line out, or indent it if it is text")


def _refusal(file: str, message: str, expected: str = "", do: str = "") -> InputProblems:
    return InputProblems([Problem(Place(file, 1, 1), message, expected, do)])
