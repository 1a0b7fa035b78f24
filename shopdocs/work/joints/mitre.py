"""Two ends that meet at 45 degrees, with a spline in the mitre or keys across the corner.

In the corner a place is told by how far it lies from the end of either piece: p from that of the entering one, q from
that of the receiving one. The entering piece keeps its wood where q is less than p, the receiving one where p is less.
"""

from __future__ import annotations

from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Severity
from shopdocs.model.kinds.mitred import ROOT_2, SLIP_SHARE, along
from shopdocs.work.joints.corner import Corner, corner_of
from shopdocs.work.joints.frame import THINNEST_WALL, Doubt, Joinery, JointSizes, Range, about_middle, axis_name
from shopdocs.work.space.placed import Cuboid, FeatureKind, Flare, PlacedPiece

SPLINE_SHARE = Fraction(1, 4)  # depth of a spline in each piece to its width (common practice, no source)
KEY_SHARE = Fraction(1, 2)  # depth of a key to the length of the mitre (common practice, no source)


class Mitre:
    """The corner of two pieces as a mitre is cut in it."""

    def __init__(self, corner: Corner, entering: PlacedPiece, receiving: PlacedPiece, sizes: JointSizes) -> None:
        self.corner, self.entering, self.receiving, self.sizes = corner, entering, receiving, sizes
        self.wide = corner.sides[0]
        self.end_high = (entering.pose.look_of(corner.enters)[1], receiving.pose.look_of(corner.meets)[1])

    @property
    def on_edge(self) -> bool:
        """Whether the boards stand on edge, so that the mitre runs along their width."""
        return self.entering.pose.build_axis(2) != self.corner.v

    def pieces(self) -> tuple[tuple[PlacedPiece, int, int, bool, bool], ...]:
        """Each piece with the axis it runs along and that of the other, and whether the corner is at their high
        ends."""
        c, (mine, theirs) = self.corner, self.end_high
        return (self.entering, c.n, c.m, mine, theirs), (self.receiving, c.m, c.n, theirs, mine)

    def cut(self, index: int, kind: FeatureKind, p: Range, q: Range, v: Range, draws: str) -> Cuboid:
        """A block cut out of one of the pieces: `p` from its own end, `q` from the end of the other, `v` across. It
        `draws` in at 45 degrees, to nothing at the far end of p: "outside" from the end of the other piece on, "inside"
        from its body."""
        piece, n, m, own_high, other_high = self.pieces()[index]
        lo, hi = [ZERO] * 3, [ZERO] * 3
        for axis, span, high in ((n, p, own_high), (m, q, other_high)):
            end = self.corner.hi[axis] if high else self.corner.lo[axis]
            lo[axis], hi[axis] = (end - span[1], end - span[0]) if high else (end + span[0], end + span[1])
        lo[self.corner.v], hi[self.corner.v] = v
        only = piece.pose.face_toward(m, other_high == (draws == "outside"))
        by = q[1] - q[0]
        flare = Flare(axis_name(piece, m), piece.pose.face_toward(n, not own_high), by, only, p[1] - p[0] - by)
        return Cuboid(kind, *piece.range_in_piece(lo, hi), joint=self.sizes.name, flare=flare)

    def mitre(self, index: int) -> Cuboid:
        """What is sawn off: a triangle whose long side is the mitre."""
        whole = (ZERO, self.wide)
        return self.cut(index, FeatureKind.MITRE, whole, whole, self.corner.across, "outside")

    def spline_slot(self, index: int, v: Range, deep: Length) -> Cuboid:
        """The slot for a spline: all of the end, and a strip beside the mitre, `deep` along the piece."""
        return self.cut(index, FeatureKind.SPLINE_SLOT, (ZERO, self.wide + deep), (ZERO, self.wide), v, "outside")

    def key_slot(self, index: int, v: Range, deep: Length) -> Cuboid:
        """The slot for a key, which goes `deep` along the outside of either piece: a triangle across the corner."""
        return self.cut(index, FeatureKind.KEY_SLOT, (ZERO, deep), (ZERO, min(deep, self.wide)), v, "inside")

    def stops(self) -> tuple[tuple[int, bool], ...]:
        """The mitre of the receiving piece stands beyond the end of the entering one, and inside it."""
        mine, theirs = self.end_high
        return (self.corner.n, mine), (self.corner.m, not theirs)

    def made(
        self,
        slots: tuple[list[Cuboid], list[Cuboid]],
        slips: Fraction,
        lost: Fraction,
        doubts: list[Doubt],
        more: tuple[tuple[int, bool], ...] = (),
    ) -> Joinery:
        """The joint, with the glued area of its `slips`, and what they take of the mitre's (`lost`)."""
        c = self.corner
        face = self.wide.mm * ROOT_2 * (c.across[1] - c.across[0]).mm - lost
        return Joinery(
            self.sizes.kind,
            c.enters,
            c.meets,
            (self.mitre(0), *slots[0]),
            (self.mitre(1), *slots[1]),
            glue_area=face + slips,
            long_grain=slips,
            doubts=(*c.doubts, *doubts),
            stops=(*self.stops(), *more),
        )


def mitre_of(entering: PlacedPiece, receiving: PlacedPiece, sizes: JointSizes) -> Mitre | Joinery | None:
    """The mitre of two pieces; a joint with nothing but its doubts where their corner is not square or they do not
    share all of it; None where they share none."""
    corner = corner_of(entering, receiving)
    if corner is None:
        return None
    doubts = list(corner.doubts)
    along_mine, along_theirs = corner.sides
    if along_mine != along_theirs and not doubts:
        doubts.append(
            Doubt(
                "mitre-not-square",
                f"the corner of {entering.mark} and {receiving.mark} is {exact_text(along_mine)} by "
                f"{exact_text(along_theirs)}",
                "a mitre of 45 degrees joins pieces that are equally wide there",
            )
        )
    if (corner.across) != (entering.at[corner.v], entering.far[corner.v]) or corner.across != (
        receiving.at[corner.v],
        receiving.far[corner.v],
    ):
        doubts.append(
            Doubt(
                "mitre-not-level",
                f"{entering.mark} and {receiving.mark} do not lie level at their corner",
                "make them equally thick there, and let both faces lie level",
            )
        )
    if doubts:
        return Joinery(sizes.kind, corner.enters, corner.meets, doubts=tuple(doubts))
    return Mitre(corner, entering, receiving, sizes)


def splined(entering: PlacedPiece, receiving: PlacedPiece, sizes: JointSizes) -> Joinery | None:
    """A mitre with a spline in the middle of its thickness, open at both ends of the mitre."""
    mitre = mitre_of(entering, receiving, sizes)
    if not isinstance(mitre, Mitre):
        return mitre
    if mitre.on_edge:
        doubt = Doubt(
            "spline-on-edge",
            f"{entering.mark} and {receiving.mark} stand on edge, and a spline is for a flat frame",
            "make a keyed mitre",
        )
        return Joinery(sizes.kind, mitre.corner.enters, mitre.corner.meets, doubts=(doubt,))
    across = mitre.corner.across
    thickness = sizes.thickness or sizes.about((across[1] - across[0]) * SLIP_SHARE)
    depth = sizes.depth or sizes.about(mitre.wide * SPLINE_SHARE)
    v, deep = about_middle(across, thickness), along(depth)
    doubts = _walls(mitre, [v])
    if depth * 2 > mitre.wide:
        doubts.append(
            Doubt(
                "spline-too-deep",
                f"the spline goes {exact_text(depth)} deep in pieces {exact_text(mitre.wide)} wide",
                f"a quarter of it is common practice: {exact_text(sizes.about(mitre.wide * SPLINE_SHARE))}",
            )
        )
    slots = [[mitre.spline_slot(index, v, deep)] for index in (0, 1)]
    long = mitre.wide.mm * ROOT_2
    lost = long * thickness.mm
    level = ((mitre.corner.v, False), (mitre.corner.v, True))
    return mitre.made((slots[0], slots[1]), long * depth.mm * 4, lost, doubts, level)


def keyed(entering: PlacedPiece, receiving: PlacedPiece, sizes: JointSizes) -> Joinery | None:
    """A mitre with `count` keys, evenly across."""
    mitre = mitre_of(entering, receiving, sizes)
    if not isinstance(mitre, Mitre):
        return mitre
    low, high = mitre.corner.across
    thickness = sizes.thickness or sizes.about(min(entering.thickness, receiving.thickness) * SLIP_SHARE)
    depth = sizes.depth or sizes.about(Length(mitre.wide.mm * ROOT_2 * KEY_SHARE))
    deep = along(depth)
    places = [low + (high - low) * Fraction(2 * k + 1, 2 * sizes.count) for k in range(sizes.count)]
    spans = [about_middle((place, place), thickness) for place in places]
    doubts = _walls(mitre, spans)
    if deep >= mitre.wide * 2:
        doubts.append(
            Doubt(
                "key-too-deep",
                f"keys {exact_text(depth)} deep come out at the inside of the corner",
                "make them about half as deep as the mitre is long: "
                f"{exact_text(sizes.about(Length(mitre.wide.mm * ROOT_2 * KEY_SHARE)))} (common practice)",
            )
        )
    slots = [[mitre.key_slot(index, span, deep) for span in spans] for index in (0, 1)]
    return mitre.made((slots[0], slots[1]), 2 * sizes.count * depth.mm**2, Fraction(0), doubts)


def _walls(mitre: Mitre, spans: list[Range]) -> list[Doubt]:
    """Wood beside the slots and between them."""
    low, high = mitre.corner.across
    borders = [low, *(value for span in spans for value in span), high]
    left = min(borders[k + 1] - borders[k] for k in range(0, len(borders), 2))
    least = min(THINNEST_WALL, (high - low) / 4)
    if left >= least:
        return []
    wrong = f"the slots leave {exact_text(left) if left > ZERO else 'no'} wood beside them"
    right = "take thinner slips, or fewer"
    severity = Severity.WARNING if left > ZERO else Severity.ERROR
    return [Doubt("thin-wall", wrong, f"{right}; common practice leaves at least {exact_text(least)}", severity)]
