"""What a species list counts, for whom, and what it calls a first."""

import datetime as dt
from typing import Any

from django.db import connection
from django.test.utils import CaptureQueriesContext

from society.finds.models import Standing
from society.finds.services import OrganismEntry, SlipEntry, find_withdraw
from society.lists.queries import SpeciesList, SpeciesListFilter, SpeciesRow, species_list
from society.members.models import Account
from society.members.permissions import GUEST
from society.names.models import Rank
from society.places.models import Site
from tests.lists.standing import find_standing
from tests.make import make_account, make_host, make_site, make_taxon, viewer

DAY = dt.date(2026, 10, 4)


def listed(account: Account | None = None, **wanted: Any) -> SpeciesList:
    asker = GUEST if account is None else viewer(account)
    return species_list(asker, SpeciesListFilter(**wanted))


def row_of(answer: SpeciesList, name: str) -> SpeciesRow:
    return next(row for row in answer.rows if row.name == name)


def names(answer: SpeciesList) -> list[str]:
    return [row.name for row in answer.rows]


def two_seasons(site: Site) -> Account:
    """Two confirmed finds of a milkcap in different seasons, and one of a brittlegill."""
    ann = make_account("Ann")
    milkcap, brittlegill = make_taxon("Lactarius tabidus"), make_taxon("Russula nobilis")
    find_standing(account=ann, taxon=milkcap, site=site, date=dt.date(2025, 10, 1))
    find_standing(account=ann, taxon=milkcap, site=site, date=DAY)
    find_standing(account=ann, taxon=brittlegill, site=site, date=DAY)
    return ann


def test_a_list_counts_each_name_with_its_first_and_last_date() -> None:
    site = make_site("Hagg Wood")
    ann = two_seasons(site)
    row = row_of(listed(ann, site=site), "Lactarius tabidus")
    assert (row.finds, row.settled) == (2, 2)
    assert (row.first_date, row.last_date) == (dt.date(2025, 10, 1), DAY)
    assert not row.first_is_vague


def test_a_season_starts_in_the_societys_month() -> None:
    ann = make_account()
    taxon = make_taxon("Sarcoscypha austriaca")
    for date in (dt.date(2026, 2, 28), dt.date(2026, 3, 1)):
        find_standing(account=ann, taxon=taxon, date=date)
    assert row_of(listed(ann, season=2025), "Sarcoscypha austriaca").last_date.month == 2
    answer = listed(ann, season=2026)
    assert row_of(answer, "Sarcoscypha austriaca").first_date == dt.date(2026, 3, 1)
    assert answer.title == "the whole society, season 2026/27"


def test_a_first_for_the_site_may_be_known_to_the_society() -> None:
    hagg, moss = make_site("Hagg Wood"), make_site("Black Moss")
    ann = two_seasons(hagg)
    taxon = row_of(listed(ann), "Lactarius tabidus").taxon_id
    find_standing(
        account=ann, site=moss, date=DAY, slip=SlipEntry("Lactarius tabidus", taxon_id=taxon)
    )
    row = row_of(listed(ann, site=moss, season=2026), "Lactarius tabidus")
    assert row.first_for_site
    assert not row.first_for_society
    again = listed(ann, site=hagg, season=2026)
    assert not row_of(again, "Lactarius tabidus").first_for_site
    assert row_of(again, "Russula nobilis").first_for_society


def test_unconfirmed_stands_apart_and_makes_no_first() -> None:
    site = make_site()
    ann = make_account()
    taxon = make_taxon("Lactarius tabidus")
    find_standing(Standing.UNCONFIRMED, ann, taxon=taxon, site=site, date=dt.date(2026, 9, 1))
    answer = listed(ann, site=site, season=2026)
    row = row_of(answer, "Lactarius tabidus")
    assert (row.finds, row.unconfirmed, row.is_apart) == (0, 1, True)
    assert not row.first_for_site
    assert not row.counts_as_species
    assert (answer.species, answer.finds, answer.unconfirmed) == (0, 0, 1)
    find_standing(account=ann, taxon=taxon, site=site, date=DAY)
    row = row_of(listed(ann, site=site, season=2026), "Lactarius tabidus")
    assert row.first_date == DAY, "dates are those of what stands"
    assert row.first_for_site, "an unconfirmed find before it does not take the first away"


def test_what_is_counted_can_be_chosen() -> None:
    ann = make_account()
    taxon = make_taxon("Lactarius tabidus")
    find_standing(account=ann, taxon=taxon)
    find_standing(Standing.FROM_THE_BOOKS, ann, taxon=taxon)
    find_standing(Standing.UNCONFIRMED, ann, taxon=taxon)
    find_standing(Standing.DISPUTED, ann, taxon=taxon)
    counted = {
        mode: (row.finds, row.from_the_books, row.unconfirmed)
        for mode in ("stands", "only", "settled", "books", "with_unconfirmed")
        for row in listed(ann, counted=mode).rows
    }
    assert counted == {
        "stands": (2, 1, 1),
        "only": (2, 1, 0),
        "settled": (1, 0, 1),
        "books": (1, 1, 0),
        "with_unconfirmed": (3, 1, 1),
    }
    assert listed(ann).left_out.disputed == 1


def test_left_open_counts_only_where_a_rank_holds() -> None:
    ann = make_account()
    genus = make_taxon("Cortinarius", rank=Rank.GENUS, genus="Cortinarius")
    species = make_taxon("Cortinarius inventus")
    find_standing(Standing.LEFT_OPEN, ann, taxon=genus)
    find_standing(Standing.LEFT_OPEN, ann, taxon=species, standing_rank="")
    answer = listed(ann)
    assert names(answer) == ["Cortinarius"]
    assert answer.left_out.open_without_name == 1


def test_a_genus_counts_only_where_no_member_is_listed() -> None:
    ann = make_account()
    find_standing(account=ann, taxon=make_taxon("Russula", rank=Rank.GENUS, genus="Russula"))
    assert listed(ann).species == 1
    find_standing(account=ann, taxon=make_taxon("Russula nobilis"))
    answer = listed(ann)
    assert answer.species == 1
    assert not row_of(answer, "Russula").counts_as_species


def test_a_name_in_doubt_has_a_row_of_its_own_and_makes_no_first() -> None:
    ann = make_account()
    taxon = make_taxon("Lepista nuda")
    doubted = SlipEntry("Lepista cf. nuda", taxon_id=taxon.pk, qualifier="cf.")
    find_standing(account=ann, slip=doubted, date=DAY)
    answer = listed(ann, season=2026)
    (row,) = answer.rows
    assert "".join(text for text, _ in row.parts) == "Lepista cf. nuda"
    assert (row.qualifier, row.first_for_society) == ("cf.", False)
    assert answer.species == 1, "it is the only one of its genus"
    find_standing(account=ann, taxon=taxon, date=DAY)
    answer = listed(ann, season=2026)
    assert {(row.qualifier, row.finds) for row in answer.rows} == {("", 1), ("cf.", 1)}
    assert answer.species == 1


def test_a_name_the_checklist_does_not_hold_is_listed_as_written() -> None:
    ann = make_account()
    find_standing(account=ann, name="Agaricus caldermossensis")
    (row,) = listed(ann).rows
    assert (row.taxon_id, row.name, row.finds) == (None, "Agaricus caldermossensis", 1)
    assert listed(ann).species == 1


def test_a_synonym_counts_under_the_name_accepted_today() -> None:
    ann = make_account()
    old = make_taxon("Clitocybe nuda")
    find_standing(account=ann, taxon=old)
    old.accepted = make_taxon("Lepista nuda")
    old.save()
    find_standing(account=ann, taxon=old.accepted)
    (row,) = listed(ann).rows
    assert (row.name, row.finds) == ("Lepista nuda", 2)


def test_a_group_of_sites_holds_its_parts() -> None:
    estate = make_site("Estate")
    wood = make_site("Wood", parent=estate)
    beck = make_site("Beck", parent=wood)
    ann = make_account()
    find_standing(account=ann, taxon=make_taxon("Russula nobilis"), site=beck)
    find_standing(account=ann, taxon=make_taxon("Lactarius tabidus"), site=make_site("Other"))
    assert names(listed(ann, site=estate)) == ["Russula nobilis"]


def test_hosts_are_those_with_a_part_played_under_their_accepted_names() -> None:
    ann = make_account()
    beech = make_host("Fagus sylvatica", genus="Fagus")
    old = make_host("Fagus silvatica", genus="Fagus", accepted=beech)
    nearby = make_host("Ilex aquifolium")
    taxon = make_taxon("Russula nobilis")
    find_standing(
        account=ann,
        taxon=taxon,
        organisms=(
            OrganismEntry(as_written="beech", taxon_id=old.pk, part="host"),
            OrganismEntry(as_written="holly", taxon_id=nearby.pk, part="nearby"),
        ),
    )
    find_standing(account=ann, taxon=make_taxon("Lactarius tabidus"))
    (row,) = listed(ann, host=beech).rows
    assert [(host.name, host.finds) for host in row.hosts] == [("Fagus sylvatica", 1)]
    genus = make_host("Fagus", genus="Fagus", rank=Rank.GENUS)
    assert names(listed(ann, host=genus)) == ["Russula nobilis"]
    assert names(listed(ann, host=nearby)) == []


def test_family_and_form_narrow_a_list() -> None:
    ann = make_account()
    find_standing(
        account=ann, taxon=make_taxon("Boletus edulis", family="Boletaceae", form="bolete")
    )
    find_standing(account=ann, taxon=make_taxon("Russula nobilis"))
    assert names(listed(ann, family="Boletaceae")) == ["Boletus edulis"]
    assert names(listed(ann, form="agaric")) == ["Russula nobilis"]


def test_rows_are_sorted_as_asked_and_never_by_danger() -> None:
    ann = make_account()
    first = make_taxon("Amanita virosa", family="Amanitaceae", danger="deadly")
    second = make_taxon("Russula nobilis")
    third = make_taxon("Lactarius tabidus")
    find_standing(account=ann, taxon=first, date=dt.date(2026, 10, 3))
    find_standing(account=ann, taxon=second, date=dt.date(2026, 9, 1))
    find_standing(account=ann, taxon=third, date=dt.date(2026, 9, 2))
    find_standing(account=ann, taxon=third, date=dt.date(2026, 10, 9))
    a, r, t = first.scientific_name, second.scientific_name, third.scientific_name
    assert names(listed(ann)) == [a, t, r]
    assert names(listed(ann, sort="finds")) == [t, a, r]
    assert names(listed(ann, sort="first")) == [r, t, a]
    assert names(listed(ann, sort="last")) == [t, a, r]
    assert names(listed(ann, sort="family")) == [a, t, r]
    assert names(listed(ann, sort="first", by_family=True)) == [a, r, t]


def test_a_find_of_unknown_day_counts_where_it_certainly_lies() -> None:
    ann = make_account()
    taxon = make_taxon("Lactarius tabidus")
    whole_year = {"date_start": dt.date(1987, 1, 1), "date_end": dt.date(1987, 12, 31)}
    find_standing(Standing.FROM_THE_BOOKS, ann, taxon=taxon, **whole_year)
    season = listed(ann, season=1987)
    assert (season.rows, season.left_out.partly_in_time) == ((), 1)
    (row,) = listed(ann, date_from=dt.date(1987, 1, 1), date_to=dt.date(1987, 12, 31)).rows
    assert (row.first_is_vague, row.last_is_vague) == (True, True)


def test_a_secret_find_is_absent_from_its_sites_list_and_firsts_for_whoever_may_not_know() -> None:
    site = make_site(extent_m=900)
    ann, ben, kay = make_account("Ann"), make_account("Ben"), make_account("Kay", is_keeper=True)
    rarity = make_taxon("Hericium erinaceus", sensitivity=2)
    find_standing(account=ann, taxon=rarity, site=site, date=DAY)
    for asker in (ann, kay):
        assert row_of(listed(asker, site=site, season=2026), rarity.scientific_name).first_for_site
    for outsider in (ben, None):
        assert names(listed(outsider, site=site, season=2026)) == [], "leaked"
        assert names(listed(outsider, season=2026)) == [rarity.scientific_name]


def test_a_guests_list_holds_only_what_is_published_at_open_sites() -> None:
    ann = make_account()
    kept = make_site("Kept Wood", openness="kept")
    published = make_taxon("Russula nobilis")
    find_standing(account=ann, taxon=published, site=kept)
    find_standing(Standing.UNCONFIRMED, ann, taxon=make_taxon("Lactarius tabidus"))
    find_standing(Standing.LEFT_OPEN, ann, taxon=make_taxon("Mycena", rank=Rank.GENUS))
    assert names(listed()) == [published.scientific_name]
    assert names(listed(site=kept)) == []
    assert names(listed(ann, site=kept)) == [published.scientific_name]


def test_a_withdrawn_find_counts_nowhere_for_nobody() -> None:
    ann = make_account()
    find = find_standing(account=ann, taxon=make_taxon("Russula nobilis"))
    find_withdraw(find.pk, by=viewer(ann))
    for asker in (ann, make_account("Kay", is_keeper=True), None):
        answer = listed(asker)
        assert (answer.rows, answer.finds) == ((), 0)


def test_a_list_costs_the_same_queries_for_5_rows_and_50() -> None:
    site = make_site()
    ann = make_account()
    asker = viewer(ann)
    wanted = SpeciesListFilter(site=site, season=2026)
    beech = make_host("Fagus sylvatica")
    costs = []
    for many in (5, 45):
        for _ in range(many):
            find_standing(
                account=ann,
                taxon=make_taxon(),
                site=site,
                organisms=(OrganismEntry(as_written="beech", taxon_id=beech.pk, part="host"),),
            )
        with CaptureQueriesContext(connection) as queries:
            rows = species_list(asker, wanted).rows
        costs.append((len(rows), len(queries)))
    assert [rows for rows, _ in costs] == [5, 50]
    assert costs[0][1] == costs[1][1] <= 17
