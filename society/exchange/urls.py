"""Addresses of the exchange room."""

from django.urls import path

from society.exchange import views

app_name = "exchange"
urlpatterns = [
    path("lists/species.csv", views.list_csv, name="list_csv"),
    path("lists/species.xlsx", views.list_xlsx, name="list_xlsx"),
    path("finds.csv", views.finds_csv, name="finds_csv"),
    path("keeper/names/checklist.csv", views.checklist_csv, name="checklist_csv"),
    path("logbook/records.csv", views.my_records, name="my_records"),
]
