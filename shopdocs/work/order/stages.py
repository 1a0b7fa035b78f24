"""The glue-up: how much glue, how much time, how many clamps, stage by stage."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import ceil
from typing import ClassVar

from msgspec import Struct, field
from msgspec.structs import replace

from shopdocs.core.compared import Compared
from shopdocs.core.display import trimmed
from shopdocs.facts.adhesives import Adhesive, adhesive
from shopdocs.facts.working_time import Label, WorkingTime, clamp_hours, working_time
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import Joint, Meeting, Stage
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import Part, Piece
from shopdocs.work.joints.room import stated
from shopdocs.work.order.blocking import Obstacles
from shopdocs.work.order.closing import JoinedPair, Order, Things, after_stage, order_of, things_with
from shopdocs.work.order.mixing import Mix, mix_of
from shopdocs.work.scene.in_space import Space

TIGHT_SHARE = Fraction(3, 4)  # beyond this share of the open time a glue-up has no slack left


class StageWork(Compared, frozen=True):
    """A stage with what was computed for it.

    `minutes` until the clamps are tight is the maker's estimate or ours (`estimated`), `paced` what joints and clamps
    take at the pace of the shop, whoever estimated, `together` the part of them until the pieces are together; `open`
    what the adhesive allows; `loose` are pieces that no stage before had; `members` all that are there in it, those of
    the stages it uses among them; `panels` those that are glued up from strips in it; `ready` the things it begins
    with, `order` how they go together; `things` what there is in the shop afterwards.
    """

    apart: ClassVar[frozenset[str]] = frozenset()
    unhashed: ClassVar[frozenset[str]] = frozenset({"ready"})

    number: int
    stage: Stage
    meetings: tuple[tuple[Joint, Meeting], ...]
    loose: tuple[str, ...]
    minutes: Fraction
    paced: Fraction
    together: Fraction
    estimated: bool
    open: WorkingTime | None
    wait_hours: Fraction | None
    area: Fraction
    mix: Mix | None
    clamps: tuple[tuple[str, int, int | None], ...]
    order: Order
    things: Things
    panels: tuple[tuple[Part, Piece], ...] = ()
    members: frozenset[str] = frozenset()
    ready: Things = field(default_factory=dict)

    @property
    def too_long(self) -> bool:
        """Whether the glue has gone off before the pieces are together or the clamps tight."""
        return self.open is not None and (self.minutes > self.open.low or self.together > self.open.together)

    @property
    def tight(self) -> bool:
        """Whether little slack is left."""
        return self.open is not None and not self.too_long and self.minutes > self.open.low * TIGHT_SHARE


def glued_area(build: Build, joint: Joint, entering: Part, receiving: Part) -> Fraction:
    """Glued area of one meeting in square metres, from the sizes alone, for pieces without places: the faces that
    `work.joints` counts where the places are known. Zero where the build lacks the sizes. What is rounded in a kind is
    said with it.
    """
    return _square(KINDS[joint.kind].glue_area(stated(joint, build), entering, receiving))


def _square(mm2: Fraction | int) -> Fraction:
    return Fraction(mm2) / 1_000_000


class PanelWork(Struct, frozen=True):
    """Pieces of one part that are glued up from strips before all else, and have no stage for it:
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
            seams = [(0, area / len(pieces) / (part.strips - 1))] * (len(pieces) * (part.strips - 1))
            mix = mix_of(seams, glue, window_of(build, glue), shop)
            found.append(PanelWork(part, pieces, part.strips - 1, area, mix))
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


def stage_works(
    build: Build, shop: Shop, space: Space | None = None, obstacles: Obstacles | None = None
) -> tuple[StageWork, ...]:
    """Every stage of the build with its joints, time, glue and clamps; glued areas from the worked-out joints where
    pieces have places. `obstacles` as for `order_of`."""
    if build.gluing is None:
        return ()
    glue = adhesive(build.gluing.adhesive)
    window = window_of(build, glue)
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
        panels = panels_of(build, stage)
        ready = things_with(things, in_order)
        apart = bool(panels) and len(ready) > 1  # panels never meet in their clamps, and come out of them as they are
        order = order_of(things_with(ready, in_order[:1]) if apart else ready, meetings, space, obstacles)
        if not apart:
            things = after_stage(things, ready, stage.title, meetings)
        made = (order, things)
        areas = [(m.number, _area(build, j, m, parts, space)) for j, m in in_turn(order, meetings) if j.glued]
        areas += [(0, seam_area(part) / (part.strips - 1)) for part, _ in panels for _ in range(part.strips - 1)]
        work = _work(number, stage, meetings, loose, areas, made, glue, window, build, shop, panels)
        works.append(replace(work, members=together, ready=ready))
    return tuple(works)


def time_words(work: StageWork) -> str:
    """Planned minutes against those the glue allows, for the limit that is nearer."""
    assert work.open is not None
    if work.together > work.open.together:
        planned, limit, what = work.together, work.open.together, "to bring the pieces together"
    else:
        planned, limit, what = work.minutes, work.open.low, "to clamps tight"
    return f"{trimmed(planned, 1)} min {what}, the glue allows {trimmed(limit, 1)} min"


def in_turn(order: Order, meetings: Sequence[JoinedPair]) -> list[JoinedPair]:
    """The joints of a stage in the order they are closed, those that no move closes last."""
    closed = [pair for closing in order.closings for pair in closing.joints]
    numbers = {meeting.number for _, meeting in closed}
    return closed + [pair for pair in meetings if pair[1].number not in numbers]


def _area(build: Build, joint: Joint, meeting: Meeting, parts: dict[str, Part], space: Space | None) -> Fraction:
    """Glued area of one meeting in square metres."""
    if space is not None and meeting.number in space.joinery:
        return space.joinery[meeting.number].glue_area / 1_000_000
    return glued_area(build, joint, parts[meeting.entering], parts[meeting.receiving])


def window_of(build: Build, glue: Adhesive | None) -> WorkingTime | None:
    """The times of the glue of a build in its shop; None where neither table nor label has any."""
    gluing = build.gluing
    if gluing is None:
        return None
    label = Label(gluing.open_minutes, gluing.pot_minutes, gluing.label_celsius)
    if glue is not None:
        return working_time(glue, gluing.shop_celsius, label)
    if label.open is None:
        return None
    return WorkingTime(label.open, label.open, label.open, (), label.pot, False, label.celsius, label.celsius is None)


def _work(
    number: int,
    stage: Stage,
    meetings: tuple[tuple[Joint, Meeting], ...],
    loose: tuple[str, ...],
    areas: list[tuple[int, Fraction]],
    made: tuple[Order, Things],
    glue: Adhesive | None,
    window: WorkingTime | None,
    build: Build,
    shop: Shop,
    panels: tuple[tuple[Part, Piece], ...],
) -> StageWork:
    glued = sum(1 for joint, _ in meetings if joint.glued) + sum(part.strips - 1 for part, _ in panels)
    pace = shop.pace
    clamping = sum(need.count for need in stage.clamps) * pace.clamp + pace.square
    mix = mix_of(areas, glue, window, shop)
    large = sum((pace.spreading(area) - pace.spread for _, area in areas), Fraction(0))
    mixing = pace.mix * max(0, mix.batches - 1) if mix is not None else 0
    paced = glued * pace.joint + clamping
    minutes = Fraction(ceil(paced + large + mixing)) if stage.minutes is None else stage.minutes
    gluing = build.gluing
    wait = stage.wait_hours or (gluing.clamp_hours if gluing else None)
    if wait is None and glue is not None:
        wait = clamp_hours(glue, gluing.shop_celsius if gluing else None)[0]
    return StageWork(
        number=number,
        stage=stage,
        meetings=meetings,
        loose=loose,
        minutes=minutes,
        paced=paced,
        together=max(minutes - clamping, minutes / 2),
        estimated=stage.minutes is None,
        open=window,
        wait_hours=wait,
        area=sum((area for _, area in areas), Fraction(0)),
        mix=mix,
        clamps=tuple((need.kind, need.count, shop.clamps.get(need.kind)) for need in stage.clamps),
        order=made[0],
        things=made[1],
        panels=panels,
    )


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
