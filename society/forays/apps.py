from django.apps import AppConfig


class ForaysConfig(AppConfig):
    name = "society.forays"
