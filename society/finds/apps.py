from django.apps import AppConfig

from society.core.triggers import never_edited


class FindsConfig(AppConfig):
    name = "society.finds"

    def ready(self) -> None:
        never_edited("finds_determinationslip")
