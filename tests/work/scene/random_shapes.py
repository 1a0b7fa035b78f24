"""Boards of random shape: as a build says them, corner by corner and arc by arc, and as shapely and manifold3d cut them
from a rectangle with discs, boxes and triangles."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field

import manifold3d
import shapely
from shapely import affinity

from tests.small_builds import one_piece

HEAD = one_piece("slab", "%d x %d x %d", "length: x, width: z", "S: {x: 3, y: 5, z: 7}", 52) + "cuts:\n"
SEGMENTS = 400  # of a quarter of a circle


@dataclass
class Board:
    """A build, its outline on the face side by shapely, its size, and where the back tapers: from along, how deep."""

    text: str
    face: shapely.Polygon
    size: tuple[int, int, int]
    taper: tuple[int, int] | None = None
    corners: list[str] = field(default_factory=list)

    def solid(self) -> manifold3d.Manifold:
        """The board in its own coordinates: along, across, deep from the face side."""
        long, wide, thick = self.size
        solid = extruded(self.face, thick)
        if self.taper is not None:
            begins, off = self.taper
            under = [[long, thick - off], [long, thick + 1], [begins, thick + 1], [begins, thick]]
            cut = manifold3d.Manifold.extrude(manifold3d.CrossSection([under]), wide + 2)
            # extruded along the third axis: turned so that it runs across the board
            solid -= cut.rotate((90, 0, 0)).translate((0, wide + 1, 0))
        return solid


def extruded(face: shapely.Polygon, thick: float) -> manifold3d.Manifold:
    """A flat shape with its holes, so thick."""
    rings = [list(face.exterior.coords)[:-1], *[list(ring.coords)[:-1] for ring in face.interiors]]
    rings = [[*ring] for ring in rings]
    return manifold3d.Manifold.extrude(manifold3d.CrossSection(rings, manifold3d.FillRule.EvenOdd), thick)


def disc(a: tuple[float, float], b: tuple[float, float], radius: float, left: bool) -> shapely.Polygon:
    """The disc whose border runs from `a` to `b` and has less than its half to the left of that line, or to the right:
    its centre lies on the other side."""
    (x, y), (u, v) = a, b
    half = math.hypot(u - x, v - y) / 2
    off = math.sqrt(max(0.0, radius * radius - half * half)) * (-1 if left else 1)
    middle = ((x + u) / 2 - (v - y) / 2 / half * off, (y + v) / 2 + (u - x) / 2 / half * off)
    return shapely.Point(middle).buffer(radius, quad_segs=SEGMENTS)


def radius_of(chord: float, rise: float) -> float:
    return (chord * chord / 4 + rise * rise) / (2 * rise)


def board(seed: int) -> Board:
    """A random one: an outline of one of three kinds of writing, perhaps a cut-out and a back that tapers."""
    chance = random.Random(seed)
    long, wide, thick = chance.randint(500, 900), chance.randint(180, 300), chance.randint(18, 40)
    shape, corners, half = _outline(chance, long, wide)
    while shape.area > long * wide - 1:
        shape, corners, half = _outline(chance, long, wide)
    faces = chance.choice(["", ", from: B", ", from: far edge", ", from: B and far edge"])
    if "B" in faces:
        shape = affinity.scale(shape, xfact=-1, origin=(long / 2, 0))
    if "far" in faces:
        shape = affinity.scale(shape, yfact=-1, origin=(0, wide / 2))
    if not half and chance.random() < 0.5:
        corners = _the_other_way(corners)
    key = "mirrored half" if half else "outline"
    told = ", ".join(f"'{corner}'" for corner in corners)
    cuts = [f"  shape: {{kind: outline, on: [{{piece: S, face: face side{faces}}}], {key}: [{told}]}}"]
    if chance.random() < 0.6:
        cut, hole = _hole(chance, long, wide)
        cuts.append(cut)
        shape -= hole
    taper = None
    if chance.random() < 0.4:
        begins, off = chance.randint(long // 2 + 70, long - 60), chance.randint(3, thick // 2)
        taper = begins, off
        cuts.append(
            f"  thin: {{kind: taper, to: {thick - off}, on: [{{piece: S, face: back, along: {begins} to length}}]}}"
        )
    text = HEAD % (thick, wide, long) + "\n".join(cuts) + "\n"
    return Board(text, shape, (long, wide, thick), taper, corners)


def _hole(chance: random.Random, long: int, wide: int) -> tuple[str, shapely.Polygon]:
    """A cut-out in the middle of the board, where no outline reaches: a slot, or a half circle on a rectangle."""
    a, b = long // 2 - chance.randint(30, 60), long // 2 + chance.randint(30, 60)
    c, d = wide // 2 - chance.randint(10, 20), wide // 2 + chance.randint(10, 20)
    if chance.random() < 0.5:
        radius = chance.randint(1, (d - c) // 2)
        hole = shapely.box(a + radius, c + radius, b - radius, d - radius).buffer(radius, quad_segs=SEGMENTS)
        place = f"{{piece: S, face: face side, along: {a} to {b}, across: {c} to {d}}}"
        return f"  hole: {{kind: cut-out, radius: {radius}, on: [{place}]}}", hole
    rise = chance.randint(2, (d - c) // 2)
    ring = disc((b, c), (b, d), radius_of(d - c, rise), False)
    hole = shapely.box(a, c, b, d).union(ring & shapely.box(b, c, b + 99, d))
    told = f"'{a}, {c}', '{b}, {c}', 'round to {b}, {d}, rise {rise}', '{a}, {d}', '{a}, {c}'"
    return f"  hole: {{kind: cut-out, on: [{{piece: S, face: face side}}], outline: [{told}]}}", hole


def _outline(chance: random.Random, long: int, wide: int) -> tuple[shapely.Polygon, list[str], bool]:
    half = chance.random() < 0.4
    reach = long // 2 if half else long
    left = shapely.box(0, 0, long, wide)
    lower, cut = _edge(chance, reach, wide, half)
    left -= _both(cut, long, half)
    left |= _both(_swell(lower), long, half)
    upper, cut = _edge(chance, reach, wide, half)
    cut = affinity.scale(cut, yfact=-1, origin=(0, wide / 2))
    left -= _both(cut, long, half)
    left |= _both(affinity.scale(_swell(upper), yfact=-1, origin=(0, wide / 2)), long, half)
    begins, corner = _corners(chance, wide)
    left -= _both(corner, long, half)
    low = [_said(*step) for step in lower.steps]
    top = [_said(x, wide - y, *more) for x, y, *more in _reversed(upper.steps)]
    if half:
        # from the centre line over the lower edge, end A and the upper edge back to it
        low = [_said(*step) for step in _reversed(lower.steps)]
        top = [_said(x, wide - y, *more) for x, y, *more in upper.steps]
        start = [f"hollow across, rise {lower.arch}"] if lower.arch else [f"{long / 2:g}, 0"]
        end = [f"hollow across, rise {upper.arch}"] if upper.arch else [f"{long / 2:g}, {wide}"]
        for edge, upside in ((lower, False), (upper, True)):
            if edge.arch:
                foot = edge.steps[-1][0]
                ring = disc((foot, 0), (long - foot, 0), radius_of(long - 2 * foot, edge.arch), True)
                ring &= shapely.box(0, 0, long, wide)
                left -= affinity.scale(ring, yfact=-1, origin=(0, wide / 2)) if upside else ring
        return left, [*start, *low, *begins, *top, *end], True
    # from end A along the lower edge, end B, back along the upper edge, end A
    every = [*low, f"{long}, 0", f"{long}, {wide}", *top, *_the_other_way(begins)]
    return left, [*every, every[0]], False


@dataclass
class _Edge:
    """An edge from near end A on: corners as (along, across, way and size), swellings as they are made of discs, and
    how high an arch over the middle is, 0 without."""

    steps: list[tuple]  # type: ignore[type-arg]
    swells: list[shapely.Polygon]
    arch: int = 0


def _edge(chance: random.Random, reach: int, wide: int, half: bool) -> tuple[_Edge, shapely.Polygon]:
    """The lower edge from 40 on, and what is cut off it."""
    edge, cut = _Edge([], []), shapely.Polygon()
    at = 70
    while at < reach - 150 and len(edge.steps) < 12:
        width, deep = chance.randint(30, 70), chance.randint(8, wide // 4)
        kind = chance.choice(["arch", "hollow", "notch", "swell", "vee", "none"])
        a, b = at, at + width
        if kind in ("arch", "hollow"):
            rise = min(deep, width // 2)
            radius = radius_of(width, rise) if kind == "arch" else width / 2 + deep
            cut |= disc((a, 0), (b, 0), radius, True) & shapely.box(a, 0, b, wide)
            size = f"rise {rise}" if kind == "arch" else f"radius {width / 2 + deep:g}"
            edge.steps += [(a, 0), (b, 0, "hollow", size)]
        elif kind == "notch":
            radius = chance.randint(1, min(deep, width) // 2 - 1)
            inner = shapely.box(a, -99, b, deep).buffer(-radius, join_style="mitre")
            cut |= inner.buffer(radius, quad_segs=SEGMENTS) & shapely.box(a, 0, b, deep)
            edge.steps += [(a, 0), (a, deep, "", f"rounded {radius}"), (b, deep, "", f"rounded {radius}"), (b, 0)]
        elif kind == "swell":
            rise = min(deep - 3, width // 2 - 1)
            cut |= shapely.box(a, 0, b, deep)
            ring = disc((a, deep), (b, deep), radius_of(width, rise), False)
            edge.swells.append(ring & shapely.box(a, 0, b, deep))
            edge.steps += [(a, 0), (a, deep), (b, deep, "round", f"rise {rise}"), (b, 0)]
        elif kind == "vee":
            cut |= shapely.Polygon([(a, 0), (b, 0), (a + width // 3, deep)])
            edge.steps += [(a, 0), (a + width // 3, deep), (b, 0)]
        at = b + chance.randint(15, 60)
    if half and chance.random() < 0.5 and at < reach - 20:
        edge.steps.append((at, 0))
        edge.arch = chance.randint(3, min(wide // 4, reach - at))
    return edge, cut


def _swell(edge: _Edge) -> shapely.Polygon:
    return shapely.union_all(edge.swells) if edge.swells else shapely.Polygon()


def _corners(chance: random.Random, wide: int) -> tuple[list[str], shapely.Polygon]:
    """Both corners of end A, from the lower one to the upper one: the corners and what they lose."""
    a, b = chance.randint(5, 60), chance.randint(5, 60)
    kind = chance.choice(["square", "rounded", "chamfer", "hollow"])
    if kind == "square":
        return ["0, 0", f"0, {wide}"], shapely.Polygon()
    if kind == "rounded":
        cut = shapely.box(0, 0, a, a) - shapely.Point(a, a).buffer(a, quad_segs=SEGMENTS)
        top = shapely.box(0, wide - b, b, wide) - shapely.Point(b, wide - b).buffer(b, quad_segs=SEGMENTS)
        return [f"0, 0, rounded {a}", f"0, {wide}, rounded {b}"], cut | top
    triangle = shapely.Polygon([(0, 0), (a, 0), (0, b)])
    if kind == "chamfer":
        return [f"{a}, 0", f"0, {b}", f"0, {wide}"], triangle
    radius = math.ceil(math.hypot(a, b) * chance.uniform(0.8, 1.5))
    ring = disc((a, 0), (0, b), radius, False) & shapely.box(0, 0, 999, wide)
    return [f"{a}, 0", f"hollow to 0, {b}, radius {radius}", f"0, {wide}"], triangle | ring


def _both(cut: shapely.Polygon, long: int, half: bool) -> shapely.Polygon:
    return cut | affinity.scale(cut, xfact=-1, origin=(long / 2, 0)) if half else cut


def _said(x: float, y: float, way: str = "", size: str = "") -> str:
    return f"{f'{way} to ' if way else ''}{x:g}, {y:g}" + (f", {size}" if size else "")


def _reversed(steps: list[tuple]) -> list[tuple]:  # type: ignore[type-arg]
    """Corners the other way round: an arc is written with the corner that it leads to."""
    found = []
    for step, after in zip(reversed(steps), [None, *reversed(steps)], strict=False):
        arc = after[2:] if after is not None and len(after) > 2 and after[2] else ()
        own = step[2:] if len(step) > 2 and not step[2] else ()
        found.append((*step[:2], *(arc or own)))
    return found


def _the_other_way(corners: list[str]) -> list[str]:
    """A written outline, or a part of one, walked the other way."""
    steps = []
    for corner in corners:
        arc, _, place = corner.rpartition(" to ")
        x, y, *size = place.split(", ")
        steps.append((float(x), float(y), arc, size[0] if size else ""))
    return [_said(*step) for step in _reversed(steps)]
