"""Two people changed one find: what differs between what stands and what was typed."""

from dataclasses import dataclass
from typing import Any

from django.forms import BoundField
from django.utils.translation import gettext as _

from society.core.models import Change
from society.finds.models import Find
from society.finds.views.form_page import FindPageForms
from society.members.models import Person

TITLES = {
    "organisms": "as_written",
    "readings": "seen",
    "eating": "text",
    "photos": "caption",
}


@dataclass(frozen=True, slots=True)
class Difference:
    label: str
    stored: str
    typed: str


def last_changed(find: Find) -> tuple[Change | None, str]:
    """Return the latest change of a find and the name of who made it. Two queries."""
    change = (
        Change.objects.filter(object_kind=Find._meta.label_lower, object_id=find.pk)
        .order_by("-pk")
        .first()
    )
    if change is None or change.actor_id is None:
        return change, ""
    return change, str(Person.objects.filter(pk=change.actor_id).first() or "")


def differences(stored: FindPageForms, typed: FindPageForms) -> list[Difference]:
    """Return the fields whose stored value is another than the one typed, in the page's order."""
    found = []
    for field in typed.form.visible_fields():
        if field.name == "date_sure":
            continue
        ours, theirs = _words(field), _words(stored.form[field.name])
        if ours != theirs:
            found.append(Difference(str(field.label), theirs, ours))
    labels = {
        "organisms": _("Trees and plants"),
        "readings": _("Timed readings"),
        "eating": _("Notes on eating"),
        "photos": _("Photographs"),
    }
    for prefix, title in TITLES.items():
        ours, theirs = (_rows_words(page.rows[prefix], title) for page in (typed, stored))
        if ours != theirs:
            found.append(Difference(labels[prefix], theirs, ours))
    return found


def _rows_words(formset: Any, title: str) -> str:
    """Say the filled-in rows in one line; the row's chief field stands for it, then the rest."""
    said = []
    for form in formset.forms:
        values = [_words(form[name]) for name in form.fields if not form[name].is_hidden]
        if form[title].value() or form.initial:
            said.append(" ".join(value for value in values if value))
    return "; ".join(said)


def _words(field: BoundField) -> str:
    """Return a field's value as one reads it."""
    value = field.value()
    if value is None or value == "" or value is False:
        return ""
    chosen = {str(one) for one in value} if isinstance(value, list) else {str(value)}
    choices: Any = getattr(field.field, "choices", None)
    if choices is None:
        return _("yes") if value is True or value == "on" else " ".join(str(value).split())
    return ", ".join(str(words) for key, words in choices if str(key) in chosen and str(key))
