"""What is missing for a referee: by form, by example, and what is never asked for."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from society.science.evidence import (
    FIRST_LOOK,
    FORMS,
    IN_HAND,
    VIEWS,
    VIEWS_BY_FORM,
    EvidenceFacts,
    may_still_be_seen,
    missing,
)

NOTHING_YET = EvidenceFacts(
    views=frozenset(),
    has_habitat=False,
    has_hosts=False,
    has_substrate=False,
    base="",
    has_print=False,
    characters=frozenset(),
    readings=frozenset(),
    in_hand="fresh",
    needs="eye",
)


def codes(
    form: str, facts: EvidenceFacts, *, may_lift: bool = True, may_cut: bool = True
) -> list[str]:
    return [w.code for w in missing(form, facts, may_lift=may_lift, may_cut=may_cut)]


def possible(form: str, facts: EvidenceFacts, *, may_lift: bool = True) -> set[str]:
    found = missing(form, facts, may_lift=may_lift, may_cut=True)
    return {wanted.code for wanted in found if wanted.still_possible}


def test_an_agaric_wants_every_side_and_what_stood_with_it() -> None:
    assert codes("agaric", NOTHING_YET) == [
        "cap", "underside", "stem_base", "section", "habitat", "hosts",
    ]  # fmt: skip


def test_the_worked_example_at_the_head_of_the_module() -> None:
    facts = replace(NOTHING_YET, views=frozenset({"cap", "underside"}), has_habitat=True)
    fresh = missing("agaric", facts, may_lift=True, may_cut=False)
    assert [(w.code, w.how, w.still_possible) for w in fresh] == [
        ("stem_base", "photograph", True),
        ("hosts", "note", True),
    ]
    dried = missing("agaric", replace(facts, in_hand="dried"), may_lift=True, may_cut=False)
    assert [(w.code, w.still_possible) for w in dried] == [("stem_base", False), ("hosts", True)]


@pytest.mark.parametrize(
    ("form", "wanted"),
    [
        ("bolete", {"cap", "underside", "stem_base", "section", "flesh_after_cutting"}),
        ("bracket", {"cap", "underside", "section", "substrate", "hosts"}),
        ("crust", {"detail", "side", "substrate", "hosts"}),
        ("club", {"side", "stem_base", "section", "habitat"}),
        ("stomach", {"side", "section", "habitat", "hosts"}),
        ("jelly", {"side", "detail", "substrate"}),
        ("cup", {"cap", "underside", "substrate", "habitat"}),
        ("flask", {"detail", "section", "substrate", "hosts"}),
        ("rust", {"cap", "underside", "detail", "hosts"}),
        ("lichen", {"cap", "detail", "substrate", "habitat"}),
        ("slime_mould", {"side", "detail", "substrate", "habitat"}),
    ],
)
def test_each_form_asks_for_its_own(form: str, wanted: set[str]) -> None:
    assert wanted <= set(codes(form, NOTHING_YET))


@pytest.mark.parametrize("form", ["crust", "jelly", "rust", "lichen", "slime_mould", "flask"])
def test_what_has_no_stem_is_not_asked_for_one(form: str) -> None:
    assert "stem_base" not in codes(form, replace(NOTHING_YET, needs="microscope"))


def test_every_form_has_its_lists_and_every_view_is_known() -> None:
    assert set(FIRST_LOOK) == set(VIEWS_BY_FORM) == set(FORMS)
    assert {view for views in VIEWS_BY_FORM.values() for view in views} == set(VIEWS)
    for form in FORMS:
        photographed = [w.code for w in missing(form, NOTHING_YET, may_lift=True, may_cut=True)
                        if w.how == "photograph"]  # fmt: skip
        assert set(photographed) <= set(VIEWS_BY_FORM[form])


def test_an_unknown_form_assumes_no_parts() -> None:
    assert codes("", NOTHING_YET) == ["side", "detail", "habitat", "hosts"]


def test_a_side_view_of_a_lifted_base_shows_the_whole_stem() -> None:
    lifted = replace(NOTHING_YET, views=frozenset({"side"}), base="lifted")
    assert "stem_base" not in codes("agaric", lifted)
    assert "stem_base" in codes("agaric", replace(lifted, base="cut"))


def test_where_lifting_is_not_allowed_a_mirror_and_the_place_are_offered() -> None:
    assert codes("agaric", NOTHING_YET, may_lift=False) == [
        "cap", "mirror_photograph", "photograph_in_place", "habitat", "hosts",
    ]  # fmt: skip


def test_a_bracket_is_seen_from_below_without_lifting() -> None:
    assert "underside" in codes("bracket", NOTHING_YET, may_lift=False)


def test_where_cutting_is_not_allowed_no_section_is_asked_for() -> None:
    facts = replace(NOTHING_YET, characters=frozenset({"milk_colour"}))
    wanted = codes("bolete", facts, may_cut=False)
    assert not {"section", "flesh_after_cutting", "milk_after_30_minutes"} & set(wanted)


def test_milk_once_seen_is_asked_for_after_half_an_hour() -> None:
    facts = replace(NOTHING_YET, characters=frozenset({"milk_colour"}))
    assert "milk_after_30_minutes" in codes("agaric", facts)
    assert "milk_after_30_minutes" not in codes(
        "agaric", replace(facts, readings=frozenset({"milk"}))
    )


@pytest.mark.parametrize(
    ("in_hand", "can"),
    [
        ("fresh", {"stem_base", "spore_print", "microscope", "hosts"}),
        ("fridge", {"stem_base", "spore_print", "microscope", "hosts"}),
        ("drying", {"microscope", "hosts"}),
        ("dried", {"microscope", "hosts"}),
        ("print", {"microscope", "hosts"}),
        ("pictures", {"hosts"}),
        ("nothing", {"hosts"}),
        ("", {"stem_base", "spore_print", "microscope", "hosts"}),
    ],
)
def test_only_what_can_still_be_done_with_what_is_in_hand(in_hand: str, can: set[str]) -> None:
    facts = replace(
        NOTHING_YET,
        views=frozenset({"cap", "underside", "section"}),
        has_habitat=True,
        needs="microscope",
        in_hand=in_hand,
    )
    assert possible("agaric", facts) == can


def test_a_kept_specimen_is_asked_for_where_the_name_needs_it() -> None:
    facts = replace(NOTHING_YET, needs="specimen", in_hand="drying")
    assert "specimen" in possible("agaric", facts)
    assert "specimen" not in codes("agaric", replace(facts, has_specimen=True))
    assert "specimen" not in codes("agaric", facts, may_lift=False)


def test_a_bracket_left_on_its_tree_can_be_photographed_again() -> None:
    assert "underside" in possible("bracket", replace(NOTHING_YET, in_hand="nothing"))
    assert "underside" not in possible("agaric", replace(NOTHING_YET, in_hand="nothing"))
    again = replace(NOTHING_YET, in_hand="nothing", may_return=True)
    assert "mirror_photograph" in possible("agaric", again, may_lift=False)


def facts_of_any_kind() -> st.SearchStrategy[EvidenceFacts]:
    return st.builds(
        EvidenceFacts,
        views=st.frozensets(st.sampled_from(VIEWS)),
        has_habitat=st.booleans(),
        has_hosts=st.booleans(),
        has_substrate=st.booleans(),
        base=st.sampled_from(["", "lifted", "cut", "not_seen"]),
        has_print=st.booleans(),
        characters=st.frozensets(
            st.sampled_from(["milk_colour", "milk_change", "flesh_change", "print_colour", "smell"])
        ),
        readings=st.frozensets(st.sampled_from(["milk", "flesh", "gills", "reagent"])),
        in_hand=st.sampled_from(["", *IN_HAND]),
        needs=st.sampled_from(["eye", "microscope", "specimen", "sequence"]),
        has_measurements=st.booleans(),
        has_specimen=st.booleans(),
        may_return=st.booleans(),
    )


any_form = st.sampled_from(["", *FORMS])


@given(any_form, facts_of_any_kind(), st.booleans())
def test_nothing_is_ever_asked_for_that_needs_lifting_where_it_is_forbidden(
    form: str, facts: EvidenceFacts, may_cut: bool
) -> None:
    wanted = set(codes(form, facts, may_lift=False, may_cut=may_cut))
    assert not wanted & {"stem_base", "section", "spore_print", "specimen", "flesh_after_cutting"}
    if form in ("agaric", "bolete", "cup"):
        assert "underside" not in wanted


@given(any_form, facts_of_any_kind(), st.booleans())
def test_nothing_is_ever_asked_for_that_needs_a_cut_where_it_is_forbidden(
    form: str, facts: EvidenceFacts, may_lift: bool
) -> None:
    wanted = set(codes(form, facts, may_lift=may_lift, may_cut=False))
    assert not wanted & {"section", "flesh_after_cutting", "milk_after_30_minutes"}


@given(any_form, facts_of_any_kind(), st.booleans(), st.booleans())
def test_tasting_is_never_asked_for(
    form: str, facts: EvidenceFacts, may_lift: bool, may_cut: bool
) -> None:
    wanted = codes(form, facts, may_lift=may_lift, may_cut=may_cut)
    assert not [code for code in wanted if "tast" in code or "eat" in code or "bite" in code]
    assert len(set(wanted)) == len(wanted)


@given(any_form, facts_of_any_kind(), st.sampled_from(VIEWS))
def test_a_further_photograph_never_makes_more_missing(
    form: str, facts: EvidenceFacts, view: str
) -> None:
    more = replace(facts, views=facts.views | {view})
    for may_lift in (True, False):
        assert set(codes(form, more, may_lift=may_lift)) <= set(
            codes(form, facts, may_lift=may_lift)
        )


@given(st.sampled_from(FORMS), facts_of_any_kind())
def test_with_everything_given_nothing_is_missing(form: str, facts: EvidenceFacts) -> None:
    full = replace(
        facts,
        views=frozenset(VIEWS),
        has_habitat=True,
        has_hosts=True,
        has_substrate=True,
        has_print=True,
        readings=frozenset({"milk", "flesh"}),
    )
    assert codes(form, full) == []
    assert codes(form, full, may_lift=False, may_cut=False) == []


def still(cost: str, part: str = "cap", **given: object) -> bool:
    facts: dict[str, object] = {
        "cuts": False,
        "form": "agaric",
        "in_hand": "fresh",
        "views": frozenset(),
        "may_lift": True,
        "may_cut": True,
        **given,
    }
    return may_still_be_seen(cost, part, **facts)  # type: ignore[arg-type]


COSTS = ("at_once", "cut", "wait", "overnight", "lens", "microscope", "reagent")


def test_a_fresh_one_that_may_be_lifted_shows_everything_and_pictures_only_what_they_show() -> None:
    assert all(still(cost) for cost in COSTS)
    kept = {"in_hand": "pictures", "views": frozenset({"cap"})}
    assert [cost for cost in COSTS if still(cost, **kept)] == ["at_once"]
    for part in ("smell", "volva", "gills", "stem"):
        assert not still("at_once", part, **kept)
    assert still("at_once", "volva", in_hand="pictures", views=frozenset({"stem_base"}))
    assert not still("at_once", code="cap_moisture", **kept)
    assert not still("at_once", in_hand="pictures")


def test_a_dried_one_still_serves_lens_microscope_and_reagent_and_a_print_its_spores() -> None:
    assert [cost for cost in COSTS if still(cost, in_hand="dried")] == [
        "lens",
        "microscope",
        "reagent",
    ]
    assert [cost for cost in COSTS if still(cost, in_hand="print")] == ["microscope"]


def test_what_stands_for_years_can_be_looked_at_where_it_grows() -> None:
    left = [cost for cost in COSTS if still(cost, form="bracket", in_hand="nothing")]
    assert left == ["at_once", "lens"]


@given(st.sampled_from(COSTS), st.sampled_from(["", *IN_HAND]), st.booleans(), st.booleans())
def test_where_taking_up_is_forbidden_nothing_that_needs_a_cut_may_be_looked_at(
    cost: str, in_hand: str, cuts: bool, may_cut: bool
) -> None:
    allowed = still(cost, cuts=cuts, in_hand=in_hand, may_lift=False, may_cut=may_cut)
    assert not (allowed and (cuts or cost in ("cut", "wait")))
    if allowed and in_hand not in ("fresh", "fridge", "drying", "dried", "print"):
        assert cost in ("at_once", "lens")
