from typing import Any

from django.apps import AppConfig

from society.core.signals import names_changed
from society.core.triggers import Trigger, declare

# A slip is never edited, but for one thing: a slip that pointed at nothing may be given its row,
# once a keeper has added the name it bears.
WORDS = (
    "find_id",
    "uuid",
    "name_written",
    "qualifier",
    "by_id",
    "entered_by_id",
    "laid_at",
    "basis",
    "literature",
    "remarks",
)
EDITED = "OLD.taxon_id IS NOT NULL OR NEW.taxon_id IS NULL OR " + " OR ".join(
    f"NEW.{name} <> OLD.{name}" for name in WORDS
)


def names_followed(sender: Any, *, taxon_ids: list[int], **_: Any) -> None:
    """Names added are given to the slips that bear them; names made sensitive, or no longer,
    change who sees the places of their finds."""
    from society.finds.services import secrecy_follow_names, slips_link

    slips_link(taxon_ids)
    secrecy_follow_names(taxon_ids)


class FindsConfig(AppConfig):
    name = "society.finds"

    def ready(self) -> None:
        declare(
            Trigger(
                "finds_determinationslip_never_edited",
                "finds_determinationslip",
                "UPDATE",
                EDITED,
                "rows of finds_determinationslip are kept",
            )
        )
        names_changed.connect(names_followed, dispatch_uid="finds.names_followed")
