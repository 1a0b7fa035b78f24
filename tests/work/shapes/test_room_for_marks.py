"""Free windows against numpy's own sliding ones, and marks of random pictures: a search that gives up early finds all
of them where the patient one does, and another geometry library sees what each mark and leader lies on."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.lib.stride_tricks import sliding_window_view
from shapely import LineString, MultiLineString, Point, box, union_all
from shapely.geometry.base import BaseGeometry

from shopdocs.work.shapes.mark_room import Wanted, _full, room_for_marks
from shopdocs.work.shapes.pixels import FINE_MM, Pixels, Spot, number_of


@pytest.mark.parametrize(("high", "wide"), [(1, 1), (1, 6), (5, 1), (3, 7), (8, 12), (13, 2), (21, 3), (3, 33)])
def test_a_window_is_free_where_all_its_squares_are(high: int, wide: int) -> None:
    dice = np.random.default_rng(high * 100 + wide)
    for share in (0.5, 0.9, 0.99):
        mask = dice.random((20, 32)) < share
        found = _full(mask, high, wide)
        if high > 20 or wide > 32:
            assert not found.size
        else:
            assert np.array_equal(found, sliding_window_view(mask, (high, wide)).all(axis=(2, 3)))


def picture(dice: np.random.Generator, pieces: int) -> Pixels:
    """Rectangles over each other on paper of 63 by 56 mm, each the face of a piece of its own."""
    seen = np.zeros((80, 90), dtype=np.int32)
    for number in range(pieces):
        top, left = dice.integers(10, 55), dice.integers(10, 65)
        high, wide = dice.integers(3, 14), dice.integers(3, 14)
        seen[top : top + high, left : left + wide] = number_of(number, int(dice.integers(0, 3)))
    return Pixels(seen, (0.0, 0.0))


@pytest.mark.thorough
def test_a_search_for_all_gives_up_only_where_some_have_no_place() -> None:
    outcomes = []
    for seed in range(60):
        dice = np.random.default_rng(seed)
        pieces = int(dice.integers(10, 22))
        shown = picture(dice, pieces)
        wanted = [Wanted(f"P{n}", 11.0, 5.0, (n,)) for n in range(pieces)]
        stands, left = room_for_marks(shown, wanted)
        early, lost = room_for_marks(shown, wanted, whole=True)
        assert bool(lost) == bool(left), seed
        if not left:
            assert early == stands, seed
        assert {stand.words for stand in stands} == {want.words for want in wanted} - set(left)
        for n, one in enumerate(stands):  # no two marks over each other
            assert all(abs(one.at[0] - two.at[0]) >= 11 or abs(one.at[1] - two.at[1]) >= 5 for two in stands[:n]), seed
        outcomes.append(bool(left))
    assert {True, False} == set(outcomes)


def squares(flags: np.ndarray) -> BaseGeometry:
    """The squares of paper that are set, as one area."""
    side = FINE_MM
    return union_all(
        [box(c * side, r * side, (c + 1) * side, (r + 1) * side) for r, c in zip(*np.nonzero(flags), strict=True)]
    )


def words_of(at: Spot, wide: float, tall: float, air: float = 0.0, more: float = 0.0) -> BaseGeometry:
    """The words with their middle there and so much air round them, and more over and under them."""
    x, y = wide / 2 + air, tall / 2 + air + more
    return box(at[0] - x, at[1] - y, at[0] + x, at[1] + y)


def notched(dice: np.random.Generator, pieces: int) -> Pixels:
    """The same, with a notch of free paper in every third piece, and some paper punched out of all."""
    shown = picture(dice, pieces)
    for number in range(0, pieces, 3):
        rows, columns = np.nonzero(shown.solids == number + 1)
        if len(rows):
            shown.seen[rows.min() : int(rows.mean()) + 1, int(columns.mean()) : int(columns.mean()) + 5] = 0
    return Pixels(shown.seen, (0.0, 0.0))


@pytest.mark.parametrize("seed", range(24))
def test_marks_and_leaders_lie_on_what_is_theirs(seed: int) -> None:
    """Words on a piece lie in one face of it, with 0.6 mm to spare and more above and below, as near its middle as they
    can. Those on paper keep 1 mm from every piece and 0.6 from what is inked. A leader is 3 mm long or longer, begins
    on its piece, ends 0.9 beside the words, leaves the piece once, and touches no other piece, no words, no other
    leader and nothing that lies over the picture."""
    dice = np.random.default_rng(seed)
    shown = notched(dice, 12)
    wide, tall = ((3.0, 1.6), (4.0, 2.2))[seed % 2]
    starts = dice.uniform(5, 50, (14, 2))
    lines = list(
        zip(map(tuple, starts.tolist()), map(tuple, (starts + dice.uniform(-5, 5, (14, 2))).tolist()), strict=True)
    )
    inked, over = lines[:10], lines[10:]
    stands, _ = room_for_marks(shown, [Wanted(str(n), wide, tall, (n,)) for n in range(12)], inked, over=over)
    every, drawn, above = squares(shown.seen > 0), MultiLineString(inked), MultiLineString(over)
    for stand in stands:
        own, mine = squares(shown.solids == int(stand.words) + 1), words_of(stand.at, wide, tall)
        for other in stands:
            if other is not stand:
                assert mine.disjoint(words_of(other.at, wide, tall))
        assert mine.disjoint(above)
        if stand.tip is None or stand.end is None:
            faces = [shown.seen == number_of(int(stand.words), axis) for axis in range(3)]
            assert any(squares(face).covers(words_of(stand.at, wide, tall, 0.59, 0.15 * tall)) for face in faces)
            continue
        air = words_of(stand.at, wide, tall, 0.99)
        assert air.disjoint(every)
        assert words_of(stand.at, wide, tall, 0.6).disjoint(drawn)
        leader = LineString((stand.tip, stand.end))
        assert leader.length >= 3
        assert mine.distance(leader) == pytest.approx(0.9)
        assert own.covers(Point(stand.tip).buffer(0.3))
        assert not isinstance(leader.difference(own), MultiLineString)
        assert leader.disjoint(above)
        assert leader.intersection(every.difference(own)).length < 0.05
        for other in stands:
            if other is not stand:
                assert leader.disjoint(words_of(other.at, wide, tall))
                if other.tip is not None:
                    assert leader.disjoint(LineString((other.tip, other.end)))


@pytest.mark.parametrize("seed", range(4))
def test_words_on_a_piece_stand_as_near_its_middle_as_they_can(seed: int) -> None:
    """By every window of numpy: 3 mm of words and 0.6 on both sides take 6 squares of 0.7 mm; 1.6 mm of height with 0.6
    above and below 4, and 1 more for 0.3 of that height."""
    shown = notched(np.random.default_rng(seed), 5)
    for number in range(5):
        stands, _ = room_for_marks(shown, [Wanted("P", 3.0, 1.6, (number,))])
        face = max((shown.seen == number_of(number, axis) for axis in range(3)), key=np.count_nonzero)
        fits = np.argwhere(sliding_window_view(face, (5, 6)).all(axis=(2, 3)))
        assert bool(len(fits)) == any(stand.tip is None for stand in stands)
        if len(fits):
            middle = (np.argwhere(face).mean(axis=0) + 0.5) * FINE_MM
            nearest = np.hypot(*((fits + np.array((2.5, 3.0))) * FINE_MM - middle).T).min()
            assert np.hypot(*(stands[0].at[::-1] - middle)) == pytest.approx(nearest, abs=FINE_MM)


def slivers(dice: np.random.Generator, pieces: int) -> Pixels:
    """Pieces of which many are seen a square wide, over each other on paper with little room."""
    seen = np.zeros((44, 52), dtype=np.int32)
    for number in range(pieces):
        high, wide = dice.choice([1, 1, 2, 5, 14]), dice.choice([1, 1, 2, 5, 14])
        top, left = dice.integers(0, 45 - high), dice.integers(0, 53 - wide)
        seen[top : top + high, left : left + wide] = number_of(number, int(dice.integers(0, 3)))
    return Pixels(seen, (0.0, 0.0))


def test_a_dot_has_room_where_four_squares_are_seen_together() -> None:
    """Against every square and its three neighbours one by one."""
    for seed in range(12):
        shown = slivers(np.random.default_rng(seed), 30)
        rows, columns = shown.solids.shape
        found = set()
        for row in range(rows - 1):
            for column in range(columns - 1):
                around = {int(n) for n in shown.solids[row : row + 2, column : column + 2].ravel()}
                if len(around) == 1 and around != {0}:
                    found |= {around.pop() - 1}
        assert shown.dotted == found, seed
        assert shown.dotted < set(shown.sizes), seed


def test_pieces_without_room_are_passed_by_and_nothing_else_changes() -> None:
    """Against the same search with every piece looked at closely, for marks that may point at many pieces."""
    outcomes = set()
    for seed in range(40):
        dice = np.random.default_rng(seed)
        shown = slivers(dice, 36)
        numbers, marks = dice.permutation(36).tolist(), 1 + seed % 6
        wanted = [Wanted(f"M{n}", 3.0 + seed % 5, 2.0, tuple(numbers[n::marks])) for n in range(marks)]
        quick, whole = bool(seed % 2), bool(seed % 3)
        found = room_for_marks(shown, wanted, quick=quick, whole=whole)
        plain = Pixels(shown.seen, shown.low)
        plain.__dict__["dotted"] = frozenset(range(36))
        assert found == room_for_marks(plain, wanted, quick=quick, whole=whole), seed
        outcomes.add(bool(found[1]))
    assert outcomes == {True, False}
