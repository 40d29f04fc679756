"""History: one Change per act, with what stood before."""

import datetime as dt
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from society.core.free_text import FreeText
from society.core.history import change_record, values_before
from society.core.models import Change, FieldVersion
from society.members.models import Society
from tests import make


@pytest.fixture
def society(db: None) -> Society:
    return make.make_society(welcome="Come and look.")


def test_an_act_is_written_with_its_actor_verb_object_and_fields(society: Society) -> None:
    change_record("society.edited", society, actor_id=7, fields=["name"], prior={"vet_number": ""})
    change = Change.objects.get()
    assert (change.actor_id, change.verb) == (7, "society.edited")
    assert (change.object_kind, change.object_id) == ("members.society", society.pk)
    assert change.fields == ["name", "vet_number"]


def test_values_are_kept_as_text_in_a_table_of_their_own(society: Society) -> None:
    prior = {
        "words": FreeText("Delicious, they said."),
        "nothing": None,
        "whole": 7,
        "exact": Decimal("2.5"),
        "day": dt.date(2026, 10, 18),
        "row": society,
        "shape": {"type": "Polygon", "mark": "ä"},
        "several": ["Betula", "Picea"],
    }
    change_record("society.edited", society, actor_id=None, prior=prior)
    kept = dict(FieldVersion.objects.values_list("field", "prior"))
    assert kept == {
        "words": "Delicious, they said.",
        "nothing": "",
        "whole": "7",
        "exact": "2.5",
        "day": "2026-10-18",
        "row": "1",
        "shape": '{"type": "Polygon", "mark": "ä"}',
        "several": '["Betula", "Picea"]',
    }


def test_the_line_of_history_itself_holds_no_value(society: Society) -> None:
    change_record("society.edited", society, actor_id=None, prior={"name": "Hagg Wood Club"})
    row = Change.objects.values().get()
    assert "Hagg Wood" not in str(row)


def test_only_fields_that_differ_count_as_changed(society: Society) -> None:
    new = {"name": society.name, "welcome": "Come and look.", "earliest_year": 1900}
    assert values_before(society, new) == {"earliest_year": 1950}
    assert values_before(society, {"welcome": "Stay away."}) == {"welcome": "Come and look."}


def test_history_goes_with_its_act(society: Society) -> None:
    with transaction.atomic():
        change_record("society.edited", society, actor_id=None)
        transaction.set_rollback(True)
    assert not Change.objects.exists()


def test_a_line_of_history_is_never_edited(society: Society) -> None:
    change = change_record("society.edited", society, actor_id=7)
    with pytest.raises(IntegrityError), transaction.atomic():
        Change.objects.filter(pk=change.pk).update(actor_id=8)
    change.refresh_from_db()
    assert change.actor_id == 7


def test_a_value_that_stood_before_can_be_erased(society: Society) -> None:
    change_record("society.edited", society, actor_id=7, prior={"name": "Hagg Wood Club"})
    FieldVersion.objects.update(prior="")
    assert FieldVersion.objects.get().prior == ""
