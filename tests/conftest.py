"""What every test stands on: throwaway folders, a fast hash, a chosen database, hypothesis.

The database is the one that ``DATABASE_URL`` names, as for the site itself; Django makes a test
database beside it (for SQLite a file in the run's temporary folder, one for each process).
"""

import os
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck
from hypothesis import settings as hypothesis_settings

hypothesis_settings.register_profile(
    "ci",
    derandomize=True,
    database=None,
    deadline=None,
    print_blob=True,
    suppress_health_check=[HealthCheck.too_slow],
)
hypothesis_settings.register_profile("dev", database=None, deadline=None)
hypothesis_settings.load_profile(
    os.environ.get("HYPOTHESIS_PROFILE", "ci" if os.environ.get("CI") else "dev")
)


def pytest_configure(config: pytest.Config) -> None:
    from django.conf import settings

    # Argon2 is slow on purpose; no test here is about its strength.
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    settings.EMAIL_BACKEND = "django.core.mail.backends.locmem.EmailBackend"
    # Hashed names need collectstatic; run.sh and the browser see them, pages' tests do not.
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
    }


@pytest.fixture(scope="session")
def django_db_modify_db_settings(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Put SQLite's test database into a file, since in memory it breaks tests with threads."""
    from django.conf import settings

    default: dict[str, Any] = settings.DATABASES["default"]
    if default["ENGINE"].endswith("sqlite3"):
        # Every xdist process has a temporary folder of its own, so the name needs no suffix.
        file = tmp_path_factory.getbasetemp() / "test.sqlite3"
        default.setdefault("TEST", {})["NAME"] = str(file)
    else:
        request.getfixturevalue("django_db_modify_db_settings_parallel_suffix")


@pytest.fixture(autouse=True)
def _files_in_a_throwaway_folder(
    settings: Any, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    settings.DATA_DIR = tmp_path
    settings.MEDIA_ROOT = tmp_path / "files"
    settings.STATIC_ROOT = tmp_path_factory.getbasetemp() / "static"
    settings.STATIC_ROOT.mkdir(exist_ok=True)


@pytest.fixture
def cast(db: None) -> Any:
    """The fixed cast (tests/cast.py): a persona of each kind and a find of each kind."""
    from tests.cast import cast_make

    return cast_make()


@pytest.fixture
def on_postgres() -> bool:
    from django.db import connection

    return connection.vendor == "postgresql"


def pytest_report_header(config: pytest.Config) -> str:
    from django.conf import settings

    engine = settings.DATABASES["default"]["ENGINE"].rsplit(".", 1)[-1]
    return f"database: {engine}, Python {sys.version.split()[0]}"
