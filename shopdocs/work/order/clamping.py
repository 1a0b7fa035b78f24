"""Clamps of a stage: along which lines its joints are closed, how many stand on each, how far they open.

A clamp closes every joint in its line: a rail between two legs takes one line, not two. On each line the larger of two
counts holds: force (pressure times the area that is pressed flat; epoxy wants contact only) and spacing (pressure
spreads by 45 degrees from the head, `facts.clamps`). Both are rounded up. A tenon's cheeks are held by their fit, the
faces of a lap by its shoulders: it is closed across its faces, through pads or cauls, by as many clamps as reach all
of them by spacing, which is one or two (common practice, no source).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.box import AXES, Box, Corner
from shopdocs.core.length import INCH, ZERO, Length
from shopdocs.facts.adhesives import adhesive
from shopdocs.facts.clamps import (
    ClampForce,
    clamp_force,
    clamps_for_force,
    clamps_for_length,
    pressure_range,
    widest_spacing,
)
from shopdocs.facts.movement import species
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import Joint, Meeting
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.order.stages import StageWork
from shopdocs.work.scene.in_space import Space
from shopdocs.work.shapes.carved import part_beside
from shopdocs.work.shapes.solid import Solid
from shopdocs.work.space.askew_piece import AskewPiece
from shopdocs.work.space.drilled import wood_group
from shopdocs.work.space.placed import side_of

# Common practice, no source: pads between jaw and work; how much wider a clamp stands than work and pads, to go over
# joints that are not home yet; the deepest caul one still lifts; jaws of spring clamps.
PAD = {"in": Length.inches("3/4"), "mm": Length(20)}
ROOM = {"in": Length.inches("3/4"), "mm": Length(20)}
DEEPEST_CAUL = {"in": Length.inches(4), "mm": Length(100)}
SPRING_JAW = Length(50)
WAYS_OUT = (
    "list or borrow more, split the stage, draw two lines up with one stiff caul across both, drive wedges against "
    "blocks screwed to a board, or put a band round it"
)
ANY_CLAMP = "clamp"  # what is counted where none on the wall will do
SQUARE_INCH = INCH.mm * INCH.mm
_UNITS = {"in": INCH.mm, '"': INCH.mm, "mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000), "ft": INCH.mm * 12}
_OPENING = re.compile(r"(\d+(?:\.\d+)?)\s*(in|mm|cm|m|ft|\")?(?![\w])")


class ClampLine(Struct, frozen=True):
    """Joints that one row of clamps closes, along `axis` of the build: `marks` are the pieces between the jaws,
    `joints` the numbers of the meetings. `opening` is from jaw to jaw on the bare work; `run` how far the row is long,
    along `across`; `to_glue` from a jaw to the nearest glue; `pressed` the area pressed flat, in square millimetres (0
    where only shoulders are drawn up), `psi` the pressure it wants (None for contact). `ends` are the middles of both
    jaws, in ticks; `proud` whether a tenon stands out under a jaw; `over` is the piece that the bar lies along; `round`
    a band runs round the pieces instead."""

    axis: int
    marks: tuple[str, ...]
    joints: tuple[int, ...]
    opening: Length
    run: Length
    across: int
    to_glue: Length
    pressed: Fraction
    psi: Fraction | None
    ends: tuple[Corner, Corner]
    proud: bool = False
    round: bool = False
    over: str = ""

    def count(self, clamp: ClampForce, depth: Length) -> int:
        """How many clamps of a kind stand on it, through pads or a caul this deep."""
        if self.round:
            return 1
        spread = clamps_for_length(self.run, self.to_glue + depth, clamp)
        if self.psi is None or not self.pressed:
            return spread
        return max(spread, clamps_for_force(self.pressed / SQUARE_INCH, self.psi, clamp))


class ClampSet(Struct, frozen=True):
    """`count` clamps of one `kind` on a line ("" where none is left that opens far enough), through pads or a caul
    `depth` deep, with `room` beside these; `first` is the number of the first of them, C1 being the first of the
    stage; `unreached` of clamps that lack, whether none on the wall would serve the line if it were free."""

    line: ClampLine
    kind: str
    count: int
    depth: Length
    first: int = 1
    caul: bool = False
    unreached: bool = False
    room: Length = ZERO

    @property
    def opened(self) -> Length:
        """From jaw to jaw, over the pads and joints that are not home yet."""
        return self.line.opening + self.depth * 2 + self.room


class Clamping(Struct, frozen=True):
    """The clamps of a stage. `lacking` are sets for which no clamp is left, or none opens so far. `written` are the
    maker's own counts, by kind, where the stage has some."""

    number: int
    sets: tuple[ClampSet, ...]
    lacking: tuple[ClampSet, ...]
    written: Mapping[str, int]

    @property
    def count(self) -> int:
        """All clamps that the stage wants."""
        return sum(each.count for each in (*self.sets, *self.lacking))


def clampings(build: Build, shop: Shop, works: Iterable[StageWork], space: Space | None) -> tuple[Clamping, ...]:
    """The clamps of every stage; nothing where pieces have no places or nothing is known of the glue."""
    if space is None or build.gluing is None:
        return ()
    return tuple(_clamping(build, shop, work, space) for work in works if work.members <= space.pieces.keys())


def opening_of(kind: str, units: str) -> Length | None:
    """How far a clamp opens by its name: "bar clamp 24 in", "bar clamp 80". A bare number below 200 counts inches in a
    build in inches and centimetres in a metric one, as clamps are sold (common practice, no source). None without a
    number; a band is never too short."""
    found = _OPENING.search(kind)
    if found is None or clamp_force(kind).kind == "band":
        return SPRING_JAW if clamp_force(kind).kind == "spring" else None
    number, unit = Fraction(found.group(1)), found.group(2)
    if unit is None:
        unit = "in" if units == "in" else "mm" if number >= 200 else "cm"
    return Length(number * _UNITS[unit])


# --- lines ------------------------------------------------------------------------------------------------------------


def clamp_lines(build: Build, work: StageWork, space: Space, shop: Shop) -> tuple[ClampLine, ...]:
    """The lines along which a stage is clamped: panels across their seams, everything else in the way it closes."""
    lines = [_of_strips(build, space, mark, shop.allowances.width) for _, piece in work.panels if (mark := piece.mark)]
    ways = {meeting.number: closing.toward[0] for closing in work.order.closings for _, meeting in closing.joints}
    rows: list[tuple[ClampLine, Box]] = []
    mitred = []
    for joint, meeting in work.meetings:
        if not joint.glued or not KINDS[joint.kind].clamped:
            continue
        made = space.joinery.get(meeting.number)
        if made is None:
            continue
        lap = _faces_of_lap(space, joint, meeting) if made.enters is None else None
        if lap is not None:
            rows.append(_row(build, space, joint, meeting, ways.get(meeting.number, lap[0]), lap[1]))
            continue
        if made.enters is None or _is_mitre(space, meeting):
            mitred.append((joint, meeting))
            continue
        piece = space.pieces[meeting.entering]
        axis = ways.get(meeting.number, piece.pose.build_axis(side_of(made.enters)[0]))
        rows.append(_row(build, space, joint, meeting, axis))
    merged = _merged(rows)
    lines += [_whole(space, work.members, line, box) for line, box in merged]
    if mitred:
        lines.append(_band(space, mitred))
    return tuple(lines)


def _faces_of_lap(space: Space, joint: Joint, meeting: Meeting) -> tuple[int, Box] | None:
    """The direction of the build that the faces of a lap look along, and where these lie; the same where two pieces
    cross of which one leans or is tipped: a box round such pieces says little of where they meet. None of other
    joints."""
    pieces = [space.pieces[mark] for mark in (meeting.entering, meeting.receiving)]
    pair = space.contacts.between(meeting.entering, meeting.receiving)
    lapped = KINDS[joint.kind].lapped or any(isinstance(piece, AskewPiece) for piece in pieces)
    if pair is None or not pair.touches or not lapped:
        return None
    cheek = max(pair.touches, key=lambda touch: touch.area)
    return cheek.axis, cheek.where


def _is_mitre(space: Space, meeting: Meeting) -> bool:
    pair = space.contacts.between(meeting.entering, meeting.receiving)
    return pair is not None and pair.mitre is not None


def _of_strips(build: Build, space: Space, mark: str, allowance: Length) -> ClampLine:
    """A panel is clamped across its strips, which lie as wide as the pieces between jaw and seam. Each is as much wider
    as it was sawn; the panel is brought to its width when it is one."""
    part = next(part for part, piece in build.pieces() if piece.mark == mark)
    piece, bounds = space.pieces[mark], space.scene.solids[space.scene.index(mark)].body
    axis, along = piece.pose.build_axis(1), piece.pose.build_axis(0)
    middle = [(a + b) // 2 for a, b in zip(bounds.lo, bounds.hi, strict=True)]
    ends = _ends(middle, axis, bounds.lo[axis], bounds.hi[axis])
    area = part.thickness.mm * part.length.mm
    psi = _psi(build, mark)
    wide = part.width + allowance * part.strips
    return ClampLine(axis, (mark,), (), wide, part.length, along, part.width / part.strips, area, psi, ends)


def _psi(build: Build, mark: str) -> Fraction | None:
    """The least pressure that the glue wants on this wood."""
    glue = adhesive(build.gluing.adhesive) if build.gluing is not None else None
    part = next(part for part, piece in build.pieces() if piece.mark == mark)
    wood = species(build.material(part.material).species)
    if glue is None:
        return None
    found = pressure_range(glue, wood_group(build, part), wood.gravity if wood is not None else None)
    return found.low if found is not None else None


def _ends(middle: Sequence[int], axis: int, low: int, high: int) -> tuple[Corner, Corner]:
    one, two = list(middle), list(middle)
    one[axis], two[axis] = low, high
    return (one[0], one[1], one[2]), (two[0], two[1], two[2])


def _row(
    build: Build, space: Space, joint: Joint, meeting: Meeting, axis: int, where: Box | None = None
) -> tuple[ClampLine, Box]:
    """One joint by itself, and where both its pieces lie, seen along the clamp: as is known of them, or by their
    bounds."""
    one, two = (space.scene.solids[space.scene.index(mark)] for mark in (meeting.entering, meeting.receiving))
    box = _common(one.bounds, two.bounds, axis)
    if where is not None:
        lo, hi = list(where.lo), list(where.hi)
        lo[axis], hi[axis] = box.lo[axis], box.hi[axis]
        box = Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))
    ticks = space.scene.ticks
    u, v = (k for k in AXES if k != axis)
    across = u if box.size[u] >= box.size[v] else v
    made = space.joinery[meeting.number]
    pressed = made.long_grain if KINDS[joint.kind].flat and not KINDS[joint.kind].lapped else Fraction(0)
    psi = _psi(build, meeting.entering)
    run = ticks.length(box.size[across])
    marks = (meeting.entering, meeting.receiving)
    proud = bool(joint.proud)
    line = ClampLine(axis, marks, (meeting.number,), ZERO, run, across, ZERO, pressed, psi, (box.lo, box.hi), proud)
    return line, box


def _common(one: Box, two: Box, axis: int) -> Box:
    """Where both lie, seen along an axis; as long along it as both together."""
    lo, hi = [0, 0, 0], [0, 0, 0]
    for k in AXES:
        if k == axis:
            lo[k], hi[k] = min(one.lo[k], two.lo[k]), max(one.hi[k], two.hi[k])
            continue
        low, high = max(one.lo[k], two.lo[k]), min(one.hi[k], two.hi[k])
        if low >= high:  # they only pass by each other: the clamp stands where they are nearest
            low, high = min(low, high), max(low, high) + (low == high)
        lo[k], hi[k] = low, high
    return Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))


def _merged(rows: list[tuple[ClampLine, Box]]) -> list[tuple[ClampLine, Box]]:
    """Rows that share a piece and lie in one line become one."""
    done: list[tuple[ClampLine, Box]] = []
    for line, box in rows:
        for i, (other, there) in enumerate(done):
            if line.axis == other.axis and set(line.marks) & set(other.marks) and _in_line(box, there, line.axis):
                both = _common(box, there, line.axis)
                done[i] = (
                    replace(
                        other,
                        marks=tuple(dict.fromkeys((*other.marks, *line.marks))),
                        joints=(*other.joints, *line.joints),
                        pressed=max(other.pressed, line.pressed),
                        run=max(other.run, line.run),
                        proud=other.proud or line.proud,
                    ),
                    both,
                )
                break
        else:
            done.append((line, box))
    return done


def _in_line(one: Box, two: Box, axis: int) -> bool:
    """Whether two stretches overlap by more than half of the smaller, seen along an axis."""
    for k in AXES:
        if k != axis:
            shared = min(one.hi[k], two.hi[k]) - max(one.lo[k], two.lo[k])
            if 2 * shared <= min(one.size[k], two.size[k]):
                return False
    return True


def _whole(space: Space, members: Iterable[str], line: ClampLine, box: Box) -> ClampLine:
    """The line with all pieces that lie in it, from outside to outside; of what leans, what lies between the jaws:
    its foot may stand farther out."""
    scene, axis = space.scene, line.axis
    middle = [(a + b) // 2 for a, b in zip(box.lo, box.hi, strict=True)]
    solids = {mark: scene.solids[scene.index(mark)] for mark in members}
    inside = [m for m, solid in solids.items() if m in line.marks or _crossed(solid, middle, axis)]
    low, high = box.lo[axis], box.hi[axis]
    grown = True
    taken = set(line.marks)
    while grown:
        grown = False
        for mark in inside:
            body = solids[mark].body
            if mark not in taken and body.lo[axis] <= high and body.hi[axis] >= low:
                taken.add(mark)
                grown = True
                low, high = min(low, body.lo[axis]), max(high, body.hi[axis])
    bodies = {mark: _between_jaws(solids[mark], box, axis) for mark in taken}
    # jaws stand off by what is not let in yet; what comes through and stands proud goes into a hole in the pad
    square = {mark for mark in taken if not isinstance(space.pieces[mark], AskewPiece)}
    reach = bodies if line.proud else {m: solids[m].bounds if m in square else bodies[m] for m in taken}
    low, high = min(box.lo[axis] for box in reach.values()), max(box.hi[axis] for box in reach.values())
    # a jaw presses on the outermost piece, and the glue begins where that ends
    first = min(bodies.values(), key=lambda body: (body.lo[axis], body.hi[axis]))
    last = max(bodies.values(), key=lambda body: (body.hi[axis], body.lo[axis]))
    near = min(first.size[axis], last.size[axis])
    over = max(sorted(taken), key=lambda mark: bodies[mark].size[axis])
    marks = tuple(sorted(taken, key=lambda mark: (bodies[mark].lo[axis], mark)))
    length = scene.ticks.length
    ends = _ends(middle, axis, low, high)
    return replace(line, marks=marks, opening=length(high - low), to_glue=length(near), ends=ends, over=over)


def _between_jaws(solid: Solid, box: Box, axis: int) -> Box:
    """As much of a body as lies beside a box, seen along an axis; all of it where nothing does."""
    body, part = solid.body, part_beside(solid, box, axis)
    lows, highs = list(body.lo), list(body.hi)
    if part is not None:
        lows[axis], highs[axis] = max(body.lo[axis], part.lo[axis]), min(body.hi[axis], part.hi[axis])
    return Box((lows[0], lows[1], lows[2]), (highs[0], highs[1], highs[2]))


def _crossed(solid: Solid, spot: Sequence[int], axis: int) -> bool:
    return all(solid.body.lo[k] <= spot[k] <= solid.body.hi[k] for k in AXES if k != axis)


def _band(space: Space, mitred: Sequence[tuple[Joint, Meeting]]) -> ClampLine:
    """Mitres are drawn up by a band round all of them."""
    marks = tuple(dict.fromkeys(mark for _, meeting in mitred for mark in (meeting.entering, meeting.receiving)))
    bounds = Box.around([space.scene.solids[space.scene.index(mark)].bounds for mark in marks])
    thin = min(AXES, key=lambda k: bounds.size[k])
    sides = [k for k in AXES if k != thin]
    ticks = space.scene.ticks
    round_all = ticks.length(2 * sum(bounds.size[k] for k in sides))
    joints = tuple(meeting.number for _, meeting in mitred)
    middle = [(a + b) // 2 for a, b in zip(bounds.lo, bounds.hi, strict=True)]
    ends = _ends(middle, sides[0], bounds.lo[sides[0]], bounds.hi[sides[0]])
    return ClampLine(sides[0], marks, joints, round_all, ZERO, thin, ZERO, Fraction(0), None, ends, round=True)


# --- clamps -----------------------------------------------------------------------------------------------------------


def _clamping(build: Build, shop: Shop, work: StageWork, space: Space) -> Clamping:
    lines = sorted(clamp_lines(build, work, space, shop), key=lambda line: (-line.opening.mm, line.joints))
    written: dict[str, int] = {}
    for need in work.stage.clamps:
        written[need.kind] = written.get(need.kind, 0) + need.count
    supply = dict(written or shop.clamps)
    known = bool(supply)
    pad = PAD[build.units]
    sets, lacking = _handed_out(lines, supply, known, build.units, [pad] * len(lines))
    if lacking:
        cauls = [_caul(line, supply or {"bar clamp": 1}, pad, DEEPEST_CAUL[build.units]) for line in lines]
        again, still = _handed_out(lines, supply, known, build.units, cauls)
        if sum(each.count for each in still) < sum(each.count for each in lacking):
            sets, lacking = [replace(each, caul=each.depth > pad) for each in again], still
    if not lacking:
        sets = _spread_out(sets, written)
    number, numbered = 1, []
    for each in sets:
        numbered.append(replace(each, first=number))
        number += each.count
    return Clamping(work.number, tuple(numbered), tuple(lacking), written)


def _spread_out(sets: list[ClampSet], written: Mapping[str, int]) -> list[ClampSet]:
    """What the maker wrote beyond the count goes to the lines alike, where it does so without a rest."""
    if len({each.line.run for each in sets}) != 1 or len({each.kind for each in sets}) != 1:
        return sets
    more, rest = divmod(written.get(sets[0].kind, 0) - sum(each.count for each in sets), len(sets))
    return sets if rest or more <= 0 else [replace(each, count=each.count + more) for each in sets]


def lacks_words(clamping: Clamping, lacking: ClampSet, opened: str) -> str:
    """Why clamps lack on a line, which want to open to `opened`: "none opens to 26 in for", "too few for"."""
    if lacking.unreached:
        return "no band for" if lacking.line.round else f"none opens to {opened} for"
    return "too few for" if any(each.line == lacking.line for each in clamping.sets) else "none left for"


def with_clamps(works: Iterable[StageWork], found: Iterable[Clamping], shop: Shop) -> tuple[StageWork, ...]:
    """The stages, each that names no clamps with those that were counted for it; they take their time too."""
    by_number = {each.number: each for each in found}
    return tuple(_with_clamps(work, by_number.get(work.number), shop) for work in works)


def _with_clamps(work: StageWork, found: Clamping | None, shop: Shop) -> StageWork:
    if work.clamps or found is None or not found.count:
        return work
    counts: dict[str, int] = {}
    for each in (*found.sets, *found.lacking):
        kind = each.kind or ANY_CLAMP
        counts[kind] = counts.get(kind, 0) + each.count
    clamps = tuple((kind, count, shop.clamps.get(kind)) for kind, count in counts.items())
    if not work.estimated:
        return replace(work, clamps=clamps)
    tightening = Fraction(-(-(found.count * shop.pace.clamp).numerator // (found.count * shop.pace.clamp).denominator))
    return replace(work, clamps=clamps, minutes=work.minutes + tightening)


def _caul(line: ClampLine, supply: Mapping[str, int], pad: Length, deepest: Length) -> Length:
    """How deep a caul must be for a single clamp to reach the whole row, or the deepest."""
    head = min(clamp_force(kind).head for kind in supply)
    alone = clamp_force("bar clamp")
    if line.round or widest_spacing(line.to_glue + pad, alone) >= line.run:
        return pad
    return min(deepest, max(pad, (line.run - head) / 2 - line.to_glue))


def _handed_out(
    lines: Sequence[ClampLine], supply: Mapping[str, int], known: bool, units: str, depths: Sequence[Length]
) -> tuple[list[ClampSet], list[ClampSet]]:
    """Clamps for each line, the widest first; each line takes the shortest clamps that open far enough."""
    left, room = dict(supply), ROOM[units]
    sets: list[ClampSet] = []
    lacking: list[ClampSet] = []
    for line, depth in zip(lines, depths, strict=True):
        if not known:
            kind = "band clamp" if line.round else "bar clamp"
            sets.append(ClampSet(line, kind, line.count(clamp_force(kind), depth), depth, room=room))
            continue
        done = Fraction(0)  # of what the line wants; each kind has its own count
        for kind in sorted((k for k in left if left[k] and _serves(line, k, depth, units)), key=_by_opening(units)):
            wanted = line.count(clamp_force(kind), depth)
            take = min(left[kind], _ceil(wanted * (1 - done)))
            if take and done < 1:
                sets.append(ClampSet(line, kind, take, depth, room=room))
                left[kind] -= take
                done += Fraction(take, wanted)
        if done < 1:
            wanted = line.count(clamp_force("band clamp" if line.round else "bar clamp"), depth)
            unreached = not any(_serves(line, kind, depth, units) for kind in supply)
            lacking.append(ClampSet(line, "", _ceil(wanted * (1 - done)), depth, unreached=unreached, room=room))
    return sets, lacking


def _ceil(value: Fraction) -> int:
    return -(-value.numerator // value.denominator)


def _by_opening(units: str) -> Callable[[str], tuple[Fraction, str]]:
    def key(kind: str) -> tuple[Fraction, str]:
        opening = opening_of(kind, units)
        return (opening.mm if opening is not None else Fraction(10**9), kind)

    return key


def _serves(line: ClampLine, kind: str, depth: Length, units: str) -> bool:
    """Whether a clamp opens far enough for work, pads and open joints; a band serves mitres alone, a spring clamp thin
    work that wants only contact."""
    force, opening = clamp_force(kind), opening_of(kind, units)
    if line.round or force.kind == "band":
        return line.round and force.kind == "band"
    if force.kind == "spring":
        return line.psi is None and line.opening <= SPRING_JAW
    return opening is None or opening >= line.opening + depth * 2 + ROOM[units]
