"""The made-up kinds are known only while the tests of this folder run."""

from collections.abc import Iterator

import pytest

from oktocover.reading.kept import FOLDER

from . import kinds


@pytest.fixture(autouse=True, scope="module")
def _made_up_kinds() -> Iterator[None]:
    # what is sound among made-up kinds is not to be taken for sound where there are none
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(FOLDER, "none")
        kinds.install()
        yield
        kinds.remove()
