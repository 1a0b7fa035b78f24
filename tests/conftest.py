"""Settings shared by all tests: a skipped test fails a run in CI."""

from __future__ import annotations

import gc
import os
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

from shopdocs.pipeline import second_process
from tests import sample_jobs

settings.register_profile("any machine", deadline=None)  # a slow machine is no fault
settings.load_profile("any machine")

gc.set_threshold(20_000)  # what is kept of the samples is large, and looked through in vain

IN_CI = os.environ.get("CI", "").lower() not in ("", "0", "false")
SAMPLES = [folder.name for folder in (Path(__file__).parent.parent / "sample_builds").iterdir()]


@pytest.fixture(scope="session", autouse=True)
def _shared_samples(tmp_path_factory: pytest.TempPathFactory) -> None:
    """The processes of a run have their folders side by side in one."""
    if "PYTEST_XDIST_WORKER" in os.environ:
        folder = tmp_path_factory.getbasetemp().parent / "samples"
        folder.mkdir(exist_ok=True)
        sample_jobs.SHARED[:] = [folder]


@pytest.fixture(scope="session", autouse=True)
def _one_process_a_set() -> None:
    """A process of the test run has threads, and is not one to copy; `test_second_process.py` begins its own."""
    second_process.can_copy = lambda: False


# What takes longest begins first, so that all processes end at about the same time.
LONGEST = ("potting_table", "plate_rack", "tests/checks/test_slips.py", "spice_cabinet", "tests/work/layout")


def shared_by(test: str) -> str:
    """What a test shares with others, by its id: a sample, or the fixtures and imports of its file. All of the layout
    search is one, for what is compiled of it is compiled once."""
    file, _, name = test.partition("::")
    sample = next((sample for sample in SAMPLES if sample in name), "")
    return sample or ("tests/work/layout" if file.startswith("tests/work/layout/") else file)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Among several processes the tests are begun by how long they take together."""
    if hasattr(config, "workerinput"):
        order = {name: place for place, name in enumerate(LONGEST)}
        items.sort(key=lambda item: order.get(shared_by(item.nodeid), len(order)))


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> object:
    """What a process works out once (tests/sample_jobs.py, fixtures of modules) is worked out once in all: tests that
    share it go to one process. Not by marks: xdist 3.8 loses those of `--dist loadgroup` under pytest 9."""
    from xdist.scheduler import LoadScopeScheduling

    class Sharing(LoadScopeScheduling):
        def _split_scope(self, nodeid: str) -> str:
            return shared_by(nodeid)

    config.option.loadscopereorder = False
    return Sharing(config, log)


@pytest.hookimpl(trylast=True)
def pytest_sessionfinish(session: pytest.Session) -> None:
    """In CI everything that tests need is installed, so a skip hides a fault there."""
    reporter = session.config.pluginmanager.get_plugin("terminalreporter")
    if IN_CI and reporter is not None and reporter.stats.get("skipped"):
        reporter.write_line("skipped tests fail the run in CI", red=True)
        session.exitstatus = pytest.ExitCode.TESTS_FAILED
