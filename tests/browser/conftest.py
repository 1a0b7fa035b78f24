"""The browser tests need Debian's chromium; on a machine without it they are passed over, in CI never."""

from __future__ import annotations

import shutil

import pytest

from tests.conftest import IN_CI


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    if shutil.which("chromium") is None and not IN_CI:
        for item in items:
            if "browser" in item.path.parts:
                item.add_marker(pytest.mark.skip(reason="chromium is not on this machine"))
