"""Addresses whose views tell too much, each in its own way, to prove that the leak test bites."""

from collections.abc import Callable

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.urls import path

from society.finds.models import Find, FindDraft, Photograph
from society.members.models import Account
from society.places.models import Openness, Site
from society.science.positions import format_british_grid

E7 = 10_000_000


def _sensitive() -> Find:
    return Find.objects.get(standing_taxon__scientific_name="Hericium erinaceus")


def decimal(request: HttpRequest) -> HttpResponse:
    find = _sensitive()
    return HttpResponse(f"<p>{find.lat_e7 / E7:.5f}, {find.lon_e7 / E7:.5f}</p>")


def rounded_too_little(request: HttpRequest) -> HttpResponse:
    find = _sensitive()
    return HttpResponse(
        f'<div data-lat="{find.lat_e7 / E7:.3f}" data-lon="{find.lon_e7 / E7:.3f}">'
    )


def shifted_a_little(request: HttpRequest) -> JsonResponse:
    find = _sensitive()
    place = [find.lon_e7 / E7 + 0.0004, find.lat_e7 / E7 - 0.0007]
    return JsonResponse({"type": "Point", "coordinates": place})


def stored_integers(request: HttpRequest) -> JsonResponse:
    return JsonResponse(list(Find.objects.values("pk", "lat_e7", "lon_e7")), safe=False)


def grid_reference(request: HttpRequest) -> HttpResponse:
    find = _sensitive()
    return HttpResponse(format_british_grid(find.lat_e7 / E7, find.lon_e7 / E7, 100))


def described(request: HttpRequest) -> HttpResponse:
    return HttpResponse(_sensitive().place_verbatim.raw)


def kept_site(request: HttpRequest) -> HttpResponse:
    return HttpResponse(
        "<br>".join(Site.objects.filter(openness=Openness.KEPT).values_list("name")[0])
    )


def drafts(request: HttpRequest) -> JsonResponse:
    return JsonResponse([draft.fields for draft in FindDraft.objects.all()], safe=False)


def mail_addresses(request: HttpRequest) -> HttpResponse:
    return HttpResponse("\n".join(Account.objects.values_list("email", flat=True)))


def every_find(request: HttpRequest) -> HttpResponse:
    return HttpResponse("\n".join(f'<a href="/finds/{find}/">x</a>' for find in Find.objects.all()))


def whole_picture(request: HttpRequest) -> HttpResponse:
    from django.core.files.storage import default_storage

    photograph = Photograph.objects.filter(removed_at=None).get()
    with default_storage.open(photograph.original) as file:
        return HttpResponse(file.read(), content_type="image/jpeg")


# What each tells that it must not, as ``leaks`` says it.
LEAKY: dict[str, tuple[Callable[[HttpRequest], HttpResponse], str]] = {
    "decimal": (decimal, "sensitive: a pair of numbers too near"),
    "rounded": (rounded_too_little, "sensitive: a pair of numbers too near"),
    "shifted": (shifted_a_little, "sensitive: a pair of numbers too near"),
    "integers": (stored_integers, "secret: a pair of numbers too near"),
    "grid": (grid_reference, "sensitive: a grid reference too fine"),
    "described": (described, "sensitive: 'the split oak by gate seven'"),
    "kept-site": (kept_site, "the kept site"),
    "drafts": (drafts, "another's draft"),
    "mail": (mail_addresses, "another's mail address"),
    "finds": (every_find, "find "),
    "picture": (whole_picture, "a picture's own data"),
}

urlpatterns = [path(f"leak/{name}/", login_not_required(view)) for name, (view, _) in LEAKY.items()]
