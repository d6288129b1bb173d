"""A real browser on the site."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import pytest
from django.conf import settings
from django.test import Client

from tests.servers.presence import missing, need_module, need_program

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from shop.people.models import User

FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--disable-background-networking"]


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """A headless Chromium of the system, for the session."""
    need_module("browser", "playwright")
    program = need_program("browser", "chromium", "chromium-browser", "google-chrome")
    from playwright.sync_api import Error, sync_playwright

    with sync_playwright() as driver:
        try:
            chromium = driver.chromium.launch(executable_path=program, args=FLAGS)
        except Error as error:
            missing("browser", str(error))
        yield chromium
        chromium.close()


@dataclass(frozen=True)
class LiveShop:
    """The site being served, and a page of it."""

    url: str
    page: Page
    log_in: Callable[[User], None]

    def open(self, path: str) -> Page:
        """Go to a path of the site, e.g. ``/`` or ``reverse(...)``."""
        answer = self.page.goto(self.url + path)
        assert answer is not None
        assert answer.status < 400, f"{path} answered {answer.status}"
        return self.page


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A page of its own for the test, at desk width; the test fails on an uncaught script error."""
    # A service worker would go on fetching while the next test empties the tables.
    context = browser.new_context(
        viewport={"width": 1440, "height": 900}, locale="en-GB", reduced_motion="reduce", service_workers="block"
    )
    context.set_default_timeout(10_000)
    page = context.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    yield page
    context.close()
    assert not errors, f"script errors on the page: {errors}"


@pytest.fixture
def live_shop(live_server: Any, page: Page, django_user_model: Any) -> LiveShop:
    """The site served to a real browser, the owner logged in. The test may write rows: the server sees them."""

    def log_in(user: User) -> None:
        client = Client()
        client.force_login(user)
        cookie = client.cookies[settings.SESSION_COOKIE_NAME].value
        page.context.add_cookies([{"name": settings.SESSION_COOKIE_NAME, "value": cookie, "url": live_server.url}])

    log_in(django_user_model.objects.create_user("owner", password="only-for-tests", role="owner"))
    return LiveShop(live_server.url, page, log_in)
