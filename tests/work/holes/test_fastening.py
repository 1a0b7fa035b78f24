"""Holes through blocks that fill a space without gaps: where a hole leads and where a screw ends is found by going
along its axis point by point and asking which block holds the point."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from random import Random

import pytest

from shopdocs.core.length import Length
from shopdocs.pipeline import check_build
from shopdocs.work.computed import Computed
from shopdocs.work.holes.fastening import Fastening

HEAD = "build: {title: Blocks, mark: B, units: mm}\nmaterials: {oak: {kind: hardwood, rough: 80}}\nparts:\n"
FACES = {"x": ("left", "right"), "y": ("front", "back"), "z": ("bottom", "top")}


@dataclass(frozen=True)
class Blocks:
    """`walls` are the planes between the blocks along x, y and z; block i, j, k is called B and its three numbers."""

    walls: tuple[tuple[int, ...], ...]

    @staticmethod
    def some(rng: Random) -> Blocks:
        def cut() -> tuple[int, ...]:
            at = [0]
            for _ in range(3):
                at.append(at[-1] + rng.randint(30, 70))
            return tuple(at)

        return Blocks((cut(), cut(), cut()))

    def at(self, point: list[Fraction]) -> str | None:
        """The block that holds a point inside it."""
        found = []
        for walls, value in zip(self.walls, point, strict=True):
            step = bisect_right(walls, value) - 1
            if not 0 <= step < len(walls) - 1:
                return None
            found.append(step)
        return "B{}{}{}".format(*found)

    def low(self, name: str) -> list[int]:
        return [walls[int(step)] for walls, step in zip(self.walls, name[1:], strict=True)]

    def size(self, name: str) -> list[int]:
        return [walls[int(s) + 1] - walls[int(s)] for walls, s in zip(self.walls, name[1:], strict=True)]

    def names(self) -> list[str]:
        return [f"B{i}{j}{k}" for i in range(3) for j in range(3) for k in range(3)]


@dataclass(frozen=True)
class Drill:
    """A hole in a block from one of its faces: where it begins in space, its axis, its sense."""

    block: str
    entry: tuple[int, ...]
    axis: int
    sense: int


def _text(blocks: Blocks, rng: Random, screw: int) -> tuple[str, list[Drill]]:
    """Every block with one hole right through it, each lying in a way of its own."""
    parts, hardware, drills = [], [], []
    for name in blocks.names():
        length, width, thick = rng.sample(range(3), 3)
        size, low = blocks.size(name), blocks.low(name)
        far = {axis: rng.random() < 0.5 for axis in (length, width, thick)}  # whether measures begin at the high side
        x, y, z = low
        sides = {"end A": length, "face edge": width, "face side": thick}
        turned = ", ".join(f"{key}: {FACES['xyz'[axis]][far[axis]]}" for key, axis in sides.items())
        parts.append(
            f"  p{name}: {{material: oak, thickness: {size[thick]}, width: {size[width]}, length: {size[length]}, "
            f"runs: {{length: {'xyz'[length]}, width: {'xyz'[width]}}}, "
            f"pieces: {{{name}: {{x: {x}, y: {y}, z: {z}, {turned}}}}}}}"
        )
        face, axis, high = rng.choice(
            [
                ("face", thick, False),
                ("back", thick, True),
                ("edge", width, False),
                ("far edge", width, True),
                ("A", length, False),
                ("B", length, True),
            ]
        )
        first = length if axis != length else width
        second = next(k for k in (0, 1, 2) if k not in (axis, first))
        along, across = rng.randint(6, size[first] - 6), rng.randint(6, size[second] - 6)
        hardware.append(
            f"  h{name}: {{holes: [{{screw: 4 x {screw} mm, as: clearance, depth: through}}], "
            f"on: [{{piece: {name}, face: {face}, along: {along}, across: {across}}}]}}"
        )
        entry = [0, 0, 0]
        for k, value in ((first, along), (second, across)):
            entry[k] = low[k] + size[k] - value if far[k] else low[k] + value
        at_high = high != far[axis]
        entry[axis] = low[axis] + (size[axis] if at_high else 0)
        drills.append(Drill(name, tuple(entry), axis, -1 if at_high else 1))
    return HEAD + "\n".join(parts) + "\nhardware:\n" + "\n".join(hardware) + "\n", drills


def _fastening(path: Path, text: str) -> Fastening:
    path.write_text(text, "utf-8")
    build, shop, problems = check_build(str(path))
    assert build is not None
    assert not [str(problem) for problem in problems if not problem.severity]
    found = Computed(build, shop).fastening
    assert found is not None
    return found


def _point(drill: Drill, depth: Fraction) -> list[Fraction]:
    point = [Fraction(value) for value in drill.entry]
    point[drill.axis] += drill.sense * depth
    return point


@pytest.mark.parametrize("seed", range(6))
def test_a_hole_leads_into_the_block_that_holds_the_next_point(tmp_path: Path, seed: int) -> None:
    rng = Random(seed)
    blocks = Blocks.some(rng)
    text, drills = _text(blocks, rng, 60)
    fastening = _fastening(tmp_path / "build.yaml", text)
    marks = [piece.mark for piece in fastening.space.scene.pieces]
    for drill, line in zip(drills, fastening.lines, strict=True):
        assert line.mark == drill.block
        entry = [fastening.ticks.length(value).mm for value in line.entry]
        assert entry == list(drill.entry)
        through = blocks.size(drill.block)[drill.axis]
        assert fastening.ticks.length(abs(line.end - line.entry[line.axis])) == Length(through)
        beyond = blocks.at(_point(drill, through + Fraction(1, 7)))
        behind = blocks.at(_point(drill, Fraction(-1, 7)))
        met = [mouth for mouth in fastening.mouths if mouth.line is line and not mouth.off]
        assert [marks[mouth.neighbour] for mouth in met if mouth.outward] == [beyond] * (beyond is not None)
        assert [marks[mouth.neighbour] for mouth in met if not mouth.outward] == [behind] * (behind is not None)


@pytest.mark.parametrize("seed", range(6))
def test_a_screw_ends_where_its_tip_is(tmp_path: Path, seed: int) -> None:
    """Where no neighbour covers the head: the blocks it enters are those that hold the points along it, and it stands
    out as far as its tip is past the last wall."""
    rng = Random(100 + seed)
    blocks = Blocks.some(rng)
    screw = rng.randint(50, 190)
    text, drills = _text(blocks, rng, screw)
    fastening = _fastening(tmp_path / "build.yaml", text)
    marks = [piece.mark for piece in fastening.space.scene.pieces]
    holes = {(line.mark, line.axis): line for line in fastening.lines}
    looked_at = 0
    for drill, line in zip(drills, fastening.lines, strict=True):
        if blocks.at(_point(drill, Fraction(-1, 7))) is not None:
            continue
        for mouth in fastening.mouths:
            if mouth.line is not line or mouth.off or not mouth.outward:
                continue
            inside = [blocks.at(_point(drill, Fraction(2 * step + 1, 2))) for step in range(screw)]
            entered = [name for name in dict.fromkeys(inside) if name not in (None, drill.block)]
            passage = fastening.passage(mouth)
            assert [marks[index] for index in passage.into] == entered
            wall = sum(name is not None for name in inside)  # whole millimetres of wood before the open
            last = holes.get((entered[-1], line.axis)) if entered else None
            if last is None or max(abs(last.entry[k] - line.entry[k]) for k in line.across) > last.radius:
                assert fastening.ticks.length(passage.beyond) == Length(screw - wall if entered else 0)
            looked_at += 1
    assert looked_at
