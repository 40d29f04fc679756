"""Form fields written at once say what Django's own templates would say."""

import datetime as dt
import re
from typing import Any

import pytest
from django import forms
from django.forms.renderers import DjangoTemplates, get_default_renderer
from django.utils.safestring import mark_safe
from django.utils.translation import gettext_lazy
from hypothesis import given
from hypothesis import strategies as st

from society.core.rendering import WRITERS, DirectRenderer

GROUPED: list[Any] = [
    ("", gettext_lazy("not said")),
    (7, "Ash & <Oak>"),
    ("Trees", [("b", 'the "birch"'), ("h", mark_safe("<i>Corylus</i>"))]),
]
ATTRS = {"id": "id_x", "class": "a<b", "required": True, "hidden": False, "data-most": 3}
WIDGETS: list[tuple[forms.Widget, Any]] = [
    (forms.TextInput(), 'O\'Brien & "<b>"'),
    (forms.TextInput(), None),
    (forms.NumberInput(), 0),
    (forms.EmailInput(), "a@b.c"),
    (forms.URLInput(), "https://caldermoss.example/?a=1&b=2"),
    (forms.PasswordInput(), "secret"),
    (forms.HiddenInput(), 17),
    (forms.DateInput(format="%Y-%m-%d"), dt.date(2026, 10, 18)),
    (forms.TimeInput(format="%H:%M"), dt.time(9, 5)),
    (forms.CheckboxInput(), True),
    (forms.CheckboxInput(), "some<thing"),
    (forms.Textarea(attrs={"rows": 2}), "\ntwo\nlines & <more>"),
    (forms.Textarea(), None),
    (forms.Select(choices=GROUPED), 7),
    (forms.Select(choices=GROUPED), "h"),
    (forms.Select(choices=GROUPED), None),
    (forms.SelectMultiple(choices=GROUPED), ["b", "7"]),
    (forms.CheckboxSelectMultiple(choices=GROUPED), ["b", 7]),
    (forms.RadioSelect(choices=GROUPED), "b"),
]


def said(widget: forms.Widget, value: Any, renderer: Any) -> str:
    written = widget.render("x", value, attrs=ATTRS, renderer=renderer)
    assert hasattr(written, "__html__")
    return re.sub(r"\s+", " ", written).replace("> <", "><")


@pytest.mark.parametrize(("widget", "value"), WIDGETS)
def test_a_widget_is_written_as_its_template_writes_it(widget: forms.Widget, value: Any) -> None:
    assert said(widget, value, DirectRenderer()) == said(widget, value, DjangoTemplates())


@given(st.text(), st.text())
def test_whatever_is_typed_is_escaped_as_the_template_escapes_it(value: str, label: str) -> None:
    select = forms.Select(choices=[(value, label)])
    for widget in (forms.TextInput(), forms.Textarea(), select):
        plain = widget.render("x", value, renderer=DirectRenderer())
        assert re.sub(r"\s+", "", plain) == re.sub(
            r"\s+", "", widget.render("x", value, renderer=DjangoTemplates())
        )


def test_a_widget_without_a_writer_is_rendered_by_its_template() -> None:
    widget = forms.SplitDateTimeWidget(date_format="%Y-%m-%d")
    assert widget.template_name not in WRITERS
    assert '<input type="text" name="x_0" value="2026-10-18"' in widget.render(
        "x", dt.datetime(2026, 10, 18, 9, 5, tzinfo=dt.UTC), renderer=DirectRenderer()
    )


def test_every_form_is_written_so() -> None:
    assert isinstance(get_default_renderer(), DirectRenderer)
