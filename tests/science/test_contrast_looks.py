"""Which look separates candidates best, look-alikes, and columns side by side."""

from __future__ import annotations

from dataclasses import replace

from society.science.contrast import (
    SEEN,
    Likeness,
    Observed,
    contrast,
    look_alike_groups,
    look_next,
    side_by_side,
)
from tests.science.contrast_cases import (
    DELICIOSUS,
    DETERRIMUS,
    MILKCAPS,
    TORMINOSUS,
    VOCABULARY,
    milk,
    milk_at,
    of_milkcaps,
    seen,
)

# Which look next.


def test_the_milk_is_proposed_by_the_minute_and_says_what_it_would_speak_against() -> None:
    pair = [MILKCAPS[0], MILKCAPS[1]]
    observed = Observed(seen(milk_colour="orange"))
    found = contrast(observed, pair, VOCABULARY)

    (look,) = look_next(observed, found, pair, VOCABULARY, {"milk"})

    assert (look.kind, look.exposed, look.minute in (10, 30)) == ("reading", "milk", True)
    said = {row.key: row.expects for row in look.would_say}
    assert said[DETERRIMUS][0][0] == "wine"
    assert said[DELICIOSUS][0][0] == "orange"
    assert look.telling is not None
    assert look.telling[0] in ("wine", "orange")
    assert look.telling[2] < -1


def test_only_what_is_possible_is_proposed_and_may_be_given_as_a_rule() -> None:
    observed = Observed()
    found = of_milkcaps(observed)

    no_cut = look_next(observed, found, MILKCAPS, VOCABULARY, lambda fact: not fact.cuts)

    assert no_cut
    assert {look.code for look in no_cut}.isdisjoint({"milk", "milk_at_once", "milk_colour"})
    assert look_next(observed, found, MILKCAPS, VOCABULARY, frozenset()) == []


def test_best_for_its_cost_comes_first() -> None:
    observed = Observed()
    looks = look_next(observed, of_milkcaps(observed), MILKCAPS, VOCABULARY, lambda fact: True)

    worth = [look.gain / look.cost for look in looks]
    assert worth == sorted(worth, reverse=True)
    assert {look.kind for look in looks} >= {"character", "reading", "hosts", "spores"}


def test_what_all_candidates_share_is_not_worth_a_look() -> None:
    pair = [MILKCAPS[0], MILKCAPS[1]]
    found = contrast(Observed(), pair, VOCABULARY)

    codes = [look.code for look in look_next(Observed(), found, pair, VOCABULARY, lambda f: True)]

    assert codes.index("stem_pits") < (codes.index("ring") if "ring" in codes else 99)


def test_a_dangerous_candidate_that_is_close_raises_what_tells_it_apart() -> None:
    calm = [replace(account, is_dangerous=False) for account in MILKCAPS]
    observed = Observed()
    gains = []
    for accounts in (calm, MILKCAPS):
        found = contrast(observed, accounts, VOCABULARY)
        looks = look_next(observed, found, accounts, VOCABULARY, {"milk_colour"})
        gains.append(next(look.gain for look in looks if look.code == "milk_colour"))

    assert gains[1] > 1.05 * gains[0]
    assert contrast(observed, MILKCAPS, VOCABULARY).dangerous_close == (TORMINOSUS,)


def test_a_look_says_where_sources_differ() -> None:
    observed = Observed()
    found = of_milkcaps(observed)
    (look,) = look_next(observed, found, MILKCAPS, VOCABULARY, {"greening"})

    differ = {row.key: row.sources_differ for row in look.would_say}
    assert differ[DELICIOSUS]  # patches usually, spots usually, none sometimes
    assert look.sources_differ


def test_a_look_names_whom_its_outcome_would_go_with_and_whom_it_would_speak_against() -> None:
    pair = [MILKCAPS[0], MILKCAPS[1]]
    found = contrast(Observed(), pair, VOCABULARY)
    looks = look_next(Observed(), found, pair, VOCABULARY, {"stem_pits", "cap_zones", "ring"})
    told = [look for look in looks if look.telling is not None]

    assert told
    for look in told:
        assert look.telling is not None
        state, against, _weight = look.telling
        assert {look.goes_with, against} == {DELICIOSUS, DETERRIMUS}
        said = {row.key: dict(row.expects) for row in look.would_say}
        assert look.goes_with is not None
        assert said[look.goes_with].get(state) in ("always", "usually", "sometimes")
    assert all(look.goes_with is None for look in looks if look.telling is None)


def test_minutes_an_account_does_not_speak_of_are_no_reason_to_wait() -> None:
    brief = [
        replace(MILKCAPS[0], states={}, readings=milk(5, 10, orange="always")),
        replace(MILKCAPS[1], states={}, readings=milk(5, 10, wine="always")),
    ]
    found = contrast(Observed(), brief, VOCABULARY)
    (look,) = look_next(Observed(), found, brief, VOCABULARY, {"milk"})

    assert look.minute in (5, 10)


# Look-alikes and columns.


def test_look_alikes_are_of_one_form_and_say_what_separates_them() -> None:
    bolete = replace(MILKCAPS[0], key=99, form="bolete")
    pairs = look_alike_groups([*MILKCAPS, bolete], VOCABULARY)

    assert all(99 not in (pair.one, pair.other) for pair in pairs)
    found = {(pair.one, pair.other): pair for pair in pairs}
    assert (DETERRIMUS, 3) in found
    assert "milk_colour" in found[(DELICIOSUS, 5)].separated_by
    assert not any(TORMINOSUS in (pair.one, pair.other) for pair in pairs[:5])


def test_the_look_alikes_of_one_account_are_among_all_pairs_and_are_its_own() -> None:
    likeness = Likeness(MILKCAPS, VOCABULARY)
    of_each = {pair for account in MILKCAPS for pair in likeness.of(account.key)}
    turned = {frozenset((pair.one, pair.other)) for pair in of_each}
    pairs = {frozenset((pair.one, pair.other)) for pair in look_alike_groups(MILKCAPS, VOCABULARY)}
    assert pairs
    assert pairs <= turned
    for account in MILKCAPS:
        assert all(account.key in (pair.one, pair.other) for pair in likeness.of(account.key))
    assert likeness.of(max(account.key for account in MILKCAPS) + 1) == []


def test_look_alikes_do_not_depend_on_the_order_of_accounts() -> None:
    assert look_alike_groups(MILKCAPS, VOCABULARY) == look_alike_groups(
        tuple(reversed(MILKCAPS)), VOCABULARY
    )


def test_columns_put_differences_first_and_keep_the_order_of_columns() -> None:
    find = Observed(seen(stem_pits="none", milk_colour="orange"), (milk_at(12, "wine"),), month=9)
    rows = side_by_side([MILKCAPS[0], MILKCAPS[1], find], VOCABULARY)

    assert [row.difference for row in rows] == sorted((r.difference for r in rows), reverse=True)
    pits = next(row for row in rows if row.code == "stem_pits")
    assert pits.cells[2] == (("none", SEEN),)
    assert pits.differs
    ring = next(row for row in rows if row.code == "ring")
    assert (ring.differs, ring.cells[2]) == (False, ())
    assert any(row.kind == "reading" and row.minute == 12 for row in rows)
    assert {"hosts", "month", "spores"} <= {row.kind for row in rows}
