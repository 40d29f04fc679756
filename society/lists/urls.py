"""Addresses of the lists room."""

from django.urls import URLPattern

app_name = "lists"
urlpatterns: list[URLPattern] = []
