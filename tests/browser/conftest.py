"""A real browser on a live desk: pages of every role, looked at by axe and kept as pictures.

Playwright's own loop runs in the thread of the tests; Django takes that for asynchronous code and
has to be told otherwise. This is so below this folder only.
"""

from __future__ import annotations

import os
import shutil
import threading
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from django.conf import settings
from django.test import Client, override_settings
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from comity.desk.accounts.starting import BACKEND
from tests.browser.checking import Watch, check_page
from tests.desk.conftest import (  # noqa: F401 - fixtures, for the tests below this folder
    adviser,
    applicant,
    case,
    demo_rulebooks,
    office,
    outsider,
    owner,
)

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from django.http import HttpRequest, HttpResponseBase
    from pytest_django.live_server_helper import LiveServer

    from comity.store.models import Account

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
DESKTOP = {"width": 1280, "height": 900}
PHONE = {"width": 390, "height": 844}
MISSING = (
    "Chromium is not installed, and the tests in a real browser need it.\n"
    "On Debian: sudo apt-get install chromium; elsewhere name it in COMITY_CHROMIUM."
)


@pytest.fixture(scope="session", autouse=True)
def synchronous_all_the_same() -> Iterator[None]:
    """Let Django's database be used beside Playwright's loop."""
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    yield
    del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


_turn = threading.Lock()


def one_at_a_time(
    answer: Callable[[HttpRequest], HttpResponseBase],
) -> Callable[[HttpRequest], HttpResponseBase]:
    """Answer requests in turn: the tests' database in memory has a single connection."""

    def answered(request: HttpRequest) -> HttpResponseBase:
        with _turn:
            return answer(request)

    return answered


@pytest.fixture(scope="session", autouse=True)
def requests_in_turn() -> Iterator[None]:
    """Put the turnstile before the live server."""
    turnstile = f"{__name__}.{one_at_a_time.__name__}"
    with override_settings(MIDDLEWARE=[turnstile, *settings.MIDDLEWARE]):
        yield


@pytest.fixture(scope="session")
def browser(synchronous_all_the_same: None) -> Iterator[Browser]:
    """Return Debian's Chromium."""
    del synchronous_all_the_same
    found = os.environ.get("COMITY_CHROMIUM") or shutil.which("chromium")
    if found is None or not Path(found).exists():
        pytest.fail(MISSING, pytrace=False)
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=found, args=FLAGS)
        yield opened
        opened.close()


@pytest.fixture
def open_page(live_server: LiveServer, browser: Browser) -> Iterator[Callable[..., Page]]:
    """Return a function that opens a page of the desk for a person, or for nobody.

    ``open_page("/office", owner, phone=True)``; each call is another browser with cookies of its
    own. When the test is over, nothing may have gone wrong in any of them: no error on the
    console, nothing refused by the content security policy, nothing asked of another host.
    """
    opened: list[tuple[BrowserContext, Watch]] = []

    def opening(
        path: str = "/",
        who: Account | None = None,
        *,
        phone: bool = False,
        dark: bool = False,
        script: bool = True,
    ) -> Page:
        context = browser.new_context(
            base_url=live_server.url,
            viewport=PHONE if phone else DESKTOP,  # type: ignore[arg-type]
            color_scheme="dark" if dark else "light",
            reduced_motion="reduce",
            java_script_enabled=script,
            permissions=["clipboard-read", "clipboard-write"],
        )
        context.set_default_timeout(10_000)
        if who is not None:
            sign_in(context, who, live_server.url)
        page = context.new_page()
        opened.append((context, Watch(page, live_server.url)))
        page.goto(path)
        return page

    yield opening
    faults = [fault for _context, watch in opened for fault in watch.faults]
    for context, _watch in opened:
        context.close()
    assert faults == []


def sign_in(context: BrowserContext, who: Account, url: str) -> None:
    """Give a browser the session of a person, without the way through the sign-in page."""
    client = Client()
    client.force_login(who, backend=BACKEND)
    name = settings.SESSION_COOKIE_NAME
    context.add_cookies([{"name": name, "value": client.cookies[name].value, "url": url}])


@pytest.fixture(name="check_page")
def _check_page() -> Callable[[Page, str], None]:
    """Return the function that looks at a page: `tests.browser.checking.check_page`."""
    return check_page
