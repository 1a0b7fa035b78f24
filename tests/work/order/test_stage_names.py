"""What stages are called, on boxes written out by hand: a case 100 wide, 60 deep and 80 high."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from shopdocs.core.length import Length
from shopdocs.work.order.stage_names import title_of, told_apart
from shopdocs.work.space.placed import PlacedPiece, Scene
from tests.values import replace
from tests.work.scenes import ALL_POSES, spot

LOW, HIGH = (0, 0, 0), (100, 60, 80)


def called(lo: tuple[int, int, int], hi: tuple[int, int, int], last: bool = False) -> str:
    """The title of two pieces that take up the space from `lo` to `hi`, two rails and a post, in the case."""
    corners = {"P": lo, "R": tuple(value - 1 for value in hi), "Q": lo, "low": LOW, "high": tuple(v - 1 for v in HIGH)}
    pieces = [
        PlacedPiece(mark, "part", spot(*at), Length(1), Length(1), Length(1), ALL_POSES[0])
        for mark, at in corners.items()
    ]
    names = {"P": "post", "R": "rail", "Q": "rail", "low": "foot", "high": "lid"}
    return title_of(["P", "R", "Q"], names, SimpleNamespace(scene=Scene.of(pieces)), corners, last)


@pytest.mark.parametrize(
    ("lo", "hi", "title"),
    [
        ((0, 0, 0), (45, 60, 80), "Left end"),
        ((0, 0, 0), (46, 60, 80), "Rail frame"),  # too wide for an end: by what most of it is
        ((55, 0, 0), (100, 60, 80), "Right end"),
        ((0, 0, 0), (100, 27, 80), "Front frame"),
        ((0, 33, 0), (100, 60, 80), "Rear frame"),
        ((0, 0, 0), (100, 60, 36), "Lower frame"),
        ((0, 0, 44), (100, 60, 80), "Upper frame"),
        ((0, 0, 0), (20, 6, 80), "Front frame"),  # a tenth of the depth, a fifth of the width: the flatter way
        ((52, 0, 0), (73, 60, 80), "Rail frame"),  # its middle is 12.5 of 100 beside the middle: an eighth is no end
        ((53, 0, 0), (73, 60, 80), "Right end"),
    ],
)
def test_a_frame_is_called_by_where_it_stands(lo: tuple[int, int, int], hi: tuple[int, int, int], title: str) -> None:
    assert called(lo, hi) == title
    assert called(lo, hi, last=True) == "Final glue-up"


@pytest.mark.parametrize(
    ("parts", "last", "title"),
    [
        (("drawer side", "drawer side", "Drawer front", "bottom"), False, "Drawer"),  # three of four
        (("drawer side", "drawer front", "bottom"), True, "Final glue-up"),  # two of three
        (("drawer side", "drawer side"), True, "Final glue-up"),  # one part says nothing of what it is a part of
        (("drawer side", "drawer side", "drawer back"), True, "Drawer"),
        (("drawer side", "drawer side", "drawer back", "drawer back"), True, "Drawers"),
        (("drawer side", "drawer side", "drawer back", "drawer back"), False, "Drawer"),
        (("trellis post", "trellis post", "trellis rail", "trellis rail"), True, "Trellis"),
    ],
)
def test_what_most_parts_are_parts_of_is_its_name(parts: tuple[str, ...], last: bool, title: str) -> None:
    marks = [f"M{number}" for number in range(len(parts))]
    piece = PlacedPiece("M", "part", spot(0, 0, 0), Length(1), Length(1), Length(1), ALL_POSES[0])
    scene = Scene.of([replace(piece, mark=mark) for mark in marks])
    assert title_of(marks, dict(zip(marks, parts, strict=True)), SimpleNamespace(scene=scene), marks, last) == title


def test_titles_alike_are_told_apart() -> None:
    marks = [["A"], ["B", "C"], ["D"], ["B"]]
    assert told_apart(["End", "End", "Frame"], marks[:3]) == ["End A", "End B", "Frame"]
    assert told_apart(["Frame", "End", "Frame"], marks[:3], [[], [], [0]]) == ["Frame 1", "End", "Frame 2"]
    assert told_apart(["Frame", "Frame", "Frame"], marks[:3], [[], [0], []]) == ["Frame A", "Frame B", "Frame D"]
    assert told_apart(["End", "End"], [["B"], ["B"]]) == ["End B", "End B again"]
    assert told_apart(["End"] * 3, [["B"]] * 3) == ["End B", "End B again", "End B again again"]
