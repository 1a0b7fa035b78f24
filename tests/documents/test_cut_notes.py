"""One note for cuts that are alike and stand in a row: the names are told in the order in which one comes to them, in
short only where the reader can fill in those between. Written out by hand."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopdocs.blocks.walk import walk
from shopdocs.core.length import Length
from shopdocs.documents.drawn.piece_notes import Note, together
from shopdocs.documents.drawn.shown import Shown
from shopdocs.model.joining import Face
from shopdocs.work.space.placed import Cuboid, FeatureKind
from tests.sample_jobs import document_of, job_of
from tests.small_builds import one_piece
from tests.work.scenes import spot


def noted(name: str, along: int, deep: str = "6 deep", long: int = 10, across: int = 0, face: Face = Face.FACE) -> Note:
    """The note of a mortise `long` by 5, its lower corner so far along and across the face."""
    lo, hi = spot(along, across, 0), spot(along + long, across + 5, 6)
    shown = Shown(Cuboid(FeatureKind.MORTISE, lo, hi), face, lo, hi, Length(6))
    return Note(face, f"{name}: {deep}" if name else deep, (lo,), shown)


@pytest.mark.parametrize(
    ("names", "told"),
    [
        (("18", "20", "22", "24"), "18, 20 … 24"),
        (("9", "8", "7", "6", "5"), "9, 8 … 5"),
        (("1", "2", "3"), "1, 2, 3"),  # as short as with dots
        (("1", "2", "4", "5"), "1, 2, 4, 5"),
        (("3", "3", "3", "3"), "3, 3, 3, 3"),  # of one joint, as two tenons side by side
        (("a", "b", "c", "d"), "a, b, c, d"),
    ],
)
def test_names_are_left_out_where_they_step_evenly(names: tuple[str, ...], told: str) -> None:
    notes = [noted(name, 20 * number) for number, name in enumerate(names)]
    (one,) = together(notes[::-1])
    assert one.words == f"{told} from end A: 6 deep"
    assert one.spots == tuple(note.spots[0] for note in notes)
    assert one.shown == notes[0].shown and one.speaks_of == tuple(note.shown for note in notes)


def test_what_differs_in_anything_has_a_note_of_its_own() -> None:
    row = [noted("1", 0), noted("2", 20), noted("3", 40)]
    odd = (
        noted("4", 60, deep="7 deep"),
        noted("4", 60, long=11),
        noted("4", 60, face=Face.EDGE),
        noted("", 60),
    )
    for other in odd:
        assert [note.words for note in together([*row, other])] == ["1, 2, 3 from end A: 6 deep", other.words]
    assert together(row[:2]) == row[:2]  # two are no row
    beside = [*row, noted("4", 0, across=20)]  # level with the first: which of the two comes first, no order says
    assert together(beside) == sorted(beside, key=lambda note: note.spots[0])


@pytest.mark.parametrize(
    "place", ["edge: face and far edge", "edge: face and edge, along: 20 to 90", "corners: B", "edge: B and face"]
)
def test_a_rounding_is_told_by_its_radius_wherever_it_lies(tmp_path: Path, place: str) -> None:
    """A maker sets a compass or a bit to the radius, along an arris as at a corner."""
    text = one_piece("board", "20 x 80 x 300", "length: x, width: y", "B: {x: 0, y: 0, z: 0}")
    text += f"cuts: {{r: {{kind: rounding, width: 9, on: [{{piece: B, {place}}}]}}}}\n"
    (tmp_path / "build.yaml").write_text(text, "utf-8")
    shown = repr([block for block in walk(document_of(job_of(tmp_path / "build.yaml"), "piece-drawings").blocks)])
    assert set(re.findall(r"'(rounding: [^']*)'", shown)) == {"rounding: radius 9"}
