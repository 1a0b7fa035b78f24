"""Round tenons into the side of a round: a rung into a turned leg, a middle stretcher into a turned one.

The entering piece ends where its centre line meets the round, not at the stock that was turned away, and its mortise is
measured from there. A flat shoulder would lie against a round along one line only, so that the piece has to be turned
down to its tenon.
"""

from __future__ import annotations

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.rounds import Round
from shopdocs.core.turn import Vector, near
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.joints.frame import Doubt, Joinery, JointSizes
from shopdocs.work.joints.off_square import MISS, Line, is_turned_down, joined, leans
from shopdocs.work.space.askew_piece import way_in_build
from shopdocs.work.space.placed import PlacedPiece


def into_round(entering: PlacedPiece, receiving: PlacedPiece, turned: Round, sizes: JointSizes) -> Joinery | None:
    """The joint of a piece into the side of a round; None where its centre line meets none."""
    if leans(entering):
        return None
    k = entering.pose.build_axis(0)
    middle = _vector([(entering.at[i] + entering.far[i]).float_mm() / 2 for i in range(3)])
    high = receiving.at[k] + receiving.far[k] > entering.at[k] + entering.far[k]
    way = _vector([(1.0 if high else -1.0) if i == k else 0.0 for i in range(3)])
    origin = receiving.spot_in_build((ZERO, receiving.width / 2, receiving.thickness / 2))
    along = way_in_build(receiving, 0)
    found = turned.crossed(_vector([v.float_mm() for v in origin]), along, middle, way)
    if found is None or found[0] <= 0:
        return None
    entry, leaves = found
    spot = _vector([m + entry * w for m, w in zip(middle, way, strict=True)])
    at = near(_along(receiving, spot))
    here, tilt = turned.at(at), turned.tilt(at - entering.width / 2, at + entering.width / 2)
    end = entering.far[k] if high else entering.at[k]
    if not KINDS[sizes.kind].bored:
        called = KINDS[sizes.kind].called
        need = "needs" if called.startswith("a") else "need"
        wrong = f"{receiving.mark} is round where {entering.mark} meets it, and {called} {need} a face"
        half = entering.extent[receiving.pose.build_axis(0)] / 2
        right = _squared(receiving, turned, at - half, at + half)
        if KINDS[sizes.kind].on_flat and turned.within(at - half, at + half):
            right += "; or write flat: yes in the joint, and plane the round flat for the shoulder"
        return _none(sizes, Doubt("round", wrong, right))
    if abs(end.float_mm() - spot[k]) > MISS:
        side = ("left", "front", "bottom")[k] if high else ("right", "back", "top")[k]
        far = exact_text(near(abs(end.float_mm() - spot[k])))
        wrong = f"{entering.mark} ends {far} from the round of {receiving.mark}"
        return _none(sizes, Doubt("not-touching", wrong, f"let it end there: {receiving.mark}.{side}"))
    if not is_turned_down(entering, high == entering.pose.length.forward, sizes):
        wrong = f"{entering.mark} has a flat shoulder, and {receiving.mark} is round there"
        right = "make it a round, and turn it down to the diameter of its tenon at that end"
        return _none(sizes, Doubt("round-shoulder", wrong, right))
    enters, meets = entering.pose.face_toward(k, high), receiving.pose.face_toward(k, not high)
    return joined(entering, receiving, sizes, Line(spot, way, enters, meets, leaves - entry, here, tilt))


def _squared(piece: PlacedPiece, turned: Round, low: Length, high: Length) -> str:
    """How a piece is left square from one place along it to another: by a pommel where more of the round than that
    lies on both sides, and beyond an end of the round where that takes no more than half of it."""
    square, ways = "make it a round tenon, or leave it square there: ", []
    before, after, long = low - turned.start, turned.end - high, high - low
    if min(before, after) > long:
        pommel = f"'{exact_text(low)} to {exact_text(high)}'"
        ways.append(f"add the pommel {pommel}" if turned.pommels else f"write pommels: [{pommel}]")
    if min(before, after) + long <= (turned.end - turned.start) / 2 or not ways:
        above = after <= before
        ways.append(
            f"let its round end at {exact_text(low)} from end A, or before"
            if above
            else f"let its round begin at {exact_text(high)} from end A, or after"
        )
    return square + "; or ".join(ways)


def _none(sizes: JointSizes, doubt: Doubt) -> Joinery:
    return Joinery(sizes.kind, None, None, doubts=(doubt,))


def _along(piece: PlacedPiece, spot: Vector) -> float:
    x, y, z = (near(v) for v in spot)
    return piece.spot_in_piece((x, y, z))[0].float_mm()


def _vector(values: list[float]) -> Vector:
    return (values[0], values[1], values[2])
