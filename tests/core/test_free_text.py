"""Free text and its field: nothing shows it by accident, and what it says is stored beside it."""

import copy
import json
import pickle
from collections.abc import Iterator

import pytest
from django.core import serializers
from django.core.exceptions import ValidationError
from django.db import connection, models
from django.db.migrations.autodetector import MigrationAutodetector
from django.db.migrations.state import ModelState, ProjectState
from django.db.migrations.writer import MigrationWriter
from django.forms import modelform_factory
from django.template import Context, Engine
from django.test.utils import isolate_apps
from django.utils.html import conditional_escape
from django.utils.translation import gettext_lazy

from society.core.free_text import (
    FreeText,
    FreeTextField,
    on_eating_q,
    recompute_statements,
    statement_name,
    with_statements,
)
from society.science.statements import DETECTOR_VERSION

PLAIN = "Under birch, milk white."
PRAISE = "Delicious fried."


def note_model() -> type[models.Model]:
    class Note(models.Model):
        text = FreeTextField(max_length=40, blank=True)
        place = models.CharField(max_length=20, default="", blank=True)

        class Meta:
            app_label = "core"

    return Note


@pytest.fixture
def note(transactional_db) -> Iterator[type[models.Model]]:
    with isolate_apps("society.core"):
        model = note_model()
        with connection.schema_editor() as editor:
            editor.create_model(model)
        yield model
        with connection.schema_editor() as editor:
            editor.delete_model(model)


def stored(model: type[models.Model], pk: int) -> tuple[str, str]:
    with connection.cursor() as cursor:
        cursor.execute(
            f"SELECT text, text_statement FROM {model._meta.db_table} WHERE id = %s", [pk]
        )
        return cursor.fetchone()


# The value


@pytest.mark.parametrize(
    "show",
    [
        str,
        format,
        "{}".format,
        lambda text: f"{text}",
        lambda text: "%s" % text,  # noqa: UP031 - the very thing that must fail
        lambda text: ", ".join(2 * [text]),
        lambda text: "a" + text,
        conditional_escape,
        lambda text: Engine().from_string("{{ text }}").render(Context({"text": text})),
        lambda text: Engine().from_string("{{ text|linebreaks }}").render(Context({"text": text})),
        lambda text: (
            Engine()
            .from_string("{% for sign in text %}{{ sign }}{% endfor %}")
            .render(Context({"text": text}))
        ),
        lambda text: json.dumps({"text": text}),
        list,
    ],
)
def test_no_ordinary_way_shows_a_free_text(show):
    with pytest.raises(TypeError):
        show(FreeText("Delicious"))


@pytest.mark.parametrize("show", [str, format, FreeText.__html__])
def test_the_refusal_names_the_gate(show):
    with pytest.raises(TypeError, match=r"society\.safety\.gate"):
        show(FreeText("Delicious"))


def test_its_representation_gives_the_length_and_no_word_of_the_text():
    assert repr(FreeText("Delicious")) == "<FreeText of 9 characters>"


def test_it_compares_with_texts_and_strings_and_has_length_and_truth():
    text = FreeText(PLAIN)
    assert text == FreeText(PLAIN)
    assert text == PLAIN
    assert text != FreeText(PRAISE)
    assert text != 3
    assert len({text, FreeText(PLAIN), PLAIN}) == 1
    assert (bool(text), bool(FreeText("")), len(text)) == (True, False, len(PLAIN))


def test_it_tells_what_it_says_on_eating():
    text = FreeText(PRAISE)
    assert (text.on_eating, text.kind, text.detector_version) == (True, "praise", DETECTOR_VERSION)
    assert (FreeText(PLAIN).on_eating, FreeText(PLAIN).kind) == (False, None)
    assert text.raw == PRAISE


def test_it_is_made_from_another_and_from_a_lazy_translation():
    assert FreeText(FreeText(PRAISE)).raw == PRAISE
    assert FreeText(gettext_lazy("rank")).raw == "rank"


def test_copies_and_pickles_keep_the_text():
    text = FreeText(PRAISE)
    assert copy.deepcopy(text) == pickle.loads(pickle.dumps(text)) == text
    assert pickle.loads(pickle.dumps(text)).on_eating


def test_a_stored_statement_is_believed_only_of_this_version_and_this_text():
    mine = FreeText(PRAISE)
    right, wrong_text = mine.statement, FreeText(PLAIN).statement
    for old in (wrong_text, f"{DETECTOR_VERSION + 1}:warning:{right[-8:]}", "", "1:praise", ":::"):
        text = FreeText(PRAISE)
        text.believe(old)
        assert (text.kind, text.detector_version) == ("praise", DETECTOR_VERSION)
    # The right version and checksum are believed, which spares the search.
    text = FreeText(PRAISE)
    text.believe(right.replace(":praise:", ":warning:"))
    assert text.kind == "warning"


# The field


def test_a_string_assigned_becomes_a_free_text(note):
    row = note(text=PRAISE)
    assert isinstance(row.text, FreeText)
    row.text = PLAIN
    assert isinstance(row.text, FreeText)
    assert row.text == PLAIN
    assert note().text == ""


def test_saving_stores_the_text_and_beside_it_what_it_says(note):
    row = note.objects.create(text=PRAISE)
    text, statement = stored(note, row.pk)
    assert text == PRAISE
    assert statement.startswith(f"{DETECTOR_VERSION}:praise:")
    assert len(statement) <= 40
    row.text = PLAIN
    row.save()
    assert stored(note, row.pk)[1].startswith(f"{DETECTOR_VERSION}::")
    row.text = ""
    row.save()
    assert stored(note, row.pk) == ("", "")


def test_what_is_loaded_is_free_text_whichever_way_it_comes(note):
    note.objects.create(text=PRAISE)
    assert isinstance(note.objects.get().text, FreeText)
    assert isinstance(note.objects.defer("text").get().text, FreeText)
    assert isinstance(note.objects.values_list("text", flat=True).get(), FreeText)
    assert isinstance(note.objects.values("text").get()["text"], FreeText)
    row = note.objects.get()
    row.refresh_from_db()
    assert isinstance(row.text, FreeText)


def test_reading_a_stored_statement_searches_nothing(note, monkeypatch):
    note.objects.create(text=PRAISE)

    def never(raw):
        raise AssertionError("searched although the stored word holds")

    monkeypatch.setattr("society.core.free_text.detect", never)
    row = note.objects.get()
    assert (row.text.kind, row.text.detector_version) == ("praise", DETECTOR_VERSION)


def test_a_new_version_of_the_detector_searches_anew_when_read(note, monkeypatch):
    note.objects.create(text=PRAISE)
    monkeypatch.setattr("society.core.free_text.DETECTOR_VERSION", DETECTOR_VERSION + 1)
    note.objects.update(text_statement=f"{DETECTOR_VERSION}::00000000")
    row = note.objects.get()
    assert (row.text.kind, row.text.detector_version) == ("praise", DETECTOR_VERSION + 1)


def test_a_text_changed_behind_its_statement_is_searched_anew(note):
    first = note.objects.create(text=PLAIN)
    note.objects.filter(pk=first.pk).update(text=PRAISE)
    assert note.objects.get().text.kind == "praise"
    second = note.objects.get()
    second.text = "Poisonous."
    second.save(update_fields=["text"])
    assert note.objects.get().text.kind == "warning"


def test_the_text_assigned_after_loading_does_not_inherit_the_old_statement(note):
    note.objects.create(text=PLAIN)
    row = note.objects.get()
    assert not row.text.on_eating
    row.text = PRAISE
    assert row.text.kind == "praise"


def test_update_fields_are_completed_with_the_companion(note):
    assert with_statements(note, ["text", "place"]) == ["text", "place", "text_statement"]
    row = note.objects.create(text=PLAIN)
    row.text = PRAISE
    row.save(update_fields=with_statements(note, ["text"]))
    assert stored(note, row.pk)[1].startswith(f"{DETECTOR_VERSION}:praise:")


def test_many_rows_made_at_once_have_their_statements(note):
    note.objects.bulk_create([note(text=PRAISE), note(text=PLAIN)])
    kinds = note.objects.order_by("pk").values_list("text_statement", flat=True)
    assert [each.split(":")[1] for each in kinds] == ["praise", ""]


def test_it_is_searched_by_plain_strings_and_by_free_texts(note):
    note.objects.create(text=PRAISE)
    assert note.objects.filter(text=PRAISE).count() == 1
    assert note.objects.filter(text=FreeText(PRAISE)).count() == 1
    assert note.objects.filter(text__icontains="delic").count() == 1


def test_rows_that_speak_of_eating_are_asked_for_in_the_database(note):
    for text in (PRAISE, PLAIN, ""):
        note.objects.create(text=text)
    assert [row.text.raw for row in note.objects.filter(on_eating_q("text"))] == [PRAISE]


def test_full_clean_holds_the_length_and_refuses_nul_and_broken_characters(note):
    note(text="x" * 40).full_clean()
    for text, code in (
        ("x" * 41, "max_length"),
        ("a\x00b", "null_characters_not_allowed"),
        ("a\ud800b", "broken_character"),
    ):
        with pytest.raises(ValidationError) as caught:
            note(text=text).full_clean()
        assert [fault.code for fault in caught.value.error_dict["text"]] == [code]


def test_full_clean_keeps_the_value_a_free_text_and_asks_for_one_where_it_must_be(note):
    row = note(text=PRAISE)
    row.full_clean()
    assert isinstance(row.text, FreeText)
    with isolate_apps("society.core"):

        class Strict(models.Model):
            text = FreeTextField()

            class Meta:
                app_label = "core"

        with pytest.raises(ValidationError):
            Strict(text="").full_clean()


def test_dumps_hold_the_raw_text_and_load_back(note):
    note.objects.create(text=PRAISE)
    dump = serializers.serialize("json", note.objects.all())
    fields = json.loads(dump)[0]["fields"]
    assert fields["text"] == PRAISE
    assert fields["text_statement"].startswith(f"{DETECTOR_VERSION}:praise:")
    assert note._meta.get_field("text").value_to_string(note.objects.get()) == PRAISE


def test_a_model_form_starts_from_the_raw_words_and_sees_no_change_in_them(note):
    form_class = modelform_factory(note, fields=["text"])
    row = note.objects.create(text=PRAISE)
    assert PRAISE in form_class(instance=row).as_p()
    form = form_class({"text": PRAISE}, instance=row)
    assert form.is_valid()
    assert not form.has_changed()
    assert form_class({"text": PLAIN}, instance=row).has_changed()


def test_null_is_refused_by_a_check():
    with isolate_apps("society.core"):

        class Loose(models.Model):
            text = FreeTextField(null=True)

            class Meta:
                app_label = "core"

        assert "core.E001" in [fault.id for fault in Loose.check()]


# Migrations


def test_a_model_has_one_companion_and_so_have_those_that_inherit_it():
    with isolate_apps("society.core"):

        class Base(models.Model):
            text = FreeTextField()

            class Meta:
                abstract = True
                app_label = "core"

        class Child(Base):
            more = FreeTextField()

            class Meta:
                app_label = "core"

        names = [field.name for field in Child._meta.local_fields]
    assert sorted(names) == ["id", "more", "more_statement", "text", "text_statement"]
    assert statement_name("more") == "more_statement"


def test_a_historical_model_has_one_companion_and_no_change_is_seen():
    with isolate_apps("society.core"):
        model = note_model()
        state = ModelState.from_model(model)
    assert sorted(state.fields) == ["id", "place", "text", "text_statement"]
    project = ProjectState()
    project.add_model(state)
    old = project.apps.get_model("core", "Note")
    assert sorted(field.name for field in old._meta.local_fields) == sorted(state.fields)

    other = ProjectState()
    other.add_model(state.clone())
    assert MigrationAutodetector(project, other)._detect_changes() == {}


def test_a_migration_writes_the_field_by_its_path_without_a_second_companion():
    written, imports = MigrationWriter.serialize(FreeTextField(max_length=9))
    assert written == ("society.core.free_text.FreeTextField(max_length=9, with_statement=False)")
    assert imports == {"import society.core.free_text"}


def test_a_historical_model_still_writes_the_statement(note):
    project = ProjectState()
    project.add_model(ModelState.from_model(note))
    old = project.apps.get_model("core", "Note")
    row = old.objects.create(text=PRAISE)
    assert stored(note, row.pk)[1].startswith(f"{DETECTOR_VERSION}:praise:")


def test_altering_the_table_keeps_text_and_companion(note):
    row = note.objects.create(text=PRAISE)
    before = stored(note, row.pk)
    wider = models.CharField(max_length=60, default="")
    wider.set_attributes_from_name("place")
    wider.model = note
    with connection.schema_editor() as editor:
        editor.alter_field(note, note._meta.get_field("place"), wider)
    assert stored(note, row.pk) == before


# Finding anew


def test_recomputing_renews_stale_statements_only_and_twice_changes_nothing(note):
    fresh, stale, plain, empty = (
        note.objects.create(text=text) for text in (PRAISE, "Poisonous.", PLAIN, "")
    )
    note.objects.filter(pk=stale.pk).update(text_statement="0::00000000")
    note.objects.filter(pk=plain.pk).update(text_statement="")
    before = stored(note, fresh.pk)
    assert recompute_statements(note, "text", chunk=2) == (4, 2)
    assert stored(note, stale.pk)[1].startswith(f"{DETECTOR_VERSION}:warning:")
    assert stored(note, plain.pk)[1].startswith(f"{DETECTOR_VERSION}::")
    assert stored(note, empty.pk) == ("", "")
    assert stored(note, fresh.pk) == before
    assert recompute_statements(note, "text") == (4, 0)


def test_recomputing_follows_a_new_version(note, monkeypatch):
    row = note.objects.create(text=PRAISE)
    monkeypatch.setattr("society.core.free_text.DETECTOR_VERSION", DETECTOR_VERSION + 1)
    assert recompute_statements(note, "text") == (1, 1)
    assert stored(note, row.pk)[1].startswith(f"{DETECTOR_VERSION + 1}:praise:")
