"""Joints between boards: laps, housings, tongues, rabbets, dovetails, screwed butts, edge joints."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Severity
from shopdocs.model.joining import Face, JointKind
from shopdocs.model.parts import Axis
from shopdocs.work.joints.frame import (
    HOUSING_SHARE,
    TENON_SHARE,
    Doubt,
    Frame,
    Joinery,
    JointSizes,
    Range,
    about_middle,
    area,
    middle,
    opposite,
    overhang,
    thin,
)
from shopdocs.work.joints.room import depths
from shopdocs.work.space.placed import PIECE_AXES, Bore, Cuboid, FeatureKind, Flare, PlacedPiece, Scene, side_of


def end_lap(frame: Frame, sizes: JointSizes) -> Joinery:
    """The entering piece runs on over the receiving one with the half of its thickness at its face side."""
    whole = frame.entering.extent[frame.u]
    depth = sizes.depth or whole / 2
    low, high = frame.extent(frame.entering, frame.u)
    axis, far = frame.entering.pose.look_of(Face.FACE)
    u = (high - depth, high) if axis == frame.u and far else (low, low + depth)
    n, v, out = (ZERO, frame.depth), frame.shared_v, frame.depth + sizes.proud
    doubts = overhang(frame)
    theirs = frame.extent(frame.receiving, frame.u)
    doubts += thin(
        "thin-lap", f"the lap in {frame.receiving.mark}", (theirs[1] - theirs[0]) - depth, "cut the lap less deep"
    )
    if u[0] > theirs[0] and u[1] < theirs[1]:
        doubts.append(Doubt(
            "lap-inside", f"the lap lies inside {frame.receiving.mark}", "bring the faces of both pieces level",
        ))  # fmt: skip
    cheek = area(frame.depth, v[1] - v[0])
    return Joinery(
        sizes.kind, frame.enters, frame.meets,
        (frame.cuboid(frame.entering, FeatureKind.LAP, (ZERO, out), u, v, sizes.name, adds=True),),
        (frame.cuboid(frame.receiving, FeatureKind.LAP, n, u, v, sizes.name),),
        out, glue_area=cheek, long_grain=cheek, doubts=tuple(doubts),
    )  # fmt: skip


def cross_lap(entering: PlacedPiece, receiving: PlacedPiece, sizes: JointSizes) -> Joinery | None:
    """Two pieces that cross in the same space: each gives up half of it. The entering piece keeps the upper half, or
    the front half where they cross in a standing frame. None when they share no space."""
    scene = Scene.of([_body(entering), _body(receiving)])
    shared = scene.solids[0].body.overlap(scene.solids[1].body)
    if shared is None:
        return None
    thick = entering.pose.build_axis(2)
    axis = thick if receiving.pose.build_axis(2) == thick else min(range(3), key=lambda k: (shared.size[k], k))
    lo, hi = ([scene.ticks.length(v) for v in corner] for corner in (shared.lo, shared.hi))
    depth = sizes.depth or (hi[axis] - lo[axis]) / 2
    keeps_high = axis == 2
    cut_mine, cut_theirs = (lo[:], hi[:]), (lo[:], hi[:])
    at = hi[axis] - depth if keeps_high else lo[axis] + depth
    cut_mine[keeps_high][axis] = cut_theirs[not keeps_high][axis] = at
    doubts = []
    for piece, cut in ((entering, cut_mine), (receiving, cut_theirs)):
        left = piece.extent[axis] - (cut[1][axis] - cut[0][axis])
        doubts += thin("thin-lap", f"the lap in {piece.mark}", left, "share the thickness more evenly")
    sides = [hi[k] - lo[k] for k in range(3) if k != axis]
    return Joinery(
        sizes.kind, None, None,
        (Cuboid(FeatureKind.LAP, *entering.range_in_piece(*cut_mine), joint=sizes.name),),
        (Cuboid(FeatureKind.LAP, *receiving.range_in_piece(*cut_theirs), joint=sizes.name),),
        glue_area=area(*sides), long_grain=area(*sides), doubts=tuple(doubts),
    )  # fmt: skip


def _body(piece: PlacedPiece) -> PlacedPiece:
    return PlacedPiece(piece.mark, piece.part, piece.at, piece.length, piece.width, piece.thickness, piece.pose)


def housing(frame: Frame, sizes: JointSizes) -> Joinery:
    """The whole end of the entering piece let into the receiving one. With `width`, the housing stops short of the
    entering piece's face edge and only so much of the end goes in."""
    depth = sizes.depth or sizes.about(frame.depth * HOUSING_SHARE)
    u, v = frame.shared_u, frame.shared_v
    if sizes.thickness is not None:
        u = about_middle(frame.extent(frame.entering, frame.u), sizes.thickness)
    if sizes.width is not None:
        axis, far = frame.entering.pose.look_of(Face.EDGE)
        v = (v[0], v[0] + sizes.width) if axis == frame.v and far else (v[1] - sizes.width, v[1])
    doubts = overhang(frame)
    deepest = frame.depth - depth - sizes.room
    doubts += thin("thin-floor", f"the housing in {frame.receiving.mark}", deepest, "cut it less deep")
    sides = area(depth, v[1] - v[0]) * 2
    return Joinery(
        sizes.kind, frame.enters, frame.meets,
        (frame.cuboid(frame.entering, FeatureKind.HOUSED_END, (ZERO, depth), u, v, sizes.name, adds=True),),
        (frame.cuboid(frame.receiving, FeatureKind.HOUSING, (ZERO, depth + sizes.room), u, v, sizes.name),),
        depth, sizes.room, glue_area=sides + area(u[1] - u[0], v[1] - v[0]), doubts=tuple(doubts),
    )  # fmt: skip


def tongue_and_groove(frame: Frame, sizes: JointSizes) -> Joinery:
    """A tongue along the entering piece, `length` out of it, in a groove of the receiving one, `depth` deep, as long as
    they touch. A tongue as thick as its piece is a panel let into a frame."""
    whole = frame.entering.extent[frame.u]
    thickness = sizes.thickness or sizes.about(whole * TENON_SHARE)
    length, hole = depths(sizes.kind, sizes.length, sizes.depth, sizes.room)
    length, hole = (thickness, thickness + sizes.room) if length is None or hole is None else (length, hole)
    u, v = about_middle(frame.extent(frame.entering, frame.u), thickness), frame.shared_v
    doubts: list[Doubt] = []  # a bottom may run on past a side, a side stand higher than a back
    if thickness > whole:
        doubts.append(Doubt(
            "tongue-too-thick",
            f"the tongue is {exact_text(thickness)} thick, {frame.entering.mark} only {exact_text(whole)}",
            f"make it at most {exact_text(whole)}",
        ))  # fmt: skip
    low, high = frame.extent(frame.receiving, frame.u)
    doubts += thin(
        "thin-wall", f"the groove in {frame.receiving.mark}", min(u[0] - low, high - u[1]), "make the tongue thinner"
    )
    doubts += thin("thin-floor", f"the groove in {frame.receiving.mark}", frame.depth - hole, "make it less deep")
    cheeks = area(length, v[1] - v[0]) * 2
    return Joinery(
        sizes.kind, frame.enters, frame.meets,
        (frame.cuboid(frame.entering, FeatureKind.TONGUE, (ZERO, length), u, v, sizes.name, adds=True),),
        (frame.cuboid(frame.receiving, FeatureKind.GROOVE, (ZERO, hole), u, v, sizes.name),),
        length, hole - length, glue_area=cheeks + area(whole, v[1] - v[0]), long_grain=cheeks, doubts=tuple(doubts),
    )  # fmt: skip


def rabbet(frame: Frame, sizes: JointSizes) -> Joinery:
    """The end or edge of the entering piece in a rabbet at the edge of the receiving one."""
    depth = sizes.depth or frame.depth / 2
    u, v = frame.shared_u, frame.shared_v
    doubts: list[Doubt] = []
    low, high = frame.extent(frame.receiving, frame.u)
    if u[0] > low and u[1] < high:
        doubts.append(Doubt(
            "rabbet-not-at-the-edge", f"{frame.entering.mark} does not meet {frame.receiving.mark} at its edge",
            "make a housing, or move the piece to the edge",
        ))  # fmt: skip
    doubts += thin("thin-floor", f"the rabbet in {frame.receiving.mark}", frame.depth - depth, "cut it less deep")
    return Joinery(
        sizes.kind, frame.enters, frame.meets,
        (frame.cuboid(frame.entering, FeatureKind.HOUSED_END, (ZERO, depth), u, v, sizes.name, adds=True),),
        (frame.cuboid(frame.receiving, FeatureKind.RABBET, (ZERO, depth), u, v, sizes.name),),
        depth, glue_area=area(u[1] - u[0], v[1] - v[0]) + area(depth, v[1] - v[0]), doubts=tuple(doubts),
    )  # fmt: skip


def dovetail(frame: Frame, sizes: JointSizes) -> Joinery:
    """`count` tails on the entering piece in sockets of the receiving one: through, or lapped (half blind) where
    `length` is less than the receiving piece is thick. The narrow part of a pin is a quarter of the spacing of the
    tails unless `width` gives the wide end of a tail (common practice, no source)."""
    length = min(sizes.length or sizes.depth or frame.depth, frame.depth)
    u, (low, high) = frame.extent(frame.entering, frame.u), frame.shared_v
    spacing = (high - low) / sizes.count
    wide = sizes.width or spacing * Fraction(3, 4)
    by = length / sizes.slope
    doubts: list[Doubt] = []  # a bottom may run on past a side, a side stand higher than a back
    if wide >= spacing or wide <= by * 2:
        doubts.append(Doubt(
            "tails-do-not-fit", f"{sizes.count} tails {exact_text(wide)} wide in {exact_text(high - low)}",
            "change their number or width",
        ))  # fmt: skip
    theirs = frame.extent(frame.receiving, frame.u)
    if u[0] > theirs[0] and u[1] < theirs[1]:
        doubts.append(Doubt(
            "dovetail-not-at-the-end", f"{frame.entering.mark} does not meet {frame.receiving.mark} at its end",
            "move it to the end, or make a housing",
        ))  # fmt: skip
    asked = sizes.length or sizes.depth
    if asked is not None and asked > frame.depth:
        doubts.append(Doubt(
            "tails-too-long", f"the tails are {exact_text(asked)} long, {frame.receiving.mark} is "
            f"{exact_text(frame.depth)} thick", "leave the length out for through dovetails; proud lets them stand out",
        ))  # fmt: skip
    if length < frame.depth and sizes.proud:
        doubts.append(Doubt(
            "lapped-and-proud", f"tails {exact_text(length)} long end inside {frame.receiving.mark}, and are to stand "
            "proud of it", "leave out the length, or proud",
        ))  # fmt: skip
    if length < frame.depth and frame.depth - length < Length(3):
        doubts.append(Doubt(
            "thin-lap", f"the lap before the tails is {exact_text(frame.depth - length)}",
            "common practice leaves at least 3 mm", Severity.WARNING,
        ))  # fmt: skip
    tails, sockets = [], []
    for place in frame.spread(sizes.count):
        v: Range = (place - wide / 2, place + wide / 2)
        n = (ZERO, length)
        mine = Flare(_axis_name(frame.entering, frame.v), opposite(frame.enters), by)
        theirs_flare = Flare(_axis_name(frame.receiving, frame.v), frame.meets, by)
        tails.append(
            frame.cuboid(
                frame.entering, FeatureKind.TAIL, (ZERO, length + sizes.proud), u, v, sizes.name, adds=True, flare=mine
            )
        )
        sockets.append(frame.cuboid(frame.receiving, FeatureKind.SOCKET, n, u, v, sizes.name, flare=theirs_flare))
    cheeks = area(length, u[1] - u[0]) * 2 * sizes.count
    return Joinery(
        sizes.kind, frame.enters, frame.meets, tuple(tails), tuple(sockets), length + sizes.proud,
        glue_area=cheeks + area(u[1] - u[0], high - low), long_grain=cheeks, doubts=tuple(doubts),
    )  # fmt: skip


def _axis_name(piece: PlacedPiece, axis: int) -> Axis:
    return PIECE_AXES[piece.pose.piece_axis(axis)]


def screwed_butt(frame: Frame, sizes: JointSizes) -> Joinery:
    """`count` screws through the receiving piece into the entering one. `thickness` is the clearance hole, `width` the
    pilot hole, `length` the screw; holes whose diameter is not given are left to the screw tables, by `centres`."""
    u = middle(frame.shared_u)
    centres = tuple(frame.centre(u, place) for place in frame.spread(sizes.count))
    entering: list[Bore] = []
    receiving: list[Bore] = []
    doubts = overhang(frame)
    if sizes.length is not None and sizes.length <= frame.depth:
        doubts.append(Doubt(
            "screw-too-short", f"the screws are {exact_text(sizes.length)} long, {frame.receiving.mark} is "
            f"{exact_text(frame.depth)} thick", "take longer screws or counterbore",
        ))  # fmt: skip
    through = frame.depth + frame.entering.extent[frame.n]
    if sizes.length is not None and sizes.length > through:
        doubts.append(Doubt(
            "screw-too-long", f"the screws are {exact_text(sizes.length)} long and come out of {frame.entering.mark}, "
            f"by {exact_text(sizes.length - through)}", f"take screws shorter than {exact_text(through)}",
        ))  # fmt: skip
    for centre in centres:
        if sizes.thickness is not None:
            outside = opposite(frame.meets)
            receiving.append(
                frame.bore(frame.receiving, FeatureKind.SCREW_HOLE, centre, outside, sizes.thickness, None, sizes.name)
            )
        if sizes.width is not None and sizes.length is not None and sizes.length > frame.depth:
            deep = sizes.length - frame.depth
            entering.append(
                frame.bore(frame.entering, FeatureKind.PILOT_HOLE, centre, frame.enters, sizes.width, deep, sizes.name)
            )
    shared = area(frame.shared_u[1] - frame.shared_u[0], frame.shared_v[1] - frame.shared_v[0])
    return Joinery(
        sizes.kind, frame.enters, frame.meets, tuple(entering), tuple(receiving), centres=centres, glue_area=shared,
        doubts=tuple(doubts),
    )  # fmt: skip


def edge_joint(frame: Frame, sizes: JointSizes) -> Joinery:
    """Two boards glued edge to edge; nothing is cut."""
    doubts = []
    for piece, face in ((frame.entering, frame.enters), (frame.receiving, frame.meets)):
        if side_of(face)[0] != 1:
            doubts.append(Doubt(
                "not-edge-to-edge", f"{piece.mark} meets its mate with its {face}, not with an edge",
                "place the boards edge to edge", Severity.WARNING,
            ))  # fmt: skip
    shared = area(frame.shared_u[1] - frame.shared_u[0], frame.shared_v[1] - frame.shared_v[0])
    return Joinery(
        sizes.kind, frame.enters, frame.meets, glue_area=shared, long_grain=shared, doubts=tuple(doubts)
    )  # fmt: skip


BOARD_JOINTS = {
    JointKind.HALF_LAP: end_lap,
    JointKind.HOUSING: housing,
    JointKind.TONGUE_AND_GROOVE: tongue_and_groove,
    JointKind.RABBET: rabbet,
    JointKind.DOVETAIL: dovetail,
    JointKind.SCREWED_BUTT: screwed_butt,
    JointKind.EDGE_JOINT: edge_joint,
}
