"""What stands: every row of the table, and what no sequence of acts may ever do."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from society.science.standing import (
    CODES,
    KINDS,
    RANKS,
    REASONS,
    FindFacts,
    SlipFacts,
    Standing,
    VerdictFacts,
    what_stands,
)
from tests.science.standing_cases import CASES, IN_SCOPE, PEOPLE, TAXA, Case, make_find, read_script

NAMES = {number: name for name, number in PEOPLE.items()}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.title)
def test_the_table_of_cases(case: Case) -> None:
    slips, verdicts = read_script(case.script)
    found = what_stands(make_find(case), slips, verdicts)
    by = tuple(sorted(PEOPLE[name] for name in case.by.split()))
    assert (found.code, found.slip_id, found.rank, found.by) == (
        case.code,
        case.slip,
        case.rank,
        by,
    )
    assert set(case.because.split()) <= set(found.reason_codes)


def test_the_table_is_full_and_its_titles_differ() -> None:
    assert len(CASES) >= 40
    assert len({case.title for case in CASES}) == len(CASES)
    assert {case.code for case in CASES} == set(CODES)


def test_every_reason_there_is_occurs_in_the_table() -> None:
    seen = set()
    for case in CASES:
        slips, verdicts = read_script(case.script)
        seen |= set(what_stands(make_find(case), slips, verdicts).reason_codes)
    assert seen == set(REASONS)


def test_the_worked_example_at_the_head_of_the_module() -> None:
    script = (
        "ann slip deterrimus; bea confirm 1; carl slip deliciosus; bea confirm 3;"
        "ann slip torminosus"
    )
    slips, verdicts = read_script(script)
    codes = []
    for upto in range(1, 6):
        found = what_stands(
            FindFacts(frozenset([PEOPLE["ann"]])),
            [slip for slip in slips if slip.order <= upto],
            [verdict for verdict in verdicts if verdict.order <= upto],
        )
        codes.append((found.code, found.slip_id, [NAMES[by] for by in found.by]))
    assert codes == [
        ("unconfirmed", 1, []),
        ("confirmed", 1, ["bea"]),
        ("disputed", 1, ["bea", "carl"]),
        ("confirmed", 3, ["bea", "carl"]),
        ("confirmed", 3, ["bea", "carl"]),
    ]
    assert "finder_slip_after_confirmation" in found.reason_codes


def test_left_open_without_a_rank_gives_no_taxon() -> None:
    slips, verdicts = read_script("ann slip deterrimus; bea open 1")
    found = what_stands(FindFacts(frozenset([PEOPLE["ann"]])), slips, verdicts)
    assert (found.slip_id, found.taxon_id, found.rank) == (1, None, None)


def test_a_confirmed_slip_gives_its_own_taxon() -> None:
    slips, verdicts = read_script("ann slip deterrimus; bea confirm 1 at genus")
    found = what_stands(FindFacts(frozenset([PEOPLE["ann"]])), slips, verdicts)
    assert (found.taxon_id, found.rank) == (TAXA["deterrimus"][0], "genus")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"order": 1}, "share an order"),
        ({"slip_id": 99}, "not given"),
        ({"other_slip_id": 99}, "not given"),
        ({"slip_id": None}, "names no slip"),
    ],
)
def test_nonsense_is_refused_aloud(change: dict[str, Any], words: str) -> None:
    slips, verdicts = read_script("ann slip deterrimus; bea confirm 1")
    with pytest.raises(ValueError, match=words):
        what_stands(FindFacts(frozenset()), slips, [replace(verdicts[0], **change)])


# --- what no sequence of acts may do -------------------------------------------------------------


@st.composite
def histories(
    draw: st.DrawFn,
    *,
    people: tuple[str, ...] = ("ann", "rita", "max", "bea", "carl", "dora", "olga", "old"),
    longest: int = 12,
) -> tuple[list[SlipFacts], list[VerdictFacts]]:
    """Any sequence of slips and verdicts by these people; a slip comes first."""
    script = [f"{draw(st.sampled_from(people))} slip {draw(st.sampled_from(sorted(TAXA)))}"]
    slip_lines = [1]
    verdict_lines: list[int] = []
    for number in range(2, 2 + draw(st.integers(0, longest - 1))):
        who = draw(st.sampled_from(people))
        what = draw(
            st.sampled_from(["slip", "confirm", "dispute", "ask", "open", "withdraw", "reopen"])
        )
        at = draw(st.sampled_from(["", " at species", " at aggregate", " at section", " at genus"]))
        target = draw(st.sampled_from(slip_lines))
        if what == "slip":
            script.append(f"{who} slip {draw(st.sampled_from(sorted(TAXA)))}")
            slip_lines.append(number)
            continue
        verdict_lines.append(number)
        if what == "withdraw":
            target = draw(st.sampled_from(slip_lines + verdict_lines[:-1]))
            at = ""
        elif what == "dispute":
            at = draw(st.sampled_from(["", f" for {draw(st.sampled_from(slip_lines))}"]))
        script.append(f"{who} {what} {target}{at if what not in ('ask', 'reopen') else ''}")
    return read_script(";".join(script))


def finds(finders: str = "ann rita") -> st.SearchStrategy[FindFacts]:
    ids = frozenset(PEOPLE[name] for name in finders.split())
    return st.builds(
        FindFacts, finder_ids=st.just(ids), from_books=st.booleans(), needs_two=st.booleans()
    )


def finder_acts() -> st.SearchStrategy[tuple[list[SlipFacts], list[VerdictFacts]]]:
    return histories(people=("ann", "rita", "max", "olga", "old"))


@given(finds(), finder_acts())
@settings(max_examples=150, deadline=None)
def test_nothing_that_finders_and_people_without_scope_do_ever_confirms(
    find: FindFacts, acts: tuple[list[SlipFacts], list[VerdictFacts]]
) -> None:
    """Rita is a finder and a referee in scope; nobody else here is in scope."""
    assert what_stands(find, *acts).code in (
        "unconfirmed",
        "determined_by_its_referee",
        "from_the_books",
    )


@given(finds("ann"), histories(people=("ann", "max", "olga", "old")))
@settings(max_examples=150, deadline=None)
def test_without_any_scope_nothing_is_ever_settled(
    find: FindFacts, acts: tuple[list[SlipFacts], list[VerdictFacts]]
) -> None:
    assert what_stands(find, *acts).code == ("from_the_books" if find.from_books else "unconfirmed")


@given(finds(), histories())
@settings(max_examples=150, deadline=None)
def test_withdrawing_everything_returns_to_the_state_without_verdicts(
    find: FindFacts, acts: tuple[list[SlipFacts], list[VerdictFacts]]
) -> None:
    slips, verdicts = acts
    verdicts = [each for each in verdicts if each.kind != "withdraw"]
    undone = [
        VerdictFacts(
            id=1000 + each.id,
            order=1000 + each.order,
            kind="withdraw",
            slip_id=each.slip_id,
            by=each.by,
            in_scope=each.in_scope,
            withdraws=each.id,
        )
        for each in verdicts
    ]
    assert what_stands(find, slips, [*verdicts, *undone]) == what_stands(find, slips, [])


@given(finds(), histories(), st.randoms(use_true_random=False), st.integers(1, 50))
@settings(max_examples=150, deadline=None)
def test_ids_and_the_sequence_of_handing_in_are_nothing_and_only_order_counts(
    find: FindFacts,
    acts: tuple[list[SlipFacts], list[VerdictFacts]],
    chance: object,
    stretch: int,
) -> None:
    slips, verdicts = acts
    slip_ids = {
        slip.id: new for slip, new in zip(slips, _shuffled(chance, len(slips)), strict=True)
    }
    verdict_ids = {
        each.id: new for each, new in zip(verdicts, _shuffled(chance, len(verdicts)), strict=True)
    }
    other_slips = [replace(s, id=slip_ids[s.id], order=s.order * stretch) for s in slips]
    other_verdicts = [
        replace(
            v,
            id=verdict_ids[v.id],
            order=v.order * stretch,
            slip_id=None if v.slip_id is None else slip_ids[v.slip_id],
            other_slip_id=None if v.other_slip_id is None else slip_ids[v.other_slip_id],
            withdraws=None if v.withdraws is None else verdict_ids[v.withdraws],
        )
        for v in verdicts
    ]
    chance.shuffle(other_slips)  # type: ignore[attr-defined]
    chance.shuffle(other_verdicts)  # type: ignore[attr-defined]
    plain = what_stands(find, slips, verdicts)
    expected = replace(plain, slip_id=None if plain.slip_id is None else slip_ids[plain.slip_id])
    assert what_stands(find, other_slips, other_verdicts) == expected


def _shuffled(chance: object, many: int) -> list[int]:
    ids = list(range(500, 500 + many))
    chance.shuffle(ids)  # type: ignore[attr-defined]
    return ids


@given(finds(), histories(), st.sampled_from(KINDS))
@settings(max_examples=150, deadline=None)
def test_a_verdict_out_of_scope_changes_nothing_but_its_own_note(
    find: FindFacts, acts: tuple[list[SlipFacts], list[VerdictFacts]], kind: str
) -> None:
    slips, verdicts = acts
    late = VerdictFacts(
        id=900,
        order=900,
        kind=kind,  # type: ignore[arg-type]
        slip_id=slips[0].id,
        by=PEOPLE["max"],
        in_scope=False,
        at_rank="genus",
    )
    before = what_stands(find, slips, verdicts)
    after = what_stands(find, slips, [*verdicts, late])
    assert _without_notes(after) == _without_notes(before)


def _without_notes(standing: Standing) -> Standing:
    notes = {"verdict_not_in_scope_ignored", "withdrawal_by_another_ignored"}
    kept = tuple(code for code in standing.reason_codes if code not in notes)
    return replace(standing, reason_codes=kept)


def test_a_second_who_agrees_that_it_is_a_lactarius_sp_takes_nothing_away() -> None:
    find = FindFacts(finder_ids=frozenset({PEOPLE["ann"]}), from_books=False, needs_two=True)
    slip = SlipFacts(
        1, 1, 17, "lactarius sp.", "genus", "sp.", PEOPLE["ann"], True, basis_from_books=False
    )
    agreeing = VerdictFacts(900, 900, "confirm", 1, PEOPLE["ewan"], in_scope=True, at_rank="genus")
    assert what_stands(find, [slip], []).code == "determined_by_its_referee"
    assert what_stands(find, [slip], [agreeing]).code == "determined_by_its_referee"


@given(finds(), histories())
@settings(max_examples=150, deadline=None)
def test_a_further_referee_who_agrees_never_lowers_what_stands(
    find: FindFacts, acts: tuple[list[SlipFacts], list[VerdictFacts]]
) -> None:
    slips, verdicts = acts
    before = what_stands(find, slips, verdicts)
    if before.code not in ("confirmed", "determined_by_its_referee"):
        return
    agreeing = VerdictFacts(
        900, 900, "confirm", before.slip_id, PEOPLE["ewan"], in_scope=True, at_rank=before.rank
    )
    after = what_stands(find, slips, [*verdicts, agreeing])
    assert after.code in ("confirmed", "determined_by_its_referee")
    assert (after.taxon_id, after.rank) == (before.taxon_id, before.rank)
    assert PEOPLE["ewan"] in after.by


@given(finds(), histories())
@settings(max_examples=150, deadline=None)
def test_saying_the_same_again_changes_nothing(
    find: FindFacts, acts: tuple[list[SlipFacts], list[VerdictFacts]]
) -> None:
    slips, verdicts = acts
    opinions = [v for v in verdicts if v.kind in ("confirm", "dispute") and v.by == PEOPLE["bea"]]
    own = [s for s in slips if s.by == PEOPLE["bea"]]
    withdrawn = any(v.kind == "withdraw" for v in verdicts)
    if not opinions or withdrawn or (own and own[-1].order > opinions[-1].order):
        return
    if any(v.kind in ("ask", "leave_open") and v.by == PEOPLE["bea"] for v in verdicts):
        return
    again = replace(opinions[-1], id=900, order=900)
    before = what_stands(find, slips, verdicts)
    after = what_stands(find, slips, [*verdicts, again])
    # Saying it again after a finder's new slip answers that slip; and a referee who is no party to
    # a narrower dispute may settle it by repeating the wider name. Neither makes a new opinion.
    if before.code == "disputed" and after.code == "confirmed":
        assert after.rank not in ("species", "variety")
        return
    assert (after.code, after.slip_id, after.rank, after.by) == (
        before.code,
        before.slip_id,
        before.rank,
        before.by,
    )


@given(finds(), histories())
@settings(max_examples=150, deadline=None)
def test_the_answer_is_always_well_formed(
    find: FindFacts, acts: tuple[list[SlipFacts], list[VerdictFacts]]
) -> None:
    slips, verdicts = acts
    found = what_stands(find, slips, verdicts)
    assert found.code in CODES
    assert list(found.by) == sorted(set(found.by))
    assert [code for code in REASONS if code in found.reason_codes] == list(found.reason_codes)
    assert found.reason_codes
    assert found.rank is None or found.rank in RANKS
    if found.code == "confirmed":
        referees = {PEOPLE[name] for name in IN_SCOPE}
        assert set(found.by) <= referees - find.finder_ids
        assert len(found.by) >= (2 if find.needs_two else 1)
        assert found.slip_id is not None
    if found.code == "determined_by_its_referee":
        assert find.finder_ids & set(found.by)
