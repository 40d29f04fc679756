"""The pages of sites, their boundaries for maps, and reading a place, through the client."""

import json
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from society.core.models import Change
from society.places.models import Site
from tests.make import make_account, make_site, make_society

pytestmark = pytest.mark.django_db

RING = [[-2.60, 55.20], [-2.58, 55.20], [-2.58, 55.21], [-2.60, 55.21], [-2.60, 55.20]]
WOOD = {"type": "Polygon", "coordinates": [RING]}


@pytest.fixture
def signed_in(client: Client) -> Client:
    make_society()
    client.force_login(make_account("Organiser", is_organiser=True))
    return client


def posted(**over: Any) -> dict[str, Any]:
    return {
        "name": "Hagg Wood",
        "openness": "open",
        "extent_m": "800",
        "soil": "acid",
        "picking": "study",
        "owner_note": "Leave by letter.",
        **over,
    }


def errors(answer: Any) -> dict[str, Any]:
    assert answer.status_code == 200
    assert not Site.objects.filter(name="Hagg Wood").exists()
    return dict(answer.context["form"].errors)


@pytest.mark.parametrize("path", ["/sites/new/", "/sites/old-wood/edit/"])
def test_sites_are_written_by_organisers_and_keepers(client: Client, path: str) -> None:
    make_society()
    make_site("Old Wood")
    assert client.get(path)["Location"].startswith("/signin/")
    client.force_login(make_account("Member"))
    assert client.get(path).status_code == 403
    assert client.post(path, posted()).status_code == 403
    assert Site.objects.count() == 1
    client.force_login(make_account("Keeper", is_keeper=True))
    answer = client.get(path)
    assert answer.status_code == 200
    assert "no-store" in answer["Cache-Control"]


def test_a_site_is_added_with_a_pasted_boundary_and_edited(signed_in: Client) -> None:
    answer = signed_in.post("/sites/new/", posted(boundary=json.dumps(WOOD), extent_m=""))
    site = Site.objects.get()
    assert answer["Location"] == "/sites/hagg-wood/"
    assert (site.boundary, site.lat_e7, site.soil) == (WOOD, 552_050_000, "acid")
    assert site.owner_note.raw == "Leave by letter."
    page = signed_in.get("/sites/hagg-wood/edit/").content.decode()
    assert "Leave by letter.</textarea>" in page
    assert "&quot;Polygon&quot;" in page
    signed_in.post(
        "/sites/hagg-wood/edit/", posted(boundary=json.dumps(WOOD), openness="kept", soil="lime")
    )
    site.refresh_from_db()
    assert (site.openness, site.soil) == ("kept", "lime")


def test_an_unchanged_form_changes_nothing(signed_in: Client) -> None:
    for number, over in enumerate(({"middle": "NT 623 854"}, {"boundary": json.dumps(WOOD)})):
        signed_in.post("/sites/new/", posted(name=f"Wood {number}", **over))
        form = signed_in.get(f"/sites/wood-{number}/edit/").context["form"]
        data = {name: form[name].value() for name in form.fields}
        data = {name: value for name, value in data.items() if value not in (None, "")}
        changes = Change.objects.count()
        assert signed_in.post(f"/sites/wood-{number}/edit/", data).status_code == 302
        assert Change.objects.count() == changes


def test_a_boundary_comes_as_a_file_of_features(signed_in: Client) -> None:
    features = {
        "type": "FeatureCollection",
        "features": [
            {"type": "Feature", "properties": {}, "geometry": WOOD},
            {
                "type": "Feature",
                "properties": {},
                "geometry": {
                    "type": "MultiPolygon",
                    "coordinates": [[[[x, y + 1] for x, y in RING]]],
                },
            },
        ],
    }
    file = SimpleUploadedFile("wood.geojson", b"\xef\xbb\xbf" + json.dumps(features).encode())
    signed_in.post("/sites/new/", posted(boundary="not this", boundary_file=file))
    boundary = Site.objects.get().boundary
    assert (boundary["type"], len(boundary["coordinates"])) == ("MultiPolygon", 2)


def test_what_a_file_held_is_kept_when_something_else_is_wrong(signed_in: Client) -> None:
    file = SimpleUploadedFile("wood.json", json.dumps(WOOD).encode())
    answer = signed_in.post("/sites/new/", posted(openness="", boundary_file=file))
    assert list(errors(answer)) == ["openness"]
    assert "&quot;Polygon&quot;" in answer.content.decode()


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("picture.png", b"\x89PNG\r\n\x1a\n\xff\xfe"),
        ("../../etc/passwd", b"root"),
        ("deep.json", b"[" * 100_000),
        ("points.json", b'{"type":"FeatureCollection","features":[{"type":"Feature"}]}'),
        ("large.json", b" " * 2_000_001),
        ("empty.json", b"{}"),
        ("none.json", b"null"),
    ],
)
def test_a_file_that_is_no_boundary_is_refused(
    signed_in: Client, name: str, content: bytes
) -> None:
    answer = signed_in.post("/sites/new/", posted(boundary_file=SimpleUploadedFile(name, content)))
    told = errors(answer)
    assert set(told) <= {"boundary_file", "boundary"}
    assert told


@pytest.mark.parametrize(
    ("over", "field"),
    [
        ({"boundary": "POLYGON((0 0))"}, "boundary"),
        ({"boundary": '{"type": "Polygon", "coordinates": [[[NaN, 1]]]}'}, "boundary"),
        ({"middle": "NY 62 3854"}, "middle"),
        ({"middle": "by the gate"}, "middle"),
        ({"middle": "x" * 300}, "middle"),
        ({"extent_m": ""}, "extent_m"),
        ({"extent_m": "-4"}, "extent_m"),
        ({"extent_m": "9" * 30}, "extent_m"),
        ({"name": ""}, "name"),
        ({"name": "x" * 10_000}, "name"),
        ({"name": "OLD WOOD"}, "name"),
        ({"parent": "999999"}, "parent"),
        ({"owner_note": "x" * 1001}, "owner_note"),
        ({"picking": "all of it"}, "picking"),
    ],
)
def test_what_is_refused_stands_beside_its_field(
    signed_in: Client, over: dict[str, str], field: str
) -> None:
    make_site("Old Wood")
    answer = signed_in.post("/sites/new/", posted(**{"habitat": "oak on a bank", **over}))
    assert list(errors(answer)) == [field]
    assert 'value="oak on a bank"' in answer.content.decode()


def test_markup_in_a_name_is_refused(signed_in: Client) -> None:
    answer = signed_in.post("/sites/new/", posted(name="<b>Wood"))
    assert "name" in answer.context["form"].errors
    assert not Site.objects.exists()


def test_a_middle_is_read_as_a_grid_reference_or_degrees(signed_in: Client) -> None:
    signed_in.post("/sites/new/", posted(name="One", middle="NT 623 854"))
    one = Site.objects.get(name="One")
    assert one.lat_e7 is not None
    assert 550_000_000 < one.lat_e7 < 561_000_000
    signed_in.post("/sites/new/", posted(name="Two", middle="55.2050, -2.5900"))
    two = Site.objects.get(name="Two")
    assert (two.lat_e7, two.lon_e7, two.extent_m) == (552_050_000, -25_900_000, 800)
    answer = signed_in.post("/sites/new/", posted(middle="-2.5900, 55.2050"))
    assert "write 55.205, -2.59" in str(errors(answer)["middle"])


def test_a_part_is_not_offered_as_what_the_site_belongs_to(signed_in: Client) -> None:
    estate = make_site("Estate")
    wood = make_site("Wood", parent=estate)
    page = signed_in.get("/sites/estate/edit/")
    offered = page.context["form"].fields["parent"].queryset
    assert set(offered) == set()
    answer = signed_in.post("/sites/estate/edit/", posted(parent=wood.pk))
    assert list(answer.context["form"].errors) == ["parent"]
    assert signed_in.get("/sites/nowhere/edit/").status_code == 404


def test_boundaries_are_given_to_whom_the_names_may_be_shown(
    client: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    make_society()
    make_site("Kept Wood", boundary=WOOD, openness="kept", owner_note="Mrs Private")
    for number in range(6):
        make_site(f"Open Wood {number}", boundary=WOOD)
    with django_assert_num_queries(1):
        answer = client.get("/sites/boundaries.json")
    assert answer["Content-Type"] == "application/geo+json"
    assert "Kept Wood" not in answer.content.decode()
    assert len(answer.json()["features"]) == 6
    feature = answer.json()["features"][0]
    assert (feature["properties"]["name"], feature["geometry"]) == ("Open Wood 0", WOOD)
    client.force_login(make_account("Member"))
    text = client.get("/sites/boundaries.json").content.decode()
    assert "Kept Wood" in text
    assert "Mrs Private" not in text


def test_a_member_has_a_place_read(client: Client) -> None:
    make_site("Old Wood")
    assert client.get("/place/read/", {"text": "NT 623 854"}).status_code == 302
    client.force_login(make_account("Member"))
    answer = client.get("/place/read/", {"text": "nt623854"}).json()
    assert (answer["outcome"], answer["grid_reference"]) == ("read", "NT 623 854")
    assert answer["uncertainty_m"] == 76
    assert 55.0 < answer["lat"] < 56.5
    answer = client.get("/place/read/", {"text": "NT 62 3854"}).json()
    assert (answer["outcome"], answer["code"]) == ("refused", "uneven_figures")
    assert answer["message"].startswith("Both halves")
    for text in ("", "x" * 5000, "\x00", "<script>"):
        answer = client.get("/place/read/", {"text": text}).json()
        assert answer["outcome"] == "refused"
        assert answer["message"].endswith(".")
