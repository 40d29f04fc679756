"""Addresses of the names room."""

from django.urls import path

from society.names import views

app_name = "names"
urlpatterns = [
    path("names/lookup/", views.lookup, name="lookup"),
    path("characters/", views.character_index, name="characters"),
    path("characters/<slug:code>/", views.character, name="character"),
    path("keeper/names/", views.checklist, name="checklist"),
    path("keeper/names/new/", views.add, name="add"),
    path("keeper/names/<int:taxon_id>/", views.edit, name="edit"),
]
