"""A word of the vocabulary opens its drawing in place, by mouse and by keyboard, or leads to it."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.template.loader import render_to_string
from playwright.sync_api import Page, expect

from society.names.models import CharacterState, LookAlike
from tests.cast import Cast, cast_make
from tests.make import make_find, make_species_account, make_taxon

# WCAG 2.2, success criterion 2.5.8: a target is at least 24 CSS pixels high.
LEAST_TARGET = 24
SCRIPT = Path(__file__).resolve().parents[2] / "static" / "js" / "character-words.js"


@pytest.fixture
def cast(live_server: Any) -> Cast:
    return cast_make()


def with_words(page: Page) -> None:
    """Open a page and put two words on it, as a page with the script would have them."""
    page.goto("/sites/")
    words = [
        {"character_code": "ring", "character_name": "ring"},
        {
            "character_code": "ring",
            "character_name": "ring",
            "state_code": "hanging",
            "state_name": "hanging",
        },
    ]
    html = "".join(render_to_string("names/_character_word.html", word) for word in words)
    page.locator("#main").evaluate(
        "(main, html) => main.insertAdjacentHTML('afterbegin', html)", html
    )
    page.evaluate(SCRIPT.read_text(encoding="utf-8"))


def test_a_word_opens_its_drawing_and_sentence_and_focus_returns(cast: Cast, page: Page) -> None:
    with_words(page)
    word = page.get_by_role("link", name="ring: hanging")
    word.press("Enter")
    leaf = page.get_by_role("dialog", name="Ring")
    expect(leaf).to_contain_text("The ring: hanging.")
    drawing = leaf.locator("svg use")
    expect(drawing).to_have_count(1)
    assert drawing.evaluate("one => one.getBoundingClientRect().width") > 20
    expect(leaf.get_by_role("button", name="Close")).to_be_focused()
    page.keyboard.press("Escape")
    expect(leaf).to_have_count(0)
    expect(word).to_be_focused()


def test_a_character_opens_with_all_its_states(cast: Cast, page: Page) -> None:
    with_words(page)
    page.get_by_role("link", name="ring", exact=True).click()
    leaf = page.get_by_role("dialog", name="Ring")
    expect(leaf).to_contain_text("A collar round the stem.")
    expect(leaf.locator("svg use")).to_have_count(2)
    leaf.get_by_role("button", name="Close").click()
    expect(leaf).to_have_count(0)
    leaf = page.locator("dialog")
    page.get_by_role("link", name="ring", exact=True).click()
    leaf.get_by_role("link", name="Ring").click()
    page.wait_for_url("**/characters/ring/")


def test_a_word_leads_to_its_page_where_the_drawing_cannot_be_fetched(
    cast: Cast, page: Page
) -> None:
    with_words(page)
    page.route("**/characters/ring/?brief", lambda route: route.abort())
    page.get_by_role("link", name="ring: hanging").click()
    page.wait_for_url("**/characters/ring/#hanging")
    expect(page.locator("#hanging")).to_contain_text("The ring: hanging.")


def test_words_and_names_are_high_enough_for_a_thumb_on_a_phone(
    cast: Cast, signed_in: Callable[..., Page]
) -> None:
    other = make_taxon("Lactarius inventus", danger="illness")
    make_species_account(other, {"ring": {"none": "always", "hanging": "never"}})
    LookAlike.objects.create(taxon=cast.milkcap, other=other, source="from memory")
    page = signed_in(cast.ann, phone=True)
    hanging = CharacterState.objects.get(code="hanging")
    seen = make_find(cast.ann, taxon=cast.milkcap, state_ids=(hanging.pk,))
    find = f"/finds/{seen.year}/{seen.number}/"
    for address, wanted in (
        (f"/species/{cast.milkcap.pk}/", "#main .character-word, #main .plain-list a.name"),
        (f"{find}contrast/", "#main .candidate a.name, #main .contrast-parts a"),
        ("/contrast/?form=agaric&seen=ring.hanging", "#main .character-word, #main a.name"),
        (find, "#main .character-word"),
    ):
        page.goto(address)
        page.locator("details:not([open]) > summary").evaluate_all(
            "all => all.forEach(one => one.parentElement.open = true)"
        )
        links = page.locator(wanted)
        heights = links.evaluate_all("all => all.map(one => one.getBoundingClientRect().height)")
        assert heights, f"no word or name on {address}"
        assert min(heights) >= LEAST_TARGET, f"{address}: {heights}"
