"""Addresses of the review room."""

from django.urls import path

from society.review import views

app_name = "review"
urlpatterns = [
    path("finds/<int:year>/<int:number>/", views.find, name="find"),
    path("finds/<int:year>/<int:number>/contrast/", views.contrast, name="contrast"),
    path("finds/<int:year>/<int:number>/account/", views.correct, name="account_correct"),
    path(
        "corrections/<uuid:correction_uuid>/withdraw/",
        views.correction_withdraw,
        name="correction_withdraw",
    ),
    path("contrast/", views.contrast_typed, name="contrast_typed"),
    path("side-by-side/", views.beside, name="side_by_side"),
    path("finds/<int:year>/<int:number>/slips/", views.slip, name="slip"),
    path("finds/<int:year>/<int:number>/verdicts/", views.verdict, name="verdict"),
    path("finds/<int:year>/<int:number>/comments/", views.comment, name="comment"),
    path("verdicts/<uuid:verdict_uuid>/withdraw/", views.verdict_withdraw, name="undo"),
    path("desk/", views.desk, name="desk"),
    path("notices/", views.notices, name="notices"),
    path("keeper/referees/", views.scopes, name="scopes"),
    path("keeper/referees/<int:scope_id>/end/", views.scope_end, name="scope_end"),
]
