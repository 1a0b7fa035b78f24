"""Stools put together at random of legs that lean, and the same as meshes of another library, worked out from what is
written alone."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass

import manifold3d
import numpy as np

ROOM = 2  # mm that mortises are deeper than their tenons are long
SIDES = 24  # of a round tenon or mortise, a corner where its piece is widest
LEGS = {"FL": (1, 1), "FR": (-1, 1), "BL": (1, -1), "BR": (-1, -1)}  # which way a leg leans for one at the front left


@dataclass(frozen=True)
class Stool:
    """Measures in millimetres, `splay` and `rake` as heights for which a foot stands 1 farther out, 0 for plumb."""

    wide: int
    deep: int
    high: int
    seat: int
    leg: tuple[int, int]
    inset: tuple[int, int]
    splay: int
    rake: int
    top: int  # diameter of the legs' tenons
    blind: int | None  # how long they are, None through
    rail: tuple[int, int]
    level: tuple[int, int]  # middles of the left and the right side rail above the floor
    tenon: tuple[int, int] | int  # of the side rails: thick and wide, or a diameter
    long: int
    middle: int | None  # diameter of the tenons of a rail between the side rails
    staged: int  # which order of the glue-up

    @staticmethod
    def at_random(seed: int) -> Stool:
        """One of endless many."""
        rnd = random.Random(seed)
        leg = (rnd.randrange(32, 48, 2), rnd.randrange(32, 48, 2))
        if rnd.random() < 0.5:
            leg = leg[0], leg[0]
        rail = (rnd.randrange(18, 26, 2), rnd.randrange(24, 40, 2))
        splay, rake = rnd.choice([0, 0, 20, 12, 8, 6]), rnd.choice([0, 20, 10, 7])
        level, same = rnd.randrange(120, 180, 4), bool(rake) or rnd.random() < 0.4
        return Stool(
            rnd.randrange(360, 480, 10),
            rnd.randrange(280, 380, 10),
            rnd.randrange(380, 520, 10),
            seat := rnd.randrange(34, 50, 2),
            leg,
            (rnd.randrange(70, 90, 2), rnd.randrange(70, 90, 2)),
            splay,
            rake,
            rnd.choice([20, 22, 25]),
            rnd.choice([None, seat - 14]),
            rail,
            (level, level if same else level + rnd.choice([8, 20])),
            (8, 16) if rnd.random() < 0.5 else 14,
            rnd.choice([18, 22]),
            rnd.choice([None, 12]) if same else None,
            rnd.randrange(3),
        )

    def text(self) -> str:
        """The build file."""
        round_ = isinstance(self.tenon, int)
        wide = f"thickness: {self.tenon}" if round_ else f"thickness: {self.tenon[0]}, width: {self.tenon[1]}"  # type: ignore[index]
        kind = "round tenon" if round_ else "mortise and tenon"
        long = "" if self.blind is None else f", length: {self.blind}, room: {ROOM}"
        lean = ", ".join(f"{name}: 1 in {v}" for name, v in (("splay", self.splay), ("rake", self.rake)) if v)
        lean = f", lean: {{{lean}}}" if lean else ""
        pieces = "SL, SR" + (", M" if self.middle else "")
        every = f"FL, FR, BL, BR, {pieces}"
        orders = [
            [("All", f"{every}, S", "")],
            [("Left", "FL, BL, SL", ""), ("Right", "FR, BR, SR", "")],
            [("Rails", every, ""), ("Seat", "S", "Rails")],
        ]
        orders[1].append(("Whole", "M, S" if self.middle else "S", "Left, Right"))
        order = orders[self.staged if lean or self.staged < 2 else 0]
        stages = "".join(f"    - {{title: {t}, pieces: [{p}]{f', uses: [{u}]' if u else ''}}}\n" for t, p, u in order)
        middle = (
            f"""
  middle:
    material: ash
    thickness: 18
    width: 18
    runs: {{length: x, width: z}}
    pieces: {{M: {{x: SL.right to SR.left, y: centred on {self.deep / 2:g}, z: centred on {self.level[0]}}}}}
"""
            if self.middle
            else ""
        )
        size = f"thickness: {self.middle}, length: 12, room: {ROOM}"
        across = f"\n  across: {{kind: round tenon, from: middle, into: rail, {size}}}" if self.middle else ""
        return f"""
build: {{title: Trial, mark: T, units: mm}}
materials: {{ash: {{kind: hardwood, species: white ash, rough: 60}}}}
parts:
  leg:
    material: ash
    thickness: {self.leg[1]}
    width: {self.leg[0]}
    runs: {{length: z, width: x}}
    pieces:
      FL: {{x: centred on {self.inset[0]}, y: centred on {self.inset[1]}, z: 0 to S.bottom{lean}}}
      FR: {{mirror: FL across x at {self.wide / 2:g}}}
      BL: {{mirror: FL across y at {self.deep / 2:g}}}
      BR: {{mirror: FR across y at {self.deep / 2:g}}}
  rail:
    material: ash
    thickness: {self.rail[0]}
    width: {self.rail[1]}
    runs: {{length: y, width: z}}
    pieces:
      SL: {{x: centred on {self.rail_at(0)}, y: FL.back to BL.front, z: centred on {self.level[0]}}}
      SR: {{x: centred on {self.rail_at(1)}, y: FR.back to BR.front, z: centred on {self.level[1]}}}
{middle}
  seat: {{material: ash, size: {self.seat} x {self.deep} x {self.wide}, runs: {{length: x, width: y}}, strips: 2,
    pieces: {{S: {{x: 0, y: 0, z: {self.high - self.seat}}}}}}}
joints:
  legs: {{kind: round tenon, from: leg, into: seat, thickness: {self.top}{long}}}
  rails: {{kind: {kind}, from: rail, into: leg, {wide}, length: {self.long}, room: {ROOM}}}{across}
gluing:
  adhesive: slow epoxy
  stages:
{stages}"""

    def rail_at(self, right: int) -> str:
        """Where the middle of a side rail lies: where the legs are at its height, to 1/1000 mm."""
        out = self.inset[0] - slope(self.splay) * (self.high - self.seat - self.level[right])
        return f"{self.wide - out if right else out:.3f}".rstrip("0").rstrip(".")

    def matrix(self, mark: str) -> np.ndarray:
        """How a leg is turned: raked, then splayed within its own front face."""
        x, y = LEGS[mark]
        rake = math.atan(-y * slope(self.rake))
        splay = -math.atan(-x * slope(self.splay) * math.cos(rake))
        c, s, d, e = math.cos(rake), math.sin(rake), math.cos(splay), math.sin(splay)
        return np.array([[1, 0, 0], [0, c, -s], [0, s, c]]) @ np.array([[d, 0, e], [0, 1, 0], [-e, 0, d]])

    def head(self, mark: str) -> np.ndarray:
        """The middle of the top of a leg."""
        x, y = LEGS[mark]
        return np.array(
            [
                self.inset[0] if x > 0 else self.wide - self.inset[0],
                self.inset[1] if y > 0 else self.deep - self.inset[1],
                self.high - self.seat,
            ],
            dtype=float,
        )

    def meshes(self) -> dict[str, manifold3d.Manifold]:
        """Every piece but a middle rail."""
        made: dict[str, manifold3d.Manifold] = {}
        low = self.high - self.seat
        seat = manifold3d.Manifold.cube([self.wide, self.deep, self.seat]).translate([0, 0, low])
        for mark in LEGS:
            matrix, head = self.matrix(mark), self.head(mark)
            place = np.column_stack([matrix, head])
            leg = manifold3d.Manifold.cube([*map(float, self.leg), 3.0 * self.high], True).transform(place)
            leg = leg.trim_by_plane([0, 0, 1], 0).trim_by_plane([0, 0, -1], -low)
            deep = self.blind if self.blind is not None else 2 * self.seat
            seat -= (
                rod(self.top, deep + (0 if self.blind is None else ROOM) + 60).translate([0, 0, -60]).transform(place)
            )
            tenon = rod(self.top, deep + 60).translate([0, 0, -60]).transform(place)
            made[mark] = leg + tenon.trim_by_plane([0, 0, 1], low - 1e-9).trim_by_plane([0, 0, -1], -self.high)
        for mark, (front, back), level in (("SL", ("FL", "BL"), self.level[0]), ("SR", ("FR", "BR"), self.level[1])):
            x = float(self.rail_at(mark == "SR"))
            rail = manifold3d.Manifold.cube([self.rail[0], 2.0 * self.deep, self.rail[1]], True)
            rail = rail.translate([x, self.deep / 2, level])
            tenons = []
            for leg, sense in ((front, -1), (back, 1)):
                matrix, head = self.matrix(leg), self.head(leg)
                out = matrix @ np.array([0, -sense, 0])  # its face to the rail
                at = out @ head + self.leg[1] / 2
                y = (at - out[0] * x - out[2] * level) / out[1]
                rail = rail.trim_by_plane([float(v) for v in out], float(at))
                for list_, long in ((tenons, self.long), (None, self.long + ROOM)):
                    body = self.pin(long + 60).translate([0, 0, -60])
                    turn = np.array([[1, 0, 0], [0, 0, sense], [0, -sense, 0]]) @ np.eye(3)
                    body = body.transform(np.column_stack([turn, [x, y, level]]))
                    if list_ is None:
                        made[leg] -= body
                    else:
                        list_.append(body.trim_by_plane([float(-v) for v in out], -float(at)))
            made[mark] = rail + tenons[0] + tenons[1]
            if self.middle:
                inward = 1 if mark == "SL" else -1
                lying = np.array([[0, 0, -inward], [0, 1, 0], [inward, 0, 0]])
                face = [x + inward * self.rail[0] / 2, self.deep / 2, level]
                made[mark] -= rod(self.middle, 12 + ROOM).transform(np.column_stack([lying, face]))
        made["S"] = seat
        return made

    def pin(self, long: float) -> manifold3d.Manifold:
        """The tenon of a side rail, upright."""
        if isinstance(self.tenon, int):
            return rod(self.tenon, long)
        thick, wide = self.tenon
        return manifold3d.Manifold.cube([thick, wide, long]).translate([-thick / 2, -wide / 2, 0])


def slope(high: int) -> float:
    """How far out for a height of 1."""
    return 1 / high if high else 0.0


def rod(across: float, long: float) -> manifold3d.Manifold:
    """An upright round of as many sides as the program gives it."""
    return manifold3d.Manifold.cylinder(long, across / 2, across / 2, SIDES)
