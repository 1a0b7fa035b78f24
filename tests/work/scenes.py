"""Random scenes for the tests of pieces in space; seeds make them repeatable."""

from __future__ import annotations

import random
from itertools import permutations

from shopdocs.core.box import Box
from shopdocs.core.length import Length
from shopdocs.model.parts import Direction
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.placed import Cuboid, FeatureKind, PlacedPiece, Pose, Scene, Spot, Toward

ALL_POSES = tuple(
    Pose(Toward(a, bool(bits & 1)), Toward(b, bool(bits & 2)), Toward(c, bool(bits & 4)))
    for a, b, c in permutations(Direction)
    for bits in range(8)
)


def spot(*mm: int) -> Spot:
    a, b, c = (Length(v) for v in mm)
    return (a, b, c)


def random_box(rnd: random.Random, within: int, largest: int) -> Box:
    lo = [rnd.randrange(within) for _ in range(3)]
    return Box.between(lo, [v + rnd.randint(1, largest) for v in lo])


def random_solid(rnd: random.Random, within: int = 24, largest: int = 12) -> Solid:
    """A box, often with cuts that break its faces and edges, and with adds that stand on it."""
    body = random_box(rnd, within, largest)
    cuts, adds = [], []
    for _ in range(rnd.choice((0, 0, 1, 2))):
        lo = [rnd.randrange(body.lo[k] - 1, body.hi[k]) for k in range(3)]
        cuts.append(Box.between(lo, [v + rnd.randint(1, 5) for v in lo]))
    for _ in range(rnd.choice((0, 0, 1))):
        axis, high = rnd.randrange(3), rnd.random() < 0.5
        face = body.face(axis, high)
        lo = [rnd.randrange(face.lo[k], max(face.hi[k], face.lo[k] + 1)) for k in range(3)]
        hi = [min(v + rnd.randint(1, 4), face.hi[k]) for k, v in enumerate(lo)]
        hi[axis] = lo[axis] + (rnd.randint(1, 4) if high else -rnd.randint(1, 4))
        adds.append(Box.between(lo, hi))
    return Solid(body, tuple(adds), tuple(cuts))


def apart(solids: list[Solid]) -> list[Solid]:
    """Those that share no volume with an earlier one."""
    kept: list[Solid] = []
    for solid in solids:
        if solid.volume and not any(solid.overlap(other) for other in kept):
            kept.append(solid)
    return kept


def random_piece(rnd: random.Random, mark: str, within: int = 40, largest: int = 20) -> PlacedPiece:
    """A piece in any of the 48 poses, with up to three features."""
    size = [rnd.randint(2, largest) for _ in range(3)]
    features = []
    for _ in range(rnd.randrange(4)):
        lo = [rnd.randrange(s) for s in size]
        hi = [rnd.randint(v + 1, s) for v, s in zip(lo, size, strict=True)]
        features.append(Cuboid(FeatureKind.MORTISE, spot(*lo), spot(*hi)))
    return PlacedPiece(
        mark,
        "part",
        spot(*(rnd.randrange(within) for _ in range(3))),
        Length(size[0]),
        Length(size[1]),
        Length(size[2]),
        rnd.choice(ALL_POSES),
        tuple(features),
    )


def random_scene(seed: int, pieces: int) -> Scene:
    rnd = random.Random(seed)
    return Scene.of(random_piece(rnd, f"P{i}") for i in range(pieces))
