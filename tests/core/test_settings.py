"""The settings as a process sees them: secure unless asked otherwise."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings

ROOT = Path(__file__).resolve().parents[2]
NAMES = (
    "DEBUG",
    "CSRF_COOKIE_SECURE",
    "SESSION_COOKIE_SECURE",
    "SESSION_COOKIE_HTTPONLY",
    "SESSION_COOKIE_SAMESITE",
    "SECURE_SSL_REDIRECT",
    "SECURE_HSTS_SECONDS",
    "SECURE_PROXY_SSL_HEADER",
    "SECURE_CONTENT_TYPE_NOSNIFF",
    "X_FRAME_OPTIONS",
    "ALLOWED_HOSTS",
    "CONTENT_SECURITY_POLICY",
    "EMAIL_BACKEND",
    "EMAIL_USE_TLS",
    "EMAIL_USE_SSL",
    "PASSWORD_HASHERS",
    "SECRET_KEY",
    "SITE_URL",
)
SHOW = f"""
import json
from django.conf import settings
print(json.dumps({{name: getattr(settings, name) for name in {NAMES!r}}}))
"""


def run(folder: Path, *words: str, **variables: str) -> "subprocess.CompletedProcess[str]":
    """Run Python in a process of its own with these variables and no others of ours."""
    passed = {name: os.environ[name] for name in ("PATH", "LANG", "HOME") if name in os.environ}
    return subprocess.run(
        [sys.executable, *words],
        cwd=ROOT,
        env={
            **passed,
            "DATA_DIR": str(folder),
            "DJANGO_SETTINGS_MODULE": "society.settings",
            **variables,
        },
        capture_output=True,
        text=True,
        timeout=120,
    )


def settings_with(folder: Path, **variables: str) -> dict[str, Any]:
    done = run(folder, "-c", SHOW, **variables)
    assert done.returncode == 0, done.stderr
    read: dict[str, Any] = json.loads(done.stdout)
    return read


def test_unless_asked_the_site_is_closed_and_says_nothing(tmp_path: Path) -> None:
    read = settings_with(tmp_path)
    assert read["DEBUG"] is False
    assert read["SESSION_COOKIE_HTTPONLY"] is True
    assert read["SESSION_COOKIE_SAMESITE"] == "Lax"
    assert read["SECURE_CONTENT_TYPE_NOSNIFF"] is True
    assert read["X_FRAME_OPTIONS"] == "DENY"
    assert "*" not in read["ALLOWED_HOSTS"]
    assert read["PASSWORD_HASHERS"][0].endswith("Argon2PasswordHasher")
    assert read["EMAIL_BACKEND"].endswith("console.EmailBackend")
    assert read["SECRET_KEY"] == (tmp_path / "secret_key").read_text(encoding="ascii")
    assert read["SECURE_PROXY_SSL_HEADER"] is None


def test_no_script_or_style_may_stand_in_a_page(tmp_path: Path) -> None:
    directives = settings_with(tmp_path)["CONTENT_SECURITY_POLICY"]["DIRECTIVES"]
    written = json.dumps(directives)
    assert "unsafe" not in written
    assert directives["script-src"] == ["'self'"]
    assert directives["style-src"] == ["'self'"]
    assert directives["object-src"] == ["'none'"]
    assert directives["frame-ancestors"] == ["'none'"]
    assert directives["base-uri"] == ["'none'"]


def test_only_the_maps_own_server_may_send_pictures(tmp_path: Path) -> None:
    read = settings_with(tmp_path, MAP_TILES="https://tiles.example.org/w/{z}/{x}/{y}.png")
    pictures = read["CONTENT_SECURITY_POLICY"]["DIRECTIVES"]["img-src"]
    assert pictures == ["'self'", "blob:", "data:", "https://tiles.example.org"]


def test_behind_tls_cookies_are_secure_and_plain_requests_are_sent_on(tmp_path: Path) -> None:
    read = settings_with(tmp_path, SITE_URL="https://logbook.example.org/")
    assert read["SESSION_COOKIE_SECURE"] is True
    assert read["CSRF_COOKIE_SECURE"] is True
    assert read["SECURE_SSL_REDIRECT"] is True
    assert read["SECURE_HSTS_SECONDS"] >= 31_536_000
    assert read["SITE_URL"] == "https://logbook.example.org"
    assert "logbook.example.org" in read["ALLOWED_HOSTS"]


def test_mail_goes_out_encrypted_by_either_way(tmp_path: Path) -> None:
    read = settings_with(tmp_path, EMAIL_HOST="mail.example.org")
    assert read["EMAIL_BACKEND"].endswith("smtp.EmailBackend")
    assert (read["EMAIL_USE_TLS"], read["EMAIL_USE_SSL"]) == (True, False)
    read = settings_with(tmp_path, EMAIL_HOST="mail.example.org", EMAIL_PORT="465")
    assert (read["EMAIL_USE_TLS"], read["EMAIL_USE_SSL"]) == (False, True)


def test_the_deployment_check_finds_nothing_behind_tls(tmp_path: Path) -> None:
    done = run(
        tmp_path,
        *("manage.py", "check", "--deploy", "--fail-level", "WARNING"),
        SITE_URL="https://logbook.example.org",
    )
    assert done.returncode == 0, done.stderr
    assert "WARNINGS" not in done.stderr


def test_wrong_variables_stop_the_start_with_every_one_named(tmp_path: Path) -> None:
    done = run(tmp_path, "manage.py", "check", DEBUG="1", SITE_URL="logbook", EMAIL_PORT="mail")
    assert done.returncode != 0
    told = done.stderr.rsplit("Settings cannot be used:", 1)[1]
    assert all(name in told for name in ("DEBUG", "SITE_URL", "EMAIL_PORT"))


@pytest.mark.django_db
def test_a_page_carries_the_policy_and_no_frame_may_hold_it(client: Any) -> None:
    answer = client.get("/signin/")
    assert "script-src 'self'" in answer.headers["Content-Security-Policy"]
    assert "unsafe" not in answer.headers["Content-Security-Policy"]
    assert answer.headers["X-Frame-Options"] == "DENY"
    assert answer.headers["Referrer-Policy"] == "same-origin"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"


def test_the_settings_stay_readable() -> None:
    assert len((ROOT / "society" / "settings.py").read_text().splitlines()) <= 350
    assert settings.USE_TZ
