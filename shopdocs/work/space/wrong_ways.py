"""The wrong ways a piece would still go in, and the places of others that it would go into."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from math import inf

from msgspec import Struct

from shopdocs.core.box import AXES, Box, Corner, less_all, touch
from shopdocs.core.length import Length
from shopdocs.model.joining import Face
from shopdocs.model.joint_names import Trait
from shopdocs.work.shapes.carved import NEAR_MM, Carved, Ringed, bodies_of, moved, touches
from shopdocs.work.shapes.clashing import clash
from shopdocs.work.shapes.slopes import Body, body_of
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.askew_piece import AskewPiece
from shopdocs.work.space.buckets import Buckets
from shopdocs.work.space.contacts import Contacts
from shopdocs.work.space.likeness import (
    AS_IT_LIES,
    TURNS,
    Shape,
    Turn,
    description,
    form_of,
    marking_ticks,
    shape_in_build,
)
from shopdocs.work.space.placed import FeatureKind
from shopdocs.work.space.seating import MOST_OUT, Seat, shifts
from shopdocs.work.space.tipped_board import TippedPiece
from shopdocs.work.space.turn_names import changes_of, words_of
from shopdocs.work.space.turning import leaning, lying, plumb_solid, same_wood, seen_from


class WrongWay(Struct, frozen=True):
    """A way to turn a piece in its own place so that it goes in and is wrong. `words` say it as at the bench;
    `changes` names, face by face, which face then lies where another belongs; `out` by how much it sits too far toward
    the high side of an axis, or with a minus the low one, where it goes in only so."""

    words: str
    changes: tuple[tuple[Face, Face], ...]
    out: tuple[int, Length] | None = None


Sits = tuple[tuple[int, Length], int | None]
Stop = Callable[[Sequence[Solid]], int | None]  # the first group of pieces that what is put there clashes with
Groups = Sequence[Collection[str]]  # the pieces that are there at first, then those that come with each later stage


class Misfit(Struct, frozen=True):
    """A wrong way that goes in among the first group of pieces. `found` is the index of the later group that it clashes
    with; None where no piece ever stops it."""

    way: WrongWay
    found: int | None


class Fitting:
    """Tries pieces in places of a scene. It measures all pieces once, so one of it serves for all questions."""

    def __init__(self, contacts: Contacts) -> None:
        self.scene = contacts.scene
        self.contacts = contacts
        self.index = {piece.mark: i for i, piece in enumerate(self.scene.pieces)}
        self.ticks = marking_ticks(self.scene.pieces)
        self.shapes = [shape_in_build(piece, self.ticks) for piece in self.scene.pieces]
        self.solids = [piece.solid(self.ticks) for piece in self.scene.pieces]
        self._slack = float(self.ticks.per_mm * SLACK) ** 3
        self._seats: dict[tuple[tuple[int, ...], int], Seat | None] = {}
        self._unlike: dict[int, list[Turn]] = {}
        self._lying: dict[tuple[int, Turn], tuple[Solid, Corner]] = {}
        self._found_near = Buckets([solid.bounds for solid in self.solids])
        self._skin = NEAR_MM * self.ticks.per_mm
        # what leans or is tipped is turned as it would stand plumb, among what is there as seen from its frame
        self.frames = [leaning(piece, self.ticks) for piece in self.scene.pieces]
        self.own = [
            plumb_solid(piece, self.ticks) if isinstance(piece, AskewPiece) else solid
            for piece, solid in zip(self.scene.pieces, self.solids, strict=True)
        ]
        self._seen: dict[tuple[int, int], Solid] = {}

    def _standing(self, marks: Collection[str], near: Box, without: Collection[str]) -> list[int]:
        """Those of these pieces that reach into a cuboid."""
        pieces = self.scene.pieces
        found = (i for i in self._found_near(near) if pieces[i].mark in marks and pieces[i].mark not in without)
        return [i for i in found if self.solids[i].bounds.overlap(near) is not None]

    def _near(self, place: int | None, near: Box, marks: Collection[str], without: Collection[str]) -> list[int]:
        """The same of a cuboid in the frame of a place."""
        frame = self.frames[place] if place is not None else None
        return self._standing(marks, frame.around(near) if frame is not None else near, without)

    def _there(self, place: int | None, other: int) -> Solid:
        """A piece as the frame of a place has it; None is the build's own."""
        frame = self.frames[place] if place is not None else None
        if frame is None or place is None:
            return self.solids[other]
        if (place, other) not in self._seen:
            self._seen[place, other] = seen_from(self.solids[other], frame)
        return self._seen[place, other]

    def _stock(self, place: int | None, other: int) -> Body | None:
        """The body that a piece was cut from, as the frame of a place has it; None where that is the box of its
        solid."""
        frame, own = self.frames[place] if place is not None else None, self.frames[other]
        if frame is None and own is None:
            return None
        stock = body_of(self.own[other].body)
        stock = moved(stock, own.out) if own is not None else stock
        return moved(stock, frame.back) if frame is not None else stock

    def _clash(self, one: Solid, two: Solid, enough: float = inf) -> float:
        skin = self._skin if isinstance(one, _OFF_SQUARE) or isinstance(two, _OFF_SQUARE) else 0.0
        return clash(one, two, skin, enough)

    def _stops(
        self, solid: Solid, place: int, marks: Collection[str], without: Collection[str], allowed: float = 0
    ) -> bool:
        """Whether a solid, as it lies in the frame of a place, clashes with these pieces, more than is `allowed`."""
        slack = self._slack if solid.slants else 0
        shared = allowed
        for i in self._near(place, solid.bounds, marks, without):
            other = self._there(place, i)
            most = shared + (slack or (self._slack if other.slants else 0))
            found = self._clash(solid, other, most)
            if found > most:
                return True
            shared -= found
        return False

    def _gapes(self, solid: Solid, index: int, marks: Collection[str], place: int) -> bool:
        """Whether a tapered piece, as it is turned, does not meet one of these pieces that what belongs in this place
        lies against: a gap as wide as the taper is not overlooked."""
        if all(cuboid.kind is not FeatureKind.TAPER for cuboid in self.scene.pieces[index].cuboids):
            return False
        for pair in self.contacts.of_piece[place]:
            other = pair.second if pair.first == place else pair.first
            there = pair.touches and other != index and self.scene.pieces[other].mark in marks
            if there and not self._touch(solid, self._there(place, other)):
                return True
        return False

    def _misses(
        self,
        place: int | None,
        there: Sequence[int],
        solids: Sequence[Solid],
        marks: Collection[str],
        without: Collection[str],
    ) -> bool:
        """Whether a slanting or round tenon that joins the pieces `there` to one of these pieces finds no mortise, a
        mortise no tenon, or a lap or a bridle at an angle not its fellow, with these solids in their place: that is
        seen at once. A square one may be left out here."""
        joints = {joint for i in there for joint in self._slanting(i)}
        lapped = {joint for i in there for joint in self._lying_over(i)}
        if not joints and not lapped:
            return False
        near = self._standing(marks, Box.around([self.solids[i].bounds for i in there]), without)
        seats = (self._seat(place, tuple(there), i) for i in near if joints & self._slanting(i))
        if any(seat is not None and seat.misses(solids) for seat in seats):
            return True
        seats = (self._seat(place, tuple(there), i) for i in near if lapped & self._lying_over(i))
        return any(seat is not None and seat.lies_apart(solids) for seat in seats)

    def _slanting(self, index: int) -> set[str]:
        """The joints of a piece whose tenons are no cuboids."""
        return {cuboid.joint for cuboid in self.scene.pieces[index].cuboids if cuboid.askew and cuboid.joint}

    def _lying_over(self, index: int) -> set[str]:
        """The joints of a piece that lies over another one askew, lapped or bridled."""
        cuboids = self.scene.pieces[index].cuboids
        return {one.joint for one in cuboids if one.slant is not None and Trait.OVERLAPS in one.kind.traits}

    def _touch(self, one: Solid, two: Solid) -> bool:
        """Whether two solids lie face to face somewhere."""
        if isinstance(one, Carved) or isinstance(two, Carved):
            return any(True for _ in touches(bodies_of(one), bodies_of(two), self.ticks.per_mm))
        return any(touch(mine, cell) is not None for mine in one.cells for cell in two.cells)

    def misfits(self, mark: str, groups: Groups) -> tuple[Misfit, ...]:
        """Every turn of the piece that keeps it in place, goes in among the first group, and yet leaves a joint, a hole
        or a slope somewhere else than where it belongs. None for a piece that looks the same every way it goes in."""
        index = self.index[mark]
        piece, shape, solid = self.scene.pieces[index], self.shapes[index], self.own[index]
        right = description(shape)
        standing = [self._standing(group, self.solids[index].bounds, (mark,)) for group in groups]
        allowed = [sum(self._clash(solid, self._there(index, i)) for i in near) for near in standing]
        found = []
        for turn in TURNS:
            if turn.source.index(shape.grain) != shape.grain or turn.box(shape.body).size != shape.body.size:
                continue
            if description(shape, turn) == right:
                continue
            turned = self._turned(index, turn)
            first = self._first_stop(index, turned, groups, allowed)
            out = None
            if first == 0:
                sits = self._out_of_line(index, turned, groups, allowed)
                if sits is None:
                    continue
                out, first = sits
            found.append(Misfit(WrongWay(words_of(piece, turn), changes_of(piece, turn), out), first))
        return tuple(sorted(found, key=lambda one: (one.way.words, one.way.changes)))

    def _first_stop(self, index: int, turned: Solid, groups: Groups, allowed: Sequence[float]) -> int | None:
        """The first of these groups of pieces that a piece, as it is turned, clashes with or gapes at."""
        mark = self.scene.pieces[index].mark
        tried = enumerate(zip(groups, allowed, strict=True))
        return next(
            (
                k
                for k, (group, most) in tried
                if self._stops(turned, index, group, (mark,), most)
                or self._gapes(turned, index, group, index)
                or self._misses(index, [index], [turned], group, (mark,))
            ),
            None,
        )

    def _out_of_line(self, index: int, turned: Solid, groups: Groups, allowed: Sequence[float]) -> Sits | None:
        """Where a turned piece sits out of line, if it goes in so among the first group, and the later group that stops
        it."""
        return self._sitting(
            index,
            [index],
            [turned],
            groups[0],
            {self.scene.pieces[index].mark},
            lambda moved: self._first_stop(index, moved[0], groups, allowed),
        )

    def _sitting(
        self,
        place: int | None,
        there: Sequence[int],
        turned: Sequence[Solid],
        group: Collection[str],
        without: Collection[str],
        stop: Stop,
        tenons: Sequence[Box] = (),
    ) -> Sits | None:
        """How far along which axis of the frame of a place what is turned sits out of line where the pieces `there`
        belong, held by all that holds those, and which later group of pieces stops it there; None where it does not go
        in."""
        if place is not None and isinstance(self.scene.pieces[place], TippedPiece):
            return None
        if any(Trait.PAIRED in bore.kind.traits for i in there for bore in self.scene.pieces[i].bores):
            return None  # dowels would not meet their holes
        round_it = Box.around([self.solids[i].bounds for i in there])
        near = self._standing(group, round_it, without)
        seats = [seat for i in near if (seat := self._seat(place, tuple(there), i)) is not None]
        # Nearly everything is stopped, so that is asked first, but where slopes would have to be clipped for it.
        sloping = any(solid.slants for solid in [*turned, *(self.solids[i] for i in near)])
        for by in shifts(turned, seats, self.ticks.count(MOST_OUT)):
            if tenons and _meets_wood(turned[0], [box.shifted((-by[0], -by[1], -by[2])) for box in tenons]):
                continue  # as nearly all are
            moved = [solid.moved(by) for solid in turned]
            if sloping and not all(seat.holds(moved) for seat in seats):
                continue
            first = stop(moved)
            if first != 0 and (sloping or all(seat.holds(moved) for seat in seats)):
                axis = next(k for k in AXES if by[k])
                return (axis, self.ticks.length(by[axis])), first
        return None

    def _tenons(self, place: int, without: int, group: Collection[str]) -> tuple[Box, ...]:
        """The square tenons of pieces of a group that are in the body of what belongs in a place, in ticks; none where
        anything is off square or slopes there. What has wood where one of them is does not go in."""
        marks = self.scene.pieces[place].mark, self.scene.pieces[without].mark
        if self.own[without].slants or self.own[place].slants:
            return ()
        near = self._standing(group, self.solids[place].bounds, marks)
        every = (self.solids[i] for i in near)
        body = self.shapes[place].body
        return tuple(
            wood
            for other in every
            if not other.slants
            for add in other.adds
            for wood in less_all([add], other.cuts)
            if wood.overlap(body) is not None
        )

    def _seat(self, place: int | None, there: tuple[int, ...], other: int) -> Seat | None:
        """How the pieces `there` are held by another where they belong, in the frame of a place."""
        if (there, other) not in self._seats:
            mine = [self.solids[i] for i in there] if place is None else [self.own[place]]
            stock = self._stock(place, other)
            self._seats[there, other] = Seat.of(mine, self._there(place, other), stock, self.ticks.per_mm)
        return self._seats[there, other]

    def _unlike_turns(self, index: int) -> list[Turn]:
        """The turns of a piece, of those after which its solid is the same only the first."""
        if index not in self._unlike:
            solid, unlike = self.own[index], dict[object, Turn]()
            for turn in TURNS:
                if isinstance(solid, _OFF_SQUARE):
                    unlike.setdefault(description(self.shapes[index], turn), turn)
                    continue
                turned = lying(solid, turn)
                x, y, z = turned.body.lo
                home = turned.moved((-x, -y, -z))
                unlike.setdefault((home.body, *map(frozenset, (home.adds, home.cuts, home.slopes))), turn)
            self._unlike[index] = list(unlike.values())
        return self._unlike[index]

    def _turned(self, index: int, turn: Turn, target: Box | None = None) -> Solid:
        """A piece, plumb, turned so that its body lies where it lay, or where another's does."""
        if (index, turn) not in self._lying:
            self._lying[index, turn] = lying(self.own[index], turn), turn.box(self.shapes[index].body).lo
        solid, now = self._lying[index, turn]
        to = (target or self.shapes[index].body).lo
        return solid.moved((to[0] - now[0], to[1] - now[1], to[2] - now[2]))

    def same_ways(self, mark: str, worked: Callable[[set[int]], bool] | None = None) -> tuple[tuple[str, ...], bool]:
        """The half turns of a piece in its place after which it is the same again, with every joint, hole and slope, in
        words; and whether all half turns are such. `worked`, asked with the axes of the piece that a turn reverses,
        says whether its arrises are the same, too."""
        index = self.index[mark]
        shape, right = self.shapes[index], description(self.shapes[index])
        turns = [turn for turn in TURNS if turn != AS_IT_LIES and turn.source == AS_IT_LIES.source]
        same = [turn for turn in turns if description(shape, turn) == right]
        if worked is not None:
            at = self.scene.pieces[index].pose.piece_axis
            same = [turn for turn in same if worked({at(k) for k in AXES if turn.reverse[k]})]
        return tuple(words_of(self.scene.pieces[index], turn) for turn in same), len(same) == len(turns)

    def wrong_ways(self, mark: str) -> tuple[WrongWay, ...]:
        """The wrong ways that no piece of the finished build ever stops."""
        return tuple(misfit.way for misfit in self.misfits(mark, [self.index.keys()]))

    def goes_in_for(self, mark: str, place: str, groups: Groups | None = None) -> Misfit | None:
        """How far the piece `mark`, some way round, could be put where `place` belongs: among the first group of pieces
        round that place, and as many later ones as possible; how it is turned then, from how it lies in its own place.
        None where it never goes in."""
        mine, index = self.index[mark], self.index[place]
        target, shape = self.shapes[index], self.shapes[mine]
        groups = groups if groups is not None else [self.index.keys() - {mark}]
        best: Misfit | None = None

        def better(first: int | None) -> bool:
            return first != 0 and (best is None or first is None or (best.found is not None and first > best.found))

        def way(turn: Turn, first: int | None, out: tuple[int, Length] | None = None) -> Misfit:
            return Misfit(WrongWay("", changes_of(self.scene.pieces[mine], turn), out), first)

        tenons = self._tenons(index, mine, groups[0])
        stopped: list[tuple[Turn, Solid]] = []
        for turn in self._unlike_turns(mine):
            if turn.box(shape.body).size != target.body.size:
                continue
            solid = self._turned(mine, turn, target.body)
            first = 0 if _meets_wood(solid, tenons) else self._first_swap_stop(mine, solid, groups, index)
            if first is None:
                return way(turn, first)
            if first == 0:
                stopped.append((turn, solid))
            elif better(first):
                best = way(turn, first)
        # in line it deceives the most: out of line counts only where that is found later
        for turn, solid in stopped:
            sits = self._sitting(
                index,
                [index],
                [solid],
                groups[0],
                {place, mark},
                lambda moved: self._first_swap_stop(mine, moved[0], groups, index),
                tenons,
            )
            if sits is not None and better(sits[1]):
                best = way(turn, sits[1], sits[0])
            if best is not None and best.found is None:
                break
        return best

    def _first_swap_stop(self, index: int, solid: Solid, groups: Groups, place: int) -> int | None:
        """The first of these groups of pieces that a piece clashes with, or gapes at, in the place of another."""
        away = [self.scene.pieces[i].mark for i in (index, place)]

        def stops(group: Collection[str]) -> bool:
            return (
                self._stops(solid, place, group, away)
                or self._gapes(solid, index, group, place)
                or self._misses(place, [place], [solid], group, away)
            )

        return next((k for k, group in enumerate(groups) if stops(group)), None)

    def whole_misfits(
        self, marks: Sequence[str], place: Sequence[str], groups: Groups
    ) -> Iterator[tuple[Turn, tuple[str, ...], int | None, tuple[int, Length] | None]]:
        """Every turn that brings the pieces `marks`, glued to each other, to lie where the pieces `place` belong, goes
        in among the first group, and leaves some piece of `place` without one like it: the turn, those pieces, the
        index of the later group that it clashes with, None where none does, and how far it sits out of line."""
        mine, there = ([self.index[mark] for mark in some] for some in (marks, place))
        trunk, target = (Box.around([self._trunk(i) for i in some]) for some in (mine, there))
        even = 2 if any(self.frames[i] is not None for i in (*mine, *there)) else 0  # ticks that boxes are rounded by
        right = {mark: _lies(self.shapes[self.index[mark]], AS_IT_LIES, target, target) for mark in place}
        allowed = [self._shared([self.solids[i] for i in there], group) for group in groups]
        for turn in TURNS:
            turned_trunk = turn.box(trunk)
            if any(abs(a - b) > even for a, b in zip(turned_trunk.size, target.size, strict=True)):
                continue
            solids = [_turned(self.solids[i], turn, trunk, target) for i in mine]
            lies = {_lies(self.shapes[i], turn, turned_trunk, target) for i in mine if self.frames[i] is None}
            telling = tuple(
                mark
                for mark, one in right.items()
                if not (one in lies if self.frames[self.index[mark]] is None else self._is_among(mark, mine, solids))
            )
            if not telling:
                continue
            first, out = self._first_whole_stop(there, solids, groups, allowed), None
            if first == 0:
                sits = self._sitting(
                    None,
                    there,
                    solids,
                    groups[0],
                    (),
                    lambda moved: self._first_whole_stop(there, moved, groups, allowed),
                )
                out, first = sits if sits is not None else (None, 0)
            if first != 0:
                yield turn, telling, first, out

    def _trunk(self, index: int) -> Box:
        """The body of a piece where it stands; of one that leans the box round that."""
        return self.shapes[index].body if self.frames[index] is None else self.solids[index].body

    def _is_among(self, mark: str, mine: Sequence[int], solids: Sequence[Solid]) -> bool:
        """Whether one of these pieces, as it lies now, is the same wood as what leans where `mark` belongs."""
        place = self.index[mark]
        right, form = self.solids[place], form_of(self.shapes[place])
        return any(
            self.frames[i] is not None and form_of(self.shapes[i]) == form and same_wood(solid, right, self._skin)
            for i, solid in zip(mine, solids, strict=True)
        )

    def _first_whole_stop(
        self, there: Sequence[int], solids: Sequence[Solid], groups: Groups, allowed: Sequence[float]
    ) -> int | None:
        """The first of these groups of pieces that pieces glued to each other clash with, or miss, where `there`
        belong."""

        def stops(k: int, group: Collection[str]) -> bool:
            return self._shared(solids, group, allowed[k]) > allowed[k] or self._misses(None, there, solids, group, ())

        return next((k for k, group in enumerate(groups) if stops(k, group)), None)

    def _shared(self, solids: Iterable[Solid], marks: Collection[str], most: float | None = None) -> float:
        """How much wood these solids share with the pieces `marks`, a slack left out where slopes are in play; no more
        is looked at once it is more than `most`."""
        shared = 0.0
        for solid in solids:
            for i in self._standing(marks, solid.bounds, ()):
                other = self.solids[i]
                slack = self._slack if solid.slants or other.slants else 0
                found = self._clash(solid, other, inf if most is None else max(slack, most - shared))
                shared += found if found > slack else 0
                if most is not None and shared > most:
                    return shared
        return shared


_OFF_SQUARE = (Carved, Ringed)


def _meets_wood(solid: Solid, boxes: Sequence[Box]) -> bool:
    """Whether one of these boxes shares wood with a solid that is square."""
    for (a, b, c), (d, e, f) in boxes:
        for (g, h, i), (j, k, m) in solid.cells:
            if a < j and g < d and b < k and h < e and c < m and i < f:
                return True
    return False


SLACK = 0.5  # mm: where slopes are in play a cube of this edge is no clash, for bodies there are cut in floats


def _lies(shape: Shape, turn: Turn, trunk: Box, target: Box) -> object:
    """What a piece is and where it lies, when what it belongs to is turned so that its `trunk` lies at `target`."""
    low = turn.box(shape.bounds).lo
    return description(shape, turn), tuple(low[k] - trunk.lo[k] + target.lo[k] for k in AXES)


def _turned(solid: Solid, turn: Turn, trunk: Box, target: Box | None = None) -> Solid:
    """The solid turned so that its trunk lies where it lay, or where another piece's lies."""
    to, now = target or trunk, turn.box(trunk)
    by = (to.lo[0] - now.lo[0], to.lo[1] - now.lo[1], to.lo[2] - now.lo[2])
    return lying(solid, turn).moved(by)


def wrong_ways(contacts: Contacts, mark: str) -> tuple[WrongWay, ...]:
    """`Fitting.wrong_ways` for a single piece; for many pieces keep one `Fitting`."""
    return Fitting(contacts).wrong_ways(mark)
