"""Writes to sites: who may, what is worked out from a boundary, what is refused."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from society.core.errors import NotPermitted, Refused
from society.core.models import Change, FieldVersion
from society.members.permissions import Viewer
from society.places.forms import PLACES, degrees_written, place_sentence
from society.places.models import Site
from society.places.queries import boundaries, region_box, site_with_parts_ids
from society.places.services import BOUNDARIES, site_add, site_edit
from society.science.polygons import ShapeCode
from society.science.positions import Position, RefusalCode, read_position
from tests.make import make_account, make_site, viewer

RING = [[-2.60, 55.20], [-2.58, 55.20], [-2.58, 55.21], [-2.60, 55.21], [-2.60, 55.20]]
WOOD = {"type": "Polygon", "coordinates": [RING]}


@pytest.fixture
def organiser() -> Viewer:
    return viewer(make_account("Organiser", is_organiser=True))


@pytest.mark.django_db
def test_a_boundary_gives_the_middle_and_the_extent(organiser: Viewer) -> None:
    site = site_add({"name": "Hagg  Wood", "boundary": WOOD}, by=organiser)
    site.refresh_from_db()
    assert (site.name, site.folded, site.slug) == ("Hagg Wood", "hagg wood", "hagg-wood")
    assert (site.lat_e7, site.lon_e7) == (552_050_000, -25_900_000)
    # A degree of latitude is 111.3 km here, one of longitude 63.7 km: 1113 m by 1274 m.
    assert 1685 <= site.extent_m <= 1700
    assert site.boundary == WOOD
    assert Change.objects.get().verb == "site.added"


@pytest.mark.django_db
def test_a_boundary_is_kept_as_a_plain_geometry_without_heights(organiser: Viewer) -> None:
    high = [[lon, lat, 212.5] for lon, lat in RING]
    feature = {
        "type": "Feature",
        "properties": {"owner": "private"},
        "geometry": {
            "type": "MultiPolygon",
            "coordinates": [[high], [[[x, y + 1] for x, y in RING]]],
        },
    }
    site = site_add({"name": "Two Woods", "boundary": feature}, by=organiser)
    assert site.boundary["type"] == "MultiPolygon"
    assert site.boundary["coordinates"][0] == [RING]
    assert set(site.boundary) == {"type", "coordinates"}


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("shape", "code"),
    [
        ({"type": "Point", "coordinates": [-2.6, 55.2]}, "not_a_polygon"),
        ("a wood", "not_a_polygon"),
        ({"type": "Polygon", "coordinates": [RING[:3]]}, "ring_too_short"),
        ({"type": "Polygon", "coordinates": [RING[:4]]}, "ring_open"),
        ({"type": "Polygon", "coordinates": [[[0, 0]] * 5]}, "no_area"),
        ({"type": "Polygon", "coordinates": [[*RING[:2], ["x", 1], *RING[3:]]]}, "bad_position"),
        ({"type": "Polygon", "coordinates": [[*RING[:2], [-2.6, 95], *RING[3:]]]}, "out_of_range"),
        ({"type": "Polygon", "coordinates": [[RING[0]] * 20_001]}, "too_many_positions"),
    ],
)
def test_a_boundary_that_cannot_be_used_is_refused_with_its_reason(
    organiser: Viewer, shape: object, code: str
) -> None:
    with pytest.raises(Refused) as refusal:
        site_add({"name": "Hagg Wood", "boundary": shape}, by=organiser)
    assert (refusal.value.code, refusal.value.field) == (code, "boundary")
    assert refusal.value.message
    assert not Site.objects.exists()


@pytest.mark.django_db
def test_a_boundary_with_latitude_first_is_told_from_the_other_sites(organiser: Viewer) -> None:
    swapped = {"type": "Polygon", "coordinates": [[[lat, lon] for lon, lat in RING]]}
    # Nothing to compare with: taken as it stands.
    far = site_add({"name": "Far Wood", "boundary": swapped}, by=organiser)
    assert far.lat_e7 == -25_900_000
    far.delete()
    make_site("Near Wood", lat_e7=552_000_000, lon_e7=-26_000_000)
    with pytest.raises(Refused) as refusal:
        site_add({"name": "Hagg Wood", "boundary": swapped}, by=organiser)
    assert refusal.value.code == "perhaps_swapped"
    elsewhere = [[lon + 40, lat] for lon, lat in RING]
    site_add(
        {"name": "Abroad", "boundary": {"type": "Polygon", "coordinates": [elsewhere]}},
        by=organiser,
    )


@pytest.mark.django_db
@pytest.mark.parametrize("roles", [{}, {"is_organiser": True}, {"is_keeper": True}])
def test_organisers_and_keepers_write_sites_and_members_do_not(roles: dict[str, bool]) -> None:
    by = viewer(make_account("Somebody", **roles))
    site = make_site("Old Wood")
    if roles:
        site_add({"name": "New Wood"}, by=by)
        assert site_edit(site.pk, {"habitat": "oak wood"}, by=by).habitat == "oak wood"
        return
    with pytest.raises(NotPermitted):
        site_add({"name": "New Wood"}, by=by)
    with pytest.raises(NotPermitted):
        site_edit(site.pk, {"habitat": "oak wood"}, by=by)
    assert list(Site.objects.values_list("name", "habitat")) == [("Old Wood", "")]


@pytest.mark.django_db
def test_an_edit_keeps_what_stood_before_and_the_address(organiser: Viewer) -> None:
    site = site_add({"name": "Hagg Wood", "boundary": WOOD, "cautions": "adders"}, by=organiser)
    same = {"name": "Hagg Wood", "boundary": WOOD, "cautions": "adders"}
    site_edit(site.pk, same, by=organiser)
    assert Change.objects.count() == 1
    edited = site_edit(
        site.pk, {"name": "Hagg Bank", "cautions": "", "boundary": None}, by=organiser
    )
    assert (edited.slug, edited.folded, edited.boundary) == ("hagg-wood", "hagg bank", None)
    # The middle stays when the boundary goes.
    assert edited.lat_e7 == 552_050_000
    prior = dict(FieldVersion.objects.values_list("field", "prior"))
    assert (prior["name"], prior["cautions"]) == ("Hagg Wood", "adders")
    assert set(prior) == {"name", "cautions", "boundary"}


@pytest.mark.django_db
def test_a_site_belongs_to_nothing_that_belongs_to_it(organiser: Viewer) -> None:
    estate = make_site("Estate")
    wood = make_site("Wood", parent=estate)
    glade = make_site("Glade", parent=wood)
    for parent in (glade, wood, estate):
        with pytest.raises(Refused) as refusal:
            site_edit(estate.pk, {"parent": parent}, by=organiser)
        assert refusal.value.field == "parent"
    assert sorted(site_with_parts_ids(estate)) == sorted([estate.pk, wood.pk, glade.pk])


@pytest.mark.django_db
def test_a_name_is_given_once_and_addresses_of_pages_are_kept_free(organiser: Viewer) -> None:
    site_add({"name": "Hagg Wood"}, by=organiser)
    for name in ("Hagg Wood", "HÀGG   wood", "!!!"):
        with pytest.raises(Refused) as refusal:
            site_add({"name": name}, by=organiser)
        assert refusal.value.field == "name"
    assert site_add({"name": "New"}, by=organiser).slug == "new-2"
    assert site_add({"name": "Hagg Wood?? 2"}, by=organiser).slug == "hagg-wood-2"
    assert site_add({"name": "Лес"}, by=organiser).slug == "site"


@pytest.mark.django_db
def test_boundaries_of_kept_sites_are_for_members() -> None:
    make_site("Open Wood", boundary=WOOD)
    make_site("Kept Wood", boundary=WOOD, openness="kept")
    make_site("No Boundary")
    names = [f["properties"]["name"] for f in boundaries(Viewer())["features"]]
    assert names == ["Open Wood"]
    names = [f["properties"]["name"] for f in boundaries(viewer(make_account()))["features"]]
    assert names == ["Kept Wood", "Open Wood"]


@pytest.mark.django_db
def test_the_region_lies_well_round_the_sites() -> None:
    assert region_box() is None
    make_site("South", lat_e7=550_000_000, lon_e7=-30_000_000)
    make_site("North", lat_e7=895_000_000, lon_e7=-20_000_000)
    make_site("Nowhere", lat_e7=None, lon_e7=None)
    assert region_box() == (53.0, -5.0, 90.0, 0.0)


def test_every_code_of_a_boundary_and_of_a_position_has_its_sentence() -> None:
    assert set(BOUNDARIES) == set(ShapeCode.__args__)  # type: ignore[attr-defined]
    # 'empty' is asked by the forms, 'not_understood' has the general sentence.
    codes = set(RefusalCode.__args__) - {"empty", "not_understood"}  # type: ignore[attr-defined]
    assert set(PLACES) == codes


@pytest.mark.parametrize(
    "text",
    [
        *("NY 12 3456", "NY 123", "NY 12345678901", "ZZ 12 34", "95.1, 190.2"),
        *("55.1 N 2.5 N", "-55.1 S 2.1 W", "55° 72' N 2° 10' W", "NY 12 34 5X", "somewhere"),
    ],
)
def test_a_refused_position_is_told_without_a_hole_in_the_sentence(text: str) -> None:
    read = read_position(text)
    assert not isinstance(read, Position)
    sentence = place_sentence(read.code, read.detail)
    assert sentence.endswith(".")
    assert "%" not in sentence


@given(lat=st.integers(-900_000_000, 900_000_000), lon=st.integers(-1_800_000_000, 1_800_000_000))
def test_degrees_written_into_the_form_read_back_as_they_were(lat: int, lon: int) -> None:
    read = read_position(degrees_written(lat, lon))
    assert isinstance(read, Position)
    assert (read.lat_e7, read.lon_e7) == (lat, lon)


def test_a_site_without_a_middle_shows_none() -> None:
    assert degrees_written(None, None) == ""


VALUES: dict[str, Any] = {"name": "Hagg Wood"}


@pytest.mark.django_db
def test_values_the_service_does_not_know_are_a_fault_of_the_program(organiser: Viewer) -> None:
    with pytest.raises(ValueError, match="slug"):
        site_add({**VALUES, "slug": "elsewhere"}, by=organiser)
