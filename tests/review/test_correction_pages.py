"""The pages on which a referee corrects a species account from a find, and undoes that."""

import html
import re
import uuid
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from society.finds.models import Find
from society.finds.services import PlaceEntry
from society.members.models import Account
from society.names.models import CharacterState, LookAlike, Sensitivity, Taxon
from society.review.models import AccountCorrection
from society.review.services import (
    standing_recompute,
)
from tests.make import (
    make_account,
    make_character,
    make_find,
    make_species_account,
    make_taxon,
)
from tests.review.acts import act, fresh
from tests.review.correcting import confirmed, correct, held, make_deliciosus, source, state_ids
from tests.review.desk import client_of, find_address, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def deliciosus(bea: Account) -> Taxon:
    return make_deliciosus()


@pytest.fixture
def find(ann: Account, bea: Account, deliciosus: Taxon) -> Find:
    """A confirmed one that was not pitted."""
    return confirmed(ann, bea, deliciosus, stem_pits="none")


def address(find: Find, query: str = "?character=stem_pits") -> str:
    return find_address(find, "review:account_correct") + query


def sent(find: Find, by: Account, **over: Any) -> Any:
    values = {"uuid": uuid.uuid4(), "state": "none", "usual": "sometimes", **over}
    return client_of(by).post(address(find), values)


def page_of(by: Account, at: str, status: int = 200) -> str:
    response = client_of(by).get(at)
    assert response.status_code == status
    return html.unescape(text_of(response))


def test_the_contrast_offers_it_beside_what_speaks_against_the_standing_name_only(
    find: Find, bea: Account, deliciosus: Taxon
) -> None:
    other = make_taxon("Lactarius sanguifluus")
    make_species_account(other, {"stem_pits": {"many": "always", "few": "rarely", "none": "never"}})
    LookAlike.objects.create(taxon=deliciosus, other=other, source="from memory")
    page = page_of(bea, find_address(find, "review:contrast"))
    links = re.findall(r'href="(/finds/\S+/account/\?\S+)"', page)
    assert links == [address(find, "?character=stem_pits&state=none")]
    candidate = page.split("Lactarius deliciosus</i>", 1)[1].split('<li class="candidate">')[0]
    assert "correct the account" in candidate


def test_nobody_else_is_offered_it(find: Find, ann: Account, bea: Account) -> None:
    keeper = make_account("Ida Keeper", is_keeper=True)
    for by in (ann, keeper):
        assert "/account/?" not in page_of(by, find_address(find, "review:contrast"))
    unsettled = make_find(ann, taxon=find.standing_taxon, state_ids=state_ids(stem_pits="none"))
    assert "/account/?" not in page_of(bea, find_address(unsettled, "review:contrast"))


def test_the_page_tells_what_the_account_holds_its_sources_and_what_will_change(
    find: Find, bea: Account
) -> None:
    page = page_of(bea, address(find, "?character=stem_pits&state=none"))
    assert "Lactarius deliciosus" in page
    row = page.split("<dt>many</dt>", 1)[1].split("</dd>")[0]
    assert "always" in row
    assert "from memory" in row
    assert "not known" in page.split("<dt>none</dt>", 1)[1].split("</dd>")[0]
    assert re.search(r'value="none"[^>]*checked', page)
    assert f"‘{source(find)}’" in page
    assert "correct that too" in page


def test_without_a_character_it_offers_what_was_observed_first_and_no_taste(
    find: Find, bea: Account
) -> None:
    page = page_of(bea, address(find, ""))
    assert 'href="?character=stem_pits"' in page
    assert '<option value="cap_zones">' in page
    assert "taste" not in page
    unknown = page_of(bea, address(find, "?character=feathers"))
    assert 'href="?character=stem_pits"' in unknown
    assert 'name="usual"' not in unknown


def test_an_observed_state_is_chosen_where_the_address_names_none(find: Find, bea: Account) -> None:
    page = page_of(bea, address(find, "?character=stem_pits&state=feathers"))
    assert re.search(r'value="none"[^>]*checked', page)


def test_a_find_that_cannot_correct_says_why_and_has_no_form(
    ann: Account, bea: Account, deliciosus: Taxon
) -> None:
    posted = make_find(ann, taxon=deliciosus)
    page = page_of(bea, address(posted))
    assert "Only a confirmed find corrects an account" in page
    assert 'name="usual"' not in page
    assert sent(posted, bea).status_code == 422
    assert not AccountCorrection.objects.exists()


def test_the_contrast_is_shown_anew_with_a_way_to_undo(
    find: Find, bea: Account, deliciosus: Taxon
) -> None:
    response = sent(find, bea, remarks="No pits on any of four stems.", account_version=1)
    laid = AccountCorrection.objects.get()
    assert response.status_code == 302
    assert response.url == f"{find_address(find, 'review:contrast')}?corrected={laid.uuid}"
    page = page_of(bea, response.url)
    assert "The account is corrected:" in page
    assert "stem pits, none: not known before, now sometimes." in page
    assert "No pits on any of four stems." in page
    undo = reverse("review:correction_withdraw", args=[laid.uuid])
    assert undo in page.split('class="candidates"')[0]
    after = client_of(bea).post(undo)
    assert after.url == f"{find_address(find, 'review:contrast')}#corrections"
    assert "none" not in held(deliciosus)
    page = page_of(bea, find_address(find, "review:contrast"))
    assert "withdrawn by Bea Lowther" in page
    assert undo not in page


def test_a_refusal_is_told_beside_its_field_and_what_was_typed_stays(
    find: Find, bea: Account
) -> None:
    response = sent(find, bea, state="many", usual="usually")
    page = text_of(response)
    assert response.status_code == 422
    assert "Say where it is to be seen." in page
    assert re.search(r'value="many"[^>]*checked', page)
    assert '<option value="usually" selected>' in page


def test_after_a_conflict_the_page_goes_on_from_the_account_as_it_is_now(
    find: Find, bea: Account
) -> None:
    response = sent(find, bea, account_version=5)
    assert response.status_code == 422
    assert "changed while you were looking" in text_of(response)
    assert '<input type="hidden" name="account_version" value="1"' in text_of(response)


def test_an_undo_that_comes_too_late_says_so(
    find: Find, bea: Account, carl: Account, deliciosus: Taxon
) -> None:
    laid = correct(find, bea)
    correct(find, carl, usual="rarely")
    response = client_of(bea).post(
        reverse("review:correction_withdraw", args=[laid.uuid]), follow=True
    )
    assert "The account has been changed in this since." in text_of(response)
    assert held(deliciosus)["none"] == ("rarely", source(find))


def test_whoever_may_not_is_answered_403_and_a_guest_is_led_to_sign_in(
    find: Find, ann: Account, bea: Account, client: Any
) -> None:
    laid = correct(find, bea)
    assert client_of(ann).get(address(find)).status_code == 403
    assert sent(find, ann).status_code == 403
    undo = reverse("review:correction_withdraw", args=[laid.uuid])
    assert client_of(ann).post(undo).status_code == 403
    assert client.get(address(find)).status_code == 302
    assert client_of(bea).get(undo).status_code == 405


def test_what_is_said_of_eating_stands_with_its_notice_and_guests_read_no_remarks(
    find: Find, ann: Account, bea: Account, client: Any
) -> None:
    correct(find, bea, remarks="Delicious fried in butter, and not pitted.")
    page = page_of(ann, find_address(find, "review:contrast"))
    told = page.split('id="corrections"', 1)[1].split("</section>")[0]
    assert "on-eating" in told
    assert "Never eat on one feature" in told
    assert "Delicious" not in text_of(client.get(find_address(find, "review:contrast")))


def test_remarks_are_held_back_with_the_place_of_a_secret_find(
    ann: Account, bea: Account, deliciosus: Taxon
) -> None:
    find = make_find(
        ann,
        taxon=deliciosus,
        made_secret=Sensitivity.HIGH,
        place=PlaceEntry(552_031_415, -26_027_182, 20, "typed", "by the stream"),
        state_ids=state_ids(stem_pits="none"),
    )
    act(find, bea)
    correct(fresh(find), bea, remarks="All those beneath the leaning larch.")
    contrast = find_address(find, "review:contrast")
    assert "leaning larch" in page_of(ann, contrast)
    page = page_of(make_account("Some Member"), contrast)
    assert "leaning larch" not in page
    assert "held back with the place" in page


def test_the_keepers_account_page_shows_the_find_as_source_and_what_stood_before(
    find: Find, bea: Account, deliciosus: Taxon
) -> None:
    correct(find, bea)
    keeper = make_account("Ida Keeper", is_keeper=True)
    page = page_of(keeper, reverse("names:account", args=[deliciosus.pk]))
    row = page.split("/characters/stem_pits/", 1)[1].split("</tr>")[0]
    assert source(find) in row
    assert "Bea Lowther" in page
    assert "many always, few sometimes" in page


def test_the_species_page_names_the_find_as_source(
    find: Find, bea: Account, deliciosus: Taxon
) -> None:
    correct(find, bea)
    assert source(find) in page_of(bea, reverse("lists:species", args=[deliciosus.pk]))


# --- cost -------------------------------------------------------------------------------------


def queries(by: Account, at: str) -> int:
    client = client_of(by)
    client.get(at)
    with CaptureQueriesContext(connection) as asked:
        assert client.get(at).status_code == 200
    return len(asked)


def test_the_pages_ask_as_often_however_much_was_observed_held_and_corrected(
    find: Find, bea: Account, deliciosus: Taxon
) -> None:
    pages = (address(find), address(find, ""), find_address(find, "review:contrast"))
    correct(find, bea, remarks="None on the stem.")
    few = [queries(bea, at) for at in pages]
    for number in range(12):
        code = f"further_{number}"
        make_character(code, "one", "two")
        find.observed_characters.create(
            character=CharacterState.objects.get(character__code=code, code="one").character,
            state=CharacterState.objects.get(character__code=code, code="one"),
        )
        correct(find, bea, character_code=code, state_code="one", remarks="Seen on all.")
    standing_recompute(find.pk, actor_id=None)
    assert [queries(bea, at) for at in pages] == few
    assert few[0] <= 30
