"""Headless Chromium against Django's live server, with every page's faults collected.

A test asks for ``page`` (1280 px wide), ``phone`` (390 px, touch), ``both_widths`` (run once at
each), or ``signed_in``, a function that opens either for an account. When it ends, an exception in
a script, a breach of the content policy or a style, script or picture that did not come fails it.
"""

import os
import shutil
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page, Response, sync_playwright

from society.members.models import Account
from tests.browser.steps import sign_in_at_once

# Playwright's synchronous interface runs an event loop in this thread, and Django would take
# every query of the test itself for one made inside it.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")

CHROMIUM_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
CHROMIUM_ARGUMENTS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--disable-dev-shm-usage",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
WIDE = {"viewport": {"width": 1280, "height": 900}}
PHONE = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "device_scale_factor": 2}
PARTS_OF_A_PAGE = {"stylesheet", "script", "image", "font"}
WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if item.path.is_relative_to(os.path.dirname(__file__)):
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """Yield one Chromium for the whole run; its absence is a failure, never a skipped test."""
    wanted = os.environ.get("CHROMIUM")
    found = wanted or next(filter(None, map(shutil.which, CHROMIUM_NAMES)), None)
    if not found:
        pytest.fail(
            "Chromium is missing: install it (Debian: apt install chromium) or set CHROMIUM to "
            "its path."
        )
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=found, args=CHROMIUM_ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture
def open_context(chromium: Browser, live_server: Any) -> Iterator[Callable[..., BrowserContext]]:
    """Return a function that opens a fresh browser context; options are Playwright's own."""
    opened: list[BrowserContext] = []
    faults: list[str] = []

    def open_one(**options: Any) -> BrowserContext:
        context = chromium.new_context(
            base_url=live_server.url, locale="en-GB", timezone_id="Europe/London", **options
        )
        context.set_default_timeout(15_000)
        context.on("weberror", lambda error: faults.append(str(error.error)))
        context.on("console", lambda message: faults.extend(_policy_breach(message)))
        context.on("response", lambda response: faults.extend(_missing_part(response)))
        opened.append(context)
        return context

    yield open_one
    for context in opened:
        context.close()
    assert not faults, "faults in the browser:\n" + "\n".join(faults)


def _policy_breach(message: Any) -> list[str]:
    """Return a console line if it is an error other than an answer the test itself provoked."""
    if message.type == "error" and not message.text.startswith("Failed to load resource"):
        return [message.text]
    return []


def _missing_part(response: Response) -> list[str]:
    """Return a line for a part of a page that the server did not give."""
    if response.status >= 400 and response.request.resource_type in PARTS_OF_A_PAGE:
        return [f"{response.status} for {response.url}"]
    return []


@pytest.fixture
def page(open_context: Callable[..., BrowserContext]) -> Page:
    return open_context(**WIDE).new_page()


@pytest.fixture
def phone(open_context: Callable[..., BrowserContext]) -> Page:
    return open_context(**PHONE).new_page()


@pytest.fixture(params=["1280 px", "390 px"])
def both_widths(
    request: pytest.FixtureRequest, open_context: Callable[..., BrowserContext]
) -> Page:
    return open_context(**(PHONE if request.param == "390 px" else WIDE)).new_page()


@pytest.fixture
def signed_in(open_context: Callable[..., BrowserContext], live_server: Any) -> Callable[..., Page]:
    """Return a function that opens a page for an account, or for a guest where it is None."""

    def open_for(account: Account | None, *, phone: bool = False, **options: Any) -> Page:
        context = open_context(**((PHONE if phone else WIDE) | options))
        if account is not None:
            sign_in_at_once(context, account, live_server.url)
        return context.new_page()

    return open_for


@pytest.fixture(scope="session")
def accessible() -> Callable[..., None]:
    """Return a check that fails with axe's findings (WCAG 2.2 AA) for the page as it stands.

    ``only`` names the rules to run instead. The window is made as tall as the page meanwhile: what
    is held at its foot covers what scrolls under it, which is no fault of the thing covered.
    """

    def check(page: Page, *, only: list[str] | None = None) -> None:
        size = page.viewport_size
        assert size is not None
        tall = page.evaluate("document.documentElement.scrollHeight")
        page.set_viewport_size({"width": size["width"], "height": max(size["height"], tall)})
        rules = {"type": "rule", "values": only} if only else {"type": "tag", "values": WCAG}
        results = Axe().run(page, options={"runOnly": rules, "resultTypes": ["violations"]})
        page.set_viewport_size(size)
        assert not results.violations_count, f"{page.url}\n{results.generate_report()}"

    return check
