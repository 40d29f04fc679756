"""Photographs: what is taken, and the sizes made of it."""

import io
import struct
import uuid

import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import call_command
from django.test import Client
from django.urls import reverse
from PIL import Image

from society.core.errors import NotPermitted, Refused
from society.core.models import Job
from society.core.tasks import run_next
from society.finds.models import (
    Find,
    PhotographState,
)
from society.finds.services import renditions_make
from society.finds.services.pictures import SIZES
from society.members.models import Account
from tests.finds.typed import added, original_of, picture, rendition
from tests.make import make_find

pytestmark = pytest.mark.django_db


class TestTaken:
    @pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "AVIF", "HEIF", "TIFF"])
    def test_every_usual_kind_is_kept_byte_for_byte_and_shown_as_jpeg(
        self, find: Find, ann: Account, ann_client: Client, kind: str
    ) -> None:
        file = picture(kind, (640, 480))
        sent = file.read()
        photograph = added(find, file, ann)
        assert (photograph.width, photograph.height) == (640, 480)
        assert photograph.byte_size == len(sent)
        assert original_of(photograph) == sent
        answer = rendition(ann_client, photograph, 320)
        assert answer["Content-Type"] == "image/jpeg"
        with Image.open(io.BytesIO(answer.getvalue())) as shown:
            assert (shown.format, shown.size, shown.mode) == ("JPEG", (320, 240), "RGB")
            red, green, blue = shown.getpixel((160, 120))
        assert abs(red - 180) < 12
        assert abs(green - 60) < 12
        assert abs(blue - 40) < 12

    @pytest.mark.parametrize("mode", ["RGBA", "LA", "P", "L", "CMYK", "1", "I;16"])
    def test_every_way_of_colouring_is_brought_to_one(
        self, find: Find, ann: Account, mode: str
    ) -> None:
        out = io.BytesIO()
        image = Image.new(mode, (64, 64))
        if mode == "I;16":
            image = Image.frombytes("I;16", (64, 64), struct.pack("<H", 0x8000) * 64 * 64)
        image.save(out, "TIFF")
        photograph = renditions_make(
            added(find, SimpleUploadedFile("a.tif", out.getvalue()), ann).pk
        )
        with default_storage.open(photograph.renditions["320"]) as file, Image.open(file) as shown:
            assert shown.mode == "RGB"
            if mode == "I;16":
                assert abs(shown.getpixel((32, 32))[0] - 128) < 4

    def test_the_same_bytes_are_stored_once(self, find: Find, ann: Account, ben: Account) -> None:
        first = added(find, picture(), ann)
        second = added(make_find(ben), picture(), ben)
        assert first.original == second.original
        _folders, files = default_storage.listdir(first.original.rsplit("/", 1)[0])
        assert files == [first.sha256]

    def test_a_resend_is_the_same_photograph(
        self, find: Find, ann: Account, ann_client: Client
    ) -> None:
        key = str(uuid.uuid4())
        page = reverse("finds:photograph_add", args=[find.year, find.number])
        for _time in range(2):
            answer = ann_client.post(page, {"photograph": picture(), "uuid": key, "view": "cap"})
            assert (answer.status_code, answer.json()) == (201, {"uuid": key})
        assert find.photographs.get().view == "cap"

    def test_another_picture_under_a_used_identity_is_refused(
        self, find: Find, ann: Account
    ) -> None:
        key = uuid.uuid4()
        added(find, picture(), ann, uuid=key)
        with pytest.raises(Refused) as told:
            added(find, picture(colours=[(1, 1, 1)]), ann, uuid=key)
        assert told.value.code == "not_found"
        assert find.photographs.count() == 1

    def test_only_who_may_change_the_find_adds_to_it(
        self, find: Find, ben: Account, ben_client: Client
    ) -> None:
        page = reverse("finds:photograph_add", args=[find.year, find.number])
        assert ben_client.post(page, {"photograph": picture()}).status_code == 403
        with pytest.raises(NotPermitted):
            added(find, picture(), ben)

    def test_a_new_photograph_is_a_new_version_of_the_evidence(
        self, find: Find, ann: Account
    ) -> None:
        added(find, picture(), ann)
        find.refresh_from_db()
        assert (find.version, find.evidence_version) == (1, 2)


class TestSizes:
    def test_a_job_makes_every_size(self, find: Find, ann: Account) -> None:
        photograph = added(find, picture("JPEG", (3000, 2000)), ann)
        assert photograph.state == PhotographState.WAITING
        job = Job.objects.get(kind="finds.make_renditions")
        assert job.args == {"photograph_id": photograph.pk}
        assert run_next("a worker")
        photograph.refresh_from_db()
        assert photograph.state == PhotographState.READY
        for size in SIZES:
            with default_storage.open(photograph.renditions[str(size)]) as file:
                assert max(Image.open(file).size) == size

    def test_a_small_picture_is_never_blown_up(self, find: Find, ann: Account) -> None:
        photograph = renditions_make(added(find, picture(size=(400, 300)), ann).pk)
        with default_storage.open(photograph.renditions["2048"]) as file:
            assert Image.open(file).size == (400, 300)

    def test_running_twice_makes_nothing_new(self, find: Find, ann: Account) -> None:
        photograph = added(find, picture(), ann)
        call_command("make_renditions")
        photograph.refresh_from_db()
        first = dict(photograph.renditions)
        call_command("make_renditions", "--all")
        renditions_make(photograph.pk)
        photograph.refresh_from_db()
        assert photograph.renditions == first
        _folders, files = default_storage.listdir("renditions")
        assert len(files) == len(SIZES)

    def test_a_size_that_was_lost_is_made_again(
        self, find: Find, ann: Account, capsys: pytest.CaptureFixture[str]
    ) -> None:
        photograph = renditions_make(added(find, picture(), ann).pk)
        default_storage.delete(photograph.renditions["320"])
        call_command("make_renditions", "--all")
        photograph.refresh_from_db()
        assert default_storage.exists(photograph.renditions["320"])
        assert "1 photographs looked after, 0 failed." in capsys.readouterr().out

    def test_an_original_that_is_gone_is_told_and_marked(
        self, find: Find, ann: Account, ann_client: Client, capsys: pytest.CaptureFixture[str]
    ) -> None:
        photograph = added(find, picture(), ann)
        default_storage.delete(photograph.original)
        call_command("make_renditions", str(photograph.pk))
        photograph.refresh_from_db()
        assert photograph.state == PhotographState.FAILED
        assert "1 failed" in capsys.readouterr().out
        assert rendition(ann_client, photograph, 320).status_code == 404

    def test_their_addresses_cannot_be_guessed(self, find: Find, ann: Account) -> None:
        photograph = renditions_make(added(find, picture(), ann).pk)
        names = {key.removeprefix("renditions/") for key in photograph.renditions.values()}
        assert all(len(name) == len("0" * 32 + ".jpg") for name in names)
        assert not any(photograph.sha256[:8] in name for name in names)
