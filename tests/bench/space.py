"""How the work on pieces in space grows.

    python tests/bench/space.py

A slatted rack of any size: posts and rails with mortise and tenon joints, slats between the rails; and the same as
plain boxes. Measured are contacts, hidden lines, pictures and look-alikes, each beside a floor from the same run:
sorting the boxes for contacts and look-alikes, projecting every edge of every solid for pictures. The ratio to the
floor does not depend on the machine; the exponent is that of growth from the row above (1 is linear).
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopdocs.core.length import Length
from shopdocs.documents.drawn.pictures import Laid, Picture, every_mark, picture
from shopdocs.model.joining import JointKind
from shopdocs.model.parts import Direction
from shopdocs.work.joints.frame import JointSizes
from shopdocs.work.joints.joinery import joined_pieces
from shopdocs.work.scene.explode import explode
from shopdocs.work.shapes.hidden import outline
from shopdocs.work.shapes.projection import ISOMETRIC
from shopdocs.work.space.contacts import Contacts, find_contacts
from shopdocs.work.space.likeness import find_look_alikes
from shopdocs.work.space.placed import PlacedPiece, Pose, Scene, Toward
from tests.values import replace

SIZES = (100, 300, 1000, 3000)
_X, _Y, _Z = (Toward(direction) for direction in Direction)
_TENON = JointSizes(JointKind.MORTISE_AND_TENON, Length(8), length=Length(16), shoulder=Length(6))


def rack(pieces: int) -> Scene:
    """About so many pieces: bays of two posts, two rails and eight slats, in a square of rows and storeys."""
    bays = max(1, pieces // 12)
    across = math.isqrt(bays)
    made: list[PlacedPiece] = []
    joints: list[tuple[str, str, JointSizes]] = []
    for bay in range(bays):
        x, z = 700 * (bay % across), 500 * (bay // across)

        def at(px: int, py: int, pz: int, x: int = x, z: int = z) -> tuple[Length, Length, Length]:
            return Length(x + px), Length(py), Length(z + pz)

        posts = [
            PlacedPiece(f"{bay}P{i}", "post", at(0, y, 0), Length(500), Length(40), Length(40), Pose(_Z, _X, _Y))
            for i, y in enumerate((0, 360))
        ]
        rails = [
            PlacedPiece(f"{bay}R{i}", "rail", at(40, y, 400), Length(660), Length(60), Length(22), Pose(_X, _Z, _Y))
            for i, y in enumerate((9, 369))
        ]
        slats = [
            PlacedPiece(
                f"{bay}S{i}", "slat", at(80 + 70 * i, 31, 430), Length(338), Length(50), Length(14), Pose(_Y, _X, _Z)
            )
            for i in range(8)
        ]
        made += [*posts, *rails, *slats]
        joints += [(rail.mark, post.mark, _TENON) for rail, post in zip(rails, posts, strict=True)]
        joints += [(slat.mark, rail.mark, _TENON) for slat in slats for rail in rails]
    return Scene.of(joined_pieces(made, joints)[0])


def timed(work: Callable[[], Any]) -> float:
    """Seconds, the better of two runs."""
    best = math.inf
    for _ in range(2):
        start = time.perf_counter()
        work()
        best = min(best, time.perf_counter() - start)
    return best


def measured(scene: Scene) -> list[tuple[float, float]]:
    """Seconds and seconds of the floor, for each kind of work."""
    contacts = find_contacts(scene)
    edges = [edge for solid in scene.solids for edge in solid.edges]
    plain = Scene.of(replace(piece, features=()) for piece in scene.pieces)
    few = len(scene.pieces) <= 300  # more marks than that fill no sheet

    def sort_floor() -> None:
        for axis in range(3):
            sorted(range(len(scene.solids)), key=lambda i: scene.solids[i].bounds.lo[axis])

    def edge_floor() -> None:
        for edge in edges:
            ISOMETRIC.picture(edge.start, scene.ticks)
            ISOMETRIC.picture(edge.start, scene.ticks)

    def box_floor() -> None:
        for solid in plain.solids:
            for edge in solid.edges:
                ISOMETRIC.picture(edge.start, scene.ticks)
                ISOMETRIC.picture(edge.start, scene.ticks)

    sorting, edging, boxing = timed(sort_floor), timed(edge_floor), timed(box_floor)
    return [
        (timed(lambda: find_contacts(scene)), sorting),
        (timed(lambda: outline(plain.solids, ISOMETRIC, scene.ticks)), boxing),
        (timed(lambda: outline(scene.solids, ISOMETRIC, scene.ticks)), edging),
        (timed(lambda: exploded(contacts, few)), edging),
        (timed(lambda: find_look_alikes(scene)), sorting),
    ]


def exploded(contacts: Contacts, named: bool) -> Picture:
    """The pieces of a build drawn apart, each with its mark or none."""
    scene = contacts.scene
    step = scene.ticks.length(max(scene.bounds.size)) / 7
    apart = explode(contacts, step, step * 2)
    return picture(Laid(scene, apart.offsets, apart.lines), (180, 200), labels=every_mark(scene) if named else ())


def main() -> None:
    names = ("contacts", "hidden lines, boxes", "hidden lines, joints", "exploded picture", "look-alikes")
    print("pieces" + "".join(f"{name:>30}" for name in names))
    last: tuple[int, list[float]] | None = None
    for size in SIZES:
        scene = rack(size)
        line = f"{len(scene.pieces):6}"
        seconds = []
        for k, (taken, floor) in enumerate(measured(scene)):
            growth = ""
            if last is not None:
                growth = f"^{math.log(taken / last[1][k]) / math.log(len(scene.pieces) / last[0]):.2f}"
            line += f"{taken * 1000:10.0f} ms {taken / floor:8.1f}x {growth:>7}"
            seconds.append(taken)
        print(line)
        last = (len(scene.pieces), seconds)


if __name__ == "__main__":
    main()
