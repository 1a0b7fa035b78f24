"""Every input is read once: what is checked, printed, named and hashed comes from the same bytes. And what is no plain
file, or not the maker's to read, is refused."""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from shopdocs import __version__
from shopdocs.core.problems import has_errors
from shopdocs.output.folder import LIST
from shopdocs.pipeline import Request, check_build, render, tally

BUILD = """\
build: {title: Stool, mark: ST, units: in}
materials: {oak 4/4: {kind: hardwood, species: white oak}}
parts: {seat: {material: oak 4/4, size: 3/4 x 6 x 12, count: 2}}
"""
LONGER = BUILD.replace("6 x 12", "6 x 14")
SHOP = "shop: {units: in, kerf: 1/16}\n"
RECEIPT = "receipt: {boards: [{material: oak 4/4, width: 6, length: 60}]}\n"


@pytest.fixture
def build(tmp_path: Path) -> Path:
    path = tmp_path / "plan" / "build.yaml"
    path.parent.mkdir()
    path.write_text(BUILD, "utf-8")
    return path


def when(step: str, then: Callable[[], object]) -> Callable[[str], None]:
    """Progress that does something else as soon as a step begins."""

    def progress(said: str) -> None:
        if said == step:
            then()

    return progress


def made_from(build: str, shop: str = "") -> str:
    """The first line of the list by its own rule: a hash over the hashes of version, build and shop file."""
    parts = (hashlib.sha256(each.encode()).digest() for each in (__version__, build, shop))
    return f"# made from {hashlib.sha256(b''.join(parts)).hexdigest()} in-letter"


@pytest.mark.parametrize("step", ["computing", "writing"])
def test_a_set_says_it_was_made_from_what_was_read(build: Path, tmp_path: Path, step: str) -> None:
    out = tmp_path / "set"

    def save() -> None:
        build.write_text(LONGER, "utf-8")
        (build.parent / "shop.yaml").write_text(SHOP, "utf-8")

    outcome = render(Request(str(build)), str(out), when(step, save))
    assert not has_errors(outcome.problems)
    assert (out / LIST).read_text().splitlines()[0] == made_from(BUILD)
    lengths = {figure["exact"] for figure in figures(out) if figure["name"] == "seat · finished · length"}
    assert lengths == {"304.8"}  # 12 in
    outcome = render(Request(str(build), only=("cut-list",)), str(out))
    assert [problem.code for problem in outcome.problems if problem.code == "stale"] == ["stale"]
    assert sorted(path.name for path in out.iterdir()) == [LIST, "cut-list.pdf", "tables"]
    assert (out / LIST).read_text().splitlines()[0] == made_from(LONGER, SHOP)


def figures(out: Path) -> list[dict[str, str]]:
    found: list[dict[str, str]] = json.loads((out / "figures.json").read_text("utf-8"))["figures"]
    return found


@pytest.mark.parametrize("step", ["computing", "writing"])
def test_a_file_that_goes_away_meanwhile_is_not_missed(build: Path, tmp_path: Path, step: str) -> None:
    shop = build.parent / "shop.yaml"
    shop.write_text(SHOP, "utf-8")

    def remove() -> None:
        build.unlink()
        shop.unlink()

    outcome = render(Request(str(build), only=("cut-list",)), str(tmp_path / "set"), when(step, remove))
    assert not has_errors(outcome.problems)
    assert (tmp_path / "set" / LIST).read_text().splitlines()[0] == made_from(BUILD, SHOP)


def test_a_receipt_that_goes_away_meanwhile_is_not_missed(build: Path, tmp_path: Path) -> None:
    receipt = tmp_path / "receipt.yaml"
    receipt.write_text(RECEIPT, "utf-8")
    outcome = tally(Request(str(build)), str(receipt), str(tmp_path / "set"), when("writing", receipt.unlink))
    assert not has_errors(outcome.problems)
    assert (tmp_path / "set" / "tally.pdf").is_file()


def test_figures_name_the_build_without_the_folders_of_its_maker(build: Path, tmp_path: Path) -> None:
    assert not has_errors(render(Request(str(build)), str(tmp_path / "set")).problems)
    written = (tmp_path / "set" / "figures.json").read_text("utf-8")
    assert {figure["source"]["file"] for figure in json.loads(written)["figures"] if "source" in figure} == {  # type: ignore[index]
        "build.yaml"
    }
    assert str(tmp_path) not in written


# --- what is not a plain file -----------------------------------------------------------------------------------------


def told(build: Path, shop: str | None = None) -> list[str]:
    return [str(problem) for problem in check_build(str(build), shop)[2]]


def test_a_pipe_is_no_file(build: Path) -> None:
    """Nobody writes to it: to wait for its text would be to wait for ever."""
    shop = build.parent / "shop.yaml"
    os.mkfifo(shop)
    assert told(build) == [f"{shop}:1:1: this is not a plain file but a pipe or a device; save the text in a file"]
    shop.unlink()
    pipe = build.with_name("pipe.yaml")
    os.mkfifo(pipe)
    assert told(pipe) == [f"{pipe}:1:1: this is not a plain file but a pipe or a device; save the text in a file"]
    assert "pipe or a device" in told(Path("/dev/zero"))[0]
    receipt = build.with_name("receipt.csv")
    os.mkfifo(receipt)
    assert "pipe or a device" in str(tally(Request(str(build)), str(receipt), str(build.parent / "set")).problems[0])


def test_a_link_out_of_the_folder_is_not_followed_for_the_shop_file(build: Path, tmp_path: Path) -> None:
    """A plan from somebody else could hold a link to any file of the maker's."""
    (tmp_path / "mine.yaml").write_text(SHOP, "utf-8")
    shop = build.parent / "shop.yaml"
    shop.symlink_to("../mine.yaml")
    right = "copy the shop file here, or name it with --shop"
    assert told(build) == [f"{shop}:1:1: this link leads out of the build's folder and is not followed; {right}"]
    assert told(build, str(shop)) == []
    shop.unlink()
    (build.parent / "bench.yaml").write_text(SHOP, "utf-8")
    shop.symlink_to("bench.yaml")
    assert told(build) == []


@pytest.mark.parametrize(
    "secret",
    [
        "user:passphrase-1:1000\n",
        "passphrase-1\n",
        "a: !passphrase-1 x\n",
        "*passphrase-1\n",
        "k: passphrase #1\n",
        "a: 'passphrase-1\n",
        "passphrase-1: [\n",
        "@passphrase-1",
        "- passphrase-1\n- passphrase-1\n",
        "passphrase-1: 1\npassphrase-1: 2\n",
        "%passphrase-1 x\n",
        "passphrase-1 = 3\n[passphrase-1]\n",
    ],
)
def test_what_is_no_shop_file_is_not_repeated(build: Path, secret: str) -> None:
    (build.parent / "shop.yaml").write_text(secret, "utf-8")
    messages = told(build)
    assert messages
    assert "passphrase" not in "\n".join(messages)
    assert all(message.startswith(str(build.parent / "shop.yaml")) for message in messages)
