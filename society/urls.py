"""Every address of the site: each room's own list, in the order of the rooms."""

from django.urls import include, path

urlpatterns = [
    path("", include("society.core.urls")),
    path("", include("society.members.urls")),
    path("", include("society.names.urls")),
    path("", include("society.safety.urls")),
    path("", include("society.places.urls")),
    path("", include("society.finds.urls")),
    path("", include("society.review.urls")),
    path("", include("society.lists.urls")),
    path("", include("society.exchange.urls")),
]
