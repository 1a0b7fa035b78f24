"""Builds that are far too large or long: one message that tells the limit, and no more work than the file is worth.

Times are processor time of this process, many times what a plain machine needs, and a small part of what it was where
time grew with the square of the size."""

from __future__ import annotations

import re
import time
from pathlib import Path

import pytest

from shopdocs.cli import main
from shopdocs.core.problems import Problem
from shopdocs.model.build import Build
from shopdocs.pipeline import check_build

HEAD = "build: {title: Stool, mark: ST, units: in}\nmaterials: {oak 4/4: {kind: hardwood}}\n"
SEAT = "parts: {seat: {material: oak 4/4, size: 3/4 x 6 x 12, count: 1}}\n"
LONGEST = 20.0  # seconds
LONG_PLACE = "a place of {} letters is too long; at most 600 letters"


def read(folder: Path, text: str) -> tuple[Build | None, list[Problem]]:
    path = folder / "build.yaml"
    path.write_text(text, "utf-8")
    began = time.process_time()
    build, _, problems = check_build(str(path))
    assert time.process_time() - began < LONGEST
    return build, list(problems)


def placed(entry: str) -> str:
    part = "material: oak 4/4, size: 3/4 x 6 x 12, runs: {length: x, width: y}"
    return f"{HEAD}parts: {{seat: {{{part}, pieces: {{A: {{x: 1, y: 0, z: 0}}, B: {{{entry}}}}}}}}}\n"


def a_chain(count: int) -> str:
    return HEAD + "dimensions:\n  d0: 1\n" + "".join(f"  d{i + 1}: d{i} + 1/64\n" for i in range(count)) + SEAT


def holes(places: str, bits: int = 1) -> str:
    bit = ", ".join(["{bit: 1/8, depth: 1/4}"] * bits)
    place = f"{{piece: seat, face: face, along: {places}, across: 1}}"
    return f"{HEAD}{SEAT}hardware: {{h: {{holes: [{bit}], on: [{place}]}}}}\n"


def many_parts(count: int, of: str) -> str:
    parts = "".join(f"  s{i}: {{material: oak 4/4, size: 3/4 x 6 x 12, {of.format(i)}}}\n" for i in range(count))
    return f"{HEAD}parts:\n{parts}"


@pytest.mark.thorough
@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        (placed(f"x: {'a' * 200_000}, y: 0, z: 0"), LONG_PLACE.format(200_000)),
        (placed(f"x: {'a-' * 100_000}, y: 0, z: 0"), LONG_PLACE.format(200_000)),
        (placed(f"x: 'a{' ' * 200_000}b', y: 0, z: 0"), LONG_PLACE.format(200_002)),
        (placed(f"mirror: '{'a ' * 100_000}'"), LONG_PLACE.format(200_000)),
        (a_chain(100_000), "more than 10000 dimensions; split the build"),
        (holes("[" + ", ".join(f"{1 + i % 10}" for i in range(10_000)) + "]"), "more than 5000 holes; split the build"),
        (holes("1", 10_000), "more than 100 holes at one place; several under 'along'"),
        (
            f"{HEAD}{SEAT}gluing: {{adhesive: slow epoxy, stages: ["
            + ", ".join(f"{{title: t{i}, pieces: [S1]}}" for i in range(20_000))
            + "]}\n",
            "more than 500 glue-up stages; split the build",
        ),
        (many_parts(9000, "count: 1"), "more than 5000 pieces; split the build"),
        (
            many_parts(9000, "pieces: [P{}]")
            + "joints: {j: {kind: edge joint, pieces: [P8000 into P8001, P8001 into P8002]}}\n",
            "more than 5000 pieces; split the build",
        ),
    ],
    ids=["word", "hyphens", "spaces", "mirror", "dimensions", "holes", "bores", "stages", "parts", "pieces"],
)
def test_what_is_too_much_is_told_once(tmp_path: Path, text: str, wrong: str) -> None:
    _, problems = read(tmp_path, text)
    errors = [str(problem) for problem in problems if "warning" not in str(problem)]
    assert [line.split(": ", 1)[1] for line in errors] == [wrong]
    assert re.fullmatch(r".*build\.yaml:\d+:\d+: .*", errors[0])


def test_as_many_dimensions_as_there_may_be(tmp_path: Path) -> None:
    build, problems = read(tmp_path, a_chain(9_999))
    assert [problem.code for problem in problems] == ["unused"]  # the end of the chain, on which nothing is built
    assert build is not None
    assert build.dimensions[-1].value.inch == 1 + 9_999 / 64  # exact in binary


@pytest.mark.thorough
def test_holes_all_in_one_place(tmp_path: Path) -> None:
    hardware = "".join(
        f"  h{i}: {{holes: [{{bit: 1/8, depth: 1/4}}], on: [{{piece: seat, face: face, along: 1, across: 1}}]}}\n"
        for i in range(2000)
    )
    _, problems = read(tmp_path, f"{HEAD}{SEAT}hardware:\n{hardware}")
    assert {problem.code for problem in problems} == {"holes-many"}


@pytest.mark.parametrize("count", [1, 3, 7])
def test_a_thousand_parts_of_like_names_get_marks_of_their_own(tmp_path: Path, count: int) -> None:
    """Their names begin with the same letter, and some marks are taken already."""
    parts = "".join(
        f"  p {i}: {{material: oak 4/4, size: 3/4 x 2 x 4, count: {count}}}\n" for i in range(1000 // count)
    )
    written = "  own: {material: oak 4/4, size: 3/4 x 2 x 4, pieces: [P1, Pa1, pzz1, P5]}\n"
    build, problems = read(tmp_path, HEAD + "parts:\n" + parts + written)
    assert not [problem for problem in problems if problem.severity == 0]
    assert build is not None
    marks = [piece.mark for _, piece in build.pieces()]
    assert len(marks) == 4 + 1000 // count * count
    assert len({mark.casefold() for mark in marks}) == len(marks)
    assert max(map(len, marks)) <= 8


def test_a_flood_of_messages_is_cut_and_counted(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The errors are shown, though warnings stand before them."""
    unused = ", ".join(f"m{i}: {{kind: hardwood, rough: 4/4}}" for i in range(300))
    path = tmp_path / "build.yaml"
    text = HEAD.replace("{oak", f"{{{unused}, oak") + SEAT + "hardware:\n"
    path.write_text(
        text + "".join(f"  h{i}: {{on: [{{piece: no, face: face, along: 1}}]}}\n" for i in range(250)), "utf-8"
    )
    assert main(["check", str(path)]) == 2
    lines = capsys.readouterr().err.splitlines()
    every = check_build(str(path))[2]
    errors = sum(problem.severity == 0 for problem in every)
    assert len(lines) == 101
    assert not [line for line in lines if "warning:" in line]
    assert errors > 250
    rest = len(every) - errors
    more = f"and {errors - 100} errors{f' and {rest} warnings' if rest else ''} more; mend these first"
    assert lines[-1] == more
