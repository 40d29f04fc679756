"""Every template compiles, holds no inline script or style, shows free text by the gate only."""

import ast
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from django.apps import apps
from django.template import TemplateSyntaxError
from django.template.loader import get_template

from society.core.free_text import FreeTextField
from tests.contract.direction import ROOMS, ROOT, rank_of, sources
from tests.contract.templates_read import (
    bare_html,
    files,
    free_text_offences,
    inline_offences,
    name_of,
    unescaped,
    untranslated,
)

PAGES = [path for path in files() if path.suffix == ".html"]
EVERY = files()

# Plain mail has nothing to escape into; no page is among them.
WRITES_UNESCAPED = {
    "members/mail_password_reset.txt",
    "members/mail_password_reset_subject.txt",
    "review/mail_notice.txt",
    "review/mail_notice_subject.txt",
}
# Modules that say of a string that it is safe HTML, and why they may.
MAKES_SAFE = {
    "society/core/rendering.py": "form fields written at once, each value escaped as it is written",
    "society/finds/templatetags/finds.py": "boxes to tick, escaped by format_html_join",
    "society/lists/templatetags/lists.py": "rows of long tables, each value escaped as written",
    "society/safety/gate.py": "the gate: escapes every text itself",
    "society/safety/templatetags/safety.py": "hands on what the gate made",
}
# Modules that take the plain words out of a free text, and where those words go.
TAKES_RAW = {
    "society/core/free_text.py": "the field itself: storing, comparing, the form's text box",
    "society/core/history.py": "the value before a change, for the history's own table",
    "society/safety/gate.py": "the gate",
    "society/finds/services/rows.py": "compares what is stored with what was sent",
    "society/finds/views/initial.py": "the text boxes of the writer's own form",
    "society/finds/forms/when_where.py": "the text boxes of the writer's own form",
    "society/lists/queries/logbook.py": "a key to group by; the page shows it through the gate",
}
# Words that stand outside translation tags, with the template they stand in.
NOT_TRANSLATED: dict[str, set[str]] = {
    "base.html": {"/poisoning/"},  # an address, in print
    "review/desk.html": {"Enter"},  # what is printed on the key
}
# Variables that share the name of a free text's field and are none.
NO_FREE_TEXT: dict[str, set[str]] = {
    "lists/search.html": {"found.text"},  # what was looked for
    "finds/_form_eating.html": {"row.text"},  # a field of the form
}


def source_of(path: Path) -> str:
    return path.read_text(encoding="utf-8")


def free_text_names() -> frozenset[str]:
    return frozenset(
        field.name
        for model in apps.get_models()
        for field in model._meta.local_fields
        if isinstance(field, FreeTextField)
    )


def faults(paths: list[Path], judge: Callable[[Path], list[str]]) -> dict[str, list[str]]:
    """Return what ``judge`` finds, by template; nothing for those it finds nothing in."""
    assert len(paths) > 80
    found = {name_of(path): judge(path) for path in paths}
    return {name: said for name, said in found.items() if said}


def test_every_template_compiles():
    def fault(path: Path) -> list[str]:
        try:
            get_template(name_of(path))
        except TemplateSyntaxError as error:
            return [str(error)]
        return []

    assert faults(EVERY, fault) == {}


def test_no_template_holds_inline_script_or_style():
    assert faults(PAGES, lambda path: inline_offences(bare_html(source_of(path)))) == {}


@pytest.mark.parametrize(
    "html",
    [
        "<script>alert(1)</script>",
        '<script src="a.js">alert(1)</script>',
        "<style>p { color: red }</style>",
        '<p style="color: red">x</p>',
        '<a href="#" onclick="go()">x</a>',
        '<a href=" javascript:go()">x</a>',
        '<img src="a.png" onerror="go()" />',
    ],
)
def test_inline_script_and_style_are_found_out(html: str):
    assert inline_offences(html)


def test_only_the_plain_mails_write_unescaped():
    found = {name_of(path) for path in EVERY if unescaped(source_of(path))}
    assert found == WRITES_UNESCAPED
    assert all(name.endswith(".txt") for name in WRITES_UNESCAPED)


@pytest.mark.parametrize(
    "source",
    [
        "{{ find.name|safe }}",
        "{% autoescape off %}{{ x }}{% endautoescape %}",
        "{{ names|safeseq|join:', ' }}",
        "{% with x=y|safe %}{{ x }}{% endwith %}",
    ],
)
def test_writing_unescaped_is_found_out(source: str):
    assert unescaped(source)


def test_a_template_shows_free_text_through_the_gate_only():
    names = free_text_names()

    def fault(path: Path) -> list[str]:
        none = NO_FREE_TEXT.get(name_of(path), set())
        offences = free_text_offences(source_of(path), names)
        return [tag for tag in offences if not any(name in tag for name in none)]

    assert faults(EVERY, fault) == {}


@pytest.mark.parametrize(
    "source",
    [
        "{{ find.notes }}",
        "{{ row.slip.remarks|truncatewords:5 }}",
        "{% blocktranslate with words=comment.text %}{{ words }}{% endblocktranslate %}",
        '{% include "parts/_empty.html" with text=site.cautions only %}',
        "{% with words=find.notes %}{{ words }}{% endwith %}",
        "{% firstof find.notes 'none' %}",
        "{% free_text find.notes.raw %}",
        '<p title="{{ photo.caption }}">',
    ],
)
def test_a_free_text_past_the_gate_is_found_out(source: str):
    assert free_text_offences(source, free_text_names())


def test_the_gates_own_tags_and_a_forms_fields_pass():
    names = free_text_names()
    assert names >= {"notes", "remarks", "caption", "text", "reason", "welcome", "cautions"}
    source = (
        "{% if find.notes %}{% free_text find.notes %}{% endif %}{% eating_note note %}"
        '{{ form.notes }}{% include "parts/_field.html" with field=comment_form.text only %}'
    )
    assert free_text_offences(source, names) == []


def modules_with(*attributes: str) -> set[str]:
    """Return the modules in which a name or an attribute of these is used."""
    found = set()
    for path in sources(ROOT / "society"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            used = {
                ast.Attribute: "attr",
                ast.Name: "id",
                ast.alias: "name",
            }.get(type(node))
            if used and getattr(node, used) in attributes:
                found.add(str(path.relative_to(ROOT)))
    return found


def test_only_the_gate_says_of_a_string_that_it_is_safe_html():
    assert modules_with("mark_safe", "SafeString", "format_html", "format_html_join") == set(
        MAKES_SAFE
    )


def test_only_listed_modules_take_the_plain_words_out_of_a_free_text():
    assert modules_with("raw") == set(TAKES_RAW)


def test_every_word_for_people_stands_in_a_translation_tag():
    found = faults(
        EVERY, lambda path: untranslated(source_of(path), is_plain=path.suffix == ".txt")
    )
    assert {name: set(words) for name, words in found.items()} == NOT_TRANSLATED


@pytest.mark.parametrize(
    ("source", "words"),
    [
        ("<p>No finds yet.</p>", ["No finds yet."]),
        ('<p>{% translate "No finds yet." %} Post one.</p>', ["Post one."]),
        ('<input placeholder="Search" value="x">', ["Search"]),
        ("{% if x %}<b>open</b>{% else %}—{% endif %}", ["open"]),
        ("{% blocktranslate %}All is well.{% endblocktranslate %} ({{ n }} m)", []),
        ("{# a remark #}{% comment %}words{% endcomment %}<kbd>j</kbd>", []),
        ('<p class="soft" id="words">{{ words }}</p>', []),
    ],
)
def test_words_outside_translation_tags_are_found_out(source: str, words: list[str]):
    assert untranslated(source) == words


def partials_to_the_right(name: str, source: str) -> list[str]:
    """Return what the template ``name`` is made of that lies in a room it may not reach; what
    belongs to no room reaches none."""
    room = name.split("/")[0]
    named = re.findall(r"""{%-?\s*(?:include|extends)\s+["']([^"']+)""", source)
    reached = [other for other in named if other.split("/")[0] in ROOMS]
    if room not in ROOMS:
        return reached
    return [other for other in reached if rank_of(other.split("/")[0]) > rank_of(room)]


def test_a_template_is_made_of_partials_of_its_own_room_or_to_its_left():
    found = faults(EVERY, lambda path: partials_to_the_right(name_of(path), source_of(path)))
    assert found == {}
    source = '{% include "lists/_row.html" %}{% include "parts/_name.html" %}'
    assert partials_to_the_right("finds/post.html", source) == ["lists/_row.html"]
    assert partials_to_the_right("lists/site.html", source) == []
