"""Hidden lines against rays cast through every sample point, and the projection against ISO 5456-3.

The rays know nothing of edges or faces: a line of the picture is seen exactly where the first surface met just beside
it, on one side, is another plane or another piece than on the other side.
"""

from __future__ import annotations

import math
import random
from bisect import bisect_right

import pytest

from shopdocs.core.box import Box, Ticks
from shopdocs.core.length import Length
from shopdocs.work.shapes.hidden import Outline, Screens, Segment, outline
from shopdocs.work.shapes.projection import (
    FRONT,
    ISOMETRIC,
    ISOMETRIC_BELOW,
    ISOMETRIC_LEFT,
    SHORTENING,
    TOP,
    VIEWS,
    View,
)
from shopdocs.work.shapes.seen import visible_spots
from shopdocs.work.shapes.solid import Solid
from tests.work.scenes import apart, random_solid

Hit = tuple[float, int, int] | None  # how near the eye, axis and level of the plane that is met


def _through(box: Box, at: list[float], view: View) -> tuple[Hit, Hit]:
    """Where the line of sight through `at` enters and leaves a box, far end first."""
    far, near = (-math.inf, -1, 0), (math.inf, -1, 0)
    for k in range(3):
        d = view.toward[k]
        if d == 0:
            if not box.lo[k] < at[k] < box.hi[k]:
                return None, None
            continue
        one, two = ((box.lo[k] - at[k]) / d, k, box.lo[k]), ((box.hi[k] - at[k]) / d, k, box.hi[k])
        far, near = max(far, min(one, two)), min(near, max(one, two))
    return (far, near) if far[0] < near[0] else (None, None)


def _first_surface(solids: list[Solid], at: list[float], view: View) -> tuple[int, int, int] | None:
    """Piece, axis and level of the plane nearest to the eye on a line of sight; None where it meets nothing."""
    best: tuple[float, tuple[int, int, int]] | None = None
    for number, solid in enumerate(solids):
        filled = [span for box in (solid.body, *solid.adds) if (span := _through(box, at, view))[0] is not None]
        cut = [span for box in solid.cuts if (span := _through(box, at, view))[0] is not None]
        # from the eye inward: the candidates are near ends of filled spans and far ends of cut spans
        ends = [near for _, near in filled] + [far for far, _ in cut]
        for t, axis, level in sorted(ends, reverse=True):
            inside = t - 1e-6
            if any(far[0] < inside < near[0] for far, near in filled) and not any(
                far[0] < inside < near[0] for far, near in cut
            ):
                if best is None or t > best[0]:
                    best = (t, (number, axis, level))
                break
    return None if best is None else best[1]


def _drawn(picture: Outline, segments: tuple[Segment, ...]):
    """A test whether a point of the picture, on a line along `axis`, lies on one of the segments."""
    d = picture.view.toward
    lines: dict[tuple[int, tuple[float, ...]], list[tuple[float, float]]] = {}

    def key(axis: int, at: list[float]) -> tuple[tuple[int, tuple[float, ...]], float]:
        # slide along the line of sight until the coordinate `other` is 0: what is left names the place in the picture
        other = next(k for k in range(3) if d[k] and k != axis)
        flat = [at[k] - d[k] * d[other] * at[other] for k in range(3)]
        return (axis, tuple(round(v, 6) for k, v in enumerate(flat) if k != axis)), flat[axis]

    for segment in segments:
        axis = next(k for k in range(3) if segment.start[k] != segment.end[k])
        name, low = key(axis, list(segment.start))
        lines.setdefault(name, []).append((low, low + segment.end[axis] - segment.start[axis]))
    for spans in lines.values():
        spans.sort()

    def test(axis: int, at: list[float]) -> bool:
        name, along = key(axis, at)
        spans = lines.get(name, [])
        i = bisect_right(spans, (along, math.inf)) - 1
        return i >= 0 and spans[i][0] < along < spans[i][1]

    return test


def _sample_points(rnd: random.Random, solids: list[Solid], view: View, count: int):
    """Points along the edges of all boxes the solids are made of, never where two lines of the picture may cross."""
    for _ in range(count):
        solid = rnd.choice(solids)
        box = rnd.choice((solid.body, *solid.adds, *solid.cuts))
        axis = rnd.choice([k for k in range(3) if any(view.toward[m] for m in range(3) if m != k)])
        at: list[float] = [rnd.choice((box.lo[k], box.hi[k])) for k in range(3)]
        at[axis] = rnd.randrange(box.lo[axis], box.hi[axis]) + rnd.uniform(0.2, 0.8)
        yield axis, at


def _two_sides(view: View, axis: int, at: list[float]) -> tuple[list[float], list[float]]:
    """Points a little to either side of the picture of a line along `axis`."""
    other = next(k for k in range(3) if k != axis and any(view.toward[m] for m in range(3) if m not in (k, axis)))
    return tuple([v + s * 0.01 * (k == other) for k, v in enumerate(at)] for s in (-1, 1))  # type: ignore[return-value]


@pytest.mark.parametrize("view", VIEWS, ids=lambda view: view.name)
def test_seen_lines_are_those_the_rays_see(view):
    rnd = random.Random(view.name)
    seen = 0
    for _ in range(12):
        solids = apart([random_solid(rnd) for _ in range(rnd.randint(1, 14))])
        if not solids:
            continue
        picture = outline(solids, view, Ticks(1))
        on_seen, on_hidden = _drawn(picture, picture.visible), _drawn(picture, picture.hidden)
        for axis, at in _sample_points(rnd, solids, view, 250):
            left, right = (_first_surface(solids, side, view) for side in _two_sides(view, axis, at))
            assert on_seen(axis, at) == (left != right), (view.name, axis, at, left, right)
            assert not (on_seen(axis, at) and on_hidden(axis, at))
            seen += left != right
    assert seen > 300


def test_hidden_lines_lie_on_true_edges():
    """Every edge of a plain box is drawn whole, part seen, part hidden: 12 edges of 3, 4 and 5 mm, twice."""
    solids = [Solid(Box((0, 0, 0), (3, 4, 5))), Solid(Box((50, 0, 0), (53, 4, 5)))]
    picture = outline(solids, ISOMETRIC, Ticks(1))

    def drawn(segments):
        return sum(abs(b - a) for s in segments for a, b in zip(s.start, s.end, strict=True))

    # by hand: 4 (3 + 4 + 5) = 48 a box; the three edges at the far corner are hidden, 3 + 4 + 5 = 12
    assert drawn(picture.visible) == 2 * 36
    assert drawn(picture.hidden) == 2 * 12


def test_visible_spots_are_seen_by_a_ray():
    rnd = random.Random(5)
    for _ in range(20):
        solids = apart([random_solid(rnd, 40, 30) for _ in range(10)])
        for number, spot in enumerate(visible_spots([_scaled(s, 100) for s in solids], ISOMETRIC)):
            if spot is not None:
                hit = _first_surface(
                    [_scaled(s, 100) for s in solids], [v + 1e-3 * k for k, v in enumerate(spot)], ISOMETRIC
                )
                assert hit is not None
                assert hit[0] == number


def test_spots_are_looked_for_on_those_alone_that_are_asked_for():
    rnd = random.Random(7)
    solids = [_scaled(solid, 100) for solid in apart([random_solid(rnd, 40, 30) for _ in range(12)])]
    every = visible_spots(solids, ISOMETRIC)
    assert sum(spot is not None for spot in every) >= 2
    for wanted in ([0], [1, 2], []):
        found = visible_spots(solids, ISOMETRIC, wanted)
        assert found == [spot if number in wanted else None for number, spot in enumerate(every)]


def test_a_face_that_one_nearer_face_covers_shows_no_point():
    rnd = random.Random(11)
    covered = shown = 0
    for _ in range(20):
        solids = apart([random_solid(rnd, 40, 30) for _ in range(12)])
        faces = [(k, cell.face(k, ISOMETRIC.toward[k] > 0)) for s in solids for cell in s.cells for k in range(3)]
        for (axis, face), hidden in zip(faces, Screens(solids, ISOMETRIC).covers([f for _, f in faces]), strict=True):
            seen = 0
            for _ in range(8):
                at = [rnd.uniform(low, high) for low, high in zip(face.lo, face.hi, strict=True)]
                hit = _first_surface(solids, at, ISOMETRIC)
                seen += hit is not None and hit[1:] == (axis, face.lo[axis])
            covered += bool(hidden)
            shown += seen > 0
            assert not (hidden and seen)
    assert covered > 50
    assert shown > 50


def _scaled(solid: Solid, by: int) -> Solid:
    def box(b: Box) -> Box:
        return Box.between([v * by for v in b.lo], [v * by for v in b.hi])

    return Solid(box(solid.body), tuple(map(box, solid.adds)), tuple(map(box, solid.cuts)))


def _vector(view: View, step: tuple[int, int, int]) -> tuple[float, float]:
    (x0, y0), (x1, y1) = (view.picture((v[0] * 10**6, v[1] * 10**6, v[2] * 10**6), Ticks(1)) for v in ((0, 0, 0), step))
    return float((x1 - x0).mm) / 1e6, float((y1 - y0).mm) / 1e6


def test_isometric_axes_after_iso_5456_3():
    """ISO 5456-3, 5.1: z vertical, x and y at 30 degrees to the horizontal, the same scale on all three axes."""
    for view in (ISOMETRIC, ISOMETRIC_LEFT, ISOMETRIC_BELOW):
        x, y, z = (_vector(view, step) for step in ((1, 0, 0), (0, 1, 0), (0, 0, 1)))
        assert abs(z[0]) < 1e-9
        assert abs(z[1]) == pytest.approx(1, abs=1e-9)
        for axis in (x, y):
            assert math.hypot(*axis) == pytest.approx(1, abs=1e-9)
            assert math.degrees(math.atan(abs(axis[1] / axis[0]))) == pytest.approx(30, abs=1e-6)


def test_isometric_shortening_is_that_of_a_true_projection():
    """Each axis is foreshortened by sqrt(2/3); compared with projecting by matrix on the plane square to (1, -1, 1)."""
    assert float(SHORTENING) == pytest.approx(math.sqrt(2 / 3), abs=1e-15)
    n = [1 / math.sqrt(3), -1 / math.sqrt(3), 1 / math.sqrt(3)]
    for k in range(3):
        step = tuple(int(m == k) for m in range(3))
        in_plane = [step[m] - n[m] * n[k] for m in range(3)]
        assert math.hypot(*_vector(ISOMETRIC.shortened(), step)) == pytest.approx(math.hypot(*in_plane), abs=1e-8)
    # a cube's far and near corner fall on one point
    assert ISOMETRIC.picture((0, 10, 0), Ticks(1)) == ISOMETRIC.picture((10, 0, 10), Ticks(1))


def test_orthographic_views_keep_lengths():
    assert FRONT.picture((7, 99, 5), Ticks(2)) == (Length("3.5"), Length("2.5"))
    assert TOP.picture((7, 9, 99), Ticks(1)) == (Length(7), Length(9))


def test_lines_of_one_solid_among_others_do_not_depend_on_what_was_asked_before():
    """Screens keep what is seen of each solid. Asked one by one, in any order, or all at once, and of screens made
    anew for each, the answers are the same."""
    rng = random.Random(5)
    solids = [random_solid(rng) for _ in range(5)]
    for view in (ISOMETRIC, FRONT):
        kept = Screens(solids, view)
        whole = outline(solids, view, Ticks(), screens=kept)
        assert whole == outline(solids, view, Ticks())
        for numbers in ({3}, {0, 4}, {1, 2, 3}):
            assert outline(solids, view, Ticks(), numbers, kept) == outline(solids, view, Ticks(), numbers)
