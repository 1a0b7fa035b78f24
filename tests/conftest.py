"""Settings shared by all tests: a skipped test fails a run in CI."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import settings

settings.register_profile("any machine", deadline=None)  # a slow machine is no fault
settings.load_profile("any machine")

IN_CI = os.environ.get("CI", "").lower() not in ("", "0", "false")
SAMPLES = [folder.name for folder in (Path(__file__).parent.parent / "sample_builds").iterdir()]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What a process works out once (tests/sample_jobs.py, fixtures of modules) is worked out once in all: tests of one
    sample go to one process, and so do the other tests of a file."""
    for item in items:
        file, _, test = item.nodeid.partition("::")
        name = next((name for name in SAMPLES if name in test), file)
        item.add_marker(pytest.mark.xdist_group(name))


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish(session: pytest.Session) -> None:
    """In CI everything that tests need is installed, so a skip hides a fault there."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if IN_CI and reporter is not None and reporter.stats.get("skipped"):
        reporter.write_line("skipped tests fail the run in CI", red=True)
        session.exitstatus = pytest.ExitCode.TESTS_FAILED
