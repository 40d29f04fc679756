"""Keepers say what is taken for what."""

import pytest
from django.test import Client
from django.urls import reverse

from society.core.errors import NotPermitted, Refused
from society.core.models import Change, FieldVersion
from society.members.models import Account
from society.names.models import LookAlike, Taxon
from society.names.queries import account_book
from society.names.services import LookAlikeEntry, look_alike_add, look_alike_remove
from tests.make import make_account, make_host, make_society, make_taxon, viewer

pytestmark = pytest.mark.django_db

ENTRY = LookAlikeEntry("milk  orange, against white", "from memory")


@pytest.fixture
def kay() -> Account:
    make_society()
    return make_account("Kay Lowther", is_keeper=True)


@pytest.fixture
def pair() -> tuple[Taxon, Taxon]:
    return make_taxon("Lactarius deterrimus"), make_taxon("Lactarius torminosus")


def test_a_pair_is_entered_once_whichever_way_round(
    kay: Account, pair: tuple[Taxon, Taxon]
) -> None:
    one, other = pair
    synonym = make_taxon("Agaricus necans", accepted=other)
    row = look_alike_add(one.pk, synonym.pk, ENTRY, by=viewer(kay))
    assert (row.taxon, row.other) == (one, other)
    assert row.separated_by.raw == "milk orange, against white"
    assert Change.objects.get(verb="look_alike.added").actor_id == kay.person_id
    assert account_book().look_alikes[other.pk] == {one.pk}
    with pytest.raises(Refused) as refused:
        look_alike_add(other.pk, one.pk, ENTRY, by=viewer(kay))
    assert refused.value.code == "held_already"


def test_what_is_no_pair_of_fungi_is_refused(kay: Account, pair: tuple[Taxon, Taxon]) -> None:
    one, _other = pair
    for other, code in ((one, "same_name"), (make_host("Picea abies"), "no_fungus")):
        with pytest.raises(Refused) as refused:
            look_alike_add(one.pk, other.pk, ENTRY, by=viewer(kay))
        assert refused.value.code == code
    assert not LookAlike.objects.exists()


def test_only_keepers_may(pair: tuple[Taxon, Taxon]) -> None:
    by = viewer(make_account())
    row = LookAlike.objects.create(taxon=pair[0], other=pair[1], source="from memory")
    with pytest.raises(NotPermitted):
        look_alike_add(pair[0].pk, pair[1].pk, ENTRY, by=by)
    with pytest.raises(NotPermitted):
        look_alike_remove(row.pk, by=by)


def test_a_pair_removed_stays_in_the_history_and_one_known_from_poisonings_stays(
    kay: Account, pair: tuple[Taxon, Taxon]
) -> None:
    row = look_alike_add(pair[0].pk, pair[1].pk, ENTRY, by=viewer(kay))
    look_alike_remove(row.pk, by=viewer(kay))
    assert not LookAlike.objects.exists()
    said = FieldVersion.objects.get(field="separated_by")
    assert said.prior == "milk orange, against white"
    poisonous = LookAlikeEntry("", "from memory", in_poisonings=True)
    kept = look_alike_add(pair[0].pk, pair[1].pk, poisonous, by=viewer(kay))
    with pytest.raises(Refused):
        look_alike_remove(kept.pk, by=viewer(kay))
    assert LookAlike.objects.filter(pk=kept.pk).exists()


def test_the_page_enters_shows_and_removes_and_keeps_what_was_typed(
    kay: Account, pair: tuple[Taxon, Taxon], client: Client
) -> None:
    client.force_login(kay)
    address = reverse("names:look_alikes", args=[pair[0].pk])
    typed = {"other": "Lactarius nullus", "separated_by": "the woolly margin", "source": "x"}
    answer = client.post(address, typed)
    assert "The checklist holds no such name." in answer.content.decode()
    assert "the woolly margin" in answer.content.decode()
    answer = client.post(address, {**typed, "other": "Lactarius torminosus"}, follow=True)
    page = answer.content.decode()
    assert "the woolly margin" in page
    row = LookAlike.objects.get()
    remove = reverse("names:look_alike_remove", args=[row.pk])
    assert remove in page
    assert "Removed." in client.post(remove, follow=True).content.decode()
    assert address in client.get(reverse("names:edit", args=[pair[0].pk])).content.decode()
