"""Files that are no builds, builds that would burst, and builds broken at random: always problems with a place, never a
traceback, and never more work than the file is worth."""

from __future__ import annotations

import copy
import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopdocs.core.problems import Problem
from shopdocs.model.build import Build
from shopdocs.pipeline import check_build
from tests.examples import some

BUILDS = sorted((Path(__file__).parents[2] / "sample_builds").glob("*/build.yaml"))
SAMPLES = [path for path in BUILDS if path.parent.name != "potting_table"]  # its 45 pieces say no more, and take long
BENCH = next(path for path in BUILDS if path.parent.name == "threshold_bench")
HEAD = "build: {title: Stool, mark: ST, units: in}\nmaterials: {oak 4/4: {kind: hardwood}}\n"
PARTS = "parts: {seat: {material: oak 4/4, size: 3/4 x 6 x 12, count: 1}}\n"
WHOLE = HEAD + PARTS
SLOW = [HealthCheck.function_scoped_fixture, HealthCheck.too_slow]


def read(folder: Path, content: bytes | str) -> tuple[Build | None, tuple[Problem, ...]]:
    path = folder / "build.yaml"
    path.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8", "surrogatepass"))
    build, _, problems = check_build(str(path))
    return build, problems


def codes(problems: tuple[Problem, ...]) -> set[str]:
    return {problem.code for problem in problems}


# --- files ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "content",
    [
        WHOLE,
        "\ufeff" + WHOLE,
        WHOLE.replace("\n", "\r\n"),
        WHOLE.replace("\n", "\r"),
        WHOLE.rstrip("\n"),
        "%YAML 1.1\n---\n" + WHOLE + "...\n",
        "\n" * 2000 + WHOLE,
        "#" + "x" * 3_000_000 + "\n" + WHOLE,
    ],
    ids=["plain", "BOM", "CRLF", "CR", "no last line end", "directive", "far down", "long comment"],
)
def test_one_build_however_it_was_saved(tmp_path: Path, content: str) -> None:
    build, problems = read(tmp_path, content)
    assert problems == ()
    assert build is not None
    assert [piece.mark for _, piece in build.pieces()] == ["S1"]


@pytest.mark.parametrize(
    ("content", "code", "line", "column"),
    [
        (b"", "empty", 1, 1),
        (b"  \n\n", "empty", 1, 1),
        (b"# nothing yet\n", "empty", 1, 1),
        (b"---\n...\n", "shape", 2, 1),
        (b"~\n", "shape", 1, 1),
        (b"build:\n  title: M\xf6bel\n", "encoding", 2, 11),
        (b"\xff\xfeb\x00u\x00", "encoding", 1, 1),
        (b"build: '\xed\xa0\x80'\n", "encoding", 1, 9),
        (b"build: '\xc0\xaf'\n", "encoding", 1, 9),
        (b"\x00\x00\x00", "character", 1, 1),
        (b"build:\n\ttitle: x\n", "yaml", 2, 1),
        (b"build: {title: 'a\x07b'}\n", "character", 1, 18),
        ("build: {title: a\u202eb}\n".encode(), "character", 1, 17),
        ("build: {title: a\u2028b}\n".encode(), "character", 1, 17),
        ("build: {title: a\ufeffb}\n".encode(), "character", 1, 17),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "encoding", 1, 1),
        (b"%PDF-1.7\n", "yaml", 1, 7),
        (b'{"build": {"title": 3', "yaml", 1, 22),
        (b"<html><b>no</b></html>", "shape", 1, 1),
        (b"x" * 4_000_001, "size", 1, 1),
    ],
)
def test_what_is_no_build(tmp_path: Path, content: bytes, code: str, line: int, column: int) -> None:
    build, problems = read(tmp_path, content)
    assert code in codes(problems)
    first = next(problem for problem in problems if problem.code == code)
    assert (first.at.line, first.at.column) == (line, column)
    assert build is None or codes(problems) - {"character"}


def test_a_file_that_cannot_be_read(tmp_path: Path) -> None:
    for name in ("missing.yaml", "", "a/b/c.yaml", "x" * 300):
        build, _, problems = check_build(str(tmp_path / name))
        assert build is None
        assert codes(problems) == {"no-file"}
    (tmp_path / "build.yaml").write_text(WHOLE, "utf-8")
    _, _, problems = check_build(str(tmp_path / "build.yaml"), str(tmp_path / "no-shop.yaml"))
    assert [(problem.code, Path(problem.at.file).name) for problem in problems] == [("no-file", "no-shop.yaml")]


def test_a_link_that_leads_to_itself(tmp_path: Path) -> None:
    (tmp_path / "loop.yaml").symlink_to(tmp_path / "loop.yaml")
    assert codes(check_build(str(tmp_path / "loop.yaml"))[2]) == {"no-file"}


# --- what would burst -------------------------------------------------------------------------------------------------


def bomb(levels: int) -> str:
    """Ten times ten times ten ... values, in a few hundred letters."""
    lines = ["a0: &a0 [" + ", ".join("x" * 10) + "]"]
    lines += [f"a{i}: &a{i} [" + ", ".join([f"*a{i - 1}"] * 10) + "]" for i in range(1, levels)]
    return "\n".join(lines) + "\n"


def many(count: int, line: str) -> str:
    return "".join(line.format(i=i, next=i + 1) for i in range(count))


@pytest.mark.thorough
@pytest.mark.parametrize(
    ("content", "code"),
    [
        (bomb(9) + WHOLE, "size"),
        (bomb(5) + WHOLE, "unknown-key"),
        (HEAD + "parts:\n  p: &p {material: oak 4/4, size: 1 x 2 x 3}\n" + many(80_000, "  q{i}: *p\n"), "size"),
        (HEAD + "dimensions:\n" + many(201_000, "  ? a\n"), "size"),
        (HEAD + "buy: " + "[" * 900 + "]" * 900, "nesting"),
        (HEAD + "buy: " + "[" * 100_000, "yaml"),
        ("{a: " * 100_000, "nesting"),
        ("- " * 100_000, "nesting"),
        ("".join("  " * i + "k:\n" for i in range(300)), "nesting"),
        (HEAD + "buy: '" + "x" * 3_000_000 + "'\n" + PARTS, "long-text"),
        (HEAD + "dimensions:\n" + many(5000, "  d{i}: d{next} + 1\n") + "  d5000: d0\n" + PARTS, "cycle"),
        (HEAD + "dimensions:\n  d0: 1\n" + many(2000, "  d{next}: d{i} + d{i}\n") + PARTS, "length"),
        (HEAD + "dimensions:\n  d0: 1\n" + many(2000, "  d{next}: d{i} / 3\n") + PARTS, "length"),
        (HEAD + "dimensions: {a: " + "(" * 250 + "1" + ")" * 250 + "}\n" + PARTS, "length"),
        (HEAD + "dimensions: {a: '" + "-" * 280 + "1'}\n" + "parts: {}\n", "no-parts"),
        (HEAD + "parts: {a: {material: oak 4/4, size: 1 x 2 x 3, count: 9999}}", "size"),
        (HEAD + "parts: {a: {material: oak 4/4, size: 3/4 x 2 x 3, pieces: [S1..S99999]}}", "run"),
        (
            HEAD + "parts: {a: {material: oak 4/4, size: 3/4 x 2 x 3, pieces: [S1..S4000]}}\n"
            "joints: {j: {kind: edge joint, pieces: [" + many(1500, "S{i} into T{i}, ") + "]}}\n",
            "unknown-piece",
        ),
        (
            HEAD + "parts: {a: {material: oak 4/4, size: 3/4 x 2 x 12, pieces: [S1..S4000]}}\n"
            "hardware: {h: {holes: [" + "{bit: 1/8, depth: 1/4}, " * 50 + "],\n"
            "  on: [{piece: a, face: face, along: [" + "3, " * 50 + "], across: 1}]}}\n",
            "size",
        ),
        (HEAD + "parts:\n" + many(3000, "  q{i}: {{bogus: 3}}\n"), "unknown-key"),
        (HEAD + PARTS + many(3000, "k{i}: &k{i} x\n"), "unknown-key"),
    ],
)
def test_what_would_burst_is_refused(tmp_path: Path, content: str, code: str) -> None:
    _, problems = read(tmp_path, content)
    assert code in codes(problems)


def test_a_long_chain_of_dimensions_is_no_deep_recursion(tmp_path: Path) -> None:
    text = HEAD + "dimensions:\n" + many(5000, "  d{i}: d{next}\n") + "  d5000: 3/4\n"
    build, problems = read(tmp_path, text + PARTS)
    assert [problem.code for problem in problems] == ["unused"]  # the first of the chain
    assert build is not None
    assert build.dimensions[0].value.mm == build.dimensions[-1].value.mm


# --- broken at random -------------------------------------------------------------------------------------------------

JUNK = (
    "\t", "{", "}", "[", "]", ":", "-", "&a ", "*a", "!!x ", "#", "'", '"', "|", ">", "\n", "\r", "\x00", "\x85",
    "\u2028", "½", "³⁄₄", "-1", "0", "999999", "nan", "é", "e\u0301", "\U0001f600", "- ", "? ", "%", "@", "`", "<<: *a",
    "~", "[]", "{}", "1e9", "..", "S1..S9999", " x ", "/", "0.0001", "\ufeff", "木", " #8", "1:30", "010", " to ",
    ".left", "evenly from ", " across x at ", "\\", "\0at: 1",
)  # fmt: skip


@st.composite
def broken(draw: st.DrawFn) -> str:
    """A sample with up to six wounds: letters gone, junk put in, lines or words swapped, doubled or outdented."""
    text = draw(st.sampled_from(SAMPLES)).read_text("utf-8")
    for _ in range(draw(st.integers(1, 6))):
        at = draw(st.integers(0, len(text)))
        wound = draw(st.sampled_from(["cut", "put", "lines", "words", "double", "outdent"]))
        if wound == "cut":
            text = text[:at] + text[at + draw(st.integers(1, 30)) :]
        elif wound == "put":
            text = text[:at] + draw(st.sampled_from(JUNK)) + text[at:]
        else:
            between = " " if wound == "words" else "\n"
            parts = text.split(between)
            one, other = draw(st.integers(0, len(parts) - 1)), draw(st.integers(0, len(parts) - 1))
            if wound == "double":
                parts.insert(other, parts[one])
            elif wound == "outdent":
                parts[one] = parts[one][2:]
            else:
                parts[one], parts[other] = parts[other], parts[one]
            text = between.join(parts)
    return text


def assert_told_well(problems: tuple[Problem, ...], file: str, text: str) -> None:
    """Each problem has a place inside the file, and words of one line."""
    lines = re.split("\r\n|\r|\n", text.removeprefix("\ufeff"))
    for problem in problems:
        assert problem.at.file == file
        assert 1 <= problem.at.line <= len(lines)
        assert 1 <= problem.at.column <= len(lines[problem.at.line - 1]) + 1
        assert problem.wrong
        assert problem.right
        assert str(problem).isprintable()


@settings(
    max_examples=some(60),
    deadline=None,
    suppress_health_check=SLOW,
)
@given(text=broken())
def test_a_broken_sample_is_a_build_or_problems_with_places(tmp_path: Path, text: str) -> None:
    build, problems = read(tmp_path, text)
    assert build is not None or problems
    assert_told_well(problems, str(tmp_path / "build.yaml"), text)


@settings(max_examples=some(100), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=st.text(max_size=200))
def test_any_text_at_all(tmp_path: Path, text: str) -> None:
    build, problems = read(tmp_path, text)
    assert build is None or problems
    if all(not 0xD800 <= ord(ch) <= 0xDFFF for ch in text):
        assert_told_well(problems, str(tmp_path / "build.yaml"), text)


VALUES = (
    "0", "-1", "1/0", "999999", "1e9", "x", "", "1 x 2 x 3", "1x1x1", "S1..S4", "S1..S99999", "A into B",
    "a into a", "no", "~", "100 mm", "0.001 mm", "8/4", "0/4", "99/4", "2x4", "0x0", "99x99", "#0", "#8 x 1", "#99",
    "M6", "M0 bolt", "M99", "0.1 x 1", "99.9 x 999", "0 x 0", "5 per bf", "0 per bf", "-5 per m", "0 min", "66 F",
    "-40 C", "0 %", "200 %", "a4", "letter", "letter-80", "cut", "leg", "width", "length", "x: y", "FL", "from to",
    "evenly from FL.right to FR.left", "FL.right to FR.left", "FL.top - 3", "...", "FL.foo", "FL.right.left",
    "RL across x at width", "through", "9" * 50, "<b>&\"../x", "木", "#", "all", "top", "face and A",
    "mortise and tenon", "dovetail", "dowels", "hardwood", "sheet", [], {}, ["a"], {"a": "b"}, [[]], [{}],
)  # fmt: skip


def ways(value: Any, way: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The way to everything inside a plain YAML value."""
    pairs = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [step for key, inner in pairs for step in [(*way, key), *ways(inner, (*way, key))]]


@st.composite
def miswritten(draw: st.DrawFn) -> tuple[str, str]:
    """A sample and its shop file with up to three values replaced, left out, or put where another stands."""
    sample = draw(st.sampled_from(SAMPLES))
    trees = [
        yaml.load(path.read_text("utf-8"), Loader=yaml.BaseLoader) for path in (sample, sample.with_name("shop.yaml"))
    ]
    for _ in range(draw(st.integers(1, 3))):
        tree = trees[draw(st.sampled_from([0, 0, 0, 0, 1]))]
        every = ways(tree)
        *before, last = draw(st.sampled_from(every))
        inner = tree
        for step in before:
            inner = inner[step]
        kind = draw(st.sampled_from(["value", "value", "value", "gone", "other"]))
        if kind == "gone" and len(every) > 1 and before:
            del inner[last]
        elif kind == "other":
            other = tree
            for step in draw(st.sampled_from(every)):
                other = other[step]
            inner[last] = copy.deepcopy(other)
        else:
            inner[last] = copy.deepcopy(draw(st.sampled_from(VALUES)))  # a later step may write into it
    build, shop = (yaml.safe_dump(tree, sort_keys=False, allow_unicode=True) for tree in trees)
    return build, shop


@settings(
    max_examples=some(30),
    deadline=None,
    suppress_health_check=SLOW,
)
@given(files=miswritten())
def test_a_miswritten_sample_is_a_build_or_problems_with_places(tmp_path: Path, files: tuple[str, str]) -> None:
    paths = [tmp_path / "build.yaml", tmp_path / "shop.yaml"]
    for path, text in zip(paths, files, strict=True):
        path.write_text(text, "utf-8")
    build, _, problems = check_build(*map(str, paths))
    assert build is not None or problems
    for path, text in zip(paths, files, strict=True):
        assert_told_well(tuple(p for p in problems if p.at.file == str(path)), str(path), text)
    assert {problem.at.file for problem in problems} <= set(map(str, paths))


@pytest.mark.parametrize("use", ["clearance", "pilot", "plain", "recess"])
def test_every_screw_that_can_be_written_has_its_hole_or_a_problem(tmp_path: Path, use: str) -> None:
    """Wood screws are made in gauges 0 to 24 (ASME B18.6.1); every other number is told."""
    screws = [f"#{gauge} x 1" for gauge in (*range(27), 99)]
    screws += [
        f"{kind}{size}" for kind in ("", "M") for size in ("0.1", "1", "3", "3.5", "4", "6", "10", "12", "64", "99.9")
    ]
    holes = "\n".join(f"    - {{screw: '{screw}', as: {use}, depth: 1/4, countersunk: yes}}" for screw in screws)
    text = HEAD + "parts: {a: {material: oak 4/4, size: 3/4 x 6 x 12, pieces: [A]}}\n"
    text += f"hardware:\n  h:\n    holes:\n{holes}\n    on: [{{piece: A, face: face, along: 6, across: 3}}]\n"
    _, problems = read(tmp_path, text)
    told = {screws[problem.at.line - 7] for problem in problems if "no wood screw of gauge" in problem.wrong}
    assert told == {"#25 x 1", "#26 x 1", "#99 x 1"}


@pytest.mark.parametrize("key", ["build", "dimensions", "materials", "parts", "joints", "hardware", "gluing", "finish"])
@pytest.mark.parametrize(
    "junk", ["", "x", "3", "[]", "[[]]", "[{}]", "{}", "{a: }", "{a: {}}", "{a: []}", "{a: {b: c}}"]
)
def test_any_group_replaced_by_junk(tmp_path: Path, key: str, junk: str) -> None:
    """Every group of keys of a whole build in turn becomes something else."""
    groups = re.split(r"(?m)^(?=\w+:)", BENCH.read_text("utf-8"))
    text = "".join(f"{key}: {junk}\n" if group.startswith(f"{key}:") else group for group in groups)
    build, problems = read(tmp_path, text)
    assert build is not None or problems
    assert_told_well(problems, str(tmp_path / "build.yaml"), text)
