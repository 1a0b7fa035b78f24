"""The glue-up: how much glue, how much time, how many clamps, stage by stage."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from shopdocs.core.length import ZERO
from shopdocs.facts.adhesives import Adhesive, WorkingTime, adhesive, working_minutes
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import Joint, JointKind, Meeting, Stage
from shopdocs.model.parts import Part, Piece
from shopdocs.work.joints.frame import PI
from shopdocs.work.joints.room import depths_of
from shopdocs.work.order.closing import Order, Things, after_stage, order_of, things_with
from shopdocs.work.scene.in_space import Space

# Common practice, no source: minutes of a practised hand working alone; the maker's own estimate wins.
MINUTES_A_JOINT = Fraction(3, 2)
MINUTES_A_CLAMP = Fraction(3, 4)
MINUTES_TO_CHECK = Fraction(3)
LOST_IN_THE_POT = Fraction(1, 4)
LEAST_MIX = Fraction(15)  # grams; two parts cannot be measured true in less (common practice, no source)
TIGHT_SHARE = Fraction(3, 4)  # beyond this share of the open time a glue-up has no slack left


@dataclass(frozen=True, slots=True)
class Mix:
    """Glue for a stage in grams, with what stays in pot and brush, and in how many batches it is mixed. `mixed` of two
    parts; `least` where less would do, but cannot be measured true."""

    grams: Fraction
    batches: int
    mixed: bool = False
    least: bool = False


@dataclass(frozen=True, slots=True)
class StageWork:
    """A stage with what was computed for it. `minutes` is the maker's estimate or ours (`estimated`); `open` what the
    adhesive allows; `loose` are pieces that no stage before had; `panels` those that are glued up of strips in it;
    `order` how the pieces and what was glued before go together; `things` what there is in the shop afterwards."""

    number: int
    stage: Stage
    meetings: tuple[tuple[Joint, Meeting], ...]
    loose: tuple[str, ...]
    minutes: Fraction
    estimated: bool
    open: WorkingTime | None
    wait_hours: Fraction | None
    area: Fraction
    mix: Mix | None
    clamps: tuple[tuple[str, int, int | None], ...]
    order: Order
    things: Things
    panels: tuple[tuple[Part, Piece], ...] = ()

    @property
    def too_long(self) -> bool:
        return self.open is not None and self.minutes > self.open.low

    @property
    def tight(self) -> bool:
        return self.open is not None and not self.too_long and self.minutes > self.open.low * TIGHT_SHARE


def glued_area(build: Build, joint: Joint, entering: Part, receiving: Part) -> Fraction:
    """Glued area of one meeting in square metres, from the sizes alone, for pieces without places: the faces that
    `work.joints` counts where the places are known. Zero where the build lacks the sizes.

    Rounded in two kinds: dowels take pi to eleven places, and the cheeks of dovetails count as if they stood square to
    the board, which is under 1 % too little at 1 in 8. A tenon without a stated width counts as wide as its piece.
    """
    t, w = joint.thickness or ZERO, joint.width or entering.width
    length, depth = (size or ZERO for size in depths_of(joint, build))
    if joint.kind in (JointKind.MORTISE_AND_TENON, JointKind.THROUGH_TENON):
        return _square(2 * w.mm * length.mm + 2 * t.mm * length.mm)
    if joint.kind is JointKind.BRIDLE:
        return _square(2 * w.mm * length.mm)
    if joint.kind is JointKind.LOOSE_TENON:
        return _square(joint.count * 2 * (w.mm + t.mm) * length.mm)
    if joint.kind is JointKind.DOWELS:
        return _square(joint.count * PI * t.mm * length.mm)
    if joint.kind is JointKind.EDGE_JOINT:
        return _square(min(entering.thickness, receiving.thickness).mm * min(entering.length, receiving.length).mm)
    if joint.kind is JointKind.HALF_LAP:
        return _square(min(entering.width, receiving.width).mm * (length or min(entering.width, receiving.width)).mm)
    if joint.kind is JointKind.TONGUE_AND_GROOVE:
        run = max(entering.length, entering.width)
        return _square(2 * length.mm * run.mm)
    if joint.kind is JointKind.HOUSING:
        return _square((2 * depth.mm + entering.thickness.mm) * entering.width.mm)
    if joint.kind is JointKind.RABBET:  # one wall, where a housing has two
        return _square((depth.mm + entering.thickness.mm) * entering.width.mm)
    if joint.kind is JointKind.DOVETAIL:
        cheeks = 2 * joint.count * (length or depth or receiving.thickness).mm
        return _square((cheeks + entering.width.mm) * entering.thickness.mm)
    return _square(entering.thickness.mm * entering.width.mm)


def _square(mm2: Fraction | int) -> Fraction:
    return Fraction(mm2) / 1_000_000


@dataclass(frozen=True, slots=True)
class PanelWork:
    """Pieces of one part that are glued up of strips before anything else is done with them, and have no stage for it:
    seams a piece, glued area of all of them in square metres, glue."""

    part: Part
    pieces: tuple[Piece, ...]
    seams: int
    area: Fraction
    mix: Mix | None


def panel_works(build: Build, shop: Shop) -> tuple[PanelWork, ...]:
    """Every part that is made of strips, in reading order; none without an adhesive."""
    if build.gluing is None:
        return ()
    glue = adhesive(build.gluing.adhesive)
    staged = {piece.mark for stage in build.gluing.stages for _, piece in panels_of(build, stage)}
    found = []
    for part in build.parts:
        pieces = tuple(piece for piece in part.pieces if piece.mark not in staged)
        if part.strips > 1 and pieces:
            area = len(pieces) * seam_area(part)
            found.append(PanelWork(part, pieces, part.strips - 1, area, _mix(area, glue, shop)))
    return tuple(found)


def panels_of(build: Build, stage: Stage) -> tuple[tuple[Part, Piece], ...]:
    """The pieces whose strips are glued in a stage: all of it, where it has nothing but pieces of strips and joins none
    of them to another; there is nothing else that could be glued in it."""
    marks = frozenset(stage.pieces)
    found = tuple((part, piece) for part, piece in build.pieces() if piece.mark in marks)
    joined = any({meeting.entering, meeting.receiving} <= marks for _, meeting in build.meetings())
    return () if stage.uses or joined or any(part.strips == 1 for part, _ in found) else found


def seam_area(part: Part) -> Fraction:
    """Glued area of all seams of one piece, in square metres."""
    return _square((part.strips - 1) * part.thickness.mm * part.length.mm)


def stage_works(build: Build, shop: Shop, space: Space | None = None) -> tuple[StageWork, ...]:
    """Every stage of the build with its joints, time, glue and clamps; glued areas from the worked-out joints where
    pieces have places."""
    if build.gluing is None:
        return ()
    glue = adhesive(build.gluing.adhesive)
    window = _window(build, glue)
    parts = {piece.mark: part for part, piece in build.pieces()}
    used: dict[str, int] = {}
    members: dict[str, tuple[str, ...]] = {}
    done: set[int] = set()
    things: Things = {mark: (mark,) for mark in parts}
    works = []
    for number, stage in enumerate(build.gluing.stages, 1):
        in_order = [mark for title in stage.uses for mark in members.get(title, ())] + list(stage.pieces)
        together = frozenset(in_order)
        members[stage.title] = tuple(dict.fromkeys(in_order))
        meetings = tuple(
            (joint, meeting)
            for joint, meeting in build.meetings()
            if meeting.number not in done and {meeting.entering, meeting.receiving} <= together
        )
        done |= {meeting.number for _, meeting in meetings}
        loose = tuple(mark for mark in stage.pieces if mark not in used)
        used.update(dict.fromkeys(stage.pieces, number))
        area = sum((_area(build, j, m, parts, space) for j, m in meetings if j.glued), Fraction(0))
        panels = panels_of(build, stage)
        area += sum((seam_area(part) for part, _ in panels), Fraction(0))
        ready = things_with(things, in_order)
        order = order_of(ready, meetings, space)
        things = after_stage(things, ready, stage.title, meetings)
        made = (order, things)
        works.append(_work(number, stage, meetings, loose, area, made, glue, window, build, shop, panels))
    return tuple(works)


def _area(build: Build, joint: Joint, meeting: Meeting, parts: dict[str, Part], space: Space | None) -> Fraction:
    """Glued area of one meeting in square metres."""
    if space is not None and meeting.number in space.joinery:
        return space.joinery[meeting.number].glue_area / 1_000_000
    return glued_area(build, joint, parts[meeting.entering], parts[meeting.receiving])


def _window(build: Build, glue: Adhesive | None) -> WorkingTime | None:
    gluing = build.gluing
    if gluing is None:
        return None
    if gluing.open_minutes is not None:
        return WorkingTime(gluing.open_minutes, gluing.open_minutes, (), note="from the label of the pot")
    return working_minutes(glue, gluing.shop_celsius) if glue else None


def _work(
    number: int,
    stage: Stage,
    meetings: tuple[tuple[Joint, Meeting], ...],
    loose: tuple[str, ...],
    area: Fraction,
    made: tuple[Order, Things],
    glue: Adhesive | None,
    window: WorkingTime | None,
    build: Build,
    shop: Shop,
    panels: tuple[tuple[Part, Piece], ...],
) -> StageWork:
    glued = sum(1 for joint, _ in meetings if joint.glued) + sum(part.strips - 1 for part, _ in panels)
    clamp_count = sum(need.count for need in stage.clamps)
    minutes = stage.minutes
    if minutes is None:
        minutes = Fraction(ceil(glued * MINUTES_A_JOINT + clamp_count * MINUTES_A_CLAMP + MINUTES_TO_CHECK))
    gluing = build.gluing
    wait = stage.wait_hours or (gluing.clamp_hours if gluing else None) or (glue.planned_clamp_hours if glue else None)
    return StageWork(
        number=number,
        stage=stage,
        meetings=meetings,
        loose=loose,
        minutes=minutes,
        estimated=stage.minutes is None,
        open=window,
        wait_hours=wait,
        area=area,
        mix=_mix(area, glue, shop),
        clamps=tuple((need.kind, need.count, shop.clamps.get(need.kind)) for need in stage.clamps),
        order=made[0],
        things=made[1],
        panels=panels,
    )


def _mix(area: Fraction, glue: Adhesive | None, shop: Shop) -> Mix | None:
    if glue is None or not area:
        return None
    needed = glue.grams(area) * (1 + LOST_IN_THE_POT)
    if not glue.mixed:
        return Mix(needed, 1)
    grams = max(needed, LEAST_MIX)
    return Mix(grams, max(1, ceil(grams / shop.batch_grams)), True, needed < LEAST_MIX)


def stage_of_pieces(works: Iterable[StageWork]) -> dict[str, StageWork]:
    """The first stage of every piece, by mark."""
    found: dict[str, StageWork] = {}
    for work in works:
        for mark in work.stage.pieces:
            found.setdefault(mark, work)
    return found


def again_of_pieces(works: Iterable[StageWork]) -> dict[str, tuple[StageWork, ...]]:
    """The stages after its first that glue a joint of a piece, or name it once more, by mark; pieces with none are left
    out. A stage that only moves the piece with what it is glued to does not count: no glue comes to it."""
    seen: set[str] = set()
    found: dict[str, tuple[StageWork, ...]] = {}
    for work in works:
        joined = (mark for joint, m in work.meetings if joint.glued for mark in (m.entering, m.receiving))
        for mark in dict.fromkeys((*joined, *work.stage.pieces)):
            if mark in seen:
                found[mark] = (*found.get(mark, ()), work)
            seen.add(mark)
    return found
