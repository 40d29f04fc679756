"""What tests of the desk and the find's page share: addresses, pages as read, and what a browser
sends of an act."""

import io
import re
import uuid
from typing import Any

from django.test import Client
from django.urls import reverse
from PIL import Image

from society.finds.models import Find
from society.members.models import Account


def client_of(account: Account) -> Client:
    client = Client()
    client.force_login(account)
    return client


def find_address(find: Find, name: str = "review:find") -> str:
    return reverse(name, args=[find.year, find.number])


def text_of(response: Any) -> str:
    """Return a page as written, with runs of blanks made one."""
    return re.sub(r"\s+", " ", response.content.decode())


def act(client: Client, find: Find, kind: str = "confirm", query: str = "", **fields: Any) -> Any:
    """Send an act as the page's form does; the first slip is the one meant."""
    slip = find.slips.order_by("pk").first()
    values = {
        "kind": kind,
        "slip": slip.pk if slip else "",
        "evidence_version": Find.objects.get(pk=find.pk).evidence_version,
        "uuid": uuid.uuid4(),
        **fields,
    }
    return client.post(find_address(find, "review:verdict") + query, values)


def lay(client: Client, find: Find, name: str, **fields: Any) -> Any:
    values = {"name": name, "basis": "eye", "uuid": uuid.uuid4(), **fields}
    return client.post(
        find_address(find, "review:slip"), {f"slip-{key}": value for key, value in values.items()}
    )


def write(client: Client, find: Find, text: str) -> Any:
    fields = {"comment-text": text, "comment-uuid": uuid.uuid4()}
    return client.post(find_address(find, "review:comment"), fields)


def seen(find: Find, account: Account | None = None) -> str:
    """Return the find's page as this account reads it; as a guest without one."""
    response = (client_of(account) if account else Client()).get(find_address(find))
    assert response.status_code == 200
    return text_of(response)


def picture() -> io.BytesIO:
    out = io.BytesIO()
    Image.new("RGB", (64, 48), "brown").save(out, "PNG")
    return out
