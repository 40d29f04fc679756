"""What stands for a find: one pure function over its slips and verdicts.

The rule, in plain words (the page says it again from the codes given back)

1.  An act counts only when its author was a referee in scope and is not a finder of this find.
    Acts out of scope, and a finder's acts on the find itself, stay on the page and count nothing.
    What was withdrawn by its own author counts as never laid; withdrawing a withdrawal brings
    the act back.
2.  Each referee holds one opinion: what they said last. Confirming a slip, or laying a slip of
    one's own on another's find, stands *for* that name, as far as the evidence was said to go
    (species, aggregate, section, genus). Disputing a slip stands *against* its name, and for
    another only where one was given. Leaving open says that what was kept cannot settle it.
    Saying the same again changes nothing. Asking for evidence is no opinion.
3.  A name **stands confirmed** when a referee is for it and none is against it: for another
    name, or objecting to it. A wider name does not conflict with a narrower one within it:
    'genus Lactarius' and 'Lactarius deterrimus' agree as far as the genus. Where referees go
    to different lengths the latest decides how far; a find that needs two takes what two hold.
4.  Where referees differ the find is **disputed**. It is settled by one of them coming round
    (or withdrawing), or by a third in scope, coming after the others, whose side then has more
    referees than stand against it. A dispute by one referee of the name its finder gives is a
    dispute too, until the finder gives another name or a referee settles it.
5.  With `needs_two` one referee's confirmation waits: unconfirmed, 'one_referee_agrees'.
6.  A finder who is the referee for the name has it **determined by its referee** as long as no
    other referee has acted. A second referee who asks, disputes, leaves open or reopens ends
    that; one who agrees confirms it, or, where two are needed, leaves it standing as it is.
7.  **Left open** stands where a referee left it open and none has named it since; at the rank
    given with the act, else at the wider rank already confirmed, else at none. It also settles
    a dispute that began without its author. One referee leaving open what another has
    confirmed as a species makes a dispute.
8.  A find **from the books** stands as such until a referee in scope reopens it; acts on its
    name wait for that. A slip copied from the books is nobody's verdict. Reopening also lifts
    an earlier 'left open'; it never un-confirms.
9.  A finder's new slip after confirmation stands beside it, flagged; the find stays confirmed.
10. Otherwise the find is **unconfirmed**, under the finder's latest slip (else the latest).

Source: the society's own rule; that a referee settles and a slip is never removed is common
practice in herbaria and fungaria.

Worked example. Ann finds and lays slip 1, *Lactarius deterrimus* (order 1). Bea, referee for
*Lactarius*, confirms slip 1 (order 2): confirmed, by Bea. Carl, referee too, lays slip 2,
*L. deliciosus* (order 3): disputed, by Bea and Carl. Bea confirms slip 2 (order 4): she has come
round, so it is confirmed as *L. deliciosus* by both. Carl withdraws nothing, Ann lays slip 3
(order 5): still confirmed, with 'finder_slip_after_confirmation'.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Literal

type_kind = Literal["confirm", "dispute", "ask", "leave_open", "withdraw", "reopen"]
VerdictKind = type_kind
Code = Literal[
    "unconfirmed",
    "confirmed",
    "determined_by_its_referee",
    "from_the_books",
    "disputed",
    "left_open",
]

CODES: Final[tuple[Code, ...]] = (
    "unconfirmed",
    "confirmed",
    "determined_by_its_referee",
    "from_the_books",
    "disputed",
    "left_open",
)
KINDS: Final[tuple[VerdictKind, ...]] = (
    "confirm",
    "dispute",
    "ask",
    "leave_open",
    "withdraw",
    "reopen",
)
# Every reason a standing may carry, in the order in which they are given back.
REASONS: Final[tuple[str, ...]] = (
    "no_slip",
    "no_verdict",
    "one_referee_agrees",
    "confirmed_by_a_referee",
    "redetermined_by_a_referee",
    "confirmed_by_several",
    "settled_after_dispute",
    "confirmed_short_of_the_slip",
    "referees_differ",
    "referee_objects",
    "referee_leaves_open",
    "objection_met",
    "finders_differ",
    "needs_second_referee",
    "evidence_asked_for",
    "reopened",
    "acts_wait_for_reopening",
    "finder_slip_after_confirmation",
    "finder_slip_agrees",
    "own_find_verdict_ignored",
    "verdict_not_in_scope_ignored",
    "withdrawal_by_another_ignored",
)
# From narrow to wide. A rank not listed is read as a species.
RANKS: Final[tuple[str, ...]] = (
    "form",
    "variety",
    "subspecies",
    "species",
    "aggregate",
    "series",
    "subsection",
    "section",
    "subgenus",
    "genus",
    "family",
    "order",
    "class",
    "phylum",
    "kingdom",
)
_WIDTH: Final = {rank: width for width, rank in enumerate(RANKS)}


@dataclass(frozen=True)
class SlipFacts:
    """A determination slip as the rule needs it.

    `order` is one increasing sequence shared with the verdicts. `name_key` is the folded accepted
    name with its qualifier: two slips agree when their keys are equal. `by_scope`: its layer was a
    referee in scope for this name. `above` may give (rank, name_key) of the aggregate, section and
    genus it stands under; without it the genus is read from the key's first word, and an
    aggregate or section confirmed through one slip is not known to be that of another.
    """

    id: int
    order: int
    taxon_id: int | None
    name_key: str
    rank: str
    qualifier: str | None
    by: int
    by_scope: bool
    basis_from_books: bool = False
    above: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class VerdictFacts:
    """A verdict as the rule needs it; `in_scope` as stored when it was laid.

    `withdraws` is the id of the author's own earlier verdict. A 'withdraw' with a `slip_id` and no
    `withdraws` takes back the force as a verdict of the author's own slip; the slip stays.
    """

    id: int
    order: int
    kind: VerdictKind
    slip_id: int | None
    by: int
    in_scope: bool
    at_rank: str | None = None
    other_slip_id: int | None = None
    withdraws: int | None = None


@dataclass(frozen=True)
class FindFacts:
    """The find: who found it, whether it was taken over from old records, and if it needs two."""

    finder_ids: frozenset[int]
    from_books: bool = False
    needs_two: bool = False


@dataclass(frozen=True)
class Standing:
    """What stands, and why.

    `taxon_id` is the slip's own row: where `rank` is wider than the slip's, the caller climbs to
    the taxon of that rank. `by` are the people whose acts carry it, ascending. `rank` is None
    where no rank holds.
    """

    code: Code
    slip_id: int | None
    taxon_id: int | None
    rank: str | None
    by: tuple[int, ...]
    reason_codes: tuple[str, ...]


@dataclass(frozen=True)
class _Name:
    """A name held or objected to: its key at its rank, and every wider key it lies within."""

    key: str
    rank: str
    lineage: frozenset[str]
    slip: SlipFacts


@dataclass(frozen=True)
class _Opinion:
    """One referee's opinion. `since`: when they came to it; `last`: when they last said so."""

    by: int
    since: int
    last: int
    pro: _Name | None = None
    contra: _Name | None = None
    leaves_open: bool = False
    own_slip: bool = False
    about: SlipFacts | None = None
    at_rank: str | None = None

    @property
    def firm(self) -> bool:
        """A confirmation or a slip of one's own, not the proposal that goes with an objection."""
        return self.pro is not None and self.contra is None

    def same_as(self, other: _Opinion) -> bool:
        """Whether it says the same, whenever said and through whichever slip."""
        return (
            (self.pro and self.pro.key) == (other.pro and other.pro.key)
            and (self.contra and self.contra.key) == (other.contra and other.contra.key)
            and (self.leaves_open, self.at_rank if self.leaves_open else None)
            == (other.leaves_open, other.at_rank if other.leaves_open else None)
        )


@dataclass(frozen=True)
class _Case:
    """The find with what is left after rule 1: acts that count, and what was passed over."""

    find: FindFacts
    slips: tuple[SlipFacts, ...]
    by_id: dict[int, SlipFacts]
    acts: tuple[VerdictFacts, ...]
    void_slips: frozenset[int]
    reasons: frozenset[str]

    @property
    def heading(self) -> SlipFacts | None:
        """The slip that heads the find while nothing is settled."""
        own = [slip for slip in self.slips if slip.by in self.find.finder_ids]
        return (own or list(self.slips) or [None])[-1]

    @property
    def reopened(self) -> int:
        """The order of the last reopening that counts; -1 where there is none."""
        return max((act.order for act in self.acts if act.kind == "reopen"), default=-1)


def what_stands(
    find: FindFacts, slips: Iterable[SlipFacts], verdicts: Iterable[VerdictFacts]
) -> Standing:
    """Say what stands for a find. The order in which slips and verdicts are handed in is nothing.

    Raises ValueError where two acts share an `order`, or a verdict names a slip not given or, for
    'confirm' and 'dispute', none.
    """
    case = _sift(find, slips, verdicts)
    if find.from_books and case.reopened < 0:
        return _from_the_books(case)
    opinions = _opinions(case)
    firm = [opinion for opinion in opinions if opinion.firm]
    latest_firm = max((opinion.since for opinion in firm), default=-1)
    opens = [o for o in opinions if o.leaves_open and o.since > latest_firm]
    if firm:
        return _among_referees(case, opinions, firm, opens)
    if opens:
        return _left_open(case, opens, None)
    return _unsettled(case, opinions)


# --- rule 1: which acts count ------------------------------------------------------------------


def _sift(
    find: FindFacts, slips: Iterable[SlipFacts], verdicts: Iterable[VerdictFacts]
) -> _Case:
    laid = tuple(sorted(slips, key=lambda slip: slip.order))
    said = tuple(sorted(verdicts, key=lambda verdict: verdict.order))
    by_id = {slip.id: slip for slip in laid}
    _refuse_nonsense(laid, said, by_id)
    standing, void_slips, reasons = _after_withdrawals(said, by_id)
    acts = []
    for verdict in standing:
        if not verdict.in_scope:
            reasons.add("verdict_not_in_scope_ignored")
        # A finder may have an old record of their own looked at again: that confirms nothing.
        elif verdict.by in find.finder_ids and verdict.kind != "reopen":
            reasons.add("own_find_verdict_ignored")
        else:
            acts.append(verdict)
    return _Case(find, laid, by_id, tuple(acts), frozenset(void_slips), frozenset(reasons))


def _refuse_nonsense(
    slips: Sequence[SlipFacts], verdicts: Sequence[VerdictFacts], by_id: dict[int, SlipFacts]
) -> None:
    orders = [slip.order for slip in slips] + [verdict.order for verdict in verdicts]
    if len(set(orders)) != len(orders):
        raise ValueError("two acts share an order")
    for verdict in verdicts:
        for slip_id in (verdict.slip_id, verdict.other_slip_id):
            if slip_id is not None and slip_id not in by_id:
                raise ValueError(f"verdict {verdict.id} names slip {slip_id}, which is not given")
        if verdict.kind in ("confirm", "dispute") and verdict.slip_id is None:
            raise ValueError(f"verdict {verdict.id} ({verdict.kind}) names no slip")


def _after_withdrawals(
    verdicts: Sequence[VerdictFacts], by_id: dict[int, SlipFacts]
) -> tuple[list[VerdictFacts], set[int], set[str]]:
    """What is left of the verdicts, which slips lost their force, and what was passed over.

    Read from the latest to the earliest, so that a withdrawal already withdrawn does nothing.
    """
    authors = {verdict.id: verdict.by for verdict in verdicts}
    void: set[int] = set()
    void_slips: set[int] = set()
    reasons: set[str] = set()
    standing: list[VerdictFacts] = []
    for verdict in reversed(verdicts):
        if verdict.id in void:
            continue
        if verdict.kind != "withdraw":
            standing.append(verdict)
        elif verdict.withdraws is not None:
            if authors.get(verdict.withdraws) == verdict.by:
                void.add(verdict.withdraws)
            else:
                reasons.add("withdrawal_by_another_ignored")
        elif verdict.slip_id is not None:
            slip = by_id[verdict.slip_id]
            if slip.by != verdict.by:
                reasons.add("withdrawal_by_another_ignored")
            elif slip.order < verdict.order:
                void_slips.add(slip.id)
    standing.reverse()
    return standing, void_slips, reasons


# --- rule 2: each referee's opinion ------------------------------------------------------------


def _width(rank: str | None) -> int:
    return _WIDTH.get(rank or "species", _WIDTH["species"])


def _name(slip: SlipFacts, at_rank: str | None = None) -> _Name:
    """The slip's name as far as `at_rank`; never narrower than the slip itself."""
    known = dict(slip.above)
    known.setdefault("genus", slip.name_key.split(" ", 1)[0])
    own = _width(slip.rank)

    def at(rank: str) -> str:
        return known.get(rank) or f"{slip.name_key} @{rank}"

    wider = [rank for rank in RANKS[own + 1 :] if rank in known or _width(rank) <= _width("genus")]
    if at_rank is None or _width(at_rank) <= own:
        return _Name(slip.name_key, slip.rank, frozenset([slip.name_key, *map(at, wider)]), slip)
    lineage = [at(rank) for rank in wider if _width(rank) >= _width(at_rank)]
    return _Name(at(at_rank), at_rank, frozenset([at(at_rank), *lineage]), slip)


def _opinions(case: _Case) -> list[_Opinion]:
    """One opinion for each referee who has one, by the order in which they came to it."""
    proposals = {
        (act.by, act.other_slip_id) for act in case.acts if act.kind == "dispute"
    }
    said: list[tuple[int, _Opinion]] = []
    for slip in case.slips:
        counts = slip.by_scope and not slip.basis_from_books and slip.id not in case.void_slips
        if counts and slip.by not in case.find.finder_ids and (slip.by, slip.id) not in proposals:
            name = _name(slip)
            said.append((slip.order, _Opinion(slip.by, slip.order, slip.order, name, own_slip=True)))
    for act in case.acts:
        opinion = _opinion_of(act, case.by_id)
        if opinion is not None:
            said.append((act.order, opinion))
    held: dict[int, _Opinion] = {}
    for order, opinion in sorted(said, key=lambda pair: pair[0]):
        before = held.get(opinion.by)
        since = before.since if before is not None and before.same_as(opinion) else order
        held[opinion.by] = _Opinion(**{**vars(opinion), "since": since, "last": order})
    kept = [o for o in held.values() if not (o.leaves_open and o.last < case.reopened)]
    return sorted(kept, key=lambda opinion: opinion.since)


def _opinion_of(act: VerdictFacts, by_id: dict[int, SlipFacts]) -> _Opinion | None:
    slip = None if act.slip_id is None else by_id[act.slip_id]
    if act.kind == "confirm" and slip is not None:
        return _Opinion(act.by, act.order, act.order, pro=_name(slip, act.at_rank))
    if act.kind == "dispute" and slip is not None:
        other = None if act.other_slip_id is None else _name(by_id[act.other_slip_id])
        return _Opinion(act.by, act.order, act.order, pro=other, contra=_name(slip))
    if act.kind == "leave_open":
        return _Opinion(
            act.by, act.order, act.order, leaves_open=True, about=slip, at_rank=act.at_rank
        )
    return None


def _asked(case: _Case, opinions: Sequence[_Opinion]) -> bool:
    """Whether a referee waits for evidence: asked, and has not given an opinion since."""
    last = {opinion.by: opinion.last for opinion in opinions}
    return any(act.kind == "ask" and act.order > last.get(act.by, -1) for act in case.acts)


# --- rules 3 to 5: among referees ----------------------------------------------------------------


@dataclass(frozen=True)
class _Weighing:
    """A name that a referee stands for, with those for it and those against it."""

    name: _Name
    direct: tuple[_Opinion, ...]
    supporters: tuple[_Opinion, ...]
    opposers: tuple[_Opinion, ...]

    @property
    def settled_among_them(self) -> bool:
        """Nobody against it; or a later one made its side the larger."""
        if not self.opposers:
            return True
        return len(self.supporters) > len(self.opposers) and (
            _latest(self.supporters) > _latest(self.opposers)
        )


def _latest(opinions: Iterable[_Opinion]) -> int:
    return max((opinion.since for opinion in opinions), default=-1)


def _weigh(name: _Name, opinions: Sequence[_Opinion]) -> _Weighing:
    direct, supporters, opposers = [], [], []
    for opinion in opinions:
        pro, contra = opinion.pro, opinion.contra
        if contra is not None and contra.key in name.lineage:
            opposers.append(opinion)
        elif pro is not None and name.key in pro.lineage:
            supporters.append(opinion)
            if pro.key == name.key:
                direct.append(opinion)
        elif pro is not None and pro.key not in name.lineage:
            opposers.append(opinion)
    return _Weighing(name, tuple(direct), tuple(supporters), tuple(opposers))


def _stands(weighing: _Weighing, others: Sequence[_Weighing], need: int) -> bool:
    """Whether this name is settled, seen beside the narrower and wider ones that are held."""
    if len(weighing.supporters) < need or not weighing.settled_among_them:
        return False
    name = weighing.name
    narrower = [o for o in others if name.key in o.name.lineage and o.name.key != name.key]
    wider = [o for o in others if o.name.key in name.lineage and o.name.key != name.key]
    # A later referee who goes less far limits it (rule 3).
    if any(_latest(o.direct) > _latest(weighing.supporters) for o in wider):
        return False
    # Where narrower names are in dispute, the wider settles it only when said after they were.
    said = max((opinion.last for opinion in weighing.direct), default=-1)
    return all(
        o.settled_among_them or said > _latest((*o.supporters, *o.opposers)) for o in narrower
    )


def _among_referees(
    case: _Case,
    opinions: Sequence[_Opinion],
    firm: Sequence[_Opinion],
    opens: Sequence[_Opinion],
) -> Standing:
    names = {o.pro.key: o.pro for o in firm if o.pro is not None}  # the latest slip of each name
    weighings = [_weigh(name, opinions) for name in names.values()]
    standing = [w for w in weighings if _stands(w, weighings, 1)]
    if not standing:
        return _left_open(case, opens, None) if opens else _disputed(case, opinions, weighings)
    narrowest = min(standing, key=lambda w: (_width(w.name.rank), -_latest(w.direct)))
    if opens:
        return _opened_after(case, opinions, opens, narrowest)
    if not case.find.needs_two:
        return _confirmed(case, opinions, narrowest)
    by_two = [w for w in weighings if _stands(w, weighings, 2)]
    if by_two:
        return _confirmed(case, opinions, min(by_two, key=lambda w: _width(w.name.rank)))
    return _one_agrees(case, opinions, narrowest)


def _opened_after(
    case: _Case, opinions: Sequence[_Opinion], opens: Sequence[_Opinion], held: _Weighing
) -> Standing:
    """Rule 7: a referee left open, later, what others had settled among themselves."""
    at_rank = opens[-1].at_rank
    wide_enough = _width(held.name.rank) > _width("species") and (
        at_rank is None or _width(held.name.rank) >= _width(at_rank)
    )
    if wide_enough or len(opens) > len(held.supporters):
        return _left_open(case, opens, held if wide_enough else None)
    return _disputed(case, opinions, [held], opens)


def _confirmed(case: _Case, opinions: Sequence[_Opinion], held: _Weighing) -> Standing:
    slip = held.name.slip
    reasons = set(case.reasons)
    if len(held.supporters) > 1:
        reasons.add("confirmed_by_several")
    own = any(o.own_slip for o in held.supporters)
    reasons.add("redetermined_by_a_referee" if own else "confirmed_by_a_referee")
    if held.opposers:
        reasons.add("settled_after_dispute")
    if _width(held.name.rank) > _width(slip.rank):
        reasons.add("confirmed_short_of_the_slip")
    if _asked(case, opinions):
        reasons.add("evidence_asked_for")
    confirmed_at = max(opinion.last for opinion in held.supporters)
    later = [s for s in _finder_slips(case) if s.order > confirmed_at]
    if later:
        reasons.add("finder_slip_after_confirmation")
        if held.name.key in _name(later[-1]).lineage:
            reasons.add("finder_slip_agrees")
    by = {opinion.by for opinion in held.supporters}
    return _standing("confirmed", slip, held.name.rank, by, reasons)


def _one_agrees(case: _Case, opinions: Sequence[_Opinion], held: _Weighing) -> Standing:
    reasons = {*case.reasons, "one_referee_agrees"}
    asked = _asked(case, opinions)
    if asked:
        reasons.add("evidence_asked_for")
    own = _own_determination(case)
    # An agreeing second referee must not take away what stood before they agreed (rule 6).
    if own is not None and not asked and held.name.key == own.name_key:
        by = {own.by, *(opinion.by for opinion in held.supporters)}
        return _standing("determined_by_its_referee", own, own.rank, by, reasons)
    by = {opinion.by for opinion in held.supporters}
    return _standing("unconfirmed", held.name.slip, held.name.rank, by, reasons)


def _disputed(
    case: _Case,
    opinions: Sequence[_Opinion],
    weighings: Sequence[_Weighing],
    opens: Sequence[_Opinion] = (),
) -> Standing:
    """Disputed, under the name that a referee came to first."""
    first = min(weighings, key=lambda w: min(o.since for o in w.supporters))
    parties = {o.by for w in weighings for o in (*w.supporters, *w.opposers)}
    parties |= {opinion.by for opinion in opens}
    reasons = set(case.reasons)
    if opens:
        reasons.add("referee_leaves_open")
    elif any(o.contra is not None for w in weighings for o in w.opposers):
        reasons.add("referee_objects")
    if len(weighings) > 1:
        reasons.add("referees_differ")
    if _asked(case, opinions):
        reasons.add("evidence_asked_for")
    return _standing("disputed", first.name.slip, first.name.rank, parties, reasons)


# --- rules 6 to 10: where no referee stands for a name -------------------------------------------


def _finder_slips(case: _Case) -> list[SlipFacts]:
    return [slip for slip in case.slips if slip.by in case.find.finder_ids]


def _own_determination(case: _Case) -> SlipFacts | None:
    """The slip of a finder who is the referee for it, unless finders differ or it was withdrawn."""
    latest = {slip.by: slip for slip in _finder_slips(case)}
    scoped = [
        slip
        for slip in latest.values()
        if slip.by_scope and not slip.basis_from_books and slip.id not in case.void_slips
    ]
    if not scoped or _finders_differ(case):
        return None
    return max(scoped, key=lambda slip: slip.order)


def _finders_differ(case: _Case) -> bool:
    return len({slip.name_key for slip in {s.by: s for s in _finder_slips(case)}.values()}) > 1


def _from_the_books(case: _Case) -> Standing:
    reasons = set(case.reasons)
    named = {slip.id for slip in case.slips if slip.by_scope and not slip.basis_from_books}
    if any(act.kind != "ask" for act in case.acts) or named - case.void_slips:
        reasons.add("acts_wait_for_reopening")
    if any(act.kind == "ask" for act in case.acts):
        reasons.add("evidence_asked_for")
    copied = [slip for slip in case.slips if slip.basis_from_books]
    slip = copied[-1] if copied else case.heading
    by = set() if slip is None else {slip.by}
    return _standing("from_the_books", slip, slip and slip.rank, by, reasons)


def _left_open(case: _Case, opens: Sequence[_Opinion], held: _Weighing | None) -> Standing:
    """Left open by its latest such act, at the rank that holds."""
    act = opens[-1]
    reasons = {*case.reasons, "referee_leaves_open"}
    if _asked(case, opens):
        reasons.add("evidence_asked_for")
    by = {opinion.by for opinion in opens}
    slip = act.about or (held.name.slip if held else case.heading)
    if act.at_rank is not None and slip is not None:
        return _standing("left_open", slip, _name(slip, act.at_rank).rank, by, reasons)
    if held is not None:
        by |= {opinion.by for opinion in held.supporters}
        return _standing("left_open", held.name.slip, held.name.rank, by, reasons)
    found = _standing("left_open", slip, None, by, reasons)
    return Standing(found.code, found.slip_id, None, None, found.by, found.reason_codes)


def _unsettled(case: _Case, opinions: Sequence[_Opinion]) -> Standing:
    reasons = set(case.reasons)
    asked = _asked(case, opinions)
    if asked:
        reasons.add("evidence_asked_for")
    slip = case.heading
    if slip is None:
        return _standing("unconfirmed", None, None, set(), {*reasons, "no_slip"})
    objections = [o for o in opinions if o.contra is not None]
    held = _name(slip)
    against = {o.by for o in objections if o.contra and o.contra.key in held.lineage}
    if against:
        return _standing("disputed", slip, slip.rank, against, {*reasons, "referee_objects"})
    if objections:
        reasons.add("objection_met")
    own = _own_determination(case)
    if _finders_differ(case):
        reasons.add("finders_differ")
    reopened = case.reopened >= 0 and (own is None or case.reopened > own.order)
    if reopened:
        reasons.add("reopened")
    if own is not None and not (asked or objections or reopened):
        if case.find.needs_two:
            reasons.add("needs_second_referee")
        return _standing("determined_by_its_referee", own, own.rank, {own.by}, reasons)
    if not (asked or objections or reopened):
        reasons.add("no_verdict")
    return _standing("unconfirmed", slip, slip.rank, set(), reasons)


def _standing(
    code: Code, slip: SlipFacts | None, rank: str | None, by: set[int], reasons: set[str]
) -> Standing:
    unknown = reasons - set(REASONS)
    if unknown:
        raise ValueError(f"reasons without a place in REASONS: {sorted(unknown)}")
    return Standing(
        code,
        None if slip is None else slip.id,
        None if slip is None else slip.taxon_id,
        rank,
        tuple(sorted(by)),
        tuple(reason for reason in REASONS if reason in reasons),
    )
