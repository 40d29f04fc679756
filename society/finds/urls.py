"""Addresses of the finds room."""

from django.urls import path

from society.finds.views import drafts, editing, photographs, posting

app_name = "finds"
urlpatterns = [
    path("finds/new/", posting.post, name="post"),
    path("finds/<int:year>/<int:number>/edit/", editing.edit, name="edit"),
    path("finds/<int:year>/<int:number>/withdraw/", editing.withdraw, name="withdraw"),
    path("finds/<int:year>/<int:number>/put-back/", editing.put_back, name="put_back"),
    path(
        "finds/<int:year>/<int:number>/photographs/",
        photographs.photograph_add,
        name="photograph_add",
    ),
    path("photographs/<uuid:uuid>/original/", photographs.original, name="original"),
    path("photographs/<uuid:uuid>/<int:size>/", photographs.rendition, name="rendition"),
    path("drafts/<uuid:uuid>/", drafts.draft, name="draft"),
    path("drafts/<uuid:uuid>/drop/", drafts.drop, name="draft_drop"),
    path("drafts/<uuid:uuid>/photographs/", drafts.photograph_add, name="draft_photograph_add"),
    path(
        "drafts/<uuid:uuid>/photographs/drop/",
        drafts.photograph_drop,
        name="draft_photograph_drop",
    ),
    path("drafts/photographs/<uuid:uuid>/", drafts.photograph_shown, name="draft_photograph"),
]
