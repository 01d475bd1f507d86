"""The commonest mistakes in YAML, each recognised on the line it was made, with the line that would be right.

A mistake is a function from the trouble to the mends it would try, best first; a mend without lines
only explains.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from oktocover.reading._lines import Line, quoted, short, take_apart, written

_GLUED = re.compile(r"""(?P<head>[ ]*(?:-[ ]+)*)(?P<key>[^\s"'\[{}#:][^:#"']*?)[ ]?:(?P<value>[^\s/].*)$""")
_OPENERS = {"[": "]", "{": "}"}
_STRAIGHT = str.maketrans("\u201c\u201d\u201e\u2033\u2018\u2019\u2032", '""""\'\'\'')
_STARTS = {
    "%": "a value cannot begin with %",
    "@": "a value cannot begin with @",
    "`": "a value cannot begin with `",
    "*": "a value that begins with * is read as a YAML alias",
    "&": "a value that begins with & is read as a YAML anchor",
    "!": "a value that begins with ! is read as a YAML tag",
    "|": "a value that begins with | is read as the start of a block of text",
    ">": "a value that begins with > is read as the start of a block of text",
    "?": "a value cannot begin with ? and a space",
    "-": "a list item cannot stand behind a name on the same line",
    ",": "a value cannot begin with a comma",
    "]": "there is a closing ] without its [",
    "}": "there is a closing } without its {",
}
_COLON = "name: value"


@dataclass(frozen=True)
class Trouble:
    """The line a mistake was made on (`row` and `column` from 0) and what YAML said about it."""

    lines: list[str]
    row: int
    column: int
    problem: str
    context: str

    @property
    def line(self) -> str:
        return self.lines[self.row]

    @property
    def parts(self) -> Line:
        return take_apart(self.line)

    def above(self) -> int:
        """The row of the nearest line above that says something, or -1."""
        row = self.row - 1
        while row >= 0 and (not self.lines[row].strip() or self.lines[row].lstrip().startswith("#")):
            row -= 1
        return row


@dataclass(frozen=True)
class Mend:
    """A sentence about the mistake on `row`, and the `lines` (by row) that would take its place."""

    row: int
    message: str
    expected: str = ""
    do: str = ""
    lines: dict[int, str] = field(default_factory=dict)
    until: int = -1


def unknown(trouble: Trouble) -> tuple[str, str, str]:
    """Message, expected and what to do when no mistake was recognised."""
    if "nesting" in trouble.problem:
        return "lists and groups are nested too deep", "a few levels", ""
    if "directive" in trouble.context or "directive" in trouble.problem:
        return "a line that begins with % is a YAML directive; these files use none", _COLON, "take it out"
    if "document start" in trouble.problem:
        return "there is more text after the end of the value", "one list or one group of names", ""
    return (
        f"this line cannot be read ({trouble.problem})",
        "`name: value`, or `- item`, indented like the lines it belongs to",
        "compare this line and the one above it with a line that works",
    )


def tabs(trouble: Trouble) -> Iterator[Mend]:
    lines = trouble.lines
    rows = [n for n, line in enumerate(lines) if "\t" in line[: len(line) - len(line.lstrip())]]
    if trouble.row not in rows:
        return
    more = len(rows) - 1
    also = f", and so do {more} other lines" if more > 1 else ", and so does one other line" if more else ""
    said = (f"this line begins with a tab{also}", "spaces", "set the editor to write spaces for the Tab key")
    for width in (2, 4, 8):
        changed = {}
        for row in rows:
            text = lines[row].lstrip()
            margin = lines[row][: len(lines[row]) - len(text)]
            changed[row] = margin.replace("\t", " " * width) + text
        yield Mend(trouble.row, *said, changed, until=max(rows))
    text = trouble.line.lstrip()
    above = trouble.above()
    indent = take_apart(lines[above]).indent if above >= 0 else 0
    for spaces in (indent + 2, indent):
        yield Mend(trouble.row, *said, {trouble.row: " " * spaces + text})
    yield Mend(trouble.row, *said)


def quotes(trouble: Trouble) -> Iterator[Mend]:
    parts = trouble.parts
    value = parts.value + parts.comment if parts.value[:1] in ('"', "'") else parts.value
    quote = value[:1]
    if quote not in ('"', "'"):
        return
    row = trouble.row
    bare = Line(parts.head, parts.key, parts.colon, value, "")
    if "escape" in trouble.problem:
        said = ("a backslash inside double quotes means something else to YAML", "single quotes", "")
        inner = value[1:-1] if value.endswith('"') else value[1:]
        yield Mend(row, *said, {row: bare.with_value(quoted(inner))})
    elif len(value) > 1 and value.endswith(quote):
        said = ("quotes inside the quotes end the value too early", "no quotes around feet and inches", "")
        yield Mend(row, *said, {row: bare.with_value(written(value[1:-1]))})
    elif quote in value[1:]:
        said = ("there is more text after the closing quote", "quotes around the whole value, or none", "")
        yield Mend(row, *said, {row: bare.with_value(quoted(value))})
    else:
        said = (f"the quote {quote} is opened here and not closed", "a closing quote, or none", "")
        yield Mend(row, *said, {row: parts.with_value(written(parts.value[1:]))})
        yield Mend(row, *said, {row: bare.with_value(written(value[1:]))})


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
    elif start in _STARTS and start not in "]},":
        message, new = _STARTS[start], quoted(piece)
    elif ": " in piece:
        message, new = f"there is a second colon in `{short(piece)}`", quoted(piece)
    else:
        return
    rest = line[begin + len(piece) :]
    yield Mend(row, message, "quotes around the whole value", "", {row: line[:begin] + new + rest})


def brackets(trouble: Trouble) -> Iterator[Mend]:
    if "expected ',' or" not in trouble.problem:
        return
    line, row, column = trouble.line, trouble.row, trouble.column
    if line[column : column + 1] == ":":
        before = line[:column].rstrip()
        space = before.rfind(" ")
        said = ("there is no comma between two entries", "{name: value, name: value}", "")
        if space > 0:
            yield Mend(row, *said, {row: line[:space].rstrip() + "," + line[space:]})
        yield Mend(row, *said)
        return
    parts = trouble.parts
    body = line[: len(line) - len(parts.comment)].rstrip()
    closing = _closing(body)
    if closing:
        opener = next(char for char, close in _OPENERS.items() if close == closing[-1])
        said = (f"the {opener} opened here is not closed", f"{opener} and {closing[-1]} in pairs", "")
        yield Mend(row, *said, {row: body.rstrip(",") + closing + parts.comment})
        yield Mend(row, *said)
    elif line[column : column + 1] in ("]", "}"):
        other = "]" if line[column] == "}" else "}"
        said = (f"this {line[column]} closes a {'[' if other == ']' else '{'}", f"{other}", "")
        yield Mend(row, *said, {row: line[:column] + other + line[column + 1 :]})


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


def special_start(trouble: Trouble) -> Iterator[Mend]:
    parts = trouble.parts
    start = parts.value[:1]
    if start not in _STARTS or (start == "-" and not parts.value.startswith("- ")):
        return
    if not parts.key and not parts.head.strip() and start != "@" and start != "`":
        return
    new = parts.with_value(quoted(parts.value))
    yield Mend(trouble.row, _STARTS[start], "quotes around a text that begins so", "", {trouble.row: new})


def glued_colon(trouble: Trouble) -> Iterator[Mend]:
    """`width:36 in` or `width :36 in`, on this line or on the one above."""
    for row in (trouble.row, trouble.above()):
        if row < 0 or (row != trouble.row and "mapping values" not in trouble.problem):
            continue
        match = _GLUED.match(trouble.lines[row])
        if match:
            new = f"{match['head']}{match['key']}: {match['value']}"
            yield Mend(row, "there is no space after the colon", _COLON, "", {row: new}, until=trouble.row)


def second_colon(trouble: Trouble) -> Iterator[Mend]:
    parts = trouble.parts
    if "mapping values" not in trouble.problem or not parts.key or not re.search(r":(\s|$)", parts.value):
        return
    value = parts.value
    if value[0] in "\u201c\u201e\u2018" and len(value) > 2:
        said = ("typographic quotes do not hold a value together", "straight quotes", "")
        yield Mend(trouble.row, *said, {trouble.row: parts.with_value(quoted(value[1:-1]))})
    name = short(f"{parts.key}: {value}")
    said = (f"there are two colons in `{name}`", "one name, one value", "quote the value, or use two lines")
    yield Mend(trouble.row, *said, {trouble.row: parts.with_value(quoted(value))})


def missing_colon(trouble: Trouble) -> Iterator[Mend]:
    """A name without its colon: on this line, or on the one above."""
    row = trouble.row
    if "mapping values" in trouble.problem:
        row = trouble.above()
    elif "':'" not in trouble.problem:
        return
    if row < 0:
        return
    parts = take_apart(trouble.lines[row])
    if parts.key or parts.head.strip() or not parts.value:
        return
    value = parts.value
    said = (f"`{short(value)}` has no colon", _COLON, "")
    if value[0] == "-" and value[1:2].isalnum():
        said = ("there is no space after the dash", "- item", "")
        yield Mend(row, *said, {row: f"{parts.head}- {value[1:]}{parts.comment}"})
    elif trouble.row != row:
        yield Mend(row, *said, {row: f"{parts.head}{value}:{parts.comment}"}, until=trouble.row)
    elif " " in value:
        name, rest = value.split(" ", 1)
        yield Mend(row, *said, {row: f"{parts.head}{name}: {written(rest.strip())}{parts.comment}"})
    yield Mend(row, *said, {row: f"{parts.head}{value}:{parts.comment}"})


def mixed(trouble: Trouble) -> Iterator[Mend]:
    """List items and names side by side."""
    parts = trouble.parts
    dashed = bool(parts.head.strip())
    said = (
        "list items (lines that begin with a dash) and names stand side by side",
        "only items or only names at one indentation",
        "indent the items under the name they belong to",
    )
    if "'-' indicator" in trouble.problem and not dashed:
        above = trouble.above()
        item = take_apart(trouble.lines[above]) if above >= 0 else parts
        if item.key:
            yield Mend(trouble.row, *said, {trouble.row: " " * len(item.head) + trouble.line.lstrip()})
        yield Mend(trouble.row, *said, {trouble.row: " " * parts.indent + "- " + trouble.line.lstrip()})
        yield Mend(trouble.row, *said)
    elif dashed and "expected key" in trouble.problem:
        yield Mend(trouble.row, *said)


def after_bracket(trouble: Trouble) -> Iterator[Mend]:
    parts = trouble.parts
    if parts.value[:1] not in ("[", "{") or "expected" not in trouble.problem:
        return
    said = ("there is more text after the closing bracket", "nothing, or quotes around the whole value", "")
    if parts.value[-1:] in ("]", "}"):
        yield Mend(trouble.row, *said, {trouble.row: parts.with_value(parts.value[:-1])})
    yield Mend(trouble.row, *said, {trouble.row: parts.with_value(quoted(parts.value))})


def indentation(trouble: Trouble) -> Iterator[Mend]:
    """A line that stands under none of the lines above it."""
    if "expected key" not in trouble.problem and "mapping values" not in trouble.problem:
        return
    parts = trouble.parts
    if not parts.key:
        return
    here = parts.indent
    seen: list[int] = []
    for row in range(trouble.row - 1, max(-1, trouble.row - 200), -1):
        above = take_apart(trouble.lines[row])
        for indent in (len(above.head), above.indent):
            if above.key and indent not in seen:
                seen.append(indent)
    said = (
        f"the indentation of this line ({here} spaces) fits no line above it",
        "the same indentation as the lines it belongs with",
        "",
    )
    for indent in sorted(seen, key=lambda n: abs(n - here)):
        if indent != here:
            yield Mend(trouble.row, *said, {trouble.row: " " * indent + trouble.line.lstrip()})
    yield Mend(trouble.row, *said)


MISTAKES: tuple[Callable[[Trouble], Iterator[Mend]], ...] = (
    tabs,
    brackets,
    flow_piece,
    quotes,
    second_colon,
    special_start,
    glued_colon,
    missing_colon,
    mixed,
    after_bracket,
    indentation,
)
