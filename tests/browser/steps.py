"""What several walks do alike: pictures with a hidden position, names to choose from, checks."""

import datetime as dt
import io
import random

from django.test import Client
from django.utils import timezone
from PIL import Image
from playwright.sync_api import BrowserContext, FilePayload, Locator, Page, expect

from society.members.models import Account
from society.names.models import Taxon
from tests.make import make_host, make_taxon

# Written into every generated picture; no page, file or rendition may give it away.
CANARY = "caldermoss-canary-77410"
NARROWEST = 360


def photograph(name: str, *, width: int = 640, seed: int = 1) -> FilePayload:
    """Return a JPEG as a file to choose. Noise keeps it heavy: 640 pixels are some 250 kB.

    Its EXIF holds a position, a device and the canary.
    """
    height = width * 3 // 4
    noise = random.Random(seed).randbytes(width * height * 3)
    exif = Image.Exif()
    exif[0x010E] = CANARY  # ImageDescription
    exif[0x010F] = "Caldermoss Instruments"  # Make
    exif[0x8825] = {1: "N", 2: (55.0, 12.0, 11.31), 3: "W", 4: (2.0, 36.0, 9.79)}
    kept = io.BytesIO()
    picture = Image.frombytes("RGB", (width, height), noise)
    picture.save(kept, "JPEG", quality=75, exif=exif, comment=CANARY.encode())
    return {"name": f"{name}.jpg", "mimeType": "image/jpeg", "buffer": kept.getvalue()}


def names_make() -> dict[str, Taxon]:
    """Make a small checklist: milk caps that two letters find, and trees."""
    known = {
        "Lactarius deterrimus": "False Saffron Milkcap",
        "Lactarius deliciosus": "Saffron Milkcap",
        "Lactarius quietus": "Oakbug Milkcap",
        "Russula ochroleuca": "Ochre Brittlegill",
    }
    made = {name: make_taxon(name, english=english) for name, english in known.items()}
    trees = {"Picea abies": "Norway Spruce", "Betula pendula": "Silver Birch"}
    return made | {name: make_host(name, english=english) for name, english in trees.items()}


def today() -> dt.date:
    return timezone.localdate()


def sign_in_at_once(context: BrowserContext, account: Account, url: str) -> None:
    """Give a context the session of an account, without going through the sign-in page."""
    client = Client()
    client.force_login(account)
    context.add_cookies(
        [{"name": "sessionid", "value": client.cookies["sessionid"].value, "url": url}]
    )


def sign_in(page: Page, email: str, password: str) -> None:
    """Sign in by the page, as a person would."""
    page.goto("/signin/")
    page.get_by_label("Mail address").fill(email)
    page.get_by_label("Password").fill(password)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(lambda url: "/signin/" not in url)


def go_by_menu(page: Page, words: str) -> None:
    """Follow a link of the head; on a phone it lies behind the menu's button."""
    menu_open(page)
    page.get_by_role("navigation", name="Rooms of the logbook").get_by_role(
        "link", name=words, exact=False
    ).click()


def sign_out(page: Page) -> None:
    menu_open(page)
    page.get_by_role("button", name="Sign out").click()
    page.wait_for_url("**/")


def menu_open(page: Page) -> None:
    button = page.get_by_role("button", name="Menu", exact=True)
    if button.is_visible():
        button.click()


def name_looked_up(field: Locator, letters: str, name: str) -> None:
    """Type letters and take the name from the list that opens beneath the field."""
    field.click()
    field.press_sequentially(letters)
    option = names_offered(field.page).filter(has_text=name)
    expect(option).to_be_visible()
    option.click()
    expect(field).to_have_value(name)


def names_offered(page: Page) -> Locator:
    """Return the lines of the list that is open beneath a field for names."""
    return page.get_by_role("listbox", name="Names in the checklist").get_by_role("option")


def unfold(page: Page, words: str) -> None:
    """Open a folded part of a form, if it is not open."""
    part = page.locator("details.unfold").filter(has=page.get_by_text(words, exact=False)).first
    if part.get_attribute("open") is None:
        part.locator("> summary").click()


def fits_the_width(page: Page) -> None:
    """Fail if the page scrolls sideways, at its width and, where that is a phone's, at 360 too."""
    size = page.viewport_size
    assert size is not None
    widths = [size["width"], *([NARROWEST] if size["width"] < 500 else [])]
    for width in widths:
        page.set_viewport_size({"width": width, "height": size["height"]})
        reach = page.evaluate("document.documentElement.scrollWidth")
        assert reach <= width, f"{page.url} reaches over {reach} of {width} px: {_wide_ones(page)}"
    page.set_viewport_size(size)


def _wide_ones(page: Page) -> list[str]:
    """Return what reaches over the right edge, outermost first, for whoever has to mend it."""
    found: list[str] = page.evaluate(
        """() => [...document.querySelectorAll('body *')]
            .filter(one => one.getBoundingClientRect().right > window.innerWidth + 1)
            .slice(0, 5).map(one => one.outerHTML.slice(0, 120))"""
    )
    return found
