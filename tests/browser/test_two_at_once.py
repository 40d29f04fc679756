"""Two people act on one find at the same moment: both are kept, and each is told."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from society.finds.models import Find
from society.members.models import Account
from society.review.models import Verdict
from tests.browser import steps
from tests.make import make_account, make_find, make_referee, make_society


@pytest.fixture
def finder(live_server: Any) -> Account:
    make_society()
    steps.names_make()
    return make_account("Ann Brierley")


@pytest.fixture
def find(finder: Account) -> Find:
    return make_find(finder, name="Lactarius deterrimus")


def address(find: Find) -> str:
    return f"/finds/{find.year}/{find.number}/"


def test_two_referees_who_confirm_at_once_are_both_kept(
    find: Find, signed_in: Callable[..., Page]
) -> None:
    bea, carl = (signed_in(make_referee(name)) for name in ("Bea Oakes", "Carl Lumb"))
    for page in (bea, carl):
        page.goto(address(find))
    for page in (bea, carl):
        page.get_by_role("button", name="Confirm").click()
        expect(page.get_by_text("Your act is laid.")).to_be_visible()
    find.refresh_from_db()
    assert find.standing == "confirmed"
    kept = Verdict.objects.filter(find=find, kind="confirm").order_by("pk")
    assert [verdict.by.display_name for verdict in kept] == ["Bea Oakes", "Carl Lumb"]
    bea.reload()
    expect(bea.locator(".verdict")).to_have_count(2)


def test_one_confirms_while_another_disputes_and_the_find_is_disputed(
    find: Find, signed_in: Callable[..., Page]
) -> None:
    bea, carl = (signed_in(make_referee(name)) for name in ("Bea Oakes", "Carl Lumb"))
    for page in (bea, carl):
        page.goto(address(find))
    bea.get_by_role("button", name="Confirm").click()
    expect(bea.get_by_text("Your act is laid.")).to_be_visible()
    carl.locator("summary").filter(has_text="Dispute").click()
    carl.get_by_label("What speaks against it").fill(
        "The milk should turn wine red within half an hour."
    )
    carl.get_by_role("button", name="Dispute it").click()
    expect(carl.get_by_role("article").locator(".standing")).to_have_text("disputed")
    bea.reload()
    expect(bea.get_by_role("article").locator(".standing")).to_have_text("disputed")


def test_a_second_press_of_confirm_lays_one_act(find: Find, signed_in: Callable[..., Page]) -> None:
    page = signed_in(make_referee("Bea Oakes"))
    page.goto(address(find))
    page.get_by_role("button", name="Confirm").dblclick()
    expect(page.locator(".verdict")).to_have_count(1)
    assert Verdict.objects.filter(find=find).count() == 1


def test_a_double_click_posts_one_find(finder: Account, signed_in: Callable[..., Page]) -> None:
    page = signed_in(finder)
    page.goto("/finds/new/")
    page.get_by_label("Name", exact=True).fill("Lactarius deterrimus")
    page.get_by_label("Grid reference or degrees").fill("55.203142, -2.602718")
    page.get_by_role("button", name="Post the find", exact=True).first.dblclick()
    expect(page.get_by_role("article")).to_contain_text("Lactarius deterrimus")
    assert Find.objects.count() == 1


def test_a_change_made_meanwhile_is_shown_and_neither_is_lost(
    find: Find, finder: Account, signed_in: Callable[..., Page]
) -> None:
    keeper = make_account("Kay Thorpe", is_keeper=True)
    ann, kay = signed_in(finder), signed_in(keeper)
    for page in (ann, kay):
        page.goto(address(find) + "edit/")
        steps.unfold(page, "Habitat and how it stood")
    kay.get_by_label("Habitat", exact=True).fill("spruce edge over limestone")
    kay.get_by_role("button", name="Keep the changes").last.click()
    expect(kay.get_by_text("The find is changed.")).to_be_visible()
    ann.get_by_label("Habitat", exact=True).fill("under old spruces")
    ann.get_by_role("button", name="Keep the changes").last.click()

    conflict = ann.get_by_role("table", name="Where they differ")
    expect(conflict).to_contain_text("spruce edge over limestone")
    expect(conflict).to_contain_text("under old spruces")
    expect(ann.get_by_text("Kay Thorpe changed it")).to_be_visible()
    find.refresh_from_db()
    assert find.habitat == "spruce edge over limestone"

    steps.unfold(ann, "Habitat and how it stood")
    expect(ann.get_by_label("Habitat", exact=True)).to_have_value("under old spruces")
    ann.get_by_role("button", name="Keep the changes").last.click()
    expect(ann.get_by_text("The find is changed.")).to_be_visible()
    find.refresh_from_db()
    assert find.habitat == "under old spruces"
