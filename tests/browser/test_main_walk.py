"""The main job from end to end: a find is posted, refereed, listed, taken away, and seen by guests.

At both widths; on every page of the way axe finds nothing and nothing scrolls sideways.
"""

import csv
import io
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import BrowserContext, Page, expect
from python_calamine import CalamineWorkbook

from society.finds.models import Find, Photograph
from society.members.models import Account
from society.places.models import Site
from tests.browser import steps
from tests.make import PASSWORD, make_account, make_referee, make_site, make_society

pytestmark = pytest.mark.main_walk

POSITION = "55.203142, -2.602718"
VIEWS = {"gills": "underside", "cap": "cap or upper side", "cut": "cut section"}
# Slow enough that a picture of some 250 kB takes a second, as in a wood.
BYTES_A_SECOND = 250_000


@dataclass(frozen=True)
class People:
    finder: Account
    referee: Account
    organiser: Account
    site: Site


@pytest.fixture
def people(live_server: Any) -> People:
    make_society()
    steps.names_make()
    return People(
        finder=make_account("Ann Brierley", email="ann@caldermoss.example"),
        referee=make_referee("Bea Oakes", "family", "Russulaceae", email="bea@caldermoss.example"),
        organiser=make_account("Olive Sykes", email="olive@caldermoss.example", is_organiser=True),
        site=make_site("Hagg Wood", lat_e7=552_030_000, lon_e7=-26_030_000),
    )


@pytest.fixture
def looks_right(accessible: Callable[..., None]) -> Callable[[Page], None]:
    def check(page: Page) -> None:
        steps.fits_the_width(page)
        accessible(page)

    return check


def test_a_find_goes_from_the_wood_to_the_seasons_list(
    both_widths: Page,
    open_context: Callable[..., BrowserContext],
    looks_right: Callable[[Page], None],
    people: People,
    tmp_path: Path,
) -> None:
    page = both_widths
    page.goto("/")
    looks_right(page)
    steps.go_by_menu(page, "Sign in")
    looks_right(page)
    steps.sign_in(page, "ann@caldermoss.example", PASSWORD)
    looks_right(page)
    find = post_the_find(page, people, looks_right)
    read_its_label(page, people)
    looks_right(page)
    steps.sign_out(page)
    referee_confirms_by_keys(page, find, looks_right)
    steps.sign_out(page)
    finder_is_told(page, find, looks_right)
    steps.sign_out(page)
    steps.sign_in(page, "olive@caldermoss.example", PASSWORD)
    season_list_shows_it(page, people, looks_right)
    files_show_it(page, tmp_path)
    steps.sign_out(page)
    guest_sees_it(page, find, looks_right)


def post_the_find(page: Page, people: People, looks_right: Callable[[Page], None]) -> Find:
    page.get_by_role("link", name="New find").first.click()
    looks_right(page)
    steps.name_looked_up(page.get_by_label("Name", exact=True), "de", "Lactarius deterrimus")
    page.get_by_label("Site", exact=True).select_option(label="Hagg Wood")
    page.get_by_label("Grid reference or degrees").fill(POSITION)
    page.get_by_label("Date", exact=True).fill(steps.today().isoformat())
    page.get_by_label("Grew on", exact=True).select_option(label="soil")
    hosts_written(page)
    photographs_sent(page)
    readings_written(page)
    looks_right(page)
    page.get_by_role("button", name="Post the find", exact=True).first.click()
    page.wait_for_url(re.compile(r"/finds/\d+/\d+/$"))
    expect(page.get_by_role("status").filter(has_text="is posted")).to_be_visible()
    return Find.objects.get()


def hosts_written(page: Page) -> None:
    rows = page.locator("[data-rows-prefix=organisms] [data-row]")
    if rows.count() < 2:
        page.get_by_role("button", name="Another tree or plant").click()
    expect(rows).to_have_count(2)
    wanted = (("no", "Picea abies", "host", "1.5"), ("bi", "Betula pendula", "nearby", "6"))
    for row, (letters, name, part, metres) in zip(rows.all(), wanted, strict=True):
        steps.name_looked_up(row.get_by_label("Tree, plant or other"), letters, name)
        row.get_by_label("Part played").select_option(label=part)
        row.get_by_label("Metres away").fill(metres)


def photographs_sent(page: Page) -> None:
    """Choose three at once over a slow line, see them go, and say what each shows."""
    line = page.context.new_cdp_session(page)
    line.send(
        "Network.emulateNetworkConditions",
        {
            "offline": False,
            "latency": 0,
            "downloadThroughput": -1,
            "uploadThroughput": BYTES_A_SECOND,
        },
    )
    files = [steps.photograph(name, seed=seed) for seed, name in enumerate(VIEWS)]
    page.get_by_label("Choose photographs, several at once").set_input_files(files)
    chosen = page.locator("[data-photo-list] > li")
    expect(chosen).to_have_count(3)
    expect(chosen.first).to_contain_text(re.compile(r"Sending, \d+ %"))
    expect(chosen.first.get_by_role("progressbar")).to_be_visible()
    for name, view in VIEWS.items():
        page.get_by_label(f"View shown by {name}.jpg").select_option(label=view)
    expect(chosen.get_by_text("Kept", exact=True)).to_have_count(3)
    line.detach()


def readings_written(page: Page) -> None:
    steps.unfold(page, "Timed readings")
    page.get_by_role("button", name="Another reading").click()
    rows = page.locator("[data-rows-prefix=readings] [data-row]")
    for row, minutes, seen in ((rows.first, "0", "orange"), (rows.nth(1), "10", "wine red")):
        row.get_by_label("What was exposed").select_option(label="milk on a fresh cut")
        row.get_by_label("After minutes").fill(minutes)
        row.get_by_label("What was seen").fill(seen)


def read_its_label(page: Page, people: People) -> None:
    label = page.get_by_role("article")
    expect(label.get_by_role("heading")).to_contain_text("Lactarius deterrimus")
    expect(label.get_by_role("heading")).to_contain_text("False Saffron Milkcap")
    for words in ("unconfirmed", "Hagg Wood", "55.20314, -2.60272", "Ann Brierley", "soil"):
        expect(label).to_contain_text(words)
    for host in (r"Picea abies\s+host, 1\.5 m", r"Betula pendula\s+nearby, 6 m"):
        expect(label).to_contain_text(re.compile(host))
    for view in VIEWS.values():
        expect(page.get_by_role("img", name=view)).to_be_visible()
    shown = page.locator(".reading")
    expect(shown).to_have_text(
        [re.compile(r"0\s+min\s+orange"), re.compile(r"10\s+min\s+wine red")]
    )
    expect(page.locator(".slip")).to_contain_text("Ann Brierley")


def referee_confirms_by_keys(page: Page, find: Find, looks_right: Callable[[Page], None]) -> None:
    steps.sign_in(page, "bea@caldermoss.example", PASSWORD)
    steps.go_by_menu(page, "Referees' desk")
    item = page.locator("[data-desk-item]")
    expect(item).to_have_count(1)
    expect(item).to_contain_text("Lactarius deterrimus")
    looks_right(page)
    page.keyboard.press("j")
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile(rf"/finds/{find.year}/{find.number}/"))
    looks_right(page)
    page.keyboard.press("c")
    expect(page.get_by_role("button", name="Confirm")).to_be_focused()
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile("/desk/"))
    expect(page.get_by_text("Nothing waits", exact=True)).to_be_visible()
    looks_right(page)
    find.refresh_from_db()
    assert find.standing == "confirmed"


def finder_is_told(page: Page, find: Find, looks_right: Callable[[Page], None]) -> None:
    steps.sign_in(page, "ann@caldermoss.example", PASSWORD)
    steps.go_by_menu(page, "Notices")
    told = page.get_by_role("main").get_by_role("link", name="Bea Oakes")
    expect(told).to_have_count(1)
    looks_right(page)
    told.click()
    expect(page.get_by_role("article")).to_contain_text("confirmed")
    expect(page.locator(".verdict")).to_contain_text("Bea Oakes")
    looks_right(page)


def season_list_shows_it(page: Page, people: People, looks_right: Callable[[Page], None]) -> None:
    steps.go_by_menu(page, "Sites")
    looks_right(page)
    page.get_by_role("main").get_by_role("link", name="Hagg Wood").click()
    looks_right(page)
    seasons = page.get_by_role("region", name="Lists by season").get_by_role("link")
    seasons.first.click()
    page.wait_for_url(re.compile(r"/lists/species/\?.*season="))
    row = page.get_by_role("row", name=re.compile("Lactarius deterrimus"))
    expect(row.get_by_role("link", name=re.compile("^1 finds? of"))).to_have_text("1")
    looks_right(page)


def files_show_it(page: Page, folder: Path) -> None:
    with page.expect_download() as begun:
        page.get_by_role("link", name="Download CSV").click()
    kept = folder / "list.csv"
    begun.value.save_as(kept)
    rows = list(csv.reader(io.StringIO(kept.read_text("utf-8-sig"))))
    assert counted_in(rows) == 1
    with page.expect_download() as begun:
        page.get_by_role("link", name="Download XLSX").click()
    kept = folder / "list.xlsx"
    begun.value.save_as(kept)
    book = CalamineWorkbook.from_path(str(kept))
    sheets = [book.get_sheet_by_name(name).to_python() for name in book.sheet_names]
    assert counted_in([row for sheet in sheets for row in sheet]) == 1


def counted_in(rows: Sequence[Sequence[Any]]) -> int:
    """Return how many finds of the milk cap a file counts, by its own heading."""
    heading = next(row for row in rows if "finds" in [str(cell).casefold() for cell in row])
    column = [str(cell).casefold() for cell in heading].index("finds")
    (found,) = [row for row in rows if any("Lactarius deterrimus" in str(cell) for cell in row)]
    return int(float(found[column]))


def guest_sees_it(page: Page, find: Find, looks_right: Callable[[Page], None]) -> None:
    page.goto(f"/finds/{find.year}/{find.number}/")
    label = page.get_by_role("article")
    expect(label).to_contain_text("confirmed")
    expect(label).to_contain_text(re.compile(r"55\.20, -2\.60\s+given to 0\.01°"))
    assert "55.203" not in page.content()
    looks_right(page)
    for photograph in Photograph.objects.filter(find=find):
        for size in (320, 1024, 2048):
            answer = page.request.get(f"/photographs/{photograph.uuid}/{size}/")
            assert answer.status == 200
            carries_nothing(answer.body())
    assert page.request.get(f"/photographs/{photograph.uuid}/original/").url.find("signin") > 0


def carries_nothing(rendition: bytes) -> None:
    picture = Image.open(io.BytesIO(rendition))
    assert not picture.getexif()
    assert "comment" not in picture.info
    assert steps.CANARY.encode() not in rendition
