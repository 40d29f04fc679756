"""The cast, built once for each module: every test's own changes are rolled back to it."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings as django_settings
from django.db import transaction
from django.test import override_settings

from tests.cast import Cast, cast_make


@contextmanager
def rows_of_a_module(blocker: Any, files: Path) -> Iterator[None]:
    """Keep what is written in this block until its end, when the database is as before.

    The tests' own transactions lie within this one, so each sees the rows and leaves them.
    """
    with blocker.unblock(), override_settings(MEDIA_ROOT=files), transaction.atomic():
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
    # A page is asked by everybody here, from one address.
    settings.SIGNIN_TRIES = 1000


@pytest.fixture(scope="module")
def cast_of_module(
    django_db_setup: None, django_db_blocker: Any, module_files: Path
) -> Iterator[Cast]:
    assert django_settings.DATABASES
    with rows_of_a_module(django_db_blocker, module_files):
        yield cast_make()


@pytest.fixture
def cast(cast_of_module: Cast, db: None) -> Cast:
    """The cast of the module, inside a transaction of the test's own."""
    return cast_of_module
