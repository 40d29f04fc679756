"""The poisoning sheet and the page of cautions: open to everybody, signed in or not."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from society.safety.queries import sheet_numbers


@login_not_required
@cache_control(private=True)
@require_safe
def poisoning(request: HttpRequest) -> HttpResponse:
    return render(request, "safety/poisoning.html", {"numbers": sheet_numbers()})


@login_not_required
@cache_control(private=True)
@require_safe
def cautions(request: HttpRequest) -> HttpResponse:
    return render(request, "safety/cautions.html")
