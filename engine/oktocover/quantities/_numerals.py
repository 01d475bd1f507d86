"""Numbers as people write them: 12, 1,000, 0.40, .5, 3/4, 1-1/4, 1 1/4. Always exact."""

from __future__ import annotations

import re
from fractions import Fraction

from .dimensions import Number, number

NUMERAL = (
    r"(?:(?:[0-9]{1,3}(?:,[0-9]{3}){1,3}|[0-9]{1,12})(?:\s?-\s?|\s+)[0-9]{1,6}/[0-9]{1,6}"
    r"|[0-9]{1,12}/[0-9]{1,12}"
    r"|[0-9]{1,3}(?:,[0-9]{3}){1,6}(?:\.[0-9]{1,18})?"
    r"|[0-9]{1,18}(?:\.[0-9]{1,18})?"
    r"|\.[0-9]{1,18})(?![0-9])"
)
"""Pattern of one unsigned number, without groups, so that it can stand inside other patterns."""

_MIXED = r"(?:([0-9]+)[\s-]+)?([0-9]+)/([0-9]+)"


class BadNumeral(ValueError):
    """A text has the shape of a number but is none: a zero below the line, a fraction part of one or more."""


def numeral(text: str) -> Number:
    """Return the exact value of ``text``, which matches NUMERAL. Raises BadNumeral."""
    if text.isdigit():
        return int(text)
    if "/" in text:
        return _fraction(text.replace(",", ""))
    whole, _, decimals = text.replace(",", "").partition(".")
    if not decimals:
        return int(whole)
    return number(Fraction(int(whole + decimals), 10 ** len(decimals)))


def _fraction(text: str) -> Number:
    match = re.fullmatch(_MIXED, text)
    if match is None:
        raise BadNumeral(f"'{text}' is no number")
    whole, above, below = match.groups()
    if int(below) == 0:
        raise BadNumeral(f"'{text}' has a zero below the line")
    part = Fraction(int(above), int(below))
    if whole is None:
        return number(part)
    if part >= 1:
        raise BadNumeral(f"the fraction in '{text}' is not less than one")
    return number(int(whole) + part)
