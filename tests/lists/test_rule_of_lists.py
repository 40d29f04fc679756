"""The list that the database counts, held against the society's rule applied to every find."""

import datetime as dt
import random
from collections import defaultdict

import pytest

from society.finds.models import Find, Standing
from society.lists.queries import SpeciesListFilter, species_list
from society.names.models import Rank, Taxon
from society.places.models import Site
from society.science.listing import ListedFind, count_list, firsts
from tests.lists.standing import find_standing
from tests.make import make_account, make_site, make_taxon, viewer

NAMES = (
    ("Armillaria", Rank.GENUS),
    ("Armillaria mellea agg.", Rank.AGGREGATE),
    ("Armillaria mellea", Rank.SPECIES),
    ("Armillaria ostoyae", Rank.SPECIES),
    ("Russula", Rank.GENUS),
    ("Russula nobilis", Rank.SPECIES),
    ("Amanita muscaria", Rank.SPECIES),
    ("Amanita muscaria var. formosa", Rank.VARIETY),
    ("Hydnum repandum agg.", Rank.AGGREGATE),
)
STANDINGS = (
    Standing.CONFIRMED,
    Standing.CONFIRMED,
    Standing.BY_ITS_REFEREE,
    Standing.LEFT_OPEN,
    Standing.FROM_THE_BOOKS,
    Standing.UNCONFIRMED,
    Standing.DISPUTED,
)
SPAN = (dt.date(2024, 6, 1), dt.date(2025, 5, 31))


def invented_record(seed: int) -> tuple[Site, list[Find]]:
    """Post 40 finds of few names within three years, some on days not known."""
    chance = random.Random(seed)
    ann, site = make_account(), make_site()
    taxa = [
        make_taxon(name, rank=rank) for name, rank in chance.sample(NAMES, chance.randint(4, 9))
    ]
    finds = []
    for _ in range(40):
        start = dt.date(2023, 1, 1) + dt.timedelta(days=chance.randrange(1095))
        end = start + dt.timedelta(days=chance.choice((0, 0, 0, 30, 364)))
        finds.append(
            find_standing(
                chance.choice(STANDINGS),
                ann,
                taxon=chance.choice(taxa),
                site=chance.choice((site, site, None)),
                date_start=start,
                date_end=end,
            )
        )
    return site, finds


def members(taxon: Taxon, others: list[Taxon]) -> frozenset[int]:
    """Return the wider names that a name is a member of, by the words of the rule."""
    wider = set()
    for other in others:
        if other == taxon or other.genus != taxon.genus:
            continue
        if other.rank == Rank.GENUS:
            wider.add(other.pk)
        species = " ".join(taxon.scientific_name.split()[:2])
        if other.scientific_name == f"{species} agg." and taxon.rank != Rank.AGGREGATE:
            wider.add(other.pk)
    return frozenset(wider)


def as_listed(finds: list[Find]) -> list[ListedFind]:
    taxa = list(Taxon.objects.fungi())
    by_id = {taxon.pk: taxon for taxon in taxa}
    muscaria = next((t.pk for t in taxa if t.scientific_name == "Amanita muscaria"), None)
    return [
        ListedFind(
            find_id=find.pk,
            taxon_id=find.standing_taxon_id or 0,
            taxon_rank=by_id[find.standing_taxon_id or 0].rank,
            genus=by_id[find.standing_taxon_id or 0].genus,
            standing=find.standing,
            start=find.date_start,
            end=find.date_end,
            site_id=find.site_id,
            counted_member_of=members(by_id[find.standing_taxon_id or 0], taxa),
            species_id=(
                muscaria if by_id[find.standing_taxon_id or 0].rank == Rank.VARIETY else None
            ),
        )
        for find in finds
    ]


@pytest.mark.parametrize("seed", range(6))
def test_the_database_counts_what_the_rule_counts(seed: int) -> None:
    site, finds = invented_record(seed)
    here = [
        find
        for find in finds
        if find.site_id == site.pk and find.date_start >= SPAN[0] and find.date_end <= SPAN[1]
    ]
    ruled = count_list(as_listed(here))
    answer = species_list(
        viewer(make_account()), SpeciesListFilter(site=site, date_from=SPAN[0], date_to=SPAN[1])
    )
    assert (answer.species, answer.finds, answer.unconfirmed, answer.left_out.disputed) == (
        ruled.species,
        ruled.finds,
        ruled.unconfirmed,
        ruled.disputed,
    )
    by_taxon = {row.taxon_id: row for row in answer.rows}
    assert by_taxon.keys() == {row.taxon_id for row in ruled.rows}
    for wanted in ruled.rows:
        row = by_taxon[wanted.taxon_id]
        assert (row.finds, row.from_the_books, row.unconfirmed, row.counts_as_species) == (
            wanted.finds,
            wanted.from_books,
            wanted.unconfirmed,
            wanted.counts_as_species,
        )
        if wanted.finds:
            assert (row.first_date, row.last_date) == (wanted.first, wanted.last)
            assert row.first_is_vague == ("first_date_vague" in wanted.flags)
            assert row.last_is_vague == ("last_date_vague" in wanted.flags)


@pytest.mark.parametrize("seed", range(6))
def test_the_database_finds_the_firsts_that_the_rule_finds(seed: int) -> None:
    site, finds = invented_record(seed)
    here = {
        find.pk
        for find in finds
        if find.site_id == site.pk and find.date_start >= SPAN[0] and find.date_end <= SPAN[1]
    }
    whole = firsts(as_listed(finds))
    expected: dict[str, set[int]] = defaultdict(set)
    expected["society"] = {taxon for taxon, pk in whole.for_society.items() if pk in here}
    expected["site"] = {taxon for (_, taxon), pk in whole.for_site.items() if pk in here}
    answer = species_list(
        viewer(make_account()), SpeciesListFilter(site=site, date_from=SPAN[0], date_to=SPAN[1])
    )
    assert {row.taxon_id for row in answer.rows if row.first_for_society} == expected["society"]
    assert {row.taxon_id for row in answer.rows if row.first_for_site} == expected["site"]
