"""What a browser sends of the form of a find, and pictures made on the spot."""

import io
import uuid
from collections.abc import Iterable
from typing import Any

from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from PIL import Image
from pillow_heif import register_heif_opener

from society.finds.models import DraftPhotograph, Find, Photograph
from society.finds.services import photograph_add
from society.members.models import Account
from tests.make import TODAY, viewer

register_heif_opener()


def client_of(account: Account) -> Client:
    client = Client()
    client.force_login(account)
    return client


def typed(account: Account, **over: Any) -> dict[str, Any]:
    """Return the fields of a plain find: today, by the stream, found by the account's person."""
    return {
        "uuid": str(uuid.uuid4()),
        "finder": account.person_id,
        "date": TODAY.isoformat(),
        "place_text": "by the stream",
        **over,
    }


def rows(prefix: str, *filled: dict[str, Any]) -> dict[str, Any]:
    """Return repeated rows as the form sends them."""
    found: dict[str, Any] = {f"{prefix}-TOTAL_FORMS": len(filled), f"{prefix}-INITIAL_FORMS": 0}
    for number, row in enumerate(filled):
        found |= {f"{prefix}-{number}-{name}": value for name, value in row.items()}
    return found


def send(client: Client, fields: dict[str, Any], **extra: Any) -> Any:
    return client.post(reverse("finds:post"), fields, **extra)


def page_text(response: Any) -> str:
    return response.content.decode()


def picture(
    kind: str = "JPEG",
    size: tuple[int, int] = (640, 480),
    *,
    name: str = "",
    colours: Iterable[tuple[int, int, int]] = ((180, 60, 40),),
    turned: Image.Exif | None = None,
    **save: Any,
) -> SimpleUploadedFile:
    """Return an upload; several colours stand as equal stripes from left to right.

    ``turned`` is the turn that a HEIF file tells in a box of its own.
    """
    image = Image.new("RGB", size)
    if turned is not None:
        image.info["exif"] = turned.tobytes()
    stripes = list(colours)
    for number, colour in enumerate(stripes):
        left = size[0] * number // len(stripes)
        image.paste(colour, (left, 0, size[0] * (number + 1) // len(stripes), size[1]))
    out = io.BytesIO()
    image.save(out, kind, **save)
    return SimpleUploadedFile(name or f"find.{kind.lower()}", out.getvalue())


def only_find() -> Find:
    return Find.objects.get()


def added(find: Find, file: Any, account: Account, **over: Any) -> Photograph:
    return photograph_add(find.pk, file.file, by=viewer(account), **over)


def original_of(photograph: Photograph | DraftPhotograph) -> bytes:
    with default_storage.open(photograph.original) as file:
        return bytes(file.read())


def rendition(client: Client, photograph: Photograph, size: int) -> Any:
    return client.get(reverse("finds:rendition", args=[photograph.uuid, size]))
