"""Tests keep what they read in a folder of their own, never in that of whoever runs them; no clock fails one."""

import os
from collections.abc import Iterator

import pytest
from hypothesis import settings

from oktocover.reading.kept import FOLDER

# How long an example takes says something of the machine, nothing of the code; and a change is judged by the same
# examples as the one before it. `REMOVALS=20` (and any other long run) tries new ones each time.
settings.register_profile("the same each time", deadline=None, derandomize="REMOVALS" not in os.environ)
settings.load_profile("the same each time")


@pytest.fixture(autouse=True, scope="session")
def _kept_apart(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    before = os.environ.get(FOLDER)
    os.environ[FOLDER] = str(tmp_path_factory.mktemp("kept"))
    yield
    if before is None:
        del os.environ[FOLDER]
    else:
        os.environ[FOLDER] = before
