"""A stage closed, in its clamps: each a bar with its jaws where it goes, with its number."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, product

from shopdocs.blocks.drawing import Drawing, Stroke
from shopdocs.core.box import AXES, Box, Corner
from shopdocs.documents.drawn.build_pictures import IN_CLAMPS, MOST_DETAILED, pictured_build, strips_of
from shopdocs.documents.drawn.pictures import Laid, picture, standing
from shopdocs.documents.fitting.clamp_words import names_of
from shopdocs.documents.job import Job
from shopdocs.work.order.clamping import ClampSet
from shopdocs.work.order.stages import StageWork
from shopdocs.work.shapes.hidden import Segment
from shopdocs.work.shapes.projection import ISOMETRIC
from shopdocs.work.space.placed import Scene

# Parts of the longest side of what is clamped: how far a bar stands off, how thick a pad is drawn, how far its spindle
# and its bar stand out.
OFF, PAD, TAIL = 18, 40, 11
TAG_OFF = 9  # the same of how far the numbers of two clamps stand apart, at the least
TAG_WIDE = 2.5  # times as far beside each other as over each other, for words are wider than high
MOST_TRIED = 4  # clamps
# Times as deep as under the work, or on a side that is not seen, may the jaws reach from one that is seen.
MOST_DEEPER, DEEPER_BESIDE = 4, 2


@dataclass(frozen=True, slots=True)
class _Drawn:
    """A clamp as lines, the numbers it bears, and where along its bar they may stand, the best place first."""

    segments: tuple[Segment, ...]
    words: str
    spots: tuple[Corner, ...]


def clamped_picture(job: Job, work: StageWork, room_mm: tuple[float, float]) -> Drawing | None:
    """None where nothing is clamped, or pieces have no places."""
    # the same for every room, or its hidden lines would be found again for each: 3 % of the time of a whole set
    laid = job.once((IN_CLAMPS, work.number), lambda: _laid(job, work))
    if laid is None:
        return None
    drawing = picture(laid, room_mm, name=f"stage {work.number} in the clamps").drawing
    return replace(drawing, sketch=True, captioned=False)


def _laid(job: Job, work: StageWork) -> Laid | None:
    clamping = job.clampings.get(work.number)
    if job.space is None or clamping is None or not clamping.sets:
        return None
    by_mark = {piece.mark: piece for piece in pictured_build(job).pieces}
    marks = [piece.mark for _, piece in job.build.pieces() if piece.mark in work.members]
    if len(marks) > MOST_DETAILED:
        return None
    uncut = {piece.mark for _, piece in work.panels}  # joints and holes are cut when the panel is planed
    scene = Scene.of(replace(by_mark[mark], features=()) if mark in uncut else by_mark[mark] for mark in marks)
    mine, theirs = scene.ticks.per_mm, job.space.scene.ticks.per_mm
    index = {piece.mark: i for i, piece in enumerate(scene.pieces)}
    bars = []
    for each in clamping.sets:
        bodies = [scene.solids[index[mark]].bounds for mark in each.line.marks]
        ends = [tuple(v * mine // theirs for v in end) for end in each.line.ends]
        bars += list(_bars(each, bodies, scene, [(a, b, c) for a, b, c in ends]))
    return replace(
        standing(scene, strips=strips_of(job), pale=frozenset(marks)),
        ways=tuple(segment for bar in bars for segment in bar.segments),
        way_stroke=Stroke.REFERENCE,
        tags=_apart(bars, scene),
    )


def _apart(bars: Sequence[_Drawn], scene: Scene) -> tuple[tuple[Corner, str], ...]:
    """The numbers of the clamps, each where it stands off the others: bars behind each other may cross in the picture
    just where both would be named. Of few, every way to place them is tried."""
    named = [bar for bar in bars if bar.words]
    least = scene.ticks.length(max(scene.bounds.size)).float_mm() / TAG_OFF

    def off(one: Corner, other: Corner) -> float:
        (a, b), (c, d) = (ISOMETRIC.picture(spot, scene.ticks) for spot in (one, other))
        return max(abs((a - c).float_mm()) / TAG_WIDE, abs((b - d).float_mm()))

    def clear(spots: Sequence[Corner]) -> float:
        return min((off(one, other) for one, other in combinations(spots, 2)), default=least)

    if len(named) <= MOST_TRIED:
        ways = sorted(product(*(range(len(bar.spots)) for bar in named)), key=sum)
        tried = [tuple(bar.spots[k] for bar, k in zip(named, way, strict=True)) for way in ways]
        spots = next((way for way in tried if clear(way) >= least), None) or max(tried, key=clear)
        return tuple((spot, bar.words) for spot, bar in zip(spots, named, strict=True))
    seen: list[Corner] = []
    for bar in named:
        far = {spot: min((off(spot, other) for other in seen), default=least) for spot in bar.spots}
        seen.append(next((spot for spot in bar.spots if far[spot] >= least), max(far, key=lambda at: far[at])))
    return tuple((spot, bar.words) for spot, bar in zip(seen, named, strict=True))


def _bars(each: ClampSet, bodies: Sequence[Box], scene: Scene, ends: Sequence[Corner]) -> Iterator[_Drawn]:
    """The clamps of a line, spread along its run; those of a panel over and under it in turn. The one in the middle
    bears their numbers."""
    line, long = each.line, max(scene.bounds.size)
    if line.round:
        yield _round(Box.around(bodies), line.across, f"C{each.first}")
        return
    run = scene.ticks.nearest(line.run)
    middle = each.count // 2
    told = middle - 1 if not line.joints and middle % 2 else middle  # one that stands over the work
    for number in range(each.count):
        spots = []
        for end in ends:
            spot = list(end)
            spot[line.across] += run * (2 * number + 1 - each.count) // (2 * each.count)
            spots.append((spot[0], spot[1], spot[2]))
        under = not line.joints and number % 2 == 1
        k, above = _side(each, bodies, spots[0])
        above = above != under
        out = _outside(bodies, spots[0], line.axis, k, above) + (long if above else -long) // OFF
        words = names_of(each) if number == told else ""
        yield _bar(spots[0], spots[1], line.axis, (k, above), out, long, words)


def _side(each: ClampSet, bodies: Sequence[Box], spot: Corner) -> tuple[int, bool]:
    """The side of the work on which the bar is seen and lies nearest; under it or behind it where that is far nearer,
    for jaws reach only so deep. Where there are several, they stand side by side."""
    axis = each.line.axis
    seen = [(k, ISOMETRIC.toward[k] > 0) for k in AXES if k != axis]
    behind = [(k, not high) for k, high in seen if k != 2]

    def far(side: tuple[int, bool]) -> tuple[bool, int]:
        k, high = side
        away = abs(_outside(bodies, spot, axis, k, high) - spot[k])
        deeper = 1 if side in seen else MOST_DEEPER if k == 2 else DEEPER_BESIDE
        return each.count > 1 and k == each.line.across, away * deeper

    return min([*seen, *([(2, False)] if axis != 2 else []), *behind], key=far)


def _outside(bodies: Sequence[Box], spot: Corner, axis: int, k: int, high: bool) -> int:
    """Where the work ends on one side of a clamp, level with it."""
    other = 3 - axis - k
    level = [body for body in bodies if body.lo[other] <= spot[other] <= body.hi[other]] or list(bodies)
    return max(body.hi[k] for body in level) if high else min(body.lo[k] for body in level)


def _bar(low: Corner, high: Corner, axis: int, side: tuple[int, bool], out: int, long: int, words: str) -> _Drawn:
    """Bar, jaws, pads and spindle, as lines along the axes."""
    k, above = side
    pad, tail = max(1, long // PAD), max(1, long // TAIL)

    def at(along: int, off: int) -> Corner:
        spot = list(low)
        spot[axis], spot[k] = along, off
        return spot[0], spot[1], spot[2]

    first, last, level = low[axis] - pad, high[axis] + pad, low[k]
    beyond = level - pad if above else level + pad
    segments = (
        Segment(at(first - pad, out), at(last + tail, out)),
        Segment(at(first, out), at(first, beyond)),
        Segment(at(first, level), at(low[axis], level)),
        Segment(at(last, out), at(last, beyond)),
        Segment(at(high[axis], level), at(last + tail, level)),
    )
    span = high[axis] - low[axis]
    spots = tuple(at(low[axis] + span * part // 8, out) for part in (4, 2, 6, 1, 7))
    if k != 2 and above != (ISOMETRIC.toward[k] > 0):  # behind the work: named where the bar stands out beyond it
        spots = (at(last + tail, out), at(first - pad, out), *spots)
    return _Drawn(segments, words, spots)


def _round(box: Box, thin: int, words: str) -> _Drawn:
    """A band round the work, half way up its thickness."""
    u, v = (k for k in AXES if k != thin)

    def at(a: int, b: int) -> Corner:
        spot = [0, 0, 0]
        spot[thin], spot[u], spot[v] = (box.lo[thin] + box.hi[thin]) // 2, a, b
        return spot[0], spot[1], spot[2]

    corners = [at(box.lo[u], box.lo[v]), at(box.hi[u], box.lo[v]), at(box.hi[u], box.hi[v]), at(box.lo[u], box.hi[v])]
    segments = tuple(Segment(corners[i], corners[(i + 1) % 4]) for i in range(4))
    return _Drawn(segments, words, (corners[1], corners[2], corners[3], corners[0]))
