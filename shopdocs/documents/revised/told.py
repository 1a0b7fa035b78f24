"""How a change reads: sizes, places, joints, cuts and holes of one revision in words."""

from __future__ import annotations

from collections.abc import Sequence

from shopdocs.documents.revised.state import BuildState, CutState, HoleState, JointState, length_of

MOST_HOLES = 4  # told with their centres


def size_words(state: BuildState, size: Sequence[str]) -> str:
    """Thickness, width and length."""
    return state.display.size(*(length_of(value) for value in size)) if size else "not stated"


def place_words(state: BuildState, place: Sequence[str]) -> str:
    """The corner of a piece nearest to the origin."""
    if not place:
        return "no place"
    shown = [state.display.bare(length_of(value)) for value in place[:3]]
    return f"{' / '.join(shown)} {state.units} from the left, the front, the floor"


def joint_at(state: BuildState, joint: JointState) -> str:
    """Where a joint is cut in a piece: 'its middle 240 along, 100 across, 15° off square'."""
    ways = ("along", "across")
    middle = ", ".join(
        f"{state.display.bare(length_of(v))} {way}" for v, way in zip(joint.at or (), ways, strict=False)
    )
    return ", ".join(filter(None, (f"its middle {middle}" if middle else "", joint.runs)))


def joint_words(state: BuildState, joint: JointState) -> str:
    """A joint with its sizes."""
    sizes = ", ".join(f"{name} {state.display.length(length_of(value))}" for name, value in joint.sizes.items())
    dry = "" if joint.glued else ", dry"
    return f"{joint.kind}, {joint.how}{dry}" + (f"; {sizes}" if sizes else "")


def cut_words(state: BuildState, cut: CutState) -> str:
    """'groove in the back face, 6 mm deep, along 0 to 300, across 10 to 16', counted from end A and the face edge."""
    display = state.display
    along = f"along {' to '.join(display.bares(*map(length_of, cut.along)))}"
    if cut.points and cut.kind == "round":
        spots, pommels = (
            [display.bares(*map(length_of, point.split(mid))) for point in cut.points if (" to " in point) == square]
            for mid, square in ((None, False), (" to ", True))
        )
        square = [f"pommel from {low} to {high}" for low, high in pommels]
        return f"round, {', '.join([*(f'Ø {across} at {at}' for at, across in spots), *square])}"
    if cut.points:
        return (
            f"{cut.kind} of the {cut.faces} by the points {', '.join(_point_words(state, one) for one in cut.points)}"
        )
    if cut.kind == "end cut":
        end, _, short = cut.faces.partition(" and ")
        by = f"by {display.length(length_of(cut.depth))}" if cut.depth else ""
        return f"{end} sawn off square, shorter at the {short} {by}".rstrip()
    if not cut.across:
        sizes = (display.length(length_of(value)) for value in (cut.width, cut.depth) if value)
        return f"{cut.kind} where {cut.faces} meet, {' × '.join(sizes)}, {along}"
    deep = f"{display.length(length_of(cut.depth))} deep" if cut.depth else "right through"
    across = " to ".join(display.bares(*map(length_of, cut.across)))
    deep += f", corners of radius {display.length(length_of(cut.width))}" if cut.width else ""
    return f"{cut.kind} in the {cut.faces}, {deep}, {along}, across {across}"


def _point_words(state: BuildState, point: str) -> str:
    """'hollow 9 × 1-1/8 radius 2-1/2'."""
    words = [state.display.bare(length_of(word)) if word[0] in "-0123456789" else word for word in point.split()]
    numbers = [place for place, word in enumerate(point.split()) if word[0] in "-0123456789"]
    if "across" not in words:
        words.insert(numbers[1], "×")
    return " ".join(words)


def holes_words(state: BuildState, holes: Sequence[HoleState]) -> str:
    """Holes with their centres: 'Ø 4 mm, 12 mm deep, at 10 × 20'; of many the first and how many more."""
    shown = [_hole_words(state, hole) for hole in holes[:MOST_HOLES]]
    more = len(holes) - len(shown)
    return "; ".join(shown) + (f" and {more} more" if more else "")


def _hole_words(state: BuildState, hole: HoleState) -> str:
    display = state.display
    deep = f"{display.length(length_of(hole.depth))} deep" if hole.depth else "through"
    at = " × ".join(display.bares(length_of(hole.along), length_of(hole.across)))
    return f"Ø {display.drill(length_of(hole.bit))} {deep} at {at}{f', {hole.runs}' if hole.runs else ''}"
