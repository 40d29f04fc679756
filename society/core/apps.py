from django.apps import AppConfig
from django.db.models.signals import post_migrate

from society.core.triggers import never_edited, triggers_install


class CoreConfig(AppConfig):
    name = "society.core"

    def ready(self) -> None:
        never_edited("core_change")
        # Sent once for every app, after the last table is there; once is enough.
        post_migrate.connect(triggers_install, sender=self, dispatch_uid="core.triggers_install")
