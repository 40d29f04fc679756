"""Addresses of the places room."""

from django.urls import path

from society.places import views

app_name = "places"
urlpatterns = [
    path("sites/new/", views.add, name="add"),
    path("sites/boundaries.json", views.boundaries, name="boundaries"),
    path("sites/<slug:slug>/edit/", views.edit, name="edit"),
    path("place/read/", views.read, name="read"),
]
