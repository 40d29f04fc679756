from typing import Any

from django.apps import AppConfig

from society.core.signals import names_changed
from society.core.triggers import never_edited


def places_follow_names(sender: Any, *, taxon_ids: list[int], **_: Any) -> None:
    """Names made sensitive, or no longer, change who sees the places of their finds."""
    from society.finds.services import secrecy_follow_names

    secrecy_follow_names(taxon_ids)


class FindsConfig(AppConfig):
    name = "society.finds"

    def ready(self) -> None:
        never_edited("finds_determinationslip")
        names_changed.connect(places_follow_names, dispatch_uid="finds.places_follow_names")
