from typing import Any

from django.apps import AppConfig

from society.core.signals import finds_counted, names_changed
from society.core.triggers import never_edited

# A slip is never edited. It may be given its row where it pointed at nothing, once a keeper has
# added the name it bears; and what its remarks say on eating may be found anew.
SLIP_KEPT = (
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
SLIP_HAS_ITS_ROW = (
    "OLD.taxon_id IS NOT NULL AND"
    " (NEW.taxon_id IS NULL OR NEW.taxon_id <> OLD.taxon_id OR NEW.rank <> OLD.rank)"
)


def names_followed(sender: Any, *, taxon_ids: list[int], **_: Any) -> None:
    """Names added are given to the slips that bear them; names made sensitive, or no longer,
    change who sees the places of their finds."""
    from society.finds.services import secrecy_follow_names, slips_link

    slips_link(taxon_ids)
    secrecy_follow_names(taxon_ids)


def finds_answered(sender: Any, *, taxon_ids: list[int], **_: Any) -> int:
    from society.finds.queries import finds_bearing

    return finds_bearing(taxon_ids)


class FindsConfig(AppConfig):
    name = "society.finds"

    def ready(self) -> None:
        never_edited("finds_determinationslip", kept=SLIP_KEPT, or_where=SLIP_HAS_ITS_ROW)
        names_changed.connect(names_followed, dispatch_uid="finds.names_followed")
        finds_counted.connect(finds_answered, dispatch_uid="finds.finds_answered")
