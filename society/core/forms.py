"""Showing a service's refusal beside the field it concerns."""

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.forms import BaseForm

from society.core.errors import Refused


def refusal_shown(form: BaseForm, error: Refused | ValidationError) -> None:
    """Put what a service refused into the form, beside its field where the form has it."""
    if isinstance(error, Refused):
        field = error.field if error.field in form.fields else None
        form.add_error(field, str(error.message))
        return
    held = (
        error.message_dict if hasattr(error, "error_dict") else {NON_FIELD_ERRORS: error.messages}
    )
    for name, messages in held.items():
        form.add_error(name if name in form.fields else None, list(messages))
