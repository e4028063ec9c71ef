"""The cage for tests: where student work cannot be isolated, tests of it are left out and say so."""

import os

import pytest

from rungbook.classroom.marking.cage import Cage, missing_walls


@pytest.fixture(scope="session", name="walls")
def _walls() -> None:
    why = missing_walls()
    if why and os.environ.get("CI"):
        pytest.fail(why)
    if why:
        pytest.skip(why)


@pytest.fixture(scope="session", name="cage")
def _cage(walls: None):
    cage = Cage("cage")
    yield cage
    cage.close()
