"""The command line: exit codes, what is written, and what every option does."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from pypdf import PdfReader

from shopdocs.__main__ import run as run_program
from shopdocs.cli import main
from shopdocs.output.folder import LIST
from shopdocs.pipeline import Outcome, Request

SAMPLES = Path(__file__).parents[2] / "sample_builds"
TOTE = SAMPLES / "seed_tote" / "build.yaml"
SMALL = """\
build: {title: Stool, mark: ST, units: in}
materials: {oak 4/4: {kind: hardwood}}
parts: {seat: {material: oak 4/4, size: 3/4 x 6 x 12, count: 2}}
"""
DOUBTFUL = SMALL.replace("oak 4/4: {kind: hardwood}", "oak 4/4: {kind: hardwood}, elm 4/4: {kind: hardwood}")
WRONG = SMALL.replace("3/4 x 6 x 12", "3/4 x 0 x 12")


@pytest.fixture
def small(tmp_path: Path) -> Path:
    path = tmp_path / "build.yaml"
    path.write_text(SMALL, "utf-8")
    return path


def tree(path: Path) -> dict[str, bytes]:
    """Every file below a folder with its content."""
    return {p.relative_to(path).as_posix(): p.read_bytes() for p in path.rglob("*") if p.is_file()}


def run(*words: object) -> int:
    return main([str(word) for word in words])


# --- exit codes -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "options", "code"),
    [
        (SMALL, [], 0),
        (SMALL, ["--strict"], 0),
        (DOUBTFUL, [], 0),
        (DOUBTFUL, ["--strict"], 1),
        (WRONG, [], 2),
        (WRONG, ["--strict"], 2),
        ("", [], 2),
    ],
)
def test_exit_codes(tmp_path: Path, text: str, options: list[str], code: int) -> None:
    path = tmp_path / "build.yaml"
    path.write_text(text, "utf-8")
    assert run("check", path, *options) == code
    assert run("render", path, "--out", tmp_path / "set", "--only", "cut-list", *options) == code
    assert (tmp_path / "set").exists() == (code < 2)
    assert {p.name for p in tmp_path.iterdir()} <= {"build.yaml", "set"}


def test_the_package_itself_is_the_command(small: Path) -> None:
    """As `python -m shopdocs`, and a mistake is one line with its place, no traceback."""
    small.write_text(WRONG, "utf-8")
    done = subprocess.run([sys.executable, "-m", "shopdocs", "check", str(small)], capture_output=True, text=True)
    assert done.returncode == 2
    assert re.fullmatch(rf"{re.escape(str(small))}:3:\d+: .*; .*\n", done.stderr), done.stderr


def test_problems_are_told_on_the_error_stream(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "build.yaml"
    path.write_text(WRONG, "utf-8")
    assert run("check", path) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert re.fullmatch(rf"{re.escape(str(path))}:3:47: '0' is not more than zero; [^\n]+\n", told.err)


def test_a_good_build_is_summed_up_in_one_line(small: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("check", small) == 0
    told = capsys.readouterr()
    assert told.out == f"{small}: Stool, 2 pieces of 1 part\n"
    assert told.err == ""


@pytest.mark.parametrize(
    "words",
    [
        ["render", "{build}"],
        ["render", "{build}", "--out", "{out}", "--paper", "a3"],
        ["render", "{build}", "--out", "{out}", "--units", "cm"],
        ["render", "{build}", "--out", "{out}", "--used", "-1"],
        ["render", "{build}", "--out", "{out}", "--used", "two"],
        ["render", "{build}", "--out", "{out}", "--records", "javascript:alert(1)"],
        ["render", "{build}", "--out", "{out}", "--records", "https://example.org/a b"],
        ["render", "{build}", "--out", "{out}", "--effort", "few"],
        ["render", "{build}", "--out", "{out}", "--effort", "1000001"],
        ["render", "{build}", "--out", "{out}", "--date", " "],
        ["render", "{build}", "--out", "{out}", "--date", "1 May" + 36 * "!"],
        ["render", "{build}", "--out", "{out}", "--date", "1 May\u202e2031"],
        ["preview", "{build}", "--port", "65536"],
        ["preview", "{build}", "--port", "100000"],
        ["preview", "{build}", "--port", "http"],
        ["render", "{build}", "--out", "{out}", "--bogus"],
        ["bogus"],
    ],
)
def test_what_cannot_be_asked_for(small: Path, tmp_path: Path, words: list[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        run(*(word.format(build=small, out=tmp_path / "set") for word in words))
    assert stopped.value.code == 2
    assert not (tmp_path / "set").exists()


@pytest.mark.parametrize(
    "options",
    [
        ["--only", "cutlist"],
        ["--only", ","],
        ["--only", "cut-list", "nothing"],
        ["--labels", "L31"],
        ["--used", "100000"],
        ["--shop", "missing.yaml"],
    ],
)
def test_what_is_asked_for_and_is_not_there(
    small: Path, tmp_path: Path, options: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("render", small, "--out", tmp_path / "set", *options) == 2
    assert re.match(r"[^\n]+:1:1: [^\n]+; [^\n]+\n$", capsys.readouterr().err)
    assert not (tmp_path / "set").exists()


def test_a_misspelt_document_is_guessed(small: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("render", small, "--out", tmp_path / "set", "--only", "cutlist") == 2
    assert "did you mean 'cut-list'?" in capsys.readouterr().err


def test_version_and_no_command(capsys: pytest.CaptureFixture[str]) -> None:
    from shopdocs import __version__

    assert run("--version") == 0
    assert capsys.readouterr().out == f"shopdocs {__version__}\n"
    assert run() == 2
    assert "render" in capsys.readouterr().out


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "utf-8"])
def test_a_terminal_that_lacks_the_letters(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "строй.yaml"
    path.write_text(SMALL.replace("Stool", "凳子"), "utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "shopdocs", "check", str(path)],
        capture_output=True,
        env={**os.environ, "PYTHONIOENCODING": encoding},
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, b"")


def test_a_reader_that_has_seen_enough(tmp_path: Path) -> None:
    """`shopdocs reference | head -1` ends quietly."""
    with subprocess.Popen(
        [sys.executable, "-m", "shopdocs", "reference"], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait() == 0


# --- what is written --------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def tote(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("tote") / "set"
    assert run("render", TOTE, "--out", out) == 0
    return out


def test_the_whole_set(tote: Path) -> None:
    names = set(tree(tote))
    assert {"set.pdf", "title.pdf", "cut-list.pdf", "lumber.pdf", "shopping.pdf", "labels.pdf"} <= names
    assert {"figures.json", "records/index.html", "records/st-e1.html", LIST} <= names
    made_from, *listed = (tote / LIST).read_text("utf-8").splitlines()
    assert made_from.startswith("# made from ")
    assert set(listed) == names - {LIST}
    for name in names:
        if name.endswith(".pdf"):
            assert len(PdfReader(tote / name).pages) >= 1


def test_the_closing_table_names_what_was_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "set"
    assert run("render", TOTE, "--out", out) == 0
    told = capsys.readouterr().out
    for name, count, kilobytes in re.findall(r"^  (\S+)  +(?:(\d+) \w+)?  +([\d.]+) kB$", told, re.M):
        path = out / name
        files = [p for p in path.rglob("*") if p.is_file()] if path.is_dir() else [path]
        assert abs(sum(p.stat().st_size for p in files) / 1000 - float(kilobytes)) <= 0.05
        if name.endswith(".pdf"):
            assert len(PdfReader(path).pages) == int(count)
        elif path.is_dir():
            assert len(files) == int(count)
    assert len(re.findall(r" kB$", told, re.M)) >= 8


def test_the_same_build_gives_the_same_bytes(tote: Path, tmp_path: Path) -> None:
    out = tmp_path / "again"
    assert run("render", TOTE, "--out", out) == 0
    assert tree(out) == tree(tote)


@pytest.mark.parametrize(("paper", "width", "height"), [("letter", 612, 792), ("a4", 595.276, 841.890)])
def test_paper(small: Path, tmp_path: Path, paper: str, width: float, height: float) -> None:
    """ANSI/ASME Y14.1 (8.5 x 11 in) and ISO 216 (210 x 297 mm) in points of 1/72 in."""
    out = tmp_path / paper
    assert run("render", small, "--out", out, "--only", "cut-list", "--paper", paper) == 0
    page = PdfReader(out / "cut-list.pdf").pages[0].mediabox
    assert (float(page.width), float(page.height)) == pytest.approx((width, height), abs=0.01)


@pytest.mark.parametrize(("date", "shown"), [(" 12  May\t2031 ", "12 May 2031"), (40 * "x", 40 * "x")])
def test_a_date_is_printed_as_it_is_written(small: Path, tmp_path: Path, date: str, shown: str) -> None:
    out = tmp_path / "set"
    assert run("render", small, "--out", out, "--only", "cut-list", "--date", date) == 0
    assert shown in PdfReader(out / "cut-list.pdf").pages[0].extract_text()


def test_rounds_that_are_asked_for(small: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """As many as are written are searched, up to a million."""
    asked: list[int | None] = []

    def render(request: Request, *_: object) -> Outcome:
        asked.append(request.effort)
        return Outcome(())

    monkeypatch.setattr("shopdocs.pipeline.render_alone", render)
    for rounds in ("7", "1000000"):
        assert run("render", small, "--out", tmp_path / "set", "--effort", rounds) == 0
    assert asked == [7, 1_000_000]


def test_the_port_of_the_preview(small: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[int] = []

    def run_preview(build: str, shop: str | None, port: int, open_to_network: bool) -> int:
        asked.append(port)
        return 0

    monkeypatch.setattr("shopdocs.preview.run.run_preview", run_preview)
    for port in ("0", "65535"):
        assert run("preview", small, "--port", port) == 0
    assert asked == [0, 65535]


def test_units(small: Path, tmp_path: Path) -> None:
    """3/4 x 6 x 12 in are 19.05 x 152.4 x 304.8 mm, here to 0.5 mm."""
    assert run("render", small, "--out", tmp_path / "set", "--only", "cut-list", "--units", "mm") == 0
    words = PdfReader(tmp_path / "set" / "cut-list.pdf").pages[0].extract_text()
    assert "≈19 × 152.5 × 305" in words


def test_used_labels_are_left_free(small: Path, tmp_path: Path) -> None:
    """Two pieces on a sheet of 30 of which 29 are used take two sheets."""
    for used, pages in (("0", 1), ("28", 1), ("29", 2)):
        out = tmp_path / used
        assert run("render", small, "--out", out, "--only", "labels", "--labels", "letter-30", "--used", used) == 0
        assert len(PdfReader(out / "labels.pdf").pages) == pages


@pytest.mark.parametrize("address", ["https://example.org/st", "https://example.org/st/"])
def test_the_address_of_the_records_is_coded(small: Path, tmp_path: Path, address: str) -> None:
    import pypdfium2 as pdfium
    import zxingcpp

    out = tmp_path / "set"
    assert run("render", small, "--out", out, "--only", "labels", "--records", address) == 0
    picture = pdfium.PdfDocument(out / "labels.pdf")[0].render(scale=300 / 72).to_pil()
    found = sorted(code.text for code in zxingcpp.read_barcodes(picture))
    assert found == ["https://example.org/st/st-s1.html", "https://example.org/st/st-s2.html"]


def test_only_some_documents(tote: Path, tmp_path: Path) -> None:
    out = tmp_path / "set"
    assert run("render", TOTE, "--out", out, "--only", "cut-list", "labels") == 0
    assert {name for name in tree(out) if name.endswith(".pdf")} == {"cut-list.pdf", "labels.pdf"}


def test_only_keeps_the_rest_of_a_set_that_is_still_true(small: Path, tmp_path: Path) -> None:
    out = tmp_path / "set"
    assert run("render", small, "--out", out) == 0
    (out / "mine.txt").write_bytes(b"mine")
    before = tree(out)
    assert run("render", small, "--out", out, "--only", "cut-list") == 0
    after = tree(out)
    assert after.keys() == before.keys()
    assert not {name for name in after if after[name] != before[name]} - {"cut-list.pdf"}


def test_only_takes_away_what_an_older_build_says(
    small: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Sheets, figures and records of 12 must not lie beside a cut list of 14."""
    out = tmp_path / "set"
    assert run("render", small, "--out", out) == 0
    (out / "mine.txt").write_bytes(b"mine")
    assert "figures.json" in tree(out)
    assert any(name.startswith("records/") for name in tree(out))
    small.write_text(SMALL.replace("12", "14"), "utf-8")
    capsys.readouterr()
    assert run("render", small, "--out", out, "--only", "cut-list") == 0
    assert tree(out).keys() == {".shopdocs-files", "cut-list.pdf", "tables/cut-list.csv", "mine.txt"}
    told = "".join(capsys.readouterr())
    for name in ("set.pdf", "figures.json", "records/"):
        assert name in told
    assert "mine.txt" not in told


def test_only_in_other_units_takes_away_the_list_of_figures(small: Path, tmp_path: Path) -> None:
    """It says how they are printed, which is no longer so for all; the other sheets are as true as before."""
    out = tmp_path / "set"
    assert run("render", small, "--out", out) == 0
    before = tree(out)
    assert run("render", small, "--out", out, "--only", "cut-list", "--units", "mm") == 0
    assert before.keys() - tree(out).keys() == {"figures.json"}


# --- the other commands -----------------------------------------------------------------------------------------------


def test_start_writes_a_build_that_renders(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    made = tmp_path / "new" / "stool"
    assert run("start", made) == 0
    assert run("check", made / "build.yaml", "--strict") == 0
    assert run("render", made / "build.yaml", "--out", made / "set") == 0
    assert (made / "set" / "set.pdf").exists()
    capsys.readouterr()
    before = tree(made)
    assert run("start", made) == 2
    assert "is there already" in capsys.readouterr().err
    assert tree(made) == before


def test_start_where_nothing_can_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    assert run("start", tmp_path / "file" / "new") == 2
    assert run("start", tmp_path / ("x" * 300)) == 2


def test_list_names_everything_that_can_be_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    from shopdocs.documents.catalogue import NAMES
    from shopdocs.page.label_sheets import label_sheet_keys

    assert run("list") == 0
    words = capsys.readouterr().out.split("\n")
    for name in (*NAMES, *label_sheet_keys(), "letter", "a4", "slow epoxy", "hardwax oil", "single screw"):
        assert any(word == f"  {name}" or word.startswith(f"  {name}  ") for word in words)


@pytest.mark.parametrize("words", [["--help"], ["render", "--help"], ["check", "--help"], ["start", "--help"]])
def test_help(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        run(*words)
    assert stopped.value.code == 0
    assert "usage: shopdocs" in capsys.readouterr().out


def test_figures_are_json_and_name_their_lines(tote: Path) -> None:
    figures = json.loads((tote / "figures.json").read_text("utf-8"))["figures"]
    lines = TOTE.read_text("utf-8").split("\n")
    for figure in figures:
        if "source" in figure and figure["source"]["file"] == TOTE.name:
            assert 1 <= figure["source"]["line"] <= len(lines)
    side = next(f for f in figures if f["name"] == "side · finished · length")
    assert (side["exact"], side["unit"]) == ("406.4", "mm")  # 16 in
    assert "side:" in lines[side["source"]["line"] - 1]


class Panic(BaseException):
    """What a library that is no Python makes of an interruption."""


def test_a_stopped_run_says_so_whatever_the_interruption_became(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def interrupted(*_: object) -> None:
        try:
            os.kill(os.getpid(), signal.SIGINT)
            time.sleep(5)
        except KeyboardInterrupt as stop:
            raise Panic from stop

    monkeypatch.setattr("shopdocs.pipeline.check_build", interrupted)
    before = signal.getsignal(signal.SIGINT)
    assert main(["check", str(tmp_path / "build.yaml")]) == 130
    assert capsys.readouterr().err == "stopped; nothing was changed\n"
    assert signal.getsignal(signal.SIGINT) is before


def test_a_stop_while_an_object_is_taken_away_is_not_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Python prints what is raised there and goes on (language reference, object.__del__), as it does in the callbacks
    of weak references that every import makes."""

    class Leaving:
        def __del__(self) -> None:
            os.kill(os.getpid(), signal.SIGTERM)
            sum(range(100))  # the handler runs between two steps of Python, here at the latest

    def interrupted(*_: object) -> None:
        Leaving()
        for _ in range(500):
            time.sleep(0.01)

    monkeypatch.setattr("shopdocs.pipeline.check_build", interrupted)
    hook, before = sys.unraisablehook, time.monotonic()
    assert main(["check", str(tmp_path / "build.yaml")]) == 128 + signal.SIGTERM
    assert time.monotonic() - before < 4
    assert capsys.readouterr().err == "stopped; nothing was changed\n"
    assert sys.unraisablehook is hook


def test_what_nobody_stopped_is_not_called_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise Panic

    monkeypatch.setattr("shopdocs.pipeline.check_build", broken)
    with pytest.raises(Panic):
        main(["check", str(tmp_path / "build.yaml")])


def listens(process: int) -> bool:
    """Whether the process has a handler of its own for SIGTERM, which Python has not; True where no system tells."""
    status = Path(f"/proc/{process}/status")
    if not status.exists():
        return True
    caught = next(line for line in status.read_text().splitlines() if line.startswith("SigCgt:"))
    return bool(int(caught.split()[1], 16) >> (signal.SIGTERM - 1) & 1)


def start_of(*words: object, at: float, by: signal.Signals) -> tuple[int, str]:
    """Exit code and messages of a run in a process of its own that is sent a signal so many seconds after it began to
    listen for one: Python alone may take a second to start where much else is running."""
    command = [sys.executable, "-m", "shopdocs", *map(str, words)]
    process = subprocess.Popen(command, stderr=subprocess.PIPE, stdout=subprocess.DEVNULL, text=True)
    while process.poll() is None and not listens(process.pid):
        time.sleep(0.005)
    time.sleep(at)
    process.send_signal(by)
    return process.wait(), process.communicate()[1]


@pytest.mark.parametrize("by", [signal.SIGINT, signal.SIGTERM])
@pytest.mark.parametrize("at", [0.1, 0.2, 0.4, 0.8])
def test_a_run_stopped_at_any_time_leaves_no_trace(tmp_path: Path, at: float, by: signal.Signals) -> None:
    """What is sent before the program is loaded ends it as the system does; Python's own start, some hundredths of a
    second, is not ours to change."""
    code, said = start_of("render", TOTE, "--out", tmp_path / "set", at=at, by=by)
    assert "Traceback" not in said
    assert code in (0, 128 + by, -by)
    if code == 128 + by:
        assert said in ("stopped; nothing was changed\n", "stopped; the new set stands\n")
    assert [path.name for path in tmp_path.iterdir()] == (["set"] if (tmp_path / "set").exists() else [])


def test_what_waits_for_a_stop_is_there_before_anything_is_loaded() -> None:
    """Python's own start ends with `sys` and what that needs; a stop while `signal` is loaded would leave a trace."""
    program = """if True:
        import sys, types
        sys.modules["shopdocs.cli"] = types.ModuleType("shopdocs.cli")
        sys.modules["shopdocs.cli"].main = lambda: print("signal" in sys.modules, "enum" in sys.modules) or 0
        from shopdocs.__main__ import program
        program()
    """
    root = Path(__file__).parents[2]
    run = subprocess.run([sys.executable, "-S", "-c", program], capture_output=True, text=True, cwd=root, check=True)
    assert run.stdout == "False False\n"


@pytest.mark.parametrize("by", [signal.SIGINT, signal.SIGTERM])
def test_a_stop_in_the_moment_when_the_watch_begins_or_ends_leaves_no_trace(by: signal.Signals) -> None:
    """Sent by what `main` calls first once it listens, and again by what it calls last: none is told twice."""
    program = f"""if True:
        import os, signal, sys
        from shopdocs import cli
        given = signal.signal
        def sends(number, handler):
            before = given(number, handler)
            if number == signal.SIGTERM and {{}}:
                os.kill(os.getpid(), {int(by)})
            return before
        signal.signal = sends
        sys.argv = ["shopdocs", "list"]
        from shopdocs.__main__ import program
        program()
    """
    root = Path(__file__).parents[2]
    for when in ("callable(handler)", "handler == signal.SIG_DFL"):
        command = [sys.executable, "-c", program.format(when)]
        run = subprocess.run(command, capture_output=True, text=True, cwd=root, check=False)
        assert "Traceback" not in run.stderr and run.returncode in (128 + by, -by, 130), (when, run.stderr)


def test_a_fault_of_the_program_is_no_warning(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*_: object) -> int:
        raise ArithmeticError("by a slip of ours")

    before = [signal.getsignal(each) for each in (signal.SIGINT, signal.SIGTERM)]
    monkeypatch.setattr("shopdocs.cli.main", broken)
    try:
        assert run_program() == 3
    finally:
        for each, handler in zip((signal.SIGINT, signal.SIGTERM), before, strict=True):
            signal.signal(each, handler)
    said = capsys.readouterr().err
    assert "ArithmeticError: by a slip of ours" in said
    assert "a fault in shopdocs" in said
