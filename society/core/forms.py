"""Showing a service's refusal beside the field it concerns."""

from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.forms import BaseForm

from society.core.errors import NotPermitted, Refused


def refusal_shown(form: BaseForm, error: Refused | ValidationError) -> None:
    """Put what a service refused into the form, beside its field where the form has it.

    What was not permitted is no fault of the form: it is raised again, for a 403.
    """
    if isinstance(error, NotPermitted):
        raise error
    if isinstance(error, Refused):
        faults = {
            error.field or NON_FIELD_ERRORS: [ValidationError(str(error.message), error.code)]
        }
    elif hasattr(error, "error_dict"):
        faults = error.error_dict
    else:
        faults = {NON_FIELD_ERRORS: error.error_list}
    for name, found in faults.items():
        form.add_error(name if name in form.fields else None, found)
