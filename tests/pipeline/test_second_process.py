"""What a second process does meanwhile is what this one would do, and harm to it shows nowhere.

Every trial is a program of its own: the test run has threads, and a process with threads is not one to copy.
"""

from __future__ import annotations

import subprocess
import sys
from hashlib import sha256
from pathlib import Path
from textwrap import dedent

import pytest

ROOT = Path(__file__).parents[2]
SAMPLES = ROOT / "sample_builds"
COPIES = sys.platform == "linux"
TRIAL = """
import os, signal, time
from shopdocs.pipeline import second_process as module
module.can_copy = lambda: {copies}
here = os.getpid()
with module.second_process() as begin:
{body}
"""


def said(body: str, *, copies: bool = True, seconds: float = 20) -> list[str]:
    """What such a program prints; `begin` and `here`, the number of its process, are at hand."""
    inside = "\n".join("    " + line for line in dedent(body).strip().splitlines())
    program = TRIAL.format(copies=copies and COPIES, body=inside)
    run = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, cwd=ROOT, timeout=seconds, check=False
    )
    assert run.stderr == ""
    return run.stdout.split()


@pytest.mark.parametrize("copies", [True, False])
def test_work_goes_one_step_back_and_one_forth(copies: bool) -> None:
    found = said(
        """
        def work():
            given = yield os.getpid() == here
            yet = 6
            return yet * given()
        meanwhile = begin(work)
        print(meanwhile.first())
        meanwhile.give(7)
        print(meanwhile.last())
        """,
        copies=copies,
    )
    assert found == [str(not (copies and COPIES)), "42"]


@pytest.mark.parametrize("when", ["before", "between", "after"])
def test_a_copy_that_comes_to_harm_is_not_missed(when: str) -> None:
    """Killed before its first result, before it takes what it is given, and before its last."""
    found = said(
        f"""
        def harm(now):
            if now == "{when}" and os.getpid() != here:
                os.kill(os.getpid(), signal.SIGKILL)
        def work():
            harm("before")
            given = yield 2
            harm("between")
            more = given()
            harm("after")
            return more + 3
        meanwhile = begin(work)
        print(meanwhile.first())
        time.sleep(0.2)
        meanwhile.give(4)
        print(meanwhile.last())
        """
    )
    assert found == ["2", "7"]


def test_a_fault_comes_out_where_the_result_is_asked_for() -> None:
    found = said(
        """
        def work():
            given = yield 1
            raise ValueError("told")
        meanwhile = begin(work)
        meanwhile.first()
        meanwhile.give(0)
        try:
            meanwhile.last()
        except ValueError as fault:
            print(fault)
        """
    )
    assert found == ["told"]


def test_what_is_given_never_waits_for_the_copy() -> None:
    """Eight million bytes, more than any pipe holds, to a copy that takes them only when it was told to."""
    found = said(
        """
        def work():
            given = yield 1
            while not os.path.exists(flag):
                time.sleep(0.01)
            return len(given())
        from tempfile import mkdtemp
        flag = mkdtemp() + "/flag"
        meanwhile = begin(work)
        meanwhile.first()
        meanwhile.give(bytes(8_000_000))
        open(flag, "w").close()
        print(meanwhile.last())
        """
    )
    assert found == ["8000000"]


def test_the_copy_does_not_wait_until_its_first_result_is_asked_for() -> None:
    found = (
        said(
            """
        from tempfile import mkdtemp
        flag = mkdtemp() + "/flag"
        def work():
            given = yield bytes(8_000_000)
            open(flag, "w").close()
            return given()
        meanwhile = begin(work)
        while os.getpid() == here and not os.path.exists(flag):
            time.sleep(0.01)
        print(len(meanwhile.first()))
        meanwhile.give(3)
        print(meanwhile.last())
        """
        )
        if COPIES
        else ["8000000", "3"]
    )
    assert found == ["8000000", "3"]


def test_no_copy_outlives_a_run_that_ends_early() -> None:
    found = said(
        """
        def work():
            given = yield os.getpid()
            time.sleep(60)
        begun = begin(work)
        print(begun.first())
        """,
        seconds=20,
    )
    if COPIES:
        assert not Path(f"/proc/{found[0]}").exists()


@pytest.mark.parametrize(
    "name", ["seed_tote", *(pytest.param(name, marks=pytest.mark.thorough) for name in ("loft_stool", "spice_cabinet"))]
)
def test_a_set_is_the_same_to_the_byte_with_a_second_process(name: str, tmp_path: Path) -> None:
    program = """
        from shopdocs.pipeline import Request, render
        outcome = render(Request({build!r}), {out!r}, begin=begin)
        print(len(outcome.written))
    """
    found = []
    for copies in (True, False):
        out = tmp_path / f"copies {copies}"
        said(program.format(build=str(SAMPLES / name / "build.yaml"), out=str(out)), copies=copies, seconds=120)
        files = sorted(path for path in out.rglob("*") if path.is_file())
        found.append({str(path.relative_to(out)): sha256(path.read_bytes()).hexdigest() for path in files})
    assert len(found[0]) > 20
    assert found[0] == found[1]
