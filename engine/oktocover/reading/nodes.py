"""YAML text to plain data in which every scalar is text, with the place of each value known by its path.

The field that a value stands in decides its type, never the reader: YAML 1.1 makes `9:05` a number, `no`
false and `310.10` 310.1. Values are read from the parser's event stream in one loop without recursion, so
depth, size and aliases are judged before anything is built.
"""

from pathlib import Path

from oktocover.reading._builder import Builder
from oktocover.reading._document import Data, DataPath, Document
from oktocover.reading._parser import YamlError
from oktocover.reading._text import clean, decode, read_bytes
from oktocover.reading.mend import Mender
from oktocover.reading.problems import InputProblems, Place, Problem

__all__ = ["Data", "DataPath", "Document", "read_yaml", "read_yaml_documents", "read_yaml_file"]


def read_yaml_file(path: Path, shown: str | None = None) -> Document:
    """The one document of a YAML file; `shown` is the file's name in messages. Raises InputProblems."""
    file = shown if shown is not None else str(path)
    return read_yaml(decode(read_bytes(path, file), file), file)


def read_yaml(text: str, file: str) -> Document:
    """The one document of a YAML text; InputProblems with everything found wrong in it."""
    documents = read_yaml_documents(text, file)
    if len(documents) > 1:
        second = documents[1]
        problem = Problem(
            second.place(()),
            "a second document begins here",
            expected="one document in this file",
            do="take out the line '---' above it, or put it into a file of its own",
        )
        raise InputProblems([problem])
    return documents[0]


def read_yaml_documents(text: str, file: str) -> list[Document]:
    """All documents of a YAML text (separated by `---`) that are not empty, at least one.

    Raises InputProblems with everything found wrong. After a line that YAML cannot read, the reader goes on
    as if the mended line stood there, so that one run shows the other faults too.
    """
    text = clean(text, file)
    mender = Mender(text, file)
    while True:
        builder = Builder(mender.text, file)
        try:
            builder.run()
        except YamlError as error:
            if mender.mend(error, builder.last):
                continue
        break
    problems = mender.problems + builder.traps.found.problems()
    if not problems and not builder.documents:
        problems = [_empty(file)]
    if problems:
        raise InputProblems(problems)
    return builder.documents


def _empty(file: str) -> Problem:
    return Problem(
        Place(file, 1, 1),
        "the file is empty, or holds only comments",
        do="begin with a line such as `site: ...` (or `place: ...` for the file of a town), or let `oktocover start` "
        "write the first lines",
    )
