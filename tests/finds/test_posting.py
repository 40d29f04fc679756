"""Posting a find through its page."""

import datetime as dt
import uuid
from decimal import Decimal

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from society.core.models import Change
from society.finds.models import Find, PositionSource
from society.members.models import Account
from society.names.models import Character, CharacterState
from tests.finds.typed import (
    only_find,
    page_text,
    rows,
    send,
    typed,
)
from tests.make import (
    TODAY,
    make_find,
    make_host,
    make_person,
    make_site,
    make_taxon,
    make_visit,
)

pytestmark = pytest.mark.django_db


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
