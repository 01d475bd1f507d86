"""Tables: `tables: {receptacles: devices.csv}`, a file from a spreadsheet (or a YAML list of mappings) as a list.

The first column is the id, the heads of the others are facts. A blank cell is not recorded; `none` is typed. A column
`height known` says how the fact `height` is known.
"""

from __future__ import annotations

import re
from pathlib import Path as FilePath
from typing import Any

from oktocover.reading._field_faults import short
from oktocover.reading.problems import Place, Problem
from oktocover.reading.short.beside import enrol, find, text_beside, yaml_beside
from oktocover.reading.short.cells import Cell, Sheet, UnclosedQuote
from oktocover.reading.short.work import Path, Work, facts_of, field_of, is_day, is_many

ID = "id"
_MONTH = (
    "(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?"
    "|nov(?:ember)?|dec(?:ember)?)"
)
_DATE = re.compile(
    rf"(?:\d{{1,2}}[- ./]{_MONTH}(?:[- ./]\d{{2,4}})?|{_MONTH}[- ./]\d{{1,4}}|\d{{4}}-\d{{1,2}}-\d{{1,2}}"
    r"|\d{1,2}[/.]\d{1,2}[/.]\d{2,4})(?:[ T]\d{1,2}:\d{2}(?::\d{2})?)?",
    re.IGNORECASE,
)
_SHEET_ERROR = re.compile(r"#[A-Z0-9/]+[!?]?|#+|=.*")
_KEPT = re.compile(r"\A'(?='*[=+\-@\uff1d\uff0b\uff0d\uff20])")
"""The apostrophe that keeps a spreadsheet from taking a cell for a formula."""
KNOWN = " known"
_FREE = ("note", "photos", "added")
"""Columns in which a date is as good as any word."""


def expand_tables(work: Work) -> None:
    """Write the tables of a site out as entries of their lists."""
    tables = work.data.pop("tables", None)
    if tables is None:
        return
    if not isinstance(tables, dict):
        work.wrong(("tables",), "tables stand under the names of their lists", "tables: {receptacles: devices.csv}")
        return
    for name, table in tables.items():
        if table is not None and work.is_list(("tables", name), name):
            _table(work, ("tables", name), name, table)


def _table(work: Work, at: Path, name: str, table: Any) -> None:
    if isinstance(table, str):
        _file(work, at, name, table)
    elif isinstance(table, list):
        for number, part in enumerate(table):
            if isinstance(part, str):
                _file(work, (*at, number), name, part)
            elif part is not None:
                _mapping(work, (*at, number), name, part)
    else:
        work.wrong(at, "a table is a file, or a list of mappings", "devices.csv, or [{id: R-01, height: 44 in}]")


def _file(work: Work, at: Path, name: str, file: str) -> None:
    path = find(work, at, file, (".csv", ".yaml", ".yml"))
    if path is None:
        return
    if path.suffix.lower() == ".csv":
        _sheet(work, name, path)
        return
    found = yaml_beside(work, path)
    if found is None:
        return
    rows, root = found
    if not isinstance(rows, list):
        work.wrong(root, "a file of a table is a list of mappings", "- {id: R-01, height: 44 in}")
        return
    for number, row in enumerate(rows):
        if row is not None:
            _mapping(work, (*root, number), name, row)


def _mapping(work: Work, at: Path, name: str, row: Any) -> None:
    one = row.get(ID) if isinstance(row, dict) else None
    if not isinstance(one, str):
        work.wrong(at, "a row of a table is a mapping with an id", "{id: R-01, height: 44 in}")
        return
    facts = {}
    for key, value in row.items():
        if key == ID:
            continue
        if key not in facts_of(name):
            message = f"'{short(key)}' is not a key that stands in {name}"
            work.no_fact((*at, key), message, key, name, facts_of(name))
        elif value is not None:
            facts[key] = value
    if work.add(name, one, facts, (*at, ID)):
        work.read.origins.update({(name, one, key): (*at, key) for key in facts})


def _sheet(work: Work, name: str, path: FilePath) -> None:
    text = text_beside(work, path)
    if text is None:
        return
    sheet = Sheet(str(path), text)
    try:
        rows = sheet.rows
    except UnclosedQuote as error:
        place = Place(str(path), error.cell.line, error.cell.column)
        work.problems.append(Problem(place, "this quoted cell has no end", 'a second " before the next cell'))
        return
    if not rows:
        place = Place(str(path), 1, 1)
        work.problems.append(Problem(place, "the table is empty", f"a first line such as: id, {facts_of(name)[3]}"))
        return
    root = enrol(work, sheet)
    heads = _heads(work, root, name, rows[0])
    if heads is not None:
        for number, row in enumerate(rows[1:], 1):
            _cells(work, (*root, number), name, heads, row)


def _heads(work: Work, root: Path, name: str, row: list[Cell]) -> list[str | None] | None:
    """The fact of each column, None for one that is not understood (and said). None when there is no id column."""
    heads: list[str | None] = []
    for number, cell in enumerate(row):
        word, at = " ".join(cell.text.lower().replace("_", " ").split()), (*root, 0, number)
        if number == 0:
            if word != ID:
                work.wrong(at, f"the first column of a table is '{ID}', here it is '{short(cell.text)}'", ID)
                return None
        elif word in heads:
            work.wrong(at, f"the column '{short(cell.text)}' stands twice", do="take one of them out")
        elif word.endswith(KNOWN) and word.removesuffix(KNOWN) in facts_of(name) and word not in facts_of(name):
            heads.append(word)
            continue
        elif word and word not in facts_of(name):
            message = f"'{short(cell.text)}' is no column that stands in {name}"
            work.unknown(at, message, word, facts_of(name))
        else:
            heads.append(word or None)
            continue
        heads.append(ID if number == 0 else None)
    return heads


def _cells(work: Work, at: Path, name: str, heads: list[str | None], row: list[Cell]) -> None:
    one = _KEPT.sub("", row[0].text)
    if not one:
        work.wrong(at, "this row has no id", "a short one in the first cell, such as R-01")
        return
    if _spoilt(work, (*at, 0), name, ID, one):
        return
    facts: dict[str, Any] = {}
    known: dict[str, str] = {}
    origins: dict[Path, Path] = {}
    for number, cell in enumerate(row[1:], 1):
        head = heads[number] if number < len(heads) else None
        here = (*at, number)
        if number >= len(heads) and cell.text:
            work.wrong(
                here,
                f"'{short(cell.text)}' stands in a column without a head",
                "as many cells as heads",
                'put a cell that holds a separator into quotes: "4 ft, 9 in"',
            )
        elif head and head not in facts_of(name) and cell.text:
            known[head.removesuffix(KNOWN)] = cell.text
            origins[name, one, head.removesuffix(KNOWN), "known"] = here
        elif head and cell.text and not _spoilt(work, here, name, head, cell.text):
            facts[head] = _value(name, head, _KEPT.sub("", cell.text))
            origins[name, one, head] = here
    facts = {key: {"is": value, "known": known[key]} if key in known else value for key, value in facts.items()}
    if work.add(name, one, facts, (*at, 0)):
        work.read.origins.update(origins)


def _spoilt(work: Work, at: Path, name: str, fact: str, text: str) -> bool:
    """Whether a spreadsheet has made something else of what was typed, which is said."""
    if _DATE.fullmatch(text) and fact not in _FREE and not is_day(field_of(name, fact)):
        work.wrong(
            at,
            f"{fact}: '{short(text)}' is a date, and no date belongs here: a spreadsheet made it of what was typed",
            "what was typed, as text",
            "set the column to text and type it again, in a form that survives: 12-2 NM-B, 3/4 in, R-12",
        )
        return True
    if _SHEET_ERROR.fullmatch(text):
        work.wrong(
            at,
            f"{fact}: '{short(text)}' is a formula or an error of a spreadsheet",
            "a value",
            "save the table with values in place of formulas",
        )
        return True
    return False


def _value(name: str, fact: str, text: str) -> Any:
    """A cell as the long form has it: a fact that is a list has semicolons between its values."""
    about = field_of(name, fact)
    if not is_many(about) or text == "none":
        return text
    if text == "[]":
        return []
    return [part.strip() for part in text.split(";") if part.strip()]
