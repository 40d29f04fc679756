"""No page, list, file or picture tells its reader a protected place or anything else kept back."""

import io
import re
from typing import Any

import pytest
from django.test import Client, override_settings
from PIL import Image

from society.finds.models import Find, Standing
from society.finds.services import PlaceEntry, find_post
from society.names.models import Sensitivity
from society.science.positions import format_british_grid
from tests import make
from tests.cast import CANARY, PERSONAS, SENSITIVE_PLACE, Cast
from tests.contract.leaks import E7, EXACT, GUESTS, leaks, reader_of
from tests.contract.leaky_urls import LEAKY
from tests.contract.permissions_table import TABLE, Row, addresses
from tests.contract.walking import asked, body_of, text_of

Clients = dict[str, Client]
# Readers to whom the rare find's place is given coarsely.
NOT_FOR_THEM = ("guest", "inactive", "bea", "olive")


def places_of_row(row: Row, known: dict[str, Any]) -> list[str]:
    return [(row.path + query).format(**known) for query in ("", *row.query)]


# Somebody whose sign-in was closed is answered as a guest, address by address (test_addresses).
@pytest.mark.parametrize("persona", [who for who in PERSONAS if who != "inactive"])
def test_no_address_of_the_table_tells_a_reader_what_is_kept_back(
    persona: str, cast: Cast, clients: Clients
):
    reader, known = reader_of(cast, persona), addresses(cast)
    told, read = [], 0
    for row in TABLE:
        for address in places_of_row(row, known):
            answer = asked(clients[persona], "get", address)
            read += answer.status_code == 200
            told += [(address, leak) for leak in leaks(reader, text_of(answer), address)]
    assert told == []
    assert read > 40, "hardly anything was read"


@pytest.mark.parametrize("persona", ["guest", "bea", "olive"])
@pytest.mark.parametrize("leak", LEAKY)
def test_a_view_that_tells_too_much_is_found_out(
    leak: str, persona: str, cast: Cast, clients: Clients
):
    _, expected = LEAKY[leak]
    if persona != "guest" and leak == "kept-site":
        return  # members may know its name
    if persona == "bea" and leak == "integers":
        expected = "sensitive: a pair of numbers too near"
    with override_settings(ROOT_URLCONF="tests.contract.leaky_urls"):
        answer = asked(clients[persona], "get", f"/leak/{leak}/")
    found = leaks(reader_of(cast, persona), text_of(answer))
    assert any(fault.startswith(expected) for fault in found)


def test_what_a_reader_may_have_is_no_leak(cast: Cast):
    """The rounded place for a guest, the exact one for the finder: neither is reported."""
    assert leaks(reader_of(cast, "guest"), "<p>55.20, -2.60 given to 0.01°; Hagg Wood</p>") == []
    assert leaks(reader_of(cast, "olive"), '{"lat": 55.2, "lon": -2.6}') == []
    exact = "55.17383, -2.59175 within 6 m, the split oak by gate seven"
    assert leaks(reader_of(cast, "ann"), exact) == []
    assert leaks(reader_of(cast, "olive"), exact) != []


def test_the_seconds_of_a_clock_and_the_digits_of_a_uuid_are_no_place(cast: Cast):
    by_chance = (
        '<time datetime="2026-11-25T16:37:55.173830+00:00">Tuesday</time>'
        '<time datetime="2026-11-25T16:40:02.591750+00:00">Tuesday</time>'
        '<a href="/photographs/a551738f-1234-4abc-8def-551738300259/320/">'
        '<a href="/photographs/a551738f-1234-4abc-8def-a25917500abc/320/">'
    )
    reader = reader_of(cast, "guest")
    assert leaks(reader, by_chance) == []
    assert leaks(reader, by_chance + "55.17383 -2.59175") != []


@pytest.mark.parametrize("persona", PERSONAS)
def test_a_find_whose_site_would_tell_its_place_names_no_site(
    persona: str, cast: Cast, clients: Clients
):
    """On its own page the site is named to those alone who have the exact place."""
    hidden = {
        "sensitive": (cast.open_site.name, persona in EXACT),
        "secret": (cast.kept_site.name, persona in {*EXACT, "bea"}),
    }
    for name, (site, is_named) in hidden.items():
        answer = asked(clients[persona], "get", f"/finds/{cast.finds[name].spoken_number}/")
        page = text_of(answer).split('id="main"')[1]
        assert (site in page) == is_named, (persona, name)


@pytest.mark.parametrize("persona", ["guest", "olive"])
def test_of_a_place_of_the_most_secret_kind_a_guest_reads_the_region_alone(
    persona: str, cast: Cast, clients: Clients
):
    Find.objects.filter(pk=cast.secret.pk).update(
        made_secret=Sensitivity.EXTREME, secrecy=Sensitivity.EXTREME
    )
    reader, known = reader_of(cast, persona), addresses(cast)
    assert {secret.name: secret.step for secret in reader.secrets}["secret"] == (
        None if persona == "guest" else 1.0
    )
    shows = ("review:find", "lists:finds", "lists:site", "lists:home", "exchange:finds_csv")
    for row in TABLE:
        if row.name.startswith(shows):
            for address in places_of_row(row, known):
                answer = asked(clients[persona], "get", address)
                assert leaks(reader, text_of(answer), address) == [], address
    page = text_of(asked(clients[persona], "get", f"/finds/{cast.secret.spoken_number}/"))
    assert cast.society.region_name in page


def renditions(cast: Cast) -> list[str]:
    return [f"/photographs/{cast.photograph.uuid}/{size}/" for size in (320, 1024, 2048)]


@pytest.mark.parametrize("persona", PERSONAS)
def test_no_rendition_holds_data_of_the_camera(persona: str, cast: Cast, clients: Clients):
    for address in renditions(cast):
        body = body_of(asked(clients[persona], "get", address))
        with Image.open(io.BytesIO(body)) as picture:
            assert dict(picture.getexif()) == {}
            assert not {"exif", "comment", "xmp", "icc_profile"} & set(picture.info)
        assert b"GPS" not in body
        assert CANARY.encode() not in body


def test_the_original_alone_holds_it_and_is_for_its_finder_and_keepers(
    cast: Cast, clients: Clients
):
    address = f"/photographs/{cast.photograph.uuid}/original/"
    whole = {
        who
        for who, client in clients.items()
        if CANARY.encode() in body_of(asked(client, "get", address))
    }
    assert whole == {"ann", "kay"}


def finds_shown(answer: Any) -> set[str]:
    """Return the numbers of the finds that an answer leads to or lists."""
    text = text_of(answer)
    linked = re.findall(r"/finds/(\d{4}/\d+)/", text)
    listed = re.findall(r"^(\d{4}/\d+),", text, re.MULTILINE)
    return {*linked, *listed}


def place_in_words(place: PlaceEntry) -> list[str]:
    lat, lon = place.lat_e7 / E7, place.lon_e7 / E7  # type: ignore[operator]
    squares = [format_british_grid(lat, lon, side) for side in (1, 10, 100, 1_000)]
    return [
        *(f"{lat:.7f}", f"{lon:.7f}", f"{lat:.5f} {lon:.5f}", str(place.lat_e7), str(place.lon_e7)),
        *(place.verbatim, place.verbatim.split()[-1], *map(str, squares)),
    ]


@pytest.mark.parametrize("persona", NOT_FOR_THEM)
def test_no_search_finds_a_find_by_where_it_was(persona: str, cast: Cast, clients: Clients):
    for words in place_in_words(SENSITIVE_PLACE):
        answer = clients[persona].get("/search/", {"q": words})
        assert answer.status_code == 200
        assert cast.sensitive.spoken_number not in finds_shown(answer), words


LISTS = ("/lists/finds/", "/finds.csv", "/lists/species/", "/lists/species.csv")


@pytest.mark.parametrize("persona", PERSONAS)
@pytest.mark.parametrize("path", LISTS)
def test_a_list_of_its_site_holds_a_secret_find_for_those_alone_who_have_its_place(
    path: str, persona: str, cast: Cast, clients: Clients
):
    everywhere = text_of(clients[persona].get(path))
    there = text_of(clients[persona].get(path, {"site": cast.open_site.slug}))
    assert "Lactarius deterrimus" in there
    # The reader may know that it was found, and not that it was here.
    assert "Hericium" in everywhere
    assert ("Hericium" in there) == (persona not in NOT_FOR_THEM)


@pytest.mark.parametrize("persona", NOT_FOR_THEM)
def test_no_count_of_its_site_counts_a_secret_find(persona: str, cast: Cast, clients: Clients):
    """The pages with counts by site are the same, but for dates, whether or not it is there."""
    pages = ["/sites/", f"/sites/{cast.open_site.slug}/", "/lists/", "/sites/boundaries.json"]
    before = {page: counts_told(clients[persona].get(page)) for page in pages if page != "/lists/"}
    Find.objects.filter(pk=cast.sensitive.pk).update(withdrawn_at=cast.withdrawn.withdrawn_at)
    after = {page: counts_told(clients[persona].get(page)) for page in pages if page != "/lists/"}
    assert before == after


def counts_told(answer: Any) -> str:
    """Return a page's words, without the tokens that differ each time."""
    text = re.sub(r'name="csrfmiddlewaretoken" value="[^"]+"', "", text_of(answer))
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", text))


def test_the_desk_narrowed_to_a_site_holds_no_find_whose_site_is_kept_from_the_referee(
    cast: Cast, clients: Clients
):
    entry = make.make_entry(
        cast.ann.person, taxon=cast.rarity, site=cast.open_site, place=SENSITIVE_PLACE
    )
    waiting = find_post(entry, by=make.viewer(cast.ann))
    waiting.refresh_from_db()
    assert waiting.standing == Standing.UNCONFIRMED
    for persona, is_there in (("bea", False), ("carl", True)):
        wide = clients[persona].get("/desk/?whose=all")
        narrow = clients[persona].get(f"/desk/?whose=all&site={cast.open_site.pk}")
        assert waiting.spoken_number in finds_shown(wide)
        assert (waiting.spoken_number in finds_shown(narrow)) == is_there


# Ways in which an address might ask by place, were there any that answered.
BY_PLACE = (
    *("lat={lat}&lon={lon}", "lat_e7__gte={lat_e7}", "near={lat},{lon}&place={words}"),
    *("bbox={west},{south},{east},{north}", "sort=lat_e7&order=-lon_e7"),
    *("cell_lat_0001={cell}", "grid={grid}"),
)
ELSEWHERE = PlaceEntry(570_000_000, -40_000_000, 600, "phone", "at the far lighthouse")


def asked_by_place(pattern: str, place: PlaceEntry) -> str:
    lat, lon = place.lat_e7 / E7, place.lon_e7 / E7  # type: ignore[operator]
    return pattern.format(
        lat=lat,
        lon=lon,
        lat_e7=place.lat_e7,
        west=lon - 0.001,
        east=lon + 0.001,
        south=lat - 0.001,
        north=lat + 0.001,
        cell=round(lat * 1000),
        grid=format_british_grid(lat, lon, 100),
        words=place.verbatim,
    )


@pytest.mark.parametrize("persona", ["guest", "bea", "olive"])
def test_no_list_is_narrowed_or_sorted_by_the_exact_place(
    persona: str, cast: Cast, clients: Clients
):
    """To ask by the true place and by another gives the same finds in the same order."""
    pages = ["/finds.csv", "/lists/species.csv", "/sites/boundaries.json"]
    pages.append("/desk/" if persona == "bea" else "/lists/finds/")
    for page in pages:
        for pattern in BY_PLACE:
            true, false = (
                clients[persona].get(f"{page}?{asked_by_place(pattern, place)}")
                for place in (SENSITIVE_PLACE, ELSEWHERE)
            )
            assert true.status_code == false.status_code
            assert in_order(true) == in_order(false), (page, pattern)


def in_order(answer: Any) -> list[str]:
    return re.findall(r"(?:/finds/|^)(\d{4}/\d+)(?:/|,)", text_of(answer), re.MULTILINE)


def test_a_guest_cannot_tell_a_kept_site_from_none(cast: Cast, clients: Clients):
    """What is answered of a kept site is what is answered of a site that was never there."""
    slug = cast.kept_site.slug
    for path in ("/sites/{}/", "/lists/species/?site={}", "/lists/finds/?site={}"):
        kept, none = (clients["guest"].get(path.format(name)) for name in (slug, "no-such-site"))
        assert kept.status_code == none.status_code
        assert counts_told(kept).replace(slug, "") == counts_told(none).replace("no-such-site", "")


def test_every_persona_is_walked():
    assert GUESTS | EXACT | {"bea", "olive"} == set(PERSONAS)
