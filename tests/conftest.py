"""Settings shared by all tests: a skipped test fails a run in CI."""

from __future__ import annotations

import os

import pytest
from hypothesis import settings

settings.register_profile("any machine", deadline=None)  # a slow machine is no fault
settings.load_profile("any machine")

IN_CI = os.environ.get("CI", "").lower() not in ("", "0", "false")


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish(session: pytest.Session) -> None:
    """In CI everything that tests need is installed, so a skip hides a fault there."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if IN_CI and reporter is not None and reporter.stats.get("skipped"):
        reporter.write_line("skipped tests fail the run in CI", red=True)
        session.exitstatus = pytest.ExitCode.TESTS_FAILED
