"""What may be written and what no longer: at its limit a value is read, a little past it the limit is told. No value is
cut to fit."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.checks.test_limits import told

HEAD = "build: {title: Stool, mark: ST, units: mm}\nmaterials: {ash: {kind: hardwood, species: white ash, rough: 52}}\n"
RAIL = HEAD + "parts: {rail: {material: ash, size: 20 x 100 x 400, pieces: [R]}}\n"
TWO = HEAD + "parts: {rail: {material: ash, size: 20 x 100 x 400, pieces: [R, S]}}\n"
JOINT = TWO + "joints: {j: {kind: dovetail, pieces: [R into S], VALUE}}\n"
GLUED = (
    TWO + "joints: {j: {kind: edge joint, pieces: [R into S]}}\n"
    "gluing: {adhesive: slow epoxy, VALUE, stages: [{title: All, pieces: [R, S], LATER}]}\n"
)
CUT = RAIL + "cuts: {c: {VALUE}}\n"
TURNED = HEAD + (
    "parts: {leg: {material: ash, size: 45 x 45 x 700, pieces: [L]}}\n"
    "cuts: {turned: {kind: round, on: [{piece: L}], diameters: [VALUE]}}\n"
)
LEG = HEAD + (
    "parts: {leg: {material: ash, thickness: 40, width: 40, runs: {length: z, width: x},"
    " pieces: {L: {x: 0, y: 0, z: 0 to 400, lean: {splay: VALUE left}}}}}\n"
)
TIPPED = HEAD + (
    "parts: {shelf: {material: ash, size: 20 x 100 x 400, runs: {length: x, width: y},"
    " pieces: {S: {x: 0, y: 0, z: 100, tilt: VALUE rear}}}}\n"
)
PLACED = HEAD + (
    "parts: {rail: {material: ash, size: 20 x 100 x 400, runs: {length: x, width: y},"
    " pieces: {R: {x: 0, y: 0, z: 0}, S: {x: VALUE, y: 500, z: 0}}}}\n"
)


def deep(levels: int) -> str:
    """Lists in lists, so many levels."""
    return "[" * levels + "]" * levels


def corners(count: int) -> str:
    """So many corners in zigzag along the face of a rail of 400 x 100, none on a line with its neighbours."""
    tops = [f"'{400 - 2 * k}, {100 - 10 * (k % 2)}'" for k in range(count - 3)]
    return f"kind: outline, outline: ['0, 0', '400, 0', {', '.join(tops)}, '0, 0'], on: [{{piece: R, face: face}}]"


@pytest.mark.parametrize(
    ("code", "build", "read", "refused"),
    [
        ("number", RAIL.replace("units: mm", "units: mm, copies: VALUE"), ["1", "99"], ["0", "100"]),
        ("title", RAIL.replace("Stool", "VALUE"), ["S" * 120], ["S" * 121]),
        ("mark", RAIL.replace("mark: ST", "mark: VALUE"), ["S", "STOO"], ["STOOL"]),
        ("number", RAIL.replace("pieces: [R]", "count: VALUE"), ["1", "5000"], ["0", "10001"]),
        ("size", RAIL.replace("pieces: [R]", "count: VALUE"), ["5000"], ["5001"]),
        ("number", RAIL.replace("x 400", "x 400, strips: VALUE"), ["1", "60"], ["0", "61"]),
        ("long-text", RAIL.replace("x 400", "x 400, note: VALUE"), ["n" * 2000], ["n" * 2001]),
        ("long-name", RAIL.replace("rail:", "VALUE:"), ["r" * 60], ["r" * 61]),
        ("percent", RAIL.replace("rough: 52", "rough: 52, moves: VALUE %"), ["0.01", "1"], ["0", "1.01"]),
        ("number", JOINT.replace("VALUE", "slope: VALUE"), ["1", "20"], ["0", "21"]),
        ("number", JOINT.replace("VALUE", "count: VALUE"), ["1", "100"], ["0", "101"]),
        ("number", RAIL + "finish: {kind: tung oil, coats: VALUE}\n", ["1", "20"], ["0", "21"]),
        ("number", RAIL + "finish: {kind: tung oil, grits: [VALUE]}\n", ["16", "5000"], ["15", "5001"]),
        ("time", GLUED.replace("VALUE", "open time: VALUE").replace(", LATER", ""), ["24 h"], ["24.1 h", "0 min"]),
        ("time", GLUED.replace("VALUE", "pot life: VALUE").replace(", LATER", ""), ["24 h"], ["24.1 h", "0 min"]),
        ("time", GLUED.replace("VALUE", "clamp time: VALUE").replace(", LATER", ""), ["30 days"], ["721 h", "0 h"]),
        ("time", GLUED.replace("VALUE, ", "").replace("LATER", "wait: VALUE"), ["30 days"], ["721 h"]),
        ("time", GLUED.replace("VALUE, ", "").replace("LATER", "minutes: VALUE"), ["6000"], ["6001"]),
        ("ratio", GLUED.replace("VALUE", "ratio: VALUE by weight").replace(", LATER", ""), ["100:1"], ["101:1", "0:1"]),
        ("angle", CUT.replace("VALUE", "kind: end cut, angle: VALUE, on: [{piece: R, edge: A and face}]"),
            ["0.05", "75", "3 sides"], ["0.04", "75.1", "2 sides"]),
        ("round", TURNED.replace("VALUE", "'0, VALUE', '700, 40'"), ["45"], ["45.1"]),
        ("outside", TURNED.replace("VALUE", "'0, 40', 'VALUE, 40'"), ["700"], ["700.1"]),
        ("lean", LEG, ["60"], ["60.1", "0"]),
        ("tilt", TIPPED, ["45"], ["45.1", "0"]),
        ("screw", RAIL + "hardware: {h: {holes: [{screw: '#VALUE x 2', as: pilot}], on: [{piece: R, face: A, along: 50,"
            " across: 10}]}}\n", ["24"], ["25"]),
        # A length has 300 letters and 12 digits of a number at most, a place two lengths.
        ("length", RAIL.replace("x 400", "x VALUE"), ["0" * 9 + "400"], ["0" * 10 + "400"]),
        ("length", RAIL.replace("20 x 100 x 400", "20 x 100 x VALUE"), ["400" + " + 1" * 4, "4" + "+1" * 149],
            ["4" + "+1" * 150]),
        ("length", PLACED, ["1" + "+1" * 149], ["1" + "+1" * 150]),
        ("nesting", HEAD + "parts: VALUE\n", [deep(23)], [deep(24)]),  # in the file, which is the first of 24 levels
        pytest.param("outline", CUT, [corners(200)], [corners(201)], marks=pytest.mark.thorough),
        ("round", TURNED, [", ".join(f"'{k}, {30 + k % 2}'" for k in range(100))],
            [", ".join(f"'{k}, {30 + k % 2}'" for k in range(101))]),
    ],
)  # fmt: skip
def test_it_is_read_up_to_there(tmp_path: Path, code: str, build: str, read: list[str], refused: list[str]) -> None:
    for values, wanted in ((read, False), (refused, True)):
        for value in values:
            found = told(tmp_path, build.replace("VALUE", value), "kerf: 3")
            assert (code in found) is wanted, (value[:60], found)


@pytest.mark.parametrize(
    ("key", "read", "refused"),
    [
        ("kerf: VALUE", ["0", "3"], ["-1"]),
        ("waste: VALUE %", ["0", "100"], ["101", "-1"]),
        ("labels used: VALUE", ["0"], ["-1"]),
        ("pace: {joint: VALUE}", ["2 h"], ["2.1 h", "0 min"]),
        ("pace: {clamp: VALUE}", ["2 h"], ["2.1 h", "0 min"]),
        ("rack: [{material: ash, width: 100, length: 900, mark: VALUE}]", ["ABCDEFGH"], ["ABCDEFGHI"]),
        ("rack: [{material: ash, width: 100, length: 900, mark: A, defects: [VALUE]}]",
            ["899 to 900", "0 to 1 across 99 to 100"], ["900 to 901", "0 to 1 across 100 to 101", "5 to 5"]),
    ],
)  # fmt: skip
def test_a_shop_is_read_up_to_there(tmp_path: Path, key: str, read: list[str], refused: list[str]) -> None:
    codes = {"length", "percent", "number", "time", "mark", "defect"}
    for values, wanted in ((read, False), (refused, True)):
        for value in values:
            found = told(tmp_path, RAIL, key.replace("VALUE", value))
            assert bool(found & codes) is wanted, (value, found)
