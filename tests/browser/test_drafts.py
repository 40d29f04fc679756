"""Nothing typed is lost: not to a reload, a fault, a dead line, or a page that goes away."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Error, FilePayload, Page, expect

from society.finds.models import Find, FindDraft
from society.members.models import Account
from tests.browser import steps
from tests.make import make_account, make_find, make_site, make_society

# The form is looked at every four seconds.
KEPT_WITHIN = 20_000


@pytest.fixture
def finder(live_server: Any) -> Account:
    make_society()
    steps.names_make()
    make_site("Hagg Wood")
    return make_account("Ann Brierley")


@pytest.fixture
def form(finder: Account, signed_in: Callable[..., Page]) -> Page:
    page = signed_in(finder, phone=True)
    page.goto("/finds/new/")
    return page


def name(page: Page) -> Any:
    return page.get_by_label("Name", exact=True)


def kept(page: Page) -> None:
    state = page.locator("[data-draft-state]")
    expect(state).to_contain_text("Draft kept at", timeout=KEPT_WITHIN)


def post(page: Page) -> None:
    page.get_by_role("button", name="Post the find", exact=True).first.click()


def sent_one(page: Page, picture: str) -> None:
    page.get_by_label("Choose photographs, several at once").set_input_files(
        [steps.photograph(picture)]
    )
    expect(page.locator("[data-photo-list] > li").get_by_text("Kept", exact=True)).to_be_visible()


def test_a_draft_keeps_itself_and_is_taken_up_with_rows_and_photographs(form: Page) -> None:
    name(form).fill("Lactarius, milk orange")
    form.get_by_label("Site", exact=True).select_option(label="Hagg Wood")
    form.get_by_label("Tree, plant or other").first.fill("spruce")
    form.get_by_role("button", name="Another tree or plant").click()
    form.get_by_label("Tree, plant or other").last.fill("birch")
    sent_one(form, "cap")
    form.get_by_label("View shown by cap.jpg").select_option(label="underside")
    kept(form)
    form.goto("/finds/new/")
    expect(name(form)).to_have_value("")
    form.get_by_role("link", name=re.compile("^draft of")).click()
    expect(name(form)).to_have_value("Lactarius, milk orange")
    expect(form.get_by_label("Site", exact=True).locator("option:checked")).to_have_text(
        "Hagg Wood"
    )
    trees = form.get_by_label("Tree, plant or other")
    assert [field.input_value() for field in trees.all()][:2] == ["spruce", "birch"]
    expect(form.get_by_label("goes with the find")).to_be_checked()
    expect(form.get_by_label("Shows")).to_have_value("underside")
    post(form)
    form.wait_for_url(re.compile(r"/finds/\d+/\d+/$"))
    expect(form.get_by_role("img", name="underside")).to_be_visible()
    assert not FindDraft.objects.exists()


def test_what_was_typed_a_moment_before_leaving_is_kept(form: Page) -> None:
    name(form).fill("Lactarius, milk orange")
    form.goto("/logbook/")
    # The page that goes away sends its last words behind it: they may come after the next page.
    for _ in range(50):
        if FindDraft.objects.exists():
            break
        form.wait_for_timeout(100)
    form.reload()
    form.get_by_role("main").get_by_role("link", name="A find not yet posted").click()
    expect(name(form)).to_have_value("Lactarius, milk orange")


def test_a_fault_keeps_the_words_the_photographs_and_the_cursor_at_the_summary(form: Page) -> None:
    name(form).fill("Lactarius deterrimus")
    sent_one(form, "cap")
    form.get_by_label("View shown by cap.jpg").select_option(label="underside")
    post(form)
    summary = form.locator("[data-form-errors]")
    expect(summary).to_be_focused()
    expect(summary).to_contain_text("Say where")
    expect(name(form)).to_have_value("Lactarius deterrimus")
    expect(form.get_by_label("goes with the find")).to_be_checked()
    expect(form.get_by_label("Shows")).to_have_value("underside")
    summary.get_by_role("link").first.click()
    expect(form.get_by_label("Site", exact=True)).to_be_focused()
    form.get_by_label("Site", exact=True).select_option(label="Hagg Wood")
    post(form)
    form.wait_for_url(re.compile(r"/finds/\d+/\d+/$"))
    assert Find.objects.get().photographs.get().view == "underside"


def test_a_file_that_is_no_photograph_is_refused_beside_it_and_can_be_taken_away(
    form: Page,
) -> None:
    not_one: FilePayload = {
        "name": "notes.jpg",
        "mimeType": "image/jpeg",
        "buffer": b"milk orange, then green",
    }
    form.get_by_label("Choose photographs, several at once").set_input_files(
        [steps.photograph("cap"), not_one]
    )
    chosen = form.locator("[data-photo-list] > li")
    expect(chosen.first).to_contain_text("Kept")
    expect(chosen.nth(1)).to_contain_text(re.compile(r"Not sent: .+"))
    form.get_by_role("button", name="Remove notes.jpg").click()
    form.get_by_label("Site", exact=True).select_option(label="Hagg Wood")
    post(form)
    form.wait_for_url(re.compile(r"/finds/\d+/\d+/$"))
    assert Find.objects.get().photographs.count() == 1


def test_without_a_line_the_draft_stays_on_the_device_and_is_offered_again(
    form: Page, finder: Account
) -> None:
    form.context.set_offline(True)
    name(form).fill("Lactarius, milk orange")
    form.get_by_label("Tree, plant or other").first.fill("spruce")
    expect(form.locator("[data-draft-state]")).to_contain_text(
        "Draft kept on this device", timeout=KEPT_WITHIN
    )
    form.close()
    again = form.context.new_page()
    form.context.set_offline(False)
    again.goto("/finds/new/")
    expect(again.get_by_text("is kept on this device")).to_be_visible()
    again.get_by_role("button", name="Take up this draft").click()
    expect(name(again)).to_have_value("Lactarius, milk orange")
    expect(again.get_by_label("Tree, plant or other").first).to_have_value("spruce")
    again.get_by_label("Site", exact=True).select_option(label="Hagg Wood")
    post(again)
    again.wait_for_url(re.compile(r"/finds/\d+/\d+/$"))
    assert copies_on_the_device(again) == 0
    assert Find.objects.count() == 1


def test_when_the_line_comes_back_the_draft_goes_to_the_server(form: Page) -> None:
    form.context.set_offline(True)
    name(form).fill("Lactarius, milk orange")
    expect(form.locator("[data-draft-state]")).to_contain_text(
        "Draft kept on this device", timeout=KEPT_WITHIN
    )
    form.context.set_offline(False)
    kept(form)
    assert FindDraft.objects.get().fields["name"] == ["Lactarius, milk orange"]
    assert copies_on_the_device(form) == 0


def test_a_posting_that_dies_on_the_way_can_be_sent_again_and_makes_one_find(form: Page) -> None:
    name(form).fill("Lactarius deterrimus")
    form.get_by_label("Site", exact=True).select_option(label="Hagg Wood")
    form.route("**/finds/new/", lambda route: route.abort())
    post(form)
    # The browser shows its own page; how it is called is its affair.
    form.wait_for_url("chrome-error://chromewebdata/")
    form.unroute("**/finds/new/")
    try:
        form.goto("/finds/new/")
    except Error:
        form.goto("/finds/new/")
    form.get_by_role("button", name="Take up this draft").click()
    expect(name(form)).to_have_value("Lactarius deterrimus")
    post(form)
    form.wait_for_url(re.compile(r"/finds/\d+/\d+/$"))
    assert Find.objects.count() == 1


def test_changes_of_a_find_are_kept_as_a_draft_too(
    finder: Account, signed_in: Callable[..., Page]
) -> None:
    find = make_find(finder, name="Lactarius deterrimus")
    page = signed_in(finder)
    page.goto(f"/finds/{find.year}/{find.number}/edit/")
    steps.unfold(page, "Spore print, what is in hand, notes")
    page.get_by_label("Notes", exact=True).fill("The flesh greens by evening.")
    kept(page)
    page.goto(f"/finds/{find.year}/{find.number}/edit/")
    expect(page.get_by_text("not kept yet")).to_be_visible()
    expect(page.get_by_label("Notes", exact=True)).to_have_value("The flesh greens by evening.")
    page.get_by_role("button", name="Throw them away").click()
    expect(page.get_by_label("Notes", exact=True)).to_have_value("")


def test_another_from_this_spot_carries_place_and_company_over(form: Page) -> None:
    name(form).fill("Lactarius deterrimus")
    form.get_by_label("Grid reference or degrees").fill("55.203142, -2.602718")
    form.get_by_label("Tree, plant or other").first.fill("Picea abies")
    form.get_by_role("button", name="Post it, and another from this spot").click()
    expect(form.get_by_text("is posted")).to_be_visible()
    expect(name(form)).to_have_value("")
    expect(form.get_by_label("Grid reference or degrees")).to_have_value("55.203142, -2.602718")
    expect(form.get_by_label("Tree, plant or other").first).to_have_value("Picea abies")
    name(form).fill("Russula ochroleuca")
    post(form)
    form.wait_for_url(re.compile(r"/finds/\d+/\d+/$"))
    assert Find.objects.count() == 2


def copies_on_the_device(page: Page) -> int:
    found: int = page.evaluate(
        "Object.keys(localStorage).filter(key => key.startsWith('logbook-draft:')).length"
    )
    return found
