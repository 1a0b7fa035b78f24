"""Panels in frames and drawers: square corners, grooves that run on, ends left on beside tails.

Volumes are counted by hand from what a maker saws; manifold3d sees that no two pieces take the same space.
"""

from __future__ import annotations

import pytest

from shopdocs.core.length import ZERO, Length
from shopdocs.model.joining import JointKind
from shopdocs.model.parts import Direction
from shopdocs.work.joints.frame import JointSizes
from shopdocs.work.joints.joinery import joined_pieces
from shopdocs.work.space.placed import FeatureKind, PlacedPiece, Pose, Scene, Toward
from tests.meshes import of_cells
from tests.values import replace
from tests.work.scenes import spot

X, Y, Z = (Toward(d) for d in Direction)
STANDING = Pose(Z, X, Y)
LYING = Pose(X, Z, Y)
FRONT_TO_BACK = Pose(Y, Z, X)


def piece(mark: str, at: tuple[int, int, int], size: tuple[int, int, int], pose: Pose) -> PlacedPiece:
    return PlacedPiece(mark, mark, spot(*at), *(Length(v) for v in size), pose)


def sizes(kind: JointKind, name: str, **more: int) -> JointSizes:
    count = more.pop("count", 1)
    return JointSizes(kind, name=name, count=count, **{key: Length(value) for key, value in more.items()})


def frame() -> list[PlacedPiece]:
    """A door 340 x 500: stiles 40 wide, rails 50 wide between them, all 20 thick; the opening is 260 x 400, and the
    panel, 6 thick, lies in the middle of the thickness."""
    return [
        piece("L", (0, 0, 0), (500, 40, 20), STANDING),
        piece("R", (300, 0, 0), (500, 40, 20), STANDING),
        piece("B", (40, 0, 0), (260, 50, 20), LYING),
        piece("T", (40, 0, 450), (260, 50, 20), LYING),
        piece("P", (40, 7, 50), (260, 400, 6), LYING),
    ]


GROOVES = [
    ("P", other, sizes(JointKind.TONGUE_AND_GROOVE, f"groove {other}", thickness=6, depth=8)) for other in "LRBT"
]


def volumes(pieces: tuple[PlacedPiece, ...]) -> dict[str, float]:
    """In cubic millimetres; no two pieces share any."""
    scene = Scene.of(pieces)
    solids = [of_cells(solid) for solid in scene.solids]
    for i, one in enumerate(solids):
        for two in solids[i + 1 :]:
            assert (one ^ two).volume() == pytest.approx(0, abs=1)
    return {p.mark: solid.volume / scene.ticks.per_mm**3 for p, solid in zip(scene.pieces, scene.solids, strict=True)}


def test_a_panel_in_a_frame_is_a_rectangle():
    """The panel is 260 + 2 x 8 by 400 + 2 x 8. The stiles' grooves are as long as it, the rails' as long as the rails,
    which end at the stiles."""
    found = volumes(joined_pieces(frame(), GROOVES)[0])
    assert found["P"] == 276 * 416 * 6
    assert found["L"] == found["R"] == 500 * 40 * 20 - 416 * 8 * 6
    assert found["B"] == found["T"] == 260 * 50 * 20 - 260 * 8 * 6


def test_grooves_run_on_through_tenons_that_are_in_their_way():
    """Tenons 7 thick and 30 long over the whole width of the rails: the plane runs off their ends and takes 30 x 8 x 6
    off each; in the stile the groove ends in the mortise."""
    found = volumes(joined_pieces(frame(), [*tenons(0), *GROOVES])[0])
    assert found["P"] == 276 * 416 * 6
    assert found["B"] == found["T"] == 260 * 50 * 20 + 2 * 30 * 50 * 7 - (260 + 2 * 30) * 8 * 6
    assert found["L"] == found["R"] == 500 * 40 * 20 - 2 * 30 * 50 * 7 - 400 * 8 * 6


def grooves_of(pieces: tuple[PlacedPiece, ...], mark: str) -> list[tuple[Length, Length]]:
    """Where the grooves of a piece begin and end along it."""
    (found,) = [p for p in pieces if p.mark == mark]
    return sorted((f.lo[0], f.hi[0]) for f in found.cuboids if f.kind is FeatureKind.GROOVE)


def tenons(shoulder: int) -> list[tuple[str, str, JointSizes]]:
    kind = JointKind.MORTISE_AND_TENON
    pairs = [(rail, stile) for rail in "BT" for stile in "LR"]
    return [(r, s, sizes(kind, f"{r}{s}", thickness=7, length=30, shoulder=shoulder)) for r, s in pairs]


def test_a_groove_stops_in_the_mortise_where_the_end_of_its_piece_shows() -> None:
    """Shoulders of 12: the mortises lie 12 to 38 from the ends of the stile. The panel goes 8 into rails of 50, so its
    corner is at 42; what is left of the way to the mortise lies under the shoulder of the rail. The rails are ploughed
    from shoulder to shoulder, clear of their tenons."""
    pieces = joined_pieces(frame(), [*tenons(12), *GROOVES])[0]
    assert grooves_of(pieces, "L") == grooves_of(pieces, "R") == [(Length(38), Length(462))]
    assert grooves_of(pieces, "B") == grooves_of(pieces, "T") == [(ZERO, Length(260))]


def test_a_groove_stops_at_the_panel_where_nothing_hides_it() -> None:
    """A rail 8 thick, its front 6 behind that of the stile, hides 6 to 14 of it: all of a groove from 7 to 13, nothing
    of one as wide as the stile is thick but 2."""
    slim = [replace(p, at=spot(40, 6, 0), thickness=Length(8)) if p.mark == "B" else p for p in frame()]
    hidden = joined_pieces(slim, [*tenons(12), *GROOVES])[0]
    assert grooves_of(hidden, "L")[0][0] == Length(38)
    wide = [(p, m, replace(s, width=Length(16), thickness=Length(6)) if m in "LR" else s) for p, m, s in GROOVES]
    shown = joined_pieces(slim, [*tenons(12), *wide])[0]
    assert grooves_of(shown, "L")[0][0] == Length(42)


def test_grooves_on_both_sides_of_a_muntin_meet_behind_it() -> None:
    """A muntin 40 wide in the middle of rails of 260, and a panel on either side: what is between their grooves lies
    under its shoulder, and the plane goes from end to end."""
    muntin = piece("M", (150, 0, 50), (400, 40, 20), STANDING)
    panels = [piece("P", (40, 7, 50), (110, 400, 6), LYING), piece("Q", (190, 7, 50), (110, 400, 6), LYING)]
    pieces = [*[p for p in frame() if p.mark != "P"], muntin, *panels]
    tongue = JointKind.TONGUE_AND_GROOVE
    grooves = [(p, o, sizes(tongue, f"{p}{o}", thickness=6, depth=8)) for p, o in ("PB", "PT", "PM", "QB", "QT", "QM")]
    own = [("M", rail, sizes(JointKind.MORTISE_AND_TENON, f"M{rail}", thickness=7, length=20)) for rail in "BT"]
    one, two = grooves_of(joined_pieces(pieces, [*tenons(12), *own, *grooves])[0], "B")
    assert (one[0], two[1]) == (ZERO, Length(260)) and one[1] == two[0]


def test_a_tongue_may_be_thinner_than_its_groove_is_wide() -> None:
    """A panel of 5 in a groove from an iron of 6: half a millimetre on either side of it."""
    thin = [replace(p, at=spot(40, 7, 50), thickness=Length(5)) if p.mark == "P" else p for p in frame()]
    into = ("P", "L", replace(sizes(JointKind.TONGUE_AND_GROOVE, "g", depth=8), width=Length(6), sheet=True))
    _, (joinery,) = joined_pieces(thin, [into])
    (tongue,), (groove,) = joinery.entering, joinery.receiving
    assert (tongue.size[2], groove.size[2]) == (Length(5), Length(6))
    assert (groove.lo[2], groove.hi[2]) == (Length("6.5"), Length("12.5"))
    assert not joinery.doubts
    _, (narrow,) = joined_pieces(thin, [("P", "L", replace(into[2], width=Length(4)))])
    assert [doubt.code for doubt in narrow.doubts] == ["tongue-too-thick"]


@pytest.mark.parametrize("sheet", [False, True])
def test_a_sheet_goes_in_with_its_whole_thickness(sheet: bool) -> None:
    """12 thick: a third of solid wood, all of a sheet (common practice, no source); its groove leaves 4 of the stile's
    20 on either side, which is less than 6 mm (common practice). It goes in 3/8 in or 10 mm, not 12."""
    thick = [replace(p, at=spot(40, 4, 50), thickness=Length(12)) if p.mark == "P" else p for p in frame()]
    asked = JointSizes(JointKind.TONGUE_AND_GROOVE, name="g", step=Length(1), sheet=sheet)
    _, (joinery,) = joined_pieces(thick, [("P", "L", asked)])
    (tongue,) = joinery.entering
    assert tongue.size[2] == Length(12 if sheet else 4)
    assert joinery.added == Length(10 if sheet else 4)
    assert [doubt.code for doubt in joinery.doubts] == (["thin-wall"] if sheet else [])


def test_a_corner_stays_notched_where_another_piece_is():
    """A peg in the corner of the opening, 8 x 8 x 20 in a hole of the stile that the build does not know of."""
    peg = piece("K", (32, 0, 42), (20, 8, 8), Pose(Y, Z, X))
    pieces = joined_pieces([*frame(), peg], GROOVES)[0]
    panel = next(p for p in pieces if p.mark == "P")
    assert panel.solid(Scene.of(pieces).ticks).volume == 276 * 416 * 6 - 8 * 8 * 6


def drawer() -> list[PlacedPiece]:
    """A side 98 high and 12 thick, the back 84 high on the bottom, which is 6 thick and lies 8 up; the side reaches
    from y 20 to the back, 460 to 472, and the bottom goes on under the back to 472."""
    return [
        piece("S", (0, 20, 0), (440, 98, 12), FRONT_TO_BACK),
        piece("B", (0, 460, 14), (481, 84, 12), LYING),
        piece("M", (12, 20, 8), (457, 452, 6), Pose(X, Y, Z)),
    ]


TAILS = ("S", "B", sizes(JointKind.DOVETAIL, "tails", count=3, length=12))
BOTTOM = ("M", "S", sizes(JointKind.TONGUE_AND_GROOVE, "bottom", thickness=6, depth=6))


@pytest.mark.parametrize("joints", [[TAILS, BOTTOM], [BOTTOM, TAILS]], ids=["tails first", "bottom first"])
def test_a_drawer_side_stays_long_under_the_back(joints):
    """Three tails 84 / 3 x 3/4 = 21 wide; below the back 14 of the end stay on. The groove runs out at the end, 440 +
    12 long, and the bottom has a tongue 6 wide over all its 452."""
    pieces = joined_pieces(drawer(), joints)[0]
    found = volumes(pieces)
    assert found["S"] == 440 * 98 * 12 + 3 * 21 * 12 * 12 + 14 * 12 * 12 - 452 * 6 * 6
    assert found["M"] == (457 + 6) * 452 * 6


def test_an_end_is_cut_back_where_tails_are_lapped():
    lapped = ("S", "B", sizes(JointKind.DOVETAIL, "tails", count=3, length=8))
    pieces = joined_pieces(drawer(), [lapped, BOTTOM])[0]
    assert not any(f.kind is FeatureKind.END_LEFT_ON for p in pieces for f in p.cuboids)


def test_an_end_is_cut_back_where_another_piece_is():
    rail = piece("R", (0, 460, 0), (481, 12, 12), LYING)
    pieces = joined_pieces([*drawer(), rail], [TAILS, BOTTOM])[0]
    assert not any(f.kind is FeatureKind.END_LEFT_ON for p in pieces for f in p.cuboids)
    assert max(f.hi[0] for f in pieces[0].cuboids if f.kind is FeatureKind.GROOVE) == Length(440) > ZERO


@pytest.mark.parametrize(
    ("thick", "tongue"),
    [
        ("1/4", "1/4"),  # a drawer bottom goes in whole (common practice, no source)
        ("5/16", "1/8"),
        ("3/8", "1/8"),  # thirds
        ("3/4", "1/4"),
    ],
)
def test_a_tongue_that_follows_can_be_cut_with_a_plough_plane(thick: str, tongue: str) -> None:
    """The narrowest iron of a plough plane is 1/8 in (from memory). The wall beside a third is no doubt: nothing is
    stouter."""
    board = PlacedPiece("P", "P", spot(40, 0, 0), Length(260), Length(400), Length.inches(thick), LYING)
    stile = PlacedPiece("L", "L", spot(0, 0, 0), Length(400), Length(40), Length.inches(thick), STANDING)
    groove = JointSizes(JointKind.TONGUE_AND_GROOVE, depth=Length(8), name="groove")
    _, (joinery,) = joined_pieces([stile, board], [("P", "L", groove)])
    (made,) = joinery.entering
    assert made.hi[2] - made.lo[2] == Length.inches(tongue)
    whole = thick == tongue  # the groove would split a stile as thin as the panel
    assert [doubt.code for doubt in joinery.doubts] == (["thin-wall"] if whole else [])
