"""The leaders of a piece drawing: from what is said beside the cuts and holes to one of those it speaks of, and over
none that it does not."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from shopdocs.blocks.drawing import Leader, Point
from shopdocs.core.length import Length
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.drawn.measures import Box, extents_mm, figures_pt, joined_boxes, words_at_leader
from shopdocs.documents.drawn.notes import Ground, place_note, place_note_inside, runs_through
from shopdocs.documents.drawn.piece_notes import Note, middle_of
from shopdocs.documents.drawn.piece_views import PieceView, PieceViews
from shopdocs.model.joining import Face
from shopdocs.work.shapes.note_room import Spot as Stop
from shopdocs.work.shapes.note_room import Stretch
from shopdocs.work.space.placed import Bore, Spot

ELSEWHERE = (6, 10, 4, 12, 2, 14)  # of sixteen
BESIDE_HOLE = (3, -3, 5, -5)  # of sixteen
_TOUCH_MM = 0.05  # a leader that only touches the border of a cut does not run over it


@dataclass(frozen=True, slots=True)
class Placed:
    """Leaders with their words; how many cuts, holes and additions they run over that they do not name, and how many
    cuts of the same kind they pass by, so that one asks which is meant."""

    leaders: tuple[Leader, ...]
    astray: int
    past: int

    @property
    def confusing(self) -> tuple[int, int]:
        """The less, the better."""
        return self.astray, self.past


@dataclass(frozen=True, slots=True)
class _Lead:
    """A note and its leader from `at` to its tip, one of `tips` in millimetres of paper (`points` in true measure)."""

    note: Note
    points: Sequence[Point]
    tips: Sequence[Stop]
    tip: Stop
    at: Stop
    size: float

    @property
    def words(self) -> Box:
        """What the words take of the paper."""
        return words_at_leader(self.tip, self.at, self.note.words, self.size)


@dataclass(frozen=True, slots=True)
class Leaders:
    """Places notes on the views of a piece. Words with fractions are set so large that one can work by them. They keep
    off the `arms` of the crosses in holes where the drawing takes no more paper by it."""

    gauged: Gauged
    views: PieceViews
    scale: Fraction
    size_pt: float
    bare: bool
    arms: tuple[Stretch, ...] = ()

    def placed(
        self,
        notes: Sequence[Note],
        taken: Ground,
        sheet: Box,
        extents: Box,
        is_room: Callable[[Box], bool] | None,
    ) -> Placed | None:
        """All notes, long words first; with `is_room`, None where not all of them find it on the sheet."""
        leads: list[_Lead] = []
        before, astray, past, box = taken, 0, 0, extents
        search = place_note_inside if is_room is not None else place_note
        for note in sorted(notes, key=lambda one: (-len(one.words), one.words, str(one.spots[0]))):
            view = self.view_of(note.face)
            size = self.size_pt if self.bare else figures_pt(note.words, self.size_pt)
            points = [view.place(self._beside_holes(note, spot)) for spot in note.spots]
            tips = [(x.float_mm(self.scale), y.float_mm(self.scale)) for x, y in points]
            others = self.others(note)
            found = search(tips, note.words, taken, sheet, size, others)
            if found is not None and _over(found, others) and (more := elsewhere(self.views, note)):
                # from its middle a long cut is not to be named: something else lies beside it there
                points += [view.place(spot) for spot in more]
                tips = [(x.float_mm(self.scale), y.float_mm(self.scale)) for x, y in points]
                found = search(tips, note.words, taken, sheet, size, others)
            if found is None:
                return None
            tip, at = found
            taken = taken.with_note(tip, at, note.words, size)
            astray += _over((tip, at), others)
            past += self._passed(note, tip, at)
            leads.append(_Lead(note, points, tips, tip, at, size))
            box = joined_boxes(box, extents_mm([self._leader(leads[-1])], self.scale))
            if is_room is not None and not is_room(box):
                return None
        leads = self._off_arms(leads, before, box)
        return Placed(tuple(self._leader(lead) for lead in leads), astray, past)

    def _leader(self, lead: _Lead) -> Leader:
        end = (self.views.true(lead.at[0]), self.views.true(lead.at[1]))
        return Leader(lead.points[lead.tips.index(lead.tip)], end, lead.note.words, size_pt=lead.size)

    def _off_arms(self, leads: Sequence[_Lead], before: Ground, box: Box) -> list[_Lead]:
        """The leaders, their words moved off the arms of crosses where that is as clear of all else and the drawing
        takes no more paper than its `box`."""
        moved = list(leads)
        for number, lead in enumerate(leads):
            if not any(runs_through(arm, lead.words) for arm in self.arms):
                continue
            taken = before.with_lines(self.arms)
            for other in (*moved[:number], *moved[number + 1 :]):
                taken = taken.with_note(other.tip, other.at, other.note.words, other.size)
            others = self.others(lead.note)
            found = place_note_inside(lead.tips, lead.note.words, taken, box, lead.size, others)
            if found is not None and _over(found, others) <= _over((lead.tip, lead.at), others):
                moved[number] = replace(lead, tip=found[0], at=found[1])
        return moved

    def _beside_holes(self, note: Note, spot: Spot) -> Spot:
        """The middle of what is drawn of a cut; beside it where a hole is bored there, which the words would seem to
        speak of."""
        middle = drawn_spot(self.views, note, spot)
        cut = next((one for one in self.gauged.shown if note.shown is not None and middle_of(one) == spot), None)
        holes = [self._hole(bore) for bore in self.gauged.piece.bores if bore.face is note.face]
        if cut is None or not holes:
            return middle
        long = cut.hi[0] - cut.lo[0]
        spots = [middle, *((middle[0] + long * share / 16, middle[1], middle[2]) for share in BESIDE_HOLE)]
        clear = (each for each in spots if not any(_is_in(self._paper(note.face, each), hole) for hole in holes))
        return next(clear, middle)

    def _paper(self, face: Face, spot: Spot) -> tuple[float, float]:
        x, y = self.view_of(face).place(spot)
        return x.float_mm(self.scale), y.float_mm(self.scale)

    def view_of(self, face: Face) -> PieceView:
        """The view that shows a face."""
        return self.views.long.get(face) or self.views.ends.get(face) or self.views.base

    def others(self, note: Note) -> list[Box]:
        """The cuts, holes and additions that a note does not speak of, in millimetres of paper."""
        named = {one.cuboid.joint for one in note.speaks_of}
        boxes = [
            self._box(shown.face, shown.lo, shown.hi) for shown in self.gauged.shown if shown.cuboid.joint not in named
        ]
        return boxes + [self._hole(bore) for bore in self.gauged.piece.bores if bore.centre not in note.spots]

    def _passed(self, note: Note, tip: tuple[float, float], at: tuple[float, float]) -> int:
        """How many cuts like its own a leader passes by along the piece, on the same face."""
        kinds, named = {one.cuboid.kind for one in note.speaks_of}, {one.cuboid.joint for one in note.speaks_of}
        along = 1 if self.gauged.stand.upright else 0
        low, high = sorted((tip[along], at[along]))
        boxes = [
            self._box(shown.face, shown.lo, shown.hi)
            for shown in self.gauged.shown
            if shown.face is note.face and shown.cuboid.kind in kinds and shown.cuboid.joint not in named
        ]
        return sum(low < box[along] and box[along + 2] < high for box in boxes)

    def _hole(self, bore: Bore) -> Box:
        half = max(bore.diameter, bore.slot or bore.diameter) / 2
        x, y = self.view_of(bore.face).place(bore.centre)
        reach = half.float_mm(self.scale)
        at = x.float_mm(self.scale), y.float_mm(self.scale)
        return (at[0] - reach, at[1] - reach, at[0] + reach, at[1] + reach)

    def _box(self, face: Face, low: tuple[Length, ...], high: tuple[Length, ...]) -> Box:
        view = self.view_of(face)
        one, two = (view.place((spot[0], spot[1], spot[2])) for spot in (low, high))
        xs, ys = (sorted(p[k].float_mm(self.scale) for p in (one, two)) for k in (0, 1))
        return (xs[0], ys[0], xs[1], ys[1])


def _is_in(spot: tuple[float, float], box: Box) -> bool:
    return box[0] <= spot[0] <= box[2] and box[1] <= spot[1] <= box[3]


def _over(line: tuple[tuple[float, float], tuple[float, float]], others: Sequence[Box]) -> int:
    return sum(_runs_over(line, other) for other in others)


def _runs_over(line: tuple[tuple[float, float], tuple[float, float]], box: Box) -> bool:
    a, b, c, d = box
    if _is_in(line[0], box):  # what the tip itself stands in, such as a wide rabbet round a hole
        return False
    return runs_through(line, (a + _TOUCH_MM, b + _TOUCH_MM, c - _TOUCH_MM, d - _TOUCH_MM))


def drawn_spot(views: PieceViews, note: Note, spot: Spot) -> Spot:
    """The middle of what is drawn of a cut: of its longest stretch where a break parts it."""
    if note.shown is None:
        return spot
    part = _longest(views, note)
    return ((part[0] + part[1]) / 2, spot[1], spot[2]) if part is not None else spot


def elsewhere(views: PieceViews, note: Note) -> list[Spot]:
    """Other places of a cut by which it can be named: along what is drawn of it."""
    part = _longest(views, note)
    if part is None:
        return []
    (spot,), (start, end) = note.spots, part
    return [(start + (end - start) * share / 16, spot[1], spot[2]) for share in ELSEWHERE]


def _longest(views: PieceViews, note: Note) -> tuple[Length, Length] | None:
    if note.shown is None or len(note.spots) != 1:
        return None
    parts = list(views.fold.parts(note.shown.lo[0], note.shown.hi[0]))
    return max(parts, key=lambda part: part[1] - part[0]) if parts else None
