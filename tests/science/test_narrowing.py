"""A name reads as s.l. from a split on until somebody looks again, and only a narrow bare name."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from society.science.standing import RANKS, reads_wide

SLIP, SPLIT = dt.date(2018, 10, 3), dt.date(2024, 3, 1)
DAYS = st.dates(dt.date(1950, 1, 1), dt.date(2050, 12, 31))
NARROW = ("form", "variety", "subspecies", "species")
QUALIFIERS = ("cf.", "aff.", "agg.", "s.l.", "s.str.", "sp.", "group", "?")


def reads(
    *acts: dt.date, splits: list[dt.date], rank: str = "species", qualifier: str = ""
) -> bool:
    return reads_wide(rank=rank, qualifier=qualifier, acts=acts, splits=splits)


def test_a_name_laid_before_the_split_reads_wide() -> None:
    assert reads(SLIP, splits=[SPLIT])


def test_looking_again_on_the_day_of_the_split_or_later_ends_it() -> None:
    assert reads(SLIP, SPLIT - dt.timedelta(days=1), splits=[SPLIT])
    assert not reads(SLIP, SPLIT, splits=[SPLIT])
    assert not reads(SLIP, dt.date(2024, 5, 2), splits=[SPLIT])


def test_a_second_split_makes_it_wide_anew() -> None:
    assert reads(SLIP, dt.date(2024, 5, 2), splits=[SPLIT, dt.date(2025, 6, 7)])


@pytest.mark.parametrize("qualifier", QUALIFIERS)
def test_what_was_qualified_is_left_as_it_was_said(qualifier: str) -> None:
    assert not reads(SLIP, splits=[SPLIT], qualifier=qualifier)


@pytest.mark.parametrize("rank", [rank for rank in RANKS if rank not in NARROW])
def test_a_wider_rank_is_left_as_it_is(rank: str) -> None:
    assert not reads(SLIP, splits=[SPLIT], rank=rank)


@pytest.mark.parametrize("rank", NARROW)
def test_a_species_and_what_is_below_it_reads_wide(rank: str) -> None:
    assert reads(SLIP, splits=[SPLIT], rank=rank)


def test_where_no_rank_holds_no_name_reads_wide() -> None:
    assert not reads_wide(rank=None, qualifier="", acts=[SLIP], splits=[SPLIT])


@given(st.lists(DAYS, min_size=1), st.lists(DAYS))
def test_it_reads_wide_just_where_a_split_came_after_every_act(
    acts: list[dt.date], splits: list[dt.date]
) -> None:
    after_all = any(all(day > act for act in acts) for day in splits)
    assert reads(*acts, splits=splits) == after_all


@given(st.lists(DAYS), st.lists(DAYS), DAYS)
def test_another_look_never_makes_a_name_wide_and_another_split_never_narrow(
    acts: list[dt.date], splits: list[dt.date], day: dt.date
) -> None:
    before = reads(*acts, splits=splits)
    assert before or not reads(*acts, day, splits=splits)
    assert not before or reads(*acts, splits=[*splits, day])


@given(st.lists(DAYS, min_size=1), st.lists(DAYS))
def test_looking_on_the_day_of_the_last_split_always_ends_it(
    acts: list[dt.date], splits: list[dt.date]
) -> None:
    assert not reads(*acts, *splits[-1:], max([*splits, *acts]), splits=splits)
