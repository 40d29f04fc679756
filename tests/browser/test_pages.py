"""Every page, as everybody who may see it sees it: on a screen, a phone, by night, on paper."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from django.contrib.auth.tokens import default_token_generator
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.utils.http import urlsafe_base64_encode
from playwright.sync_api import Page, expect

from society.names.models import AccountReading, CharacterState, ChecklistFile, ListedStatus
from tests.browser import steps
from tests.cast import DRAFT_UUID, Cast, cast_make
from tests.make import make_host

# Addresses that answer with data, files or a redirect, or take only what a form sends.
NO_PAGES = {
    *("alive", "lookup", "boundaries", "read", "rendition", "original", "draft", "draft_drop"),
    *("draft_photograph", "draft_photograph_add", "draft_photograph_drop", "photograph_add"),
    *("list_csv", "list_xlsx", "finds_csv", "my_records", "signout", "invitation_revoke"),
    *("withdraw", "put_back", "slip", "verdict", "undo", "comment", "scope_end"),
    *("checklist_csv", "account_spores_drop", "file_drop", "file_take", "listed_remove"),
    *("look_alike_remove", "part", "split_end", "state_add", "correction_withdraw"),
}
# How Python writes its objects, and what a template leaves where a word is missing.
OF_THE_PROGRAM = re.compile(r"\b\w+\(\w+=|<\w+: |object at 0x|\{\{|\{%|\bNone\b")
ROLES = {"guest": "guest", "member": "ann", "referee": "bea", "organiser": "olive", "keeper": "kay"}

REFUSALS = (
    ("/nowhere/", 404, "Search above"),
    ("/keeper/", 403, "ask the keeper"),
    ("/desk/", 403, "ask the keeper"),
    ("/join/nobody-made-this-one/", 410, "invitation"),
)


@dataclass(frozen=True)
class PageShown:
    """An address to open: its name, what it takes, and the query behind it."""

    name: str
    arguments: tuple[Any, ...] = ()
    query: str = ""

    @property
    def address(self) -> str:
        return reverse(self.name, args=self.arguments) + self.query


@pytest.fixture
def cast(live_server: Any) -> Cast:
    made = cast_make()
    make_host("Picea abies", english="Norway Spruce")
    return made


def pages_of(role: str, cast: Cast) -> list[PageShown]:
    """Return the pages that belong to a role, beside those of the roles before it."""
    shown = PageShown
    plain, confirmed, disputed, sensitive = (
        (find.year, find.number)
        for find in (cast.plain, cast.confirmed, cast.disputed, cast.sensitive)
    )
    site, kept = (cast.open_site.slug,), (cast.kept_site.slug,)
    taxon = (cast.milkcap.pk,)
    reset = (
        urlsafe_base64_encode(str(cast.ben.pk).encode()),
        default_token_generator.make_token(cast.ben),
    )
    return {
        "guest": [
            shown("lists:home"),
            shown("members:signin"),
            shown("members:password_reset"),
            shown("members:password_reset_sent"),
            shown("members:password_reset_confirm", reset),
            shown("members:join", (cast.invitation_token,)),
            shown("safety:poisoning"),
            shown("safety:cautions"),
            shown("lists:sites"),
            shown("lists:site", site),
            shown("lists:lists"),
            shown("lists:species_list"),
            shown("lists:species_list", query=f"?site={site[0]}&season=2026&by_family=on"),
            shown("lists:species_list", query="?season=1999"),
            shown("lists:finds", query=f"?site={site[0]}"),
            shown("lists:species", taxon),
            shown("review:find", confirmed),
            shown("review:contrast", confirmed),
            shown("review:contrast_typed"),
            shown("review:contrast_typed", query="?form=agaric&seen=ring.hanging&month=9"),
            shown(
                "review:side_by_side",
                query=f"?with=find-{confirmed[0]}-{confirmed[1]}&with=account-{taxon[0]}",
            ),
            shown("lists:search"),
            shown("lists:search", query="?q=lactarius"),
            shown("lists:search", query="?q=zzzz"),
            shown("names:characters"),
            shown("names:characters", query="?form=agaric"),
            shown("names:character", ("ring",)),
        ],
        "member": [
            shown("lists:home"),
            shown("finds:post"),
            shown("finds:post", query=f"?draft={DRAFT_UUID}"),
            shown("finds:post", query=f"?like={cast.plain.spoken_number}"),
            shown("finds:edit", confirmed),
            shown("lists:logbook"),
            shown("lists:logbook_names"),
            shown("review:notices"),
            shown("members:me"),
            shown("members:password_change"),
            *(shown("review:find", find) for find in (plain, confirmed, disputed, sensitive)),
            shown("review:contrast", plain),
            shown("review:side_by_side", query="?with=nothing-of-that-name"),
            shown("lists:site", kept),
            shown("lists:sites"),
        ],
        "referee": [
            shown("review:desk"),
            shown("review:desk", query="?genus=Russula&whose=mine"),
            shown("review:find", plain, "?desk=1"),
            shown("review:find", disputed, "?desk=1"),
            shown("review:account_correct", confirmed, "?character=ring"),
            shown("lists:home"),
        ],
        "organiser": [
            shown("places:add"),
            shown("places:edit", site),
            shown("lists:sites"),
            shown("lists:site", kept),
        ],
        "keeper": [
            shown("members:keeper"),
            shown("members:people"),
            shown("members:person", (cast.ann.person_id,)),
            shown("members:person", (cast.paper.pk,)),
            shown("members:invitations"),
            shown("members:society"),
            shown("review:scopes"),
            shown("names:checklist"),
            shown("names:checklist", query="?q=lact"),
            shown("names:add"),
            shown("names:edit", taxon),
            shown("names:merge", taxon),
            shown("names:move", taxon),
            shown("names:split", taxon),
            shown("names:lists", taxon),
            shown("names:listed", (ListedStatus.objects.get().pk,)),
            shown("names:look_alikes", taxon),
            shown("names:files"),
            shown("names:file", (ChecklistFile.objects.get().pk,)),
            shown("names:account", taxon),
            shown("names:account_states", (*taxon, "ring")),
            shown("names:account_reading_add", taxon),
            shown("names:account_reading", (*taxon, AccountReading.objects.get().pk)),
            shown("names:account_spores", taxon),
            shown("names:kept_characters"),
            shown("names:kept_character", ("ring",)),
            shown("names:character_add"),
            shown("names:kept_state", (CharacterState.objects.get(code="hanging").pk,)),
        ],
    }[role]


@pytest.mark.parametrize("width", ["1280 px", "390 px"])
@pytest.mark.parametrize("role", ROLES)
def test_every_page_opens_fits_and_is_accessible(
    role: str,
    width: str,
    cast: Cast,
    signed_in: Callable[..., Page],
    accessible: Callable[..., None],
) -> None:
    # Colours that fade from day to night would be measured half way.
    page = signed_in(cast.account(ROLES[role]), phone=width == "390 px", reduced_motion="reduce")
    faults: list[str] = []
    for shown in pages_of(role, cast):
        answer = page.goto(shown.address)
        assert answer is not None
        if answer.status != 200:
            faults.append(f"{shown.address} answers {answer.status}")
            continue
        for look in (stands_well, steps.fits_the_width, accessible, by_night(accessible), on_paper):
            try:
                look(page)
            except AssertionError as fault:
                faults.append(f"{shown.address}: {fault}")
    assert not faults, "\n\n".join(faults)


def stands_well(page: Page) -> None:
    """The page has one heading and a title, and leads to the poisoning sheet."""
    assert page.locator("h1").count() == 1, "not one heading of the first order"
    assert page.title().strip(" ·") != "", "no title"
    urgent = page.get_by_role("banner").get_by_role("link", name="Poisoning?")
    assert urgent.is_visible(), "no way to the poisoning sheet"
    leaked = OF_THE_PROGRAM.search(page.locator("body").inner_text())
    assert leaked is None, f"the program's own words on the page: {leaked}"


def by_night(accessible: Callable[..., None]) -> Callable[[Page], None]:
    def look(page: Page) -> None:
        page.emulate_media(color_scheme="dark")
        ground = page.evaluate("getComputedStyle(document.body).backgroundColor")
        assert max(numbers_of(ground)[:3]) < 80, f"as light by night as by day: {ground}"
        accessible(page, only=["color-contrast"])
        page.emulate_media(color_scheme="light")

    return look


def on_paper(page: Page) -> None:
    """Printed, the page keeps its content and its warning, and leaves out what one cannot press."""
    page.emulate_media(media="print")
    try:
        assert page.get_by_role("main").is_visible(), "no content on paper"
        for gone in (".nav", ".search", ".skip", "[data-keys-open]"):
            assert not page.locator(gone).first.is_visible(), f"{gone} on paper"
        assert page.locator(".foot").get_by_text("safe to eat").is_visible(), "no warning on paper"
        assert page.locator("body").evaluate("one => one.offsetHeight") > 100
    finally:
        page.emulate_media(media="screen")


def numbers_of(colour: str) -> list[float]:
    inside = colour[colour.index("(") + 1 : colour.index(")")]
    return [float(part) for part in inside.replace(",", " ").replace("/", " ").split()]


def test_every_address_that_answers_with_a_page_is_opened_above(cast: Cast) -> None:
    opened = {shown.name for role in ROLES for shown in pages_of(role, cast)}
    known = set(names_in(get_resolver()))
    assert {name for name in known if name.split(":")[-1] not in NO_PAGES} == opened


def names_in(resolver: URLResolver, space: str = "") -> Iterator[str]:
    for entry in resolver.url_patterns:
        if isinstance(entry, URLPattern):
            yield f"{space}{entry.name}"
        else:
            yield from names_in(entry, f"{entry.namespace}:" if entry.namespace else space)


def test_the_poisoning_sheet_is_read_by_anybody_without_scripts_and_from_paper(
    cast: Cast, signed_in: Callable[..., Page]
) -> None:
    page = signed_in(None, phone=True, java_script_enabled=False)
    page.goto("/nowhere/")
    page.get_by_role("link", name="Poisoning?").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Poisoning")
    expect(page.get_by_text("call your local emergency number").first).to_be_visible()
    page.emulate_media(media="print")
    expect(page.get_by_text("call your local emergency number").first).to_be_visible()


@pytest.mark.parametrize("width", ["1280 px", "390 px"])
def test_pages_of_refusal_say_what_to_do_and_are_accessible(
    width: str, cast: Cast, signed_in: Callable[..., Page], accessible: Callable[..., None]
) -> None:
    page = signed_in(cast.ann, phone=width == "390 px")
    for address, status, words in REFUSALS:
        answer = page.goto(address)
        assert answer is not None
        assert answer.status == status
        expect(page.get_by_role("main")).to_contain_text(words)
        steps.fits_the_width(page)
        accessible(page)


def test_what_a_page_opens_in_front_of_itself_is_accessible_too(
    cast: Cast, signed_in: Callable[..., Page], accessible: Callable[..., None]
) -> None:
    page = signed_in(cast.ann, phone=True)
    page.goto("/finds/new/")
    page.get_by_role("button", name="Menu", exact=True).click()
    accessible(page)
    page.keyboard.press("Escape")
    page.get_by_label("Name", exact=True).press_sequentially("la")
    expect(steps.names_offered(page).first).to_be_visible()
    accessible(page)
    page.keyboard.press("Escape")
    page.locator("details > summary").evaluate_all(
        "found => found.forEach(one => { one.parentElement.open = true })"
    )
    accessible(page)
    steps.fits_the_width(page)
    page.get_by_role("button", name="Post the find", exact=True).first.click()
    expect(page.locator("[data-form-errors]")).to_be_focused()
    accessible(page)
    page.goto(f"/finds/{cast.confirmed.year}/{cast.confirmed.number}/")
    page.locator("[data-viewer] a").first.click()
    expect(page.get_by_role("dialog", name="Photographs")).to_be_visible()
    accessible(page)
    page.keyboard.press("Escape")
    page.keyboard.press("?")
    expect(page.get_by_role("dialog", name="Keys of this page")).to_be_visible()
    accessible(page)
