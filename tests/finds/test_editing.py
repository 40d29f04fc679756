"""Changing, withdrawing and putting back a find."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from society.core.errors import Conflict, NotPermitted, Refused
from society.core.models import Change, FieldVersion
from society.core.signals import find_changed
from society.finds.models import Find, FindDraft, PositionSource, Standing
from society.finds.services import (
    PlaceEntry,
    ReadingEntry,
    draft_keep,
    edit_draft_uuid,
    find_edit,
    find_put_back,
    find_withdraw,
)
from society.finds.services.rows import _characters_set
from society.members.models import Account
from society.names.models import Character, CharacterState
from tests.finds.typed import client_of, page_text, picture
from tests.make import (
    make_account,
    make_entry,
    make_find,
    make_person,
    make_site,
    minutes,
    viewer,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def find(ann: Account) -> Find:
    return make_find(ann, name="Russula emetica", plain={"habitat": "bog wood", "notes": "red"})


def address(find: Find) -> str:
    return reverse("finds:edit", args=[find.year, find.number])


def fields_of(client: Client, find: Find) -> dict[str, Any]:
    """Return what a browser would send of the page as it opens, nothing changed."""
    context = client.get(address(find)).context
    forms = [context["form"]]
    sent: dict[str, Any] = {}
    for prefix in ("organisms", "readings", "eating", "photos"):
        forms += [context[prefix].management_form, *context[prefix].forms]
    for form in forms:
        for bound in form:
            value = bound.value()
            if value is not None and value is not False and value != [] and value != "":
                sent[bound.html_name] = "on" if value is True else value
    return sent


class TestWhoMay:
    def test_its_finder_who_entered_it_and_a_keeper_may(
        self, ann: Account, keeper: Account
    ) -> None:
        walter = make_account("Walter Brierley")
        find = make_find(ann, finder_id=walter.person_id)
        for account in (ann, walter, keeper):
            assert client_of(account).get(address(find)).status_code == 200

    def test_another_member_may_not_and_a_guest_is_sent_to_sign_in(
        self, find: Find, ben_client: Client, client: Client
    ) -> None:
        for name in ("edit", "withdraw", "put_back"):
            page = reverse(f"finds:{name}", args=[find.year, find.number])
            assert ben_client.post(page).status_code == 403
            answer = client.post(page)
            assert answer["Location"].startswith(reverse("members:signin"))
        assert ben_client.get(address(find)).status_code == 403
        find.refresh_from_db()
        assert (find.version, find.withdrawn_at) == (1, None)

    def test_a_find_that_does_not_exist_is_not_found(self, ann_client: Client) -> None:
        for name in ("edit", "withdraw", "put_back"):
            page = reverse(f"finds:{name}", args=[2026, 99])
            assert ann_client.post(page).status_code == 404

    def test_the_services_refuse_as_the_pages_do(self, find: Find, ben: Account) -> None:
        entry = make_entry(find.finder)
        with pytest.raises(NotPermitted):
            find_edit(find.pk, entry, base_version=1, by=viewer(ben))
        with pytest.raises(NotPermitted):
            find_withdraw(find.pk, by=viewer(ben))


class TestHistory:
    def test_an_edit_keeps_what_stood_before(
        self, find: Find, ann: Account, ann_client: Client
    ) -> None:
        sent = fields_of(ann_client, find) | {"habitat": "spruce", "notes": "scarlet"}
        assert ann_client.post(address(find), sent).status_code == 302
        find.refresh_from_db()
        assert (find.habitat, find.notes.raw, find.version) == ("spruce", "scarlet", 2)
        change = Change.objects.get(verb="find.edited")
        assert (change.actor_id, change.fields) == (ann.person_id, ["habitat", "notes"])
        versions = dict(FieldVersion.objects.values_list("field", "prior"))
        assert versions == {"habitat": "bog wood", "notes": "red"}

    def test_the_slips_stay_as_they_were_laid(self, find: Find, ann_client: Client) -> None:
        sent = fields_of(ann_client, find) | {"name": "Russula betularum", "habitat": "birch"}
        ann_client.post(address(find), sent)
        assert [slip.name_written for slip in find.slips.all()] == ["Russula emetica"]

    def test_sending_the_page_as_it_opened_changes_nothing(
        self, ann: Account, ann_client: Client
    ) -> None:
        site, ben = make_site(), make_person("Ben Dodd")
        state = _state("cap-colour", "red")
        find = make_find(
            ann,
            site=site,
            companion_ids=(ben.pk,),
            state_ids=(state.pk,),
            place=PlaceEntry(552_031_415, -26_027_182, 20, "map", "by the gate"),
            date_verbatim="18 Oct 2026",
            readings=(ReadingEntry("milk", minutes(10), looked=False),),
            plain={"notes": "one\ntwo", "specimen_kept": True, "count": 3, "form": "agaric"},
        )
        before = Find.objects.filter(pk=find.pk).values().get()
        assert ann_client.post(address(find), fields_of(ann_client, find)).status_code == 302
        assert Find.objects.filter(pk=find.pk).values().get() == before
        assert not Change.objects.filter(verb="find.edited").exists()
        assert find.readings.count() == 1

    def test_an_edit_drops_no_character_whatever_its_form(
        self, ann: Account, ann_client: Client
    ) -> None:
        red, pores = _state("cap-colour", "red"), _state("pores", "round", forms=["bracket"])
        find = make_find(ann, state_ids=(red.pk, pores.pk), plain={"form": "agaric"})
        sent = fields_of(ann_client, find) | {"habitat": "birch"}
        ann_client.post(address(find), sent)
        assert set(find.observed_characters.values_list("state", flat=True)) == {red.pk, pores.pk}

    def test_an_edit_keeps_what_no_form_asks_for(self, ann: Account, ann_client: Client) -> None:
        red, bitter = _state("cap-colour", "red"), _state("taste", "bitter")
        bitter.character.never_asked = True
        bitter.character.save()
        find = make_find(ann, state_ids=(red.pk, bitter.pk))
        sent = fields_of(ann_client, find)
        sent.pop("states")
        ann_client.post(address(find), sent)
        assert list(find.observed_characters.values_list("state", flat=True)) == [bitter.pk]

        # And one who names it again, as an import may, finds it there.
        for _ in range(2):
            _characters_set(find, [bitter.pk, red.pk])
        assert set(find.observed_characters.values_list("state", flat=True)) == {bitter.pk, red.pk}

    def test_a_character_taken_back_leaves_its_word_in_the_history(
        self, ann: Account, ann_client: Client
    ) -> None:
        red = _state("cap-colour", "red")
        find = make_find(ann, state_ids=(red.pk,))
        sent = fields_of(ann_client, find)
        sent.pop("states")
        ann_client.post(address(find), sent)
        assert not find.observed_characters.exists()
        version = FieldVersion.objects.get(field="observed_characters")
        assert version.prior == "cap-colour:red"

    def test_a_row_changed_stays_in_the_books_marked_as_removed(
        self, ann: Account, ann_client: Client
    ) -> None:
        find = make_find(ann, readings=(ReadingEntry("milk", minutes(0), "orange"),))
        first = find.readings.get()
        sent = fields_of(ann_client, find) | {"readings-0-seen": "carrot"}
        ann_client.post(address(find), sent)
        old, new = find.readings.order_by("pk")
        assert (old.uuid, old.seen, old.removed_at is None) == (first.uuid, "orange", False)
        assert (new.seen, new.removed_at) == ("carrot", None)
        assert Change.objects.get(verb="find.edited").fields == ["readings"]

    def test_only_evidence_makes_a_new_version_of_the_evidence(
        self, find: Find, ann_client: Client
    ) -> None:
        sent = fields_of(ann_client, find)
        ann_client.post(address(find), sent | {"collector_number": "AH 1"})
        find.refresh_from_db()
        assert (find.version, find.evidence_version) == (2, 1)
        sent |= {"base_version": 2, "soil": "acid"}
        ann_client.post(address(find), sent)
        find.refresh_from_db()
        assert (find.version, find.evidence_version) == (3, 2)

    def test_the_review_room_hears_of_an_edit(
        self, find: Find, ann: Account, ann_client: Client
    ) -> None:
        heard = []

        def hear(sender: Any, **told: Any) -> None:
            heard.append((told["find_id"], told["acted_by"]))

        find_changed.connect(hear)
        try:
            ann_client.post(address(find), fields_of(ann_client, find) | {"soil": "acid"})
        finally:
            find_changed.disconnect(hear)
        assert heard == [(find.pk, ann.person_id)]

    def test_the_finder_who_has_left_stays_the_finder(
        self, ann: Account, ann_client: Client
    ) -> None:
        gone = make_person("Gone Away")
        find = make_find(ann, finder_id=gone.pk)
        type(gone).objects.filter(pk=gone.pk).update(left_at=find.created_at)
        sent = fields_of(ann_client, find) | {"soil": "acid"}
        assert ann_client.post(address(find), sent).status_code == 302
        find.refresh_from_db()
        assert (find.finder, find.soil) == (gone, "acid")


class TestWhere:
    def test_a_position_of_the_map_stays_to_the_last_digit(
        self, ann: Account, ann_client: Client
    ) -> None:
        place = PlaceEntry(552_031_415, -26_027_182, 20, "map", "by the gate")
        find = make_find(ann, place=place)
        ann_client.post(address(find), fields_of(ann_client, find) | {"soil": "acid"})
        find.refresh_from_db()
        assert (find.lat_e7, find.lon_e7, find.uncertainty_m, find.position_source) == (
            552_031_415,
            -26_027_182,
            20,
            PositionSource.MAP,
        )

    def test_a_position_typed_over_that_of_the_map_counts(
        self, ann: Account, ann_client: Client
    ) -> None:
        place = PlaceEntry(552_031_415, -26_027_182, 20, "map", "by the gate")
        find = make_find(ann, place=place)
        cells = find.cell_lat_0001
        ann_client.post(address(find), fields_of(ann_client, find) | {"position": "NY 623 854"})
        find.refresh_from_db()
        assert find.position_source == PositionSource.TYPED
        assert find.position_verbatim == "NY 623 854"
        assert find.place_verbatim.raw == "by the gate"
        assert find.cell_lat_0001 not in (None, cells)

    def test_a_position_taken_away_is_gone_with_its_cells(
        self, ann: Account, ann_client: Client
    ) -> None:
        find = make_find(ann, place=PlaceEntry(552_031_415, -26_027_182, 20, "map", "by the gate"))
        sent = fields_of(ann_client, find)
        for name in ("position", "uncertainty", "position_source"):
            sent.pop(name)
        assert ann_client.post(address(find), sent).status_code == 302
        find.refresh_from_db()
        assert (find.lat_e7, find.lon_e7, find.uncertainty_m) == (None, None, None)
        assert (find.cell_lat_1, find.cell_lon_0001, find.position_source) == (None, None, "")


class TestTwoPeople:
    def test_the_second_is_told_and_both_versions_are_kept(
        self, find: Find, ann: Account, ann_client: Client, keeper: Account
    ) -> None:
        sent = fields_of(ann_client, find) | {"habitat": "mine", "soil": "acid"}
        kay = client_of(keeper)
        kay.post(address(find), fields_of(kay, find) | {"habitat": "theirs"})
        response = ann_client.post(address(find), sent)
        page = page_text(response)
        find.refresh_from_db()
        assert response.status_code == 409
        assert (find.habitat, find.soil, find.version) == ("theirs", "", 2)
        assert response.context["form"]["habitat"].value() == "mine"
        differences = {
            row.label: (row.stored, row.typed) for row in response.context["differences"]
        }
        assert differences == {"Habitat": ("theirs", "mine"), "Soil or rock": ("", "acid")}
        assert "Kay Lowther" in page
        draft = FindDraft.objects.get(find=find, owner=ann)
        assert draft.fields["habitat"] == ["mine"]

        again = sent | {"base_version": response.context["form"]["base_version"].value()}
        assert ann_client.post(address(find), again).status_code == 302
        find.refresh_from_db()
        assert (find.habitat, find.soil, find.version) == ("mine", "acid", 3)
        priors = FieldVersion.objects.filter(field="habitat").order_by("pk")
        assert [row.prior for row in priors] == ["bog wood", "theirs"]
        assert not FindDraft.objects.exists()

    def test_the_service_says_which_version_stands(self, find: Find, ann: Account) -> None:
        entry = make_entry(ann.person, plain={"habitat": "one"})
        find_edit(find.pk, entry, base_version=1, by=viewer(ann))
        with pytest.raises(Conflict) as told:
            find_edit(find.pk, entry, base_version=1, by=viewer(ann))
        assert told.value.theirs == {"version": 2}

    @pytest.mark.parametrize("version", ["", "0", "99", "nonsense"])
    def test_a_version_that_never_was_changes_nothing(
        self, find: Find, ann_client: Client, version: str
    ) -> None:
        sent = fields_of(ann_client, find) | {"base_version": version, "habitat": "other"}
        assert ann_client.post(address(find), sent).status_code in (409, 422)
        find.refresh_from_db()
        assert find.habitat == "bog wood"


class TestChangesNotYetKept:
    def test_they_are_kept_as_typed_and_shown_again(
        self, find: Find, ann: Account, ann_client: Client
    ) -> None:
        sent = fields_of(ann_client, find) | {"habitat": "half a wo", "edit_of": find.spoken_number}
        draft = reverse("finds:draft", args=[edit_draft_uuid(find, viewer(ann))])
        assert ann_client.post(draft, sent).status_code == 204
        response = ann_client.get(draft, follow=True)
        assert response.redirect_chain[-1][0] == address(find)
        assert response.context["form"]["habitat"].value() == "half a wo"

    def test_thrown_away_the_page_opens_as_it_stands(
        self, find: Find, ann: Account, ann_client: Client
    ) -> None:
        key = edit_draft_uuid(find, viewer(ann))
        draft_keep(key, {"habitat": ["half"]}, by=viewer(ann), find=find)
        response = ann_client.post(reverse("finds:draft_drop", args=[key]), follow=True)
        assert response.context["form"]["habitat"].value() == "bog wood"

    def test_a_save_that_comes_after_they_were_kept_revives_nothing(
        self, find: Find, ann: Account, ann_client: Client
    ) -> None:
        sent = fields_of(ann_client, find) | {"habitat": "spruce"}
        ann_client.post(address(find), sent)
        draft = reverse("finds:draft", args=[edit_draft_uuid(find, viewer(ann))])
        ann_client.post(draft, sent | {"edit_of": find.spoken_number})
        assert not FindDraft.objects.exists()

    def test_nobody_keeps_changes_to_a_find_they_may_not_change(
        self, find: Find, ben: Account, ben_client: Client
    ) -> None:
        draft = reverse("finds:draft", args=[edit_draft_uuid(find, viewer(ben))])
        sent = {"edit_of": find.spoken_number, "habitat": "x"}
        assert ben_client.post(draft, sent).status_code == 403
        assert not FindDraft.objects.exists()

    def test_a_fault_keeps_everything_typed_and_the_photographs_sent(
        self, find: Find, ann_client: Client
    ) -> None:
        sent = fields_of(ann_client, find) | {"wood_decay": "9", "notes": "long words"}
        response = ann_client.post(address(find), sent | {"photographs": [picture()]})
        assert response.status_code == 422
        assert response.context["form"]["notes"].value() == "long words"
        assert not find.photographs.exists()
        waiting = FindDraft.objects.get(find=find).photographs.get()
        sent |= {"wood_decay": "2", "photo_uuid": str(waiting.uuid)}
        sent |= {f"photo_view-{waiting.uuid}": "section"}
        assert ann_client.post(address(find), sent).status_code == 302
        assert find.photographs.get().view == "section"


class TestWithdrawn:
    def test_it_goes_out_of_sight_and_comes_back_whole(
        self, find: Find, ann_client: Client, ben: Account, ben_client: Client
    ) -> None:
        page = reverse("review:find", args=[find.year, find.number])
        ann_client.post(reverse("finds:withdraw", args=[find.year, find.number]))
        find.refresh_from_db()
        assert find.withdrawn_at is not None
        assert not Find.objects.laid().exists()
        assert ben_client.get(page).status_code == 404
        assert ann_client.get(page).status_code == 200
        assert ann_client.get(address(find)).status_code == 403
        ann_client.post(reverse("finds:put_back", args=[find.year, find.number]))
        assert Find.objects.laid().get() == find
        assert ben_client.get(page).status_code == 200
        assert find.slips.count() == 1
        verbs = Change.objects.order_by("pk").values_list("verb", flat=True)
        assert [verb for verb in verbs if verb in ("find.withdrawn", "find.put_back")] == [
            "find.withdrawn",
            "find.put_back",
        ]

    def test_twice_is_once(self, find: Find, ann: Account) -> None:
        find_withdraw(find.pk, by=viewer(ann))
        again = find_withdraw(find.pk, by=viewer(ann))
        assert again.version == 2
        assert Change.objects.filter(verb="find.withdrawn").count() == 1

    def test_a_withdrawn_find_is_not_changed(self, find: Find, ann: Account) -> None:
        find_withdraw(find.pk, by=viewer(ann))
        with pytest.raises(Refused) as told:
            find_edit(find.pk, make_entry(ann.person), base_version=2, by=viewer(ann))
        assert told.value.code == "withdrawn"
        assert find_put_back(find.pk, by=viewer(ann)).withdrawn_at is None

    def test_a_withdrawn_find_is_gone_for_guests_even_if_it_was_confirmed(
        self, find: Find, ann: Account, client: Client
    ) -> None:
        Find.objects.filter(pk=find.pk).update(standing=Standing.CONFIRMED)
        page = reverse("review:find", args=[find.year, find.number])
        assert client.get(page).status_code == 200
        find_withdraw(find.pk, by=viewer(ann))
        Find.objects.filter(pk=find.pk).update(standing=Standing.CONFIRMED)
        assert client.get(page).status_code in (302, 404)


def _state(character: str, state: str, forms: list[str] | None = None) -> CharacterState:
    row = Character.objects.create(
        code=character, part="cap", name=character, forms=forms or ["agaric"]
    )
    return CharacterState.objects.create(character=row, code=state, name=state)
