"""A species that is split after finds of it were made, and acts of long ago."""

import contextlib
import datetime as dt
from collections.abc import Iterator
from unittest import mock

from django.utils import timezone

from society.core.tasks import run_next
from society.members.models import Account
from society.names.models import Taxon, TaxonSplit
from society.names.services import taxon_split
from tests.make import make_account, viewer


@contextlib.contextmanager
def days_ago(days: int) -> Iterator[None]:
    """Do what lies within as if it were so many days ago; what was laid cannot be dated back."""

    class Then(dt.datetime):
        @classmethod
        def now(cls, tz: dt.tzinfo | None = None) -> dt.datetime:  # type: ignore[override]
            return dt.datetime.now(tz) - dt.timedelta(days=days)

    with mock.patch.object(timezone, "datetime", Then):
        yield


def work_all() -> None:
    while run_next("test"):
        pass


def split(taxon: Taxon, *into: Taxon, ago: int = 0, keeper: Account | None = None) -> TaxonSplit:
    """State a split as a keeper does, and have the finds read anew."""
    row = taxon_split(
        taxon.pk,
        day=timezone.localdate() - dt.timedelta(days=ago),
        into_ids=[part.pk for part in into],
        source="Hartley 2024, a key to milk caps",
        by=viewer(keeper or make_account(is_keeper=True)),
    )
    work_all()
    return row
