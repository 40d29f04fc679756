"""The pages of species lists, their finds, sites and species."""

import datetime as dt

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from society.finds.models import Standing
from society.finds.services import OrganismEntry
from society.names.models import LookAlike, Rank
from tests.lists.pages import find_address, text
from tests.lists.standing import find_standing
from tests.make import make_account, make_host, make_site, make_taxon

DAY = dt.date(2026, 10, 4)


@pytest.fixture
def member(client: Client) -> Client:
    client.force_login(make_account("Ann"))
    return client


def test_a_list_shows_place_time_numbers_and_dangers_in_words(member: Client) -> None:
    site = make_site("Hagg Wood")
    deadly = make_taxon("Amanita virosa", danger="deadly", danger_note="amatoxin")
    field = make_taxon("Agaricus campestris", family="Agaricaceae", english="Field Mushroom")
    LookAlike.objects.create(taxon=field, other=deadly, source="an atlas")
    find_standing(taxon=field, site=site, date=DAY)
    page = text(member, "/lists/species/?site=hagg-wood&season=2026")
    assert "Hagg Wood, season 2026/27" in page
    assert "Field Mushroom" in page
    assert "Confused with:" in page
    assert "deadly: amatoxin" in page
    assert "first for the society" in page
    assert "/lists/species.csv?site=hagg-wood&amp;season=2026" in page
    assert "/lists/species.xlsx?site=hagg-wood&amp;season=2026" in page
    assert "says nothing about harm" in page


def test_dangers_have_no_sorting_head(member: Client) -> None:
    find_standing(taxon=make_taxon("Russula nobilis"))
    page = text(member, "/lists/species/")
    assert '<th scope="col">Dangers and dangerous look-alikes</th>' in page
    assert page.count("data-sort=") == 7


@pytest.mark.parametrize(
    "query",
    [
        "site=no-such-site",
        "season=soon",
        "from=31+June+2026",
        "to=%00",
        "host=0",
        "host=abc",
        f"host={'9' * 5000}",
        "form=mushroom",
        "counted=all",
        "sort=danger",
        "family=%3Cb%3E",
        "from=2026-10-05&to=2026-10-04",
    ],
)
def test_a_filter_that_is_not_understood_gives_no_list_at_all(member: Client, query: str) -> None:
    find_standing(taxon=make_taxon("Russula nobilis"), date=DAY)
    for address in ("/lists/species/", "/lists/finds/"):
        assert "Russula nobilis" not in text(member, f"{address}?{query}", status=422)


def test_a_fungus_is_no_host_to_list_by(member: Client) -> None:
    taxon = make_taxon("Russula nobilis")
    assert member.get(f"/lists/species/?host={taxon.pk}").status_code == 422


def test_dates_are_read_as_people_write_them(member: Client) -> None:
    find_standing(taxon=make_taxon("Russula nobilis"), date=DAY)
    assert "Russula nobilis" in text(member, "/lists/species/?from=Oct+2026&to=4+October+2026")
    assert "Russula nobilis" not in text(member, "/lists/species/?to=3.10.2026")


def test_a_row_leads_to_its_finds_and_no_others(member: Client) -> None:
    taxon = make_taxon("Russula nobilis")
    first = find_standing(taxon=taxon, date=DAY)
    other = find_standing(taxon=make_taxon("Lactarius tabidus"), date=DAY)
    page = text(member, "/lists/species/?season=2026")
    assert f"/lists/finds/?season=2026&amp;taxon={taxon.pk}&amp;qualifier=" in page
    finds = text(member, f"/lists/finds/?season=2026&taxon={taxon.pk}&qualifier=")
    assert find_address(first) in finds
    assert find_address(other) not in finds


def test_the_finds_of_a_name_as_written_can_be_reached(member: Client) -> None:
    find = find_standing(name="Agaricus caldermossensis")
    assert "written=Agaricus%20caldermossensis" in text(member, "/lists/species/")
    assert find_address(find) in text(member, "/lists/finds/?written=Agaricus%20caldermossensis")


@pytest.mark.parametrize("taxon", ["999999", "abc", "-1", "²"])
def test_finds_of_no_name_of_the_checklist_are_not_found(member: Client, taxon: str) -> None:
    assert member.get("/lists/finds/", {"taxon": taxon}).status_code == 404


def test_the_list_stands_under_its_families(member: Client) -> None:
    find_standing(taxon=make_taxon("Russula nobilis", family="Russulaceae"))
    page = text(member, "/lists/species/?by_family=on")
    assert "<strong>Russulaceae</strong>" in page


def test_an_empty_list_says_so(member: Client) -> None:
    assert "Nothing to list" in text(member, "/lists/species/?from=1900&to=1901")


def test_the_chooser_offers_seasons_and_sites_with_finds(member: Client) -> None:
    site = make_site("Hagg Wood")
    find_standing(taxon=make_taxon(), site=site, date=DAY)
    page = text(member, "/lists/")
    assert "/lists/species/?season=2026" in page
    assert "/sites/hagg-wood/" in page


def test_a_site_shows_what_its_owner_allows_and_its_seasons(member: Client) -> None:
    site = make_site(
        "Hagg Wood",
        picking="nothing",
        owner_note="Ask at the lodge.",
        cautions="Deep ditch.",
        boundary={
            "type": "Polygon",
            "coordinates": [[[-2.6, 55.2], [-2.5, 55.2], [-2.5, 55.3], [-2.6, 55.2]]],
        },
    )
    find_standing(taxon=make_taxon("Russula nobilis"), site=site, date=DAY)
    page = text(member, "/sites/hagg-wood/")
    assert "nothing may be lifted, cut or taken" in page
    assert "Ask at the lodge." in page
    assert "Deep ditch." in page
    assert "/lists/species/?site=hagg-wood&amp;season=2026" in page
    assert 'data-lat="55.2"' in page
    guest = text(Client(), "/sites/hagg-wood/")
    assert "Deep ditch." in guest
    assert "Ask at the lodge." not in guest


def test_a_kept_site_does_not_exist_for_a_guest(client: Client) -> None:
    site = make_site("Kept Wood", openness="kept")
    find_standing(taxon=make_taxon("Russula nobilis"), site=site, date=DAY)
    assert client.get("/sites/kept-wood/").status_code == 404
    assert client.get("/lists/species/?site=kept-wood").status_code == 422
    for address in (
        "/", "/sites/", "/lists/", "/lists/species/", "/lists/finds/", "/search/?q=kept",
    ):  # fmt: skip
        assert "Kept Wood" not in text(client, address), f"{address} leaked"
    client.force_login(make_account())
    assert "Kept Wood" in text(client, "/sites/")


def test_sites_stand_as_a_tree_and_a_part_stands_alone_where_its_whole_is_kept() -> None:
    estate = make_site("Estate", openness="kept")
    make_site("Ashwood", parent=estate)
    assert "Ashwood" in text(Client(), "/sites/")


def test_a_species_page_shows_names_months_hosts_sites_and_what_it_needs(member: Client) -> None:
    site = make_site("Hagg Wood")
    taxon = make_taxon("Russula nobilis", english="Beechwood Sickener", needs="microscope")
    make_taxon("Russula mairei", accepted=taxon)
    beech = make_host("Fagus sylvatica")
    find_standing(
        taxon=taxon,
        site=site,
        date=DAY,
        organisms=(OrganismEntry(as_written="beech", taxon_id=beech.pk, part="host"),),
    )
    page = text(member, f"/species/{taxon.pk}/")
    for words in ("Beechwood Sickener", "Russula mairei", "a microscope", "Fagus sylvatica"):
        assert words in page
    assert '<desc id="months-desc">October 1. </desc>' in page
    assert "no test for eating" in page
    assert "Hagg Wood" in page


def test_what_separates_a_dangerous_look_alike_stands_with_its_source(member: Client) -> None:
    taxon = make_taxon("Agaricus campestris")
    other = make_taxon("Amanita virosa", danger="deadly")
    LookAlike.objects.create(
        taxon=taxon,
        other=other,
        separated_by="white gills, a volva",
        source="Invented 1999",
        in_poisonings=True,
    )
    for pk in (taxon.pk, other.pk):
        page = text(member, f"/species/{pk}/")
        assert "white gills, a volva" in page
        assert "this confusion has poisoned people" in page
        assert "known from poisonings" not in page
        assert "Source: Invented 1999" in page
        assert "On eating" in page


def test_a_synonym_leads_to_the_accepted_name_and_a_tree_to_what_was_found_with_it() -> None:
    accepted = make_taxon("Russula nobilis")
    synonym = make_taxon("Russula mairei", accepted=accepted)
    beech = make_host("Fagus sylvatica")
    client = Client()
    assert client.get(f"/species/{synonym.pk}/")["Location"] == f"/species/{accepted.pk}/"
    assert client.get(f"/species/{beech.pk}/")["Location"] == f"/lists/species/?host={beech.pk}"
    assert client.get("/species/999999/").status_code == 404


def test_a_tree_that_nothing_was_found_with_has_an_empty_list_that_says_so(member: Client) -> None:
    find_standing(taxon=make_taxon("Russula nobilis"))
    oak = make_host("Quercus robur")
    led = member.get(f"/species/{oak.pk}/")["Location"]
    for address in (led, f"/lists/finds/?host={oak.pk}"):
        page = text(member, address)
        assert "Nothing that counts here was found with Quercus robur." in page
        assert "Russula nobilis" not in page
    assert f'<option value="{oak.pk}" selected>' in text(member, led)
    assert "Quercus robur" not in text(member, "/lists/species/")


def test_a_guests_species_page_counts_nothing_unconfirmed() -> None:
    taxon = make_taxon("Russula nobilis")
    find = find_standing(Standing.UNCONFIRMED, taxon=taxon)
    page = text(Client(), f"/species/{taxon.pk}/")
    assert "No find of it stands yet" in page
    assert find_address(find) not in page


def test_a_secret_finds_site_is_not_on_its_species_page(member: Client) -> None:
    site = make_site("Hagg Wood", extent_m=900)
    rarity = make_taxon("Hericium erinaceus", sensitivity=2)
    find_standing(account=make_account("Ben"), taxon=rarity, site=site, date=DAY)
    for client in (member, Client()):
        for address in (f"/species/{rarity.pk}/", f"/lists/finds/?taxon={rarity.pk}"):
            page = text(client, address)
            assert "Hagg Wood" not in page, f"{address} leaked"
        assert rarity.scientific_name not in text(client, "/lists/finds/?site=hagg-wood")
        assert rarity.scientific_name not in text(client, "/sites/hagg-wood/")


def test_pages_cost_the_same_queries_for_5_finds_and_50(member: Client) -> None:
    site = make_site("Hagg Wood")
    taxon = make_taxon("Russula nobilis")
    genus = make_taxon("Russula", rank=Rank.GENUS)
    beech = make_host("Fagus sylvatica")
    addresses = (
        "/", "/lists/", "/lists/species/?season=2026", "/lists/finds/", "/sites/",
        "/sites/hagg-wood/", f"/species/{taxon.pk}/", "/search/?q=russula", "/logbook/",
        "/logbook/names/",
    )  # fmt: skip
    ann = make_account("Bea")
    member.force_login(ann)
    costs: dict[str, list[int]] = {address: [] for address in addresses}
    for many in (5, 45):
        for number in range(many):
            find_standing(
                account=ann,
                taxon=genus if number % 5 == 0 else taxon,
                site=site,
                date=DAY,
                organisms=(OrganismEntry(as_written="beech", taxon_id=beech.pk, part="host"),),
            )
        for address in addresses:
            member.get(address)  # the name index is read into memory once
            with CaptureQueriesContext(connection) as queries:
                text(member, address)
            costs[address].append(len(queries))
    assert {address: cost[0] - cost[1] for address, cost in costs.items()} == dict.fromkeys(
        addresses, 0
    )
