"""The keepers' pages for files of names: sending one in, looking at it, taking it over."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from society.names import services
from society.names.forms.acts import ChecklistFileForm
from society.names.models import ChecklistFile
from society.names.queries import file_shown
from society.names.views.acts import attempted, done
from society.names.views.checklist import keeper_of
from society.science.checklist_csv import ENTRY_COLUMNS, OWN_COLUMNS, TERMS

FILES_SHOWN = 30
COLUMNS = {"names": (*TERMS, *OWN_COLUMNS), "lists": ENTRY_COLUMNS}


@never_cache
def files(request: HttpRequest) -> HttpResponse:
    viewer = keeper_of(request)
    form = ChecklistFileForm(request.POST or None, request.FILES or None)
    added: list[ChecklistFile] = []
    if request.method == "POST" and form.is_valid():
        name, content = form.content()
        kind = form.cleaned_data["kind"]
        if done(
            form,
            lambda: added.append(
                services.checklist_file_add(kind=kind, name=name, content=content, by=viewer)
            ),
        ):
            return redirect("names:file", file_id=added[0].pk)
    context = {"form": form, "files": ChecklistFile.objects.all()[:FILES_SHOWN], "columns": COLUMNS}
    return render(request, "names/files.html", context)


@never_cache
@require_safe
def file(request: HttpRequest, file_id: int) -> HttpResponse:
    viewer = keeper_of(request)
    get_object_or_404(ChecklistFile, pk=file_id)
    row = services.checklist_file_look(file_id, by=viewer)
    return render(request, "names/file.html", {"shown": file_shown(row)})


@never_cache
@require_POST
def file_take(request: HttpRequest, file_id: int) -> HttpResponse:
    viewer = keeper_of(request)
    get_object_or_404(ChecklistFile, pk=file_id)
    services.checklist_file_take(file_id, by=viewer)
    messages.success(request, _("It is being taken over."))
    return redirect("names:file", file_id=file_id)


@never_cache
@require_POST
def file_drop(request: HttpRequest, file_id: int) -> HttpResponse:
    viewer = keeper_of(request)
    get_object_or_404(ChecklistFile, pk=file_id)
    words = _("The file is thrown away.")
    if attempted(request, lambda: services.checklist_file_drop(file_id, by=viewer), words):
        return redirect("names:files")
    return redirect("names:file", file_id=file_id)
