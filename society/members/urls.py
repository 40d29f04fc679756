"""Addresses of the members room."""

from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.views import LogoutView
from django.urls import path

from society.members import views

app_name = "members"
urlpatterns = [
    path("signin/", views.Signin.as_view(), name="signin"),
    # A second press of the button finds nobody signed in, and is no fault.
    path("signout/", login_not_required(LogoutView.as_view()), name="signout"),
    path("join/<str:token>/", views.join, name="join"),
    path("me/", views.me, name="me"),
    path("password/", views.PasswordChange.as_view(), name="password_change"),
    path("password/forgotten/", views.password_reset, name="password_reset"),
    path("password/forgotten/sent/", views.password_reset_sent, name="password_reset_sent"),
    path(
        "password/new/<uidb64>/<token>/",
        views.PasswordResetConfirm.as_view(),
        name="password_reset_confirm",
    ),
    path("keeper/", views.keeper, name="keeper"),
    path("keeper/people/", views.people, name="people"),
    path("keeper/people/<int:person_id>/", views.person, name="person"),
    path("keeper/invitations/", views.invitations, name="invitations"),
    path(
        "keeper/invitations/<int:invitation_id>/revoke/",
        views.invitation_revoke,
        name="invitation_revoke",
    ),
    path("keeper/society/", views.society, name="society"),
]
