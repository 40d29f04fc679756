"""Finding anew what texts say on eating, when the detector has changed."""

from django.apps import apps

from society.core.free_text import FreeTextField, recompute_statements
from society.core.tasks import report_progress

STATEMENTS_JOB = "safety.recompute_statements"


def free_text_fields() -> list[tuple[type, str]]:
    """Return every model and field of the project that holds free text."""
    return [
        (model, field.name)
        for model in apps.get_models()
        for field in model._meta.concrete_fields
        if isinstance(field, FreeTextField)
    ]


def statements_recompute() -> tuple[int, int]:
    """Go through every free text; return how many rows were read and how many changed.

    Until it has run a text is judged anew each time it is read, so nothing is ever shown by an
    old word; running it again changes nothing.
    """
    fields = free_text_fields()
    read = changed = 0
    for number, (model, name) in enumerate(fields, start=1):
        rows, differing = recompute_statements(model, name)
        read, changed = read + rows, changed + differing
        report_progress(number, len(fields))
    return read, changed
