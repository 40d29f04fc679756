"""The keepers' page of what is taken for a name."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from society.names import services
from society.names.forms.look_alikes import LookAlikeForm
from society.names.models import LookAlike
from society.names.queries import look_alikes_of, other_of
from society.names.views.acts import attempted, done, row_of
from society.names.views.checklist import keeper_of


@never_cache
def look_alikes(request: HttpRequest, taxon_id: int) -> HttpResponse:
    viewer = keeper_of(request)
    taxon, context = row_of(taxon_id)
    form = context["form"] = LookAlikeForm(request.POST or None)
    if (
        request.method == "POST"
        and form.is_valid()
        and done(
            form,
            lambda: services.look_alike_add(
                taxon.pk, form.cleaned_data["chosen"].pk, form.entry(), by=viewer
            ),
        )
    ):
        messages.success(request, _("Entered."))
        return redirect("names:look_alikes", taxon_id=taxon.pk)
    current = taxon.current
    context["pairs"] = [(row, other_of(row, current)) for row in look_alikes_of(current)]
    return render(request, "names/look_alikes.html", context)


@never_cache
@require_POST
def look_alike_remove(request: HttpRequest, look_alike_id: int) -> HttpResponse:
    viewer = keeper_of(request)
    row = get_object_or_404(LookAlike, pk=look_alike_id)
    taxon_id = row.taxon_id
    attempted(request, lambda: services.look_alike_remove(row.pk, by=viewer), _("Removed."))
    return redirect("names:look_alikes", taxon_id=taxon_id)
