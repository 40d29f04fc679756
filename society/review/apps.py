from typing import Any

from django.apps import AppConfig

from society.core.signals import find_changed, names_changed
from society.core.triggers import never_edited


def find_assessed_anew(sender: Any, *, find_id: int, acted_by: int | None, **_: Any) -> None:
    from society.review.services import standing_recompute

    standing_recompute(find_id, actor_id=acted_by)


def finds_read_anew(sender: Any, *, taxon_ids: list[int], **_: Any) -> None:
    from society.review.services import names_read_anew_later

    names_read_anew_later(taxon_ids)


class ReviewConfig(AppConfig):
    name = "society.review"

    def ready(self) -> None:
        never_edited("review_verdict")
        find_changed.connect(find_assessed_anew, dispatch_uid="review.find_assessed_anew")
        names_changed.connect(finds_read_anew, dispatch_uid="review.finds_read_anew")
