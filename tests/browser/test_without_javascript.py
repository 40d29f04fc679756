"""The whole job with scripts switched off: nothing that matters may need them."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from society.finds.models import Find
from society.members.models import Account
from tests.browser import steps
from tests.make import make_account, make_find, make_referee, make_site, make_society


@pytest.fixture
def finder(live_server: Any) -> Account:
    make_society()
    steps.names_make()
    make_site("Hagg Wood")
    return make_account("Ann Brierley")


@pytest.fixture
def plain(signed_in: Callable[..., Page]) -> Callable[[Account], Page]:
    """Return a function that opens a page without scripts for an account."""
    return lambda account: signed_in(account, java_script_enabled=False)


def test_a_find_with_photographs_is_posted_confirmed_and_listed_without_scripts(
    finder: Account, plain: Callable[[Account], Page]
) -> None:
    page = plain(finder)
    page.goto("/finds/new/")
    page.get_by_label("Name", exact=True).fill("Lactarius deterrimus")
    page.get_by_label("Site", exact=True).select_option(label="Hagg Wood")
    page.get_by_label("Tree, plant or other").first.fill("Picea abies")
    files = [steps.photograph("cap", seed=1), steps.photograph("gills", seed=2)]
    page.get_by_label("Choose photographs, several at once").set_input_files(files)
    page.get_by_role("button", name="Post the find", exact=True).last.click()
    page.wait_for_url(re.compile(r"/finds/\d+/\d+/$"))
    find = Find.objects.get()
    expect(page.get_by_role("article")).to_contain_text("Picea abies")
    expect(page.locator("ul.photos img")).to_have_count(2)
    assert find.photographs.count() == 2

    referee = plain(make_referee("Bea Oakes"))
    referee.goto("/desk/")
    referee.get_by_role("link", name="Lactarius deterrimus").click()
    referee.get_by_role("button", name="Confirm").click()
    find.refresh_from_db()
    assert find.standing == "confirmed"

    page.goto("/sites/hagg-wood/")
    page.get_by_role("region", name="Lists by season").get_by_role("link").first.click()
    row = page.get_by_role("row", name=re.compile("Lactarius deterrimus"))
    expect(row.get_by_role("link", name=re.compile("^1 finds? of"))).to_be_visible()


def test_a_row_more_keeps_what_is_typed_and_the_photographs(
    finder: Account, plain: Callable[[Account], Page]
) -> None:
    page = plain(finder)
    page.goto("/finds/new/")
    rows = page.get_by_label("Tree, plant or other")
    before = rows.count()
    rows.first.fill("Picea abies")
    page.get_by_label("Choose photographs, several at once").set_input_files(
        [steps.photograph("cap")]
    )
    page.get_by_role("button", name="Another tree or plant").click()
    expect(rows).to_have_count(before + 1)
    expect(rows.first).to_have_value("Picea abies")
    expect(page.get_by_label("goes with the find")).to_be_checked()
    assert not Find.objects.exists()


def test_photographs_get_their_views_on_the_finds_own_form(
    finder: Account, plain: Callable[[Account], Page]
) -> None:
    find = make_find(finder, name="Lactarius deterrimus")
    page = plain(finder)
    page.goto(f"/finds/{find.year}/{find.number}/edit/")
    page.get_by_label("Choose photographs, several at once").set_input_files(
        [steps.photograph("gills")]
    )
    page.get_by_role("button", name="Keep the changes").last.click()
    page.goto(f"/finds/{find.year}/{find.number}/edit/")
    page.get_by_label("Shows").select_option(label="underside")
    page.get_by_role("button", name="Keep the changes").last.click()
    expect(page.get_by_role("img", name="underside")).to_be_visible()
    assert find.photographs.get().view == "underside"


def test_a_fault_keeps_what_was_typed_and_leads_to_its_field(
    finder: Account, plain: Callable[[Account], Page]
) -> None:
    page = plain(finder)
    page.goto("/finds/new/")
    page.get_by_label("Name", exact=True).fill("Lactarius deterrimus")
    page.get_by_label("Grid reference or degrees").fill("NY 62 8")
    page.get_by_role("button", name="Post the find", exact=True).last.click()
    expect(page.get_by_label("Name", exact=True)).to_have_value("Lactarius deterrimus")
    expect(page.get_by_label("Grid reference or degrees")).to_have_value("NY 62 8")
    summary = page.locator("[data-form-errors]")
    summary.get_by_role("link").first.click()
    assert page.url.endswith("#id_position")
    assert not Find.objects.exists()
