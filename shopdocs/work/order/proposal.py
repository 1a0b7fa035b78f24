"""Stages for a glue-up that has none yet: what to glue first, what goes into what, all in time and with an order."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.display import trimmed
from shopdocs.core.problems import Position
from shopdocs.facts.adhesives import adhesive
from shopdocs.facts.working_time import WorkingTime
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import Hardware, Stage
from shopdocs.model.parts import Part
from shopdocs.work.order.blocking import WAYS, Obstacles, bits, taken
from shopdocs.work.order.clamping import clampings, with_clamps
from shopdocs.work.order.diverging import tied_too_early
from shopdocs.work.order.interlocked import FREED
from shopdocs.work.order.levels import Locked, best_plan
from shopdocs.work.order.reach import closed_off
from shopdocs.work.order.sessions import quickest
from shopdocs.work.order.shut_in import caught
from shopdocs.work.order.splitting import CLAMPS_A_JOINT, Draft, Limit, TooMuch
from shopdocs.work.order.stage_names import title_of, told_apart
from shopdocs.work.order.stages import StageWork, stage_works, time_words, window_of
from shopdocs.work.order.unglued import Unglued, unglued
from shopdocs.work.scene.in_space import Space

# Clamps a joint that a plan is made with: where the counted ones take longer, the next.
CLAMPS_TRIED = (CLAMPS_A_JOINT, Fraction(1), Fraction(3, 2), Fraction(5, 2))
LONGER = "take a glue that stays open longer, or, with a helper or by your own clock, write pace: in the shop file"
HALVES = "glue up two narrower panels and join them (two parts)"
HeldBy = Mapping[str, frozenset[str]]  # by the name of hardware, the pieces that its holes lead into


class ProposedStage(Struct, frozen=True):
    """One stage as it would be written. `minutes` until its clamps are tight, by the pace of the shop, `joints` that
    take glue, between strips where they are `seams`; `hardware` is what must go on before the stage shuts it off;
    `loose` the pieces of it that get no glue, `marks` all that are in it; `work` the stage as it is reckoned once it is
    written, `lacking` how many clamps are not on the wall."""

    title: str
    pieces: tuple[str, ...]
    uses: tuple[str, ...]
    minutes: Fraction
    joints: int
    hardware: tuple[str, ...] = ()
    loose: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()
    seams: bool = False
    work: StageWork | None = None
    lacking: int = 0


class Proposal(Struct, frozen=True):
    """All stages in order; `open` the minutes that the glue allows, None where they are not known; `left` what goes on
    without glue when the stages are done, None where nothing does."""

    stages: tuple[ProposedStage, ...]
    open: Fraction | None
    left: Unglued | None = None


class NoProposal(Struct, frozen=True):
    """Why there is none, with its place and what would help."""

    at: Position
    code: str
    wrong: str
    right: str


def propose(
    build: Build, shop: Shop, space: Space | None, obstacles: Obstacles | None, held_by: HeldBy
) -> Proposal | NoProposal:
    """Stages for a build whose adhesive is named; its own stages, if it has any, are left aside."""
    gluing = build.gluing
    if gluing is None:
        right = "write gluing: {adhesive: yellow PVA}, or the glue you use; how long it stays open decides the stages"
        return NoProposal(build.at, "no-adhesive", "the build names no adhesive", right)
    seams = [(part, piece) for part, piece in build.pieces() if part.strips > 1]
    glued = {mark for joint, m in build.meetings() if joint.glued for mark in (m.entering, m.receiving)}
    if not glued and not seams:
        return NoProposal(gluing.at, "no-joint", "no joint of this build takes glue", "name its joints, then ask again")
    placed = space.pieces.keys() if space is not None else frozenset[str]()
    homeless = [piece.mark for _, piece in build.pieces() if piece.mark in glued and piece.mark not in placed]
    if homeless:
        few = ", ".join(f"'{mark}'" for mark in homeless[:4]) + (" …" if len(homeless) > 4 else "")
        right = "give every piece with a joint its x, y and z; which way it goes on follows from them"
        return NoProposal(gluing.at, "no-place", f"no order can be found without the places of {few}", right)
    window = window_of(build, adhesive(gluing.adhesive))
    found = _within(window, build, shop, space, obstacles, held_by)
    if isinstance(found, Proposal) or found.code != "open-time" or window is None:
        return found
    enough = _least_open(window, lambda longer: _within(longer, build, shop, space, obstacles, held_by))
    if enough is None:
        return found
    enough_for_all = f"open {enough} min or more in your shop, enough for the whole build"
    return replace(found, right=found.right.replace("open longer", enough_for_all))


def _within(
    window: WorkingTime | None,
    build: Build,
    shop: Shop,
    space: Space | None,
    obstacles: Obstacles | None,
    held_by: HeldBy,
) -> Proposal | NoProposal:
    """Stages for a glue that stays open so long."""
    assert build.gluing is not None
    found: NoProposal | None = None
    for clamps in CLAMPS_TRIED:
        limit = Limit(shop.pace, window, clamps)
        tried = _Planner(build, limit, space, obstacles, held_by).proposal()
        if isinstance(tried, NoProposal):
            return found or tried
        timed, works = _timed(tried, build, shop, space, obstacles)
        late = next((work for work in works if not limit.allows(work)), None)
        tied = tied_too_early(build, space, works)
        if tied is not None:
            wrong = (
                f"{', '.join(tied[1].tied)} each lean their own way into '{tied[1].onto}': "
                "all their joints close at once"
            )
            right = "write one stage with all of them by hand, and take a glue that stays open long enough"
            return NoProposal(build.gluing.at, "legs-tied", wrong, right)
        order = [work.number - 1 for work in quickest(works)] if late is None else []
        if order != sorted(order):
            sooner = replace(tried, stages=tuple(tried.stages[i] for i in order))
            timed, works = _timed(sooner, build, shop, space, obstacles)
        if late is None:
            return replace(timed, left=unglued(build, works, space, held_by))
        found = _too_long(build.gluing.at, late)
    assert found is not None
    return found


MOST_OPEN = 600  # minutes; no glue stays open longer


def _least_open(window: WorkingTime, plan: Callable[[WorkingTime], Proposal | NoProposal]) -> int | None:
    """The least whole minutes of open time for which there is a plan; None where none would do."""

    def holds(minutes: int) -> bool:
        longer = replace(window, low=Fraction(minutes), together=window.together * minutes / window.low)
        return isinstance(plan(longer), Proposal)

    low = int(window.low)
    high = min(max(2 * low, 2), MOST_OPEN)
    while not holds(high):
        if high == MOST_OPEN:
            return None
        low, high = high, min(2 * high, MOST_OPEN)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if holds(middle) else (middle, high)
    return high


def _timed(
    proposal: Proposal, build: Build, shop: Shop, space: Space | None, obstacles: Obstacles | None
) -> tuple[Proposal, tuple[StageWork, ...]]:
    """The stages as the glue-up sheet will reckon them when they are written."""
    assert build.gluing is not None
    stages = tuple(Stage(stage.title, stage.pieces, stage.uses, hardware=stage.hardware) for stage in proposal.stages)
    written = replace(build, gluing=replace(build.gluing, stages=stages))
    works = stage_works(written, shop, space, obstacles)
    counted = {each.number: each for each in clampings(written, shop, works, space)}
    works = with_clamps(works, counted.values(), shop)
    lacking = {number: sum(each.count for each in found.lacking) for number, found in counted.items()}
    told = tuple(
        replace(one, minutes=work.minutes, work=work, lacking=lacking.get(work.number, 0))
        for one, work in zip(proposal.stages, works, strict=True)
    )
    return replace(proposal, stages=told), works


def _too_long(at: Position, work: StageWork) -> NoProposal:
    wrong = f"no stages are short enough: '{work.stage.title}' with {_few(work.stage.pieces)} takes {time_words(work)}"
    return NoProposal(at, "open-time", wrong, f"{LONGER}, or {HALVES}" if work.panels else LONGER)


class _Planner:
    def __init__(
        self, build: Build, limit: Limit, space: Space | None, obstacles: Obstacles | None, held_by: HeldBy
    ) -> None:
        assert build.gluing is not None
        self.build, self.space, self.obstacles, self.held_by = build, space, obstacles, held_by
        self.gluing = build.gluing
        self.limit = limit
        self.part_of = {piece.mark: part.name for part, piece in build.pieces()}
        self.place = {mark: i for i, mark in enumerate(self.part_of)}
        self.joints = list(build.meetings())

    def proposal(self) -> Proposal | NoProposal:
        """Panels first, then one thing after the other, each from its small parts to the whole."""
        seams = [(part, piece) for part, piece in self.build.pieces() if part.strips > 1]
        stages: list[ProposedStage] = []
        for part in dict.fromkeys(part for part, _ in seams):
            made = self._panels(part, [piece.mark for each, piece in seams if each is part])
            if isinstance(made, NoProposal):
                return made
            stages += made
        whole: list[tuple[list[str], list[Draft]]] = []
        for marks in self._clumps():
            assert self.space is not None and self.obstacles is not None
            pieces = self._with_shut_in(marks)
            plan = best_plan(pieces, self.joints, self.space, self.obstacles, self.limit)
            if not isinstance(plan, list):
                return self._locked(plan) if isinstance(plan, Locked) else self._too_much(plan)
            whole.append((pieces, plan))
        stages += self._stages(self._in_pairs(whole))
        stages = self._named_by_hardware(stages)
        stages = [*self._gated(stages)]
        return Proposal(tuple(stages), self.limit.open.low if self.limit.open is not None else None)

    def _panels(self, part: Part, marks: list[str]) -> list[ProposedStage] | NoProposal:
        """Pieces glued up from strips, as many at once as the glue allows."""
        seams = part.strips - 1
        if not self.limit.holds(seams):
            wrong = f"'{marks[0]}' is glued up from {part.strips} strips at once: {self._time(seams)}"
            right = f"take a glue that stays open longer, or {HALVES}"
            return NoProposal(self.gluing.at, "open-time", wrong, right)
        rows: list[list[str]] = [[]]
        for mark in marks:
            if rows[-1] and not self.limit.holds(seams * (len(rows[-1]) + 1)):
                rows.append([])
            rows[-1].append(mark)
        name = f"{part.name[:1].upper()}{part.name[1:]}"
        title = name if "panel" in name.lower() else f"{name} panel"
        titles = told_apart([title] * len(rows), rows)
        return [
            ProposedStage(each, tuple(row), (), self.limit.minutes(count), count, marks=tuple(row), seams=True)
            for each, row in zip(titles, rows, strict=True)
            for count in [seams * len(row)]
        ]

    def _clumps(self) -> list[list[str]]:
        """Pieces that glued joints tie together, in reading order."""
        group: dict[str, list[str]] = {}
        for joint, meeting in self.joints:
            if joint.glued:
                one, two = (group.setdefault(m, [m]) for m in (meeting.entering, meeting.receiving))
                if one is not two:
                    joined = one + two
                    for mark in joined:
                        group[mark] = joined
        clumps = {id(marks): sorted(marks, key=self.place.__getitem__) for marks in group.values()}
        return sorted(clumps.values(), key=lambda marks: self.place[marks[0]])

    def _with_shut_in(self, marks: list[str]) -> list[str]:
        """These pieces, and those dry ones that could not be brought in when they are glued: they stay dry, but must be
        there."""
        assert self.space is not None and self.obstacles is not None
        fixed, glued = set(marks), {m for j, p in self.joints if j.glued for m in (p.entering, p.receiving)}
        ties = [(p.entering, p.receiving) for j, p in self.joints if not j.glued]
        dry: set[str] = set()
        while (
            fresh := {mark for tie in ties for mark in tie if mark not in glued and set(tie) & (fixed | dry)}
            & self.space.pieces.keys() - dry
        ):
            dry |= fresh
        index, masks = self.obstacles.index, self.obstacles.masks
        standing = sum(1 << index[mark] for mark in (*fixed, *dry))
        places = {index[mark]: mark for mark in dry}
        before: set[str] = set()
        while before != dry:
            before = set(dry)
            for mark in sorted(dry, key=self.place.__getitem__):
                # with what it cannot leave without: boards that are tongued into each other drop in as one
                parts = [taken(index[mark], masks[way], standing) for way in WAYS] if mark in dry else []
                out = next((part for part in parts if all(i in places for i in bits(part))), 0)
                dry -= {places[i] for i in bits(out)}
                standing &= ~out
        tied = {mark for _, p in self.joints for mark in (p.entering, p.receiving)}
        loose = [mark for mark in self.part_of if mark not in tied and mark in self.space.pieces]
        caged = [mark for mark in loose if caught(mark, marks, self.space, self.obstacles)]
        return sorted((*fixed, *dry, *caged), key=self.place.__getitem__)

    def _in_pairs(self, whole: Sequence[tuple[list[str], list[Draft]]]) -> list[tuple[list[str], list[Draft]]]:
        """Things of the same parts that take one stage each, such as two drawers, go two to a stage in its time."""
        found: list[tuple[list[str], list[Draft]]] = []
        for pieces, plan in whole:
            for number, (others, before) in enumerate(found):
                alike = [self.part_of[m] for m in others] == [self.part_of[m] for m in pieces]
                if alike and len(plan) == 1 == len(before) and self.limit.holds(plan[0].joints + before[0].joints):
                    one, two = before[0], plan[0]
                    both = Draft((), one.pieces + two.pieces, one.closings + two.closings, one.marks + two.marks)
                    found[number] = (sorted(others + pieces, key=self.place.__getitem__), [both])
                    break
            else:
                found.append((pieces, plan))
        return found

    def _stages(self, whole: Sequence[tuple[list[str], list[Draft]]]) -> list[ProposedStage]:
        assert self.space is not None or not whole
        drafts: list[tuple[Draft, list[str], bool, int]] = []
        for pieces, plan in whole:
            offset = len(drafts)
            order = _small_first(plan)
            again = {old: offset + new for new, old in enumerate(order)}
            for old in order:
                draft = replace(plan[old], uses=tuple(sorted(again[number] for number in plan[old].uses)))
                drafts.append((draft, pieces, old == len(plan) - 1, offset))
        titles = told_apart(
            [title_of(d.marks, self.part_of, self.space, pieces, last) for d, pieces, last, _ in drafts if self.space],
            [sorted(d.pieces or d.marks, key=self.place.__getitem__) for d, *_ in drafts],
            [d.uses for d, *_ in drafts],
        )
        return [
            ProposedStage(
                titles[i],
                tuple(sorted(draft.pieces, key=self.place.__getitem__)),
                tuple(titles[number] for number in draft.uses),
                self.limit.minutes(draft.joints),
                draft.joints,
                loose=self._loose(draft),
                marks=draft.marks,
            )
            for i, (draft, *_) in enumerate(drafts)
        ]

    def _loose(self, draft: Draft) -> tuple[str, ...]:
        """Pieces that a stage names and that no joint of it glues."""
        wet = {m for c in draft.closings for j, p in c.joints if j.glued for m in (p.entering, p.receiving)}
        glued = {m for j, p in self.joints if j.glued for m in (p.entering, p.receiving)}
        return tuple(mark for mark in draft.pieces if mark not in wet and mark not in glued)

    def _named_by_hardware(self, stages: list[ProposedStage]) -> list[ProposedStage]:
        """A stage that hardware names by its title keeps that title: the first where all the pieces that it sits on are
        together, else the first that has one of them."""
        for hardware in self.build.hardware:
            on = {place.piece for place in hardware.on} or set(hardware.holds)
            if not hardware.stage or any(stage.title == hardware.stage for stage in stages):
                continue
            every = [stage for stage in stages if on <= set(stage.marks)]
            some = [stage for stage in stages if on & set(stage.marks)]
            old = next(iter((*every, *some, stages[-1]))).title
            stages = [
                replace(
                    stage,
                    title=hardware.stage if stage.title == old else stage.title,
                    uses=tuple(hardware.stage if use == old else use for use in stage.uses),
                )
                for stage in stages
            ]
        return stages

    def _gated(self, stages: Sequence[ProposedStage]) -> Iterator[ProposedStage]:
        """The stages with the hardware that nobody reaches any more after each. What it leads into must be there."""
        done: set[str] = set()
        before: dict[str, tuple[str, ...]] = {}  # what each piece is part of so far
        for stage in stages:
            gates = []
            for hardware in self.build.hardware:
                if hardware.name in done or hardware.stage or not hardware.on:
                    continue
                if self._shut_by(hardware, stage, before):
                    done.add(hardware.name)
                    gates.append(hardware.name)
            before.update(dict.fromkeys(stage.marks, stage.marks))
            yield replace(stage, hardware=tuple(gates))

    def _shut_by(self, hardware: Hardware, stage: ProposedStage, before: Mapping[str, tuple[str, ...]]) -> bool:
        if self.space is None or not set(self.held_by.get(hardware.name, ())) <= set(stage.marks):
            return False
        marks = dict.fromkeys(place.piece for place in hardware.on if place.piece in stage.marks)
        return any(
            closed_off(self.space, mark, hardware.name, stage.marks)
            and not closed_off(self.space, mark, hardware.name, before.get(mark, (mark,)))
            for mark in marks
        )

    def _time(self, joints: int) -> str:
        assert self.limit.open is not None
        minutes, low = trimmed(self.limit.minutes(joints), 1), trimmed(self.limit.open.low, 1)
        return (
            f"about {minutes} min to clamps tight by the shop's pace, and the glue stays open {low} min, a quarter of "
            "it kept in hand"
        )

    def _too_much(self, fault: TooMuch) -> NoProposal:
        what, onto = _few(fault.closing.marks), _few(self._onto(fault))
        joints = f"{fault.joints} joints close at once" if fault.joints > 1 else "one joint is left"
        wrong = (
            f"no split avoids the move that brings {what} onto {onto}: whatever is glued first, {joints}, "
            f"{self._time(fault.joints)}"
        )
        return NoProposal(self.gluing.at, "open-time", wrong, LONGER)

    def _onto(self, fault: TooMuch) -> list[str]:
        pairs = [(p.entering, p.receiving) for _, p in fault.closing.joints]
        return [m for m in self.part_of if m not in fault.closing.marks and any(m in pair for pair in pairs)]

    def _locked(self, fault: Locked) -> NoProposal:
        wrong = f"{_few(fault.names)} lock each other in: they cannot be put together by straight moves in any order"
        at = next((piece.at for _, piece in self.build.pieces() if piece.mark in fault.names), self.gluing.at)
        return NoProposal(at, "no-order", wrong, FREED)


def _few(marks: Iterable[str]) -> str:
    every = [f"'{mark}'" for mark in marks]
    return ", ".join(every[:6]) + (f" and {len(every) - 6} more" if len(every) > 6 else "")


def _small_first(plan: Sequence[Draft]) -> list[int]:
    """The numbers of the stages, each after those it takes up; of those that could be next the one of fewest pieces."""
    order: list[int] = []
    while len(order) < len(plan):
        ready = [i for i, d in enumerate(plan) if i not in order and set(d.uses) <= set(order)]
        order.append(min(ready, key=lambda i: (len(plan[i].marks), i)))
    return order
