"""One joint between two placed pieces: what it cuts, what it adds, and whether it can exist."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from functools import cache
from importlib import import_module
from itertools import combinations

from msgspec.structs import replace

from shopdocs.core.display import apart_words, exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Severity
from shopdocs.model.cutting import OwnCut
from shopdocs.model.joining import Face, JointKind
from shopdocs.model.joint_names import Trait
from shopdocs.work.joints.ends_left_on import leave_ends_on
from shopdocs.work.joints.frame import THINNEST_WALL, Doubt, Geometry, Joinery, JointSizes, frame_of, gaps_between
from shopdocs.work.joints.into_rounds import into_round
from shopdocs.work.joints.off_square import askew
from shopdocs.work.joints.on_flats import on_flat
from shopdocs.work.joints.panel_corners import square_corners
from shopdocs.work.joints.pegged import pegged
from shopdocs.work.joints.ploughed import run_grooves_on
from shopdocs.work.joints.tipped import tipped_joint
from shopdocs.work.space.askew_piece import AskewPiece
from shopdocs.work.space.leaning_piece import LeaningPiece
from shopdocs.work.space.let_in import gap_between
from shopdocs.work.space.placed import Cuboid, PlacedPiece, side_of
from shopdocs.work.space.slanting import sides_of
from shopdocs.work.space.tipped_board import TippedPiece


@cache
def geometry_of(kind: JointKind) -> Geometry:
    """How joints of a kind are worked out. Raises TypeError where its module does not say it."""
    found = import_module(f"shopdocs.work.joints.kinds.{kind.name.lower()}").GEOMETRY
    if not isinstance(found, Geometry):
        raise TypeError(f"the module of {kind.name} has no Geometry")
    return found


def closed(cut: Cuboid) -> bool:
    """Whether it is a cut that others may not run into."""
    return not cut.adds and Trait.CLOSED in cut.kind.traits


def work_out(entering: PlacedPiece, receiving: PlacedPiece, sizes: JointSizes, cuts: Sequence[OwnCut] = ()) -> Joinery:
    """The joint of `entering` into `receiving`, with ends sawn as `cuts` say. Bodies that do not touch give a result
    with nothing but the doubt that says how far apart they are; impossible joints are worked out all the same, with
    their doubts."""
    if sizes.count < 1:
        return Joinery(sizes.kind, None, None, doubts=(Doubt("no-count", "a joint of none", "count at least 1"),))
    if sizes.flat:
        if receiving.turned is None or isinstance(entering, AskewPiece) or isinstance(receiving, AskewPiece):
            wrong = f"{receiving.mark} is no round that stands square to {entering.mark}"
            return Joinery(sizes.kind, None, None, doubts=(Doubt("flat", wrong, "leave flat out"),))
        flat = on_flat(entering, receiving, receiving.turned, sizes, geometry_of(sizes.kind))
        return flat if sizes.glued else _dry(flat)
    if receiving.turned is not None and (made := into_round(entering, receiving, receiving.turned, sizes)) is not None:
        return made if sizes.glued else _dry(made)
    geometry = geometry_of(sizes.kind)
    if isinstance(entering, LeaningPiece) or isinstance(receiving, LeaningPiece):
        made = askew(entering, receiving, sizes, pegged, geometry, lambda piece: sides_of(piece, cuts))
        return made if sizes.glued else _dry(made)
    if isinstance(entering, TippedPiece) or isinstance(receiving, TippedPiece):
        made = tipped_joint(entering, receiving, sizes, geometry, lambda piece: sides_of(piece, cuts))
        return made if sizes.glued else _dry(made)
    joinery = geometry.crossing(entering, receiving, sizes) if geometry.crossing else None
    if joinery is None:
        frame = frame_of(entering, receiving)
        if frame is None:
            return Joinery(sizes.kind, None, None, doubts=(_apart(entering, receiving),))
        joinery = geometry.touching(frame, sizes)
    return joinery if sizes.glued else _dry(joinery)


def _dry(joinery: Joinery) -> Joinery:
    return replace(joinery, glue_area=Fraction(0), long_grain=Fraction(0))


def _apart(entering: PlacedPiece, receiving: PlacedPiece) -> Doubt:
    gaps = gaps_between(entering, receiving)
    if any(gaps):
        wrong = f"{entering.mark} and {receiving.mark} are {apart_words(gaps)}"
        return Doubt("not-touching", wrong, "let their faces touch")
    return Doubt(
        "not-face-to-face",
        f"{entering.mark} and {receiving.mark} do not meet face to face",
        "place them so that a face of one lies on a face of the other",
    )


def joined_pieces(
    pieces: Iterable[PlacedPiece], joints: Iterable[tuple[str, str, JointSizes]], cuts: Sequence[OwnCut] = ()
) -> tuple[tuple[PlacedPiece, ...], tuple[Joinery, ...]]:
    """The pieces with all features of all joints (marks of entering and receiving piece, sizes), and the joints; `cuts`
    say how ends are sawn."""
    by_mark, joints = {piece.mark: piece for piece in pieces}, tuple(joints)
    done = []
    for entering, receiving, sizes in joints:
        joinery = work_out(by_mark[entering], by_mark[receiving], sizes, cuts)
        by_mark[entering] = by_mark[entering].with_features(*joinery.entering)
        by_mark[receiving] = by_mark[receiving].with_features(*joinery.receiving)
        done.append(joinery)
    named = [(entering, receiving, sizes.name) for entering, receiving, sizes in joints if sizes.name]
    leave_ends_on(by_mark, named)
    square_corners(by_mark, {name: receiving for _, receiving, name in named})
    run_grooves_on(by_mark, named)
    return tuple(by_mark.values()), tuple(done)


def cuts_that_meet(
    piece: PlacedPiece, told: Collection[frozenset[str]] = (), mates: Mapping[str, str] | None = None
) -> tuple[Doubt, ...]:
    """Mortises and sockets of different joints that run into each other inside a piece, or nearly; but for pairs of
    joints that are told already. `mates`: the mark of the piece that each joint, by its number, joins to this one."""

    def named(cut: Cuboid) -> str:
        mate = mates.get(cut.joint) if mates else None
        return f"{cut.kind} {cut.joint} (for {mate})" if mate else f"{cut.kind} {cut.joint}"

    cuts = [cuboid for cuboid in piece.cuboids if not cuboid.adds and not cuboid.own]
    doubts = []
    for i, one in enumerate(cuts):
        for two in cuts[i + 1 :]:
            if one.joint == two.joint or frozenset((one.joint, two.joint)) in told:
                continue
            gap = gap_between(one, two)
            # Grooves and rabbets run through other joints on purpose; open cuts may lie side by side.
            if gap < ZERO and closed(one) and closed(two):
                doubts.append(
                    Doubt(
                        "joints-meet-inside",
                        f"{named(one)} and {named(two)} run into each other by {exact_text(-gap)} inside {piece.mark}",
                        "shorten or offset one of them, or mitre the ends of the tenons",
                    )
                )
            elif ZERO <= gap < THINNEST_WALL / 2 and Trait.HOLLOW in one.kind.traits & two.kind.traits:
                doubts.append(
                    Doubt(
                        "joints-close-inside",
                        f"{named(one)} and {named(two)} "
                        + (f"come within {exact_text(gap)}" if gap else "touch")
                        + f" inside {piece.mark}",
                        "leave more wood between them (common practice)",
                        Severity.WARNING,
                    )
                )
    return tuple(doubts)


def cuts_run_together(piece: PlacedPiece) -> Iterator[tuple[str, str]]:
    """The names of every two joints whose closed cuts run into each other inside a piece."""
    cuts = [cuboid for cuboid in piece.cuboids if closed(cuboid) and not cuboid.own]
    for one, two in combinations(cuts, 2):
        if one.joint != two.joint and gap_between(one, two) < ZERO:
            yield one.joint, two.joint


def added_at(piece: PlacedPiece, face: Face) -> Length:
    """How far tenons and the like stand out past a face."""
    axis, high = side_of(face)
    adds = [feature for feature in piece.cuboids if feature.adds]
    if high:
        return max([ZERO, *(feature.hi[axis] - piece.size[axis] for feature in adds)])
    return max([ZERO, *(-feature.lo[axis] for feature in adds)])
