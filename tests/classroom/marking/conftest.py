"""One cage for all tests of this folder that run single notebooks."""

import pytest

from rungbook.classroom.marking.cage import Cage


@pytest.fixture(scope="session", name="cage")
def _cage(walls: None):
    cage = Cage("cage")
    yield cage
    cage.close()
