"""Tests keep what they read in a folder of their own, never in that of whoever runs them."""

import os
from collections.abc import Iterator

import pytest

from oktocover.reading.kept import FOLDER


@pytest.fixture(autouse=True, scope="session")
def _kept_apart(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    before = os.environ.get(FOLDER)
    os.environ[FOLDER] = str(tmp_path_factory.mktemp("kept"))
    yield
    if before is None:
        del os.environ[FOLDER]
    else:
        os.environ[FOLDER] = before
