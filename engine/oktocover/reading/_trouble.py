"""A mistake in YAML text as the code that explains it sees it: where it is, and what would mend it."""

from dataclasses import dataclass, field

from oktocover.reading._lines import Line, take_apart

# What a value may not begin with when it has no quotes around it, and why.
STARTS = {
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


@dataclass(frozen=True)
class Trouble:
    """The line a mistake was made on (`row`, `column`), where YAML stumbled over it, and what it said.

    Rows and columns count from 0.
    """

    lines: list[str]
    row: int
    column: int
    stumbled: int
    stumbled_column: int
    problem: str
    context: str

    @property
    def line(self) -> str:
        return self.lines[self.row]

    @property
    def parts(self) -> Line:
        return take_apart(self.line)

    def above(self, row: int | None = None) -> int:
        """The nearest row above this (or another) one that says something, or -1."""
        row = (self.row if row is None else row) - 1
        while row >= 0 and (not self.lines[row].strip() or self.lines[row].lstrip().startswith("#")):
            row -= 1
        return row


@dataclass(frozen=True)
class Mend:
    """A sentence about the mistake on `row`, and the `lines` (by row) that would take its place.

    The mend has worked when YAML reads past `row`, and past `until` where that is further down.
    """

    row: int
    message: str
    expected: str = ""
    do: str = ""
    lines: dict[int, str] = field(default_factory=dict)
    until: int = -1
