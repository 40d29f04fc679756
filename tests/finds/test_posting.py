"""Posting a find through its page."""

import datetime as dt
import uuid
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection, connections
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from society.core.models import Change
from society.finds.models import Find, FindDraft, Photograph, PositionSource
from society.members.models import Account
from society.names.models import Character, CharacterState
from tests.finds.typed import client_of, page_text, picture, rows, send, typed
from tests.make import (
    TODAY,
    make_account,
    make_find,
    make_host,
    make_person,
    make_site,
    make_taxon,
    make_visit,
)

pytestmark = pytest.mark.django_db


def only_find() -> Find:
    return Find.objects.get()


class TestAPlainRecord:
    def test_when_where_and_who_is_all_it_needs(self, ann: Account, ann_client: Client) -> None:
        response = send(ann_client, typed(ann))
        find = only_find()
        assert response.status_code == 302
        assert response["Location"] == reverse("review:find", args=[find.year, find.number])
        assert (find.date_start, find.date_end, find.finder) == (TODAY, TODAY, ann.person)
        assert find.place_verbatim.raw == "by the stream"
        assert find.lat_e7 is None
        assert find.entered_by == ann.person
        assert not find.slips.exists()

    def test_its_number_counts_up_within_its_year(self, ann: Account, ann_client: Client) -> None:
        for date in ("2026-10-01", "2025-10-01", "2026-10-02"):
            send(ann_client, typed(ann, date=date))
        assert [find.spoken_number for find in Find.objects.order_by("pk")] == [
            "2026/1",
            "2025/1",
            "2026/2",
        ]

    def test_the_page_starts_with_today_and_oneself(self, ann: Account, ann_client: Client) -> None:
        form = ann_client.get(reverse("finds:post")).context["form"]
        assert form["date"].value() == TODAY
        assert form["finder"].value() == ann.person_id

    def test_who_is_not_signed_in_is_sent_to_sign_in(self, client: Client) -> None:
        for response in (client.get(reverse("finds:post")), client.post(reverse("finds:post"))):
            assert response.status_code == 302
            assert response["Location"].startswith(reverse("members:signin"))
        assert not Find.objects.exists()


class TestEverythingAtOnce:
    def test_all_that_was_seen_is_kept(self, ann: Account, ann_client: Client) -> None:
        ben, site = make_person("Ben Dodd"), make_site("Hagg Wood")
        visit = make_visit(site)
        taxon = make_taxon("Lactarius deterrimus")
        spruce = make_host("Picea abies", english="Norway spruce")
        red = _state("cap_colour", "red")
        fields = typed(
            ann,
            name="Lactarius deterrimus",
            taxon=taxon.pk,
            site=site.pk,
            position="NY 623 854",
            place_text="below the deer fence",
            uncertainty="100",
            time_of_day="14:05",
            substrate="litter",
            substrate_note="needles",
            form="agaric",
            habitat="planted spruce",
            soil="acid",
            moss_layer="Hylocomium",
            wood_part="branch",
            wood_position="fallen",
            wood_decay="2",
            wood_girth_cm="40",
            count="7",
            growth="troop",
            stage="mature",
            base="lifted",
            states=[red.pk],
            spore_print="cream",
            in_hand="fresh",
            specimen_kept="on",
            specimen_number="AH 12",
            fungarium="own",
            notes="Two\r\nlines.",
            companions=[ben.pk],
            visit=visit.pk,
            collector_number="AH-2026-12",
            basis="microscope",
            literature="Heilmann-Clausen 1998, p. 12",
            made_secret="3",
            **rows(
                "organisms",
                {
                    "as_written": "Norway spruce",
                    "part": "host",
                    "distance_m": "2.5",
                    "state": "living",
                    "certainty": "sure",
                },
            ),
            **rows(
                "readings",
                {"exposed": "milk", "minutes": "0", "seen": "orange"},
                {"exposed": "milk", "minutes": "10", "not_looked": "on"},
                {"exposed": "reagent", "reagent": "KOH 5 %", "minutes": "1", "seen": "yellow"},
            ),
            **rows(
                "eating",
                {"said_by": "a passer-by", "source": "hearsay", "text": "She eats them."},
            ),
        )
        assert send(ann_client, fields).status_code == 302
        find = only_find()
        assert find.site == site
        assert find.visit == visit
        assert find.position_verbatim == "NY 623 854"
        assert find.place_verbatim.raw == "below the deer fence"
        assert find.position_source == PositionSource.TYPED
        assert find.uncertainty_m == 100
        assert find.time_of_day == dt.time(14, 5)
        assert find.notes.raw == "Two\nlines."
        assert (find.substrate, find.soil, find.growth, find.base) == (
            "litter",
            "acid",
            "troop",
            "lifted",
        )
        assert (find.wood_decay, find.wood_girth_cm, find.count) == (2, 40, 7)
        assert find.specimen_kept
        assert find.made_secret == find.secrecy == 3
        assert list(find.companions.all()) == [ben]
        host = find.organisms.get()
        assert (host.taxon, host.part, host.distance_m) == (spruce, "host", Decimal("2.5"))
        assert [(row.exposed, str(row.minutes), row.looked, row.seen) for row in
                find.readings.order_by("pk")] == [
            ("milk", "0.0", True, "orange"),
            ("milk", "10.0", False, ""),
            ("reagent", "1.0", True, "yellow"),
        ]  # fmt: skip
        assert find.observed_characters.get().state == red
        note = find.eating_notes.get()
        assert (note.said_by, note.by, note.text.raw) == (
            "a passer-by",
            ann.person,
            "She eats them.",
        )
        slip = find.slips.get()
        assert (slip.taxon, slip.basis, slip.literature) == (
            taxon,
            "microscope",
            "Heilmann-Clausen 1998, p. 12",
        )
        assert Change.objects.filter(verb="find.posted", object_id=find.pk).count() == 1

    def test_a_note_on_eating_stands_with_the_notice(
        self, ann: Account, ann_client: Client
    ) -> None:
        eating = rows("eating", {"said_by": "a passer-by", "text": "She eats them."})
        page = page_text(send(ann_client, typed(ann, **eating), follow=True))
        assert "She eats them." in page
        assert reverse("safety:poisoning") in page
        assert 'class="caution' in page


class TestNames:
    def test_a_name_the_checklist_lacks_is_kept_as_written(
        self, ann: Account, ann_client: Client
    ) -> None:
        send(ann_client, typed(ann, name="Mycena from the lower bog"))
        slip = only_find().slips.get()
        assert (slip.name_written, slip.taxon) == ("Mycena from the lower bog", None)

    def test_a_synonym_leads_on_and_the_words_stay(self, ann: Account, ann_client: Client) -> None:
        accepted = make_taxon("Lactarius deterrimus")
        synonym = make_taxon("Lactarius novus", accepted=accepted)
        send(ann_client, typed(ann, name="Lactarius novus"))
        slip = only_find().slips.get()
        assert (slip.name_written, slip.taxon, slip.taxon.current) == (
            "Lactarius novus",
            synonym,
            accepted,
        )

    def test_an_english_name_and_a_doubt_are_understood(
        self, ann: Account, ann_client: Client
    ) -> None:
        taxon = make_taxon("Russula emetica", english="the sickener")
        send(ann_client, typed(ann, name="the sickener"))
        send(ann_client, typed(ann, name="Russula cf. emetica"))
        english, doubtful = (find.slips.get() for find in Find.objects.order_by("pk"))
        assert (english.taxon, english.qualifier) == (taxon, "")
        assert (doubtful.taxon, doubtful.qualifier) == (taxon, "cf.")

    def test_a_misspelt_name_points_nowhere(self, ann: Account, ann_client: Client) -> None:
        make_taxon("Russula emetica")
        send(ann_client, typed(ann, name="Russula emetika"))
        slip = only_find().slips.get()
        assert (slip.name_written, slip.taxon) == ("Russula emetika", None)

    def test_a_choice_from_the_list_counts_only_while_the_words_still_say_it(
        self, ann: Account, ann_client: Client
    ) -> None:
        emetica, betularum = make_taxon("Russula emetica"), make_taxon("Russula betularum")
        send(ann_client, typed(ann, name="Russula betularum", taxon=emetica.pk))
        assert only_find().slips.get().taxon == betularum

    def test_hosts_are_found_by_any_of_their_names(self, ann: Account, ann_client: Client) -> None:
        birch = make_host("Betula pendula", english="silver birch")
        organisms = rows("organisms", {"as_written": "silver birch"}, {"as_written": "some willow"})
        send(ann_client, typed(ann, **organisms))
        found = [(row.as_written, row.taxon) for row in only_find().organisms.order_by("pk")]
        assert found == [("silver birch", birch), ("some willow", None)]

    def test_a_name_of_a_species_that_is_kept_secret_makes_its_place_secret(
        self, ann: Account, ann_client: Client
    ) -> None:
        make_taxon("Hericium erinaceus", sensitivity=2)
        send(ann_client, typed(ann, name="Hericium erinaceus"))
        assert only_find().secrecy == 2


class TestPeople:
    def test_a_find_of_somebody_else_says_who_entered_it(
        self, ann: Account, ann_client: Client
    ) -> None:
        walter, ben = make_person("Walter Brierley"), make_person("Ben Dodd")
        fields = typed(ann, finder=walter.pk, name="Russula", determiner=ben.pk)
        send(ann_client, fields)
        find = only_find()
        assert (find.finder, find.entered_by) == (walter, ann.person)
        assert (find.slips.get().by, find.slips.get().entered_by) == (ben, ann.person)

    def test_the_finder_names_it_unless_another_is_said_to(
        self, ann: Account, ann_client: Client
    ) -> None:
        walter = make_person("Walter Brierley")
        send(ann_client, typed(ann, finder=walter.pk, name="Russula"))
        assert only_find().slips.get().by == walter

    def test_the_finder_is_no_companion_of_their_own(
        self, ann: Account, ann_client: Client
    ) -> None:
        send(ann_client, typed(ann, companions=[ann.person_id]))
        assert not only_find().companions.exists()

    def test_another_from_this_spot_keeps_place_day_company_and_trees(
        self, ann: Account, ann_client: Client
    ) -> None:
        site, ben = make_site("Hagg Wood"), make_person("Ben Dodd")
        fields = typed(
            ann,
            another="1",
            name="Russula emetica",
            site=site.pk,
            position="NY 623 854",
            companions=[ben.pk],
            habitat="bog wood",
            notes="red",
            **rows("organisms", {"as_written": "birch"}),
        )
        response = ann_client.post(reverse("finds:post"), fields, follow=True)
        form = response.context["form"]
        kept = {name: form[name].value() for name in ("site", "position", "habitat", "finder")}
        assert kept == {
            "site": site.pk,
            "position": "NY 623 854",
            "habitat": "bog wood",
            "finder": ann.person_id,
        }
        assert form["date"].value() == TODAY
        assert form["companions"].value() == [ben.pk]
        assert response.context["organisms"].forms[0]["as_written"].value() == "birch"
        assert not form["name"].value()
        assert not form["notes"].value()
        assert str(form["uuid"].value()) != fields["uuid"]

    def test_the_spot_of_another_members_find_is_not_given_away(
        self, ann: Account, ben_client: Client
    ) -> None:
        find = make_find(ann)
        response = ben_client.get(reverse("finds:post"), {"like": find.spoken_number})
        assert response.status_code == 200
        assert not response.context["form"]["position"].value()

    def test_every_number_that_names_no_find_is_not_found(self, ann_client: Client) -> None:
        for like in ("2026/99", "x", "/", "2026/", "²/1", "99999999999999999999/1"):
            assert ann_client.get(reverse("finds:post"), {"like": like}).status_code == 404


class TestDrafts:
    def test_what_is_typed_is_kept_and_taken_up_again(
        self, ann: Account, ann_client: Client
    ) -> None:
        key = uuid.uuid4()
        fields = typed(ann, uuid=str(key), name="Russ", date="31 Jun", **rows("readings", {}))
        assert ann_client.post(reverse("finds:draft", args=[key]), fields).status_code == 204
        response = ann_client.get(reverse("finds:draft", args=[key]), follow=True)
        form = response.context["form"]
        assert (form["name"].value(), form["date"].value()) == ("Russ", "31 Jun")
        assert str(form["uuid"].value()) == str(key)
        assert 'class="field-error"' not in page_text(response)

    def test_a_draft_is_offered_on_the_page_of_a_new_find(
        self, ann: Account, ann_client: Client
    ) -> None:
        key = uuid.uuid4()
        ann_client.post(reverse("finds:draft", args=[key]), typed(ann))
        page = page_text(ann_client.get(reverse("finds:post")))
        assert reverse("finds:draft", args=[key]) in page

    def test_a_draft_thrown_away_is_gone(self, ann: Account, ann_client: Client) -> None:
        key = uuid.uuid4()
        ann_client.post(reverse("finds:draft", args=[key]), typed(ann))
        ann_client.post(reverse("finds:draft_drop", args=[key]))
        assert not FindDraft.objects.exists()

    def test_a_draft_is_its_owners_alone(
        self, ann: Account, ann_client: Client, ben_client: Client
    ) -> None:
        key = uuid.uuid4()
        ann_client.post(reverse("finds:draft", args=[key]), typed(ann, name="mine"))
        answers = [
            ben_client.get(reverse("finds:draft", args=[key]), follow=True),
            ben_client.post(reverse("finds:draft", args=[key]), {"name": "taken"}),
            ben_client.post(reverse("finds:draft_drop", args=[key])),
        ]
        assert [answer.status_code for answer in answers] == [404, 404, 404]
        assert FindDraft.objects.get().fields["name"] == ["mine"]

    def test_posting_ends_the_draft_and_a_late_save_revives_nothing(
        self, ann: Account, ann_client: Client
    ) -> None:
        fields = typed(ann)
        address = reverse("finds:draft", args=[fields["uuid"]])
        ann_client.post(address, fields)
        send(ann_client, fields)
        assert not FindDraft.objects.exists()
        assert ann_client.post(address, fields).status_code == 204
        assert not FindDraft.objects.exists()

    def test_a_draft_too_long_to_keep_is_refused(self, ann_client: Client) -> None:
        address = reverse("finds:draft", args=[uuid.uuid4()])
        response = ann_client.post(address, {"notes": "x" * 100_001})
        assert (response.status_code, response.json()["code"]) == (422, "too_long")

    def test_a_sign_no_database_stores_does_no_harm(self, ann_client: Client) -> None:
        address = reverse("finds:draft", args=[uuid.uuid4()])
        assert ann_client.post(address, {"notes": "a\x00b"}).status_code == 204
        assert FindDraft.objects.get().fields["notes"] == ["ab"]


class TestSentTwice:
    def test_a_double_click_gives_one_find(self, ann: Account, ann_client: Client) -> None:
        fields = typed(ann, name="Russula", **rows("organisms", {"as_written": "birch"}))
        first, second = send(ann_client, fields), send(ann_client, fields)
        assert first["Location"] == second["Location"]
        assert Find.objects.count() == 1
        assert only_find().slips.count() == 1
        assert only_find().organisms.count() == 1

    def test_a_double_click_keeps_each_photograph_once(
        self, ann: Account, ann_client: Client
    ) -> None:
        fields = typed(ann)
        for _time in range(2):
            shots = [picture(), picture(colours=[(1, 2, 3)])]
            send(ann_client, fields | {"photographs": shots, "photograph_view": ["cap", "side"]})
        assert sorted(Photograph.objects.values_list("view", flat=True)) == ["cap", "side"]
        assert not FindDraft.objects.exists()

    def test_the_same_identity_with_other_words_is_a_conflict_that_loses_nothing(
        self, ann: Account, ann_client: Client
    ) -> None:
        fields = typed(ann, notes="first")
        send(ann_client, fields)
        response = send(ann_client, fields | {"notes": "second"})
        assert response.status_code == 422
        assert "already posted, with other words" in page_text(response)
        assert response.context["form"]["notes"].value() == "second"
        assert only_find().notes.raw == "first"

    def test_an_identity_another_member_used_is_not_found(
        self, ann: Account, ann_client: Client, ben: Account, ben_client: Client
    ) -> None:
        fields = typed(ann)
        send(ann_client, fields)
        assert send(ben_client, fields | {"finder": ben.person_id}).status_code == 404
        assert Find.objects.count() == 1

    @pytest.mark.django_db(transaction=True)
    def test_two_sends_at_the_same_moment_give_one_find(self, ann: Account) -> None:
        fields = typed(ann, name="Russula")
        clients = [client_of(ann) for _ in range(4)]

        def sent(client: Client) -> str:
            try:
                return send(client, fields)["Location"]
            finally:
                connections.close_all()

        with ThreadPoolExecutor(4) as pool:
            places = set(pool.map(sent, clients))
        assert len(places) == 1
        assert Find.objects.count() == 1

    @pytest.mark.django_db(transaction=True)
    def test_two_members_at_the_same_moment_get_numbers_of_their_own(self) -> None:
        accounts = [make_account() for _ in range(4)]
        pairs = [(client_of(account), typed(account)) for account in accounts]

        def sent(pair: tuple[Client, dict[str, Any]]) -> int:
            try:
                return send(*pair).status_code
            finally:
                connections.close_all()

        with ThreadPoolExecutor(4) as pool:
            assert set(pool.map(sent, pairs)) == {302}
        numbers = sorted(Find.objects.values_list("number", flat=True))
        assert numbers == [1, 2, 3, 4]


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


def test_a_site_says_on_the_form_where_nothing_may_be_lifted(ann_client: Client) -> None:
    make_site("Hagg Wood")
    make_site("Keeld Moss", picking="nothing")
    page = page_text(ann_client.get(reverse("finds:post")))
    assert "Keeld Moss (nothing may be lifted, cut or taken)" in page
    assert "Hagg Wood (nothing" not in page


def test_the_form_costs_the_same_however_much_the_logbook_holds(
    ann: Account, ann_client: Client
) -> None:
    def one_more(number: int) -> None:
        site = make_site()
        make_visit(site)
        make_find(ann, site=site, name=f"Mycena {number}")
        _state(f"character{number}", "one")
        ann_client.post(reverse("finds:draft", args=[uuid.uuid4()]), typed(ann))

    one_more(0)
    with CaptureQueriesContext(connection) as few:
        ann_client.get(reverse("finds:post"))
    for number in range(1, 13):
        one_more(number)
    with CaptureQueriesContext(connection) as many:
        ann_client.get(reverse("finds:post"))
    assert len(many) == len(few)
    assert len(few) <= 14


def _state(character: str, state: str) -> CharacterState:
    row = Character.objects.create(
        code=character.replace("_", "-"), part="cap", name=character, forms=["agaric"]
    )
    return CharacterState.objects.create(character=row, code=state, name=state)
