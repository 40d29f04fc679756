"""A species' page: its account, what it turns to by the minute, hosts, months, look-alikes."""

import datetime as dt
import re
from decimal import Decimal

import pytest
from django.test import Client

from society.finds.models import Find, ObservedCharacter, Standing
from society.finds.services import OrganismEntry, ReadingEntry
from society.names.models import (
    AccountReading,
    AccountSpores,
    AccountState,
    ListedStatus,
    LookAlike,
    Rank,
    Taxon,
)
from tests.lists.pages import text
from tests.lists.standing import find_standing
from tests.make import (
    make_account,
    make_character,
    make_host,
    make_site,
    make_species_account,
    make_taxon,
)

OCTOBER = dt.date(2026, 10, 4)


@pytest.fixture
def member(client: Client) -> Client:
    client.force_login(make_account("Ann"))
    return client


@pytest.fixture
def milkcap() -> Taxon:
    return make_taxon("Lactarius deterrimus", hosts=["Picea"], month_from=8, month_to=11)


def page_of(client: Client, taxon: Taxon, query: str = "") -> str:
    return text(client, f"/species/{taxon.pk}/{query}")


def plain(page: str) -> str:
    """Return the words of a page without its tags."""
    return re.sub(r"\s+([,.;)])", r"\1", " ".join(re.sub(r"<[^>]+>", " ", page).split()))


# The account ---------------------------------------------------------------------------------


def test_the_account_tells_each_character_with_how_usual_it_is(
    member: Client, milkcap: Taxon
) -> None:
    make_species_account(
        milkcap, {"cap_zones": {"clear": "sometimes", "none": "always", "faint": "never"}}
    )
    words = plain(page_of(member, milkcap))
    assert "cap zones always none, sometimes clear, never faint" in words
    assert "version 1" in words


def test_a_character_of_the_account_opens_its_drawing(member: Client, milkcap: Taxon) -> None:
    make_species_account(milkcap, {"ring": {"none": "always"}})
    page = page_of(member, milkcap)
    assert 'data-character-word href="/characters/ring/"' in page
    assert "js/character-words.js" in page


def test_a_source_of_one_character_stands_by_it_and_that_of_most_stands_once(
    member: Client, milkcap: Taxon
) -> None:
    account = make_species_account(
        milkcap, {code: {"none": "always"} for code in ("ring", "veil", "zones")}
    )
    AccountState.objects.filter(account=account).update(source="from memory")
    AccountState.objects.filter(account=account, character__code="zones").update(
        source="Invented Key 1999"
    )
    words = plain(page_of(member, milkcap))
    assert words.count("from memory") == 1
    assert "zones always none (Invented Key 1999)" in words


def test_what_the_account_does_not_hold_is_said_to_be_not_known(
    member: Client, milkcap: Taxon
) -> None:
    make_species_account(milkcap, {"ring": {"none": "always"}})
    make_character("gill_edge", "same", "paler")
    make_character("pore_size", "wide", forms=["bolete"])
    make_character("taste", "mild", never_asked=True, part="taste")
    page = page_of(member, milkcap)
    folded = page[page.index("Not known of it: 1 character of its form") :]
    assert 'href="/characters/gill_edge/"' in folded
    assert "/characters/pore_size/" not in page
    assert "/characters/taste/" not in page
    assert "Not known is never read as absent." in folded


def test_a_taste_that_an_account_holds_stands_with_its_caution(
    member: Client, milkcap: Taxon
) -> None:
    caution = "no taste tells whether a fungus is poisonous"
    make_character("taste", "mild", never_asked=True, part="taste")
    account = make_species_account(milkcap, {"ring": {"none": "always"}})
    assert caution not in page_of(member, milkcap)
    taste = make_character("taste")
    AccountState.objects.create(
        account=account, character=taste, state=taste.states.get(), usual="usually"
    )
    page = page_of(member, milkcap)
    assert "usually mild" in page
    assert caution in page


def test_spores_stand_with_their_unit_and_an_account_in_doubt_says_so(
    member: Client, milkcap: Taxon
) -> None:
    account = make_species_account(milkcap, {"ring": {"none": "always"}})
    sizes = {"length_from": "7.50", "length_to": "10", "width_from": "6", "width_to": "7.00"}
    AccountSpores.objects.create(
        account=account,
        q_from=Decimal("1.20"),
        q_to=Decimal("1.35"),
        **{key: Decimal(size) for key, size in sizes.items()},
    )
    assert "in doubt" not in page_of(member, milkcap)
    account.is_doubtful = True
    account.save()
    page = page_of(member, milkcap)
    assert "7.5–10 × 6–7 µm, Q 1.2–1.35" in page
    assert "This account is in doubt" in page


def test_a_name_without_an_account_says_so_plainly(member: Client) -> None:
    species = page_of(member, make_taxon("Russula nobilis", needs="microscope"))
    assert "No account of this name is held here" in species
    assert "What the name needs to be settled: a microscope." in species
    assert "Accounts are held of species." not in species
    genus = page_of(member, make_taxon("Russula", rank=Rank.GENUS))
    assert "Accounts are held of species." in genus


def test_what_lists_say_stands_with_area_edition_and_year(member: Client, milkcap: Taxon) -> None:
    old = make_taxon("Lactarius oldname", accepted=milkcap)
    ListedStatus.objects.create(
        taxon=old,
        kind="red_list",
        area="Caldermoss",
        edition="Second provisional list",
        year=2019,
        says="near threatened",
    )
    words = plain(page_of(member, milkcap))
    assert "Caldermoss: near threatened" in words
    assert "(Second provisional list, 2019; as Lactarius oldname)" in words


# By the minute -------------------------------------------------------------------------------


def milk(*looks: tuple[float, str]) -> tuple[ReadingEntry, ...]:
    return tuple(ReadingEntry("milk", Decimal(str(minute)), seen) for minute, seen in looks)


def table_of(page: str, caption: str) -> str:
    """Return the words of the time line under a caption, with what is said below it."""
    return plain(
        page[page.index(f">{caption}</caption>") + 1 :].split("<caption")[0].split("</section>")[0]
    )


def test_readings_of_settled_finds_stand_below_the_account_at_their_minutes(
    member: Client, milkcap: Taxon
) -> None:
    make_species_account(
        milkcap,
        {"ring": {"none": "always"}},
        [("milk", 0, 5, "orange", "always"), ("milk", 10, 30, "wine", "usually")],
    )
    find_standing(taxon=milkcap, readings=milk((0, "orange"), (30, "wine red")))
    find_standing(taxon=milkcap, readings=milk((0, "carrot"), (30, "maroon")))
    find_standing(taxon=milkcap, readings=milk((0, "orange"), (30, "bluish green")))
    find_standing(Standing.UNCONFIRMED, taxon=milkcap, readings=milk((0, "white"), (30, "white")))
    words = table_of(page_of(member, milkcap), "Milk on a fresh cut")
    assert "Minutes 0 5 10 30" in words
    assert "the account always orange" in words
    assert "seen here orange 3" in words
    assert "wine-red or maroon 2 blue or green 1" in words
    assert "white" not in words
    assert "readings of 3 finds with a settled name" in words


def test_not_looked_and_not_readable_are_counted_apart_and_never_as_no_change(
    member: Client, milkcap: Taxon
) -> None:
    missed = ReadingEntry("milk", Decimal(30), looked=False)
    find_standing(taxon=milkcap, readings=(*milk((0, "orange")), missed))
    find_standing(taxon=milkcap, readings=milk((30, "hard to say")))
    words = table_of(page_of(member, milkcap), "Milk on a fresh cut")
    assert "not readable 1 not looked 1" in words
    assert "no change" not in words
    assert "No account here says what it turns to." in words


def test_an_account_that_no_find_bears_out_says_so(member: Client, milkcap: Taxon) -> None:
    account = make_species_account(
        milkcap, {"ring": {"none": "always"}}, [("flesh", 0, 10, "none", "always")]
    )
    AccountReading.objects.filter(account=account).update(source="Invented Key 1999")
    words = table_of(page_of(member, milkcap), "Flesh on a fresh cut")
    assert "No find with a settled name was read here by the minute." in words
    assert "Source of the account: Invented Key 1999." in words
    assert "seen here" not in words


def test_a_reagent_is_one_however_it_is_written_and_minutes_beyond_the_usual_are_shown(
    member: Client, milkcap: Taxon
) -> None:
    account = make_species_account(milkcap, {"ring": {"none": "always"}})
    AccountReading.objects.create(
        account=account,
        exposed="reagent",
        reagent="iron_salts",
        minute_from=0,
        minute_to=5,
        colour="green",
        usual="usually",
    )
    drop = ReadingEntry("reagent", Decimal(2), "green", reagent="Iron salts")
    find_standing(taxon=milkcap, readings=(drop,))
    page = page_of(member, milkcap)
    assert page.count("ron salts</caption>") == 1
    words = table_of(page, "A reagent: Iron salts")
    assert "Minutes 0 2 5" in words
    assert "seen here" in words


def test_looks_at_more_minutes_than_are_shown_are_said_to_be_left_out(
    member: Client, milkcap: Taxon
) -> None:
    find_standing(
        taxon=milkcap, readings=milk(*((minute, "orange") for minute in (1, 2, 3, 4, 6, 7, 8)))
    )
    words = table_of(page_of(member, milkcap), "Milk on a fresh cut")
    assert "Minutes 1 2 3 4 6 seen here" in words
    assert "2 looks at other minutes are left out." in words


# Hosts and months ------------------------------------------------------------------------------


def with_host(host: Taxon) -> tuple[OrganismEntry, ...]:
    return (OrganismEntry(as_written=host.scientific_name, taxon_id=host.pk, part="host"),)


def test_hosts_here_stand_against_those_held(member: Client) -> None:
    taxon = make_taxon("Boletus edulis", hosts=["Picea", "Quercus"])
    spruce = make_host("Picea abies", genus="Picea")
    birch = make_host("Betula pendula", genus="Betula")
    find_standing(taxon=taxon, organisms=with_host(spruce))
    find_standing(taxon=taxon, organisms=with_host(spruce))
    find_standing(taxon=taxon, organisms=with_host(birch))
    find_standing(taxon=taxon)
    words = plain(page_of(member, taxon))
    assert "Picea abies 2 both" in words
    assert "Betula pendula 1 only here" in words
    assert "Quercus 0 held, not seen here" in words
    assert "A host is recorded of 3 finds of the 4 that stand." in words


def test_months_here_stand_against_those_of_the_account_over_the_turn_of_the_year(
    member: Client,
) -> None:
    taxon = make_taxon("Flammulina velutipes", month_from=11, month_to=2)
    find_standing(taxon=taxon, date=dt.date(2026, 1, 4))
    find_standing(taxon=taxon, date=OCTOBER)
    page = page_of(member, taxon)
    assert page.count("chart-expected") == 4
    words = plain(page)
    assert "January 1 yes" in words
    assert "October 1 no" in words
    assert "1 find lies outside them." in words
    assert "2 finds that stand, by month" in words


def test_no_months_held_marks_none(member: Client) -> None:
    taxon = make_taxon("Russula nobilis")
    find_standing(taxon=taxon, date=OCTOBER)
    page = page_of(member, taxon)
    assert "chart-expected" not in page
    assert "No months are held of this name." in page


# Look-alikes -----------------------------------------------------------------------------------


def test_each_look_alike_is_one_tap_from_side_by_side_and_the_deadly_come_first(
    member: Client,
) -> None:
    taxon = make_taxon("Agaricus campestris")
    harmless = make_taxon("Agaricus arvensis")
    ill = make_taxon("Agaricus xanthodermus", danger="illness")
    deadly = make_taxon("Amanita virosa", danger="deadly")
    for other in (harmless, ill, deadly):
        LookAlike.objects.create(taxon=taxon, other=other, source="an atlas")
    page = page_of(member, taxon)
    links = re.findall(rf"/side-by-side/\?with=account-{taxon.pk}&amp;with=account-(\d+)", page)
    assert links == [str(deadly.pk), str(ill.pk), str(harmless.pk)]
    answer = member.get(f"/side-by-side/?with=account-{taxon.pk}&with=account-{deadly.pk}")
    assert answer.status_code == 200
    assert "On eating" in page


def test_accounts_that_are_alike_are_look_alikes_and_say_what_tells_them_apart(
    member: Client,
) -> None:
    states = {
        "cap_zones": {"none": "always"},
        "gill_colour": {"orange": "always"},
        "ring": {"none": "always"},
        "smell": {"fruit": "always"},
    }
    one, other = make_taxon("Lactarius unus"), make_taxon("Lactarius alter", danger="serious")
    make_species_account(one, {**states, "stem_pits": {"clear": "always"}})
    make_character("stem_pits", "lacking")
    make_species_account(other, {**states, "stem_pits": {"lacking": "always"}})
    page = page_of(member, one)
    assert f"with=account-{other.pk}" in page
    words = plain(page)
    assert "Their accounts differ in: stem pits." in words
    assert "Found by comparing the accounts." in words


# Whom it is shown to -----------------------------------------------------------------------------


def test_a_guest_reads_readings_hosts_and_colours_of_what_is_published_alone(
    milkcap: Taxon,
) -> None:
    colour = make_character("gill_colour", "orange")
    for standing in (Standing.UNCONFIRMED, Standing.DISPUTED):
        find = find_standing(
            standing,
            taxon=milkcap,
            plain={"stage": "old"},
            readings=milk((0, "orange")),
            organisms=with_host(make_host(f"Tilia {standing}")),
        )
        ObservedCharacter.objects.create(find=find, character=colour, state=colour.states.get())
    for client in (Client(), _signed_in()):
        page = page_of(client, milkcap)
        for words in ("Milk on a fresh cut", "Tilia", "Age and colour"):
            assert words not in page


def _signed_in() -> Client:
    client = Client()
    client.force_login(make_account())
    return client


def test_readings_of_a_secret_find_count_and_its_site_is_not_told() -> None:
    rarity = make_taxon("Hericium erinaceus", sensitivity=2)
    site = make_site("Hagg Wood", extent_m=900)
    find_standing(taxon=rarity, site=site, readings=milk((0, "orange")))
    page = page_of(Client(), rarity)
    assert "Hagg Wood" not in page
    assert "readings of 1 find with a settled name" in plain(page)


# Where a member looks for the words ---------------------------------------------------------------


def test_the_lists_lead_to_the_characters_and_to_what_goes_with_them() -> None:
    page = text(Client(), "/lists/")
    assert 'href="/characters/"' in page
    assert 'href="/contrast/"' in page


def test_what_reads_wide_since_a_split_is_told_and_not_counted(
    member: Client, milkcap: Taxon
) -> None:
    find_standing(taxon=milkcap, date=OCTOBER)
    wide = find_standing(taxon=milkcap, date=OCTOBER)
    Find.objects.filter(pk=wide.pk).update(reads_wide=True)
    words = plain(page_of(member, milkcap))
    assert "1 find stands" in words
    assert "1 more reads as s.l. since the species was split and is not counted here." in words


def test_finds_are_told_by_week_and_how_many_lie_outside_the_months_held(
    member: Client, milkcap: Taxon
) -> None:
    for day in (dt.date(2025, 10, 6), dt.date(2026, 10, 7), dt.date(2026, 12, 2)):
        find_standing(taxon=milkcap, date=day)
    vague = find_standing(taxon=milkcap, date=dt.date(2026, 10, 11))
    Find.objects.filter(pk=vague.pk).update(date_end=dt.date(2026, 10, 20))
    words = plain(page_of(member, milkcap))
    table = words[words.index("Finds by week of the year") :]
    assert "Week Finds Outside the months held 41 2 – 49 1 1" in table
