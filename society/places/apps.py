from django.apps import AppConfig


class PlacesConfig(AppConfig):
    name = "society.places"
