"""`compare`, `render --since` and `check` of a set: what they say, and what they refuse."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from pypdf import PdfReader

from shopdocs.cli import main

OLD = """\
build: {title: Stool, mark: ST, units: in, revision: A}
materials: {oak 4/4: {kind: hardwood}}
parts:
  seat: {material: oak 4/4, size: 3/4 x 6 x 12, count: 2}
  foot: {material: oak 4/4, size: 3/4 x 3 x 5, count: 2}
"""
NEW = OLD.replace("3/4 x 3 x 5", "3/4 x 3 x 4")
OTHER = OLD.replace("Stool", "Shelf").replace("mark: ST", "mark: SH")


@pytest.fixture
def revisions(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    for name, text in (("old", OLD), ("new", NEW), ("other", OTHER)):
        (tmp_path / f"{name}.yaml").write_text(text, "utf-8")
    assert main(["render", "old.yaml", "--out", "set"]) == 0
    return tmp_path


def test_a_set_its_figures_and_its_build_are_compared_alike(
    revisions: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said = []
    for old in ("old.yaml", "set", "set/figures.json"):
        capsys.readouterr()
        assert main(["compare", old, "new.yaml"]) == 0
        said.append(capsys.readouterr().out)
    assert said[0] == said[1] == said[2]
    assert "  finished: ³⁄₄ × 3 × 5 in -> ³⁄₄ × 3 × 4 in" in said[0]
    assert "if sawn: still good, enough wood: take 1 in off the length" in said[0]
    assert "seat" not in said[0]
    assert "the next revision would be B" in said[0]


def test_the_new_set_bears_a_sheet_of_changes_and_bars(revisions: Path) -> None:
    assert main(["render", "new.yaml", "--since", "set", "--out", "again"]) == 0
    pages = [page.extract_text() for page in PdfReader(revisions / "again" / "changes.pdf").pages]
    assert "Changes since revision A" in pages[0]
    whole = PdfReader(revisions / "again" / "set.pdf")
    assert any("Changes since revision A" in entry.title for entry in whole.outline if not isinstance(entry, list))
    plain = PdfReader(revisions / "set" / "cut-list.pdf").pages[0].get_contents()
    barred = PdfReader(revisions / "again" / "cut-list.pdf").pages[0].get_contents()
    assert plain is not None and barred is not None
    # a filled rectangle for each strip of the table that changed; the same page without any is the old one
    assert barred.get_data().count(b" f") > plain.get_data().count(b" f")


def test_a_set_knows_whether_it_is_stale(revisions: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "old.yaml", "--set", "set", "--strict"]) == 0
    assert main(["check", "set", "--strict"]) == 0  # finds its build beside it by name
    capsys.readouterr()
    (revisions / "old.yaml").write_text(NEW, "utf-8")
    assert main(["check", "set"]) == 0
    told = capsys.readouterr()
    assert "stale: sheets" in told.err and "Cut list" in told.err
    assert "Printer check" in told.out.partition("as before")[2]
    assert main(["check", "set", "--strict"]) == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["compare", "old.yaml", "other.yaml"], "other.yaml:1:1: Shelf (SH) is no revision of Stool (ST)"),
        (["compare", "none.yaml", "new.yaml"], "none.yaml:1:1: there is no such file"),
        (["compare", ".", "new.yaml"], "./figures.json:1:1: there is no such file"),
        (["compare", "broken.json", "new.yaml"], "broken.json:1:2: this is not a list of figures"),
        (["compare", "deep.json", "new.yaml"], "deep.json:1:1: this is not a list of figures"),
        (["compare", "earlier.json", "new.yaml"], "earlier.json:1:1: it holds no state of a build"),
        (["compare", "torn.json", "new.yaml"], "torn.json:1:1: its state of the build is damaged"),
        (["compare", "unnumbered.json", "new.yaml"], "unnumbered.json:1:1: it holds no state of a build"),
        (["compare", "newer.json", "new.yaml"], "newer.json:1:1: its state is of format 9"),
        (["compare", "old.yaml", "wrong.yaml"], "wrong.yaml:4:"),
        (["compare", "old.yaml", "none.yaml"], "none.yaml:1:1: there is no such file"),
        (["render", "new.yaml", "--since", "none.json", "--out", "made"], "none.json:1:1: there is no such file"),
        (["render", "new.yaml", "--since", "other.yaml", "--out", "made"], "--since:1:1: Stool (ST) is no revision"),
        (["render", "new.yaml", "--since", "set", "--only", "labels", "--out", "made"], "--since:1:1: changes"),
        (["check", "moved"], "moved/figures.json:1:1: the build that this set was made from is not beside it"),
    ],
)
def test_what_cannot_be_compared_is_told_and_nothing_written(
    revisions: Path, capsys: pytest.CaptureFixture[str], words: list[str], said: str
) -> None:
    (revisions / "broken.json").write_text("{", "utf-8")
    (revisions / "deep.json").write_text("[" * 100_000, "utf-8")
    (revisions / "earlier.json").write_text('{"build": {}, "figures": []}', "utf-8")
    (revisions / "unnumbered.json").write_text('{"state": {"pieces": "no"}}', "utf-8")
    (revisions / "newer.json").write_text('{"state": {"format": 9}}', "utf-8")
    (revisions / "wrong.yaml").write_text(OLD.replace("3/4 x 6 x 12", "3/4 x 0 x 12"), "utf-8")
    figures = json.loads((revisions / "set" / "figures.json").read_bytes())
    figures["state"]["pieces"]["S1"] = {"finished": ["1", "2", "3"]}
    (revisions / "torn.json").write_text(json.dumps(figures), "utf-8")
    moved = revisions / "moved"
    moved.mkdir()
    figures = json.loads((revisions / "set" / "figures.json").read_bytes())
    figures["build"]["build file"] = "../old.yaml"  # no name of a file: nothing outside is looked for
    (moved / "figures.json").write_text(json.dumps(figures), "utf-8")
    capsys.readouterr()
    assert main(words) == 2
    assert capsys.readouterr().err.startswith(said)
    assert not (revisions / "made").exists()


def test_a_set_that_was_only_printed_otherwise_says_so_once(
    revisions: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """As an older version would have left it: the same furniture, every record page with another digest."""
    figures = json.loads((revisions / "set" / "figures.json").read_bytes())
    records = figures["state"]["records"]
    assert len(records) == 4
    figures["state"]["records"] = dict.fromkeys(records, "of another version")
    (revisions / "older.json").write_text(json.dumps(figures), "utf-8")
    capsys.readouterr()
    assert main(["compare", "older.json", "old.yaml"]) == 0
    said = capsys.readouterr().out
    assert said.count("The furniture is as before; every record page prints differently") == 1
    assert "reprint: record pages all 4\n" in said
    figures["state"]["records"] = records | {next(iter(records)): "one alone"}
    (revisions / "older.json").write_text(json.dumps(figures), "utf-8")
    assert main(["compare", "older.json", "old.yaml"]) == 0
    said = capsys.readouterr().out
    assert "The furniture is as before" not in said
    assert "reprint: record pages S1\n" in said


def test_what_is_wrong_with_the_later_build_is_told_before_the_earlier_is_worked_out(
    revisions: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_time(*_: object) -> None:
        raise AssertionError("documents were made")

    monkeypatch.setattr("shopdocs.documents.catalogue.make_documents", no_time)
    assert main(["compare", "old.yaml", "none.yaml"]) == 2
    assert main(["compare", "old.yaml", "other.yaml"]) == 2
