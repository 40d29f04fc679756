"""What is no picture, or too much of one, is refused with the reason."""

import io
import struct
import zlib
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from PIL import Image

from society.core.errors import Refused
from society.finds.models import (
    Find,
    FindDraft,
    Photograph,
)
from society.members.models import Account
from tests.finds.typed import added, picture, send, typed

pytestmark = pytest.mark.django_db


def _png_header(width: int, height: int) -> bytes:
    """Return a PNG that claims a size it does not hold."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        body = kind + data
        return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))

    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    pixels = zlib.compress(b"\0" * 1000)
    ihdr, idat, iend = chunk(b"IHDR", header), chunk(b"IDAT", pixels), chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + ihdr + idat + iend


def _bomb() -> bytes:
    """Return a small file whose pixels would fill a gigabyte."""
    out = io.BytesIO()
    Image.new("1", (40_000, 9_000)).save(out, "PNG")
    return out.getvalue()


def _half(kind: str) -> bytes:
    whole = picture(kind, (800, 600), colours=[(1, 2, 3), (200, 100, 50)]).read()
    return whole[: len(whole) // 2]


class TestRefused:
    @pytest.mark.parametrize(
        ("content", "code"),
        [
            (b"Oak wood, by the stream.", "not_a_picture"),
            (b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>", "not_a_picture"),
            (b"GIF89a" + b"\0" * 40, "not_a_picture"),
            (b"%PDF-1.7\n", "not_a_picture"),
            (b"", "empty"),
            (_half("JPEG"), "damaged"),
            (_half("PNG"), "damaged"),
            (_half("WEBP"), "damaged"),
            (_png_header(60_000, 60_000), "too_many_pixels"),
            (_png_header(7_000, 7_000), "damaged"),
            (_bomb(), "too_many_pixels"),
            (picture(size=(8, 8)).read(), "tiny"),
        ],
        ids=lambda value: value if isinstance(value, str) else "",
    )
    def test_what_is_no_whole_picture_is_refused_with_the_reason(
        self, find: Find, ann: Account, ann_client: Client, content: bytes, code: str
    ) -> None:
        page = reverse("finds:photograph_add", args=[find.year, find.number])
        file = SimpleUploadedFile("find.jpg", content, "image/jpeg")
        answer = ann_client.post(page, {"photograph": file})
        assert (answer.status_code, answer.json()["code"]) == (422, code)
        assert answer.json()["message"]
        assert not Photograph.objects.exists()
        assert not default_storage.exists("originals")

    def test_an_enormous_file_is_refused(
        self, find: Find, ann: Account, ann_client: Client, settings: Any
    ) -> None:
        settings.PHOTOGRAPH_MAX_MB = 1
        file = SimpleUploadedFile("big.jpg", picture().read() + b"\0" * (1 << 20))
        page = reverse("finds:photograph_add", args=[find.year, find.number])
        answer = ann_client.post(page, {"photograph": file})
        assert (answer.status_code, answer.json()["code"]) == (422, "too_large")
        assert "1 MB" in answer.json()["message"]

    @pytest.mark.parametrize(
        "name", ["../../etc/passwd", "a\x00b.jpg", "<img src=x>.jpg", "x" * 300 + ".jpg", "con.jpg"]
    )
    def test_a_hostile_name_reaches_neither_disk_nor_page(
        self, ann: Account, ann_client: Client, name: str
    ) -> None:
        fields = typed(ann)
        file = picture()
        file.name = name
        assert send(ann_client, fields | {"photographs": [file]}).status_code == 302
        photograph = Photograph.objects.get()
        assert photograph.original == f"originals/{photograph.sha256[:2]}/{photograph.sha256}"

        bad = SimpleUploadedFile("x.jpg", b"no picture")
        bad.name = name
        answer = send(ann_client, typed(ann) | {"photographs": [bad]})
        assert answer.status_code == 422
        assert "<img src=x>" not in answer.content.decode()

    def test_one_bad_file_costs_neither_the_words_nor_the_other_photographs(
        self, ann: Account, ann_client: Client
    ) -> None:
        fields = typed(ann, notes="still here")
        bad = SimpleUploadedFile("notes.jpg", b"no picture")
        answer = send(ann_client, fields | {"photographs": [bad, picture()]})
        page = answer.content.decode()
        assert answer.status_code == 422
        assert "notes.jpg: This is no picture the logbook can read" in page
        assert not Find.objects.exists()
        waiting = FindDraft.objects.get().photographs.get()
        again = fields | {"photo_uuid": str(waiting.uuid)}
        assert send(ann_client, again).status_code == 302
        assert Photograph.objects.get().uuid == waiting.uuid

    def test_a_find_holds_no_more_than_its_limit(
        self, find: Find, ann: Account, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr("society.finds.services.photographs.MOST_PHOTOGRAPHS", 1)
        added(find, picture(), ann)
        with pytest.raises(Refused) as told:
            added(find, picture(colours=[(1, 1, 1)]), ann)
        assert told.value.code == "too_many"

    def test_a_view_nobody_knows_is_refused(self, find: Find, ann_client: Client) -> None:
        page = reverse("finds:photograph_add", args=[find.year, find.number])
        answer = ann_client.post(page, {"photograph": picture(), "view": "selfie"})
        assert (answer.status_code, answer.json()["code"]) == (422, "invalid")
