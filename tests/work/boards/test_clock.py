"""The time a search takes decides nothing: the same boards on a slow machine; where the clock ends it, that is told."""

from __future__ import annotations

from pathlib import Path
from time import process_time

import pytest
from pypdf import PdfReader

from shopdocs.blocks.text import plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.cli import main
from shopdocs.documents.catalogue import make_documents
from shopdocs.work.boards.plan import ROUNDS, Effort
from shopdocs.work.layout import FIRST
from tests.documents.test_lumber_sheet import job_of
from tests.work.boards.test_boards import MIXED, MIXED_SHOP
from tests.work.boards_case import plan_case, write_case


def slow_machine(monkeypatch: pytest.MonkeyPatch, times: int) -> None:
    """Everything takes so many times as long as it takes this process: what else the machine does is left out."""
    monkeypatch.setattr("shopdocs.work.layout.solve.perf_counter", lambda: process_time() * times)


def test_the_rounds_go_by_the_number_of_pieces() -> None:
    """Up to so many pieces means with so many as well; what is asked for, even nothing, holds for any number."""
    (few, long), (many, short) = ROUNDS
    assert few < many and long > short > FIRST
    assert [Effort().of(pieces) for pieces in (1, few, few + 1, many, many + 1)] == [long, long, short, short, FIRST]
    assert [Effort(rounds).of(pieces) for rounds in (0, 7) for pieces in (1, many + 1)] == [0, 0, 7, 7]


def test_a_slow_machine_finds_the_same_boards(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = write_case(tmp_path, MIXED, MIXED_SHOP)
    _, _, quick = plan_case(path)
    slow_machine(monkeypatch, 40)
    _, _, slow = plan_case(path)
    assert slow == quick
    assert not any(plan.capped for plan in slow.materials)


def test_the_clock_as_a_last_resort_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path = write_case(tmp_path, MIXED, MIXED_SHOP)
    slow_machine(monkeypatch, 10**9)
    _, _, plan = plan_case(path, Effort())
    capped = [material for material in plan.materials if material.capped]
    assert capped
    (sheet,) = (made for made in make_documents(job_of(path)) if made.name == "how-these-figures-are-made")
    words = " ".join(plain(content) for block in walk(sheet.blocks) for content in texts(block))
    assert "ended by the clock" in words
    assert main(["render", str(path), "--only", "lumber", "--out", str(tmp_path / "out")]) == 0
    at = capped[0].material.at
    told = f"{path}:{at.line}:{at.column}: warning: the search for boards of '{capped[0].material.name}' was ended by"
    assert told in capsys.readouterr().err


def test_the_clock_is_told_with_a_tally_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path = write_case(tmp_path, MIXED, MIXED_SHOP)
    receipt = tmp_path / "receipt.csv"
    receipt.write_text("material,width,length,count\noak 4/4,7,70,3\n", "utf-8")
    command = ["tally", str(path), str(receipt), "--out", str(tmp_path / "out")]
    assert main(command) == 0
    assert "ended by the clock" not in capsys.readouterr().err
    slow_machine(monkeypatch, 10**9)
    assert main(command) == 0
    assert "the search for boards of 'oak 4/4' was ended by the clock" in capsys.readouterr().err
    sheet = PdfReader(tmp_path / "out" / "tally.pdf")
    assert "ended by the clock" in " ".join(page.extract_text() for page in sheet.pages)


def test_a_tally_that_cannot_be_written_is_told_of_its_folder(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A file stands where the folder would be: it is named, and stays as it is."""
    path = write_case(tmp_path, MIXED, MIXED_SHOP)
    receipt = tmp_path / "receipt.csv"
    receipt.write_text("material,width,length,count\noak 4/4,7,70,3\n", "utf-8")
    taken = tmp_path / "taken"
    taken.write_text("mine", "utf-8")
    assert main(["tally", str(path), str(receipt), "--out", str(taken)]) != 0
    told = capsys.readouterr().err
    assert str(taken) in told and "--out:" not in told
    assert taken.read_text("utf-8") == "mine"
