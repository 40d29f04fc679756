"""Everything by keys: search, names, the desk, photographs, and the list of keys itself."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from django.core.files.base import ContentFile
from playwright.sync_api import Page, expect

from society.finds.models import Find
from society.finds.services import photograph_add
from society.members.models import Account
from society.names.models import Taxon
from tests.browser import steps
from tests.make import make_account, make_find, make_referee, make_society, make_taxon, viewer


@pytest.fixture
def finder(live_server: Any) -> Account:
    make_society()
    names = steps.names_make()
    make_taxon("Lactarius sanguineus", accepted=names["Lactarius deliciosus"])
    return make_account("Ann Brierley")


@pytest.fixture
def form(finder: Account, signed_in: Callable[..., Page]) -> Page:
    page = signed_in(finder)
    page.goto("/finds/new/")
    return page


@pytest.fixture
def desk(finder: Account, signed_in: Callable[..., Page]) -> Page:
    for name in ("Lactarius deterrimus", "Lactarius quietus", "Russula ochroleuca"):
        make_find(finder, taxon=Taxon.objects.get(scientific_name=name))
    page = signed_in(make_referee("Bea Oakes"))
    page.goto("/desk/")
    return page


def test_slash_goes_to_the_search_box_and_enter_finds(form: Page) -> None:
    form.goto("/logbook/")
    form.keyboard.press("/")
    expect(form.get_by_role("searchbox").first).to_be_focused()
    form.keyboard.type("Lact")
    form.keyboard.press("Enter")
    form.wait_for_url(re.compile(r"/search/\?q=Lact"))
    expect(form.get_by_role("main").get_by_role("link", name="Lactarius quietus")).to_be_visible()


def test_a_search_that_finds_more_than_it_shows_says_so(form: Page) -> None:
    more = form.get_by_text("More names fit than are shown.")
    form.goto("/search/?q=Lactarius")
    expect(form.get_by_role("main").get_by_role("link", name="Lactarius quietus")).to_be_visible()
    expect(more).to_have_count(0)
    for number in range(16):
        make_taxon(f"Lactarius fictus{number}")
    form.reload()
    expect(more).to_be_visible()


def test_the_first_tab_of_a_page_leads_past_its_head(form: Page) -> None:
    form.goto("/logbook/")
    form.keyboard.press("Tab")
    expect(form.get_by_role("link", name="To the content")).to_be_focused()
    form.keyboard.press("Enter")
    expect(form.get_by_role("main")).to_be_focused()


def test_arrows_choose_a_name_and_enter_takes_it_without_sending_the_form(form: Page) -> None:
    field = form.get_by_role("combobox", name="Name", exact=True)
    field.click()
    form.keyboard.type("la")
    options = steps.names_offered(form)
    expect(options.first).to_be_visible()
    expect(field).to_have_attribute("aria-expanded", "true")
    form.keyboard.press("ArrowDown")
    form.keyboard.press("ArrowDown")
    form.keyboard.press("ArrowUp")
    expect(options.first).to_have_attribute("aria-selected", "true")
    chosen = options.first.locator(".name").inner_text()
    form.keyboard.press("Enter")
    expect(field).to_have_value(chosen)
    expect(field).to_have_attribute("aria-expanded", "false")
    expect(form).to_have_url(re.compile("/finds/new/$"))
    assert form.locator("#id_taxon").input_value() != ""
    assert not Find.objects.exists()


def test_escape_closes_the_names_and_keeps_the_letters(form: Page) -> None:
    field = form.get_by_role("combobox", name="Name", exact=True)
    field.click()
    form.keyboard.type("la")
    expect(steps.names_offered(form).first).to_be_visible()
    form.keyboard.press("Escape")
    expect(steps.names_offered(form)).to_have_count(0)
    expect(field).to_have_value("la")
    expect(field).to_be_focused()


def test_a_synonym_says_where_it_leads_and_stays_as_written(form: Page) -> None:
    field = form.get_by_role("combobox", name="Name", exact=True)
    field.click()
    form.keyboard.type("sanguin")
    expect(steps.names_offered(form)).to_contain_text("leads to Lactarius deliciosus")
    form.keyboard.press("ArrowDown")
    form.keyboard.press("Enter")
    expect(field).to_have_value("Lactarius sanguineus")
    expect(form.get_by_text("in the checklist as Lactarius deliciosus")).to_be_visible()


def test_letters_typed_into_a_field_are_letters(form: Page) -> None:
    field = form.get_by_label("Grid reference or degrees")
    field.click()
    form.keyboard.type("j/k?c")
    expect(field).to_have_value("j/k?c")
    expect(form.get_by_role("dialog")).to_have_count(0)


def test_the_desk_is_gone_through_opened_and_come_back_to_by_keys(desk: Page) -> None:
    links = desk.locator("[data-desk-open]")
    expect(links).to_have_count(3)
    desk.keyboard.press("j")
    expect(links.first).to_be_focused()
    desk.keyboard.press("j")
    expect(links.nth(1)).to_be_focused()
    desk.keyboard.press("k")
    expect(links.first).to_be_focused()
    desk.keyboard.press("o")
    label = desk.get_by_role("article").get_by_role("heading")
    expect(label).to_contain_text("Lactarius deterrimus")
    desk.keyboard.press("j")
    expect(label).to_contain_text("Lactarius quietus")
    desk.keyboard.press("k")
    expect(label).to_contain_text("Lactarius deterrimus")
    desk.keyboard.press("q")
    desk.wait_for_url(re.compile("/desk/"))


def test_a_key_goes_to_an_act_enter_does_it_and_the_next_find_opens(desk: Page) -> None:
    desk.keyboard.press("j")
    desk.keyboard.press("Enter")
    label = desk.get_by_role("article").get_by_role("heading")
    expect(label).to_contain_text("Lactarius deterrimus")
    desk.keyboard.press("d")
    expect(desk.get_by_label("What speaks against it")).to_be_focused()
    assert Find.objects.filter(standing="unconfirmed").count() == 3
    desk.get_by_label("What speaks against it").blur()
    desk.keyboard.press("c")
    expect(desk.get_by_role("button", name="Confirm")).to_be_focused()
    desk.keyboard.press("Enter")
    expect(label).to_contain_text("Lactarius quietus")
    assert Find.objects.filter(standing="confirmed").count() == 1
    # What was just done can be taken back from here, by keys too.
    desk.keyboard.press("u")
    expect(desk.get_by_role("button", name="Withdraw this act")).to_be_focused()
    desk.keyboard.press("Enter")
    expect(desk.get_by_text("The act is withdrawn")).to_be_visible()
    assert Find.objects.filter(standing="unconfirmed").count() == 3


def test_photographs_open_turn_and_grow_by_keys(
    finder: Account, signed_in: Callable[..., Page]
) -> None:
    find = make_find(finder, name="Lactarius deterrimus")
    for view in ("cap", "underside"):
        photograph_add(
            find.pk, ContentFile(steps.photograph(view)["buffer"]), by=viewer(finder), view=view
        )
    page = signed_in(finder)
    page.goto(f"/finds/{find.year}/{find.number}/")
    page.keyboard.press("v")
    large = page.get_by_role("dialog", name="Photographs")
    expect(large.get_by_text("1 of 2")).to_be_visible()
    ground = large.locator("[data-zoom]")
    page.keyboard.press("ArrowRight")
    expect(large.get_by_text("2 of 2")).to_be_visible()
    expect(large.get_by_role("img", name="underside")).to_be_visible()
    small = large.get_by_role("img").bounding_box()
    page.keyboard.press("+")
    expect(ground).to_have_attribute("data-zoom", "1")
    grown = large.get_by_role("img").bounding_box()
    assert small is not None
    assert grown is not None
    assert grown["width"] > small["width"]
    page.keyboard.press("-")
    expect(ground).to_have_attribute("data-zoom", "0")
    page.keyboard.press("p")
    expect(large.get_by_text("1 of 2")).to_be_visible()
    page.keyboard.press("Escape")
    expect(large).to_have_count(0)
    expect(page.locator("[data-viewer] a").first).to_be_focused()


def test_the_question_mark_lists_the_pages_keys_and_lets_them_be_switched_off(desk: Page) -> None:
    desk.keyboard.press("?")
    keys = desk.get_by_role("dialog", name="Keys of this page")
    for key in ("j", "k", "o", "/", "?"):
        expect(keys.locator("kbd", has_text=re.compile(f"^{re.escape(key)}$"))).to_be_visible()
    keys.get_by_label("Single keys act on this device").uncheck()
    desk.keyboard.press("Escape")
    expect(keys).to_have_count(0)
    desk.reload()
    desk.keyboard.press("j")
    desk.keyboard.press("/")
    expect(desk.get_by_role("searchbox").first).not_to_be_focused()
    expect(desk.locator("[data-desk-open]").first).not_to_be_focused()
    # The list itself can still be reached, and the keys switched on again.
    desk.get_by_role("button", name="Keys of this page").click()
    keys.get_by_label("Single keys act on this device").check()
    desk.keyboard.press("Escape")
    desk.keyboard.press("/")
    expect(desk.get_by_role("searchbox").first).to_be_focused()


def test_tabbing_through_a_form_on_a_phone_never_hides_what_has_the_focus(
    finder: Account, signed_in: Callable[..., Page]
) -> None:
    find = make_find(finder, name="Lactarius deterrimus")
    page = signed_in(finder, phone=True)
    page.goto(f"/finds/{find.year}/{find.number}/edit/")
    page.locator("details.unfold:visible > summary").evaluate_all(
        "found => found.forEach(one => { one.parentElement.open = true })"
    )
    hidden, steps_made = [], 0
    page.get_by_role("main").focus()
    while steps_made < 150:
        page.keyboard.press("Tab")
        steps_made += 1
        state = page.evaluate(WHAT_HAS_THE_FOCUS)
        if state is None:
            break
        if not state["seen"]:
            hidden.append(state["what"])
    assert steps_made > 30
    assert not hidden, "covered while focused: " + "; ".join(hidden)


# Null once the focus has left the form; else whether any of five points of the focused element is
# the uppermost thing at its place.
WHAT_HAS_THE_FOCUS = """() => {
    const one = document.activeElement;
    if (!one || !one.closest('main')) return null;
    const box = (one.labels && one.labels[0] && one.matches('[type=checkbox], [type=radio]')
        ? one.labels[0] : one).getBoundingClientRect();
    const points = [[0.5, 0.5], [0.1, 0.1], [0.9, 0.1], [0.1, 0.9], [0.9, 0.9]];
    const seen = points.some(([x, y]) => {
        const top = document.elementFromPoint(box.x + x * box.width, box.y + y * box.height);
        const label = top && top.closest('label');
        return top && (one.contains(top) || top.contains(one) || (label && label.control === one));
    });
    return { seen, what: one.outerHTML.slice(0, 100) };
}"""
