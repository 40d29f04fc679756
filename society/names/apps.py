from django.apps import AppConfig

from society.core.triggers import Trigger, declare

LEADS_TO_A_SYNONYM = (
    "NEW.accepted_id IS NOT NULL AND (EXISTS (SELECT 1 FROM names_taxon t"
    " WHERE t.id = NEW.accepted_id AND t.accepted_id IS NOT NULL)"
    " OR EXISTS (SELECT 1 FROM names_taxon t WHERE t.accepted_id = NEW.id))"
)


class NamesConfig(AppConfig):
    name = "society.names"

    def ready(self) -> None:
        for event in ("INSERT", "UPDATE"):
            declare(
                Trigger(
                    f"names_taxon_one_hop_{event.lower()}",
                    "names_taxon",
                    event,
                    LEADS_TO_A_SYNONYM,
                    "a synonym leads to its accepted name in one hop",
                )
            )
