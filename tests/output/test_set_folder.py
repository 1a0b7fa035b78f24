"""What a run leaves alone: earlier sets when it fails, what others put beside a set, folders and files that are not its
own, and other runs at the same time."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from shopdocs.output import folder, workplace
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
@pytest.mark.parametrize("step", ["_fill", "carry", "Workplace.swap"])
def test_a_run_stopped_in_the_middle_leaves_the_earlier_set(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fault: BaseException, step: str
) -> None:
    out = tmp_path / "set"
    publish({"a.pdf": b"first", "tables/b.csv": b"first"}, out, False)
    (out / "mine.txt").write_bytes(b"mine")
    before = tree(tmp_path)

    def stop(*_: object) -> None:
        raise fault

    monkeypatch.setattr(f"shopdocs.output.folder.{step}", stop)
    with pytest.raises((FolderProblem, KeyboardInterrupt, MemoryError)):
        publish({"a.pdf": b"second"}, out, False)
    assert tree(tmp_path) == before
    assert [path.name for path in tmp_path.iterdir()] == ["set"]


def put_back(monkeypatch: pytest.MonkeyPatch) -> None:
    """As on a system that cannot exchange two names in one step."""
    monkeypatch.setattr(workplace, "exchange", lambda one, other: False)


@pytest.mark.parametrize("fault", [OSError(13, "Permission denied"), KeyboardInterrupt()])
def test_the_old_set_comes_back_where_the_second_of_two_renames_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fault: BaseException
) -> None:
    out = tmp_path / "set"
    publish({"a.pdf": b"first"}, out, False)
    rename = Path.rename
    put_back(monkeypatch)
    faults = iter([fault, OSError(13, "Permission denied")])

    def refuse(self: Path, target: Path) -> Path:
        if Path(target) == out and self.name == "new":
            raise next(faults)
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", refuse)
    with pytest.raises((FolderProblem, KeyboardInterrupt)):
        publish({"a.pdf": b"second"}, out, False)
    assert tree(out)["a.pdf"] == b"first"
    assert [path.name for path in tmp_path.iterdir()] == ["set"]


def stopping(name: str, before: bool, after: int = 1) -> Callable[[], None]:
    """What ends the process at once, as a kill does, at the call number `after` of a function: before or behind it."""

    def arm() -> None:
        where, _, word = name.rpartition(".")
        holder = {"folder": folder, "workplace": workplace, "Path": Path, "Workplace": workplace.Workplace}[where]
        work = getattr(holder, word)
        calls = iter(range(1, 1000))

        def stop(*given: Any, **named: Any) -> Any:
            last = next(calls) == after
            if last and before:
                os._exit(9)
            result = work(*given, **named)
            if last:
                os._exit(9)
            return result

        setattr(holder, word, stop)

    return arm


def in_a_process(arm: Callable[[], None], files: dict[str, bytes], out: Path) -> None:
    arm()
    publish(files, out, False)


OLD = {"a.pdf": b"old", "tables/b.csv": b"old", "c.pdf": b"old"}
NEW = {"a.pdf": b"new", "tables/b.csv": b"new", "d.pdf": b"new"}
MINE = {"note.txt": b"mine", "tables/mine.csv": b"mine"}
MOMENTS = [
    *((f"Path.write_bytes {n}", stopping("Path.write_bytes", True, n)) for n in range(1, 5)),
    ("carry", stopping("folder.carry", True)),
    ("carried", stopping("folder.carry", False)),
    ("recorded", stopping("Path.write_text", False)),
    ("late files", stopping("workplace.carry_late", True)),
    ("late files over", stopping("workplace.carry_late", False)),
    *(
        (f"rename {n}{' done' if done else ''}", stopping("Path.rename", not done, n))
        for n in (1, 2, 3)
        for done in (0, 1)
    ),
    ("cleared", stopping("Workplace.settle", False, 2)),
]


@pytest.mark.parametrize("at_once", [True, False], ids=["exchange", "two renames"])
@pytest.mark.parametrize(("moment", "arm"), MOMENTS, ids=[name for name, _ in MOMENTS])
def test_a_killed_run_leaves_one_set_whole_and_the_next_one_clears_up(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, moment: str, arm: Callable[[], None], at_once: bool
) -> None:
    out = tmp_path / "set"
    publish(OLD, out, False)
    for name, content in MINE.items():
        (out / name).write_bytes(content)
    if not at_once:
        put_back(monkeypatch)
    process = multiprocessing.get_context("fork").Process(target=in_a_process, args=(arm, NEW, out))
    process.start()
    process.join()
    assert process.exitcode in (0, 9)
    if at_once:
        assert process.exitcode == 9 or "rename" in moment
    found = {name: content for name, content in tree(out).items() if name != LIST} if out.exists() else None
    between = not at_once and moment in ("rename 1 done", "rename 2")
    assert found in ({**OLD, **MINE}, {**NEW, **MINE}) or (between and found is None)
    publish({"a.pdf": b"third"}, out, False)
    assert tree(tmp_path / "set") == {"a.pdf": b"third", **MINE, LIST: b"a.pdf\n"}
    assert [path.name for path in tmp_path.iterdir()] == ["set"]


def test_what_is_put_into_the_old_set_in_the_last_instant_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While the new set is filled, the maker saves a note and changes another."""
    out = tmp_path / "set"
    publish(OLD, out, False)
    (out / "note.txt").write_bytes(b"mine")
    swap = workplace.Workplace.swap

    def late(self: workplace.Workplace) -> None:
        (out / "late.txt").write_bytes(b"late")
        (out / "note.txt.new").write_bytes(b"changed")
        (out / "note.txt.new").replace(out / "note.txt")
        swap(self)

    monkeypatch.setattr(workplace.Workplace, "swap", late)
    publish(NEW, out, False)
    assert {name: content for name, content in tree(out).items() if name != LIST} == {
        **NEW,
        "note.txt": b"changed",
        "late.txt": b"late",
    }


def test_a_stop_after_the_sets_have_changed_places_is_too_late(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out = tmp_path / "set"
    publish(OLD, out, False)

    def stop(*_: object) -> None:
        monkeypatch.undo()
        raise KeyboardInterrupt

    monkeypatch.setattr(workplace, "carry_late", stop)
    publish(NEW, out, False)
    assert {name: content for name, content in tree(out).items() if name != LIST} == NEW
    assert [path.name for path in tmp_path.iterdir()] == ["set"]


def test_the_set_is_there_at_every_instant(tmp_path: Path) -> None:
    """Another process looks all the while; where names cannot be exchanged there is an instant between two renames."""
    one, other = tmp_path / "one", tmp_path / "other"
    one.mkdir()
    other.mkdir()
    if not workplace.exchange(one, other):
        pytest.skip("this file system cannot exchange two names")
    out = tmp_path / "set"
    publish({"a.pdf": b"0"}, out, False)
    process = multiprocessing.get_context("fork").Process(target=publish_often, args=(out, 1))
    process.start()
    missed = looked = 0
    while process.is_alive():
        looked += 1
        missed += not os.path.exists(out / LIST)
    process.join()
    assert process.exitcode == 0
    assert looked > 100
    assert missed == 0


def test_a_mount_point_is_told_with_what_cures_it(tmp_path: Path) -> None:
    """/proc is a file system of its own wherever there is one."""
    if not os.path.ismount("/proc"):
        pytest.skip("no /proc here")
    with pytest.raises(FolderProblem) as caught:
        publish({"a.pdf": b"1"}, Path("/proc"), False)
    assert "mount point" in caught.value.wrong
    assert "/proc/set" in caught.value.right


def test_a_long_name_has_room_for_the_hidden_folder(tmp_path: Path) -> None:
    for name in ("x" * 250, "木" * 84):
        publish({"a.pdf": b"1"}, tmp_path / name, False)
        publish({"a.pdf": b"2"}, tmp_path / name, False)
        assert tree(tmp_path / name)["a.pdf"] == b"2"


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
        "a.pdf": b"2",
        "records/c.html": b"2",
        "note.txt": b"mine",
        "photos/oak.jpg": b"jpg",
        "tables/mine.csv": b"mine",
        LIST: b"a.pdf\nrecords/c.html\n",
    }
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
