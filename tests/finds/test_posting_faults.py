"""What is typed wrongly: told beside its field, kept as typed, and nothing changed."""

import datetime as dt
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.test import Client

from society.core.models import Change
from society.finds.models import Find, FindDraft, PositionSource, YearNumber
from society.finds.services import OrganismEntry, PlaceEntry, SlipEntry
from society.members.models import Account
from tests.finds.typed import (
    only_find,
    page_text,
    picture,
    rows,
    send,
    typed,
)
from tests.make import TODAY, make_find, make_site

pytestmark = pytest.mark.django_db


class TestFaults:
    def test_every_fault_is_told_at_once_and_everything_typed_is_kept(
        self, ann: Account, ann_client: Client
    ) -> None:
        fields = typed(
            ann,
            date="2026-06-31",
            position="NY 12 3456",
            wood_decay="9",
            notes="still here",
            **rows("organisms", {"as_written": "", "distance_m": "3"}),
            **rows("readings", {"exposed": "milk", "seen": "white"}),
            **rows("eating", {"text": "said"}),
        )
        response = send(ann_client, fields | {"photographs": [picture()]})
        page = page_text(response)
        assert response.status_code == 422
        for words in (
            "That month has no such day.",
            "Both halves of a grid reference",
            "Name it, if only as",
            "Say after how many minutes",
            "Say who says so.",
        ):
            assert words in page
        assert response.context["form"]["notes"].value() == "still here"
        assert 'value="2026-06-31"' in page
        assert 'value="NY 12 3456"' in page
        assert 'value="white"' in page
        assert not Find.objects.exists()
        kept = FindDraft.objects.get()
        assert kept.fields["notes"] == ["still here"]
        assert kept.photographs.count() == 1
        assert f'name="photo_uuid" value="{kept.photographs.get().uuid}"' in " ".join(page.split())

    def test_the_photographs_kept_over_a_fault_go_with_the_find(
        self, ann: Account, ann_client: Client
    ) -> None:
        fields = typed(ann, date="")
        sent = {"photographs": [picture(), picture(colours=[(9, 9, 9)])]}
        send(ann_client, fields | sent | {"photograph_view": ["cap", "section"]})
        cap, section = FindDraft.objects.get().photographs.order_by("pk")
        again = fields | {
            "date": TODAY.isoformat(),
            "photo_uuid": [str(section.uuid)],
            f"photo_view-{cap.uuid}": "cap",
            f"photo_view-{section.uuid}": "underside",
        }
        assert send(ann_client, again).status_code == 302
        photograph = only_find().photographs.get()
        assert (photograph.uuid, photograph.view) == (section.uuid, "underside")

    @pytest.mark.parametrize(
        ("over", "words"),
        [
            ({"date": "2026-06-31"}, "That month has no such day."),
            ({"date": "", "date_words": "31 June 2026"}, "That month has no such day."),
            ({"date": "2026-12-24"}, "This date lies in the future."),
            ({"date": "", "date_words": "14-12 Oct 2026"}, "The last day comes before the first."),
            ({"date": ""}, "Say when"),
            ({"date": "", "date_words": "when the larches turned"}, "cannot be read"),
            ({"place_text": ""}, "Say where"),
            ({"position": "NY 12345"}, "even number of figures; this one has 5"),
            ({"position": "95.1, 190.2"}, "Latitude goes to 90"),
            ({"position": "100, 20"}, "may be the wrong way round"),
            ({"position": "by the gate"}, "neither as a grid reference nor as degrees"),
            ({"uncertainty": "0"}, "greater than or equal to 1"),
            ({"finder": ""}, "Say who found it."),
            ({"finder": "99999999999999999999999"}, "Select a valid choice"),
            ({"taxon": "99999999999999999999999", "name": "x"}, "less than or equal to"),
            ({"name": "<b>Russula</b>"}, "without &lt; or &gt;"),
            ({"name": "Rus\x00sula"}, "Null characters are not allowed"),
            ({"name": "R" * 10_000}, "at most 200 characters"),
            ({"place_text": "x" * 201}, "at most 200 characters"),
            ({"literature": "Big Book, p. 3"}, "Write the name this book led to"),
        ],
    )
    def test_each_fault_has_a_sentence_beside_its_field_and_changes_nothing(
        self, ann: Account, ann_client: Client, over: dict[str, str], words: str
    ) -> None:
        make_site()
        response = send(ann_client, typed(ann, **over))
        assert response.status_code == 422
        assert words in page_text(response)
        assert not Find.objects.exists()
        for name, value in over.items():
            if "\x00" not in value:
                assert response.context["form"][name].value() == value

    def test_degrees_the_wrong_way_round_say_how_to_write_them(
        self, ann: Account, ann_client: Client
    ) -> None:
        make_site()  # the society's region: 55.2 N, 2.6 W
        response = send(ann_client, typed(ann, position="-2.6, 55.2"))
        assert response.status_code == 422
        assert "write 55.2, -2.6" in page_text(response)

    def test_a_date_before_the_books_asks_and_then_is_taken(
        self, ann: Account, ann_client: Client
    ) -> None:
        fields = typed(ann, date="", date_words="3 Oct 1921")
        response = send(ann_client, fields)
        assert response.status_code == 422
        assert "earlier than the society&#x27;s earliest year" in page_text(response)
        assert 'name="date_sure"' in page_text(response)
        assert send(ann_client, fields | {"date_sure": "on"}).status_code == 302
        assert only_find().date_start == dt.date(1921, 10, 3)
        assert only_find().date_verbatim == "3 Oct 1921"

    def test_an_answered_question_stays_answered_while_other_faults_are_mended(
        self, ann: Account, ann_client: Client
    ) -> None:
        fields = typed(ann, date="", date_words="3 Oct 1921", date_sure="on", wood_decay="9")
        page = page_text(send(ann_client, fields))
        assert 'name="date_sure"' in page
        assert "earliest year" not in page

    def test_days_that_are_not_known_exactly_are_kept_as_a_span(
        self, ann: Account, ann_client: Client
    ) -> None:
        send(ann_client, typed(ann, date="", date_words="Oct 1998"))
        find = only_find()
        assert (find.date_start, find.date_end) == (dt.date(1998, 10, 1), dt.date(1998, 10, 31))

    def test_a_grid_reference_among_the_words_is_read_as_one(
        self, ann: Account, ann_client: Client
    ) -> None:
        send(ann_client, typed(ann, place_text="NY 623 854"))
        find = only_find()
        assert find.position_verbatim == find.place_verbatim.raw == "NY 623 854"
        assert find.position_source == PositionSource.TYPED

    def test_a_position_is_never_finer_than_it_was_written(
        self, ann: Account, ann_client: Client
    ) -> None:
        send(ann_client, typed(ann, position="NY 623 854", uncertainty="1"))
        # A square of 100 m reaches 71 m from its middle; 5 m more for the shift of datum.
        assert only_find().uncertainty_m == 76

    def test_the_phones_position_keeps_its_source_until_it_is_typed_over(
        self, ann: Account, ann_client: Client
    ) -> None:
        phone = {"position": "55.203140, -2.602710", "position_source": "phone"}
        send(ann_client, typed(ann, **phone, uncertainty="12"))
        send(ann_client, typed(ann, **phone | {"position": "NY 623 854"}))
        found, over = Find.objects.order_by("pk")
        assert (found.lat_e7, found.lon_e7, found.uncertainty_m) == (552_031_400, -26_027_100, 12)
        assert (found.position_source, found.position_verbatim) == (PositionSource.PHONE, "")
        assert over.position_source == PositionSource.TYPED

    def test_markup_in_notes_is_shown_as_it_was_written(
        self, ann: Account, ann_client: Client
    ) -> None:
        page = page_text(send(ann_client, typed(ann, notes="<script>x</script>"), follow=True))
        assert "<script>x" not in page
        assert "&lt;script&gt;x" in page


class TestWithoutScript:
    def test_one_row_more_keeps_everything_and_judges_nothing(
        self, ann: Account, ann_client: Client
    ) -> None:
        fields = typed(ann, date="31 Jun", **rows("organisms", {"as_written": "birch"}))
        sent = {"more_rows": "organisms", "photographs": [picture()]}
        response = send(ann_client, fields | sent)
        assert response.status_code == 200
        names = [form["as_written"].value() for form in response.context["organisms"].forms]
        assert names == ["birch", None]
        assert response.context["organisms"].forms[1]["part"].value() == "nearby"
        assert response.context["form"]["date"].value() == "31 Jun"
        assert len(response.context["draft_photographs"]) == 1
        assert not Find.objects.exists()

    def test_rows_that_do_not_exist_are_not_added(self, ann: Account, ann_client: Client) -> None:
        response = send(ann_client, typed(ann, more_rows="nonsense"))
        assert response.status_code == 200


class TestPastTheForm:
    """What no form lets through is refused by the service in words, and nothing is stored."""

    @pytest.mark.parametrize(
        ("over", "words"),
        [
            ({"date_end": TODAY - dt.timedelta(days=800)}, "find_dates_in_order"),
            ({"place": PlaceEntry(lat_e7=1, verbatim="x")}, "find_position_whole"),
            ({"place": PlaceEntry(lat_e7=950_000_000, lon_e7=1)}, "find_on_earth"),
            ({"place": PlaceEntry(uncertainty_m=0, verbatim="x")}, "find_uncertainty_positive"),
            ({"finder_id": 987_654}, "is not a valid choice"),
            ({"site_id": 987_654}, "is not a valid choice"),
            ({"visit_id": 987_654}, "is not a valid choice"),
            ({"slip": SlipEntry("Russula emetica", by_id=987_654)}, "is not a valid choice"),
            ({"organisms": (OrganismEntry("oak", taxon_id=987_654),)}, "is not a valid choice"),
            ({"plain": {"wood_decay": 9}}, "less than or equal to 5"),
        ],
    )
    def test_a_broken_entry_is_refused_in_words(
        self, ann: Account, over: dict[str, Any], words: str
    ) -> None:
        make_site()
        with pytest.raises(ValidationError, match=words):
            make_find(ann, **over)
        assert not Find.objects.exists()
        assert not Change.objects.exists()

    def test_a_number_given_out_twice_is_refused_in_words(self, ann: Account) -> None:
        find = make_find(ann)
        YearNumber.objects.filter(year=find.year).update(last=find.number - 1)
        with pytest.raises(ValidationError, match="already exists"):
            make_find(ann)
        assert Find.objects.count() == 1
