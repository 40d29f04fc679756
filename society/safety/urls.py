"""Addresses of the safety room."""

from django.urls import path

from society.safety import views

app_name = "safety"
urlpatterns = [
    path("poisoning/", views.poisoning, name="poisoning"),
    path("about-safety/", views.cautions, name="cautions"),
]
