"""The cast, built once for each module: every test's own changes are rolled back to it."""

import logging
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from django.core.files.base import ContentFile
from django.db import transaction
from django.test import Client, override_settings
from django.utils import timezone

from society.finds.models import Photograph
from society.finds.services import draft_photograph_add, photograph_add, renditions_make
from tests import make
from tests.cast import Cast, cast_make, jpeg_with_position
from tests.contract.walking import clients_of


@contextmanager
def rows_of_a_module(blocker: Any, files: Path) -> Iterator[None]:
    """Keep what is written in this block until its end, when the database is as before.

    The tests' own transactions lie within this one, so each sees the rows and leaves them.
    """
    static = files / "static"
    static.mkdir(exist_ok=True)
    kept = override_settings(MEDIA_ROOT=files, STATIC_ROOT=static)
    with blocker.unblock(), kept, transaction.atomic():
        yield
        transaction.set_rollback(True)


@pytest.fixture(scope="module")
def module_files(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("files")


@pytest.fixture(autouse=True)
def _files_in_a_throwaway_folder(
    settings: Any, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory, module_files: Path
) -> None:
    """As everywhere, but the pictures of the cast are there for the whole module."""
    settings.DATA_DIR = tmp_path
    settings.MEDIA_ROOT = module_files
    settings.STATIC_ROOT = tmp_path_factory.getbasetemp() / "static"
    settings.STATIC_ROOT.mkdir(exist_ok=True)
    # Refusals are what these tests ask for by the hundred; faults are still told.
    logging.getLogger("django.request").setLevel(logging.ERROR)


@pytest.fixture(scope="module")
def cast_of_module(
    django_db_setup: None, django_db_blocker: Any, module_files: Path
) -> Iterator[Cast]:
    with rows_of_a_module(django_db_blocker, module_files):
        made = cast_make()
        _photographs_apart(made)
        yield made


@pytest.fixture(scope="module")
def clients(cast_of_module: Cast, django_db_blocker: Any) -> dict[str, Client]:
    """A browser for each persona, signed in once for the module."""
    with django_db_blocker.unblock():
        return clients_of(cast_of_module)


def _photographs_apart(cast: Cast) -> None:
    """Give Ann a photograph in her draft, and one that she took away from her confirmed find."""
    ann = make.viewer(cast.ann)
    kept = ContentFile(jpeg_with_position(60), "one.jpg")
    draft_photograph_add(cast.draft.uuid, kept, uuid=uuid.uuid4(), view="cap", by=ann)
    removed = photograph_add(
        cast.confirmed.pk, ContentFile(jpeg_with_position(80), "two.jpg"), by=ann, view="cap"
    )
    renditions_make(removed.pk)
    Photograph.objects.filter(pk=removed.pk).update(removed_at=timezone.now())
    cast.confirmed.refresh_from_db()


@pytest.fixture
def cast(cast_of_module: Cast, db: None) -> Cast:
    """The cast of the module, inside a transaction of the test's own."""
    return cast_of_module
