"""How many may be wrong behind a good sample."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

import pytest

from oktocover.reading.short.samples import most_wrong


def test_the_two_figures_the_form_was_chosen_by() -> None:
    """Worked out by hand: 12 of 129 leaves up to 27 bad, 60 of 129 up to 4."""
    assert most_wrong(12, 129) == 27
    assert most_wrong(60, 129) == 4


def test_fifty_nine_of_a_very_large_lot() -> None:
    """S. S. Wilks, 1941: 59 observations are the fewest that show 95 percent of a population with 95 percent
    confidence when none fails, because 0.95^59 < 0.05 < 0.95^58."""
    lot = 10_000_000
    assert Fraction(most_wrong(59, lot), lot) < Fraction(5, 100) < Fraction(most_wrong(58, lot), lot)


@pytest.mark.parametrize("of", range(1, 11))
def test_by_drawing_every_sample(of: int) -> None:
    """Every sample of a small lot drawn one by one, and those counted in which no wrong one turns up."""
    for sample in range(1, of + 1):
        draws = list(combinations(range(of), sample))
        bearable = [
            wrong
            for wrong in range(of + 1)
            if sum(all(one >= wrong for one in draw) for draw in draws) > Fraction(len(draws), 20)
        ]
        assert most_wrong(sample, of) == max(bearable)


def test_all_of_them_leave_none() -> None:
    assert most_wrong(49, 49) == 0
    for wrong in ((0, 5), (6, 5)):
        with pytest.raises(ValueError, match="a sample"):
            most_wrong(*wrong)
