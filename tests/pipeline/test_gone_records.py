"""The label of a piece that is no longer there leads to a page that says so, from set to set."""

from __future__ import annotations

import json
from html import unescape
from pathlib import Path

import pytest

from shopdocs.cli import main
from shopdocs.core.display import Display
from shopdocs.documents.revised.lost import gone_of
from shopdocs.documents.revised.state import BuildState

BUILD = """\
build: {title: Seed tray, mark: SD, units: in, revision: %s}
materials: {pine 1x6: {kind: softwood, nominal: 1x6}}
parts:
  side: {material: pine 1x6, size: 3/4 x 5-1/2 x 16, pieces: [LS, RS]}
%s
"""
ENDS = "  end: {material: pine 1x6, size: 3/4 x 5-1/2 x 8, pieces: [FE]}"


def render(folder: Path, revision: str, rest: str) -> Path:
    (folder / "tray.yaml").write_text(BUILD % (revision, rest), "utf-8")
    assert main(["render", str(folder / "tray.yaml"), "--out", str(folder / "set")]) == 0
    return folder / "set" / "records"


def words(page: Path) -> str:
    return unescape(page.read_text("utf-8"))


def test_a_piece_that_is_gone_leaves_a_page_until_it_is_back(tmp_path: Path) -> None:
    assert "no longer part of" not in words(render(tmp_path, "A", ENDS) / "sd-fe.html")
    records = render(tmp_path, "B", "")
    page = words(records / "sd-fe.html")
    assert "FE is no longer part of Seed tray, since revision B." in page
    assert "203" in page  # 8 in are 203.2 mm by the definition of the inch: what it was, in both systems
    assert 'href="sd-fe.html"' in words(records / "index.html")
    before = {file.name: file.read_bytes() for file in records.iterdir()}
    again = render(tmp_path, "B", "")
    assert {file.name: file.read_bytes() for file in again.iterdir()} == before
    assert "since revision B." in words(render(tmp_path, "C", "") / "sd-fe.html")
    assert "no longer part of" not in words(render(tmp_path, "D", ENDS) / "sd-fe.html")


def test_without_a_list_of_figures_the_names_of_the_pages_tell(tmp_path: Path) -> None:
    render(tmp_path, "A", ENDS)
    (tmp_path / "set" / "figures.json").write_text('{"state": ', "utf-8")
    records = render(tmp_path, "B", "")
    assert "sd-fe is no longer part of Seed tray" in words(records / "sd-fe.html").replace("SD-", "")


def test_another_build_in_the_folder_leaves_nothing(tmp_path: Path) -> None:
    records = render(tmp_path, "A", ENDS)
    other = (BUILD % ("A", "")).replace("Seed tray", "Boot rack").replace("mark: SD", "mark: BR")
    (tmp_path / "tray.yaml").write_text(other, "utf-8")
    assert main(["render", str(tmp_path / "tray.yaml"), "--out", str(tmp_path / "set")]) == 0
    assert not (records / "sd-fe.html").exists()


@pytest.mark.parametrize(
    "entry",
    [
        {"record": "../../x", "mark": "", "part": "", "size": [], "place": [], "since": ""},
        {"record": "index", "mark": "", "part": "", "size": [], "place": [], "since": ""},
        {"record": "a", "mark": "SD-A", "part": "end", "size": ["1/0"], "place": [], "since": "revision B"},
        {"record": "a", "mark": 3, "part": "end", "size": [], "place": [], "since": "revision B"},
        {"record": "a", "mark": "M" * 5000, "part": "end", "size": [], "place": [], "since": "revision B"},
        ["a"],
        None,
    ],
)
def test_what_does_not_hold_together_is_left_out(entry: object) -> None:
    display = Display.of("in")
    now = BuildState("Seed tray", "SD", "B", "word", "in", str(display.step.mm))
    assert gone_of({"gone": [entry]}, (), now, "") == ()


def test_a_hostile_mark_is_only_words(tmp_path: Path) -> None:
    render(tmp_path, "A", ENDS)
    path = tmp_path / "set" / "figures.json"
    told = json.loads(path.read_text("utf-8"))
    hostile = {"record": "../x", "mark": "<img src=x>", "part": "</style>", "size": [], "place": [], "since": "<b>"}
    path.write_text(json.dumps({**told, "gone": [hostile]}), "utf-8")
    records = render(tmp_path, "A", ENDS)
    (page,) = [file for file in records.iterdir() if file.name.startswith("img-src-x__")]
    text = page.read_text("utf-8")
    assert "<img" not in text
    assert "<b>" not in text.partition("<main>")[2]
    assert text.count("</style>") == 1
