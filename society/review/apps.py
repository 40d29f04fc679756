from typing import Any

from django.apps import AppConfig

from society.core.signals import find_changed
from society.core.triggers import never_edited


def find_assessed_anew(sender: Any, *, find_id: int, acted_by: int | None, **_: Any) -> None:
    from society.review.services import standing_recompute

    standing_recompute(find_id, actor_id=acted_by)


class ReviewConfig(AppConfig):
    name = "society.review"

    def ready(self) -> None:
        never_edited("review_verdict")
        find_changed.connect(find_assessed_anew, dispatch_uid="review.find_assessed_anew")
