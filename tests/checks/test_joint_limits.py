"""Where a joint can be made and where it cannot: at the bound itself nothing is said, a little past it the doubt is.
The bounds are geometry, reckoned beside each, or common practice, no source."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.checks.test_limits import told

HEAD = "build: {title: Trial, mark: T, units: mm, free standing: no}\nmaterials: {oak: {kind: hardwood, rough: 65}}\n"
# A post of 50 and a rail of 24 x 80 beside it, 13 from its front and 13 from its rear.
POST = (
    f"{HEAD}parts:\n"
    "  post: {material: oak, size: 50 x 50 x 700, runs: {length: z, width: x}, pieces: {P: {x: 0, y: 0, z: 0}}}\n"
    "  rail: {material: oak, size: 24 x 80 x 400, runs: {length: x, width: z}, pieces: {R: {x: 50, y: 13, z: 300}}}\n"
    "joints: {j: {pieces: [R into P], KIND}}\n"
)
TOP = POST.replace("z: 300", "z: to P.top")
# A side of 12 x 84 whose end meets the face of an end piece as thick.
BOX = (
    f"{HEAD}parts:\n"
    "  end: {material: oak, size: 12 x 84 x 200, runs: {length: y, width: z}, pieces: {P: {x: 0, y: 0, z: 0}}}\n"
    "  side: {material: oak, size: 12 x 84 x 240, runs: {length: x, width: z}, pieces: {R: {x: 12, y: 0, z: 0}}}\n"
    "joints: {j: {pieces: [R into P], KIND}}\n"
)
CORNER = BOX.replace("x: 12, y", "x: 0, y")  # both run through it
# Rails of 20 x 50 in a flat frame, both through the corner.
FRAME = (
    f"{HEAD}parts:\n"
    "  stile: {material: oak, size: 20 x 50 x 400, runs: {length: y, width: x}, pieces: {P: {x: 0, y: 0, z: 0}}}\n"
    "  rail: {material: oak, size: 20 x 50 x 300, runs: {length: x, width: y}, pieces: {R: {x: 0, y: 0, z: 0}}}\n"
    "joints: {j: {pieces: [R into P], KIND}}\n"
)
CROSS = FRAME.replace("R: {x: 0, y: 0", "R: {x: -100, y: 100")
# A panel of 22 x 380 with a cross piece 60 wide at its end.
BOARD = (
    f"{HEAD}parts:\n"
    "  panel: {material: oak, size: 22 x 380 x 600, strips: 4, runs: {length: x, width: y},"
    " pieces: {R: {x: 0, y: 0, z: 0}}}\n"
    "  cross: {material: oak, size: 22 x 60 x 380, runs: {length: y, width: x}, pieces: {P: {x: 600, y: 0, z: 0}}}\n"
    "joints: {j: {pieces: [R into P], KIND}}\n"
)
SHELF = (
    f"{HEAD}parts:\n"
    "  side: {material: oak, size: 20 x 250 x 600, runs: {length: z, width: y}, pieces: {P: {x: 0, y: 0, z: 0}}}\n"
    "  shelf: {material: oak, size: 18 x 250 x 500, runs: {length: x, width: y}, pieces: {R: {x: 20, y: 0, z: 300}}}\n"
    "joints: {j: {pieces: [R into P], KIND}}\n"
)
# The same pieces, and nobody has written where they lie.
LOOSE = (
    f"{HEAD}parts:\n"
    "  post: {material: oak, size: 50 x 50 x 700, pieces: [P]}\n"
    "  rail: {material: oak, size: 24 x 80 x 400, pieces: [R]}\n"
    "  rung: {material: oak, size: 26 x 26 x 400, pieces: [U]}\n"
    "  panel: {material: oak, size: 22 x 380 x 600, strips: 4, pieces: [B]}\n"
    "  cross: {material: oak, size: 22 x 60 x 380, pieces: [C]}\n"
    "joints: {j: {pieces: [R into P], KIND}}\n"
)
RUNG, PANEL = LOOSE.replace("R into", "U into"), LOOSE.replace("R into P", "B into C")
# A leg whose foot goes to the left of its top, whose middle is at 100: 40 square under a seat 40 thick.
LEG = (
    f"{HEAD}parts:\n"
    "  leg: {material: oak, thickness: 40, width: 40, runs: {length: z, width: x},"
    " pieces: {R: {x: centred on 100, y: centred on 100, z: 0 to P.bottom, lean: {splay: 10 left}}}}\n"
    "  seat: {material: oak, size: 40 x 200 x 400, runs: {length: x, width: y}, pieces: {P: {x: 0, y: 0, z: 400}}}\n"
    "joints: {j: {pieces: [R into P], KIND}}\n"
)
TENON = "kind: mortise and tenon"


@pytest.mark.parametrize(
    ("code", "build", "kind", "quiet", "doubted"),
    [
        ("tenon-too-thick", POST, f"{TENON}, thickness: VALUE, length: 30", "24", "24.1"),
        ("thin-tenon", POST.replace("24 x", "VALUE x"), f"{TENON}, length: 30", "8", "7"),  # a third: 3 and 2
        ("thin-wall", POST.replace("y: 13", "y: VALUE"), f"{TENON}, thickness: 8, length: 30", "-2 28", "-2.1 28.1"),
        ("thin-floor", POST, f"{TENON}, thickness: 8, room: 1, length: VALUE", "43", "43.1"),  # 50 less 1 less 6
        ("thin-end", TOP, f"{TENON}, thickness: 8, length: 30, shoulder: VALUE", "6", "5.9"),
        ("haunch-too-long", TOP, f"{TENON}, thickness: 8, length: 30, shoulder: 20, haunch: VALUE", "29.9", "30"),
        ("no-tenon-left", POST, f"{TENON}, thickness: 8, length: 30, shoulder: VALUE", "39.9", "40"),
        ("tenon-too-wide", POST, f"{TENON}, thickness: 8, length: 30, width: VALUE", "80", "80.1"),
        ("through-length", POST, "kind: through tenon, thickness: 8, length: VALUE", "50", "49.9 50.1"),
        ("through-length", POST, "kind: through tenon, thickness: 8, proud: 2, length: VALUE", "50 52", "51"),
        ("hangs-over", POST.replace("y: 13", "y: VALUE"), f"{TENON}, thickness: 8, length: 30", "0 26", "-0.1 26.1"),
        ("bridle-not-at-the-end", POST.replace("z: 300", "z: VALUE"), "kind: bridle", "0 620", "0.1 619.9"),
        ("dowel-size", POST, "kind: dowels, length: 40, count: 2, thickness: VALUE", "8 12", "7.9 12.1"),
        ("no-room", POST, "kind: dowels, length: 40, thickness: 8, count: VALUE", "5", "6"),  # 5 x 8 is half of 80
        ("thin-floor", POST, "kind: dowels, thickness: 8, room: 1, length: VALUE", "86", "86.2"),  # half of it in each
        ("no-room", POST, "kind: loose tenon, thickness: 8, length: 60, count: 2, width: VALUE", "39.9", "40"),
        ("thin-floor", POST, "kind: loose tenon, thickness: 8, width: 40, room: 1, length: VALUE", "86", "86.2"),
        ("screw-too-short", POST, "kind: screwed butt, thickness: 5, width: 3, length: VALUE", "50.1", "50"),
        ("screw-too-long", POST, "kind: screwed butt, thickness: 5, width: 3, length: VALUE", "450", "450.1"),
        ("tails-do-not-fit", BOX, "kind: dovetail, count: 3, width: VALUE", "27.9", "28"),  # a third of 84
        ("tails-do-not-fit", BOX, "kind: dovetail, count: 3, slope: 6, width: VALUE", "4.1", "4"),  # 12 / 6 either side
        ("tails-too-long", BOX, "kind: dovetail, count: 3, length: VALUE", "12", "12.1"),
        ("lapped-and-proud", BOX, "kind: dovetail, count: 3, length: VALUE, proud: 1", "12", "11.9"),
        ("thin-lap", BOX, "kind: dovetail, count: 3, length: VALUE", "9 12", "9.1 11.9"),
        ("dovetail-not-at-the-end", BOX.replace("y: 0, z: 0}}}\njoints", "y: VALUE, z: 0}}}\njoints"),
            "kind: dovetail, count: 3", "0 188", "0.1 187.9"),
        ("tongue-too-thick", BOX, "kind: tongue and groove, length: 4, thickness: VALUE", "12", "12.1"),
        ("tongue-too-thick", BOX, "kind: tongue and groove, length: 4, thickness: 5, width: VALUE", "5", "4.9"),
        ("thin-finger", CORNER, "kind: finger joint, width: VALUE", "3", "2.9"),
        ("fingers-do-not-fit", CORNER, "kind: finger joint, width: VALUE", "42", "42.1"),  # twice in 84
        ("odd-finger", CORNER, "kind: finger joint, width: VALUE", "24", "25"),  # the last one 12, half of 24, and 9
        ("thin-wall", CORNER, "kind: keyed mitre, depth: 8, count: 3, thickness: VALUE", "16", "16.1"),  # (84 - 48) / 6
        ("key-too-deep", CORNER, "kind: keyed mitre, thickness: 3, count: 3, depth: VALUE", "16.9", "17"),  # 12 root 2
        ("spline-too-deep", FRAME, "kind: splined mitre, thickness: 5, depth: VALUE", "25", "25.1"),  # half of 50
        ("thin-wall", FRAME, "kind: splined mitre, depth: 12, thickness: VALUE", "10", "10.1"),  # a quarter of 20
        ("mitre-not-level", FRAME.replace("R: {x: 0, y: 0, z: 0", "R: {x: 0, y: 0, z: VALUE"),
            "kind: splined mitre, thickness: 5, depth: 12", "0", "0.1"),
        ("mitre-not-square", FRAME.replace("20 x 50 x 300", "20 x VALUE x 300"),
            "kind: splined mitre, thickness: 5, depth: 12", "50", "49.9 50.1"),
        ("thin-lap", CROSS, "kind: half lap, depth: VALUE", "10 6 14", "5.9 14.1"),
        ("shorter-than-the-panel", BOARD.replace("60 x 380", "60 x VALUE"),
            "kind: breadboard end, thickness: 7, length: 30, width: 8", "380 390", "379.9"),
        ("pin-near-the-shoulder", BOARD, "kind: breadboard end, thickness: 7, length: 20, width: VALUE", "10", "10.1"),
        ("thin-floor", BOARD, "kind: breadboard end, thickness: 7, room: 1, length: VALUE, width: 8", "53", "53.1"),
        ("tail-too-thick", SHELF, "kind: sliding dovetail, depth: 7, thickness: VALUE", "18", "18.1"),
        # What is usual is a share of one piece: a fifth to three fifths of 24, an eighth to two thirds of 20.
        ("tenon-thickness", POST, f"{TENON}, thickness: VALUE, length: 30", "4.8 14.4", "4.7 14.5"),
        ("tenon-length", POST, f"{TENON}, thickness: 8, length: VALUE", "9", "8.9"),
        ("tongue-thickness", BOX, "kind: tongue and groove, length: 4, thickness: VALUE", "3 12", "2.9 12.1"),
        ("tongue-length", BOX, "kind: tongue and groove, thickness: 4, length: VALUE", "4", "3.9"),
        ("cut-depth", SHELF, "kind: housing, depth: VALUE", "2.5 13.3", "2.4 13.4"),
        ("cut-depth", SHELF, "kind: sliding dovetail, depth: VALUE", "3.4 10", "3.3 10.1"),
        ("tail-thickness", SHELF, "kind: sliding dovetail, depth: 7, thickness: VALUE", "6 18", "5.9 18.1"),
        ("lean-steep", LEG.replace("10 left", "VALUE left"), "kind: round tenon, thickness: 20", "45", "45.1"),
        # The mortise of 20 in the face of the seat is 20 / cos 10° = 20.31 long, half of it to the left of the middle.
        ("lean-misses", LEG.replace("centred on 100, y", "centred on VALUE, y"),
            "kind: round tenon, thickness: 20, length: 20", "10.2", "10.1"),
        ("tenon-too-thick", LEG, "kind: round tenon, thickness: VALUE", "40", "40.1"),
        ("mortise", LOOSE, f"{TENON}, thickness: 8, room: 1, length: VALUE", "48.9", "49 50"),
        ("mortise", LOOSE, f"{TENON}, length: 30, thickness: VALUE", "23.9", "25.1"),
        ("tenon", LOOSE, f"{TENON}, length: 30, thickness: VALUE", "23.9", "24"),
        ("tenon", LOOSE, f"{TENON}, length: 30, thickness: 8, width: VALUE", "80", "80.1"),
        ("tenon", LOOSE, f"{TENON}, length: 30, thickness: 8, shoulder: VALUE", "39.9", "40"),
        ("tenon-width", LOOSE, f"{TENON}, length: 30, thickness: 8, width: VALUE", "20 80", "19.9"),
        ("tenon", RUNG, "kind: round tenon, length: 30, thickness: VALUE", "26", "26.1"),
        ("mortise", RUNG, "kind: round tenon, thickness: 16, room: 1, length: VALUE", "48.9", "49 50"),
        ("tenon-thickness", RUNG, "kind: round tenon, length: 30, thickness: VALUE", "10.4 20.8", "10.3 20.9"),
        ("groove", PANEL, "kind: breadboard end, thickness: 7, length: 30, width: 8, depth: VALUE", "59.9", "60"),
        ("housing", LOOSE.replace("R into", "R at A into") .replace("R at A into P", "R into P at A"),
            "kind: housing, depth: VALUE", "49.9", "50"),
    ],
)  # fmt: skip
def test_a_joint_is_made_up_to_there(
    tmp_path: Path, code: str, build: str, kind: str, quiet: str, doubted: str
) -> None:
    for values, wanted in ((quiet, False), (doubted, True)):
        for value in values.split():
            found = told(tmp_path, build.replace("KIND", kind).replace("VALUE", value), "kerf: 3")
            assert (code in found) is wanted, (value, found)
