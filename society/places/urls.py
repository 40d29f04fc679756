"""Addresses of the places room."""

from django.urls import URLPattern

app_name = "places"
urlpatterns: list[URLPattern] = []
