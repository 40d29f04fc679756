"""Asking for the addresses of the table as one of the cast."""

import copy
import io
import zipfile
from collections.abc import Iterator
from typing import Any

from django.db import transaction
from django.http import HttpResponseBase
from django.test import Client
from django.urls import URLPattern, URLResolver

from tests.cast import PERSONAS, Cast
from tests.contract.permissions_table import TABLE, Row


def named_patterns(patterns: Any, space: str = "", route: str = "") -> Iterator[tuple[str, str]]:
    """Yield (name with its room, route) of every address the patterns answer; '' for no name."""
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            inner = ":".join(part for part in (space, pattern.namespace or "") if part)
            yield from named_patterns(pattern.url_patterns, inner, route + str(pattern.pattern))
        elif isinstance(pattern, URLPattern):
            name = ":".join(part for part in (space, pattern.name or "") if part)
            yield (name if pattern.name else "", route + str(pattern.pattern))


def unlisted(patterns: Any, table: tuple[Row, ...] = TABLE) -> list[str]:
    """Return the addresses that the table does not speak of."""
    known = {row.name for row in table}
    return [f"{name} {route}" for name, route in named_patterns(patterns) if name not in known]


def clients_of(cast: Cast) -> dict[str, Client]:
    """Return a browser for each persona, in which it has signed in; a guest's has not."""
    clients = {}
    for persona in PERSONAS:
        client = clients[persona] = Client()
        account = cast.account(persona)
        if account is not None:
            client.force_login(account)
    return clients


def asked(client: Client, method: str, path: str, data: dict[str, str] | None = None) -> Any:
    """Return the answer to one request, after which database and browser are as before."""
    cookies = copy.deepcopy(client.cookies)
    with transaction.atomic():
        answer = client.get(path) if method == "get" else client.post(path, data or {})
        # Read within the transaction: a file of many rows is written while it is sent.
        body_of(answer)
        transaction.set_rollback(True)
    client.cookies = cookies
    return answer


def body_of(answer: HttpResponseBase) -> bytes:
    """Return the body of any answer; one that streams is read once and kept."""
    if not answer.streaming:
        return bytes(answer.content)  # type: ignore[attr-defined]
    if not hasattr(answer, "kept_body"):
        answer.kept_body = b"".join(answer)  # type: ignore[attr-defined, arg-type]
    return bytes(answer.kept_body)  # type: ignore[attr-defined]


def text_of(answer: HttpResponseBase) -> str:
    """Return what can be read in an answer: of a spreadsheet the words of all its parts, of a
    picture every byte as a character."""
    body = body_of(answer)
    if body.startswith(b"PK\x03\x04"):
        with zipfile.ZipFile(io.BytesIO(body)) as parts:
            return "\n".join(
                parts.read(name).decode("utf-8", "replace") for name in parts.namelist()
            )
    if answer.get("Content-Type", "").startswith(("image/", "application/octet-stream")):
        return body.decode("latin-1")
    return body.decode("utf-8")


def answer_in_words(answer: Any, to: str) -> str:
    """Return the table's word for an answer."""
    if answer.status_code in (301, 302, 303, 307, 308):
        target = answer["Location"]
        if target.startswith("/signin/?next="):
            return "in"
        return "->" if target == to else f"-> {target}"
    return str(answer.status_code)
