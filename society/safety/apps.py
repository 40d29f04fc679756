from typing import Any

from django.apps import AppConfig, apps
from django.db.models.signals import post_migrate


def statements_found_anew(sender: Any, *, using: str = "default", **_: Any) -> None:
    """After an upgrade have the texts read again, should the detector have changed."""
    from society.core.services import job_add
    from society.safety.services import STATEMENTS_JOB
    from society.science.statements import DETECTOR_VERSION

    job_add(STATEMENTS_JOB, key=f"{STATEMENTS_JOB}:{DETECTOR_VERSION}")


class SafetyConfig(AppConfig):
    name = "society.safety"

    def ready(self) -> None:
        # A room without tables is not told of migrations itself.
        core = apps.get_app_config("core")
        post_migrate.connect(
            statements_found_anew, sender=core, dispatch_uid="safety.statements_found_anew"
        )
