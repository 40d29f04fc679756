"""Addresses of the names room."""

from django.urls import path

from society.names import views
from society.names.views import accounts, acts, files, look_alikes, vocabulary

app_name = "names"
urlpatterns = [
    path("names/lookup/", views.lookup, name="lookup"),
    path("characters/", views.character_index, name="characters"),
    path("characters/<slug:code>/", views.character, name="character"),
    path("keeper/names/", views.checklist, name="checklist"),
    path("keeper/names/new/", views.add, name="add"),
    path("keeper/names/<int:taxon_id>/", views.edit, name="edit"),
    path("keeper/names/<int:taxon_id>/merge/", acts.merge, name="merge"),
    path("keeper/names/<int:taxon_id>/part/", acts.part, name="part"),
    path("keeper/names/<int:taxon_id>/move/", acts.move, name="move"),
    path("keeper/names/<int:taxon_id>/split/", acts.split, name="split"),
    path("keeper/names/splits/<int:split_id>/end/", acts.split_end, name="split_end"),
    path("keeper/names/<int:taxon_id>/lists/", acts.lists, name="lists"),
    path("keeper/names/lists/<int:status_id>/", acts.listed, name="listed"),
    path("keeper/names/lists/<int:status_id>/remove/", acts.listed_remove, name="listed_remove"),
    path("keeper/names/<int:taxon_id>/look-alikes/", look_alikes.look_alikes, name="look_alikes"),
    path(
        "keeper/names/look-alikes/<int:look_alike_id>/remove/",
        look_alikes.look_alike_remove,
        name="look_alike_remove",
    ),
    path("keeper/names/files/", files.files, name="files"),
    path("keeper/names/files/<int:file_id>/", files.file, name="file"),
    path("keeper/names/files/<int:file_id>/take/", files.file_take, name="file_take"),
    path("keeper/names/files/<int:file_id>/drop/", files.file_drop, name="file_drop"),
    path("keeper/names/<int:taxon_id>/account/", accounts.account, name="account"),
    path(
        "keeper/names/<int:taxon_id>/account/characters/<slug:code>/",
        accounts.states,
        name="account_states",
    ),
    path(
        "keeper/names/<int:taxon_id>/account/readings/new/",
        accounts.reading,
        name="account_reading_add",
    ),
    path(
        "keeper/names/<int:taxon_id>/account/readings/<int:reading_id>/",
        accounts.reading,
        name="account_reading",
    ),
    path("keeper/names/<int:taxon_id>/account/spores/", accounts.spores, name="account_spores"),
    path(
        "keeper/names/<int:taxon_id>/account/spores/drop/",
        accounts.spores_drop,
        name="account_spores_drop",
    ),
    path("keeper/characters/", vocabulary.kept_characters, name="kept_characters"),
    path("keeper/characters/new/", vocabulary.character_add, name="character_add"),
    path("keeper/characters/states/<int:state_id>/", vocabulary.state, name="kept_state"),
    path("keeper/characters/<slug:code>/", vocabulary.kept_character, name="kept_character"),
    path("keeper/characters/<slug:code>/states/", vocabulary.state_add, name="state_add"),
]
