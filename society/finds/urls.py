"""Addresses of the finds room."""

from django.urls import URLPattern

app_name = "finds"
urlpatterns: list[URLPattern] = []
