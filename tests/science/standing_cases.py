"""The table of cases for what stands, as short scripts that can be read aloud.

People: Ann and Abe find (no scope), Rita finds and is a referee in scope, Max is a member without
scope, Bea, Carl, Dora and Ewan are referees in scope, Olga is a referee out of scope, Old is the
determiner named in the old books.

A script is one act a line, numbered from 1; the number is the act's place in the shared sequence.
'ann slip deterrimus' lays a slip, 'bea confirm 1 at genus' a verdict on the slip of line 1,
'bea dispute 1 for 2', 'bea ask 1', 'bea open 1 at genus', 'bea withdraw 2', 'bea reopen'.
"""

from __future__ import annotations

from dataclasses import dataclass

from society.science.standing import FindFacts, SlipFacts, VerdictFacts, VerdictKind

PEOPLE = {
    name: number
    for number, name in enumerate(
        ["ann", "abe", "rita", "max", "bea", "carl", "dora", "ewan", "olga", "old"], start=101
    )
}
IN_SCOPE = {"rita", "bea", "carl", "dora", "ewan"}
TAXA = {
    # word: (taxon id, key, rank, qualifier, names above)
    "deterrimus": (11, "lactarius deterrimus", "species", None, "sect"),
    "deliciosus": (12, "lactarius deliciosus", "species", None, "sect"),
    "salmonicolor": (13, "lactarius salmonicolor", "species", None, "sect"),
    "torminosus": (14, "lactarius torminosus", "species", None, ""),
    "emetica": (15, "russula emetica", "species", None, ""),
    "cf.deterrimus": (11, "lactarius deterrimus cf.", "species", "cf.", ""),
    "deliciosi": (16, "lactarius sect deliciosi", "section", None, ""),
    "lactarius": (17, "lactarius", "genus", None, ""),
    "lactarius-sp.": (17, "lactarius sp.", "genus", "sp.", ""),
    "unlisted": (None, "lactarius nusquamensis", "species", None, ""),
}
KINDS: dict[str, VerdictKind] = {
    "confirm": "confirm",
    "dispute": "dispute",
    "ask": "ask",
    "open": "leave_open",
    "withdraw": "withdraw",
    "reopen": "reopen",
}


@dataclass(frozen=True)
class Case:
    """One row: what happened, and what must stand."""

    title: str
    script: str
    code: str
    slip: int | None
    rank: str | None = "species"
    by: str = ""
    because: str = ""
    finders: str = "ann"
    books: bool = False
    two: bool = False


def read_script(script: str, *, books: bool = False) -> tuple[list[SlipFacts], list[VerdictFacts]]:
    """Slips and verdicts of a script; a slip's or verdict's id is its line number."""
    slips: list[SlipFacts] = []
    verdicts: list[VerdictFacts] = []
    for number, line in enumerate((part.strip() for part in script.split(";")), start=1):
        who, what, *rest = line.split()
        if what == "slip":
            slips.append(make_slip(number, who, rest[0]))
            continue
        words = dict(zip(rest[1::2], rest[2::2], strict=True))
        target = int(rest[0]) if rest else None
        lifts_slip = what == "withdraw" and target in {slip.id for slip in slips}
        verdicts.append(
            VerdictFacts(
                id=number,
                order=number,
                kind=KINDS[what],
                slip_id=target if what != "withdraw" or lifts_slip else None,
                by=PEOPLE[who],
                in_scope=who in IN_SCOPE,
                at_rank=words.get("at"),
                other_slip_id=int(words["for"]) if "for" in words else None,
                withdraws=target if what == "withdraw" and not lifts_slip else None,
            )
        )
    return slips, verdicts


def make_slip(number: int, who: str, word: str) -> SlipFacts:
    taxon_id, key, rank, qualifier, above = TAXA[word]
    return SlipFacts(
        id=number,
        order=number,
        taxon_id=taxon_id,
        name_key=key,
        rank=rank,
        qualifier=qualifier,
        by=PEOPLE[who],
        by_scope=who in IN_SCOPE,
        basis_from_books=who == "old",
        above=(("section", "lactarius sect deliciosi"),) if above else (),
    )


def make_find(case: Case) -> FindFacts:
    return FindFacts(
        finder_ids=frozenset(PEOPLE[name] for name in case.finders.split()),
        from_books=case.books,
        needs_two=case.two,
    )


CASES = [
    # --- nothing settled -------------------------------------------------------------------
    Case("no slip at all", "max ask", "unconfirmed", None, None, because="no_slip"),
    Case("the finder's name alone", "ann slip deterrimus", "unconfirmed", 1, because="no_verdict"),
    Case(
        "the finder's latest slip heads the find",
        "ann slip deterrimus; ann slip deliciosus; max slip torminosus",
        "unconfirmed",
        2,
    ),
    Case("a member names what the finder did not", "max slip emetica", "unconfirmed", 1),
    Case(
        "a member's slip settles nothing",
        "ann slip deterrimus; max slip deterrimus",
        "unconfirmed",
        1,
    ),
    Case(
        "evidence asked for",
        "ann slip deterrimus; bea ask 1",
        "unconfirmed",
        1,
        because="evidence_asked_for",
    ),
    Case("a slip with cf. waits too", "ann slip cf.deterrimus", "unconfirmed", 1),
    Case(
        "two finders who differ",
        "ann slip deterrimus; abe slip deliciosus",
        "unconfirmed",
        2,
        because="finders_differ no_verdict",
        finders="ann abe",
    ),
    # --- confirmed -------------------------------------------------------------------------
    Case(
        "a referee confirms",
        "ann slip deterrimus; bea confirm 1",
        "confirmed",
        1,
        by="bea",
        because="confirmed_by_a_referee",
    ),
    Case(
        "confirmed at the rank and qualifier of the slip",
        "ann slip cf.deterrimus; bea confirm 1",
        "confirmed",
        1,
        by="bea",
    ),
    Case(
        "confirmed as far as the genus",
        "ann slip deterrimus; bea confirm 1 at genus",
        "confirmed",
        1,
        "genus",
        "bea",
        "confirmed_short_of_the_slip",
    ),
    Case(
        "confirmed as far as the section",
        "ann slip deterrimus; bea confirm 1 at section",
        "confirmed",
        1,
        "section",
        "bea",
    ),
    Case(
        "a genus slip is never confirmed further than it goes",
        "ann slip lactarius; bea confirm 1 at species",
        "confirmed",
        1,
        "genus",
        "bea",
    ),
    Case(
        "a member's slip can be the one confirmed",
        "ann slip deterrimus; max slip deliciosus; bea confirm 2",
        "confirmed",
        2,
        by="bea",
    ),
    Case(
        "a referee's own slip counts as a verdict",
        "ann slip deterrimus; bea slip deliciosus",
        "confirmed",
        2,
        by="bea",
        because="redetermined_by_a_referee",
    ),
    Case(
        "a name not in the checklist can be confirmed",
        "ann slip unlisted; bea confirm 1",
        "confirmed",
        1,
        by="bea",
    ),
    Case(
        "two referees agree through two slips of one name",
        "ann slip deterrimus; max slip deterrimus; bea confirm 1; carl confirm 2",
        "confirmed",
        2,
        by="bea carl",
        because="confirmed_by_several",
    ),
    Case(
        "a referee who changes their mind has one opinion",
        "ann slip deterrimus; bea confirm 1; bea slip deliciosus",
        "confirmed",
        3,
        by="bea",
    ),
    Case(
        "confirmed, then evidence asked for: stays, flagged",
        "ann slip deterrimus; bea confirm 1; carl ask 1",
        "confirmed",
        1,
        by="bea",
        because="evidence_asked_for",
    ),
    Case(
        "asked, answered, confirmed by the asker",
        "ann slip deterrimus; bea ask 1; bea confirm 1",
        "confirmed",
        1,
        by="bea",
    ),
    Case(
        "the finder's new slip stands beside a confirmation",
        "ann slip deterrimus; bea confirm 1; ann slip deliciosus",
        "confirmed",
        1,
        by="bea",
        because="finder_slip_after_confirmation",
    ),
    Case(
        "the finder comes round after a redetermination",
        "ann slip deterrimus; bea slip deliciosus; ann slip deliciosus",
        "confirmed",
        2,
        by="bea",
        because="finder_slip_after_confirmation finder_slip_agrees",
    ),
    Case(
        "genus first, then species: the latest goes further",
        "ann slip deterrimus; bea confirm 1 at genus; carl confirm 1",
        "confirmed",
        1,
        by="carl",
    ),
    Case(
        "species first, then only genus: the latest limits it",
        "ann slip deterrimus; bea confirm 1; carl confirm 1 at genus",
        "confirmed",
        1,
        "genus",
        "bea carl",
    ),
    Case(
        "genus of one slip and species of another agree",
        "ann slip deterrimus; bea confirm 1 at genus; carl slip deliciosus",
        "confirmed",
        3,
        by="carl",
    ),
    Case(
        "a section slip and a species within it agree",
        "ann slip deliciosi; bea confirm 1; carl slip salmonicolor",
        "confirmed",
        3,
        by="carl",
    ),
    Case(
        "'Lactarius sp.' says as much as 'Lactarius'",
        "ann slip lactarius-sp.; bea confirm 1; carl slip lactarius",
        "confirmed",
        3,
        "genus",
        "bea carl",
    ),
    # --- what does not count ---------------------------------------------------------------
    Case(
        "out of scope counts nothing",
        "ann slip deterrimus; olga confirm 1",
        "unconfirmed",
        1,
        because="verdict_not_in_scope_ignored no_verdict",
    ),
    Case(
        "a dispute out of scope does not shake a confirmation",
        "ann slip deterrimus; bea confirm 1; olga dispute 1",
        "confirmed",
        1,
        by="bea",
        because="verdict_not_in_scope_ignored",
    ),
    Case(
        "a slip out of scope does not shake a confirmation",
        "ann slip deterrimus; bea confirm 1; olga slip emetica",
        "confirmed",
        1,
        by="bea",
    ),
    Case(
        "nobody confirms their own find",
        "ann slip deterrimus; rita confirm 1",
        "unconfirmed",
        1,
        because="own_find_verdict_ignored",
        finders="ann rita",
    ),
    Case(
        "a finder cannot leave open or dispute what a referee confirmed",
        "rita slip deterrimus; bea confirm 1; rita dispute 1; rita open 1",
        "confirmed",
        1,
        by="bea",
        because="own_find_verdict_ignored",
        finders="rita",
    ),
    # --- withdrawn -------------------------------------------------------------------------
    Case(
        "a withdrawn confirmation was never laid",
        "ann slip deterrimus; bea confirm 1; bea withdraw 2",
        "unconfirmed",
        1,
        because="no_verdict",
    ),
    Case(
        "withdrawing the withdrawal brings it back",
        "ann slip deterrimus; bea confirm 1; bea withdraw 2; bea withdraw 3",
        "confirmed",
        1,
        by="bea",
    ),
    Case(
        "nobody withdraws another's verdict",
        "ann slip deterrimus; bea confirm 1; carl withdraw 2",
        "confirmed",
        1,
        by="bea",
        because="withdrawal_by_another_ignored",
    ),
    Case(
        "withdrawing the later opinion leaves the earlier",
        "ann slip deterrimus; bea confirm 1; bea dispute 1; bea withdraw 3",
        "confirmed",
        1,
        by="bea",
    ),
    Case(
        "a referee takes back the force of their own slip",
        "ann slip deterrimus; bea slip deliciosus; bea withdraw 2",
        "unconfirmed",
        1,
    ),
    # --- disputed --------------------------------------------------------------------------
    Case(
        "a referee objects to the finder's name",
        "ann slip deterrimus; bea dispute 1",
        "disputed",
        1,
        by="bea",
        because="referee_objects",
    ),
    Case(
        "an objection with another name is still only an objection",
        "ann slip deterrimus; bea slip deliciosus; bea dispute 1 for 2",
        "disputed",
        1,
        by="bea",
    ),
    Case(
        "two referees confirm different names",
        "ann slip deterrimus; max slip deliciosus; bea confirm 1; carl confirm 2",
        "disputed",
        1,
        by="bea carl",
        because="referees_differ",
    ),
    Case(
        "with and without cf. are different names",
        "ann slip deterrimus; max slip cf.deterrimus; bea confirm 1; carl confirm 2",
        "disputed",
        1,
        by="bea carl",
    ),
    Case(
        "an objection to a confirmed name",
        "ann slip deterrimus; bea confirm 1; carl dispute 1",
        "disputed",
        1,
        by="bea carl",
        because="referee_objects",
    ),
    Case(
        "a second referee confirming what one disputes leaves it disputed",
        "ann slip deterrimus; bea dispute 1; carl confirm 1",
        "disputed",
        1,
        by="bea carl",
    ),
    Case(
        "objecting to the species does not touch the genus",
        "ann slip deterrimus; bea dispute 1; carl confirm 1 at genus",
        "confirmed",
        1,
        "genus",
        "carl",
    ),
    Case(
        "a third objecting to what two confirmed",
        "ann slip deterrimus; bea confirm 1; carl confirm 1; dora dispute 1",
        "disputed",
        1,
        by="bea carl dora",
    ),
    Case(
        "three referees, three names",
        "ann slip deterrimus; bea slip deliciosus; carl slip salmonicolor; dora confirm 1",
        "disputed",
        2,
        by="bea carl dora",
    ),
    Case(
        "a party saying the same again settles nothing",
        "ann slip deterrimus; bea confirm 1; carl confirm 1; dora slip deliciosus; bea confirm 1",
        "disputed",
        1,
        by="bea carl dora",
    ),
    Case(
        "the finder gives another name: the objection is met, a referee still settles",
        "ann slip deterrimus; bea dispute 1; ann slip deliciosus",
        "unconfirmed",
        3,
        because="objection_met",
    ),
    Case(
        "the finder's new name does not settle a dispute between referees",
        "ann slip deterrimus; bea confirm 1; carl slip deliciosus; ann slip deliciosus",
        "disputed",
        1,
        by="bea carl",
    ),
    # --- settled ---------------------------------------------------------------------------
    Case(
        "one of the two comes round",
        "ann slip deterrimus; bea confirm 1; carl slip deliciosus; bea confirm 3",
        "confirmed",
        3,
        by="bea carl",
    ),
    Case(
        "the objector comes round",
        "ann slip deterrimus; bea confirm 1; carl dispute 1; carl confirm 1",
        "confirmed",
        1,
        by="bea carl",
    ),
    Case(
        "the objector withdraws",
        "ann slip deterrimus; bea confirm 1; carl dispute 1; carl withdraw 3",
        "confirmed",
        1,
        by="bea",
    ),
    Case(
        "a third settles between two names",
        "ann slip deterrimus; bea confirm 1; carl slip deliciosus; dora confirm 3",
        "confirmed",
        3,
        by="carl dora",
        because="settled_after_dispute",
    ),
    Case(
        "a third settles against an objection",
        "ann slip deterrimus; bea confirm 1; carl dispute 1; dora confirm 1",
        "confirmed",
        1,
        by="bea dora",
        because="settled_after_dispute",
    ),
    Case(
        "the name proposed with an objection is confirmed by another",
        "ann slip deterrimus; max slip deliciosus; bea dispute 1 for 2; carl confirm 2",
        "confirmed",
        2,
        by="bea carl",
    ),
    Case(
        "a third confirms what two species share",
        "ann slip deterrimus; bea confirm 1; carl slip deliciosus; dora confirm 1 at genus",
        "confirmed",
        1,
        "genus",
        "bea carl dora",
    ),
    Case(
        "a genus confirmed before the species were disputed does not settle them",
        "ann slip deterrimus; dora confirm 1 at genus; bea confirm 1; carl slip deliciosus",
        "disputed",
        1,
        by="bea carl",
    ),
    Case(
        "two against two is no settlement; a fifth voice is",
        "ann slip deterrimus; bea confirm 1; carl confirm 1; dora slip deliciosus; ewan confirm 4",
        "disputed",
        1,
        by="bea carl dora ewan",
    ),
    # --- names that need two ---------------------------------------------------------------
    Case(
        "one of two needed",
        "ann slip deterrimus; bea confirm 1",
        "unconfirmed",
        1,
        by="bea",
        because="one_referee_agrees",
        two=True,
    ),
    Case(
        "both of two needed",
        "ann slip deterrimus; bea confirm 1; carl confirm 1",
        "confirmed",
        1,
        by="bea carl",
        two=True,
    ),
    Case(
        "one referee twice is not two",
        "ann slip deterrimus; bea confirm 1; bea confirm 1",
        "unconfirmed",
        1,
        by="bea",
        because="one_referee_agrees",
        two=True,
    ),
    Case(
        "two needed: species by one, genus by two",
        "ann slip deterrimus; bea confirm 1 at genus; carl confirm 1",
        "confirmed",
        1,
        "genus",
        "bea carl",
        two=True,
    ),
    Case(
        "two needed and two names",
        "ann slip deterrimus; bea confirm 1; carl slip deliciosus",
        "disputed",
        1,
        by="bea carl",
        two=True,
    ),
    Case(
        "an out-of-scope second is no second",
        "ann slip deterrimus; bea confirm 1; olga confirm 1",
        "unconfirmed",
        1,
        by="bea",
        because="verdict_not_in_scope_ignored one_referee_agrees",
        two=True,
    ),
    # --- determined by its referee ---------------------------------------------------------
    Case(
        "the finder is the referee for it",
        "rita slip deterrimus",
        "determined_by_its_referee",
        1,
        by="rita",
        finders="rita",
    ),
    Case(
        "one of several finders is",
        "ann slip deterrimus; rita slip deterrimus",
        "determined_by_its_referee",
        2,
        by="rita",
        finders="ann rita",
    ),
    Case(
        "not while another finder gives another name",
        "rita slip deterrimus; ann slip deliciosus",
        "unconfirmed",
        2,
        because="finders_differ no_verdict",
        finders="ann rita",
    ),
    Case(
        "a member's other name does not end it",
        "rita slip deterrimus; max slip deliciosus",
        "determined_by_its_referee",
        1,
        by="rita",
        finders="rita",
    ),
    Case(
        "another referee's question ends it",
        "rita slip deterrimus; bea ask 1",
        "unconfirmed",
        1,
        because="evidence_asked_for",
        finders="rita",
    ),
    Case(
        "another referee's objection ends it",
        "rita slip deterrimus; bea dispute 1",
        "disputed",
        1,
        by="bea",
        finders="rita",
    ),
    Case(
        "another referee agrees",
        "rita slip deterrimus; bea confirm 1",
        "confirmed",
        1,
        by="bea",
        finders="rita",
    ),
    Case(
        "another referee knows better",
        "rita slip deterrimus; bea slip deliciosus",
        "confirmed",
        2,
        by="bea",
        finders="rita",
    ),
    Case(
        "two needed: it stands, and says so",
        "rita slip deterrimus",
        "determined_by_its_referee",
        1,
        by="rita",
        because="needs_second_referee",
        finders="rita",
        two=True,
    ),
    Case(
        "two needed and one agrees: nothing is taken away",
        "rita slip deterrimus; bea confirm 1",
        "determined_by_its_referee",
        1,
        by="rita bea",
        because="one_referee_agrees",
        finders="rita",
        two=True,
    ),
    Case(
        "a question out of scope does not end it",
        "rita slip deterrimus; olga ask 1",
        "determined_by_its_referee",
        1,
        by="rita",
        because="verdict_not_in_scope_ignored",
        finders="rita",
    ),
    Case(
        "answering an objection with a new own slip leaves it to the other",
        "rita slip deterrimus; bea dispute 1; rita slip deliciosus",
        "unconfirmed",
        3,
        because="objection_met",
        finders="rita",
    ),
    # --- left open -------------------------------------------------------------------------
    Case(
        "what was kept cannot settle it",
        "ann slip deterrimus; bea open 1",
        "left_open",
        1,
        None,
        "bea",
        "referee_leaves_open",
    ),
    Case(
        "left open, the genus holds",
        "ann slip deterrimus; bea open 1 at genus",
        "left_open",
        1,
        "genus",
        "bea",
    ),
    Case(
        "the genus was confirmed, then the species left open",
        "ann slip deterrimus; bea confirm 1 at genus; carl open 1",
        "left_open",
        1,
        "genus",
        "bea carl",
    ),
    Case(
        "a third leaves a dispute open",
        "ann slip deterrimus; bea confirm 1; carl slip deliciosus; dora open",
        "left_open",
        1,
        None,
        "dora",
    ),
    Case(
        "leaving open what another confirmed is a dispute",
        "ann slip deterrimus; bea confirm 1; carl open 1",
        "disputed",
        1,
        by="bea carl",
        because="referee_leaves_open",
    ),
    Case(
        "named after it was left open",
        "ann slip deterrimus; bea open 1; carl confirm 1",
        "confirmed",
        1,
        by="carl",
    ),
    Case(
        "left open, then reopened by a referee",
        "ann slip deterrimus; bea open 1; carl reopen",
        "unconfirmed",
        1,
        because="reopened",
    ),
    Case(
        "a finder cannot reopen what was left open",
        "rita slip deterrimus; bea open 1; rita reopen; rita slip deterrimus",
        "left_open",
        1,
        None,
        "bea",
        "own_find_verdict_ignored",
        finders="rita",
    ),
    Case(
        "reopening does not un-confirm",
        "ann slip deterrimus; bea confirm 1; carl reopen",
        "confirmed",
        1,
        by="bea",
    ),
    # --- from the books --------------------------------------------------------------------
    Case(
        "taken over from old records", "old slip emetica", "from_the_books", 1, by="old", books=True
    ),
    Case(
        "acts on an old record wait for its reopening",
        "old slip emetica; bea confirm 1",
        "from_the_books",
        1,
        by="old",
        because="acts_wait_for_reopening",
        books=True,
    ),
    Case(
        "reopened and not yet settled",
        "old slip emetica; bea reopen",
        "unconfirmed",
        1,
        because="reopened",
        books=True,
    ),
    Case(
        "reopened and confirmed",
        "old slip emetica; bea reopen; bea confirm 1",
        "confirmed",
        1,
        by="bea",
        books=True,
    ),
    Case(
        "the reopening withdrawn",
        "old slip emetica; bea reopen; bea dispute 1; bea withdraw 2",
        "from_the_books",
        1,
        by="old",
        because="acts_wait_for_reopening",
        books=True,
    ),
    Case(
        "a reopening out of scope does nothing",
        "old slip emetica; olga reopen",
        "from_the_books",
        1,
        by="old",
        because="verdict_not_in_scope_ignored",
        books=True,
    ),
    Case(
        "a copied slip heads the reopened find before the finder's field name",
        "ann slip torminosus; old slip emetica; bea reopen",
        "unconfirmed",
        2,
        books=True,
    ),
]
