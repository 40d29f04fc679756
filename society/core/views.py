"""Pages that know nothing of fungi."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe


@login_not_required
@never_cache
@require_safe
def alive(request: HttpRequest) -> HttpResponse:
    """Tell a monitor that this process answers. It asks no database: that is another question."""
    return HttpResponse("alive\n", content_type="text/plain; charset=utf-8")
