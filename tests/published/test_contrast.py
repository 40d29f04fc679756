"""The contrast against a general reference library, brute force, and the literature of milk caps.

scipy = `scipy.stats.entropy`. Enumeration = every way a look can have come about, written out here
without the code under test. Milk caps: NV = Nuytinck & Verbeken, key to the European species of
section Deliciosi (papers of 2005 and 2007), VERIFIED; Ph = Phillips (2006) *Mushrooms*, VERIFIED
in reference entries; It = two Italian association sheets, VERIFIED; Enc = encyclopedia articles,
VERIFIED; practice = common practice of the field, FROM MEMORY.
"""

from __future__ import annotations

import math
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import entropy as scipy_entropy

from society.science.contrast import (
    AccountFacts,
    Bearing,
    CharacterFacts,
    Contrast,
    Observed,
    ReadingSeen,
    contrast,
    look_next,
    ratio,
)
from society.science.contrast.looking import entropy, information
from tests.science.contrast_cases import (
    DELICIOSUS,
    DETERRIMUS,
    MILKCAPS,
    QUIETICOLOR,
    SALMONICOLOR,
    SANGUIFLUUS,
    SEMISANGUIFLUUS,
    TORMINOSUS,
    VINOSUS,
    VOCABULARY,
)

chances = st.lists(st.floats(0.001, 1), min_size=4, max_size=4).map(
    lambda row: [value / sum(row) for value in row]
)


# Entropy and information against scipy.


@given(chances)
def test_entropy_is_that_of_the_reference_library(row: list[float]) -> None:
    assert entropy(row) == pytest.approx(float(scipy_entropy(row, base=2)), abs=1e-12)


@given(st.lists(st.tuples(st.floats(0.01, 1), chances), min_size=1, max_size=6))
def test_information_is_the_mean_divergence_from_the_mixture(
    rows: list[tuple[float, list[float]]],
) -> None:
    total = sum(weight for weight, _row in rows)
    weights = [weight / total for weight, _row in rows]
    tables = [row for _weight, row in rows]
    mixed = [sum(w * row[n] for w, row in zip(weights, tables, strict=True)) for n in range(4)]

    # Mutual information = mean Kullback-Leibler divergence from the mixture (Cover & Thomas, 2006).
    expected = sum(
        w * float(scipy_entropy(row, mixed, base=2)) for w, row in zip(weights, tables, strict=True)
    )
    assert information(weights, tables) == pytest.approx(expected, abs=1e-10)


def test_two_certain_and_opposite_rows_of_equal_weight_give_one_bit() -> None:
    assert information([0.5, 0.5], [[1, 0], [0, 1]]) == pytest.approx(1)
    assert information([0.5, 0.5], [[0.3, 0.7], [0.3, 0.7]]) == pytest.approx(0)


# Two characters, two accounts, everything written out by hand.

SKIN = CharacterFacts("skin", ("dry", "greasy", "slimy"))
BASE = CharacterFacts("base", ("plain", "bulb"), "cut")
ONE = AccountFacts(
    1,
    "agaric",
    states={"skin": {"dry": "usually", "greasy": "sometimes"}, "base": {"bulb": "always"}},
)
TWO = AccountFacts(2, "agaric", is_dangerous=True, states={"skin": {"slimy": "always"}})
# Always 0.95, usually 0.70, sometimes 0.25; what is left, at least 0.05, is shared by the rest.
BY_HAND = {
    1: {
        "skin": {"dry": 0.70, "greasy": 0.25, "slimy": 0.05},
        "base": {"plain": 0.05, "bulb": 0.95},
    },
    2: {"skin": {"dry": 0.025, "greasy": 0.025, "slimy": 0.95}, "base": None},
}
# The mean of the accounts that hold it, one fifth spread evenly.
USUAL_HERE = {
    "skin": {
        "dry": 0.8 * (0.70 + 0.025) / 2 + 0.2 / 3,
        "greasy": 0.8 * (0.25 + 0.025) / 2 + 0.2 / 3,
        "slimy": 0.8 * (0.05 + 0.95) / 2 + 0.2 / 3,
    },
    "base": {"plain": 0.8 * 0.05 + 0.1, "bulb": 0.8 * 0.95 + 0.1},
}
PRIORS = {1: 0.4, 2: 0.4, None: 0.2}
MISTAKES = {1: 0.05, 2: 0.10, None: 0.0}


def enumerated(seen: dict[str, str]) -> dict[int | None, float]:
    """Weigh every candidate, mistake and state that agrees with `seen`.

    The chance of what was seen, against that of the unknown, counts to the power 0.85 (the looks
    hang together), times the prior.
    """
    weights: dict[int | None, float] = {}
    for key in PRIORS:
        worlds = 0.0
        codes = list(seen)
        ways = [list(product((True, False), USUAL_HERE[code])) for code in codes]
        for way in product(*ways):
            chance = 1.0
            for code, (mistaken, state) in zip(codes, way, strict=True):
                held = BY_HAND[key][code] if key is not None else None
                usual = USUAL_HERE[code]
                error = MISTAKES[key]
                table = usual if mistaken or held is None else held
                chance *= (error if mistaken else 1 - error) * table[state]
                chance *= state == seen[code]
            worlds += chance
        weights[key] = worlds
    weights = {
        key: PRIORS[key] * (weight / weights[None]) ** 0.85 for key, weight in weights.items()
    }
    total = sum(weights.values())
    return {key: weight / total for key, weight in weights.items()}


@pytest.mark.parametrize("skin", [None, "dry", "greasy", "slimy"])
@pytest.mark.parametrize("base", [None, "plain", "bulb"])
def test_support_is_what_enumerating_every_way_gives(skin: str | None, base: str | None) -> None:
    seen = {code: state for code, state in (("skin", skin), ("base", base)) if state}
    found = contrast(
        Observed({code: frozenset({state}) for code, state in seen.items()}),
        [ONE, TWO],
        [SKIN, BASE],
    )

    expected = enumerated(seen)
    assert {row.key: math.exp(row.log_support) for row in found.rows} == pytest.approx(expected)


@pytest.mark.parametrize("skin", ["dry", "slimy"])
def test_the_ratio_of_two_is_the_quotient_of_their_enumerated_shares(skin: str) -> None:
    found = contrast(Observed({"skin": frozenset({skin})}), [ONE, TWO], [SKIN, BASE])
    shares = enumerated({"skin": skin})

    assert ratio(found, 1, 2) == pytest.approx(shares[1] / shares[2])


@pytest.mark.parametrize(("code", "cost"), [("skin", 1.0), ("base", 2.0)])
def test_the_gain_of_a_look_is_that_of_the_reference_library(code: str, cost: float) -> None:
    safe = [ONE, AccountFacts(2, "agaric", states=TWO.states)]
    found = contrast(Observed(), safe, [SKIN, BASE])
    (look,) = look_next(Observed(), found, safe, [SKIN, BASE], {code})

    usual = list(USUAL_HERE[code].values())
    rows = []
    for key in (1, 2):
        held = BY_HAND[key][code]
        rows.append(
            usual
            if held is None
            else [0.95 * c + 0.05 * u for c, u in zip(held.values(), usual, strict=True)]
        )
    rows.append(usual)
    mixed = [
        sum(w * row[n] for w, row in zip((0.4, 0.4, 0.2), rows, strict=True))
        for n in range(len(usual))
    ]
    gain = sum(
        w * scipy_entropy(row, mixed, base=2) for w, row in zip((0.4, 0.4, 0.2), rows, strict=True)
    )
    assert look.gain == pytest.approx(float(gain))
    assert look.cost == cost


# Cases of the section Deliciosi.


def seen(**states: str) -> dict[str, frozenset[str]]:
    return {code: frozenset(words.split()) for code, words in states.items()}


def milk_at(minutes: float, colours: str) -> ReadingSeen:
    return ReadingSeen("milk", "", minutes, frozenset(colours.split()))


def of_milkcaps(observed: Observed) -> Contrast:
    return contrast(observed, MILKCAPS, VOCABULARY)


def bearing(found: Contrast, key: int, code: str) -> Bearing:
    return next(row for row in found.row(key).bearings if row.code == code)


def order(found: Contrast) -> list[int]:
    return [row.key for row in found.rows if row.key is not None]


def test_under_spruce_with_milk_wine_red_at_20_minutes_deterrimus_leads() -> None:
    # Enc: maroon within 30 min, with Picea. NV, It: deliciosus with Pinus, its milk unchanged.
    found = of_milkcaps(
        Observed(
            seen(milk_colour="orange", stem_pits="none", greening="patches"),
            (milk_at(20, "wine"),),
            {"Picea": "host"},
        )
    )

    assert found.rows[0].key == DETERRIMUS
    assert found.row(DETERRIMUS).against == 0
    assert bearing(found, DELICIOSUS, "hosts").verdict == "speaks_against"
    assert bearing(found, DELICIOSUS, "milk").verdict == "speaks_against"


def test_under_pine_with_milk_unchanged_at_30_minutes_and_pits_deliciosus_leads() -> None:
    # NV: Pinus; It: no change, pits clear, zoned.
    found = of_milkcaps(
        Observed(
            seen(milk_colour="orange", stem_pits="many", cap_zones="clear"),
            (milk_at(30, "none"),),
            {"Pinus": "host"},
        )
    )

    assert found.rows[0].key == DELICIOSUS
    assert found.row(DELICIOSUS).against == 0


def test_under_pine_with_milk_wine_red_at_7_minutes_semisanguifluus_leads() -> None:
    # It: wine-red after a few minutes; Ph: Pinus on lime, strong greening. quieticolor: practice.
    found = of_milkcaps(
        Observed(
            seen(milk_colour="orange", stem_pits="few", greening="patches"),
            (milk_at(7, "wine"),),
            {"Pinus": "host"},
        )
    )

    assert found.rows[0].key == SEMISANGUIFLUUS
    assert order(found)[1] == QUIETICOLOR
    assert not found.separated


def test_under_fir_without_green_salmonicolor_leads() -> None:
    # NV, Ph, It: Abies only; NV: whole cap salmon, no green.
    found = of_milkcaps(
        Observed(seen(greening="none", main_colour="orange"), hosts={"Abies": "host"})
    )

    assert found.rows[0].key == SALMONICOLOR


def test_with_spruce_and_pine_both_near_and_no_time_noted_nothing_is_separated() -> None:
    # NV: orange milk, Pinus or Picea: four of these are left.
    found = of_milkcaps(
        Observed(seen(milk_colour="orange"), hosts={"Picea": "nearby", "Pinus": "nearby"})
    )

    assert not found.separated
    for one, other in product((DELICIOSUS, DETERRIMUS, SEMISANGUIFLUUS, QUIETICOLOR), repeat=2):
        assert ratio(found, one, other) < 2


def test_red_at_the_cut_with_a_zoned_wine_cap_and_much_green_leads_to_vinosus() -> None:
    # NV: red latex at once, Pinus: sanguifluus or vinosus; zoned vinaceous cap, green: vinosus.
    found = of_milkcaps(
        Observed(
            seen(milk_colour="red", cap_zones="clear", main_colour="wine", greening="patches"),
            hosts={"Pinus": "host"},
        )
    )

    assert found.rows[0].key == VINOSUS
    assert bearing(found, SANGUIFLUUS, "milk_colour").verdict == "fits"
    assert bearing(found, DELICIOSUS, "milk_colour").verdict == "speaks_against"


def test_white_milk_and_a_woolly_edge_under_birch_speak_against_the_whole_section() -> None:
    # NV: white latex is never this section but for porninsis. torminosus: practice.
    found = of_milkcaps(
        Observed(seen(milk_colour="white", cap_margin="woolly"), hosts={"Betula": "host"})
    )

    assert found.rows[0].key == TORMINOSUS
    for account in MILKCAPS[:7]:
        assert bearing(found, account.key, "milk_colour").verdict == "speaks_against"
        assert ratio(found, TORMINOSUS, account.key) > 100


def test_a_button_green_all_over_goes_no_further_than_the_genus() -> None:
    # NV: very small buttons of several species can be wholly blue-green.
    found = of_milkcaps(Observed(seen(greening="all_green", main_colour="green"), stage="button"))

    assert found.level == "genus"
    assert not found.separated


def test_a_photograph_alone_goes_no_further_than_the_genus() -> None:
    found = of_milkcaps(Observed(pictures_only=True))

    assert (found.level, found.separated) == ("genus", False)
    assert all(row.seen == 0 for row in found.rows)


def test_deliciosus_named_under_spruce_has_its_host_against_it() -> None:
    # NV: deliciosus with Pinus.
    found = of_milkcaps(Observed(hosts={"Picea": "host"}))

    assert bearing(found, DELICIOSUS, "hosts").verdict == "speaks_against"
    assert bearing(found, DETERRIMUS, "hosts").verdict == "fits"
    assert DELICIOSUS in order(found)


# The half-hour check (practice; that deterrimus is maroon within 30 min: Enc).


def test_half_an_hour_tells_deterrimus_from_deliciosus_better_than_the_first_minutes() -> None:
    pair = [MILKCAPS[0], MILKCAPS[1]]
    against = {}
    for minute in (1, 5, 10, 30):
        found = contrast(Observed(readings=(milk_at(minute, "wine"),)), pair, VOCABULARY)
        against[minute] = ratio(found, DETERRIMUS, DELICIOSUS)

    assert against[30] > 2.5
    assert against[10] > against[5] == pytest.approx(against[1]) == pytest.approx(1)


def test_the_milk_is_the_look_proposed_where_orange_milk_leaves_the_pair_open() -> None:
    pair = [MILKCAPS[0], MILKCAPS[1]]
    observed = Observed(seen(milk_colour="orange"), hosts={"Picea": "nearby", "Pinus": "nearby"})
    found = contrast(observed, pair, VOCABULARY)
    (look,) = look_next(observed, found, pair, VOCABULARY, {"milk_change"})

    assert (look.kind, look.code) == ("reading", "milk")
    assert look.minute is not None
    assert 10 <= look.minute <= 30
    assert look.telling is not None
    assert look.telling[0] in ("wine", "orange")
    assert {row.key for row in look.would_say} == {DELICIOSUS, DETERRIMUS}
