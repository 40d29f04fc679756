"""The contrast of look-alikes: what bears on a candidate, and the worked examples."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from society.science.contrast import (
    TOGETHER,
    UNKNOWN_PRIOR,
    USUAL,
    AccountFacts,
    CharacterFacts,
    ExpectedReading,
    MeasuredSpores,
    Observed,
    ReadingSeen,
    background_of,
    contrast,
    cost_of,
    expected_at,
    look_next,
    months_of,
    ratio,
)
from society.science.contrast.distributions import distribution_of, log_ratio
from society.science.contrast.likeness import overlap
from society.science.contrast.readings import chances_at, spans_of
from tests.science.contrast_cases import (
    ANY,
    DELICIOSUS,
    DETERRIMUS,
    MILKCAPS,
    QUIETICOLOR,
    SALMONICOLOR,
    TORMINOSUS,
    VINOSUS,
    VOCABULARY,
    bearing,
    milk,
    milk_at,
    of_milkcaps,
    order_of,
    seen,
)

# What a look says.


def test_each_character_fits_or_speaks_against_or_is_not_seen_or_not_known() -> None:
    found = of_milkcaps(Observed(seen(stem_pits="none", cap_margin="woolly")))

    assert bearing(found, DETERRIMUS, "stem_pits").verdict == "fits"
    assert bearing(found, DELICIOSUS, "stem_pits").verdict == "speaks_against"
    assert bearing(found, DELICIOSUS, "greening").verdict == "not_seen"
    assert bearing(found, DELICIOSUS, "cap_margin").verdict == "not_known"
    row = found.row(DELICIOSUS)
    assert (row.fits, row.against, row.seen, row.not_known) == (0, 1, 1, 1)


def test_a_bearing_says_what_was_seen_and_what_the_account_expects_most_usual_first() -> None:
    found = bearing(of_milkcaps(Observed(seen(stem_pits="none"))), DELICIOSUS, "stem_pits")

    assert found.seen == ("none",)
    assert found.expects == (("many", "usually"), ("few", "sometimes"), ("none", "rarely"))
    assert found.weight < 0


def test_what_an_account_does_not_hold_is_not_known_and_weighs_nothing() -> None:
    found = bearing(of_milkcaps(Observed(seen(cap_margin="woolly"))), DELICIOSUS, "cap_margin")

    assert (found.verdict, found.weight) == ("not_known", 0.0)


def test_a_state_the_account_does_not_speak_of_speaks_against_but_is_not_never() -> None:
    account = AccountFacts(1, "agaric", states={"ring": {"none": "usually"}})
    never = AccountFacts(2, "agaric", states={"ring": {"none": "usually", "hanging": "never"}})
    found = contrast(Observed(seen(ring="hanging")), [account, never], VOCABULARY)

    assert bearing(found, 1, "ring").verdict == "speaks_against"
    assert bearing(found, 1, "ring").weight > bearing(found, 2, "ring").weight


def test_a_colour_next_to_the_one_named_is_no_conflict() -> None:
    found = of_milkcaps(Observed(seen(milk_colour="orange")))
    only_carrot = AccountFacts(9, "agaric", states={"milk_colour": {"carrot": "usually"}})
    beside = contrast(Observed(seen(milk_colour="orange")), [only_carrot], VOCABULARY)

    assert bearing(found, DELICIOSUS, "milk_colour").verdict == "fits"
    assert bearing(beside, 9, "milk_colour").verdict == "fits"


def test_several_states_are_read_as_one_of_these_or_both() -> None:
    character = CharacterFacts("skin", ("dry", "scaly", "slimy"), forms=ANY)
    both = AccountFacts(1, "agaric", states={"skin": {"dry": "always", "scaly": "always"}})
    one = AccountFacts(2, "agaric", states={"skin": {"dry": "always", "scaly": "never"}})
    written = Observed({"skin": frozenset({"dry", "scaly"})})
    found = contrast(written, [both, one], [character])

    assert ratio(found, 1, 2) > 1.5
    single = contrast(Observed({"skin": frozenset({"dry"})}), [both, one], [character])
    assert ratio(single, 1, 2) < 1  # scaly ones of the first were not seen to be dry


def test_of_several_states_some_expected_and_some_not_the_weight_decides() -> None:
    found = of_milkcaps(Observed(seen(greening="patches all_green")))

    for key in (DELICIOSUS, DETERRIMUS, QUIETICOLOR):
        one = bearing(found, key, "greening")
        assert one.in_part
        assert one.verdict == ("fits" if one.weight >= 0 else "speaks_against")
    assert not bearing(found, VINOSUS, "greening").in_part


# What fits only nearly.


def test_a_state_held_as_rare_or_never_never_fits_however_near_a_colour_it_is() -> None:
    word = AccountFacts(
        9,
        "agaric",
        states={"milk_colour": {"orange": "usually", "red": "sometimes", "wine": "rarely"}},
    )
    read = AccountFacts(
        10,
        "agaric",
        readings=milk(0, 60, orange="usually", red="sometimes", brown="sometimes", wine="rarely"),
    )
    found = contrast(
        Observed(seen(milk_colour="wine"), (milk_at(30, "wine"),)), [word, read], VOCABULARY
    )

    assert bearing(found, 9, "milk_colour").verdict == "speaks_against"
    assert ("wine", "rarely") in bearing(found, 9, "milk_colour").expects
    assert bearing(found, 10, "milk").verdict == "speaks_against"
    assert ("wine", "rarely") in bearing(found, 10, "milk").moments[0].expects


def test_a_colour_not_named_fits_only_as_near_to_one_that_is_expected() -> None:
    account = AccountFacts(
        9,
        "agaric",
        states={"milk_colour": {"red": "always"}},
        readings=milk(5, 60, red="always"),
    )
    found = contrast(
        Observed(seen(milk_colour="wine"), (milk_at(30, "wine"),)), [account], VOCABULARY
    )

    for code in ("milk_colour", "milk"):
        assert bearing(found, 9, code).verdict == "fits"
        assert bearing(found, 9, code).near_to == ("red",)
    plain = contrast(Observed(seen(milk_colour="red")), [account], VOCABULARY)
    assert bearing(plain, 9, "milk_colour").near_to == ()
    other = contrast(Observed(seen(milk_colour="blue")), [account], VOCABULARY)
    assert bearing(other, 9, "milk_colour").verdict == "speaks_against"


def test_litter_fits_soil_and_july_fits_august_only_nearly() -> None:
    found = of_milkcaps(Observed(substrate="litter", month=7))

    assert bearing(found, DELICIOSUS, "substrate").near_to == ("soil",)
    assert bearing(found, DELICIOSUS, "month").near_to == ("8",)
    assert bearing(of_milkcaps(Observed(month=8)), DELICIOSUS, "month").near_to == ()


def test_readings_that_fit_at_one_minute_and_not_at_another_are_told_by_the_minute() -> None:
    readings = (milk_at(4, "orange"), milk_at(40, "orange"))
    found = bearing(of_milkcaps(Observed(readings=readings)), DETERRIMUS, "milk")

    assert [moment.verdict for moment in found.moments] == ["fits", "speaks_against"]
    assert found.in_part


def test_readings_fit_nearly_all_in_all_only_where_each_does() -> None:
    account = AccountFacts(9, "agaric", readings=milk(5, 60, red="always"))

    def near_to(*readings: ReadingSeen) -> tuple[tuple[str, ...], ...]:
        found = bearing(contrast(Observed(readings=readings), [account], VOCABULARY), 9, "milk")
        return (found.near_to, *(moment.near_to for moment in found.moments))

    assert near_to(milk_at(10, "wine"), milk_at(30, "wine")) == (("red",), ("red",), ("red",))
    assert near_to(milk_at(10, "red"), milk_at(30, "wine")) == ((), (), ("red",))


# What an account does not hold.


def test_a_reading_at_a_minute_the_account_does_not_speak_of_neither_fits_nor_speaks_against() -> (
    None
):
    # Its milk on cutting says nothing of what it turns to.
    cut_only = AccountFacts(9, "agaric", states={"milk_colour": {"white": "always"}})
    late = AccountFacts(10, "agaric", readings=milk(30, 60, white="always"))
    readings = (milk_at(5, "white"), milk_at(10, "white"))
    found = contrast(Observed(readings=readings), [cut_only, late], VOCABULARY)

    for key in (9, 10):
        one = bearing(found, key, "milk")
        assert (one.verdict, one.weight, found.row(key).seen) == ("not_known", 0.0, 0)
        assert all(moment.expects == () for moment in one.moments)


def test_what_the_last_span_says_is_carried_on_and_says_from_when() -> None:
    account = AccountFacts(9, "agaric", readings=milk(5, 30, wine="always"))
    reading = (milk_at(60, "wine"),)
    held = AccountFacts(10, "agaric", readings=milk(5, 60, wine="always"))
    found = contrast(Observed(readings=reading), [account, held, MILKCAPS[0]], VOCABULARY)

    (moment,) = bearing(found, 9, "milk").moments
    assert (moment.verdict, moment.carried_from) == ("fits", 30)
    assert moment.expects == (("wine", "always"),)
    assert bearing(found, 10, "milk").moments[0].carried_from is None
    assert 0 < bearing(found, 9, "milk").weight < bearing(found, 10, "milk").weight


def test_of_several_minutes_only_those_the_account_speaks_of_decide() -> None:
    account = AccountFacts(9, "agaric", readings=milk(10, 30, wine="always"))
    readings = (milk_at(5, "orange"), milk_at(20, "wine"))
    found = bearing(contrast(Observed(readings=readings), [account], VOCABULARY), 9, "milk")

    assert found.verdict == "fits"
    assert [moment.verdict for moment in found.moments] == ["not_known", "fits"]


# What contradicts itself.


def test_none_beside_another_state_of_one_character_is_no_look_at_it() -> None:
    clash = Observed(seen(ring="none hanging", milk_colour="orange", cap_zones="clear faint"))
    found, without = (
        of_milkcaps(clash),
        of_milkcaps(
            replace(
                clash,
                states={code: states for code, states in clash.states.items() if code != "ring"},
            )
        ),
    )

    assert found.contradictions == ("ring",)
    assert without.contradictions == ()
    assert found.rows == without.rows
    looks = look_next(clash, found, MILKCAPS, VOCABULARY, {"ring", "cap_zones"})
    assert [look.code for look in looks if look.code == "cap_zones"] == []


def test_none_alone_or_beside_not_looked_contradicts_nothing() -> None:
    found = of_milkcaps(Observed(seen(ring="none", milk_change="none not_looked")))

    assert found.contradictions == ()
    assert bearing(found, DETERRIMUS, "ring").verdict == "fits"


def test_written_not_looked_is_not_a_look() -> None:
    empty, written = Observed(), Observed(seen(milk_change="not_looked"))

    assert of_milkcaps(written) == of_milkcaps(empty)


# Readings by the minute.


def test_a_reading_bears_by_what_the_account_expects_at_its_minute() -> None:
    early = of_milkcaps(Observed(readings=(milk_at(4, "orange"),)))
    late = of_milkcaps(Observed(readings=(milk_at(40, "orange"),)))

    assert bearing(early, DETERRIMUS, "milk").verdict == "fits"
    assert bearing(late, DETERRIMUS, "milk").verdict == "speaks_against"
    assert bearing(late, DELICIOSUS, "milk").verdict == "fits"


def test_readings_of_one_exposure_stand_in_one_bearing_with_their_moments() -> None:
    readings = (milk_at(30, "wine"), milk_at(10, "orange"))
    found = bearing(of_milkcaps(Observed(readings=readings)), DETERRIMUS, "milk")

    assert [(moment.minutes, moment.seen) for moment in found.moments] == [
        (10, ("orange",)),
        (30, ("wine",)),
    ]
    assert found.moments[1].expects[0] == ("wine", "always")


def test_no_change_is_the_colour_the_milk_had_when_cut() -> None:
    said = Observed(seen(milk_colour="orange"), (milk_at(40, "none"),))
    seen_orange = Observed(seen(milk_colour="orange"), (milk_at(40, "orange"),))

    assert of_milkcaps(said).row(DELICIOSUS).log_support == pytest.approx(
        of_milkcaps(seen_orange).row(DELICIOSUS).log_support
    )


def test_no_change_without_a_colour_on_cutting_speaks_against_milk_that_turns() -> None:
    found = of_milkcaps(Observed(readings=(milk_at(40, "none"),)))

    assert bearing(found, TORMINOSUS, "milk").verdict == "fits"
    assert bearing(found, DELICIOSUS, "milk").verdict == "fits"
    assert bearing(found, DETERRIMUS, "milk").verdict == "speaks_against"


def test_an_account_that_says_milk_does_not_change_expects_the_colour_it_had() -> None:
    still = AccountFacts(
        1,
        "agaric",
        states={"milk_colour": {"white": "always"}},
        readings=milk(0, 60, none="always"),
    )
    turns = AccountFacts(
        2, "agaric", readings=(*milk(0, 2, white="always"), *milk(5, 60, yellow="always"))
    )
    found = contrast(Observed(readings=(milk_at(20, "white"),)), [still, turns], VOCABULARY)

    assert bearing(found, 1, "milk").verdict == "fits"
    assert bearing(found, 2, "milk").verdict == "speaks_against"


def test_flesh_that_blues_is_not_unchanged_however_soon_it_blues() -> None:
    blues = AccountFacts(
        1, "bolete", readings=(ExpectedReading("flesh", "", 0, 10, "blue", "always"),)
    )
    still = AccountFacts(
        2, "bolete", readings=(ExpectedReading("flesh", "", 0, 10, "none", "always"),)
    )
    for colours in ("none", "white"):
        reading = ReadingSeen("flesh", "", 5, frozenset({colours}))
        found = contrast(Observed(readings=(reading,)), [blues, still], VOCABULARY)
        assert bearing(found, 1, "flesh").verdict == "speaks_against"
        assert bearing(found, 2, "flesh").verdict == "fits"


def test_what_an_account_says_in_a_word_serves_where_it_has_no_readings() -> None:
    blues = AccountFacts(1, "bolete", states={"flesh_change": {"blue": "always"}})
    found = contrast(
        Observed(readings=(ReadingSeen("flesh", "", 10, frozenset({"blue"})),)), [blues], VOCABULARY
    )

    assert bearing(found, 1, "flesh").verdict == "fits"
    assert expected_at(blues, "flesh", "", 10) == [("blue", "always")]


def test_a_reading_and_the_character_that_says_the_same_count_once() -> None:
    reading = of_milkcaps(Observed(readings=(milk_at(40, "wine"),)))
    both = of_milkcaps(Observed(seen(milk_change="maroon"), (milk_at(40, "wine"),)))
    apart = of_milkcaps(Observed(seen(milk_change="maroon")))

    twice = reading.row(DETERRIMUS).log_likelihood + apart.row(DETERRIMUS).log_likelihood
    assert both.row(DETERRIMUS).log_likelihood < 0.8 * twice
    assert both.row(DELICIOSUS).log_likelihood >= TOGETHER * math.log(0.05) - 1e-9


def test_repeating_a_reading_adds_little() -> None:
    once = of_milkcaps(Observed(readings=(milk_at(40, "wine"),)))
    often = of_milkcaps(Observed(readings=tuple(milk_at(m, "wine") for m in (40, 41, 42, 43))))

    one = math.log(ratio(once, DETERRIMUS, DELICIOSUS))
    four = math.log(ratio(often, DETERRIMUS, DELICIOSUS))
    assert one < four < 2 * one


def test_the_time_line_says_what_is_expected_at_a_minute() -> None:
    account = MILKCAPS[1]

    assert expected_at(account, "milk", "", 2) == [("orange", "always")]
    assert expected_at(account, "milk", "", 20) == [("wine", "usually"), ("orange", "sometimes")]
    # Between two spans both, none more than sometimes; beyond the last the account does not say.
    assert expected_at(account, "milk", "", 7) == [("orange", "sometimes"), ("wine", "sometimes")]
    assert expected_at(account, "milk", "", 500) == []
    assert expected_at(account, "cap", "", 5) == []


# Trees, substrate, month, spores.


def test_a_tree_named_as_host_weighs_more_than_one_nearby() -> None:
    weights = [
        bearing(of_milkcaps(Observed(hosts={"Picea": part})), DELICIOSUS, "hosts").weight  # type: ignore[dict-item]
        for part in ("host", "probable_host", "nearby")
    ]

    assert weights == sorted(weights)
    assert weights[0] < weights[1] < weights[2] < 0


def test_of_two_trees_nearby_either_may_be_the_host() -> None:
    found = of_milkcaps(Observed(hosts={"Picea": "nearby", "Pinus": "nearby"}))

    assert bearing(found, DELICIOSUS, "hosts").verdict == "fits"
    assert bearing(found, DETERRIMUS, "hosts").verdict == "fits"
    assert bearing(found, SALMONICOLOR, "hosts").verdict == "speaks_against"


def test_an_account_without_hosts_is_not_known_under_any_tree() -> None:
    account = AccountFacts(1, "agaric")
    found = contrast(Observed(hosts={"Picea": "host"}), [account, *MILKCAPS[1:3]], VOCABULARY)

    assert bearing(found, 1, "hosts").verdict == "not_known"


def test_a_month_beside_the_season_still_fits_and_one_far_from_it_does_not() -> None:
    verdicts = [
        bearing(of_milkcaps(Observed(month=month)), DELICIOSUS, "month").verdict
        for month in (9, 12, 7, 4)
    ]

    assert verdicts == ["fits", "fits", "fits", "speaks_against"]


def test_a_season_goes_across_new_year() -> None:
    assert months_of((10, 2)) == {10, 11, 12, 1, 2}
    assert months_of((8, 11)) == {8, 9, 10, 11}
    assert months_of((1, 12)) == set(range(1, 13))


def test_litter_is_nearly_soil_and_wood_is_not() -> None:
    soil, wood = (
        bearing(of_milkcaps(Observed(substrate=word)), DELICIOSUS, "substrate")
        for word in ("litter", "wood")
    )

    assert soil.verdict == "fits"
    assert wood.verdict == "speaks_against"


def test_measured_spores_bear_by_length_and_width() -> None:
    found = of_milkcaps(Observed(spores=MeasuredSpores(9.6, 11.2, 7.2, 9.0, 30)))

    assert bearing(found, SALMONICOLOR, "spores").verdict == "fits"
    assert bearing(found, DELICIOSUS, "spores").verdict == "speaks_against"
    assert bearing(found, DELICIOSUS, "spores").weight >= 0.7 * math.log(0.05) - 1e-9


# The rows.


def test_rows_stand_in_order_of_support_with_the_unknown_among_them() -> None:
    found = of_milkcaps(Observed(seen(stem_pits="none")))

    supports = [row.log_support for row in found.rows]
    assert supports == sorted(supports, reverse=True)
    assert None in [row.key for row in found.rows]


def test_something_not_in_these_accounts_has_a_stated_weight_before_any_evidence() -> None:
    found = of_milkcaps(Observed())

    assert math.exp(found.row(None).log_support) == pytest.approx(UNKNOWN_PRIOR)
    assert not found.separated


def test_what_fits_no_account_leaves_the_unknown_leading() -> None:
    odd = Observed(
        seen(milk_colour="blue", ring="hanging", main_colour="white", stem_pits="few"),
        hosts={"Quercus": "host"},
    )

    assert of_milkcaps(odd).rows[0].key is None


def test_without_candidates_the_unknown_has_all_the_weight() -> None:
    found = contrast(Observed(seen(ring="none")), [], VOCABULARY)

    assert [row.key for row in found.rows] == [None]
    assert found.rows[0].log_support == pytest.approx(0)


def test_a_name_recorded_often_starts_heavier_but_a_dangerous_one_never_lighter() -> None:
    often = AccountFacts(1, "agaric", recorded=200)
    rare = AccountFacts(2, "agaric")
    deadly = AccountFacts(3, "agaric", is_dangerous=True)
    found = contrast(Observed(), [often, rare, deadly], VOCABULARY)

    assert found.row(1).log_prior > found.row(2).log_prior
    assert found.row(1).log_prior - found.row(2).log_prior <= math.log(4) + 1e-9
    assert found.row(3).log_prior == pytest.approx(found.row(1).log_prior)


def test_what_is_only_dangerous_and_of_like_form_starts_lighter_and_can_still_lead() -> None:
    question = {account.key for account in MILKCAPS if account.key != TORMINOSUS}
    before = contrast(Observed(), MILKCAPS, VOCABULARY, in_question=question)
    white = Observed(seen(milk_colour="white", cap_margin="woolly"), hosts={"Betula": "host"})
    after = contrast(white, MILKCAPS, VOCABULARY, in_question=question)

    assert before.rows[-1].key == TORMINOSUS
    assert TORMINOSUS in before.dangerous_close
    assert order_of(after)[0] == TORMINOSUS
    assert contrast(Observed(), MILKCAPS, VOCABULARY, in_question=()) == of_milkcaps(Observed())


@pytest.mark.parametrize(
    "observed",
    [Observed(stage="button"), Observed(stage="decayed"), Observed(pictures_only=True)],
)
def test_nothing_below_genus_on_buttons_decayed_or_picture_only_finds(observed: Observed) -> None:
    full = replace(
        observed,
        states=seen(
            milk_colour="wine", cap_zones="clear", main_colour="wine", greening="all_green"
        ),
        hosts={"Pinus": "host"},
    )
    found = of_milkcaps(full)

    assert found.level == "genus"
    assert not found.separated


def test_much_that_agrees_separates_and_one_look_does_not() -> None:
    one = of_milkcaps(Observed(seen(milk_colour="wine")))
    much = of_milkcaps(
        Observed(
            seen(milk_colour="red wine", cap_zones="clear", main_colour="wine", greening="patches"),
            hosts={"Pinus": "host"},
        )
    )

    assert not one.separated
    assert much.level == "species"
    assert much.separated


def test_the_ratio_of_two_candidates_leaves_their_priors_aside() -> None:
    observed = Observed(seen(stem_pits="none"))
    rows = [replace(account, recorded=255 * (account.key == 1)) for account in MILKCAPS]

    assert ratio(contrast(observed, rows, VOCABULARY), DETERRIMUS, DELICIOSUS) == pytest.approx(
        ratio(of_milkcaps(observed), DETERRIMUS, DELICIOSUS)
    )
    assert ratio(of_milkcaps(observed), DETERRIMUS, DELICIOSUS) > 3


def test_words_of_frequency_go_down_from_always_to_never() -> None:
    values = [USUAL[word] for word in ("always", "usually", "sometimes", "rarely", "never")]

    assert values == sorted(values, reverse=True)
    assert all(0 < value < 1 for value in values)


# The worked examples of the modules.

PITS = CharacterFacts("stem_pits", ("none", "few", "many"))


def test_pits_always_many_weigh_about_an_eighth_against_none_in_an_even_background() -> None:
    held = distribution_of({"many": "always"}, PITS.states)

    assert held is not None
    assert held == pytest.approx({"many": 0.95, "none": 0.025, "few": 0.025})
    assert math.exp(log_ratio(held["none"], 1 / 3, 0.05)) == pytest.approx(0.121, abs=0.001)


def test_the_background_of_two_opposite_accounts_leaves_a_share_for_what_neither_shows() -> None:
    opposite = [
        AccountFacts(key, "agaric", states={"stem_pits": {state: "always"}})
        for key, state in ((1, "many"), (2, "none"))
    ]
    usual = background_of(opposite, [PITS]).states("stem_pits")

    assert usual == pytest.approx({"none": 0.457, "few": 0.087, "many": 0.457}, abs=0.001)
    states = PITS.states
    assert overlap(
        distribution_of({"many": "always"}, states) or {},
        distribution_of({"none": "always"}, states) or {},
    ) == pytest.approx(0.075)


def test_between_two_spans_the_colours_are_mixed_by_the_distance_to_each() -> None:
    account = AccountFacts(
        1, "agaric", readings=(*milk(0, 5, orange="always"), *milk(10, 30, wine="always"))
    )
    spans = spans_of(account, ("milk", ""))
    early, between, late = (
        chances[0] for minute in (5, 8, 10) if (chances := chances_at(account, spans, minute))
    )

    for colour in ("orange", "wine"):
        assert between[colour] == pytest.approx(0.4 * early[colour] + 0.6 * late[colour])


def test_one_look_at_two_candidates_gives_the_shares_written_out_in_the_method() -> None:
    ratios = [math.exp(0.85 * log_ratio(chance, 0.475, 0.05)) for chance in (0.9, 0.05)]

    assert ratios == pytest.approx([1.687, 0.199], abs=0.001)
    assert [0.4 * ratio_ for ratio_ in ratios] == pytest.approx([0.675, 0.080], abs=0.001)


def test_half_an_hour_costs_two_looks_more_than_the_cut() -> None:
    assert cost_of("wait", 30) == 4
    assert cost_of("cut", None) == 2
