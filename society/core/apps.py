from django.apps import AppConfig
from django.db.models.signals import post_migrate

from society.core.triggers import never_edited, triggers_install


class CoreConfig(AppConfig):
    name = "society.core"

    def ready(self) -> None:
        never_edited("core_change")
        post_migrate.connect(triggers_install, dispatch_uid="core.triggers_install")
