"""Mistakes inside { } and [ ], each with the line that would be right."""

import re
from collections.abc import Iterator

from oktocover.reading._lines import quoted, short, take_apart, written
from oktocover.reading._trouble import STARTS, Mend, Trouble

_OPENERS = {"[": "]", "{": "}"}
_HASH = re.compile(r"[ \t]#\d")


def flow_piece(trouble: Trouble) -> Iterator[Mend]:
    """A value inside { } or [ ] that must be quoted."""
    line, row, column = trouble.line, trouble.row, trouble.column
    begin = max(line.rfind(char, 0, column) for char in ("{", "[", ","))
    if begin < 0 or not ("flow" in trouble.context or "{" in line or "[" in line):
        return
    colon = line.find(": ", begin + 1, column + 1)
    begin = (colon + 1) if colon >= 0 else begin
    begin += 1 + (len(line[begin + 1 :]) - len(line[begin + 1 :].lstrip()))
    end = next((n for n in range(max(begin, column), len(line)) if line[n] in ",}]"), len(line))
    piece = line[begin:end].rstrip()
    if not piece:
        return
    start = piece[0]
    if start in ('"', "'"):
        inner = piece[1:-1] if len(piece) > 1 and piece.endswith(start) else piece
        if not piece.endswith(start) and start not in piece[1:]:
            inner = piece[1:]
        message = "the quotes in this value do not come in pairs"
        new = written(inner, flow=True)
    elif start in STARTS and start not in "]},":
        message, new = STARTS[start], quoted(piece)
    elif ": " in piece:
        message, new = f"there is a second colon in `{short(piece)}`", quoted(piece)
    else:
        return
    rest = line[begin + len(piece) :]
    yield Mend(row, message, "quotes around the whole value", "", {row: line[:begin] + new + rest})


def missing_comma(trouble: Trouble) -> Iterator[Mend]:
    """Two entries without a comma between them, on one line or at the end of a line."""
    if "expected ',' or" not in trouble.problem:
        return
    said = ("there is no comma between two entries", "{name: value, name: value}", "")
    row, column = trouble.stumbled, trouble.stumbled_column
    line = trouble.lines[row]
    if line[column : column + 1] != ":":
        return
    before = line[:column].rstrip()
    space = before.rfind(" ")
    earlier = before[:space].rstrip()
    if earlier.endswith((":", "{", "[")):  # `{a: b: c}`: one colon too many, not one comma too few
        return
    if earlier:
        yield Mend(row, *said, {row: line[:space].rstrip() + "," + line[space:]})
        if row == trouble.row:
            yield Mend(row, *said)
        return
    deeper = len(line) - len(line.lstrip()) > trouble.parts.indent
    row = trouble.above(row)
    if row >= 0 and deeper:
        parts = take_apart(trouble.lines[row])
        new = trouble.lines[row][: len(trouble.lines[row]) - len(parts.comment)] + "," + parts.comment
        yield Mend(row, *said, {row: new}, until=trouble.stumbled)


def lost_hash(trouble: Trouble) -> Iterator[Mend]:
    """`{size: 2 #12}`: the comment takes the closing bracket with it."""
    match = _HASH.search(trouble.line)
    if match is None or "flow" not in trouble.context:
        return
    line, at = trouble.line, match.start()
    begin = max(line.rfind(mark, 0, at) + len(mark) for mark in (": ", ", ", "{", "[", ","))
    end = next((n for n in range(at, len(line)) if line[n] in ",}]"), len(line))
    piece = line[begin:end].strip()
    begin = line.index(piece, begin)
    new = line[:begin] + quoted(piece) + line[begin + len(piece) :]
    message = f"`{short(line[at:].strip())}` is lost: a # after a space begins a comment"
    yield Mend(trouble.row, message, "quotes around the whole value", "", {trouble.row: new})


def wrong_bracket(trouble: Trouble) -> Iterator[Mend]:
    line, row, column = trouble.line, trouble.row, trouble.column
    char = line[column : column + 1]
    if "flow" not in trouble.context or char not in ("]", "}"):
        return
    if "expected ',' or" in trouble.problem:
        other = "]" if char == "}" else "}"
        opener = "[" if char == "}" else "{"
        new = line[:column] + other + line[column + 1 :]
        said = (f"this {char} closes a {opener}", "brackets in pairs", "")
        yield Mend(row, *said, {row: new})
        yield Mend(row, *said, {row: line[:column] + other + line[column:]})
    elif "node content" in trouble.problem:
        new = line[:column] + line[column + 1 :]
        yield Mend(row, f"there is a {char} too many", "brackets in pairs", "", {row: new})


def unclosed_bracket(trouble: Trouble) -> Iterator[Mend]:
    """A bracket without its other half: closed on its own line, or where its entries end."""
    if "expected ',' or" not in trouble.problem:
        return
    row, parts = trouble.row, trouble.parts
    body = trouble.line[: len(trouble.line) - len(parts.comment)].rstrip()
    closing = _closing(body)
    if not closing:
        return
    opener = next(char for char, close in _OPENERS.items() if close == closing[-1])
    said = (f"the {opener} opened here is not closed", f"{opener} and {closing[-1]} in pairs", "")
    if body[-1] not in ",[{":
        yield Mend(row, *said, {row: body + closing + parts.comment})
    else:
        last = trouble.above(trouble.stumbled)
        if last > row:
            end = trouble.lines[last].rstrip().rstrip(",")
            message = f"the {opener} opened on line {row + 1} is not closed"
            yield Mend(last, message, said[1], "", {last: end + closing})
    yield Mend(row, *said)


def _closing(text: str) -> str:
    open_ones: list[str] = []
    quote = ""
    for n, char in enumerate(text):
        if quote:
            quote = "" if char == quote else quote
        elif char in "\"'" and text[:n].rstrip()[-1:] in (":", ",", "[", "{"):
            quote = char
        elif char in _OPENERS:
            open_ones.append(_OPENERS[char])
        elif open_ones and char == open_ones[-1]:
            open_ones.pop()
    return "".join(reversed(open_ones))


def after_bracket(trouble: Trouble) -> Iterator[Mend]:
    parts = trouble.parts
    if parts.value[:1] not in ("[", "{") or "did not find expected" not in trouble.problem:
        return
    said = ("there is more text after the closing bracket", "nothing, or quotes around the whole value", "")
    if parts.value[-1:] in ("]", "}"):
        yield Mend(trouble.row, *said, {trouble.row: parts.with_value(parts.value[:-1])})
    yield Mend(trouble.row, *said, {trouble.row: parts.with_value(quoted(parts.value))})
