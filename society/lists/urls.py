"""Addresses of the lists room."""

from django.urls import path

from society.lists import views

app_name = "lists"
urlpatterns = [
    path("", views.home, name="home"),
    path("search/", views.search, name="search"),
    path("logbook/", views.logbook, name="logbook"),
    path("logbook/names/", views.logbook_names, name="logbook_names"),
    path("lists/", views.lists, name="lists"),
    path("lists/species/", views.species_list_page, name="species_list"),
    path("lists/finds/", views.finds, name="finds"),
    path("sites/", views.sites, name="sites"),
    path("sites/<slug:slug>/", views.site, name="site"),
    path("species/<int:taxon_id>/", views.species, name="species"),
]
