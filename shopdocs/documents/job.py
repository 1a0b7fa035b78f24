"""One job: a build, a shop and everything computed from them, handed to every document."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeVar

from msgspec.structs import replace

from shopdocs.blocks.sheets import Imprint
from shopdocs.core.check_word import check_word
from shopdocs.core.display import Display
from shopdocs.core.slug import record_file, record_slug
from shopdocs.documents.fitting.alike import Alike
from shopdocs.documents.noted_sizes import noted_in
from shopdocs.model.build import Build, Shop
from shopdocs.model.cutting import CutPlace, OwnCut
from shopdocs.model.joining import COUNTED_FROM, FACE_NAMES, OPPOSITE, Joint, Meeting
from shopdocs.model.parts import Direction, Part, Piece
from shopdocs.work.boards.plan import Effort, boards_plan
from shopdocs.work.boards.results import BoardsPlan
from shopdocs.work.computed import Computed
from shopdocs.work.cut_list import CutGroup, CutRow, additions, piece_sizes
from shopdocs.work.finish_needs import FinishWork, finish_work
from shopdocs.work.holes.crossed_holes import Crossing, crossings
from shopdocs.work.holes.face_holes import FaceHoles, face_holes
from shopdocs.work.holes.joint_holes import joint_holes
from shopdocs.work.lumber_needs import MaterialNeed, needs
from shopdocs.work.order.clamping import Clamping
from shopdocs.work.order.shut_in import ShutIn
from shopdocs.work.order.stages import PanelWork, StageWork, again_of_pieces, stage_of_pieces
from shopdocs.work.order.unglued import Unglued
from shopdocs.work.scene.in_space import Space
from shopdocs.work.scene.own_cuts import all_cuts
from shopdocs.work.seasons.fits import Fit
from shopdocs.work.seasons.tie import Tie
from shopdocs.work.seasons.wood import Moves, Year
from shopdocs.work.space.drilled import Drilled

CUSTOMER = "customer"  # the edition for those who buy the plan
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Job:
    """All a document needs to know, computed once for all of them by `make_job`. Mappings go by the mark of a piece,
    `moves` by the name of a part, `clampings` by the number of a stage; `shut_in` are pieces that no stage names, and
    one shuts in; `left` is what goes on without glue, None where nothing does. `space` and
    `alike` are None where no piece has a place, `finish` where none is named. `edition` says for whom the set is:
    CUSTOMER, or "" for the maker."""

    build: Build
    shop: Shop
    display: Display
    space: Space | None
    alike: Alike | None
    groups: tuple[CutGroup, ...]
    rows: Mapping[str, CutRow]
    needs: tuple[MaterialNeed, ...]
    boards: BoardsPlan
    holes: tuple[Drilled, ...]
    crossings: tuple[Crossing, ...]
    faces: tuple[FaceHoles, ...]
    panels: tuple[PanelWork, ...]
    stages: tuple[StageWork, ...]
    clampings: Mapping[int, Clamping]
    shut_in: tuple[ShutIn, ...]
    left: Unglued | None
    stage_of: Mapping[str, StageWork]
    again_of: Mapping[str, tuple[StageWork, ...]]
    finish: FinishWork | None
    year: Year
    moves: Mapping[str, Moves]
    ties: tuple[Tie, ...]
    fits: tuple[Fit, ...]
    meets: Mapping[str, tuple[tuple[Joint, Meeting], ...]]
    records: str
    label_sheet: str
    edition: str = ""
    shared: dict[tuple[object, ...], Any] = field(default_factory=dict, init=False, compare=False, repr=False)

    def once(self, key: tuple[object, ...], make: Callable[[], T]) -> T:
        """What several sheets ask for, made for the first of them; `key` says what it is."""
        if key not in self.shared:
            self.shared[key] = make()
        made: T = self.shared[key]
        return made

    def forget(self, *names: str) -> None:
        """Let go of what was made once under keys that begin with these names."""
        for key in [key for key in self.shared if key[0] in names]:
            del self.shared[key]

    def let_go(self) -> None:
        """Let go of what can be worked out again."""
        self.shared.clear()
        if self.alike is not None:
            self.alike.let_go()

    @property
    def cuts(self) -> tuple[OwnCut, ...]:
        """The maker's own cuts, and the recesses of hardware patterns as such."""
        return self.once(("own cuts",), lambda: all_cuts(self.build))

    def cuts_on(self, mark: str) -> Sequence[tuple[OwnCut, CutPlace]]:
        """The own cuts of a piece, each with its place."""
        pairs = ((place.piece, (cut, place)) for cut in self.cuts for place in cut.on)
        return self.once(("cuts on",), lambda: _gathered(pairs)).get(mark, ())

    def holes_in(self, mark: str) -> Sequence[Drilled]:
        """The holes of a piece."""
        return self.once(("holes in",), lambda: _gathered((hole.piece, hole) for hole in self.holes)).get(mark, ())

    def in_strips(self, marks: Collection[str]) -> list[str]:
        """Those of these pieces that are glued up from strips, in the order of the build: until then none is there."""
        return [piece.mark for part, piece in self.build.pieces() if part.strips > 1 and piece.mark in marks]

    def part_of(self, mark: str) -> Part:
        """The part that a piece is one of. Raises KeyError for a mark that no piece has."""
        return self.once(("part of",), lambda: {piece.mark: part for part, piece in self.build.pieces()})[mark]

    @property
    def imprint(self) -> Imprint:
        """What every page says of the build and its maker; to those who buy the plan its licence too."""
        imprint = imprint_of(self.build, self.shop)
        return replace(imprint, licence=self.build.licence) if self.edition == CUSTOMER else imprint

    @property
    def check_word(self) -> str:
        """The check word at the head of every page, for labels and records too."""
        return self.imprint.check

    def address(self, mark: str) -> str:
        """The web address of a piece's record; empty without an address base."""
        return self.records + record_file(record_slug(self.build.full_mark(mark))) if self.records else ""


def _gathered(pairs: Iterable[tuple[str, T]]) -> dict[str, list[T]]:
    """What belongs to each mark, in its order."""
    found: dict[str, list[T]] = {}
    for mark, one in pairs:
        found.setdefault(mark, []).append(one)
    return found


def imprint_of(build: Build, shop: Shop) -> Imprint:
    """What every page says of the build and of what it was made from."""
    maker = build.maker or shop.name
    word = check_word((build.content, shop.content))
    return Imprint(build.title, build.mark, build.revision, maker, build.date, word)


def make_job(
    build: Build,
    shop: Shop,
    display: Display,
    records: str,
    label_sheet: str,
    effort: Effort | None = None,
    work: Computed | None = None,
    edition: str = "",
) -> Job:
    """Compute everything once. `records` is the address base of the record pages, empty for none; `effort` is how long
    to search for the boards to take; `work` what the checks computed already."""
    work = work or Computed(build, shop)
    if (noted := noted_in(build, display)) is not build:  # what was computed holds the words as they are written
        build, work = noted, Computed(noted, work.shop)
    space, groups, stages = work.space, work.groups, work.stages
    holes = (*work.holes, *work.pilots.drilled, *joint_holes(build, shop, space))
    added = {mark: (more.end_a, more.end_b) for mark, more in additions(build, space).items()}
    meets: dict[str, list[tuple[Joint, Meeting]]] = {piece.mark: [] for _, piece in build.pieces()}
    for joint, meeting in build.meetings():
        meets[meeting.entering].append((joint, meeting))
        meets[meeting.receiving].append((joint, meeting))
    return Job(
        build=build,
        shop=shop,
        display=display,
        space=space,
        alike=Alike(space, stages) if space is not None else None,
        groups=groups,
        rows=piece_sizes(groups),
        needs=needs(build, shop, work.sawn),
        boards=boards_plan(build, shop, work.sawn, effort),
        holes=holes,
        crossings=crossings(build, work.holes, space),
        faces=face_holes(build, holes, space.pieces if space is not None else {}, added),
        panels=work.panels,
        stages=stages,
        clampings={each.number: each for each in work.clampings},
        shut_in=work.shut_in,
        left=work.left,
        stage_of=stage_of_pieces(stages),
        again_of=again_of_pieces(stages),
        finish=finish_work(build, groups),
        year=work.year,
        moves=work.moves,
        ties=work.ties,
        fits=work.fits,
        meets={mark: tuple(found) for mark, found in meets.items()},
        records=records,
        label_sheet=label_sheet,
        edition=edition,
    )


# What points up, by the axis of the piece that stands upright, where the reference (end A, face edge, face side) lies
# below and where it lies above. Unless the build says otherwise end A is the lower end of an upright piece, a rail's
# face edge its upper edge, and a lying board shows its face side.
_UP = {
    axis: (FACE_NAMES[OPPOSITE[face]], FACE_NAMES[face])
    for axis, face in zip(("length", "width", "thickness"), COUNTED_FROM, strict=True)
}
_USUALLY_LOW = {"length": True, "width": False, "thickness": False}


def up_of(part: Part, piece: Piece) -> str:
    """What points up when the piece is in its place; empty where the build does not say how the part lies."""
    if part.runs is None:
        return ""
    axis = next(a for a in _UP if getattr(part.runs, a) is Direction.Z)
    low = _USUALLY_LOW[axis]
    if piece.place is not None:
        place = piece.place
        low = {"length": place.end_a_low, "width": place.face_edge_low, "thickness": place.face_side_low}[axis]
    return _UP[axis][not low]


def other(meeting: Meeting, mark: str) -> str:
    """The piece met at a meeting."""
    return meeting.receiving if meeting.entering == mark else meeting.entering
