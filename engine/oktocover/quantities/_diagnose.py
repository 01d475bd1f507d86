"""Why a text could not be read, in one plain sentence with the mended text where there is one."""

from __future__ import annotations

import re

from ._exact import exact_value, loose_chain
from ._forms import forms_of, said, written_like
from ._numerals import NUMERAL, BadNumeral, numeral
from ._plain import Plain
from .dimensions import Dimension, magnitude
from .errors import QuantityError, clip
from .ladders import PIPE_SIZES, WIRE
from .show import show
from .units import BY_DIMENSION, BY_SPELLING, spelled, units_of

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_DATE = re.compile(
    rf"(?:(?P<day>\d{{1,2}})[-. ]+(?P<month>{'|'.join(_MONTHS)})[a-z]*(?:[-. ]+\d{{2,4}})?"
    rf"|(?P<first>{'|'.join(_MONTHS)})[a-z]*[-. ]+(?P<second>\d{{1,4}})(?:,? \d{{4}})?"
    r"|(?P<year>\d{4})-(?P<m>\d{1,2})-(?P<d>\d{1,2})(?:[ t][\d:.]+)?"
    r"|\d{1,2}/\d{1,2}/(?:\d{4}|\d{2}))",
    re.I,
)
_ENDLESS = re.compile(r"[+-]?(?:nan|inf|infinity)\b|[+-]?\.(?:nan|inf)\b", re.I)
_POWER_OF_TEN = re.compile(r"([+-]?[0-9.]+e[+-]?[0-9]+)(?![a-z])", re.I)
_DECIMAL_COMMA = re.compile(r"([0-9]+),([0-9]{1,2}|[0-9]{4,})(?![0-9,])")
_NEARLY = re.compile(r"(?:about|approx\.?|approximately|roughly|circa|ca\.?|nearly|some|~)\s*", re.I)
_DASHED = re.compile(r"([0-9]{1,3})\s?-\s?([0-9]{1,2})(?![0-9/])\s*(.*)")
_SIMPLE = re.compile(rf"[+-]?\s?({NUMERAL})\s*(.*)")
_CONDUCTOR = re.compile(r"(?:#|no\.?\s?)?\s?([0-9]{1,6})\s?(awg|ga\.?|gauge|kcmil|mcm)", re.I)
_CABLE = re.compile(r"[0-9]{1,3}(?:/0)?-[0-9](?:-[0-9]+)?\s+([a-z][a-z-]+)", re.I)
_UNIT = re.compile(rf"({NUMERAL})\s*([^0-9]*)")


def diagnose(line: Plain, part: str, at: int, dim: Dimension | None) -> QuantityError:
    """Return the error for ``part`` of ``line``, at plain place ``at``, which is no quantity of ``dim``."""
    for reason in _REASONS:
        found = reason(part, dim)
        if found is not None:
            sentence, place, suggestion = found
            return _error(line, sentence, at + place, dim, suggestion)
    return _error(line, f"'{clip(part)}' cannot be read: {_written(dim)}", at, dim, None)


_Reason = tuple[str, int, str | None] | None


def _error(line: Plain, sentence: str, at: int, dim: Dimension | None, suggestion: str | None) -> QuantityError:
    return QuantityError(
        sentence,
        found=line.written,
        expected=dim.name if dim is not None else "",
        forms=forms_of(dim) if dim is not None else ("6 ft", "3 psi", "40 %", "2"),
        suggestion=suggestion,
        column=line.column(at),
    )


def _written(dim: Dimension | None) -> str:
    return "a quantity is written like 6 ft, 3 psi, 40 %, 2" if dim is None else written_like(dim)


def _nothing(part: str, dim: Dimension | None) -> _Reason:
    return None if part else (f"nothing is written here: {_written(dim)}", 0, None)


def _endless(part: str, dim: Dimension | None) -> _Reason:
    if _ENDLESS.match(part) is None:
        return None
    return f"'{clip(part)}' is no value that can be measured: {_written(dim)}", 0, None


def _exponent(part: str, dim: Dimension | None) -> _Reason:
    match = _POWER_OF_TEN.match(part)
    if match is None:
        return None
    found = clip(match.group(1))
    return f"'{found}' is written with a power of ten: write the number out, as 100,000", 0, None


def _date(part: str, dim: Dimension | None) -> _Reason:
    match = _DATE.fullmatch(part)
    if match is None:
        return None
    mended = _mended_date(match, dim)
    hint = f"; if it was {mended}, write {mended}" if mended else ""
    sentence = f"'{clip(part)}' looks like a date that a spreadsheet made of a size{hint}: {_written(dim)}"
    return sentence, 0, mended


def _mended_date(match: re.Match[str], dim: Dimension | None) -> str | None:
    """Return the size a spreadsheet may have made a date of: month over day, or day over month."""
    fields = match.groupdict()
    month_name, day = fields["month"] or fields["first"], fields["day"] or fields["second"]
    if month_name:
        month = _MONTHS.index(month_name.lower()) + 1
    elif fields["m"]:
        month, day = int(fields["m"]), fields["d"]
    else:
        return None
    if dim is None or dim.name not in ("length", "pipe size") or day is None or not 0 < int(day) < 32:
        return None
    for above, below in ((month, int(day)), (int(day), month)):
        if below in (2, 4, 8, 16) and above < below and above % 2:
            return f"{above}/{below} in"
    return None


def _nearly(part: str, dim: Dimension | None) -> _Reason:
    match = _NEARLY.match(part)
    if match is None or not any(c.isdigit() for c in part):
        return None
    rest = part[match.end() :]
    words = f"'{clip(match.group().strip())}' does not say which way: write what is sure"
    return f"{words}, as at least {clip(rest)} or at most {clip(rest)}", 0, None


def _bad_number(part: str, dim: Dimension | None) -> _Reason:
    for match in re.finditer(NUMERAL, part):
        try:
            numeral(match.group())
        except BadNumeral as problem:
            if re.fullmatch(r"[1-4]/0", match.group()) and "awg" in part.lower():
                continue
            return f"{problem}: {_written(dim)}", match.start(), None
    return None


def _comma(part: str, dim: Dimension | None) -> _Reason:
    match = _DECIMAL_COMMA.search(part)
    if match is None:
        return None
    mended = part[: match.start()] + f"{match.group(1)}.{match.group(2)}" + part[match.end() :]
    sentence = f"'{match.group()}' has a comma that parts no thousands: write {clip(mended)} if it is a point"
    return sentence, match.start(), mended


def _dashed(part: str, dim: Dimension | None) -> _Reason:
    match = _DASHED.fullmatch(part)
    if match is None or dim is None or dim.name != "length":
        return None
    if spelled(match.group(3)) not in ("", "ft", "'", "feet") or int(match.group(2)) > 11:
        return None
    mended = f"{match.group(1)} ft {match.group(2)} in"
    sentence = f"'{clip(part)}' may be feet and inches or a span: write {mended} if it is feet and inches"
    return sentence, 0, mended


def _carried(part: str, dim: Dimension | None) -> _Reason:
    """Feet and inches that no tape reads, as 12' 14" or 5-1/2 ft 2 in."""
    loose = None if dim is None else loose_chain(part, dim)
    if loose is None or dim is None:
        return None
    mended = show(loose.value, dim, loose.unit)
    small = "inches" if dim.name == "length" else "smaller units"
    sentence = f"'{clip(part)}' has {small} that do not fit after the larger unit: write {mended} if it is that"
    return sentence, 0, mended


def _twice(part: str, dim: Dimension | None) -> _Reason:
    """A value said a second time in brackets, as 6 ft (1829 mm)."""
    start = part.find("(")
    if start < 1 or not part.endswith(")") or exact_value(part[:start].strip(), dim) is None:
        return None
    mended = part[:start].strip()
    return f"'{clip(part)}' says it twice: write {clip(mended)}", start, mended


def _clock(part: str, dim: Dimension | None) -> _Reason:
    if dim is None or dim.name != "time" or ":" not in part:
        return None
    words = "may be hours and minutes, minutes and seconds, or a time of day"
    return f"'{clip(part)}' {words}: {_written(dim)}", 0, None


def _off_ladder(part: str, dim: Dimension | None) -> _Reason:
    """A conductor or pipe of a size that is not made: name the nearest."""
    if dim is None or dim.name == "wire size":
        match = _CONDUCTOR.fullmatch(part)
        if match is None:
            return None
        kind = "kcmil" if match.group(2).lower() in ("kcmil", "mcm") else "AWG"
        sizes = [int(size.split()[0]) for size in WIRE if size.endswith(kind) and "/" not in size]
        asked = int(match.group(1))
        near = f"{min(sizes, key=lambda size: abs(size - asked))} {kind}"
        return f"'{clip(part)}' is no conductor size, nearest is {near}", 0, near
    match = _SIMPLE.fullmatch(part) if dim.name == "pipe size" else None
    if match is None or spelled(match.group(2)) not in ("", "in", '"', "inch", "inches"):
        return None
    value = numeral(match.group(1))
    nearest = show(min(PIPE_SIZES, key=lambda size: (magnitude(size - value), size)), dim)
    return f"'{clip(part)}' is no nominal pipe size, nearest is {nearest}", 0, nearest


def _either(part: str, dim: Dimension | None) -> _Reason:
    first, middle, second = part.partition(" or ")
    if not middle or not (first.strip()[:1].isdigit() and second.strip()[:1].isdigit()):
        return None
    return f"'{clip(part)}' names two values: write one, or a range as from 1 ft to 2 ft", 0, None


def _cable(part: str, dim: Dimension | None) -> _Reason:
    match = _CABLE.fullmatch(part)
    if match is None or units_of(match.group(1)):
        return None
    return f"'{clip(part)}' is a cable designation, not a quantity: {_written(dim)}", 0, None


def _bare(part: str, dim: Dimension | None) -> _Reason:
    match = _SIMPLE.fullmatch(part)
    if match is None or match.group(2):
        return None
    return f"'{clip(part)}' has no unit: {_written(dim)}", 0, None


def _other(part: str, dim: Dimension | None) -> _Reason:
    """A value that is well written, but of another kind."""
    match = _SIMPLE.fullmatch(part)
    tight = match is not None and re.fullmatch(r"\S*[0-9]\s*ft([23])", part, re.I)
    if tight and (dim is None or dim.name == "length"):
        feet = part[: part.lower().index("ft")].strip()
        inches, square = f"{feet} ft {part[-1]} in", f"{feet} {'sq' if part[-1] == '2' else 'cu'} ft"
        return f"'{clip(part)}' may be {inches} or {square}: write one of the two", 0, inches
    if dim is None:
        return None
    other = exact_value(part, None)
    if other is None or other.dimension.name == "number":
        return None
    if other.dimension.powers == dim.powers:
        return f"'{clip(part)}' cannot be read as {said(dim)}: {_written(dim)}", 0, None
    kinds = f"is {said(other.dimension)}, {said(dim)} was expected"
    return f"'{clip(part)}' {kinds}, written like {', '.join(forms_of(dim))}", 0, None


def _typo(part: str, dim: Dimension | None) -> _Reason:
    """A number with a unit nobody knows: name the nearest one."""
    from difflib import get_close_matches

    table = BY_DIMENSION.get(dim.name) if dim is not None else None
    words = [key for key in (table or BY_SPELLING) if len(key) > 1]
    for match in _UNIT.finditer(part):
        spelling = match.group(2).strip(" ,-")
        if not spelling or units_of(spelling):
            continue
        near = get_close_matches(spelled(spelling)[:40], words, n=1, cutoff=0.6)
        if not near:
            if len(part) - match.end(2) > 0 or not spelling.replace(" ", "").isalpha():
                continue
            sentence = f"'{clip(spelling)}' in '{clip(part)}' is no known unit: {_written(dim)}"
            return sentence, match.start(2), None
        unit = (table[near[0]] if table else BY_SPELLING[near[0]][0]).symbol
        words_found = f"'{clip(spelling)}' in '{clip(part)}' is no known unit, nearest is '{unit}'"
        return f"{words_found}: {_written(dim)}", match.start(2), unit
    return None


def _wordy(part: str, dim: Dimension | None) -> _Reason:
    if any(char in "0123456789" for char in part):
        return None
    return f"'{clip(part)}' has no number in it: {_written(dim)}", 0, None


# The order matters: what a text surely is comes before what it may be.
_REASONS = (
    *(_nothing, _endless, _exponent, _date, _nearly, _wordy, _bad_number, _clock, _off_ladder),
    *(_either, _cable, _comma, _dashed, _carried, _twice, _bare, _other, _typo),
)


def not_text(found: object, dim: Dimension | None) -> QuantityError:
    """Return the error for a value that is no text at all (a reader has already made a number of it)."""
    words = f"a quantity is read from text, not from {type(found).__name__}: {_written(dim)}"
    return QuantityError(words, found=clip(repr(found)), expected=dim.name if dim else "")


def too_long(written: str, dim: Dimension | None) -> QuantityError:
    """Return the error for a text longer than any quantity."""
    line = Plain(written[:200], written[:200], None)
    return _error(line, f"'{clip(written)}' is too long for a quantity: {_written(dim)}", 0, dim, None)


def out_of_order(line: Plain, dim: Dimension) -> QuantityError:
    """Return the error for a range that holds nothing."""
    sentence = f"'{clip(line.text)}' holds nothing: its first end is not below its second"
    return _error(line, sentence, 0, dim, None)
