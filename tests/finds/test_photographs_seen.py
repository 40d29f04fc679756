"""Who sees a photograph, and what is never in what they see."""

import io
import uuid
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.test import Client
from django.urls import reverse
from PIL import Image

from society.finds.models import (
    DraftPhotograph,
    Find,
    Standing,
)
from society.finds.services import draft_photograph_add
from society.finds.services.pictures import SIZES
from society.members.models import Account
from tests.finds.typed import added, original_of, picture, rendition
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


def exif(orientation: int = 1) -> Image.Exif:
    """Return metadata as a phone writes it: maker, orientation, position."""
    data = Image.Exif()
    data[0x010F] = MAKER.decode()
    data[0x0112] = orientation
    data.get_ifd(0x8825).update(GPS)
    return data


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
