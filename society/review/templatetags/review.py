"""Sentences of the review room, made here once from codes."""

from django import template
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from society.core.models import Change
from society.finds.models import Standing
from society.review.models import PersonalNotice, Verdict, Wanted
from society.science.evidence import Wanted as WantedEvidence

register = template.Library()

CHANGES = {
    "find.posted": gettext_lazy("posted the find"),
    "find.edited": gettext_lazy("changed the find"),
    "find.withdrawn": gettext_lazy("withdrew the find"),
    "find.put_back": gettext_lazy("put the find back"),
    "find.slip_laid": gettext_lazy("laid a slip"),
    "find.photograph_added": gettext_lazy("added a photograph"),
    "find.photograph_edited": gettext_lazy("described a photograph"),
    "find.photograph_removed": gettext_lazy("removed a photograph"),
    "find.photograph_put_back": gettext_lazy("put a photograph back"),
    "find.commented": gettext_lazy("wrote a comment"),
    "find.confirm": gettext_lazy("confirmed a slip"),
    "find.dispute": gettext_lazy("disputed a slip"),
    "find.ask": gettext_lazy("asked for evidence"),
    "find.leave_open": gettext_lazy("left it open"),
    "find.reopen": gettext_lazy("reopened it"),
    "find.withdraw": gettext_lazy("withdrew an act"),
    "find.standing_changed": gettext_lazy("so what stands changed"),
}

NOTICES = {
    "slip": gettext_lazy("%(who)s laid a slip on %(find)s"),
    "comment": gettext_lazy("%(who)s wrote on %(find)s"),
    "confirm": gettext_lazy("%(who)s confirmed %(find)s"),
    "dispute": gettext_lazy("%(who)s disputes the name of %(find)s"),
    "ask": gettext_lazy("%(who)s asks for evidence on %(find)s"),
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
def reason_sentence(code: str) -> str:
    """Say why it stands so; codes without a sentence say nothing."""
    return str(REASONS.get(code, ""))


@register.filter
def change_words(change: Change) -> str:
    return str(CHANGES.get(change.verb, change.verb))


@register.filter
def notice_words(notice: PersonalNotice) -> str:
    who = notice.by.display_name if notice.by else _("Somebody")
    return str(NOTICES[notice.kind]) % {"who": who, "find": notice.find.spoken_number}


@register.filter
def wanted_words(wanted: WantedEvidence | str) -> str:
    """Name a piece of evidence in words."""
    code = wanted if isinstance(wanted, str) else wanted.code
    return str(Wanted(code).label) if code in Wanted.values else code.replace("_", " ")


@register.filter
def verdict_class(verdict: Verdict) -> str:
    """Name the line beside a verdict; the word stands before it."""
    return {"leave_open": "open", "reopen": "open"}.get(verdict.kind, verdict.kind)


@register.simple_tag
def verdict_words(verdict: Verdict) -> str:
    """Say what a verdict did."""
    rank = dict(RANKS).get(verdict.at_rank, "")
    if verdict.kind == "confirm" and rank:
        return _("Confirmed as far as %(rank)s") % {"rank": rank}
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
ACTS = {
    "confirm": gettext_lazy("Confirmed"),
    "dispute": gettext_lazy("Disputed"),
    "leave_open": gettext_lazy("Left open: what was kept cannot settle it"),
    "reopen": gettext_lazy("Reopened"),
    "withdraw": gettext_lazy("Withdrew an earlier act"),
}
