"""The drawing of one piece, with its joints measured from where one gauges: face side, face edge and end A.

All figures run from one 0: along the piece from end A or its shoulder, across it from the face edge or the face side.
How deep a cut is stands beside it. Nothing is shrunk until it cannot be read: long pieces are broken, thin ones get
larger ends.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property

from shopdocs.blocks.drawing import Circle, Drawing, Point, Shape, Words
from shopdocs.blocks.scales import scale_text
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.diameters import diameters_mm, run_diameters
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.drawn.measures import (
    FIGURE_PT,
    Box,
    extents_mm,
    figures_pt,
    row_mm,
    running,
    running_mm,
    type_mm,
    words_box,
)
from shopdocs.documents.drawn.notes import Ground, arms, ground, runs_through
from shopdocs.documents.drawn.pictures import moved_all
from shopdocs.documents.drawn.piece_leaders import Leaders, drawn_spot
from shopdocs.documents.drawn.piece_notes import Names, Note, middle_of, name_in, notes_of, together
from shopdocs.documents.drawn.piece_views import Margins, PieceView, PieceViews, end_times
from shopdocs.documents.drawn.scaled import scaled
from shopdocs.documents.drawn.shown import Shown
from shopdocs.documents.drawn.stand import looks
from shopdocs.model.joining import FACE_NAMES, Face
from shopdocs.work.space.placed import Feature, Spot, side_of

# If the page allows: no face is drawn narrower, one of them is as wide, no cut is narrower.
READABLE_MM, WIDE_MM, CUT_MM = 6.0, 14.0, 1.4
# A broken piece is drawn no larger than it takes for its narrowest face or its widest one.
THICK_MM, AMPLE_MM = 12.0, 27.0
_NAME_PT = 9.0
_NAME_MM = 5.6  # over a view, for its name
_BESIDE_MM = 3.0  # between a view and what belongs to the next one
_END_GAP_MM = 5.0
_UPRIGHT_MM = 4.0  # left of an upright view
_LETTER_PT = 10.0
_AIR_MM = 0.7
_STEP_MM = 1.0
_TWIN_GAP_MM = 9.0
_POINT_MM = 1.0  # the ring round a point of an outline
_ROUND_ABOUT = ((1, -0.8), (-1, -0.8), (1, 0.8), (-1, 0.8), (0, -1), (0, 1), (1.3, 0), (-1.3, 0))


# What is worked out of a sheet and goes by the room beside the piece; what goes by it where a mirror image is drawn.
_BY_ROOM = ("fits", "whole", "shapes", "box", "_noted")
_BY_TWIN = ("_small", "_beside", "_extents")


@dataclass(frozen=True, slots=True)
class Marked:
    """A piece and what its joints are called on its drawing; `placed` says whether it stands in a build. Where faces
    look that are `apart` is not said: on each piece they look elsewhere. `points` of outlines are named on their face.
    What the pieces bear `alone`, not their mirror image, says whose it is."""

    gauged: Gauged
    names: Names
    placed: bool = True
    apart: frozenset[Face] = frozenset()
    points: tuple[tuple[Face, str, Spot], ...] = ()
    alone: Mapping[Feature, str] = field(default_factory=dict)


def sides_of(gauged: Gauged) -> list[Length]:
    """How wide the long faces are that are drawn, in their order."""
    piece = gauged.piece
    return [piece.width if face in (Face.FACE, Face.BACK) else piece.thickness for face in gauged.faces]


@dataclass(frozen=True, slots=True)
class Twin:
    """The mirror image of a piece, drawn beside it half as large and without figures, under its `title`."""

    piece: Marked
    title: str


class PieceSheet:
    """The views of one piece with their figures, at one scale. `fits` says whether they fit the room; what does not fit
    is drawn only when it `must` be. A `bare` one has no figures, one not `named` no names of faces either. `between`
    is how much of their longest words views side by side are apart. A view at another scale says that, by its scale
    where the paper is `to_scale` (ISO 5455); a screen is not."""

    def __init__(
        self,
        marked: Marked,
        display: Display,
        scale: Fraction,
        room_mm: tuple[float, float],
        twin: Twin | None = None,
        must: bool = False,
        bare: bool = False,
        named: bool = True,
        between: float = 1.0,
        to_scale: bool = True,
    ) -> None:
        self.marked, self.gauged, self.display = marked, marked.gauged, display
        self.piece, self.stand = self.gauged.piece, self.gauged.stand
        self.scale, self.room, self.must = scale, room_mm, must
        self.bare, self.named, self.twin, self.between, self.to_scale = bare, named, twin, between, to_scale
        self.size_pt = FIGURE_PT[display.units]
        sides = [side.float_mm(scale) for side in sides_of(self.gauged)]
        self.thin_mm = min(sides)  # of the narrowest face that is drawn
        cut = self.gauged.least_cut
        self.thick = self.thin_mm > THICK_MM and max(sides) > AMPLE_MM
        self.readable = self.thin_mm >= READABLE_MM and max(sides) >= WIDE_MM and cut.float_mm(scale) >= CUT_MM
        self.notes = list(notes_of(self.gauged, marked.names, display, bare, marked.alone))
        self._taken = Ground((), ())  # by what is drawn so far
        self._loose: list[Note] = []  # names that have no room on what they name
        room = room_mm[1] if self.stand.upright else room_mm[0]
        margins, beside = self._margins()
        free = PieceViews(self.gauged, scale, self.piece.length * 10, margins)
        self.views = PieceViews(self.gauged, scale, free.true(max(room - beside, 0.0)), margins)

    def for_room(self, room_mm: tuple[float, float]) -> PieceSheet:
        """The same in another room, as wide along the piece: only whether it fits, and where its notes stand, is
        another."""
        other = copy(self)
        other.room = room_mm
        for name in (*_BY_ROOM, *(_BY_TWIN if self.twin is not None else ())):
            other.__dict__.pop(name, None)
        return other

    # how much paper stands beside the views

    def _margins(self) -> tuple[Margins, float]:
        """The paper beside the views, and what of it lies along the piece, with the ends."""
        gauged, upright = self.gauged, self.stand.upright
        look = side_of(gauged.base)[0]
        over, under = {}, {}
        beyond = 0.0 if self.bare else diameters_mm(self.piece, self.display, self.size_pt)
        for face in gauged.faces:
            run = 0.0 if self.bare else running_mm(self._along_texts(face), self.size_pt)
            notes = [
                self.between * type_mm(note.words, figures_pt(note.words, self.size_pt)) + 4.0
                for note in self.notes
                if note.face is face
            ]
            over[face] = (_UPRIGHT_MM if upright else _NAME_MM) + (beyond if face is gauged.base else 0.0)
            under[face] = max(run, 1.0, *(notes if upright else [])) + _BESIDE_MM
            if upright and self.bare and self.named:
                under[face] = max(under[face], type_mm(FACE_NAMES[face], _NAME_PT) - 2.0)
        sides, beside = {}, 0.0
        for end in (Face.A, Face.B):
            sides[end] = figures = (
                0.0
                if self.bare
                else max(running_mm(self._texts(gauged.levels(face, end), face), self.size_pt) for face in gauged.faces)
            )
            if end in gauged.ends:
                bottom = upright and (end is Face.A) == (self.stand.along > 0)
                thick = (gauged.hi[look] - gauged.lo[look]).float_mm(self.scale) * end_times(self.piece, self.scale)
                rows = 0 if self.bare else len(gauged.end_levels(end, look)) + 2
                spread = max(0.0, (rows * row_mm(self.size_pt) - thick) / 2)
                sides[end] += _END_GAP_MM + (_NAME_MM if bottom else 0.0) + spread
                run = 0.0 if self.bare else running_mm(self._end_texts(end, 3 - look), self.size_pt)
                run = max(run, 0.0 if upright else type_mm("both ends (1:2)", _NAME_PT) - thick - 4.0)
                figures = sides[end] + thick + run
            beside += figures
        beside += 2 * _NAME_MM if upright else 3.0
        first = Face.A if self.stand.along > 0 else Face.B
        last = Face.B if first is Face.A else Face.A
        return Margins(over, under, sides[first], sides[last]), beside

    def _along_texts(self, face: Face) -> list[str]:
        start = self.gauged.start[0]
        return [self.display.bare(at - start) for at in self.gauged.stations(face)]

    def _texts(self, levels: Sequence[Length], face: Face) -> list[str]:
        start = self.gauged.start[2 if face in (Face.EDGE, Face.FAR_EDGE) else 1]
        return [self.display.bare(at - start) for at in levels]

    def _end_texts(self, end: Face, axis: int) -> list[str]:
        return [self.display.bare(at - self.gauged.start[axis]) for at in self.gauged.end_levels(end, axis)]

    # what is drawn

    @cached_property
    def fits(self) -> bool:
        """Whether views and figures fit. Many scales are tried; words find their places only on those drawn."""
        return self.views.fits and self._is_room(self._frame)

    @cached_property
    def whole(self) -> bool:
        """Whether all that is drawn fits, words too."""
        if not self.fits or not self._is_room(self._extents):
            return False
        noted = self._placed_notes(inside=True)
        if noted is None:
            return False
        self._noted = noted
        return self._has_room(self.shapes)

    @cached_property
    def _frame(self) -> Box:
        """What the views and their figures take of the paper."""
        frames: list[Shape] = [*self._figured, *self.views.diagonals()]
        beside = self._twin_shapes(frames, True) if self.twin is not None else ()
        return extents_mm([*frames, *beside], self.scale)

    @property
    def framed_mm(self) -> float:
        """How wide the views are with their figures, the room for their words between them."""
        return self._frame[2] - self._frame[0]

    @cached_property
    def _figured(self) -> list[Shape]:
        return [] if self.bare else list(self._figures())

    @cached_property
    def shapes(self) -> list[Shape]:
        """All that is drawn."""
        return [*self._drawn, *self._noted, *self._beside]

    @cached_property
    def _drawn(self) -> list[Shape]:
        """The views with their figures and what stands in them; what stands beside them on leaders comes later."""
        lines: list[Shape] = [*self.views.shapes(), *self._figured]
        self._taken = ground(lines, self.scale)
        points = self._points()
        names = self._view_names()
        return [*lines, *points, *names, *self._letters()]

    def _points(self) -> list[Shape]:
        """The points of outlines with their names, each beside its point where nothing is in the way."""
        found: list[Shape] = []
        for face, name, spot in () if self.bare else self.marked.points:
            view = self.views.long.get(face)
            if view is None:
                continue
            at = view.place(spot)
            found.append(Circle(at, self.views.true(_POINT_MM / 2)))
            usual = Words(at, name, _NAME_PT, dx_mm=0.0, dy_mm=-3.0)
            ways = [(dx * far, dy * far) for far in (2.6, 3.6, 4.8) for dx, dy in _ROUND_ABOUT]
            tried = [replace(usual, dx_mm=dx, dy_mm=dy) for dx, dy in ways]
            word = next((one for one in tried if self._is_clear(one)), usual)
            found.append(word)
            self._taken = self._taken.with_words([word], self.scale)
        return found

    def _is_clear(self, words: Words) -> bool:
        """Whether words run over no line and no other words."""
        a, b, c, d = words_box(words, self.scale)
        over = any(a < o[2] and o[0] < c and b < o[3] and o[1] < d for o in self._taken.words)
        return not over and not any(runs_through(line, (a, b, c, d)) for line in self._taken.lines)

    @cached_property
    def _beside(self) -> list[Shape]:
        """The mirror image."""
        return self._twin_shapes([*self._drawn, *self.views.diagonals()], False) if self.twin is not None else []

    @cached_property
    def _extents(self) -> Box:
        """What all but the notes take of the paper."""
        return extents_mm([*self._drawn, *self._beside], self.scale)

    @cached_property
    def _noted(self) -> list[Shape]:
        return self._placed_notes() or []

    @cached_property
    def box(self) -> Box:
        """What the drawing takes of the paper, in millimetres."""
        return extents_mm(self.shapes, self.scale)

    def _has_room(self, shapes: Sequence[Shape]) -> bool:
        return self._is_room(extents_mm(shapes, self.scale))

    def _is_room(self, box: Box) -> bool:
        return box[2] - box[0] <= self.room[0] and box[3] - box[1] <= self.room[1]

    def drawing(self, name: str) -> Drawing:
        """The drawing as a block, its low corner the origin."""
        low_x, low_y, high_x, high_y = (self.views.true(v) for v in self.box)
        shapes = moved_all(self.shapes, (low_x, low_y))
        size, unit = (high_x - low_x, high_y - low_y), self.display.units
        return Drawing(name, *size, shapes, self.scale, 0.0, self.room[1] + 3.0, unit=unit)

    # figures

    def _figures(self) -> Iterator[Shape]:
        upright = self.stand.upright
        for face, view in self.views.long.items():
            stations = self.gauged.stations(face)
            if stations:
                yield from self._run_along(view, stations)
            for end in (Face.A, Face.B):
                if levels := self.gauged.levels(face, end):
                    axis = 2 if face in (Face.EDGE, Face.FAR_EDGE) else 1
                    yield from self._run_across(view, levels, axis, self.views.is_left(end))
        if (turned := self.piece.turned) is not None:
            yield from run_diameters(self.views, self.views.base, turned, self.display, self.scale, self.size_pt)
        look = side_of(self.gauged.base)[0]
        for end, view in self.views.ends.items():
            left = self.views.is_left(end)
            yield from self._run_across(view, self.gauged.end_levels(end, 3 - look), 3 - look, left)
            zero = self.gauged.start[look]
            levels = self.gauged.end_levels(end, look)
            places = [(self._on_end(view, look, at), self.display.bare(at - zero)) for at in levels]
            side, origin = (1 if upright else -1), self._on_end(view, look, zero)
            yield from running(origin, places, side, self.scale, "y" if upright else "x", self.size_pt)

    def _run_along(self, view: PieceView, stations: Sequence[Length]) -> list[Shape]:
        upright, start = self.stand.upright, self.gauged.start[0]

        def at(along: Length) -> Point:
            return self.views.sheet(self.views.along(along), view.low[1])

        places = [(at(v), self.display.bare(v - start)) for v in stations]
        side, axis = (1, "y") if upright else (-1, "x")
        return running(at(start), places, side, self.scale, "y" if axis == "y" else "x", self.size_pt, "A 0")

    def _run_across(self, view: PieceView, levels: Sequence[Length], axis: int, left: bool) -> list[Shape]:
        x = view.low[0] if left else view.high[0]
        zero = self.gauged.start[axis]

        def at(level: Length) -> Point:
            spot: list[Length] = [ZERO, ZERO, ZERO]
            spot[axis] = level
            one, two = view.place((spot[0], spot[1], spot[2]))
            return self.views.sheet(x, -one if self.stand.upright else two)

        places = [(at(v), self.display.bare(v - zero)) for v in levels]
        upright = self.stand.upright
        side, way = (-1 if left else 1), (1 if upright else -1)
        return running(at(zero), places, side, self.scale, "x" if upright else "y", self.size_pt, away=way)

    def _on_end(self, view: PieceView, axis: int, at: Length) -> Point:
        """Where a place across or deep lies on the lower border of an end's view, lying."""
        spot = [ZERO, ZERO, ZERO]
        spot[axis] = at
        one, two = view.place((spot[0], spot[1], spot[2]))
        return self.views.sheet(two if self.stand.upright else one, view.low[1])

    # names of views

    def _view_names(self) -> list[Words]:
        """The name of every view, as near to its usual place as is clear of what is drawn."""
        letters = list(self._end_letters()) if self.bare else []
        names: list[Words] = []
        for view in self.views.every() if self.named else ():
            names.append(self._clear_of(self._taken, self._name(view)))
            self._taken = self._taken.with_words(names[-1:], self.scale)
        self._taken = self._taken.with_words(letters, self.scale)
        return [*letters, *names]

    def _end_letters(self) -> Iterator[Words]:
        """A and B beyond the ends, where no figure runs from end A."""
        view = self.views.base
        middle = (view.low[1] + view.high[1]) / 2
        for end, letter in ((Face.A, "A"), (Face.B, "B")):
            if end in self.views.ends:
                continue
            way = -1 if self.views.is_left(end) else 1
            at = self.views.sheet(view.low[0] if way < 0 else view.high[0], middle)
            out = way * 2.6
            yield Words(
                at, letter, _NAME_PT, dx_mm=0.0 if self.stand.upright else out, dy_mm=out if self.stand.upright else 0.0
            )

    def _name(self, view: PieceView) -> Words:
        words = "all round" if self.gauged.plain_round and view.face in self.views.long else FACE_NAMES[view.face]
        is_end = view.face in self.views.ends
        if is_end and self.gauged.same_ends():
            words = "both ends"
        told = self.marked.placed and view.face not in self.marked.apart
        if told and not (is_end or self.bare or self.gauged.plain_round):
            words += f", {looks(self.piece, view.face)}"
        if view.times > 1:
            words += f" ({scale_text(self.scale * view.times)})" if self.to_scale else ", larger"
        if not self.stand.upright:
            right = is_end and self.views.is_left(view.face)
            at = (view.high[0] if right else view.low[0], view.high[1])
            return Words(at, words, _NAME_PT, "right" if right else "left", dy_mm=3.4)
        if is_end:  # at its upper left corner: figures stand over or under it and at the right
            return Words(self.views.sheet(view.high[0], view.high[1]), words, _NAME_PT, "right", dx_mm=-2.0, dy_mm=-1.6)
        at = self.views.sheet(view.low[0], (view.low[1] + view.high[1]) / 2)
        return Words(at, words, _NAME_PT, dy_mm=-6.4 if self.bare else -3.6)

    def _clear_of(self, taken: Ground, usual: Words) -> Words:
        """A view's name moved along, or further off, where lines or words stand in its way; at its usual place where
        they do all about."""
        ways = {"centre": (1, -1), "left": (1,), "right": (1, -1)}[usual.anchor]
        off = -1.0 if usual.dy_mm < 0 else 1.0
        places = [
            (way * step * _STEP_MM, off * far)
            for far, steps in ((0.0, 5), (3.0, 8), (6.0, 20), (9.0, 20), (12.0, 20))
            for step in range(steps)
            for way in ways
        ]
        if usual.anchor == "left":
            places = [(float(dx), dy) for dy in (0.0, off * 3.2, off * 6.4) for dx in range(28)]
        for dx, dy in places:
            name = replace(usual, dx_mm=usual.dx_mm + dx, dy_mm=usual.dy_mm + dy)
            a, b, c, d = words_box(name, self.scale)
            box = (a - _AIR_MM, b, c + _AIR_MM, d)
            over = any(a - 0.4 < o[2] and o[0] < c + 0.4 and b - 0.8 < o[3] and o[1] < d + 0.8 for o in taken.words)
            if not over and not any(runs_through(line, box) for line in taken.lines):
                return name
        return usual

    # names of joints, depths, holes

    def _placed_notes(self, inside: bool = False) -> list[Shape] | None:
        """The notes on leaders, clear of what is drawn; cuts alike share one where those of their own would
        run over others or past them, and where they are a long row. None where not all of them find room `inside` the
        sheet's own."""
        low_x, low_y, high_x, high_y = self._extents
        wide, tall = self.room
        sheet = (high_x - wide, high_y - tall, low_x + wide, low_y + tall)
        beside = ground(self._beside, self.scale)
        taken = Ground((*self._taken.words, *beside.words), (*self._taken.lines, *beside.lines))
        size_pt, crosses = _LETTER_PT if self.bare else self.size_pt, arms(self._drawn, self.scale)
        leaders = Leaders(self.gauged, self.views, self.scale, size_pt, self.bare, crosses)
        every, is_room = [*self.notes, *self._loose], (self._is_room if inside else None)
        placed = leaders.placed(every, taken, sheet, self._extents, is_room)
        shared = together(every)
        row = any(note.is_row for note in shared)
        if len(shared) < len(every) and (row or placed is None or any(placed.confusing)):
            other = leaders.placed(shared, taken, sheet, self._extents, is_room)
            if other is not None and (placed is None or (other.confusing, not row) < (placed.confusing, True)):
                placed = other
        return None if placed is None else [*placed.leaders]

    # names on what stands out

    @cached_property
    def _added(self) -> dict[str, Shown]:
        """The largest addition of every joint."""
        found: dict[str, Shown] = {}
        for shown in self.gauged.shown:
            name = self.marked.names.get(shown.cuboid.joint)
            if shown.cuboid.adds and name and not any(name_in(n.words) == name for n in self.notes):
                best = found.get(name)
                if best is None or shown.bulk > best.bulk:
                    found[name] = shown
        return found

    def _letters(self) -> list[Words]:
        """The names of tenons and tails that have room for them."""
        letters: list[Words] = []
        self._loose = []
        for name, shown in self._added.items():
            spot = drawn_spot(self.views, Note(Face.FACE, name, (middle_of(shown),), shown), middle_of(shown))
            at = self.views.base.place(spot)
            words = Words(at, name, _LETTER_PT, strong=True, boxed=True)
            a, b, c, d = words_box(words, self.scale)
            one, two = (self.views.base.place(corner) for corner in (shown.lo, shown.hi))
            xs, ys = (sorted(p[k].float_mm(self.scale) for p in (one, two)) for k in (0, 1))
            room = xs[1] - xs[0] > c - a + 1.2 and ys[1] - ys[0] > d - b + 1.0
            if room and not any(runs_through(line, (a - 0.5, b - 0.3, c + 0.5, d + 0.3)) for line in self._taken.lines):
                letters.append(words)
            else:
                self._loose.append(Note(Face.FACE, name, (middle_of(shown),), shown))
        self._taken = self._taken.with_words(letters, self.scale)
        return letters

    # the mirror image

    @cached_property
    def _small(self) -> PieceSheet | None:
        if self.twin is None:
            return None
        return PieceSheet(self.twin.piece, self.display, self.scale / 2, self.room, None, must=True, bare=True)

    def _twin_shapes(self, drawn: Sequence[Shape], frames: bool) -> list[Shape]:
        """The mirror image beside what is `drawn`, or only the `frames` of its views."""
        if self.twin is None or self._small is None:
            return []
        own = self._small.views.diagonals() if frames else self._small.shapes
        a, b, c, _ = extents_mm(drawn, self.scale)
        small = [scaled(shape, Fraction(1, 2)) for shape in own]
        e, f, g, h = extents_mm(small, self.scale)
        title_mm = type_mm(self.twin.title, _LETTER_PT)
        if self.stand.upright:
            dx, dy = c + _TWIN_GAP_MM - e + max(0.0, (title_mm - (g - e)) / 2), b - f
        else:
            dx, dy = a - e + 2.0, b - _TWIN_GAP_MM - h
        by = (-self.views.true(dx), -self.views.true(dy))
        title_at = (self.views.true((e + g) / 2 + dx if self.stand.upright else e + dx), self.views.true(h + dy + 3.4))
        anchor = "centre" if self.stand.upright else "left"
        title = Words(title_at, self.twin.title, _LETTER_PT, "centre" if anchor == "centre" else "left", strong=True)
        return [*moved_all(small, by), title]
