"""Distances between supports, as a person says them."""

from __future__ import annotations

import pytest
from pydantic import ValidationError

from oktocover.quantities import read
from oktocover.site.gas import GasPipe


@pytest.mark.parametrize("text", ["at most 8 ft apart", "at most 8 ft", " 8 ft or less  apart ", "at most 96 in apart"])
def test_apart_may_be_written(text: str) -> None:
    found = GasPipe.model_validate({"supports": text}).supports
    wanted = read("at most 8 ft", "length")
    assert found is not None and (found.low, found.high, found.high_open) == (wanted.low, wanted.high, False)


@pytest.mark.parametrize("text", ["every 8 ft", "Every 8 ft apart"])
def test_what_was_meant_is_no_record(text: str) -> None:
    """'Every 8 ft' is what somebody meant to do; the widest gap is what there is."""
    with pytest.raises(ValidationError, match="the widest gap is wanted: write at most 8 ft apart"):
        GasPipe.model_validate({"supports": text})
