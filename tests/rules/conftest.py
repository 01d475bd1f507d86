"""The made-up kinds are known only while the tests of this folder run."""

from collections.abc import Iterator

import pytest

from . import kinds


@pytest.fixture(autouse=True, scope="module")
def _made_up_kinds() -> Iterator[None]:
    kinds.install()
    yield
    kinds.remove()
