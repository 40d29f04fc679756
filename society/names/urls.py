"""Addresses of the names room."""

from django.urls import URLPattern

app_name = "names"
urlpatterns: list[URLPattern] = []
