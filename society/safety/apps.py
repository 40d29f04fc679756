from django.apps import AppConfig


class SafetyConfig(AppConfig):
    name = "society.safety"
