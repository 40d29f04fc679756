from django.apps import AppConfig


class FindsConfig(AppConfig):
    name = "society.finds"
