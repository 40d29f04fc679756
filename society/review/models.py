"""Referees' scopes and verdicts, the desk, the thread of a find, and notices to people."""

from django.db import models
from django.db.models import F, Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from society.core.free_text import FreeTextField
from society.core.models import BaseModel, PublicModel
from society.finds.models import DeterminationSlip, Find
from society.members.models import Person, one_line
from society.names.models import Character, CharacterState, Taxon, Usual


class ScopeRank(models.TextChoices):
    ALL = "all", _("everything")
    ORDER = "order", _("order")
    FAMILY = "family", _("family")
    GENUS = "genus", _("genus")


class Scope(BaseModel):
    """What a person referees. Ended scopes stay, since verdicts point at them."""

    person = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="scopes")
    rank = models.CharField(_("rank"), max_length=6, choices=ScopeRank)
    name = models.CharField(
        _("name"), max_length=60, blank=True, validators=[one_line], help_text=_("Empty for all.")
    )
    ended_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta:
        verbose_name = _("referee's scope")
        constraints = [
            models.UniqueConstraint(
                fields=["person", "rank", "name"],
                condition=Q(ended_at=None),
                name="one_open_scope_a_name",
            ),
            models.CheckConstraint(
                condition=Q(rank="all", name="") | (~Q(rank="all") & ~Q(name="")),
                name="scope_names_what_it_covers",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.rank} {self.name}".strip()


class VerdictKind(models.TextChoices):
    CONFIRM = "confirm", _("confirm")
    DISPUTE = "dispute", _("dispute")
    ASK = "ask", _("ask for evidence")
    LEAVE_OPEN = "leave_open", _("leave open")
    REOPEN = "reopen", _("reopen")
    WITHDRAW = "withdraw", _("withdraw an earlier act")


class Wanted(models.TextChoices):
    """Evidence that can be asked for. Tasting is never among it."""

    CAP = "cap", _("a photograph of the cap or upper side")
    UNDERSIDE = "underside", _("a photograph of the underside")
    SIDE = "side", _("a photograph from the side")
    DETAIL = "detail", _("a photograph of a detail, close up")
    STEM_BASE = "stem_base", _("a photograph of the whole stem with its base")
    SECTION = "section", _("a photograph of a cut section")
    MIRROR = "mirror_photograph", _("the underside in a mirror, nothing lifted")
    IN_PLACE = "photograph_in_place", _("a photograph of it in place")
    HABITAT = "habitat", _("the habitat")
    HOSTS = "hosts", _("the trees and plants that stood there")
    SUBSTRATE = "substrate", _("what it grew on")
    SPORE_PRINT = "spore_print", _("a spore print")
    MILK = "milk_after_30_minutes", _("the milk after 30 minutes")
    FLESH = "flesh_after_cutting", _("the flesh some minutes after cutting")
    REAGENT = "reagent", _("a reagent's reaction")
    MICROSCOPE = "microscope", _("spores or other structures measured")
    SPECIMEN = "specimen", _("the specimen, dried or brought along")


class Verdict(PublicModel):
    """What a referee does with a slip. Append-only: undoing is a verdict that withdraws another.

    It keeps the scope that gave the right, the evidence seen, and what was required at that time.
    """

    find = models.ForeignKey(Find, on_delete=models.PROTECT, related_name="verdicts")
    slip = models.ForeignKey(
        DeterminationSlip,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="verdicts",
    )
    kind = models.CharField(_("act"), max_length=10, choices=VerdictKind)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="verdicts")
    scope = models.ForeignKey(Scope, on_delete=models.PROTECT, related_name="verdicts")
    laid_at = models.DateTimeField(default=timezone.now, editable=False)
    at_rank = models.CharField(_("as far as"), max_length=9, blank=True)
    other_slip = models.ForeignKey(
        DeterminationSlip, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    wanted = models.CharField(_("evidence asked for"), max_length=40, blank=True)
    reason = FreeTextField(_("reason"), max_length=2000, blank=True)
    withdraws = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="withdrawn_by"
    )
    evidence_version = models.PositiveIntegerField(editable=False)
    required = models.JSONField(default=dict, editable=False)

    class Meta:
        verbose_name = _("verdict")
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(kind="withdraw", withdraws__isnull=False)
                | (~Q(kind="withdraw") & Q(withdraws=None)),
                name="verdict_withdraws_something",
            ),
            models.CheckConstraint(
                condition=~Q(kind="ask") | ~Q(wanted=""), name="verdict_asks_for_something"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} on find {self.find_id}"


class Waits(models.TextChoices):
    FOR_REFEREE = "referee", _("waits for a referee")
    FOR_FINDER = "finder", _("waits for its finder")
    FOR_NOBODY = "nobody", _("waits for nobody")


class DeskEntry(BaseModel):
    """Where a find stands on the referees' desk: a cache beside its standing, by the same service.

    ``order_name``, ``family`` and ``genus`` are those of the name it carries now, so that a
    referee's scope is one indexed condition; ``sort_name`` is that name folded, empty for none.
    ``since`` says when the find last came before the referees; it stays while they have done with
    it, so that an act withdrawn puts the find back in its place.
    """

    find = models.OneToOneField(Find, on_delete=models.PROTECT, related_name="desk_entry")
    waits = models.CharField(max_length=7, choices=Waits, default=Waits.FOR_REFEREE)
    since = models.DateTimeField(default=timezone.now)
    order_name = models.CharField(max_length=60, blank=True)
    family = models.CharField(max_length=60, blank=True)
    genus = models.CharField(max_length=60, blank=True)
    sort_name = models.CharField(max_length=200, blank=True)
    current_slip = models.ForeignKey(
        DeterminationSlip, on_delete=models.PROTECT, null=True, related_name="+"
    )
    reasons = models.JSONField(default=list)

    class Meta:
        indexes = [
            models.Index(fields=["waits", "since", "id"], name="desk_queue"),
            models.Index(fields=["waits", "family", "genus", "since"], name="desk_queue_by_scope"),
            models.Index(fields=["waits", "sort_name", "since", "id"], name="desk_queue_by_name"),
        ]

    def __str__(self) -> str:
        return f"find {self.find_id} {self.waits}"


class Comment(PublicModel):
    """A line in the thread of a find, between finder, referees and other members."""

    find = models.ForeignKey(Find, on_delete=models.PROTECT, related_name="comments")
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="comments")
    at = models.DateTimeField(default=timezone.now, editable=False)
    text = FreeTextField(_("comment"), max_length=4000)
    removed_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta:
        verbose_name = _("comment")
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"comment {self.pk}"


class AccountCorrection(PublicModel):
    """How a referee corrected one state of a species account from a confirmed find.

    Append-only in what was said; it may be withdrawn once, which puts the account back. Usual and
    source are those of the one state; ``usual_before`` is empty where the account did not hold it.
    ``account_version`` is the account's version that it made.
    """

    find = models.ForeignKey(Find, on_delete=models.PROTECT, related_name="account_corrections")
    taxon = models.ForeignKey(Taxon, on_delete=models.PROTECT, related_name="account_corrections")
    character = models.ForeignKey(Character, on_delete=models.PROTECT, related_name="+")
    state = models.ForeignKey(CharacterState, on_delete=models.PROTECT, related_name="+")
    usual_before = models.CharField(max_length=9, choices=Usual, blank=True, editable=False)
    usual_after = models.CharField(_("how usual"), max_length=9, choices=Usual)
    source_before = models.CharField(max_length=200, blank=True, editable=False)
    source_after = models.CharField(max_length=200, editable=False, validators=[one_line])
    remarks = FreeTextField(_("remarks"), max_length=2000, blank=True)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="account_corrections")
    laid_at = models.DateTimeField(default=timezone.now, editable=False)
    account_version = models.PositiveIntegerField(editable=False)
    withdrawn_at = models.DateTimeField(null=True, blank=True, editable=False)
    withdrawn_by = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+", editable=False
    )

    class Meta:
        verbose_name = _("correction of an account")
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(usual_after="") & ~Q(usual_after=F("usual_before")),
                name="account_correction_changes_something",
            ),
            models.CheckConstraint(
                condition=Q(withdrawn_at=None, withdrawn_by=None)
                | Q(withdrawn_at__isnull=False, withdrawn_by__isnull=False),
                name="account_correction_withdrawn_by_somebody",
            ),
        ]

    def __str__(self) -> str:
        return f"correction of account {self.taxon_id} from find {self.find_id}"


class PersonalNotice(BaseModel):
    """Something a person should hear of; shown on the site, and mailed where they wish it.

    ``to_mail`` says that a mail is due. It is set where mail was wished for when the notice was
    made, and only ever taken back: who wishes for mail later is not sent what is past.
    """

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="notices")
    find = models.ForeignKey(Find, on_delete=models.PROTECT, related_name="notices")
    kind = models.CharField(max_length=30)
    by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    verdict = models.ForeignKey(Verdict, on_delete=models.PROTECT, null=True, related_name="+")
    key = models.CharField(max_length=80, unique=True)
    read_at = models.DateTimeField(null=True, blank=True)
    to_mail = models.BooleanField(default=False)
    mailed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        verbose_name = _("notice")
        ordering = ["-pk"]
        indexes = [
            models.Index(fields=["person", "read_at", "-id"], name="notice_unread"),
            models.Index(fields=["id"], condition=Q(to_mail=True), name="notice_to_mail"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} for person {self.person_id}"
