"""Writing form fields out at once.

Django fills a template for every field and for every single option of a list; a form of eighty
fields spends most of its time there. The common widgets are written here instead, sign for sign
as Django's own templates write them but for the white space between tags. Any other widget is
still rendered by its template.
"""

from collections.abc import Callable, Mapping
from html import escape
from typing import Any

from django.forms.renderers import DjangoTemplates
from django.utils.safestring import SafeString, mark_safe

Widget = Mapping[str, Any]

PLAIN_INPUTS = ("text", "number", "email", "url", "password", "hidden", "date", "time")
FOLDER = "django/forms/widgets/"


class DirectRenderer(DjangoTemplates):
    """Django's renderer, with the common widgets written without a template (``FORM_RENDERER``)."""

    def render(self, template_name: str, context: dict[str, Any], request: Any = None) -> Any:
        write = WRITERS.get(template_name)
        if write is None:
            return super().render(template_name, context, request)
        return mark_safe(write(context["widget"]))


def _escaped(value: Any) -> str:
    return str(value) if isinstance(value, SafeString) else escape(str(value))


def _attributes(attrs: Mapping[str, Any]) -> str:
    """True stands as a bare name, False not at all."""
    return "".join(
        f" {_escaped(name)}" if value is True else f' {_escaped(name)}="{_escaped(value)}"'
        for name, value in attrs.items()
        if value is not False
    )


def _input(widget: Widget) -> str:
    value = "" if widget["value"] is None else f' value="{_escaped(widget["value"])}"'
    kind, name = _escaped(widget["type"]), _escaped(widget["name"])
    return f'<input type="{kind}" name="{name}"{value}{_attributes(widget["attrs"])}>'


def _textarea(widget: Widget) -> str:
    # Browsers drop a new line at the start of the text: this one, and not the writer's.
    name, text = _escaped(widget["name"]), _escaped(widget["value"] or "")
    return f'<textarea name="{name}"{_attributes(widget["attrs"])}>\n{text}</textarea>'


def _select(widget: Widget) -> str:
    parts = [f'<select name="{_escaped(widget["name"])}"{_attributes(widget["attrs"])}>']
    for group, options, _ in widget["optgroups"]:
        written = "".join(map(_option, options))
        if group:
            written = f'<optgroup label="{_escaped(group)}">{written}</optgroup>'
        parts.append(written)
    return "".join([*parts, "</select>"])


def _option(option: Widget) -> str:
    value, attrs = _escaped(option["value"]), _attributes(option["attrs"])
    return f'<option value="{value}"{attrs}>{_escaped(option["label"])}</option>'


def _choices(widget: Widget) -> str:
    """Boxes or buttons to choose by, each within its label."""
    attrs = widget["attrs"]
    parts = ["<div", *(f' {at}="{_escaped(attrs[at])}"' for at in ("id", "class") if attrs.get(at))]
    parts.append(">")
    for group, options, _ in widget["optgroups"]:
        written = "".join(f"<div>{_choice(option)}</div>" for option in options)
        if group:
            written = f"<div><label>{_escaped(group)}</label>{written}</div>"
        parts.append(written)
    return "".join([*parts, "</div>"])


def _choice(option: Widget) -> str:
    if not option.get("wrap_label"):  # of choices under a heading Django writes the box alone
        return _input(option)
    key = option["attrs"].get("id")
    names = f' for="{_escaped(key)}"' if key else ""
    return f"<label{names}>{_input(option)} {_escaped(option['label'])}</label>"


WRITERS: dict[str, Callable[[Widget], str]] = {
    **{f"{FOLDER}{kind}.html": _input for kind in (*PLAIN_INPUTS, "checkbox")},
    f"{FOLDER}textarea.html": _textarea,
    f"{FOLDER}select.html": _select,
    f"{FOLDER}checkbox_select.html": _choices,
    f"{FOLDER}radio.html": _choices,
}
