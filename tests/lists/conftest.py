"""What the tests of lists share."""

import pytest

from tests.make import make_society


@pytest.fixture(autouse=True)
def _society(db: None) -> None:
    make_society(season_start_month=3)
