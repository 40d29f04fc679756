"""What holds of every contrast: nothing is lost, no one look decides, no taste is asked for."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from society.science.contrast import (
    DANGEROUS_ERROR,
    GREATEST_GAIN,
    TOGETHER,
    CharacterFacts,
    Contrast,
    MeasuredSpores,
    Observed,
    ReadingSeen,
    SporeLimits,
    background_of,
    contrast,
    look_next,
)
from tests.science.contrast_cases import (
    ANY,
    BY_CODE,
    MILKCAPS,
    VOCABULARY,
    milk_at,
    of_milkcaps,
)

# What holds for every find.

states = st.fixed_dictionaries(
    {},
    optional={
        character.code: st.frozensets(st.sampled_from(character.states), min_size=1, max_size=3)
        for character in VOCABULARY
    },
)
colours = st.frozensets(st.sampled_from(["none", "orange", "wine", "white", "green"]), max_size=2)
readings = st.lists(
    st.builds(
        ReadingSeen,
        exposed=st.sampled_from(["milk", "flesh"]),
        reagent=st.just(""),
        minutes=st.sampled_from([0.0, 3.0, 7.5, 20.0, 45.0, 600.0]),
        colours=st.none() | colours,
    ),
    max_size=5,
).map(tuple)
hosts = st.dictionaries(
    st.sampled_from(["Pinus", "Picea", "Abies", "Betula", "Quercus"]),
    st.sampled_from(["host", "probable_host", "nearby"]),
    max_size=3,
)
spores = st.none() | st.builds(
    lambda length, width: MeasuredSpores(length, length + 2, width, width + 1),
    st.floats(3, 15),
    st.floats(2, 12),
)
finds = st.builds(
    Observed,
    states=states,
    readings=readings,
    hosts=hosts,
    substrate=st.sampled_from(["", "soil", "wood", "litter"]),
    month=st.none() | st.integers(1, 12),
    stage=st.sampled_from(["", "button", "mature", "decayed"]),
    pictures_only=st.booleans(),
    spores=spores,
)
ALL_DANGEROUS = tuple(replace(account, is_dangerous=True) for account in MILKCAPS)


def supports(found: Contrast) -> dict[int | None, float]:
    return {row.key: row.log_support for row in found.rows}


@given(finds)
def test_shares_of_support_sum_to_one_and_no_candidate_is_lost(observed: Observed) -> None:
    found = of_milkcaps(observed)

    assert sum(math.exp(row.log_support) for row in found.rows) == pytest.approx(1)
    assert {row.key for row in found.rows} == {*(account.key for account in MILKCAPS), None}
    assert all(math.isfinite(row.log_support) for row in found.rows)


@given(finds)
def test_support_is_the_prior_and_the_weights_of_the_bearings(observed: Observed) -> None:
    found = of_milkcaps(observed)
    heights = {
        row.key: row.log_prior + sum(bearing.weight for bearing in row.bearings)
        for row in found.rows
    }

    total = math.log(sum(math.exp(height) for height in heights.values()))
    for row in found.rows:
        assert row.log_support == pytest.approx(heights[row.key] - total, abs=1e-9)


@given(finds, st.randoms(use_true_random=False))
def test_the_order_in_which_things_are_written_down_does_not_matter(
    observed: Observed, chance
) -> None:  # type: ignore[no-untyped-def]
    items, rows, trees = (
        list(observed.states.items()),
        list(observed.readings),
        list(observed.hosts.items()),
    )
    accounts = list(MILKCAPS)
    for part in (items, rows, trees, accounts):
        chance.shuffle(part)
    other = replace(observed, states=dict(items), readings=tuple(rows), hosts=dict(trees))

    one, two = of_milkcaps(observed), contrast(other, accounts, VOCABULARY)

    assert supports(two) == pytest.approx(supports(one))


@given(finds)
def test_a_character_that_no_account_holds_changes_nothing(observed: Observed) -> None:
    strange = CharacterFacts("strange", ("one", "two"), forms=ANY)
    more = replace(observed, states={**observed.states, "strange": frozenset({"one"})})

    found = contrast(more, MILKCAPS, [*VOCABULARY, strange])

    assert supports(found) == pytest.approx(supports(of_milkcaps(observed)))


@given(finds, st.sampled_from([0.5, 30.0, 90.0]))
def test_a_reading_nobody_looked_at_changes_nothing(observed: Observed, minutes: float) -> None:
    missed = replace(observed, readings=(*observed.readings, milk_at(minutes, None)))

    one, two = of_milkcaps(observed), of_milkcaps(missed)

    assert one == two
    assert look_next(observed, one, MILKCAPS, VOCABULARY, lambda f: True) == look_next(
        missed, two, MILKCAPS, VOCABULARY, lambda f: True
    )


@given(finds)
def test_tasting_is_never_proposed_nor_counted_as_missing(observed: Observed) -> None:
    found = of_milkcaps(observed)
    looks = look_next(observed, found, MILKCAPS, VOCABULARY, lambda fact: True)

    assert "taste" not in {look.code for look in looks}
    if "taste" not in observed.states:
        assert all(row.code != "taste" for one in found.rows for row in one.bearings)


@given(finds)
def test_what_has_been_looked_at_is_not_proposed_again(observed: Observed) -> None:
    found = of_milkcaps(observed)
    looks = look_next(observed, found, MILKCAPS, VOCABULARY, lambda fact: True)

    looked = {c for c, s in observed.states.items() if s - {"not_looked"}}
    looked -= set(found.contradictions)  # those are worth another look
    assert looked.isdisjoint(look.code for look in looks if look.kind == "character")
    latest = max(
        (r.minutes for r in observed.readings if r.exposed == "milk" and r.colours), default=-1
    )
    assert all(look.minute > latest for look in looks if look.exposed == "milk" and look.minute)
    assert not (observed.hosts and any(look.kind == "hosts" for look in looks))
    assert all(look.gain > 0 and look.cost > 0 for look in looks)


@given(finds, st.sampled_from(VOCABULARY), st.data())
def test_one_more_look_never_takes_a_dangerous_candidate_below_the_floor(
    observed: Observed, character: CharacterFacts, data: st.DataObject
) -> None:
    written = data.draw(st.frozensets(st.sampled_from(character.states), min_size=1))
    without = {code: s for code, s in observed.states.items() if code != character.code}
    before = replace(observed, states=without, readings=())
    after = replace(before, states={**without, character.code: written})

    one = contrast(before, ALL_DANGEROUS, VOCABULARY)
    two = contrast(after, ALL_DANGEROUS, VOCABULARY)

    for account in ALL_DANGEROUS:
        lost = two.row(account.key).log_likelihood - one.row(account.key).log_likelihood
        assert lost >= TOGETHER * math.log(DANGEROUS_ERROR) - 1e-9
        sunk = two.row(account.key).log_support - one.row(account.key).log_support
        assert sunk >= math.log(DANGEROUS_ERROR / GREATEST_GAIN) - 1e-9


@given(finds)
def test_all_looks_at_one_exposure_keep_within_the_floor_of_one_look(observed: Observed) -> None:
    milk_only = {"milk_change": observed.states.get("milk_change", frozenset())}
    only = Observed({c: s for c, s in milk_only.items() if s}, observed.readings)
    found = contrast(only, ALL_DANGEROUS, VOCABULARY)

    floor = TOGETHER * math.log(DANGEROUS_ERROR) - 1e-9
    for row in found.rows:
        turned = [b.weight for b in row.bearings if b.code in ("milk", "milk_change")]
        assert sum(turned) >= floor
        # Milk on cutting, milk that turns, flesh: three exposures at most.
        assert row.log_likelihood >= 3 * floor


@given(finds)
def test_what_fits_plainly_is_held_by_the_account_or_not_all_it_names_is_rare(
    observed: Observed,
) -> None:
    found = of_milkcaps(observed)
    for account in MILKCAPS:
        for row in found.row(account.key).bearings:
            if row.kind != "character" or row.verdict != "fits":
                continue
            words = [account.states[row.code].get(state, "") for state in row.seen]
            usual = [word in ("always", "usually", "sometimes") for word in words]
            assert all(usual) or row.near_to or (row.in_part and any(usual))


@given(finds)
def test_every_minute_that_bears_says_what_the_account_expects(observed: Observed) -> None:
    for row in of_milkcaps(observed).rows:
        for one in row.bearings:
            told = [moment for moment in one.moments if moment.verdict != "not_known"]
            assert all(moment.expects for moment in told)
            if one.moments:
                assert bool(told) == (one.verdict in ("fits", "speaks_against"))
                assert told or one.weight == 0


@given(finds)
def test_a_background_kept_gives_the_same_as_one_made_anew(observed: Observed) -> None:
    kept = background_of(MILKCAPS, VOCABULARY)

    assert contrast(observed, MILKCAPS, VOCABULARY, kept) == of_milkcaps(observed)
    assert contrast(observed, MILKCAPS, VOCABULARY, kept) == of_milkcaps(observed)


def test_the_vocabulary_of_these_tests_asks_for_no_taste() -> None:
    assert BY_CODE["taste"].never_asked
    assert isinstance(MILKCAPS[0].spores, SporeLimits)
