"""Which groups of pieces one drawing serves together: a piece and its mirror image, also where one of the two bears
hardware that the other does not."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence

from msgspec.structs import replace

from shopdocs.documents.fitting.alike import own_shape
from shopdocs.work.space.placed import Feature, PlacedPiece

Shape = Callable[[PlacedPiece], object]


def hands(
    pieces: Sequence[PlacedPiece], joints: Callable[[PlacedPiece], Collection[str]], alone: Callable[[int], bool]
) -> list[tuple[int, ...]]:
    """The pieces in their order by index, each with the first later one that is its mirror image; of those left over
    with the first that is but for hardware. `joints` gives the numbers of a piece's joints, `alone` says of an index
    whether no other may be drawn beside it."""

    def without_hardware(piece: PlacedPiece) -> object:
        """None of its own where there is nothing but hardware, or where tenons end in shoulders, which a drawing of
        the hardware alone would not have."""
        numbers = joints(piece)
        jointed = frozenset(replace(feature, joint="") for feature in piece.features if feature.joint in numbers)
        if not jointed or any(cuboid.adds for cuboid in piece.cuboids):
            return piece.mark
        return piece.part, piece.size, piece.material, jointed, piece.turned

    twins: dict[int, int] = {}
    for shape in (own_shape, without_hardware):
        _pair(pieces, shape, alone, twins)
    second = set(twins.values())
    return [(i, twins[i]) if i in twins else (i,) for i in range(len(pieces)) if i not in second]


def _pair(pieces: Sequence[PlacedPiece], shape: Shape, alone: Callable[[int], bool], twins: dict[int, int]) -> None:
    """Adds to the `twins` those of one shape and of opposite hands among the pieces that have none."""
    taken = {*twins, *twins.values()}
    alike: dict[object, list[int]] = {}
    for i, piece in enumerate(pieces):
        if i not in taken:
            alike.setdefault(shape(piece), []).append(i)
    for some in alike.values():
        for k, i in enumerate(some):
            hand = pieces[i].pose.right_handed
            others = (j for j in some[k + 1 :] if j not in taken and pieces[j].pose.right_handed != hand)
            if i not in taken and not alone(i) and (other := next(others, None)) is not None:
                twins[i] = other
                taken |= {i, other}


def borne_alone(piece: PlacedPiece, other: PlacedPiece) -> tuple[Feature, ...]:
    """What a piece bears that its mirror image does not, as marked out from the same faces."""
    there = {replace(feature, joint="") for feature in other.features}
    return tuple(feature for feature in piece.features if replace(feature, joint="") not in there)
