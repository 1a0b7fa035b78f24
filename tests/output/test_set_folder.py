"""What a run leaves alone: earlier sets when it fails, what others put beside a set, folders and files that are not its
own, and other runs at the same time."""

from __future__ import annotations

import multiprocessing
from pathlib import Path

import pytest

from shopdocs.output import folder
from shopdocs.output.folder import LIST, FolderProblem, publish
from tests.cli.test_command_line import SMALL, WRONG, run, tree


@pytest.fixture
def small(tmp_path: Path) -> Path:
    path = tmp_path / "build.yaml"
    path.write_text(SMALL, "utf-8")
    return path


def test_a_failed_run_leaves_the_earlier_set(small: Path, tmp_path: Path) -> None:
    out = tmp_path / "set"
    assert run("render", small, "--out", out, "--only", "cut-list") == 0
    before = tree(tmp_path)
    small.write_text(WRONG, "utf-8")
    assert run("render", small, "--out", out, "--only", "cut-list") == 2
    small.write_text(SMALL, "utf-8")
    assert tree(tmp_path) == before


@pytest.mark.parametrize("fault", [OSError(28, "No space left on device"), KeyboardInterrupt(), MemoryError()])
@pytest.mark.parametrize("step", ["_fill", "_carry", "_swap"])
def test_a_run_stopped_in_the_middle_leaves_the_earlier_set(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fault: BaseException, step: str
) -> None:
    out = tmp_path / "set"
    publish({"a.pdf": b"first", "tables/b.csv": b"first"}, out, False)
    (out / "mine.txt").write_bytes(b"mine")
    before = tree(tmp_path)

    def stop(*_: object) -> None:
        raise fault

    monkeypatch.setattr(folder, step, stop)
    with pytest.raises((FolderProblem, KeyboardInterrupt, MemoryError)):
        publish({"a.pdf": b"second"}, out, False)
    assert tree(tmp_path) == before
    assert [path.name for path in tmp_path.iterdir()] == ["set"]


@pytest.mark.parametrize("fault", [OSError(13, "Permission denied"), KeyboardInterrupt()])
def test_a_run_stopped_between_the_two_renames(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fault: BaseException
) -> None:
    out = tmp_path / "set"
    publish({"a.pdf": b"first"}, out, False)
    rename = Path.rename

    def refuse(self: Path, target: Path) -> Path:
        if Path(target) == out and not self.name.endswith(".before"):
            raise fault
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", refuse)
    with pytest.raises((FolderProblem, KeyboardInterrupt)):
        publish({"a.pdf": b"second"}, out, False)
    assert tree(out)["a.pdf"] == b"first"
    assert [path.name for path in tmp_path.iterdir()] == ["set"]


def test_an_interrupted_command_says_so(
    small: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(folder, "_fill", stop)
    assert run("render", small, "--out", tmp_path / "set", "--only", "cut-list") == 130
    assert "nothing was changed" in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == ["build.yaml"]


def test_what_others_put_beside_a_set_stays(tmp_path: Path) -> None:
    out = tmp_path / "set"
    publish({"a.pdf": b"1", "tables/b.csv": b"1"}, out, False)
    (out / "note.txt").write_text("mine")
    (out / "photos").mkdir()
    (out / "photos" / "oak.jpg").write_bytes(b"jpg")
    (out / "empty").mkdir()
    (out / "tables" / "mine.csv").write_text("mine")
    (out / "link").symlink_to("photos")
    (out / "dangling").symlink_to("nowhere")
    out.chmod(0o750)
    publish({"a.pdf": b"2", "records/c.html": b"2"}, out, False)
    assert tree(out) == {
        "a.pdf": b"2", "records/c.html": b"2", "note.txt": b"mine", "photos/oak.jpg": b"jpg",
        "tables/mine.csv": b"mine",
        LIST: b"a.pdf\nrecords/c.html\n",
    }  # fmt: skip
    assert (out / "empty").is_dir()
    assert (out / "link").readlink() == Path("photos")
    assert (out / "dangling").readlink() == Path("nowhere")
    assert out.stat().st_mode & 0o777 == 0o750


def test_stale_files_of_our_own_go_and_with_them_their_empty_folder(tmp_path: Path) -> None:
    out = tmp_path / "set"
    publish({"a.pdf": b"1", "tables/b.csv": b"1"}, out, False)
    publish({"a.pdf": b"2"}, out, False)
    assert set(tree(out)) == {"a.pdf", LIST}
    assert not (out / "tables").exists()
    publish({"c.pdf": b"3"}, out, True)
    assert set(tree(out)) == {"a.pdf", "c.pdf", LIST}


def refused(files: dict[str, bytes], out: Path) -> str:
    with pytest.raises(FolderProblem) as caught:
        publish(files, out, False)
    assert caught.value.right
    return caught.value.wrong


def test_nobodys_file_is_overwritten(tmp_path: Path) -> None:
    out = tmp_path / "set"
    publish({"a.pdf": b"1"}, out, False)
    (out / "b.pdf").write_bytes(b"mine")
    (out / "records").write_bytes(b"a file where a folder must be")
    before = tree(tmp_path)
    assert "'b.pdf' is there already" in refused({"b.pdf": b"2"}, out)
    assert "'records' is there already" in refused({"records/x.html": b"2"}, out)
    assert tree(tmp_path) == before


def test_folders_that_are_not_for_a_set(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_bytes(b"")
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "letter.txt").write_bytes(b"mine")
    (tmp_path / "here" / "below").mkdir(parents=True)
    (tmp_path / "me").symlink_to(tmp_path / "here")
    monkeypatch.chdir(tmp_path / "here" / "below")
    before = tree(tmp_path)
    files = {"a.pdf": b"1"}
    assert "is a file" in refused(files, tmp_path / "file")
    assert "holds other things" in refused(files, tmp_path / "full")
    for out in (Path(), Path(".."), tmp_path / "here", tmp_path / "me", Path("/")):
        assert "folder you stand in" in refused(files, out)
    refused(files, tmp_path / "file" / "set")
    refused(files, tmp_path / ("x" * 300))
    assert tree(tmp_path) == before


def test_a_folder_reached_by_a_link(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to("real")
    publish({"a.pdf": b"1"}, tmp_path / "link", False)
    publish({"a.pdf": b"2"}, tmp_path / "link", False)
    assert (tmp_path / "link").is_symlink()
    assert tree(tmp_path / "real")["a.pdf"] == b"2"


def test_a_tampered_list_leads_nowhere(tmp_path: Path) -> None:
    """The list of our own files is data: nothing outside the folder is touched because it stands there."""
    out = tmp_path / "set"
    publish({"a.pdf": b"1"}, out, False)
    (tmp_path / "victim.txt").write_bytes(b"mine")
    (out / LIST).write_text("a.pdf\n../victim.txt\n/etc/passwd\n\n..\n")
    publish({"a.pdf": b"2"}, out, True)
    assert (tmp_path / "victim.txt").read_bytes() == b"mine"
    assert tree(out) == {"a.pdf": b"2", LIST: b"a.pdf\n"}


def publish_often(out: Path, who: int) -> None:
    for turn in range(40):
        publish({f"{n}.pdf": f"{who} {turn}".encode() for n in range(6)}, out, False)


def test_runs_at_the_same_time_leave_one_whole_set_and_nothing_beside_it(tmp_path: Path) -> None:
    out = tmp_path / "set"
    publish({"0.pdf": b""}, out, False)
    (out / "note.txt").write_text("mine")
    runs = [multiprocessing.get_context("fork").Process(target=publish_often, args=(out, who)) for who in range(3)]
    for process in runs:
        process.start()
    for process in runs:
        process.join()
    assert [process.exitcode for process in runs] == [0, 0, 0]
    assert [path.name for path in tmp_path.iterdir()] == ["set"]
    found = tree(out)
    assert found.pop("note.txt") == b"mine"
    assert found.keys() == {*(f"{n}.pdf" for n in range(6)), LIST}
    assert len({content for name, content in found.items() if name != LIST}) == 1


@pytest.mark.parametrize("name", ["cut-list.pdf", "title.pdf"])
def test_a_build_is_not_replaced_by_a_sheet_of_its_name(
    small: Path, tmp_path: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "set"
    assert run("render", small, "--out", out, "--only", "cut-list", "title") == 0
    (out / name).write_text(SMALL, "utf-8")
    before = tree(tmp_path)
    assert run("render", out / name, "--out", out, "--only", "cut-list") == 2
    assert "would be replaced" in capsys.readouterr().err
    assert tree(tmp_path) == before


def test_a_shop_file_that_leads_nowhere_is_not_passed_over(
    small: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "shop.yaml").symlink_to("moved.yaml")
    assert run("check", small) == 2
    assert f"{tmp_path / 'shop.yaml'}:1:1: there is no such file" in capsys.readouterr().err
    (tmp_path / "shop.yaml").unlink()
    (tmp_path / "shop.yaml").mkdir()
    assert run("check", small) == 2
    assert "this is a folder" in capsys.readouterr().err
