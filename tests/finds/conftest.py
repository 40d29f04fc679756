"""What tests of finds share."""

import pytest
from django.test import Client

from society.finds.models import Find
from society.members.models import Account
from tests.finds.typed import client_of
from tests.make import TODAY, make_account, make_find, make_society


@pytest.fixture(autouse=True)
def _society_and_a_fixed_day(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """A society whose season is on: its day is the one the makers use."""
    make_society(earliest_year=1950)
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *_, **__: TODAY)


@pytest.fixture
def ann() -> Account:
    return make_account("Ann Hartley")


@pytest.fixture
def ben() -> Account:
    return make_account("Ben Dodd")


@pytest.fixture
def keeper() -> Account:
    return make_account("Kay Lowther", is_keeper=True)


@pytest.fixture
def ann_client(ann: Account) -> Client:
    return client_of(ann)


@pytest.fixture
def ben_client(ben: Account) -> Client:
    return client_of(ben)


@pytest.fixture
def find(ann: Account) -> Find:
    return make_find(ann)
