"""A position from the phone, from a tap on the map and from the hand: the last one counts."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from society.finds.models import Find
from society.members.models import Account
from tests.browser import steps
from tests.make import make_account, make_site, make_society

HERE = {"latitude": 55.2031421, "longitude": -2.6027183, "accuracy": 7.4}


@pytest.fixture
def finder(live_server: Any) -> Account:
    make_society()
    steps.names_make()
    make_site(
        "Hagg Wood",
        boundary={
            "type": "Polygon",
            "coordinates": [
                [[-2.61, 55.20], [-2.60, 55.20], [-2.60, 55.21], [-2.61, 55.21], [-2.61, 55.20]]
            ],
        },
    )
    return make_account("Ann Brierley")


@pytest.fixture
def form(finder: Account, signed_in: Callable[..., Page]) -> Page:
    page = signed_in(finder, phone=True, geolocation=HERE, permissions=["geolocation"])
    page.goto("/finds/new/")
    return page


def position(page: Page) -> Any:
    return page.get_by_label("Grid reference or degrees")


def posted(page: Page) -> Find:
    page.get_by_role("button", name="Post the find", exact=True).first.click()
    page.wait_for_url(re.compile(r"/finds/\d+/\d+/$"))
    return Find.objects.get()


def test_the_phones_position_is_kept_with_how_good_it_is(form: Page) -> None:
    form.get_by_role("button", name="Position of this phone").click()
    expect(position(form)).to_have_value("55.203142, -2.602718")
    expect(form.get_by_text("Position found, good to 8 m")).to_be_visible()
    find = posted(form)
    assert (find.lat_e7, find.lon_e7) == (552_031_420, -26_027_180)
    assert (find.position_source, find.uncertainty_m) == ("phone", 8)


def test_typing_over_the_phones_position_takes_the_phones_name_off_it(form: Page) -> None:
    form.get_by_role("button", name="Position of this phone").click()
    expect(position(form)).to_have_value("55.203142, -2.602718")
    position(form).fill("NY 618 882")
    find = posted(form)
    assert find.position_source == "typed"
    assert find.position_verbatim == "NY 618 882"
    # A six-figure reference names a square of 100 m: half its diagonal and the few metres of the
    # old datum, not the phone's 8 m.
    assert find.uncertainty_m is not None
    assert 71 <= find.uncertainty_m <= 80
    assert find.lat_e7 is not None
    assert abs(find.lat_e7 - 552_031_420) > 1000


def test_a_tap_on_the_map_sets_the_place_and_typing_clears_it(form: Page) -> None:
    steps.unfold(form, "On the map")
    map_shown = form.get_by_role("application")
    expect(map_shown.locator("path.map-site")).to_be_visible()
    map_shown.scroll_into_view_if_needed()
    box = map_shown.bounding_box()
    assert box is not None
    map_shown.tap(position={"x": box["width"] / 2, "y": box["height"] / 2})
    expect(map_shown.locator(".leaflet-marker-icon[src]")).to_be_visible()
    # The map opens on the society's sites, so its middle lies within the wood's box.
    written = position(form).input_value()
    lat, lon = (float(part) for part in written.split(", "))
    assert 55.20 < lat < 55.21
    assert -2.61 < lon < -2.60
    find = posted(form)
    assert find.position_source == "map"
    assert find.uncertainty_m is not None
    assert find.uncertainty_m >= 5
    assert (find.lat_e7, find.lon_e7) == (round(lat * 1e7), round(lon * 1e7))


def test_a_tap_after_the_phone_replaces_both_its_position_and_its_reach(form: Page) -> None:
    form.get_by_role("button", name="Position of this phone").click()
    expect(position(form)).to_have_value("55.203142, -2.602718")
    steps.unfold(form, "On the map")
    map_shown = form.get_by_role("application")
    map_shown.scroll_into_view_if_needed()
    map_shown.tap(position={"x": 60, "y": 60})
    expect(position(form)).not_to_have_value("55.203142, -2.602718")
    find = posted(form)
    assert find.position_source == "map"
    assert find.lat_e7 is not None
    assert find.lat_e7 != 552_031_420


def test_a_phone_that_gives_no_position_is_told_and_the_words_stand(
    finder: Account, signed_in: Callable[..., Page]
) -> None:
    page = signed_in(finder, phone=True)
    page.goto("/finds/new/")
    position(page).fill("NY 618 882")
    page.get_by_role("button", name="Position of this phone").click()
    expect(page.get_by_text("This device does not give its position.")).to_be_visible()
    expect(position(page)).to_have_value("NY 618 882")


def test_the_map_shows_a_grid_reference_as_it_is_typed(form: Page) -> None:
    steps.unfold(form, "On the map")
    position(form).fill("NY 618 882")
    position(form).blur()
    map_shown = form.get_by_role("application")
    expect(map_shown.locator(".leaflet-marker-icon[src]")).to_be_attached()
    expect(map_shown.locator("path.map-reach")).to_be_attached()
