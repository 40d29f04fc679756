"""Sentences of the review room, made here once from codes."""

from django import template
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from society.core.models import Change
from society.finds.models import Find, Standing
from society.names.models import Usual
from society.review.models import AccountCorrection, PersonalNotice, ScopeRank, Verdict, Wanted
from society.science.evidence import Wanted as WantedEvidence

register = template.Library()

CHANGES = {
    "find.posted": gettext_lazy("%(who)s posted the find"),
    "find.edited": gettext_lazy("%(who)s changed the find"),
    "find.withdrawn": gettext_lazy("%(who)s withdrew the find"),
    "find.put_back": gettext_lazy("%(who)s put the find back"),
    "find.slip_laid": gettext_lazy("%(who)s laid a slip"),
    "find.photograph_added": gettext_lazy("%(who)s added a photograph"),
    "find.commented": gettext_lazy("%(who)s wrote to finder and referees"),
    "find.confirm": gettext_lazy("%(who)s confirmed a slip"),
    "find.dispute": gettext_lazy("%(who)s disputed a slip"),
    "find.ask": gettext_lazy("%(who)s asked for evidence"),
    "find.leave_open": gettext_lazy("%(who)s left the find open"),
    "find.reopen": gettext_lazy("%(who)s reopened the find"),
    "find.withdraw": gettext_lazy("%(who)s withdrew an act of theirs"),
    "find.account_corrected": gettext_lazy("%(who)s corrected the species account from the find"),
    "find.account_put_back": gettext_lazy("%(who)s withdrew a correction of the species account"),
    "find.slip_linked": gettext_lazy("The checklist took up a name written on a slip"),
    "find.standing_changed": gettext_lazy("With that the find's standing changed"),
}

NOTICES = {
    "slip": gettext_lazy("%(who)s laid a slip on %(find)s"),
    "comment": gettext_lazy("%(who)s wrote on %(find)s"),
    "confirm": gettext_lazy("%(who)s confirmed %(find)s"),
    "confirm_as_far_as": gettext_lazy("%(who)s confirmed %(find)s as far as %(rank)s"),
    "dispute": gettext_lazy("%(who)s disputes the name of %(find)s"),
    "ask": gettext_lazy("%(who)s asks for evidence on %(find)s: %(evidence)s"),
    "leave_open": gettext_lazy("%(who)s left %(find)s open"),
    "reopen": gettext_lazy("%(who)s reopened %(find)s"),
    "withdraw": gettext_lazy("%(who)s withdrew an act on %(find)s"),
}

REASONS = {
    "one_referee_agrees": gettext_lazy("One referee agrees."),
    "needs_second_referee": gettext_lazy("This name would be a first: it needs a second referee."),
    "confirmed_short_of_the_slip": gettext_lazy("Confirmed less far than the slip goes."),
    "settled_after_dispute": gettext_lazy("Settled after a dispute."),
    "referees_differ": gettext_lazy("Referees give different names."),
    "referee_objects": gettext_lazy("A referee objects to the name."),
    "objection_met": gettext_lazy("The finder has given another name since a referee objected."),
    "finders_differ": gettext_lazy("The slips laid give different names."),
    "evidence_asked_for": gettext_lazy("A referee has asked for evidence."),
    "reopened": gettext_lazy("A referee has reopened it."),
    "acts_wait_for_reopening": gettext_lazy(
        "Acts on a find from the books wait until a referee reopens it."
    ),
    "finder_slip_after_confirmation": gettext_lazy(
        "The finder has laid another name since; what was confirmed stands until a referee looks."
    ),
    "own_find_verdict_ignored": gettext_lazy(
        "A finder's act on their own find counts for nothing."
    ),
    "verdict_not_in_scope_ignored": gettext_lazy(
        "An act outside its author's scope is shown, and counts for nothing."
    ),
}

STANDINGS = {
    Standing.UNCONFIRMED: gettext_lazy("No referee in scope has settled this find yet."),
    Standing.CONFIRMED: gettext_lazy(
        "A referee in scope, who is not the finder, has confirmed it as far as the evidence goes."
    ),
    Standing.BY_ITS_REFEREE: gettext_lazy(
        "The finder is the referee for this name, and no second referee has looked."
    ),
    Standing.FROM_THE_BOOKS: gettext_lazy(
        "Taken over from old records as determined at the time, and not examined again."
    ),
    Standing.DISPUTED: gettext_lazy("Referees do not agree, or one objects; it is not settled."),
    Standing.LEFT_OPEN: gettext_lazy("What was kept cannot settle it."),
}


@register.filter
def standing_sentence(code: str) -> str:
    """Say what a standing means."""
    return str(STANDINGS[Standing(code)])


@register.filter
def stands_words(find: Find) -> str:
    """Say that a slip is the one that stands, and how far."""
    if find.standing_rank in WIDER_RANKS:
        return _("this one stands, as far as %(rank)s") % {"rank": RANKS[find.standing_rank]}
    return _("this one stands")


@register.filter
def reason_sentence(code: str) -> str:
    """Say why it stands so; codes without a sentence say nothing."""
    return str(REASONS.get(code, ""))


@register.simple_tag
def change_words(change: Change, who: str) -> str:
    """Say what happened, by whom."""
    return str(CHANGES.get(change.verb, CHANGES["find.edited"])) % {"who": who or _("Somebody")}


@register.filter
def notice_words(notice: PersonalNotice) -> str:
    """Say what the notice tells, in one line without any free text."""
    verdict = notice.verdict
    kind = notice.kind
    if kind == "confirm" and verdict is not None and verdict.at_rank in WIDER_RANKS:
        kind = "confirm_as_far_as"
    return str(NOTICES[kind]) % {
        "who": notice.by.display_name if notice.by else _("Somebody"),
        "find": notice.find.spoken_number,
        "rank": RANKS.get(verdict.at_rank, "") if verdict is not None else "",
        "evidence": wanted_words(verdict.wanted) if verdict is not None and verdict.wanted else "",
    }


@register.filter
def wanted_words(wanted: WantedEvidence | str) -> str:
    """Name a piece of evidence in words."""
    return str(Wanted(wanted if isinstance(wanted, str) else wanted.code).label)


@register.filter
def wanted_of(verdict: Verdict) -> str:
    """Name what a verdict asks for."""
    return wanted_words(verdict.wanted)


@register.filter
def scope_words(scope: tuple[str, str]) -> str:
    """Say what a referee's scope covers."""
    rank, name = scope
    return name or str(ScopeRank(rank).label)


@register.filter
def verdict_class(verdict: Verdict) -> str:
    """Name the line beside a verdict; the word stands before it."""
    return {"leave_open": "open", "reopen": "open"}.get(verdict.kind, verdict.kind)


@register.filter
def verdict_words(verdict: Verdict) -> str:
    """Say what a verdict did."""
    rank = RANKS.get(verdict.at_rank)
    if verdict.kind == "confirm" and rank:
        return _("Confirmed as far as %(rank)s") % {"rank": rank}
    if verdict.kind == "leave_open" and rank:
        return _("Left open; it holds as far as %(rank)s") % {"rank": rank}
    if verdict.kind == "ask":
        return _("Asked for %(evidence)s") % {"evidence": wanted_words(verdict.wanted)}
    return str(ACTS[verdict.kind])


RANKS = {
    "species": gettext_lazy("species"),
    "variety": gettext_lazy("variety"),
    "aggregate": gettext_lazy("aggregate"),
    "section": gettext_lazy("section"),
    "genus": gettext_lazy("genus"),
}
WIDER_RANKS = ("aggregate", "section", "genus")
ACTS = {
    "confirm": gettext_lazy("Confirmed"),
    "dispute": gettext_lazy("Disputed"),
    "leave_open": gettext_lazy("Left open: what was kept cannot settle it"),
    "reopen": gettext_lazy("Reopened"),
    "withdraw": gettext_lazy("Withdrew an earlier act"),
}


@register.filter
def correction_words(correction: AccountCorrection) -> str:
    """Say what of an account was corrected: 'stem pits, none: not known before, now sometimes'."""
    before = correction.usual_before
    return _("%(character)s, %(state)s: %(before)s before, now %(after)s.") % {
        "character": correction.character.name,
        "state": correction.state.name,
        "before": Usual(before).label if before else _("not known"),
        "after": Usual(correction.usual_after).label,
    }
