"""The browser tests need Debian's chromium and playwright; on a machine without them they are passed over, in CI never.
One browser serves all of a run, with a fresh profile for each test.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from importlib.util import find_spec
from typing import TYPE_CHECKING

import pytest

from tests.conftest import IN_CI

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext

PHONE = {"width": 390, "height": 844}
DESKTOP = {"width": 1280, "height": 900}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    missing = "chromium" if shutil.which("chromium") is None else "playwright" if not find_spec("playwright") else ""
    if missing and not IN_CI:
        for item in items:
            if "browser" in item.path.parts:
                item.add_marker(pytest.mark.skip(reason=f"{missing} is not on this machine"))


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        found = play.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        yield found
        found.close()


@pytest.fixture(params=[PHONE, DESKTOP], ids=["phone", "desktop"])
def window(request: pytest.FixtureRequest, browser: Browser) -> Iterator[BrowserContext]:
    """A fresh profile at the size of a phone and at that of a desktop; what it writes to the console fails the test."""
    said: list[str] = []
    context = browser.new_context(viewport=request.param, has_touch=request.param is PHONE)
    context.on("console", lambda told: said.append(told.text) if told.type in ("error", "warning") else None)
    context.on("weberror", lambda told: said.append(str(told.error)))
    yield context
    context.close()
    assert said == []
