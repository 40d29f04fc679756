"""Drafts of finds, and finds sent twice."""

import uuid
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from django.db import connections
from django.test import Client
from django.urls import reverse

from society.finds.models import Find, FindDraft, Photograph
from society.members.models import Account
from tests.finds.typed import (
    client_of,
    only_find,
    page_text,
    picture,
    rows,
    send,
    typed,
)
from tests.make import (
    make_account,
)

pytestmark = pytest.mark.django_db


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
