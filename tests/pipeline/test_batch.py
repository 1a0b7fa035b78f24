"""Many builds in one run: each its set, a wrong one stops none, only what changed is made again."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from pypdf import PdfReader

from shopdocs.cli import main
from shopdocs.pipeline.batch import found_builds

BUILD = """\
build: {{title: Stool {0}, mark: S{0}, units: in}}
materials: {{oak 4/4: {{kind: hardwood}}}}
parts: {{seat: {{material: oak 4/4, size: 3/4 x 6 x {1}, count: 2}}}}
"""


@pytest.fixture
def builds(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("os.cpu_count", lambda: 1)  # to start a process takes longer than these small sets
    for name, number in (("plans/one.yaml", 1), ("plans/two.yaml", 2), ("plans/three/build.yaml", 3)):
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True, parents=True)
        path.write_text(BUILD.format(number, 10 + number), "utf-8")
    (tmp_path / "plans" / "shop.yaml").write_text("shop: {units: in}\n", "utf-8")
    (tmp_path / "plans" / "notes.yaml").write_text("rebuild: yes\n", "utf-8")
    return tmp_path


def _results(folder: Path) -> dict[str, dict[str, object]]:
    return {one["set"]: one for one in json.loads((folder / "batch.json").read_bytes())["builds"]}


def test_builds_are_found_and_nothing_else(builds: Path) -> None:
    assert found_builds(["plans"])[0] == ["plans/one.yaml", "plans/two.yaml", "plans/three/build.yaml"]
    assert found_builds(["plans/two.yaml", "plans"])[0] == [
        "plans/two.yaml",
        "plans/one.yaml",
        "plans/three/build.yaml",
    ]


def test_each_gets_its_set_and_only_what_changed_is_made_again(
    builds: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("os.cpu_count", lambda: 2)
    assert main(["render", "plans", "--out", "sets"]) == 0
    monkeypatch.setattr("os.cpu_count", lambda: 1)
    for name in ("one", "two", "three"):
        assert (builds / "sets" / name / "set.pdf").is_file()
    # the same files as when each is rendered by itself
    assert main(["render", "plans/two.yaml", "--out", "alone"]) == 0
    alone = {p.relative_to("alone"): p.read_bytes() for p in Path("alone").rglob("*.pdf")}
    assert alone == {p.relative_to("sets/two"): p.read_bytes() for p in Path("sets/two").rglob("*.pdf")}

    before = {path: path.stat().st_mtime_ns for path in (builds / "sets").rglob("*.pdf")}
    (builds / "plans" / "two.yaml").write_text(BUILD.format(2, 99), "utf-8")
    (builds / "sets" / "three" / "title.pdf").unlink()  # not whole any more
    capsys.readouterr()
    assert main(["render", "plans", "--out", "sets"]) == 0
    assert [one["status"] for one in _results(builds / "sets").values()] == ["unchanged", "made", "made"]
    assert all(path.stat().st_mtime_ns == before[path] for path in (builds / "sets" / "one").rglob("*.pdf"))
    said = capsys.readouterr().out
    assert "one    unchanged, " in said and "two    made, " in said

    # the shop file and the options count too
    (builds / "plans" / "shop.yaml").write_text("shop: {units: in, kerf: 1/16}\n", "utf-8")
    assert main(["render", "plans/one.yaml", "plans/three/build.yaml", "--out", "sets"]) == 0
    assert [_results(builds / "sets")[name]["status"] for name in ("one", "three")] == ["made", "unchanged"]
    assert main(["render", "plans/one.yaml", "plans/three", "--out", "sets", "--units", "mm"]) == 0
    assert {one["status"] for one in _results(builds / "sets").values()} == {"made"}


def test_a_wrong_build_stops_none_of_the_others(builds: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["render", "plans", "--out", "sets"]) == 0
    old = (builds / "sets" / "two" / "set.pdf").read_bytes()
    (builds / "plans" / "two.yaml").write_text(BUILD.format(2, 0), "utf-8")
    (builds / "plans" / "one.yaml").write_text(BUILD.format(1, 31), "utf-8")
    capsys.readouterr()
    assert main(["render", "plans", "--out", "sets"]) == 2
    results = _results(builds / "sets")
    assert [results[name]["status"] for name in ("one", "two", "three")] == ["made", "failed", "unchanged"]
    assert (builds / "sets" / "two" / "set.pdf").read_bytes() == old
    assert capsys.readouterr().err.startswith("plans/two.yaml:3:")
    assert "plans/two.yaml:3:" in json.dumps(results["two"]["problems"])
    # it is tried again as long as it is wrong
    assert main(["render", "plans/two.yaml", "plans/one.yaml", "--out", "sets"]) == 2


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["empty", "plans/one.yaml"], "empty:1:1: there is no build in this folder"),
        (["plans/one.yaml", "other/one.yaml"], "other/one.yaml:1:1: its set would be called 'one'"),
        (["plans/one.yaml", "gone.yaml"], "gone.yaml:1:1: there is no such file"),
        (["plans", "--edition", "customer"], "BUILD:1:1: --edition"),
    ],
)
def test_what_cannot_be_a_batch(builds: Path, capsys: pytest.CaptureFixture[str], words: list[str], said: str) -> None:
    (builds / "empty").mkdir()
    (builds / "other").mkdir()
    (builds / "other" / "one.yaml").write_text(BUILD.format(4, 12), "utf-8")
    assert main(["render", *words, "--out", "sets"]) == 2
    assert capsys.readouterr().err.startswith(said)


def test_a_file_of_somebody_s_is_not_replaced(builds: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for content in ("my own", '{"made by": "me"}', "[" * 50_000):
        (builds / "sets").mkdir(exist_ok=True)
        (builds / "sets" / "batch.json").write_text(content, "utf-8")
        assert main(["render", "plans", "--out", "sets"]) == 2
        assert (builds / "sets" / "batch.json").read_text("utf-8") == content
        assert "sets/batch.json:1:1: this file was not written by an earlier run" in capsys.readouterr().err


def test_one_purchase_lays_all_builds_on_the_same_boards(builds: Path) -> None:
    """Two seats of 6 x 11 in, two of 6 x 12 in: with an inch of length and a quarter of width to mill, 24 + 26 in of
    6-1/4 in lumber: one board of 8 ft does for both, where each alone takes one."""
    (builds / "plans" / "shop.yaml").write_text(
        "shop:\n  units: in\n  yard: [{material: oak 4/4, width: 6-1/2, length: 96}]\n", "utf-8"
    )
    words = ["render", "plans/one.yaml", "plans/two.yaml", "--out", "sets", "--one-purchase"]
    assert main(words) == 0
    for name in ("one-purchase", "one", "two"):
        with (builds / "sets" / name / "tables" / "boards.csv").open(encoding="utf-8-sig", newline="") as file:
            assert [(row["Boards"], row["Count"]) for row in csv.DictReader(file)] == [("B1", "1")], name
    said = "".join(page.extract_text() for page in PdfReader(builds / "sets/one-purchase/lumber.pdf").pages)
    for mark in ("S1-S1", "S1-S2", "S2-S1", "S2-S2"):
        assert mark in said, mark


def test_what_cannot_be_bought_together_is_told(builds: Path, capsys: pytest.CaptureFixture[str]) -> None:
    def told() -> str:
        capsys.readouterr()
        assert main(["render", "plans/one.yaml", "plans/three", "--out", "sets", "--one-purchase"]) == 2
        assert not (builds / "sets" / "one-purchase").exists()
        return capsys.readouterr().err

    three = builds / "plans" / "three" / "build.yaml"
    assert "three/build.yaml:1:1: Stool 3 is of another shop file than Stool 1" in told()
    (three.parent / "shop.yaml").write_text("shop: {units: in}\n", "utf-8")
    three.write_text(BUILD.format(3, 12).replace("{kind: hardwood}", "{kind: hardwood, species: white oak}"), "utf-8")
    assert "'oak 4/4' is another material in Stool 1" in told()
    three.write_text(BUILD.format(3, 12).replace("mark: S3", "mark: S1"), "utf-8")
    assert "'S1' is the mark of Stool 1 too" in told()
    three.write_text(BUILD.format(3, 0), "utf-8")
    assert "no purchase for all was laid out" in told()
    assert main(["render", "plans/one.yaml", "--out", "alone", "--one-purchase"]) == 2
    assert "--one-purchase:1:1: " in capsys.readouterr().err
