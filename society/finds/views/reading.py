"""What several views of this room read from a request."""

from uuid import UUID

from django.http import Http404
from django.shortcuts import get_object_or_404

from society.finds.models import Find
from society.members.permissions import Viewer


def visible_find(viewer: Viewer, year: int, number: int) -> Find:
    """Return the find at this address, or answer 404 to whoever may not see it."""
    finds = Find.objects.visible_to(viewer).select_related("site", "finder")
    return get_object_or_404(finds, year=year, number=number)


def find_of_number(viewer: Viewer, spoken_number: str) -> Find:
    """Return the find of a number such as ``2026/417``, or answer 404."""
    year, _slash, number = spoken_number.partition("/")
    if not all(part.isascii() and part.isdigit() and len(part) < 9 for part in (year, number)):
        raise Http404
    return visible_find(viewer, int(year), int(number))


def uuid_read(text: str | None) -> UUID | None:
    """Return the uuid written, None where there is none or it is not one."""
    try:
        return UUID(text or "")
    except ValueError:
        return None
