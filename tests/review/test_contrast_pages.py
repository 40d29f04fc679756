"""How evidence bears: a find's contrast, characters typed without a find, columns side by side."""

import re
from dataclasses import replace
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from society.finds.models import Find
from society.finds.services import OrganismEntry, ReadingEntry
from society.members.models import Account
from society.names.models import CharacterState, LookAlike, Sensitivity, Taxon
from society.names.queries import account_book
from society.names.services import stamp_raise
from society.places.models import Site
from society.review.queries import contrast_for_find
from society.review.queries.contrast import recorded_here
from society.review.templatetags.contrast import bearing_expects, fit_words, support_sentence
from society.review.templatetags.next_looks import look_sentence, varies_sentence
from society.science.contrast import Bearing, Moment, NextLook, WouldSay
from tests.make import (
    make_character,
    make_find,
    make_host,
    make_site,
    make_society,
    make_species_account,
    make_taxon,
    minutes,
)
from tests.review.acts import act as act_on
from tests.review.desk import client_of, find_address, text_of

pytestmark = pytest.mark.django_db

DETERRIMUS = {
    "stem_pits": {"none": "usually", "few": "sometimes", "many": "never"},
    "cap_zones": {"none": "usually", "faint": "sometimes", "clear": "rarely"},
    "milk_colour": {"carrot": "always", "white": "never"},
}
DELICIOSUS = {
    "stem_pits": {"many": "usually", "few": "sometimes", "none": "rarely"},
    "cap_zones": {"clear": "always"},
    "milk_colour": {"carrot": "always", "white": "never"},
}
DEADLY = {"stem_pits": {"none": "always"}, "milk_colour": {"none": "always"}}


@pytest.fixture
def names() -> dict[str, Taxon]:
    """Two orange milk caps, entered as look-alikes, and a deadly agaric of like form."""
    make_society()
    deterrimus = make_taxon("Lactarius deterrimus", hosts=["Picea"])
    deliciosus = make_taxon("Lactarius deliciosus", hosts=["Pinus"])
    deadly = make_taxon(
        "Amanita inventa", family="Amanitaceae", order="Agaricales", danger="deadly"
    )
    make_species_account(
        deterrimus,
        DETERRIMUS,
        [("milk", 0, 8, "orange", "always"), ("milk", 8, 60, "wine", "usually")],
    )
    make_species_account(deliciosus, DELICIOSUS, [("milk", 0, 60, "orange", "always")])
    make_species_account(deadly, DEADLY)
    LookAlike.objects.create(taxon=deterrimus, other=deliciosus, source="from memory")
    make_character("taste", "bitter", never_asked=True, part="taste")
    return {"deterrimus": deterrimus, "deliciosus": deliciosus, "deadly": deadly}


def states(**chosen: str) -> tuple[int, ...]:
    return tuple(
        CharacterState.objects.get(character__code=code, code=state).pk
        for code, state in chosen.items()
    )


def posted(ann: Account, taxon: Taxon | None, **over: Any) -> Find:
    """A fresh find under spruce whose milk was wine-red at 20 minutes."""
    spruce = make_host("Picea abies", genus="Picea") if "organisms" not in over else None
    values: dict[str, Any] = {
        "readings": (
            ReadingEntry("milk", minutes(0), seen="carrot orange"),
            ReadingEntry("milk", minutes(20), seen="wine-red"),
        ),
        "plain": {"in_hand": "fresh", "form": "agaric"},
        **over,
    }
    if spruce is not None:
        values["organisms"] = (OrganismEntry("Picea abies", spruce.pk, part="host"),)
    return make_find(ann, **({"taxon": taxon} if taxon else {}), **values)


def contrast_seen(find: Find, account: Account | None = None, query: str = "") -> str:
    client = client_of(account) if account else Client()
    response = client.get(find_address(find, "review:contrast") + query)
    assert response.status_code == 200
    return text_of(response)


def order_of(page: str, *names: str) -> list[str]:
    """Return the names in the order in which their candidates stand on the page."""
    lines = re.findall(r'<li class="candidate">.*?</p>', page)
    return [name for line in lines for name in names if name in line]


# --- a find -----------------------------------------------------------------------------------


def test_what_fits_and_what_speaks_against_each_name_is_told_in_words(
    ann: Account, names: dict[str, Taxon]
) -> None:
    find = posted(ann, names["deliciosus"], state_ids=states(stem_pits="none", cap_zones="none"))
    page = contrast_seen(find, ann)
    assert order_of(page, "Lactarius deliciosus", "Lactarius deterrimus") == [
        "Lactarius deterrimus",
        "Lactarius deliciosus",
    ]
    part = page.split("Lactarius deliciosus</i>", 1)[1]
    assert "speak against it" in part
    assert "cap zones" in page
    assert "always clear" in page
    assert "carrot orange" in page


def test_it_shows_no_share_score_or_bar_and_says_it_is_no_test_for_eating(
    ann: Account, names: dict[str, Taxon]
) -> None:
    page = contrast_seen(posted(ann, names["deterrimus"]), ann)
    main = page.split('id="main"')[1].split("</main>")[0]
    assert "%" not in main
    assert "<progress" not in main
    assert "<meter" not in main
    assert "It never says what the find is, and nothing on this page is a test for eating." in main
    for word in ("excluded", "ruled out by", "safe to eat", "edible"):
        assert word not in main.lower()


def test_no_dangerous_species_of_like_form_ever_leaves_the_page(
    ann: Account, names: dict[str, Taxon]
) -> None:
    find = posted(
        ann, names["deterrimus"], state_ids=states(milk_colour="carrot", cap_zones="none")
    )
    page = contrast_seen(find, ann)
    assert "Amanita inventa" in page
    assert "Something not in these accounts" in page


def test_a_dangerous_species_or_look_alike_without_an_account_stands_there_too(
    ann: Account, names: dict[str, Taxon]
) -> None:
    make_taxon("Cortinarius inventus", family="Cortinariaceae", danger="deadly")
    paired = make_taxon("Lactarius similis")
    LookAlike.objects.create(taxon=paired, other=names["deterrimus"], source="from memory")
    stamp_raise()
    page = contrast_seen(posted(ann, names["deterrimus"]), ann)
    assert "Cortinarius inventus" in page
    assert "Lactarius similis" in page
    assert "no account of it is held" in page


def test_no_look_alike_leaves_the_page_however_many_there_are(
    ann: Account, names: dict[str, Taxon]
) -> None:
    others = [make_taxon(f"Lactarius similis{letter}") for letter in "abcdefghijklmnop"]
    for other in others:
        LookAlike.objects.create(taxon=other, other=names["deterrimus"], source="from memory")
    stamp_raise()
    page = contrast_seen(posted(ann, names["deterrimus"]), ann)
    assert [one for one in others if one.scientific_name not in page] == []


def test_a_reading_at_which_nobody_looked_says_nothing(
    ann: Account, names: dict[str, Taxon]
) -> None:
    readings = (
        ReadingEntry("milk", minutes(0), seen="carrot orange"),
        ReadingEntry("milk", minutes(30), looked=False),
    )
    page = contrast_seen(posted(ann, names["deterrimus"], readings=readings), ann)
    assert "not looked" in page
    assert "no change" not in page.split('id="time-lines"')[1].split("</tr>")[1]


def test_a_button_or_pictures_alone_part_nothing_below_the_genus(
    ann: Account, names: dict[str, Taxon]
) -> None:
    words = "part nothing below the genus"
    assert words not in contrast_seen(posted(ann, names["deterrimus"]), ann)
    button = posted(
        ann,
        names["deterrimus"],
        organisms=(),
        plain={"in_hand": "fresh", "form": "agaric", "stage": "button"},
    )
    assert words in contrast_seen(button, ann)


def test_what_to_look_at_next_is_explained_never_a_taste_and_never_what_was_seen(
    ann: Account, names: dict[str, Taxon]
) -> None:
    find = posted(ann, names["deterrimus"], state_ids=states(stem_pits="none"))
    part = contrast_seen(find, ann).split('id="look-next"')[1].split("</section>")[0]
    assert "cap zones" in part
    assert "always clear" in part
    assert "taste" not in part
    assert "stem pits" not in part


def test_a_look_says_which_outcome_would_speak_against_which_name(
    ann: Account, names: dict[str, Taxon]
) -> None:
    page = contrast_for_find(posted(ann, names["deterrimus"], readings=()).pk)
    key = names["deterrimus"].pk
    zones = NextLook("character", "cap_zones", 0.5, 1.0, (), ("clear", key, -2.0), False)
    assert look_sentence(zones, page) == (
        "'clear' would speak strongly against Lactarius deterrimus."
    )
    milk = NextLook(
        "reading", "milk", 0.5, 4.0, (), ("wine", key, -2.0), False, exposed="milk", minute=30.0
    )
    assert look_sentence(milk, page) == (
        "wine-red or maroon by 30 minutes would speak strongly against Lactarius deterrimus."
    )


def test_a_look_names_both_whom_it_would_go_with_and_whose_account_varies(
    ann: Account, names: dict[str, Taxon]
) -> None:
    page = contrast_for_find(posted(ann, names["deterrimus"], readings=()).pk)
    against, goes_with = names["deterrimus"].pk, names["deliciosus"].pk
    said = (
        WouldSay(goes_with, (("clear", "always"),), sources_differ=False),
        WouldSay(against, (("none", "usually"), ("faint", "sometimes")), sources_differ=True),
    )
    zones = NextLook(
        "character",
        "cap_zones",
        0.5,
        1.0,
        said,
        ("clear", against, -2.0),
        sources_differ=True,
        goes_with=goes_with,
    )
    assert look_sentence(zones, page) == (
        "'clear' would go with Lactarius deliciosus and speak against L. deterrimus."
    )
    assert varies_sentence(zones, page) == "The account of Lactarius deterrimus varies."
    both = replace(zones, would_say=tuple(replace(one, sources_differ=True) for one in said))
    assert varies_sentence(both, page) == (
        "The accounts of Lactarius deliciosus and L. deterrimus vary."
    )
    neither = replace(zones, would_say=tuple(replace(one, sources_differ=False) for one in said))
    assert varies_sentence(neither, page) == ""
    assert look_sentence(replace(zones, telling=None, goes_with=None), page) == (
        "Lactarius deliciosus: always clear; L. deterrimus: usually none, sometimes faint."
    )


def test_every_look_of_a_find_says_something_and_names_a_name(
    ann: Account, names: dict[str, Taxon]
) -> None:
    page = contrast_for_find(posted(ann, names["deterrimus"], readings=()).pk)
    assert page.next_looks
    for look in page.next_looks:
        assert "Lactarius" in look_sentence(look, page) or "Amanita" in look_sentence(look, page)


# --- what fits only nearly, and what the account does not hold -----------------------------------


def test_what_was_seen_is_always_named_with_how_usual_it_is(
    ann: Account, names: dict[str, Taxon]
) -> None:
    book = contrast_for_find(posted(ann, names["deterrimus"]).pk).book
    held = (("orange", "usually"), ("brown", "sometimes"), ("red", "sometimes"), ("wine", "rarely"))

    def at(seen: str, verdict: Any, **over: Any) -> Bearing:
        moment = Moment(30.0, (seen,), held, verdict, **over)
        return Bearing("reading", "milk", verdict, (seen,), held, exposed="milk", moments=(moment,))

    assert bearing_expects(at("wine", "speaks_against"), book) == (
        "at 30 min usually orange, sometimes brown, rarely wine-red or maroon"
    )
    assert bearing_expects(at("lilac", "speaks_against"), book) == (
        "at 30 min usually orange, sometimes brown, sometimes red, lilac or violet not named"
    )
    assert "as at 20 min:" in bearing_expects(at("orange", "fits", carried_from=20.0), book)
    pits = Bearing(
        "character",
        "stem_pits",
        "speaks_against",
        ("many",),
        (("none", "usually"), ("many", "never")),
    )
    assert bearing_expects(pits, book) == "usually none, never many"


def test_how_a_thing_bears_says_whether_nearly_or_in_part(
    ann: Account, names: dict[str, Taxon]
) -> None:
    book = contrast_for_find(posted(ann, names["deterrimus"]).pk).book
    near = Bearing("reading", "milk", "fits", ("wine",), exposed="milk", near_to=("red",))
    assert fit_words(near, book) == "fits as near to red"
    assert fit_words(replace(near, near_to=(), in_part=True), book) == "fits in part"
    assert fit_words(replace(near, near_to=()), book) == "fits"


def test_readings_are_told_by_the_minute_each_with_how_it_bears(
    ann: Account, names: dict[str, Taxon]
) -> None:
    readings = (
        ReadingEntry("milk", minutes(5), seen="orange"),
        ReadingEntry("milk", minutes(40), seen="orange"),
    )
    page = contrast_seen(posted(ann, names["deterrimus"], readings=readings), ann)
    assert "at 5 min always orange (fits)" in page
    assert "at 40 min usually wine-red or maroon, orange not named (speaks against)" in page


def test_a_minute_an_account_does_not_hold_is_not_counted_as_fitting(
    ann: Account, names: dict[str, Taxon]
) -> None:
    readings = (ReadingEntry("milk", minutes(5), seen="white"),)
    make_species_account(
        (white := make_taxon("Lactarius inventus", hosts=["Picea"])),
        {"milk_colour": {"white": "always"}},
    )
    page = contrast_for_find(posted(ann, white, readings=readings).pk)
    (row,) = [one for one in page.candidates if one.taxon == white]
    assert "milk" in {bearing.code for bearing in row.not_known}
    assert "milk" not in {bearing.code for bearing in (*row.fitting, *row.against)}


def test_the_number_that_speaks_against_governs_the_verb(
    ann: Account, names: dict[str, Taxon]
) -> None:
    page = contrast_for_find(posted(ann, names["deterrimus"]).pk)
    shown = next(one for one in page.candidates if one.taxon is not None)

    def said(fits: int, against: int) -> str:
        row = replace(shown.row, fits=fits, against=against, seen=fits + against)
        return support_sentence(replace(shown, row=row))

    assert said(12, 1) == "1 of 13 things seen speaks against it."
    assert said(11, 2) == "2 of 13 things seen speak against it."
    assert said(1, 0) == "The one thing seen that bears on it fits."
    assert said(0, 1) == "The one thing seen that bears on it speaks against it."
    assert said(8, 0) == "All 8 things seen that bear on it fit."


def test_not_seen_counts_only_what_the_candidates_own_account_holds(
    ann: Account, names: dict[str, Taxon]
) -> None:
    brief = make_taxon("Lactarius inventus", hosts=["Picea"])
    make_species_account(
        brief, {"stem_pits": {"none": "always"}, "milk_colour": {"carrot": "always"}}
    )
    LookAlike.objects.create(taxon=brief, other=names["deterrimus"], source="from memory")
    find = posted(ann, brief, readings=(), state_ids=states(stem_pits="none"))
    (row,) = [one for one in contrast_for_find(find.pk).candidates if one.taxon == brief]
    blank = [bearing for bearing in row.not_seen if not bearing.expects]
    assert {"cap_zones"} <= {bearing.code for bearing in blank}
    own = len(row.not_seen) - len(blank)

    part = contrast_seen(find, ann).split("Lactarius inventus</i>")[1]
    part = part.split('<li class="candidate">')[0]
    assert own == 1
    assert "1 thing of its account not seen" in part
    assert "milk colour" in part
    assert f"not known of it: {len(blank) + len(row.not_known)}" in part
    assert "<dt>cap zones" not in part


def test_none_beside_another_state_is_told_as_a_contradiction_and_not_counted(
    names: dict[str, Taxon],
) -> None:
    page = text_of(
        typed("?form=agaric&seen=stem_pits.none&seen=stem_pits.few&seen=cap_zones.clear")
    )
    assert "stem pits: none and few contradict each other; not counted" in page
    assert "contradict" not in text_of(typed("?form=agaric&seen=stem_pits.none"))
    assert "stem pits" not in page.split('id="things"')[1].split("</table>")[0]


def test_nothing_that_needs_a_cut_is_asked_of_pictures(
    ann: Account, names: dict[str, Taxon]
) -> None:
    find = posted(
        ann, names["deterrimus"], readings=(), plain={"in_hand": "nothing", "form": "agaric"}
    )
    part = contrast_seen(find, ann).split('id="look-next"')[1].split("</section>")[0]
    assert "milk" not in part
    assert "Nothing that can still be done" in part


def test_the_finds_page_asks_for_the_looks_that_part_its_name_without_naming_others(
    ann: Account, names: dict[str, Taxon]
) -> None:
    find = posted(ann, names["deterrimus"])
    page = text_of(client_of(ann).get(find_address(find)))
    part = page.split("For telling this name from what it is taken for:")[1].split("</div>")[0]
    assert "cap zones" in part or "stem pits" in part
    assert "deliciosus" not in part
    assert find_address(find, "review:contrast") in page


def test_members_may_ask_how_two_names_compare_and_guests_may_not(
    ann: Account, carl: Account, names: dict[str, Taxon]
) -> None:
    find = posted(ann, names["deterrimus"], state_ids=states(stem_pits="none", cap_zones="none"))
    one, other = names["deliciosus"].pk, names["deterrimus"].pk
    query = f"?one={one}&other={other}"
    page = contrast_seen(find, ann, query)
    assert re.search(
        r"goes with <i>Lactarius deterrimus</i>, beside <i>Lactarius deliciosus</i>, "
        r"(about \d+ times|more than 1,000 times) better",
        page,
    )
    same = contrast_seen(find, ann, f"?one={one}&other={one}")
    assert "Choose two different names." in same
    act_on(find, carl, kind="confirm")
    assert "times better" not in contrast_seen(find, None, query)


def test_a_find_that_a_guest_may_not_see_has_no_contrast_for_one(
    ann: Account, names: dict[str, Taxon]
) -> None:
    find = posted(ann, names["deterrimus"])
    assert Client().get(find_address(find, "review:contrast")).status_code == 404


def test_a_find_without_a_name_is_held_against_every_account_of_its_form(
    ann: Account, names: dict[str, Taxon]
) -> None:
    page = contrast_seen(posted(ann, None), ann)
    for taxon in names.values():
        assert taxon.scientific_name in page


def test_it_costs_the_same_whatever_was_recorded(ann: Account, names: dict[str, Taxon]) -> None:
    small = posted(ann, names["deterrimus"], readings=())
    large = posted(
        ann,
        names["deterrimus"],
        organisms=(),
        state_ids=states(stem_pits="none", cap_zones="none"),
        readings=tuple(ReadingEntry("milk", minutes(at), seen="orange") for at in range(1, 20)),
    )
    client, counts = client_of(ann), []
    account_book()
    for find in (small, large):
        client.get(find_address(find, "review:contrast"))
        with CaptureQueriesContext(connection) as queries:
            client.get(find_address(find, "review:contrast"))
        counts.append(len(queries))
    assert counts[0] == counts[1]
    assert counts[0] <= 20


def test_records_at_the_site_weigh_more_and_neither_the_find_nor_secret_ones_count(
    ann: Account, names: dict[str, Taxon]
) -> None:
    here, elsewhere = make_site("Hagg Wood"), make_site("Gorse Bank")
    key = names["deterrimus"].pk

    def confirmed(site: Site, **values: Any) -> Find:
        find = posted(ann, names["deterrimus"], site=site, organisms=())
        Find.objects.filter(pk=find.pk).update(
            standing="confirmed", standing_taxon=names["deterrimus"], **values
        )
        return Find.objects.get(pk=find.pk)

    find = confirmed(here)
    assert recorded_here([key], find) == {}
    confirmed(here)
    confirmed(here, secrecy=Sensitivity.HIGH)
    confirmed(elsewhere)
    assert recorded_here([key], find) == {key: (3, 1)}
    assert recorded_here([key]) == {key: (4, 0)}


# --- typed without a find -----------------------------------------------------------------------


def typed(query: str, account: Account | None = None) -> Any:
    client = client_of(account) if account else Client()
    return client.get(reverse("review:contrast_typed") + query)


def test_characters_typed_without_a_find_are_weighed_and_kept_ticked(
    names: dict[str, Taxon],
) -> None:
    empty = text_of(typed(""))
    assert "nothing is kept" in empty
    assert "taste" not in empty.split('id="typed"')[1]
    make_host("Pinus", rank="genus", genus="Pinus")
    page = text_of(typed("?form=agaric&seen=stem_pits.many&seen=cap_zones.clear&hosts=Pinus"))
    assert order_of(page, "Lactarius deliciosus", "Lactarius deterrimus")[0] == (
        "Lactarius deliciosus"
    )
    assert re.search(r'value="stem_pits.many"\s+checked', page)
    assert "<b>many</b>" in page


@pytest.mark.parametrize(
    ("query", "fault"),
    [
        ("?form=agaric&hosts=Nothofagus+ignota", "No tree or plant of the checklist is called"),
        ("?form=agaric&hosts=Picea%00", "A sign in this cannot be read. Write the names anew."),
        ("?form=toadstool", "This is not in the list. Choose again."),
        ("?month=10", "Choose the form."),
        ("?form=agaric&seen=cap_zones.purple", "One of the ticked boxes is no longer in the"),
        ("?form=agaric&seen=cap_zones.clear%00", "One of the ticked boxes is no longer in the"),
        ("?form=agaric&seen=taste.bitter", "One of the ticked boxes is no longer in the"),
        ("?form=agaric&month=13", "This is not in the list. Choose again."),
        ("?form=agaric&month=soon%00", "This is not in the list. Choose again."),
        ("?form=agaric&substrate=cloud", "This is not in the list. Choose again."),
    ],
)
def test_what_cannot_be_read_is_told_and_nothing_is_weighed(
    query: str, fault: str, names: dict[str, Taxon]
) -> None:
    page = text_of(typed(query))
    assert fault in page
    assert "Select a valid choice" not in page
    assert "Null characters" not in page
    assert "Name by name" not in page


# --- side by side -------------------------------------------------------------------------------


BESIDE = "/side-by-side/"


def beside(query: str, account: Account | None = None) -> str:
    client = client_of(account) if account else Client()
    response = client.get(reverse("review:side_by_side") + query)
    assert response.status_code == 200
    return text_of(response)


def test_finds_and_accounts_stand_in_columns_with_what_differs_first(
    ann: Account, names: dict[str, Taxon]
) -> None:
    find = posted(
        ann, names["deterrimus"], state_ids=states(stem_pits="none", milk_colour="carrot")
    )
    page = beside(f"?with=find-{find.year}-{find.number}&add=Lactarius+deliciosus", ann)
    assert f"Find {find.spoken_number}" in page
    assert "account of" in page
    rows = re.findall(r'<th scope="row">(.*?)</th>', page)
    differing = [row for row in rows if "differs" in row]
    assert any("stem pits" in row for row in differing)
    assert rows.index(differing[0]) < next(
        at for at, row in enumerate(rows) if "milk colour" in row
    )
    assert "wine-red" in page.split("milk on a fresh cut")[1]
    assert "no test for eating" in page


def test_finds_of_the_queue_can_be_ticked_and_put_side_by_side(
    ann: Account, carl: Account, names: dict[str, Taxon]
) -> None:
    find = posted(ann, names["deterrimus"])
    page = text_of(client_of(carl).get(reverse("review:desk")))
    assert f'name="with" value="find-{find.year}-{find.number}" form="beside"' in page
    assert f'<form id="beside" class="screen-only" method="get" action="{BESIDE}">' in page


def test_what_is_not_found_is_told_and_the_rest_is_kept(names: dict[str, Taxon]) -> None:
    page = beside(f"?with=account-{names['deliciosus'].pk}&add=Boletus+nusquam")
    assert "Nothing was found for 'Boletus nusquam'" in page
    assert "Lactarius deliciosus" in page
    assert "Nothing stands here yet" in beside("")
    many = "&".join(f"with=account-{make_species(n)}" for n in range(5))
    assert "Only the first four are shown." in beside(f"?{many}")


def make_species(number: int) -> int:
    taxon = make_taxon(f"Russula inventa{'abcde'[number]}")
    make_species_account(taxon, {"cap_zones": {"none": "always"}})
    return taxon.pk


def test_a_column_of_a_find_tells_no_more_of_it_than_its_page(
    ann: Account, carl: Account, names: dict[str, Taxon]
) -> None:
    find = posted(ann, names["deterrimus"])
    key = f"?with=find-{find.year}-{find.number}"
    assert f"Find {find.spoken_number}" not in beside(key)
    act_on(find, carl, kind="confirm")
    Find.objects.filter(pk=find.pk).update(secrecy=Sensitivity.EXTREME)
    page = beside(key)
    assert f"Find {find.spoken_number}" in page
    assert "55.2" not in page
    assert "by the stream" not in page


def test_side_by_side_costs_the_same_for_two_and_four(
    ann: Account, names: dict[str, Taxon]
) -> None:
    finds = [posted(ann, names["deterrimus"], organisms=()) for _ in range(4)]
    keys = [f"with=find-{find.year}-{find.number}" for find in finds]
    client, counts = client_of(ann), []
    account_book()
    for number in (2, 4):
        address = reverse("review:side_by_side") + "?" + "&".join(keys[:number])
        client.get(address)
        with CaptureQueriesContext(connection) as queries:
            client.get(address)
        counts.append(len(queries))
    assert counts[0] == counts[1]
