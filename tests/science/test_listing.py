"""Species lists and firsts: what counts, what is shown apart, and ties settled the same way."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from society.science.listing import (
    FLAGS,
    STANDING_CODES,
    STANDS,
    CountedList,
    ListedFind,
    ListRow,
    count_list,
    firsts,
)

# A small checklist: aggregate 10 holds species 11 and 12, all in genus 1; 20 is a species of its
# own with variety 21 and 22; 2 is a genus with species 30.
TAXA: dict[int, dict[str, Any]] = {
    1: {"taxon_rank": "genus", "genus": "Armillaria"},
    10: {"taxon_rank": "aggregate", "genus": "Armillaria", "counted_member_of": frozenset({1})},
    11: {"taxon_rank": "species", "genus": "Armillaria", "counted_member_of": frozenset({1, 10})},
    12: {"taxon_rank": "species", "genus": "Armillaria", "counted_member_of": frozenset({1, 10})},
    20: {"taxon_rank": "species", "genus": "Mycena"},
    21: {"taxon_rank": "variety", "genus": "Mycena", "species_id": 20},
    22: {"taxon_rank": "variety", "genus": "Mycena", "species_id": 20},
    2: {"taxon_rank": "genus", "genus": "Russula"},
    30: {"taxon_rank": "species", "genus": "Russula", "counted_member_of": frozenset({2})},
}
DAY = date(2024, 10, 5)


def make_find(find_id: int, taxon_id: int, **over: Any) -> ListedFind:
    given_facts: dict[str, Any] = {
        "standing": "confirmed",
        "start": DAY,
        "end": over.get("start", DAY),
        "site_id": 1,
        "host_ids": frozenset(),
        **TAXA[taxon_id],
        **over,
    }
    return ListedFind(find_id=find_id, taxon_id=taxon_id, **given_facts)


def row(found: CountedList, taxon_id: int) -> ListRow:
    return next(row for row in found.rows if row.taxon_id == taxon_id)


def species_in(found: CountedList) -> set[int]:
    return {row.taxon_id for row in found.rows if row.counts_as_species}


def test_the_worked_example_at_the_head_of_the_module() -> None:
    finds = [make_find(1, 10), make_find(2, 10), make_find(3, 11), make_find(4, 2)]
    assert species_in(count_list(finds)) == {11, 2}
    assert species_in(count_list([find for find in finds if find.find_id != 3])) == {10, 2}


def test_a_row_gives_finds_dates_hosts_and_sites() -> None:
    found = count_list(
        [
            make_find(1, 20, start=date(2024, 9, 1), host_ids=frozenset({7}), site_id=1),
            make_find(2, 20, start=date(2024, 11, 2), host_ids=frozenset({8, 9}), site_id=2),
            make_find(3, 20, start=date(2024, 10, 2), site_id=None),
        ]
    )
    mycena = row(found, 20)
    assert (mycena.finds, mycena.first, mycena.last) == (3, date(2024, 9, 1), date(2024, 11, 2))
    assert mycena.host_ids == {7, 8, 9}
    assert mycena.site_ids == {1, 2}
    assert mycena.find_ids == (1, 2, 3)
    assert mycena.flags == ()
    assert (found.species, found.finds) == (1, 3)


def test_standing_books_and_unconfirmed_are_apart_and_disputed_is_nowhere() -> None:
    finds = [
        make_find(1, 20),
        make_find(2, 20, standing="determined_by_its_referee"),
        make_find(3, 20, standing="from_the_books", start=date(1931, 9, 1)),
        make_find(4, 20, standing="unconfirmed", start=date(2030, 1, 1)),
        make_find(5, 20, standing="disputed", start=date(1900, 1, 1)),
    ]
    mycena = row(count_list(finds), 20)
    assert (mycena.finds, mycena.standing, mycena.from_books, mycena.unconfirmed) == (3, 2, 1, 1)
    assert (mycena.first, mycena.last) == (date(1931, 9, 1), DAY)
    assert mycena.standing_counts == {
        "confirmed": 1,
        "determined_by_its_referee": 1,
        "from_the_books": 1,
        "unconfirmed": 1,
    }
    assert count_list(finds).disputed == 1


def test_unconfirmed_finds_are_counted_only_when_asked() -> None:
    finds = [make_find(1, 20, standing="unconfirmed", host_ids=frozenset({7}))]
    plain = count_list(finds)
    assert (plain.species, plain.finds, plain.unconfirmed) == (0, 0, 1)
    mycena = row(plain, 20)
    assert (mycena.first, mycena.last, mycena.host_ids) == (None, None, frozenset())
    assert mycena.flags == ("unconfirmed_only",)
    asked = count_list(finds, with_unconfirmed=True)
    assert (asked.species, asked.finds, row(asked, 20).first) == (1, 1, DAY)


def test_the_old_books_can_be_left_out_of_the_count_and_still_be_seen() -> None:
    finds = [make_find(1, 20, standing="from_the_books")]
    mycena = row(count_list(finds, with_books=False), 20)
    assert (mycena.finds, mycena.from_books, mycena.counts_as_species) == (0, 1, False)
    assert row(count_list(finds), 20).flags == ("from_the_books_only",)


def test_a_taxon_with_disputed_finds_only_has_no_row() -> None:
    found = count_list([make_find(1, 20, standing="disputed")])
    assert (found.rows, found.disputed) == ((), 1)


@pytest.mark.parametrize(
    ("taxa", "species"),
    [
        ([1], {1}),
        ([1, 10], {10}),
        ([1, 10, 11], {11}),
        ([10, 11, 12], {11, 12}),
        ([1, 11], {11}),
        ([1, 2], {1, 2}),
        ([2, 30], {30}),
        ([20, 21], {20}),
        ([21], {21}),
        ([21, 22], {21}),
        ([20, 21, 22], {20}),
    ],
)
def test_what_counts_as_a_species(taxa: list[int], species: set[int]) -> None:
    found = count_list(make_find(number, taxon) for number, taxon in enumerate(taxa, start=1))
    assert species_in(found) == species
    assert found.species == len(species)


def test_an_unconfirmed_member_does_not_take_the_count_from_its_aggregate() -> None:
    finds = [make_find(1, 10), make_find(2, 11, standing="unconfirmed")]
    assert species_in(count_list(finds)) == {10}
    assert species_in(count_list(finds, with_unconfirmed=True)) == {11}


def test_an_aggregate_that_does_not_count_says_why() -> None:
    found = count_list([make_find(1, 10), make_find(2, 11)])
    assert row(found, 10).flags == ("member_listed",)


def test_a_row_known_only_from_its_referee_is_marked() -> None:
    found = count_list([make_find(1, 20, standing="determined_by_its_referee")])
    assert row(found, 20).flags == ("by_its_referee_only",)


def test_a_date_that_no_known_day_bears_out_is_marked_vague() -> None:
    vague = make_find(1, 20, start=date(1960, 1, 1), end=date(1969, 12, 31))
    assert row(count_list([vague]), 20).flags == ("first_date_vague", "last_date_vague")
    borne_out = make_find(2, 20, start=date(1969, 12, 31))
    assert row(count_list([vague, borne_out]), 20).flags == ("first_date_vague",)


def test_the_same_find_twice_counts_once() -> None:
    assert count_list([make_find(1, 20), make_find(1, 20)]).finds == 1


@pytest.mark.parametrize("over", [{"standing": "certain"}, {"end": date(2024, 1, 1)}])
def test_nonsense_is_refused_aloud(over: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="find 1"):
        count_list([make_find(1, 20, **over)])
    with pytest.raises(ValueError, match="find 1"):
        firsts([make_find(1, 20, **over)])


# --- firsts ------------------------------------------------------------------------------------


def test_the_earliest_find_is_the_first_for_the_society_and_each_site_has_its_own() -> None:
    found = firsts(
        [
            make_find(1, 20, start=date(2024, 10, 9), site_id=1),
            make_find(2, 20, start=date(2024, 10, 5), site_id=2),
            make_find(3, 20, start=date(2024, 10, 7), site_id=1),
        ]
    )
    assert found.for_society == {20: 2}
    assert found.for_site == {(1, 20): 3, (2, 20): 2}


@pytest.mark.parametrize("standing", ["unconfirmed", "disputed"])
def test_what_does_not_stand_never_makes_a_first(standing: str) -> None:
    early = make_find(1, 20, standing=standing, start=date(2001, 1, 1))
    assert firsts([early]).for_society == {}
    assert firsts([early, make_find(2, 20)]).for_society == {20: 2}


def test_an_old_record_from_the_books_is_the_first() -> None:
    old = make_find(9, 20, standing="from_the_books", start=date(1931, 9, 1))
    assert firsts([old, make_find(2, 20)]).for_society == {20: 9}
    assert firsts([old, make_find(2, 20)], with_books=False).for_society == {20: 2}


def test_a_tie_goes_to_the_lower_number() -> None:
    assert firsts([make_find(8, 20), make_find(3, 20)]).for_society == {20: 3}


def test_a_known_day_comes_before_an_interval_that_may_have_been_earlier() -> None:
    vague = make_find(1, 20, start=date(1950, 1, 1), end=date(1960, 12, 31))
    known = make_find(2, 20, start=date(1955, 9, 9))
    assert firsts([vague, known]).for_society == {20: 2}


def test_an_aggregate_is_no_first_where_a_member_came_before_it() -> None:
    species = make_find(1, 11, start=date(2020, 10, 1))
    aggregate = make_find(2, 10, start=date(2021, 10, 1))
    assert firsts([species, aggregate]).for_society == {11: 1}
    assert firsts([replace(species, start=DAY, end=DAY), aggregate]).for_society == {10: 2, 11: 1}


# --- properties --------------------------------------------------------------------------------


def _dates() -> st.SearchStrategy[date]:
    return st.dates(date(1900, 1, 1), date(2025, 12, 31))


@st.composite
def records(draw: st.DrawFn) -> list[ListedFind]:
    finds = []
    for find_id in range(1, draw(st.integers(0, 14)) + 1):
        start = draw(_dates())
        finds.append(
            make_find(
                find_id,
                draw(st.sampled_from(sorted(TAXA))),
                standing=draw(st.sampled_from(sorted(STANDING_CODES))),
                start=start,
                end=start + timedelta(days=draw(st.sampled_from([0, 0, 0, 30, 3650]))),
                site_id=draw(st.sampled_from([None, 1, 2])),
                host_ids=draw(st.frozensets(st.integers(1, 4), max_size=3)),
            )
        )
    return finds


@given(records(), st.booleans(), st.booleans(), st.randoms(use_true_random=False))
@settings(max_examples=200)
def test_the_sequence_of_finds_is_nothing(
    finds: list[ListedFind], unconfirmed: bool, books: bool, chance: random.Random
) -> None:
    plain = count_list(finds, with_unconfirmed=unconfirmed, with_books=books)
    plain_firsts = firsts(finds)
    chance.shuffle(finds)
    assert count_list(finds, with_unconfirmed=unconfirmed, with_books=books) == plain
    assert firsts(finds) == plain_firsts


@given(records(), st.booleans())
def test_columns_add_up(finds: list[ListedFind], unconfirmed: bool) -> None:
    found = count_list(finds, with_unconfirmed=unconfirmed)
    for each in found.rows:
        extra = each.unconfirmed if unconfirmed else 0
        assert each.finds == each.standing + each.from_books + extra == len(each.find_ids)
        assert sum(each.standing_counts.values()) == (
            each.standing + each.from_books + each.unconfirmed
        )
        assert (each.first is None) == (each.last is None) == (each.finds == 0)
        assert list(each.flags) == [flag for flag in FLAGS if flag in each.flags]
        assert not (each.counts_as_species and each.finds == 0)
    assert found.finds + (0 if unconfirmed else found.unconfirmed) + found.disputed == len(finds)


@given(records())
def test_no_group_counts_beside_a_member_of_it_and_every_find_is_counted_somewhere(
    finds: list[ListedFind],
) -> None:
    found = count_list(finds)
    counting = species_in(found)
    with_finds = {each.taxon_id for each in found.rows if each.finds}
    for taxon_id in with_finds:
        groups = TAXA[taxon_id].get("counted_member_of", frozenset())
        assert not groups & counting
        # Whatever is listed is counted: itself, a member of it, its species or a sibling.
        related = {
            other
            for other in with_finds
            if taxon_id in TAXA[other].get("counted_member_of", frozenset())
            or TAXA[other].get("species_id", other) == TAXA[taxon_id].get("species_id", taxon_id)
        }
        assert taxon_id in counting or related & counting


@given(records())
def test_every_first_stands_and_none_of_its_taxon_is_certainly_earlier(
    finds: list[ListedFind],
) -> None:
    by_id = {find.find_id: find for find in finds}
    making = STANDS | {"from_the_books"}
    for taxon_id, find_id in firsts(finds).for_society.items():
        first = by_id[find_id]
        assert first.standing in making
        assert first.taxon_id == taxon_id
        rivals = [f for f in finds if f.taxon_id == taxon_id and f.standing in making]
        assert all(first.end <= rival.end for rival in rivals)


@given(records(), st.integers(0, 3))
def test_adding_an_unconfirmed_find_changes_no_first_and_no_count(
    finds: list[ListedFind], at: int
) -> None:
    extra = make_find(99, sorted(TAXA)[at], standing="unconfirmed", start=date(1850, 1, 1))
    before, after = count_list(finds), count_list([*finds, extra])
    assert firsts([*finds, extra]) == firsts(finds)
    assert (after.species, after.finds) == (before.species, before.finds)
