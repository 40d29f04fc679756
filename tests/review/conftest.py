"""What tests of the review room share."""

import pytest

from society.members.models import Account
from society.names.models import Taxon
from tests.make import make_account, make_referee, make_society, make_taxon


@pytest.fixture
def ann() -> Account:
    return make_account("Ann Hartley")


@pytest.fixture
def bea() -> Account:
    make_society()
    return make_referee("Bea Lowther", "genus", "Lactarius")


@pytest.fixture
def carl() -> Account:
    return make_referee("Carl Nairn", "family", "Russulaceae")


@pytest.fixture
def milkcap() -> Taxon:
    """A name of the checklist, with the row of its genus."""
    make_taxon("Lactarius", rank="genus")
    return make_taxon("Lactarius deterrimus", authorship="Gröger", english="False Saffron Milkcap")
