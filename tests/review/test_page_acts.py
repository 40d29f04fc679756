"""The find's page: what each may do there, and what comes of it."""

import re
import uuid

import pytest
from django.test import Client
from django.urls import reverse

from society.finds.models import Find
from society.finds.services import (
    find_withdraw,
)
from society.members.models import Account
from society.names.models import Taxon
from society.review.models import Verdict
from society.review.services import comment_add
from tests.make import (
    make_account,
    make_find,
    make_referee,
    make_society,
    viewer,
)
from tests.review.acts import act as act_on
from tests.review.desk import act, client_of, find_address, lay, seen, text_of, write

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _society() -> None:
    make_society()


# --- acts on the page -----------------------------------------------------------------------------


def test_an_ask_is_put_before_the_finder_with_two_ways_to_answer(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, taxon=milkcap, plain={"in_hand": "fresh"})
    client = client_of(bea)
    answer = act(client, find, "ask", wanted="section", wanted_note="Through the whole stem.")
    assert answer.status_code == 302
    page = seen(find, ann)
    assert "Bea Lowther asks for this: <b>a photograph of a cut section</b>." in page
    assert "Add it to the find" in page
    assert "Through the whole stem." in page
    assert "The find waits for its finder." in seen(find, make_account())
    assert write(client_of(ann), find, "It rotted.").url == find_address(find) + "#thread"
    assert "asks for this" not in seen(find, ann)


def test_leaving_open_lets_one_say_what_holds(ann: Account, bea: Account, milkcap: Taxon) -> None:
    find = make_find(ann, taxon=milkcap)
    act(client_of(bea), find, "leave_open", holds="genus", at_rank="", holds_note="Too old.")
    page = seen(find, ann)
    assert "Left open; it holds as far as genus" in page
    assert "Too old." in page
    assert Find.objects.get(pk=find.pk).standing_rank == "genus"


def test_a_dispute_keeps_what_was_typed_when_the_reason_is_missing(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, taxon=milkcap)
    answer = act(client_of(bea), find, "dispute", reason="", name="Lactarius rufus")
    page = text_of(answer)
    assert answer.status_code == 422
    assert "Say in a few words what speaks against it." in page
    assert 'value="Lactarius rufus"' in page
    assert find.slips.count() == 1


def test_a_conflict_shows_the_changed_page_and_the_next_try_counts(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    find, client = make_find(ann, taxon=milkcap), client_of(bea)
    comment_add(find.pk, text="There was pine as well.", by=viewer(ann))
    answer = act(client, find, evidence_version=find.evidence_version)
    page = text_of(answer)
    assert answer.status_code == 422
    assert "The finder changed the evidence while you were looking." in page
    assert "There was pine as well." in page
    fields = dict(re.findall(r'name="(evidence_version|uuid)" value="([^"]+)"', page))
    assert act(client, find, **fields).status_code == 302
    assert Find.objects.get(pk=find.pk).standing == "confirmed"


def test_going_back_and_acting_again_from_an_old_page_is_a_conflict(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    find, client, one = make_find(ann, taxon=milkcap), client_of(bea), uuid.uuid4()
    assert act(client, find, uuid=one).status_code == 302
    assert act(client, find, uuid=one).status_code == 302
    answer = act(client, find, "leave_open", uuid=one)
    assert answer.status_code == 422
    assert "You have acted on this find from this page already." in text_of(answer)
    assert Verdict.objects.count() == 1


@pytest.mark.parametrize(
    ("who", "status"), [("guest", 302), ("member", 403), ("finder", 403), ("outside", 403)]
)
def test_who_may_not_settle_gets_no_further(
    ann: Account, milkcap: Taxon, who: str, status: int
) -> None:
    find = make_find(ann, taxon=milkcap)
    clients = {
        "guest": Client(),
        "member": client_of(make_account()),
        "finder": client_of(ann),
        "outside": client_of(make_referee("Cap", "genus", "Cortinarius")),
    }
    answer = act(clients[who], find)
    assert answer.status_code == status
    if who == "guest":
        assert answer.url.startswith(reverse("members:signin"))
    assert not Verdict.objects.exists()


def test_withdrawing_another_referees_act_is_forbidden_and_a_hidden_one_not_found(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, taxon=milkcap)
    laid = act_on(find, bea)
    address = reverse("review:undo", args=[laid.uuid])
    assert client_of(make_referee()).post(address).status_code == 403
    assert client_of(bea).get(address).status_code == 405
    find_withdraw(find.pk, by=viewer(ann))
    assert client_of(make_referee()).post(address).status_code == 404


def test_an_act_withdrawn_stays_to_be_read(ann: Account, bea: Account, milkcap: Taxon) -> None:
    find, client = make_find(ann, taxon=milkcap), client_of(bea)
    laid = act_on(find, bea)
    assert "Withdraw this act" in seen(find, bea)
    assert "Withdraw this act" not in seen(find, ann)
    assert client.post(reverse("review:undo", args=[laid.uuid])).url == find_address(find)
    page = seen(find, bea)
    assert "withdrawn since" in page
    assert "Withdrew an earlier act" in page
    assert "Withdraw this act" not in page


def test_a_slip_is_laid_as_written_and_resolved(ann: Account, milkcap: Taxon) -> None:
    find, member = make_find(ann), make_account("Carl Nairn")
    assert lay(client_of(member), find, "Lactarius cf. deterrimus").status_code == 302
    slip = find.slips.get()
    assert (slip.taxon, slip.qualifier, slip.by) == (milkcap, "cf.", member.person)
    assert slip.name_written == "Lactarius cf. deterrimus"


@pytest.mark.parametrize("name", ["", "   ", "x" * 10_000, "<script>alert(1)</script>", "a\nb"])
def test_a_name_that_cannot_be_is_refused_and_kept(ann: Account, name: str) -> None:
    find = make_find(ann)
    answer = lay(client_of(ann), find, name)
    assert answer.status_code == 422
    assert "<script>alert" not in text_of(answer)
    if name.strip():
        assert name[:20].split("\n")[0].replace("<", "&lt;").replace(">", "&gt;") in text_of(answer)
    assert not find.slips.exists()


def test_an_empty_comment_is_refused_and_a_long_one_kept(ann: Account) -> None:
    find = make_find(ann)
    assert write(client_of(ann), find, " ").status_code == 422
    answer = write(client_of(ann), find, "long " * 1000)
    assert answer.status_code == 422
    assert "long long" in text_of(answer)
    assert not find.comments.exists()


def test_markup_in_words_is_shown_as_words(ann: Account, milkcap: Taxon) -> None:
    find = make_find(ann, taxon=milkcap, plain={"notes": "<b>bold</b> & <script>x</script>"})
    page = seen(find, ann)
    assert "&lt;b&gt;bold&lt;/b&gt; &amp;" in page
    assert "<script>x" not in page
