"""Addresses of the exchange room."""

from django.urls import URLPattern

app_name = "exchange"
urlpatterns: list[URLPattern] = []
