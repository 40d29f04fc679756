"""Closed by default: every page asks for a sign-in unless it is marked ``login_not_required``."""

from collections.abc import Callable
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings
from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponseBase, JsonResponse
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _

View = Callable[..., HttpResponseBase]


class SigninRequired(LoginRequiredMiddleware):
    """Django's own, with three answers changed: a public page asks for nobody, so it needs no
    database to know its reader; a script is told 401, since it would take the sign-in page it was
    sent to for success; and what was posted leads back to the page its form stood on."""

    def process_view(
        self, request: HttpRequest, view_func: View, view_args: Any, view_kwargs: Any
    ) -> HttpResponseBase | None:
        if not getattr(view_func, "login_required", True):
            return None
        return super().process_view(request, view_func, view_args, view_kwargs)

    def handle_no_permission(  # type: ignore[override]  # wider than the stubs say
        self, request: HttpRequest, view_func: View
    ) -> HttpResponseBase:
        if _is_from_script(request):
            message = _("You are not signed in any more. Sign in again in another tab.")
            return JsonResponse({"message": message}, status=401)
        if request.method in ("GET", "HEAD"):
            return super().handle_no_permission(request, view_func)
        return redirect_to_login(_page_of_the_form(request), settings.LOGIN_URL)


def _is_from_script(request: HttpRequest) -> bool:
    return request.headers.get("X-Requested-With") == "XMLHttpRequest" or request.headers.get(
        "Accept", ""
    ).startswith("application/json")


def _page_of_the_form(request: HttpRequest) -> str:
    """Return the path of the page that posted, '/' when it is not one of this site's."""
    referer = request.headers.get("Referer", "")
    is_ours = url_has_allowed_host_and_scheme(
        referer, {request.get_host()}, require_https=request.is_secure()
    )
    return urlsplit(referer)._replace(scheme="", netloc="").geturl() if is_ours else "/"
