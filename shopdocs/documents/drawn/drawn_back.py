"""What goes on in a stage, as its picture shows it: how far each piece stands back from its place, and the arrows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence, Set
from fractions import Fraction
from itertools import groupby, product

from msgspec.structs import replace

from shopdocs.core.box import Box, Corner
from shopdocs.core.turn import Vector
from shopdocs.documents.drawn.arrow_ends import ASTRAY, Going, Tried, best_seen, looked
from shopdocs.work.order.closing import Closing
from shopdocs.work.order.straight import Way
from shopdocs.work.shapes.hidden import Segment
from shopdocs.work.shapes.projection import ISOMETRIC
from shopdocs.work.space.askew_piece import way_in_build
from shopdocs.work.space.contacts import Contacts, Pair
from shopdocs.work.space.placed import Scene

# What goes on stands back so far, as a part of the longest side: the first at which every mark has room, in large type.
STAGE_GAPS = (Fraction(1, 9), Fraction(1, 6), Fraction(1, 4))
# Parts of where two meet, both ways, at which an arrow may end: the middle first.
OVER = (Fraction(1, 2), Fraction(1, 6), Fraction(5, 6))


def drawn_back(
    contacts: Contacts, closings: Sequence[Closing], numbers: Sequence[str], share: Fraction = STAGE_GAPS[0]
) -> tuple[tuple[Corner, ...], list[Going]]:
    """How far each piece of a scene stands back from its place, in ticks, so that every move is seen; and an arrow for
    each move, from what moves to where it goes. Moves of one number follow each other: the one whose arrow is seen best
    bears it. A move that turns has two arrows, one for either way. `share` is what goes on stands back by, as a part of
    the longest side."""
    scene = contacts.scene
    index = {piece.mark: i for i, piece in enumerate(scene.pieces)}
    shifts: list[Corner] = [(0, 0, 0)] * len(scene.pieces)
    gap = int(max(scene.bounds.size) * share)
    standing_marks: set[str] = set()
    things: dict[str, tuple[str, ...]] = {}
    moves: list[tuple[str, Closing, set[int], set[int], list[Pair]]] = []
    for number, closing in zip(numbers, closings, strict=True):
        things |= dict.fromkeys(closing.what, closing.marks)
        movers = {index[mark] for mark in closing.marks if mark in index}
        met = [
            pair
            for i in movers
            for pair in contacts.of_piece[i]
            if (pair.touches or pair.mitre)
            and (pair.first in movers) != (pair.second in movers)
            and contacts.scene.pieces[pair.second if pair.first in movers else pair.first].mark in standing_marks
        ]
        met += _bored_together(scene, movers, [index[mark] for mark in closing.onto if mark in index], met)
        standing_marks |= set(closing.marks)
        if not closing.onto or not met:
            continue
        _draw_back(contacts, shifts, movers, met, closing, gap)
        onto = {index[mark] for name in closing.onto for mark in things.get(name, (name,)) if mark in index}
        moves.append((number, closing, movers, onto, met))
    view = looked(scene, shifts) if moves else None
    arrows: list[tuple[str, int, list[Going]]] = []
    for number, closing, movers, onto, met in moves:
        named = [pair for pair in met if onto & {pair.first, pair.second}] or met
        tries = [tried for pair in named for tried in _tries(scene, shifts, pair, movers, closing)]
        if tries and view is not None:
            arrows.append((number, *best_seen(tries, movers, onto, view)))
    return tuple(shifts), [going for _, run in groupby(arrows, lambda one: one[0]) for going in _numbered([*run])]


def _numbered(run: Sequence[tuple[str, int, list[Going]]]) -> Iterator[Going]:
    """The arrows of moves that are one step, its number on the one that is seen best; others of which nothing could be
    seen are left out."""
    best = min(range(len(run)), key=lambda number: run[number][1])
    for number, (words, fault, goings) in enumerate(run):
        if number == best:
            yield replace(goings[0], words=words)
            yield from goings[1:]
        elif fault < ASTRAY:
            yield from goings


def _tries(scene: Scene, shifts: Sequence[Corner], pair: Pair, movers: Set[int], closing: Closing) -> Iterator[Tried]:
    """The arrows that a move could have, to where these two meet."""
    mover, stays = (pair.first, pair.second) if pair.first in movers else (pair.second, pair.first)
    boxes = [(touch.axis, touch.where) for touch in sorted(pair.touches, key=lambda touch: -touch.area)]
    boxes = boxes or ([(-1, pair.mitre)] if pair.mitre is not None else [])
    aside, (axis, _) = _aside(closing, scene), closing.toward
    for number, (across, where) in enumerate(boxes):
        for place, shares in enumerate(product(OVER, repeat=3)):
            if any(share != OVER[0] and not long for share, long in zip(shares, where.size, strict=True)):
                continue
            a, b, c = (low + int(long * share) for low, long, share in zip(where.lo, where.size, shares, strict=True))
            start, end = _sum((a, b, c), shifts[mover]), _sum((a, b, c), shifts[stays])
            legs = [*_legs(start, end, closing, aside)]
            if legs:
                deep = -ISOMETRIC.depth((a, b, c))
                at_place = all(abs(u - v) <= scene.ticks.per_mm for u, v in zip(legs[-1].end, end, strict=True))
                slides = 0 if across in (axis, -1) else where.size[axis]
                rank = (min(number + place, 1), deep, pair.first)
                yield Tried(tuple(legs[:-1]), legs[-1], closing.toward, mover, stays, slides, at_place, rank)


def _aside(closing: Closing, scene: Scene) -> Vector:
    """How far something goes along the directions of the build beside the one that it moves `toward`, for each step in
    that: nothing where it goes straight."""
    (axis, high), found = closing.toward, [0.0, 0.0, 0.0]
    if closing.also is not None:  # as far aside as along
        found[closing.also[0]] = 1.0 if closing.also[1] else -1.0
    elif closing.along in (piece.mark for piece in scene.pieces):
        way = way_in_build(scene.pieces[scene.index(closing.along)], 0)
        on = way[axis] if high else -way[axis]
        found = [0.0 if k == axis else value / on for k, value in enumerate(way)]
    return found[0], found[1], found[2]


def _legs(start: Corner, end: Corner, closing: Closing, aside: Vector) -> Iterator[Segment]:
    """From where something stands drawn back to its place: straight, on a slant, or round a corner."""
    axis, high = closing.toward
    if (end[axis] > start[axis]) != high or end[axis] == start[axis]:
        return
    corner, tip = list(start), list(start)
    if closing.first is not None:  # level with its place before it turns
        corner[closing.first[0]] = tip[closing.first[0]] = end[closing.first[0]]
        yield Segment(start, (corner[0], corner[1], corner[2]))
    tip[axis] = end[axis]
    tip = [at + round(abs(end[axis] - start[axis]) * by) for at, by in zip(tip, aside, strict=True)]
    yield Segment((corner[0], corner[1], corner[2]), (tip[0], tip[1], tip[2]))


def _draw_back(
    contacts: Contacts, shifts: list[Corner], movers: Set[int], met: Sequence[Pair], closing: Closing, gap: int
) -> None:
    """Moves what goes on clear of what it goes onto, from where that stands drawn back itself; round a corner on both
    ways, as far as it is long on the first."""
    axis, high = closing.toward
    sense = -1 if high else 1
    ends = [(p.first, p.second) if p.first in movers else (p.second, p.first) for p in met]
    far = max(
        gap + _reach(contacts, pair, movers, closing.toward) - sense * (shifts[mover][axis] - shifts[stays][axis])
        for pair, (mover, stays) in zip(met, ends, strict=True)
    )
    mover, stays = ends[0]
    step = [b - a for a, b in zip(shifts[mover], shifts[stays], strict=True)]
    step[axis] = sense * max(0, far)
    step = [at - round(max(0, far) * by) for at, by in zip(step, _aside(closing, contacts.scene), strict=True)]
    if closing.first is not None:
        along, up = closing.first
        long = max(contacts.scene.solids[i].bounds.size[along] for i in movers)
        step[along] += (gap + min(long, 2 * gap)) * (-1 if up else 1)
    for i in movers:
        shifts[i] = _sum(shifts[i], (step[0], step[1], step[2]))


def _bored_together(scene: Scene, movers: Set[int], onto: Sequence[int], met: Sequence[Pair]) -> Iterator[Pair]:
    """Pairs that no two flats meet in, as where a rung ends in the side of a round: they meet where the tenon is."""
    known = {(pair.first, pair.second) for pair in met}
    for first, second in (sorted((i, j)) for i in movers for j in onto):
        if (first, second) in known or not (scene.pieces[first].turned or scene.pieces[second].turned):
            continue
        one, two = (scene.solids[k].bounds for k in (first, second))
        joined = {each.joint for each in scene.pieces[first].features if each.joint}
        joined &= {each.joint for each in scene.pieces[second].features}
        for number, other in ((first, two), (second, one)):
            for tenon in scene.pieces[number].cuboids:
                if not tenon.adds or tenon.joint not in joined:
                    continue
                ends = scene.pieces[number].range_in_build(tenon.lo, tenon.hi)
                low, high = ([round(v.mm * scene.ticks.per_mm) for v in end] for end in ends)
                shared = Box((low[0], low[1], low[2]), (high[0], high[1], high[2])).common(other)
                if shared is not None:
                    yield Pair(first, second, 0, (), (), shared)


def _reach(contacts: Contacts, pair: Pair, movers: Set[int], toward: Way) -> int:
    """How far one piece reaches into the other, against the way they go together."""
    axis, high = toward
    mover, stays = (pair.first, pair.second) if pair.first in movers else (pair.second, pair.first)
    one, two = contacts.scene.solids[mover].bounds, contacts.scene.solids[stays].body
    depth = one.hi[axis] - two.lo[axis] if high else two.hi[axis] - one.lo[axis]
    return min(max(0, depth), two.size[axis])


def _sum(one: Corner, two: Corner) -> Corner:
    return (one[0] + two[0], one[1] + two[1], one[2] + two[2])
