"""Addresses of the core room."""

from django.urls import path

from society.core import views

app_name = "core"
urlpatterns = [path("alive/", views.alive, name="alive")]
