"""The commonest mistakes in YAML, each recognised on the line it was made, with the line that would be right.

A mistake is a function from the trouble to the mends it would try, best first; a mend without lines
only explains.
"""

import re
from collections.abc import Callable, Iterator

from oktocover.reading import _flow_mistakes
from oktocover.reading._lines import CURLY, Line, quoted, short, take_apart, unquoted_curly, written
from oktocover.reading._trouble import STARTS, Mend, Trouble

_GLUED = re.compile(r"""(?P<head>[ ]*(?:-[ ]+)*)(?P<key>[^\s"'\[{}#:][^:#"']*?)[ ]?:(?P<value>[^\s/].*)$""")
_COLON = "name: value"
# What YAML says when no mistake was recognised, in plain words.
_REASONS = {
    "node content": "a value is missing here, or there is a bracket or comma too many",
    "tab character": "a tab stands where spaces belong",
    "cannot start any token": "neither a name nor a value can begin with this character",
    "expected key": "it does not go on from the lines above it",
    "'-' indicator": "the lines above it are items of a list, and this is none",
    "comment or line break": "no text can follow a | or > that begins a block of text",
    "indentation indicator": "no text can follow a | or > that begins a block of text",
    "sequence entries": "an item of a list cannot begin here",
    "alphabetic or numeric": "a name or value that begins with * or & needs quotes",
    "end of stream": "a quote is opened here and never closed",
    "directive": "a line cannot begin with %",
    "escape": "a backslash inside double quotes means something else to YAML",
    "document indicator": "a quote is opened and not closed before the next document",
    "mapping keys": "a ? cannot stand here",
    "mapping values": "there is a colon where no name can stand before it",
    "':'": "there is a name without its colon",
    "',' or": "a comma or a closing bracket is missing",
}


def unknown(trouble: Trouble) -> tuple[str, str, str]:
    """Message, expected and what to do when no mistake was recognised."""
    if "nesting" in trouble.problem:
        return "lists and groups are nested too deep", "a few levels", ""
    if "document start" in trouble.problem:
        return "there is more text after the end of the value", "one list or one group of names", ""
    reason = next((said for words, said in _REASONS.items() if words in trouble.problem), trouble.problem)
    return (
        f"this line cannot be read: {reason}",
        "`name: value`, or `- item`, indented like the lines it belongs to",
        "compare this line and the one above it with a line that works",
    )


def tabs(trouble: Trouble) -> Iterator[Mend]:
    lines, row = trouble.lines, trouble.row
    rows = [n for n, line in enumerate(lines) if "\t" in line[: len(line) - len(line.lstrip())]]
    if row not in rows:
        return
    more = len(rows) - 1
    also = f", and so do {more} other lines" if more > 1 else ", and so does one other line" if more else ""
    said = (f"this line begins with a tab{also}", "spaces", "set the editor to write spaces for the Tab key")
    above = trouble.above()
    if not more and above >= 0:  # one tab among spaces: it belongs with, or right under, the line above
        parts = take_apart(lines[above])
        dashed = lines[row].lstrip().startswith("- ")
        beside = parts.indent if dashed else len(parts.head)
        under = len(parts.head) + 2
        for indent in (beside, under) if parts.value else (under, beside):
            yield Mend(row, *said, {row: " " * indent + lines[row].lstrip()})
    for width in (2, 4, 8):
        changed = {}
        for n in rows:
            text = lines[n].lstrip()
            margin = lines[n][: len(lines[n]) - len(text)]
            changed[n] = margin.replace("\t", " " * width) + text
        yield Mend(row, *said, changed, until=max(rows))
    yield Mend(row, *said)


def nameless(trouble: Trouble) -> Iterator[Mend]:
    column = trouble.line.find(":")
    before = trouble.line[:column].rstrip(" -")
    if column >= 0 and trouble.line[column + 1 : column + 2] in ("", " ") and before[-1:] in ("", "{", "[", ","):
        yield Mend(trouble.row, "there is a value without a name", _COLON)


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


def special_start(trouble: Trouble) -> Iterator[Mend]:
    parts = trouble.parts
    start = parts.value[:1]
    if start not in STARTS or (start == "-" and not parts.value.startswith("- ")):
        return
    if not parts.key and not parts.head.strip() and start != "@" and start != "`":
        return
    new = parts.with_value(quoted(parts.value))
    yield Mend(trouble.row, STARTS[start], "quotes around a text that begins so", "", {trouble.row: new})


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
    if value[0] in CURLY and unquoted_curly(value) != value:
        said = ("typographic quotes do not hold a value together", "straight quotes", "")
        yield Mend(trouble.row, *said, {trouble.row: parts.with_value(quoted(unquoted_curly(value)))})
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
        yield Mend(row, *said)
        return
    if trouble.row != row:
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
        f"the indentation of this line ({here} {'space' if here == 1 else 'spaces'}) fits no line above it",
        "the same indentation as the lines it belongs with",
        "",
    )
    for indent in sorted(seen, key=lambda n: abs(n - here)):
        if indent != here:
            yield Mend(trouble.row, *said, {trouble.row: " " * indent + trouble.line.lstrip()})
    yield Mend(trouble.row, *said)


MISTAKES: tuple[Callable[[Trouble], Iterator[Mend]], ...] = (
    tabs,
    nameless,
    _flow_mistakes.lost_hash,
    _flow_mistakes.missing_comma,
    _flow_mistakes.wrong_bracket,
    _flow_mistakes.flow_piece,
    _flow_mistakes.unclosed_bracket,
    quotes,
    second_colon,
    special_start,
    glued_colon,
    missing_colon,
    mixed,
    _flow_mistakes.after_bracket,
    indentation,
)
