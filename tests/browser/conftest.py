"""A demo that is built, served and looked at by four kinds of people."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, sync_playwright

from tests.browser.contact_sheet import write_contact_sheet
from tests.browser.site import DESK, PHONE, ROOT, Eyes, Sheet, Site, free_port
from tests.browser.site import prepared as prepare
from tests.browser.site import served as serve

CHROMIUM = "/usr/bin/chromium"
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Steps of the walk stay in the order they are written in, whoever shuffles."""
    here = [item for item in items if "tests/browser/" in item.path.as_posix()]
    in_order = iter(sorted(here, key=lambda item: (item.path, item.location[1] or 0)))
    places = [place for place, item in enumerate(items) if item in here]
    for place in places:
        items[place] = next(in_order)


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """The demo, built anew and served on a port of its own."""
    port = free_port()
    found = prepare(tmp_path_factory.mktemp("demo") / "demo", port)
    with serve(found, port):
        yield found


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's chromium without a window."""
    with sync_playwright() as play:
        started = play.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield started
        started.close()


@pytest.fixture(scope="session")
def sheet() -> Iterator[Sheet]:
    """The folder of pictures; at the end the contact sheet is written into it."""
    folder = Path(os.environ.get("CONTACT_SHEET_DIR", ROOT / "var" / "contact-sheet"))
    folder.mkdir(parents=True, exist_ok=True)
    for old in folder.glob("*.png"):
        old.unlink()
    taken = Sheet(folder=folder)
    yield taken
    if taken.pictures:
        write_contact_sheet(taken.pictures, folder / "contact-sheet.png")


def _context(browser: Browser, size: dict[str, int]) -> BrowserContext:
    context = browser.new_context(
        viewport=size,  # type: ignore[arg-type]
        locale="en-US",
        timezone_id="America/New_York",
        accept_downloads=True,
    )
    context.set_default_timeout(30_000)
    return context


def _logged_in(browser: Browser, site: Site, sheet: Sheet, role: str) -> Eyes:
    size = PHONE if role == "crew" else DESK
    eyes = Eyes(
        page=_context(browser, size).new_page(), site=site, sheet=sheet, who=role
    )
    address, password = site.logins[role]
    eyes.open("/login/")
    eyes.page.locator("input[name=username]").fill(address)
    eyes.page.locator("input[name=password]").fill(password)
    with eyes.page.expect_navigation():
        eyes.page.locator("main button[type=submit]").click()
    assert "/login/" not in eyes.page.url, eyes.text()
    return eyes


@pytest.fixture(scope="session")
def owner(browser: Browser, site: Site, sheet: Sheet) -> Eyes:
    """The owner at a desk."""
    return _logged_in(browser, site, sheet, "owner")


@pytest.fixture(scope="session")
def crew(browser: Browser, site: Site, sheet: Sheet) -> Eyes:
    """A crew's lead with a phone."""
    return _logged_in(browser, site, sheet, "crew")


@pytest.fixture(scope="session")
def bookkeeper(browser: Browser, site: Site, sheet: Sheet) -> Eyes:
    """The bookkeeper at a desk."""
    return _logged_in(browser, site, sheet, "bookkeeper")


@pytest.fixture(scope="session")
def client_eyes(browser: Browser, site: Site, sheet: Sheet) -> Eyes:
    """A client without an account, who has only the links from letters."""
    return Eyes(
        page=_context(browser, PHONE).new_page(), site=site, sheet=sheet, who="client"
    )
