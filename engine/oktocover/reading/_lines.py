"""Writing one YAML line: taking it apart, quoting a value, trying whether it reads back as meant."""

import re
from dataclasses import dataclass

import yaml

from oktocover.reading._parser import new_parser

_PARTS = re.compile(
    r"""(?P<head>[ \t]*(?:-[ ]+)*)
        (?:(?P<key>"[^"]*"|'[^']*'|[^\s"'\[{}\]#,][^:#]*?)(?P<colon>[ ]*:(?=[ \t]|$)[ \t]*))?
        (?P<value>.*?)(?P<comment>[ \t]+\#(?:[ ].*)?)?$""",
    re.VERBOSE,
)


# An opening typographic quote and the marks that close it, in English and German.
CURLY = {
    "\u201c": "\u201d",
    "\u201e": "\u201c\u201d",
    "\u2018": "\u2019",
    "\u201a": "\u2018\u2019",
}


@dataclass(frozen=True, slots=True)
class Line:
    """`head` is indentation and list dashes, `colon` the colon with its spaces; joined they are the line."""

    head: str
    key: str
    colon: str
    value: str
    comment: str

    @property
    def indent(self) -> int:
        return len(self.head) - len(self.head.lstrip())

    def with_value(self, value: str) -> str:
        return f"{self.head}{self.key}{self.colon}{value}{self.comment}"


def take_apart(line: str) -> Line:
    """The parts of a line as somebody meant it; works on lines that YAML cannot read."""
    match = _PARTS.match(line)
    if match is None:  # only when the line holds a break, which a line does not
        return Line("", "", "", line, "")
    part = match.groupdict(default="")
    return Line(part["head"], part["key"], part["colon"], part["value"].rstrip(), part["comment"])


def quoted(value: str) -> str:
    """`value` in double quotes, or in single ones when it holds a double quote or a backslash."""
    if '"' not in value and "\\" not in value:
        return f'"{value}"'
    return "'" + value.replace("'", "''") + "'"


def unquoted_curly(value: str) -> str:
    """`value` without the typographic quotes around it, if it has such."""
    return value[1:-1] if len(value) > 1 and value[-1] in CURLY.get(value[0], "") else value


def written(value: str, flow: bool = False) -> str:
    """`value` as it is if YAML reads it back unchanged without quotes (the house style), else quoted."""
    before, after = ("{x: ", "}") if flow else ("x: ", "")
    try:
        parser = new_parser(f"{before}{value}{after}")
        scalars = []
        while not isinstance(event := parser.get_event(), yaml.StreamEndEvent):
            if isinstance(event, yaml.ScalarEvent):
                scalars.append(event)
    except yaml.YAMLError:
        return quoted(value)
    plain = len(scalars) == 2 and not scalars[1].style and scalars[1].value == value and not scalars[1].tag
    return value if plain and not scalars[1].anchor else quoted(value)


def short(text: str) -> str:
    """`text` on one line for a message, cut at 60 characters."""
    text = " ".join(text[:200].split())
    return text if len(text) <= 60 else text[:57] + "..."


def fitting(mended: str) -> str:
    """A mended line, or nothing when it is too long to be copied from a screen."""
    return mended if len(mended) <= 500 else ""
