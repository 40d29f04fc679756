"""Forms of the finds room: shape and friendly messages; reading goes through ``science/``."""

from society.finds.forms.find import FindForm
from society.finds.forms.rows import (
    EatingNoteFormSet,
    OrganismFormSet,
    PhotographFormSet,
    ReadingFormSet,
)

__all__ = [
    "EatingNoteFormSet",
    "FindForm",
    "OrganismFormSet",
    "PhotographFormSet",
    "ReadingFormSet",
]
