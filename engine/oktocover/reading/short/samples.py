"""How many may be wrong when a sample of them was right."""

from __future__ import annotations

from fractions import Fraction
from math import comb

DOUBT = Fraction(1, 20)
"""A chance below which a thing is held to be out of the question: 95 percent sure."""


def most_wrong(sample: int, of: int, doubt: Fraction = DOUBT) -> int:
    """The most of `of` things that may be wrong when `sample` of them, chosen blindly, were all right.

    Exact, from the hypergeometric distribution: with D wrong ones among N, n draws without putting back find none of
    them with the chance C(N-D, n) / C(N, n). The answer is the largest D for which that is more than `doubt`. The
    source is the zero-failure case of the exact confidence bound for a finite lot (acceptance sampling by attributes
    with acceptance number zero, as any text on statistical quality control has it). For a very large lot it becomes
    (1 - D/N)^n, the binomial one.

    Raises ValueError unless 1 <= sample <= of.
    """
    if not 1 <= sample <= of:
        raise ValueError("a sample is at least one, and no more than there are")
    least, most = 0, of - sample
    while least < most:
        middle = (least + most + 1) // 2
        if comb(of - middle, sample) > doubt * comb(of, sample):
            least = middle
        else:
            most = middle - 1
    return least
