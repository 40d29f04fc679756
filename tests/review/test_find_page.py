"""The find's page: what each reader sees of it, and what each may do there."""

import io
import re
import uuid
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from PIL import Image

from society.finds.models import Find
from society.finds.services import (
    EatingNoteEntry,
    OrganismEntry,
    PlaceEntry,
    ReadingEntry,
    SlipEntry,
    find_withdraw,
    photograph_add,
)
from society.members.models import Account
from society.names.models import Character, LookAlike, Taxon
from society.review.models import Verdict, Wanted
from society.review.queries import find_page
from society.review.services import comment_add, slip_lay, verdict_lay
from society.review.templatetags.review import CHANGES, NOTICES, REASONS, STANDINGS, wanted_words
from society.science.standing import CODES
from tests.make import (
    make_account,
    make_find,
    make_host,
    make_person,
    make_referee,
    make_site,
    make_society,
    make_taxon,
    minutes,
    viewer,
)
from tests.review.desk import act, client_of, find_address, lay, text_of, write

pytestmark = pytest.mark.django_db

FULL_NOTICE = "It is never leave to eat."
PRAISE = "Fried in butter they were delicious."


@pytest.fixture(autouse=True)
def _society() -> None:
    make_society()


@pytest.fixture
def ann() -> Account:
    return make_account("Ann Hartley")


@pytest.fixture
def bea() -> Account:
    return make_referee("Bea Lowther", "family", "Russulaceae")


@pytest.fixture
def milkcap() -> Taxon:
    make_taxon("Lactarius", rank="genus")
    return make_taxon("Lactarius deterrimus", authorship="Gröger", english="False Saffron Milkcap")


def seen(find: Find, account: Account | None = None) -> str:
    response = (client_of(account) if account else Client()).get(find_address(find))
    assert response.status_code == 200
    return text_of(response)


def confirm(find: Find, by: Account, **over: Any) -> Verdict:
    slip = find.slips.order_by("pk").last()
    return verdict_lay(
        find.pk, by=viewer(by), **{"kind": "confirm", "slip_id": slip.pk if slip else None, **over}
    )


def picture() -> io.BytesIO:
    out = io.BytesIO()
    Image.new("RGB", (64, 48), "brown").save(out, "PNG")
    return out


# --- the label ------------------------------------------------------------------------------------


def test_it_reads_as_a_specimen_label(ann: Account, milkcap: Taxon) -> None:
    spruce = make_host("Picea abies")
    find = make_find(
        ann,
        taxon=milkcap,
        site=make_site("Hagg Wood"),
        companion_ids=(make_person("Ben Dodd").pk,),
        collector_number="AH 12",
        organisms=(OrganismEntry("spruce", spruce.pk, "host", distance_m=minutes(2)),),
        plain={"habitat": "old plantation", "soil": "acid", "substrate": "soil"},
    )
    page = seen(find, ann)
    for words in (
        "Caldermoss Fungus Group",
        find.spoken_number,
        "<i>Lactarius deterrimus</i> Gröger",
        "False Saffron Milkcap",
        "Hagg Wood",
        "18 Oct 2026",
        "Ann Hartley",
        "Ben Dodd",
        "own number AH 12",
        "<i>Picea abies</i>",
        "host, 2 m",
        "old plantation",
        "No referee in scope has settled this find yet.",
    ):
        assert words in page, words


@pytest.mark.parametrize(
    ("qualifier", "shown"),
    [
        ("cf.", "<i>Lactarius</i> cf. <i>deterrimus</i> Gröger"),
        ("agg.", "<i>Lactarius deterrimus</i> agg."),
        ("?", "<i>Lactarius deterrimus</i> ?"),
    ],
)
def test_a_doubt_stands_where_the_trade_writes_it(
    ann: Account, milkcap: Taxon, qualifier: str, shown: str
) -> None:
    slip = SlipEntry("as I wrote it", milkcap.pk, qualifier=qualifier)
    page = seen(make_find(ann, slip=slip), ann)
    assert page.count(shown) == 2  # the headline and the slip
    assert "as I wrote it" in page


def test_a_find_not_named_yet_says_so(ann: Account) -> None:
    page = seen(make_find(ann), ann)
    assert "Not named yet" in page
    assert "Any member may lay a slip." in page


def test_confirmed_to_the_genus_the_genus_heads_the_page_and_the_slip_stays(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, slip=SlipEntry("L. deterrimus?", milkcap.pk, qualifier="?"))
    confirm(find, bea, at_rank="genus")
    page = seen(find, ann)
    head = page[page.index("<h1") : page.index("</h1>")]
    assert "<i>Lactarius</i>" in head
    assert "deterrimus" not in head
    assert "?" not in re.sub(r"<[^>]*>", "", head)
    assert "this one stands, as far as genus" in page
    assert "Confirmed as far as genus" in page


def test_slips_are_shown_in_the_order_laid_with_what_was_written(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, slip=SlipEntry("L. deterimus", milkcap.pk))
    other = make_taxon("Lactarius deliciosus")
    slip_lay(
        find.pk,
        SlipEntry("Saffron one", other.pk, literature="Rayner 1985", remarks="Under pine."),
        by=viewer(make_account("Carl Nairn")),
    )
    confirm(find, bea, slip_id=find.slips.order_by("pk").first().pk)  # type: ignore[union-attr]
    page = seen(find, bea)
    first, second = page.index("L. deterimus"), page.index("Saffron one")
    assert first < second
    assert "Rayner 1985" in page[second:]
    assert "Under pine." in page[second:]
    assert page.count("this one stands") == 1
    assert first < page.index("Confirmed as far as species") < second


def test_a_synonym_leads_to_the_accepted_name_and_keeps_its_own(ann: Account) -> None:
    accepted = make_taxon("Lactifluus volemus")
    synonym = make_taxon("Lactarius volemus", accepted=accepted)
    page = seen(make_find(ann, slip=SlipEntry("L. volemus", synonym.pk)), ann)
    assert "<i>Lactifluus volemus</i>" in page[page.index("<h1") : page.index("</h1>")]
    slips = page[page.index("slip-name") :]
    assert slips.index("<i>Lactarius volemus</i>") < slips.index("<i>Lactifluus volemus</i>")


def test_readings_stand_by_their_minutes_and_a_missed_one_says_not_looked(
    ann: Account, milkcap: Taxon
) -> None:
    find = make_find(
        ann,
        taxon=milkcap,
        readings=(
            ReadingEntry("milk", minutes(30), "wine red"),
            ReadingEntry("milk", minutes(0), "carrot orange"),
            ReadingEntry("milk", minutes(10), looked=False),
        ),
    )
    page = seen(find, ann)
    words = ("carrot orange", "not looked", "wine red")
    assert [page.index(word) for word in words] == sorted(page.index(word) for word in words)


def test_observed_characters_are_read_together(ann: Account) -> None:
    taste = Character.objects.create(code="gills", name="gill attachment", position=1)
    states = [
        taste.states.create(code=code, name=code, position=n)
        for n, code in enumerate(("free", "notched"))
    ]
    page = seen(make_find(ann, state_ids=tuple(state.pk for state in states)), ann)
    assert "gill attachment" in page
    assert "free, notched" in page


# --- photographs ----------------------------------------------------------------------------------


def test_photographs_are_large_open_larger_and_say_what_they_show(
    ann: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, taxon=milkcap)
    photo = photograph_add(find.pk, picture(), by=viewer(ann), view="section", is_drawn=True)
    page = seen(find, ann)
    assert reverse("finds:rendition", args=[photo.uuid, 1024]) in page
    assert f'href="{reverse("finds:rendition", args=[photo.uuid, 2048])}"' in page
    assert 'alt="cut section"' in page
    assert "drawing" in page
    assert "originals/" not in page


def test_photographs_of_a_find_one_may_not_see_are_not_found(ann: Account, milkcap: Taxon) -> None:
    find = make_find(ann, taxon=milkcap)
    photo = photograph_add(find.pk, picture(), by=viewer(ann))
    address = reverse("finds:rendition", args=[photo.uuid, 320])
    assert Client().get(address).status_code == 404
    assert client_of(make_account()).get(address).status_code == 200
    find_withdraw(find.pk, by=viewer(ann))
    assert client_of(make_account()).get(address).status_code == 404
    assert client_of(ann).get(address).status_code == 200


# --- who sees what --------------------------------------------------------------------------------


def test_a_guest_reads_a_confirmed_find_without_acts_thread_or_history(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, taxon=milkcap, site=make_site("Hagg Wood"))
    comment_add(find.pk, text="By the boathouse, second tree.", by=viewer(ann))
    assert Client().get(find_address(find)).status_code == 404
    confirm(find, bea)
    page = seen(find)
    assert "Lactarius deterrimus" in page
    assert "Hagg Wood" in page
    for words in ("boathouse", "<form", "History", "What would help", "55.203"):
        assert words not in page.replace('<form class="search"', ""), words


def test_a_guest_is_never_given_an_unpublished_find(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, taxon=milkcap)
    for kind in ("dispute", "leave_open"):
        confirm(find, bea, kind=kind, reason="It does not fit.")
        assert Client().get(find_address(find)).status_code == 404


def test_a_member_lays_slips_and_writes_but_settles_nothing(ann: Account, milkcap: Taxon) -> None:
    page = seen(make_find(ann, taxon=milkcap), make_account())
    assert "Lay a slip" in page
    assert "Write to finder and referees" in page
    assert "As its referee" not in page
    assert "Your find" not in page


def test_a_finder_sees_what_would_help_as_help_and_may_change_the_find(
    ann: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, taxon=milkcap, plain={"in_hand": "dried"})
    page = seen(find, ann)
    assert "What would help a referee" in page
    assert "a photograph of a cut section" in page
    assert "no longer to be had; next time perhaps" in page
    assert reverse("finds:edit", args=[find.year, find.number]) in page
    assert "Withdraw this find" in page
    assert "As its referee" not in page
    assert "tast" not in page.lower()


def test_what_would_help_is_no_matter_once_a_find_is_confirmed(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, taxon=milkcap)
    confirm(find, bea)
    assert "What would help" not in seen(find, ann)


def test_a_referee_sees_the_acts_and_only_what_may_be_asked(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    site = make_site(picking="nothing")
    page = seen(make_find(ann, taxon=milkcap, site=site, plain={"in_hand": "fresh"}), bea)
    assert "As its referee" in page
    for key in "cado":
        assert f'data-key="{key}"' in page
    assert 'value="mirror_photograph"' in page
    asked = page[page.index('name="wanted"') :].split("</select>")[0]
    for code in ("section", "underside", "spore_print", "specimen"):
        assert f'value="{code}"' not in asked
    assert "Reopen" not in page


def test_a_finder_who_referees_is_told_that_another_settles_it(milkcap: Taxon) -> None:
    carl = make_referee("Carl Nairn")
    page = seen(make_find(carl, taxon=milkcap), carl)
    assert "another referee settles it" in page
    assert "As its referee" not in page


def test_a_referee_out_of_scope_is_told_so(ann: Account, milkcap: Taxon) -> None:
    page = seen(make_find(ann, taxon=milkcap), make_referee("Cap", "genus", "Cortinarius"))
    assert "No name laid on this find lies in your scope." in page
    assert "As its referee" not in page


def test_a_referee_settles_the_slips_in_scope_and_no_other(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, taxon=milkcap)
    webcap = make_taxon("Cortinarius sanguineus", family="Cortinariaceae", order="Agaricales")
    slip_lay(find.pk, SlipEntry("C. sanguineus", webcap.pk), by=viewer(make_account()))
    own, other = find.slips.order_by("pk")
    page = seen(find, bea)
    choices = page[page.index('name="slip"') :].split("</select>")[0]
    assert f'<option value="{own.pk}" selected>' in choices
    assert f'value="{other.pk}"' not in choices
    answer = act(client_of(bea), find, slip=other.pk)
    assert answer.status_code == 422
    assert not Verdict.objects.exists()


def test_a_find_from_the_books_offers_to_reopen_it_first(bea: Account, milkcap: Taxon) -> None:
    find = make_find(slip=SlipEntry("L. deterrimus", milkcap.pk, basis="books"))
    page = seen(find, bea)
    assert 'value="reopen"' in page
    assert 'value="confirm"' not in page
    assert act(client_of(bea), find, "reopen").status_code == 302
    assert Find.objects.get(pk=find.pk).standing == "unconfirmed"


def test_a_withdrawn_find_is_for_its_finder_and_keepers(ann: Account, milkcap: Taxon) -> None:
    find = make_find(ann, taxon=milkcap)
    find_withdraw(find.pk, by=viewer(ann))
    assert "This find is withdrawn" in seen(find, ann)
    assert "Put it back" in seen(find, make_account(is_keeper=True))
    assert client_of(make_account()).get(find_address(find)).status_code == 404
    assert "Lay a slip" not in seen(find, ann)


# --- whose place ----------------------------------------------------------------------------------


def test_a_kept_place_is_shown_to_members_and_an_exact_one_to_those_concerned(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    kept = make_site("Kept Carr", openness="kept")
    place = PlaceEntry(552_031_415, -26_027_182, 20, "typed", "under the third pylon")
    find = make_find(ann, taxon=milkcap, site=kept, place=place)
    confirm(find, bea)
    guest, member = seen(find), seen(find, make_account())
    assert "Kept Carr" not in guest
    assert "Kept Carr" in member
    for page in (guest, member):
        assert "pylon" not in page
        assert "55.20314" not in page
    for account in (ann, bea, make_account(is_keeper=True)):
        page = seen(find, account)
        assert "55.20314" in page
        assert "under the third pylon" in page


def test_a_find_of_a_rare_name_gives_the_region_only(ann: Account) -> None:
    rare = make_taxon("Hericium inventum", family="Hericiaceae", sensitivity=1)
    find = make_find(ann, taxon=rare, site=make_site("Old Deer Park", extent_m=400))
    confirm(find, make_referee())
    guest = seen(find)
    assert "Old Deer Park" not in guest
    assert "Caldermoss" in guest
    assert "55.2" not in guest
    assert "Old Deer Park" not in seen(find, make_account())


# --- eating ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("standing", ["unconfirmed", "confirmed", "disputed", "left_open"])
def test_praise_is_folded_behind_the_notice_whatever_the_standing(
    ann: Account, bea: Account, milkcap: Taxon, standing: str
) -> None:
    find = make_find(ann, taxon=milkcap, plain={"notes": PRAISE})
    kinds = {"confirmed": "confirm", "disputed": "dispute", "left_open": "leave_open"}
    if standing in kinds:
        confirm(find, bea, kind=kinds[standing], reason="As seen.")
    assert Find.objects.get(pk=find.pk).standing == standing
    page = seen(find, ann)
    assert page.count(FULL_NOTICE) == 1
    assert page.index(FULL_NOTICE) < page.index(PRAISE)
    folded = page[page.index("caution-fold") : page.index(PRAISE)]
    assert "<summary" in folded
    assert " open" not in folded.split(">")[0]
    assert reverse("safety:poisoning") in page


@pytest.mark.parametrize("where", ["remarks", "comment", "reason", "caption", "note"])
def test_wherever_eating_is_spoken_of_the_full_notice_stands_once(
    ann: Account, bea: Account, milkcap: Taxon, where: str
) -> None:
    notes = (EatingNoteEntry("a neighbour", PRAISE),) if where == "note" else ()
    slip = SlipEntry("L. d.", milkcap.pk, remarks=PRAISE if where == "remarks" else "")
    find = make_find(ann, slip=slip, eating_notes=notes)
    if where == "comment":
        comment_add(find.pk, text=PRAISE, by=viewer(ann))
    if where == "reason":
        confirm(find, bea, kind="dispute", reason=PRAISE)
    if where == "caption":
        photograph_add(find.pk, picture(), by=viewer(ann), caption=PRAISE)
    page = seen(find, ann)
    assert page.count(FULL_NOTICE) == 1
    assert page.count(PRAISE) == 1


def test_a_page_that_says_nothing_of_eating_has_no_full_notice(
    ann: Account, milkcap: Taxon
) -> None:
    assert FULL_NOTICE not in seen(make_find(ann, taxon=milkcap), ann)


def test_a_dangerous_name_is_told_even_when_it_no_longer_stands(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    deadly = make_taxon("Amanita inventa", family="Amanitaceae", danger="deadly")
    find = make_find(ann, taxon=deadly)
    assert "<i>Amanita inventa</i>: deadly" in seen(find, ann)
    slip_lay(find.pk, SlipEntry("Lactarius deterrimus", milkcap.pk), by=viewer(bea))
    assert Find.objects.get(pk=find.pk).standing_taxon == milkcap
    assert "<i>Amanita inventa</i>: deadly" in seen(find, ann)


def test_dangerous_look_alikes_stand_on_the_label_and_are_no_test(
    ann: Account, milkcap: Taxon
) -> None:
    other = make_taxon("Cortinarius inventus", family="Cortinariaceae", danger="serious")
    LookAlike.objects.create(taxon=milkcap, other=other, source="from memory")
    page = seen(make_find(ann, taxon=milkcap), ann)
    assert "<i>Cortinarius inventus</i> (seriously poisonous)" in page
    assert "What separates them is no test for eating." in page


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
    laid = confirm(find, bea)
    address = reverse("review:undo", args=[laid.uuid])
    assert client_of(make_referee()).post(address).status_code == 403
    assert client_of(bea).get(address).status_code == 405
    find_withdraw(find.pk, by=viewer(ann))
    assert client_of(make_referee()).post(address).status_code == 404


def test_an_act_withdrawn_stays_to_be_read(ann: Account, bea: Account, milkcap: Taxon) -> None:
    find, client = make_find(ann, taxon=milkcap), client_of(bea)
    laid = confirm(find, bea)
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


# --- sentences ------------------------------------------------------------------------------------


def test_the_history_is_told_in_sentences(ann: Account, bea: Account, milkcap: Taxon) -> None:
    find = make_find(ann, taxon=milkcap)
    confirm(find, bea)
    page = seen(find, ann)
    history = page[page.index('class="history"') :]
    told = [
        "Ann Hartley posted the find",
        "Ann Hartley laid a slip",
        "Bea Lowther confirmed a slip",
        "With that the find&#x27;s standing changed",
    ]
    assert [history.index(words) for words in told] == sorted(map(history.index, told))


def test_every_verb_that_rooms_write_of_a_find_has_a_sentence() -> None:
    from pathlib import Path

    import society

    verbs: set[str] = set()
    for room in ("finds", "review"):
        for file in (Path(society.__file__).parent / room).rglob("*.py"):
            verbs |= set(re.findall(r'"(find\.[a-z_]+)"', file.read_text()))
    kinds = {"confirm", "dispute", "ask", "leave_open", "reopen", "withdraw"}
    verbs |= {f"find.{kind}" for kind in kinds}
    assert verbs == set(CHANGES)
    assert kinds <= set(NOTICES)


def test_every_standing_and_every_wanted_piece_has_words() -> None:
    assert {str(code) for code in STANDINGS} == set(CODES)
    for code in Wanted.values:
        assert wanted_words(code)
    assert all(str(words) for words in REASONS.values())


def test_a_dispute_says_why_it_stands_so(ann: Account, bea: Account, milkcap: Taxon) -> None:
    find = make_find(ann, taxon=milkcap)
    confirm(find, bea, kind="dispute", reason="The milk does not fit.")
    page = seen(find, ann)
    assert "A referee objects to the name." in page
    assert "The milk does not fit." in page


# --- cost -----------------------------------------------------------------------------------------


def filled(ann: Account, bea: Account, milkcap: Taxon, times: int) -> Find:
    hosts = [make_host(f"Tilia inventa{times}{n}") for n in range(times)]
    find = make_find(
        ann,
        taxon=milkcap,
        site=make_site(),
        organisms=tuple(OrganismEntry("lime", host.pk) for host in hosts),
        readings=tuple(ReadingEntry("milk", minutes(n), "orange") for n in range(times)),
        eating_notes=tuple(EatingNoteEntry("x", f"{PRAISE} {n}") for n in range(times)),
        plain={"in_hand": "fresh"},
    )
    for _ in range(times):
        slip_lay(find.pk, SlipEntry("L. d.", milkcap.pk, remarks="So."), by=viewer(make_account()))
        comment_add(find.pk, text="Yes.", by=viewer(make_account()))
        confirm(find, bea, kind="ask", wanted="section")
        photograph_add(find.pk, picture(), by=viewer(ann), view="cap")
    return find


def test_the_page_costs_the_same_whatever_the_find_holds(
    ann: Account, bea: Account, milkcap: Taxon, django_assert_max_num_queries: Any
) -> None:
    small, large = (filled(ann, bea, milkcap, times) for times in (1, 8))
    for account in (bea, ann, make_account()):
        by = viewer(account)
        with django_assert_max_num_queries(18):
            find_page(by, large)
        client, counts = client_of(account), []
        for find in (small, large):
            client.get(find_address(find))
            with CaptureQueriesContext(connection) as queries:
                client.get(find_address(find))
            counts.append(len(queries))
        assert counts[0] == counts[1]
