from typing import Any

from django.apps import AppConfig

from society.core.signals import find_changed, names_changed, person_left, scopes_asked
from society.core.triggers import never_edited

# Everything of a verdict but what its reason says on eating, which may be found anew.
VERDICT_KEPT = (
    "uuid",
    "find_id",
    "slip_id",
    "kind",
    "by_id",
    "scope_id",
    "laid_at",
    "at_rank",
    "other_slip_id",
    "wanted",
    "reason",
    "withdraws_id",
    "evidence_version",
    "required",
)

# A correction is withdrawn once, and never otherwise edited.
CORRECTION_KEPT = (
    "uuid",
    "find_id",
    "taxon_id",
    "character_id",
    "state_id",
    "usual_before",
    "usual_after",
    "source_before",
    "source_after",
    "remarks",
    "by_id",
    "laid_at",
    "account_version",
)
CORRECTION_WAS_WITHDRAWN = (
    "OLD.withdrawn_at IS NOT NULL AND"
    " (NEW.withdrawn_at IS NULL OR NEW.withdrawn_at <> OLD.withdrawn_at"
    " OR NEW.withdrawn_by_id <> OLD.withdrawn_by_id)"
)


def find_assessed_anew(sender: Any, *, find_id: int, acted_by: int | None, **_: Any) -> None:
    from society.review.services import standing_recompute

    standing_recompute(find_id, actor_id=acted_by)


def finds_read_anew(sender: Any, *, taxon_ids: list[int], **_: Any) -> None:
    from society.review.services import names_read_anew_later

    names_read_anew_later(taxon_ids)


def scopes_end_with_leaving(sender: Any, *, person_id: int, **_: Any) -> None:
    from society.review.services import scopes_end_of

    scopes_end_of(person_id)


def scopes_answered(sender: Any, **_: Any) -> set[tuple[str, str]]:
    """Answer the orders and families that are open scopes of referees. One query."""
    from society.review.models import Scope

    rows = Scope.objects.filter(ended_at=None, rank__in=("order", "family"))
    return {(rank, name.casefold()) for rank, name in rows.values_list("rank", "name")}


class ReviewConfig(AppConfig):
    name = "society.review"

    def ready(self) -> None:
        never_edited("review_verdict", kept=VERDICT_KEPT)
        never_edited(
            "review_accountcorrection", kept=CORRECTION_KEPT, or_where=CORRECTION_WAS_WITHDRAWN
        )
        find_changed.connect(find_assessed_anew, dispatch_uid="review.find_assessed_anew")
        names_changed.connect(finds_read_anew, dispatch_uid="review.finds_read_anew")
        person_left.connect(scopes_end_with_leaving, dispatch_uid="review.scopes_end_with_leaving")
        scopes_asked.connect(scopes_answered, dispatch_uid="review.scopes_answered")
