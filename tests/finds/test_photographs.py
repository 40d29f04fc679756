"""Photographs: what is taken, what is refused and why, and what never leaves the server."""

import io
import struct
import uuid
import zlib
from typing import Any

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
    DraftPhotograph,
    Find,
    FindDraft,
    Photograph,
    PhotographState,
    Standing,
)
from society.finds.services import draft_photograph_add, photograph_add, renditions_make
from society.finds.services.pictures import SIZES
from society.members.models import Account
from tests.finds.typed import picture, send, typed
from tests.make import make_find, viewer

pytestmark = pytest.mark.django_db

MAKER = b"Canopy Optical Works"
# What Pillow tells of any JPEG: version, density, way of loading.
NOTHING_BUT_JPEG = {
    "jfif",
    "jfif_version",
    "jfif_unit",
    "jfif_density",
    "progressive",
    "progression",
}
GPS = {1: "N", 2: (55.0, 12.0, 11.3), 3: "W", 4: (2.0, 36.0, 9.8)}


@pytest.fixture
def find(ann: Account) -> Find:
    return make_find(ann)


def exif(orientation: int = 1) -> Image.Exif:
    """Return metadata as a phone writes it: maker, orientation, position."""
    data = Image.Exif()
    data[0x010F] = MAKER.decode()
    data[0x0112] = orientation
    data.get_ifd(0x8825).update(GPS)
    return data


def added(find: Find, file: Any, account: Account, **over: Any) -> Photograph:
    return photograph_add(find.pk, file.file, by=viewer(account), **over)


def original_of(photograph: Photograph | DraftPhotograph) -> bytes:
    with default_storage.open(photograph.original) as file:
        return bytes(file.read())


def rendition(client: Client, photograph: Photograph, size: int) -> Any:
    return client.get(reverse("finds:rendition", args=[photograph.uuid, size]))


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


class TestNothingLeaks:
    @pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "AVIF", "HEIF", "TIFF"])
    def test_no_rendition_holds_position_or_device(
        self, find: Find, ann: Account, ann_client: Client, kind: str
    ) -> None:
        file = picture(kind, (2100, 1400), exif=exif())
        assert MAKER in file.read()
        photograph = added(find, file, ann, caption="cap")
        for size in SIZES:
            content = rendition(ann_client, photograph, size).getvalue()
            for trace in (MAKER, b"Exif", b"GPS", b"xmp", b"http://ns.adobe.com", b"8BIM"):
                assert trace not in content
            with Image.open(io.BytesIO(content)) as shown:
                assert max(shown.size) == size
                assert not dict(shown.getexif())
                assert not shown.getexif().get_ifd(0x8825)
                assert shown.info.keys() <= NOTHING_BUT_JPEG

    def test_comments_and_profiles_are_left_behind_too(
        self, find: Find, ann: Account, ann_client: Client
    ) -> None:
        file = picture("JPEG", comment=b"at Hagg Wood, under the third oak")
        photograph = added(find, file, ann)
        content = rendition(ann_client, photograph, 1024).getvalue()
        assert b"Hagg Wood" not in content

    def test_the_small_picture_of_a_draft_holds_none_either(
        self, ann: Account, ann_client: Client
    ) -> None:
        file = picture("JPEG", (900, 600), exif=exif())
        kept = draft_photograph_add(uuid.uuid4(), file.file, by=viewer(ann))
        answer = ann_client.get(reverse("finds:draft_photograph", args=[kept.uuid]))
        assert answer["Content-Type"] == "image/jpeg"
        assert MAKER not in answer.content
        with Image.open(io.BytesIO(answer.content)) as shown:
            assert not dict(shown.getexif())

    @pytest.mark.parametrize(("orientation", "first"), [(1, "red"), (3, "blue"), (2, "blue")])
    def test_the_picture_stands_as_it_was_held(
        self, find: Find, ann: Account, ann_client: Client, orientation: int, first: str
    ) -> None:
        stripes = [(220, 20, 20), (20, 20, 220)]
        file = picture("JPEG", (640, 320), colours=stripes, exif=exif(orientation), quality=95)
        photograph = added(find, file, ann)
        content = rendition(ann_client, photograph, 320).getvalue()
        with Image.open(io.BytesIO(content)) as shown:
            red, _green, blue = shown.getpixel((40, 80))
        assert ("red" if red > blue else "blue") == first

    @pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "AVIF", "HEIF", "TIFF"])
    def test_a_picture_held_sideways_is_turned(
        self, find: Find, ann: Account, ann_client: Client, kind: str
    ) -> None:
        # HEIF tells its turn in a box of its own; the word in its metadata counts for nothing.
        turn = {"turned": exif(6)} if kind == "HEIF" else {"exif": exif(6)}
        file = picture(kind, (640, 320), colours=[(220, 20, 20), (20, 20, 220)], **turn)
        photograph = added(find, file, ann)
        assert (photograph.width, photograph.height) == (320, 640)
        content = rendition(ann_client, photograph, 320).getvalue()
        with Image.open(io.BytesIO(content)) as shown:
            assert shown.size == (160, 320)
            red, _green, blue = shown.getpixel((80, 40))
            assert red > blue


class TestWhoSees:
    def test_guests_see_those_of_published_finds_only(
        self, find: Find, ann: Account, client: Client, ben_client: Client
    ) -> None:
        photograph = added(find, picture(), ann)
        assert rendition(client, photograph, 320).status_code == 404
        assert rendition(ben_client, photograph, 320).status_code == 200
        Find.objects.filter(pk=find.pk).update(standing=Standing.CONFIRMED)
        assert rendition(client, photograph, 320).status_code == 200
        Find.objects.filter(pk=find.pk).update(standing=Standing.DISPUTED)
        assert rendition(client, photograph, 320).status_code == 404

    def test_a_browser_asks_each_time_and_is_told_when_nothing_changed(
        self, find: Find, ann: Account, ann_client: Client, client: Client
    ) -> None:
        photograph = added(find, picture(), ann)
        first = rendition(ann_client, photograph, 320)
        assert "no-cache" in first["Cache-Control"]
        assert "private" in first["Cache-Control"]
        address = reverse("finds:rendition", args=[photograph.uuid, 320])
        known = {"If-None-Match": first["ETag"]}
        assert ann_client.get(address, headers=known).status_code == 304
        assert client.get(address, headers=known).status_code == 404

    def test_a_size_that_is_not_made_is_not_found(
        self, find: Find, ann: Account, ann_client: Client
    ) -> None:
        assert rendition(ann_client, added(find, picture(), ann), 5000).status_code == 404

    def test_the_original_is_for_its_finder_who_entered_it_and_keepers(
        self,
        find: Find,
        ann: Account,
        ann_client: Client,
        ben_client: Client,
        client: Client,
        keeper: Account,
    ) -> None:
        photograph = added(find, picture("JPEG", exif=exif()), ann)
        address = reverse("finds:original", args=[photograph.uuid])
        own = ann_client.get(address)
        assert own.getvalue() == original_of(photograph)
        assert own["Content-Type"] == "application/octet-stream"
        assert own["Content-Disposition"].startswith("attachment")
        assert "no-store" in own["Cache-Control"]
        client.force_login(keeper)
        assert client.get(address).status_code == 200
        assert ben_client.get(address).status_code == 403
        assert Client().get(address)["Location"].startswith(reverse("members:signin"))

    def test_photographs_of_a_draft_are_its_owners_alone(
        self, ann: Account, ben: Account, ben_client: Client
    ) -> None:
        draft = uuid.uuid4()
        kept = draft_photograph_add(draft, picture().file, by=viewer(ann))
        seen = ben_client.get(reverse("finds:draft_photograph", args=[kept.uuid]))
        dropped = ben_client.post(
            reverse("finds:draft_photograph_drop", args=[draft]), {"uuid": str(kept.uuid)}
        )
        sent = ben_client.post(
            reverse("finds:draft_photograph_add", args=[draft]),
            {"photograph": picture(), "uuid": str(uuid.uuid4())},
        )
        assert (seen.status_code, dropped.status_code, sent.status_code) == (404, 204, 404)
        assert DraftPhotograph.objects.get() == kept


class TestDescribed:
    def described(self, find: Find, client: Client, **over: Any) -> Any:
        context = client.get(reverse("finds:edit", args=[find.year, find.number])).context
        sent = {
            "uuid": context["draft_uuid"],
            "base_version": find.version,
            "finder": find.finder_id,
            "date": find.date_start.isoformat(),
            "position": context["form"]["position"].value(),
            "uncertainty": find.uncertainty_m,
            "place_text": "by the stream",
            "photos-TOTAL_FORMS": 1,
            "photos-INITIAL_FORMS": 1,
            "photos-0-uuid": str(find.photographs.get().uuid),
            **{f"photos-0-{name}": value for name, value in over.items()},
        }
        return client.post(reverse("finds:edit", args=[find.year, find.number]), sent)

    def test_view_and_caption_are_said_anew_with_the_find(
        self, find: Find, ann: Account, ann_client: Client
    ) -> None:
        added(find, picture(), ann)
        answer = self.described(find, ann_client, view="section", caption="cut at once")
        assert answer.status_code == 302
        photograph = find.photographs.get()
        assert (photograph.view, photograph.caption.raw) == ("section", "cut at once")

    def test_taken_away_it_is_out_of_sight_and_can_be_put_back(
        self, find: Find, ann: Account, ann_client: Client, ben_client: Client
    ) -> None:
        photograph = added(find, picture(), ann)
        self.described(find, ann_client, is_removed="on")
        photograph.refresh_from_db()
        assert photograph.removed_at is not None
        assert rendition(ben_client, photograph, 320).status_code == 404
        assert rendition(ann_client, photograph, 320).status_code == 200
        page = reverse("review:find", args=[find.year, find.number])
        assert str(photograph.uuid) not in ben_client.get(page).content.decode()

        find.refresh_from_db()
        self.described(find, ann_client)
        photograph.refresh_from_db()
        assert photograph.removed_at is None
        assert rendition(ben_client, photograph, 320).status_code == 200
        assert default_storage.exists(photograph.original)

    def test_a_photograph_of_another_find_is_not_reached(
        self, find: Find, ann: Account, ann_client: Client, ben: Account
    ) -> None:
        added(find, picture(), ann)
        other = added(make_find(ben), picture(), ben)
        sent = {"uuid": str(other.uuid), "caption": "mine now", "is_removed": "on"}
        self.described(find, ann_client, **sent)
        other.refresh_from_db()
        assert (other.caption.raw, other.removed_at) == ("", None)


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
