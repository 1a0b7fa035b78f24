"""Works out where pieces lie, and the sizes that follow from it.

Every coordinate and every size is a small expression that may mention faces of other pieces (`FL.right`). They are put
in an order by what they need, worked out exactly, and checked against each other; circles and contradictions name both
lines.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Position
from shopdocs.model.parts import Axis, Direction, Place, Runs
from shopdocs.source.arithmetic import MAX_TEXT
from shopdocs.source.askew import Askew
from shopdocs.source.drafts import AXES, PartDraft, PieceDraft
from shopdocs.source.faces import CENTRES, Named, dotted, sides_along
from shopdocs.source.faces import SIDES as SIDES
from shopdocs.source.faces import faces_in as faces_in
from shopdocs.source.keys import REFERENCE_NAMES
from shopdocs.source.mark_runs import expand_run
from shopdocs.source.nodes import MISSING, Scalar, shorten
from shopdocs.source.order import circle_words, in_order
from shopdocs.source.values import Values, suggestion

MOST_LETTERS = 2 * MAX_TEXT  # of a place: two lengths at most
_MIRROR = re.compile(r"(\S++)\s++across\s++([xyz])\s++at\s++(.+)", re.I)
_FORMS = (
    ("evenly", re.compile(r"evenly\s+from\s+(.+?)\s+to\s+(.+)", re.I)),
    ("spread", re.compile(r"spread\s+from\s+(.+?)\s+to\s+(.+)", re.I)),
    ("both", re.compile(r"(.+?)\s+to\s+(.+)", re.I)),
    ("high", re.compile(r"to\s+(.+)", re.I)),
    ("centre", re.compile(r"(?:centred|centered)\s+on\s+(.+)", re.I)),
    ("low", re.compile(r"(.+)")),
)
_FROM = re.compile(r"from\s++", re.I)
IN_A_ROW = ("evenly", "spread")  # forms that part the pieces of a run
Span = tuple[Length, Length]


class _Coordinate(Struct):
    """One coordinate: its form, its expressions, and the faces they mention."""

    form: str
    texts: tuple[Scalar, ...]
    needs: list[tuple[str, str]]


class _Key(NamedTuple):
    """What is worked out: along an axis the size of the part `name`, along a direction the span of the piece."""

    name: str
    along: Axis | Direction

    @property
    def words(self) -> str:
        return f"{self.along.value} of '{self.name}'"


class Placing:
    """Works out all sizes and places of a build; problems go to `values`."""

    def __init__(self, parts: Iterable[PartDraft], values: Values) -> None:
        self.values = values
        self.parts = {part.name: part for part in parts}
        self.pieces = {piece.mark: piece for part in self.parts.values() for piece in part.pieces}
        self.sizes: dict[str, dict[Axis, Length]] = {name: {} for name in self.parts}
        self.size_at: dict[tuple[str, Axis], Position] = {}
        self.spans: dict[str, dict[Direction, Span]] = {mark: {} for mark in self.pieces}
        self.coordinates: dict[_Key, _Coordinate] = {}
        self.mirrors: dict[str, tuple[str, Direction, Scalar]] = {}
        self.askew = Askew(self.parts, self.pieces, self.spans, self.mirrors, values)

    def work_out(self) -> None:
        """Fill `sizes` and `spans` as far as they can be known."""
        needs = {**self._needs_of_spans(), **self._needs_of_sizes()}
        self.askew.know_companions()
        ordered, circles = in_order(needs)
        told: set[frozenset[Position]] = set()
        for circle in circles:  # mirror images that refer to each other do so in x, y and z: report it once
            places = frozenset(self._key_place(key) for key in circle)
            if places not in told:
                told.add(places)
                self._report_circle(circle)
        for key in ordered:
            if isinstance(key.along, Axis):
                self._work_out_size(self.parts[key.name], key.along)
            else:
                self._work_out_span(self.pieces[key.name], key.along)

    # --- what needs what ---------------------------------------------------------------------------------------------

    def _needs_of_spans(self) -> dict[_Key, list[_Key]]:
        needs: dict[_Key, list[_Key]] = {}
        for piece in self.pieces.values():
            if not piece.is_placed:
                continue
            part = self.parts[piece.part]
            if part.runs is None:
                wrong = f"'{piece.mark}' has a place, but '{part.name}' does not say how it lies"
                self.values.note(piece.at, "runs", wrong, "add to the part runs: {length: x, width: z}")
                continue
            if piece.mirror is not None:
                needs |= self._needs_of_mirror(piece, piece.mirror)
            else:
                needs |= self._needs_of_place(piece, part)
        return needs

    def _needs_of_place(self, piece: PieceDraft, part: PartDraft) -> dict[_Key, list[_Key]]:
        needs: dict[_Key, list[_Key]] = {}
        read: dict[Direction, _Coordinate] = {}
        for direction in Direction:
            node = piece.coordinates.get(direction)
            if node is None:
                wrong = f"'{piece.mark}' lacks its {direction.value}"
                self.values.note(piece.at, "place", wrong, "write x, y and z, or none of them")
            elif not self._is_too_long(node):
                read[direction] = self._read(node, direction)
        if piece.count > 1 and len(read) == 3 and not any(found.form in IN_A_ROW for found in read.values()):
            if piece.index == 0:
                wrong = f"all {piece.count} pieces of this run lie in the same place"
                right = "write one of x, y, z as: evenly from A to B, or: spread from A to B"
                self.values.note(piece.at, "run", wrong, right)
            return {}
        for direction, coordinate in read.items():
            key = _Key(piece.mark, direction)
            self.coordinates[key] = coordinate
            needs[key] = self._keys_of(coordinate.needs, piece)
            if self._names_a_lean(piece, direction, coordinate):
                needs[key].append(_Key(piece.mark, Direction.Z))
                needs[key] += [_Key(mark, d) for mark in self.pieces if self.askew.leans(mark) for d in Direction]
            axis = part.axis_along(direction)
            if coordinate.form != "both" and axis is not None:
                needs[key].append(_Key(part.name, axis))
        return needs

    def _needs_of_mirror(self, piece: PieceDraft, node: Scalar) -> dict[_Key, list[_Key]]:
        if node.text == MISSING or self._is_too_long(node):
            return {}
        match = _MIRROR.fullmatch(node.text.strip())
        if match is None:
            right = "write it as: RL across x at width / 2"
            self.values.note(node.at, "mirror", f"'{shorten(node.text)}' is not a mirror image", right)
            return {}
        run = expand_run(match.group(1))
        if len(run) != piece.count:
            if piece.index == 0:
                many = "one piece" if len(run) == 1 else f"{len(run)} pieces"
                wrong = f"the mirror image of '{shorten(match.group(1))}' is {many}, not {piece.count}"
                self.values.note(node.at, "mirror", wrong, "as many as there: T1..T4: {mirror: S1..S4 across x at 20}")
            return {}
        written = run[piece.index]
        source = self.pieces.get(written)
        if source is None or source.part != piece.part or source is piece:
            wrong = f"'{shorten(written)}' is no other piece of '{piece.part}'"
            same = [p.mark for p in self.parts[piece.part].pieces if p is not piece]
            right = suggestion(written, same, "piece") if same else "there is no other: give it x, y and z"
            self.values.note(node.at, "mirror", wrong, right)
            return {}
        if not source.is_placed:
            wrong = f"'{source.mark}' has no place of its own"
            self.values.note(node.at, "mirror", wrong, f"give '{source.mark}' its x, y and z")
            return {}
        if piece.coordinates:
            self.values.note(node.at, "twice", "'mirror' stands beside coordinates", "write one or the other")
        centre = node.part(match.start(3), match.group(3))
        self.mirrors[piece.mark] = (source.mark, Direction(match.group(2).lower()), centre)
        faces = self._faces_in(centre, None)
        return {_Key(piece.mark, d): [_Key(source.mark, d), *self._keys_of(faces)] for d in Direction}

    def _needs_of_sizes(self) -> dict[_Key, list[_Key]]:
        needs = {}
        for part in self.parts.values():
            for axis in AXES:
                key = _Key(part.name, axis)
                direction = part.direction_of(axis)
                givers = [
                    _Key(piece.mark, direction)
                    for piece in part.pieces
                    if direction is not None
                    and (found := self.coordinates.get(_Key(piece.mark, direction)))
                    and found.form == "both"
                ]
                if axis in part.sizes:
                    needs[key] = self._keys_of(self._faces_in(part.sizes[axis], None))
                else:
                    needs[key] = givers
        return needs

    def _is_too_long(self, node: Scalar) -> bool:
        if len(node.text) > MOST_LETTERS:
            wrong = f"a place of {len(node.text)} letters is too long"
            self.values.note(node.at, "length", wrong, f"at most {MOST_LETTERS} letters")
        return len(node.text) > MOST_LETTERS

    def _read(self, node: Scalar, direction: Direction) -> _Coordinate:
        text = node.text.strip()
        shift = node.text.find(text)
        if begins := _FROM.match(text):
            right = f"write it without 'from': {shorten(text[begins.end() :])}"
            self.values.note(node.place(shift), "length", "a place does not begin with 'from'", right)
            shift, text = shift + begins.end(), text[begins.end() :]
        for form, pattern in _FORMS:
            match = pattern.fullmatch(text)
            if match:
                texts = tuple(
                    node.part(shift + match.start(group), match.group(group))
                    for group in range(1, (match.lastindex or 0) + 1)
                )
                if form == "centre":
                    texts = (self._middle_of(texts[0]),)
                return _Coordinate(form, texts, [n for each in texts for n in self._faces_in(each, direction)])
        return _Coordinate("low", (node,), [])

    def _middle_of(self, node: Scalar) -> Scalar:
        """ "centred on FL" is on FL.centre."""
        mark = node.text.strip()
        return replace(node, text=f"{mark}.centre") if mark in self.pieces and mark not in self.values.names else node

    def _faces_in(self, node: Scalar, direction: Direction | None) -> list[tuple[str, str]]:
        """The faces an expression mentions; a face that looks another way than the coordinate runs is reported."""
        found = []
        for face in self._misnamed(node, direction):
            known = [name for name, (d, _) in SIDES.items() if direction is None or d is direction]
            wrong = f"'{face.piece}' has no face called '{shorten(face.side)}'"
            self.values.note(node.place(face.start), "face", wrong, suggestion(face.side, known, "face"))
        for face in faces_in(node.text, direction is not None):
            mark, side = self._mark_of(face.piece), face.side
            at = node.place(face.start)
            if mark is None:
                if not self.values.is_forgiven(face.piece):
                    wrong = f"no piece is marked '{shorten(face.piece)}'"
                    self.values.note(at, "unknown-piece", wrong, suggestion(face.piece, self.pieces, "piece"))
                continue
            if side in CENTRES and direction is not None and self.pieces[mark].is_placed:
                found += [(mark, each) for each in sides_along(direction)]
            elif direction is not None and side not in CENTRES and SIDES[side][0] is not direction:
                sides = " and ".join(name for name, (d, _) in SIDES.items() if d is direction)
                wrong = f"'{mark}.{side}' is a place along {SIDES[side][0].value}, not along {direction.value}"
                self.values.note(at, "face", wrong, f"faces along {direction.value} are {sides}")
            elif not self.pieces[mark].is_placed:
                self.values.note(at, "face", f"'{mark}' has no place of its own", f"give '{mark}' its x, y and z")
            else:
                found.append((mark, side))
        return found

    def _misnamed(self, node: Scalar, direction: Direction | None) -> list[Named]:
        """What looks like a face of a known piece and is none, such as FL.rihgt; a size has no centre to go by."""
        named = dotted(node.text)
        if not named:  # of most sizes and places
            return named
        known = {*SIDES, *CENTRES} if direction is not None else {*SIDES}
        return [each for each in named if each.piece in self.pieces and each.side not in known]

    def _mark_of(self, written: str) -> str | None:
        """The longest known mark at the end of what was written: in 'width-FL' the mark is FL."""
        while written not in self.pieces:
            _, dash, written = written.partition("-")
            if not dash:
                return None
        return written

    def _keys_of(self, faces: Iterable[tuple[str, str]], beside: PieceDraft | None = None) -> list[_Key]:
        found = [_Key(mark, SIDES[side][0]) for mark, side in faces]
        named: dict[str, set[Direction]] = {}
        for mark, side in faces:
            named.setdefault(mark, set()).add(SIDES[side][0])
        return found + [_Key(*key) for key in self.askew.also_needed(named, beside)]

    # --- working out -------------------------------------------------------------------------------------------------

    def _names_a_lean(self, piece: PieceDraft, direction: Direction, coordinate: _Coordinate) -> bool:
        """Whether a plumb piece is placed by the face of one that leans, which has to be known for it."""
        if direction is Direction.Z or self.askew.leans(piece.mark):
            return False
        return any(self.askew.leans(mark) for mark, _ in coordinate.needs)

    def _evaluate(
        self,
        node: Scalar,
        least: int | None = None,
        level: Length | None = None,
        beside: PieceDraft | None = None,
        along: Direction | None = None,
    ) -> Length | None:
        """An expression with faces put in, and centres of pieces `along` a direction; those of leaning pieces as they
        stand at the height `level`, those of tipped ones as `beside` sees them; None without a new problem where a face
        could not be worked out."""
        if "." not in node.text:  # no face is named
            return self.values.length(node, least=least)
        if self._misnamed(node, along):
            return None
        names: dict[str, Length] = {}
        written: dict[str, str] = {}
        text = node.text
        for face in reversed(faces_in(node.text, along is not None)):
            mark = self._mark_of(face.piece)
            sides = sides_along(along) if face.side in CENTRES and along is not None else (face.side,)
            stands = [self._stands(mark, side, level, beside) for side in sides] if mark else []
            known_at = [at for at in stands if at is not None]
            if mark is None or len(known_at) < len(sides):
                return None
            kept = face.end - len(mark) - 1 - len(face.side)
            name = f"_{len(names)}".ljust(face.end - kept, "_")
            at = known_at[0] if len(known_at) == 1 else (known_at[0] + known_at[1]) / 2
            names[name], written[name] = at, text[kept : face.end]
            text = text[:kept] + name + text[face.end :]
        stand_in = Scalar(node.at, text, node.quoted, straight=node.straight)
        return self.values.length(stand_in, names, least, written)

    def _stands(self, mark: str, side: str, level: Length | None, beside: PieceDraft | None) -> Length | None:
        """Where a face of a piece stands; None where that is not known."""
        direction, high = SIDES[side]
        span = self.spans[mark].get(direction)
        if span is None:
            return None
        at: Length | None = span[high]
        if level is not None and direction is not Direction.Z and self.askew.leans(mark):
            at = self.askew.leaning_face(mark, direction, high, level)
        tipped = self.askew.tipped_face(mark, direction, high, beside)
        return at if tipped is None or at is None else tipped

    def _work_out_size(self, part: PartDraft, axis: Axis) -> None:
        if axis in part.sizes:
            value = self._evaluate(part.sizes[axis], least=1)
            if value is not None:
                self.sizes[part.name][axis] = value
                self.size_at[part.name, axis] = part.sizes[axis].at
            return
        direction = part.direction_of(axis)
        for piece in part.pieces:
            if direction is None or direction not in self.spans[piece.mark]:
                continue
            low, high = self.spans[piece.mark][direction]
            if axis not in self.sizes[part.name]:
                self.sizes[part.name][axis] = high - low
                self.size_at[part.name, axis] = self._place_at(piece, direction)

    def _place_at(self, piece: PieceDraft, direction: Direction) -> Position:
        node = piece.coordinates.get(direction)
        return node.at if node is not None else piece.at

    def _work_out_span(self, piece: PieceDraft, direction: Direction) -> None:
        if piece.mark in self.mirrors:
            self._mirror_span(piece, direction)
            return
        part = self.parts[piece.part]
        axis = part.axis_along(direction)
        assert axis is not None
        coordinate = self.coordinates[_Key(piece.mark, direction)]
        level = None
        if self._names_a_lean(piece, direction, coordinate):
            upright = self.spans[piece.mark].get(Direction.Z)
            if upright is None:
                return
            level = (upright[0] + upright[1]) / 2
        found = [self._evaluate(text, None, level, piece, direction) for text in coordinate.texts]
        numbers = [value for value in found if value is not None]
        if len(numbers) != len(coordinate.texts):
            return
        if coordinate.form == "both":
            self._both_sides(piece, part, axis, direction, (numbers[0], numbers[1]))
            return
        size = self.sizes[part.name].get(axis)
        if size is None:
            return
        low = self._low(piece, coordinate.form, numbers, size, coordinate.texts[0])
        if low is None:
            return
        self.spans[piece.mark][direction] = (low, low + size)

    def _low(self, piece: PieceDraft, form: str, numbers: list[Length], size: Length, node: Scalar) -> Length | None:
        """The low side of a piece; None after a problem where its run does not fit."""
        if form == "high":
            return numbers[0] - size
        if form == "centre":
            return numbers[0] - size / 2
        if form in IN_A_ROW:
            start, end = numbers
            free = end - start - size * piece.count
            if free < ZERO:
                if piece.index == 0:
                    self._report_no_room(piece, size, end - start, node.at)
                return None
            if form == "evenly":
                gap = free / (piece.count + 1)
                return start + gap * (piece.index + 1) + size * piece.index
            if piece.count == 1:
                return start
            return start + (free / (piece.count - 1) + size) * piece.index
        return numbers[0]

    def _report_no_room(self, piece: PieceDraft, size: Length, room: Length, at: Position) -> None:
        if room <= ZERO:
            wrong = f"'{piece.mark}' and its run have no room: the second side does not lie beyond the first"
            self.values.note(at, "run", wrong, "write the low side first, such as evenly from FL.right to FR.left")
            return
        wrong = f"{piece.count} × {exact_text(size)} do not fit into {exact_text(room)}"
        right = f"{exact_text(size * piece.count - room)} too much: fewer pieces, or narrower ones"
        self.values.note(at, "run", wrong, right)

    def _both_sides(self, piece: PieceDraft, part: PartDraft, axis: Axis, direction: Direction, span: Span) -> None:
        at = self._place_at(piece, direction)
        if span[1] <= span[0]:
            wrong = f"'{piece.mark}' runs from {exact_text(span[0])} to {exact_text(span[1])}"
            self.values.note(at, "place", wrong, "the second side must lie beyond the first")
            return
        self.spans[piece.mark][direction] = span
        # If the size is written as well, or another piece of the part gave it first, the two must agree.
        written = self._evaluate(part.sizes[axis], least=1) if axis in part.sizes else None
        known = written if written is not None else self._first_span(part, direction, piece)
        if known is not None and known != span[1] - span[0]:
            line = part.sizes[axis].at.line if axis in part.sizes else self._first_line(part, direction, piece)
            wrong = (
                f"'{piece.mark}' gets a {axis.value} of {exact_text(span[1] - span[0])} from its place, "
                f"{exact_text(known)} from line {line}"
            )
            self.values.note(at, "contradiction", wrong, "make them agree, or write the size once")

    def _first_span(self, part: PartDraft, direction: Direction, but: PieceDraft) -> Length | None:
        for other in part.pieces:
            if other is but:
                return None
            if direction in self.spans[other.mark]:
                low, high = self.spans[other.mark][direction]
                return high - low
        return None

    def _first_line(self, part: PartDraft, direction: Direction, but: PieceDraft) -> int:
        first = next(p for p in part.pieces if p is not but and direction in self.spans[p.mark])
        return self._place_at(first, direction).line

    def _mirror_span(self, piece: PieceDraft, direction: Direction) -> None:
        source, across, centre = self.mirrors[piece.mark]
        span = self.spans[source].get(direction)
        if span is None:
            return
        if direction is across:
            middle = self._evaluate(centre)
            if middle is None:
                return
            span = (middle * 2 - span[1], middle * 2 - span[0])
        self.spans[piece.mark][direction] = span

    def _report_circle(self, circle: list[_Key]) -> None:
        """A circle of places and sizes, by the first of them that stands in the file."""
        places = [(self._key_place(key), key.words) for key in circle]
        start = min(range(len(places)), key=lambda i: places[i][0])
        turn = places[start:] + places[: start + 1]
        way = circle_words([f"{words} (line {at.line})" for at, words in turn])
        right = "give one of them a plain length"
        self.values.note(places[start][0], "cycle", f"places go round in a circle: {way}", right)

    def _key_place(self, key: _Key) -> Position:
        if isinstance(key.along, Direction):
            return self._place_at(self.pieces[key.name], key.along)
        part = self.parts[key.name]
        return part.sizes[key.along].at if key.along in part.sizes else part.at

    # --- results -----------------------------------------------------------------------------------------------------

    def place_of(self, piece: PieceDraft) -> Place | None:
        """Where a piece lies, and the sides its end A, face edge and face side look to; None where not known."""
        spans = self.spans[piece.mark]
        runs = self.parts[piece.part].runs
        if len(spans) != 3 or runs is None:
            return None
        corner = (spans[Direction.X][0], spans[Direction.Y][0], spans[Direction.Z][0])
        flags = self._flags(piece, runs)
        return Place(corner, *flags, self.askew.lean_of(piece), self.askew.tilt_of(piece))

    def _flags(self, piece: PieceDraft, runs: Runs, seen: int = 0) -> tuple[bool, bool, bool]:
        directions = (runs.length, runs.width, runs.thickness)
        if piece.mark in self.mirrors and seen < len(self.pieces):
            source, across, _ = self.mirrors[piece.mark]
            found = list(self._flags(self.pieces[source], runs, seen + 1))
            turned = directions.index(across)
            found[turned] = not found[turned]
        else:
            # An upright end B, an upper face edge, an upper face side: as marked out at the bench.
            found = [True, runs.width is not Direction.Z, runs.thickness is not Direction.Z]
        for index, (key, direction) in enumerate(zip(REFERENCE_NAMES, directions, strict=True)):
            node = piece.sides.get(key)
            side = self.values.word(node, SIDES, "side") if node is not None else None
            if node is None or side is None:
                continue
            if SIDES[side][0] is not direction:
                names = " or ".join(name for name, (d, _) in SIDES.items() if d is direction)
                self.values.note(node.at, "side", f"{key} of '{piece.mark}' cannot look {side}", f"only {names}")
            else:
                found[index] = not SIDES[side][1]
        return found[0], found[1], found[2]
