"""What a label says of the piece it could be taken for is true of every piece it names, and tells the two apart.

The hinges and the catch of the spice cabinet are read by hand from its build: two hinges are let into the left side's
face edge and the left stile's back face; the catch's hole is in the right side's face edge.
"""

from __future__ import annotations

import re

import pytest

from shopdocs.blocks.sheets import Labels, PieceLabel
from shopdocs.documents.fitting.turned import ways_of
from shopdocs.documents.look_alikes import label_warning
from shopdocs.model.joining import FACE_NAMES, Face
from shopdocs.work.space.placed import Bore, PlacedPiece
from tests.sample_jobs import BY_NAME, PLACED, document_of, own_units, sample_job


@pytest.mark.parametrize(
    ("mark", "told"),
    [
        ("L", "not R: this has 2 recesses in the face edge"),
        ("R", "not L: this has a flat-bottomed recess in the face edge"),
        ("DL", "not DR: this has 2 recesses in the back face"),
    ],
)
def test_a_label_says_what_tells_the_piece_from_the_other(mark: str, told: str) -> None:
    folder = BY_NAME["spice_cabinet"]
    assert label_warning(sample_job(folder, own_units(folder)), mark) == told


def test_a_label_says_what_the_piece_has_not_where_nothing_else_tells_it_apart() -> None:
    """The rack's rails, by hand from its build: the back stands in grooves of both rear rails, the hook strip is
    screwed to the upper front rail; the lower front rail has neither, and all four have tenons and slats' mortises."""
    folder = BY_NAME["plate_rack"]
    told = "not BD  BU  FU: this has no groove and no pilot hole"
    assert label_warning(sample_job(folder, own_units(folder)), "FD") == told


def test_a_label_read_from_the_rear_says_whose_left_is_meant() -> None:
    """Both long aprons of the sorting table have end A at the left of the build; the label of the back one is stuck on
    its rear face, where that end is on the reader's right: the side is that of the sheets, and it is said whose."""
    told = labels_of("sorting_table")
    assert told["AF"].warning == "end A to the left"
    assert told["AB"].warning == "end A left, from front"
    assert "END A LEFT FROM FRONT" in told["AB"].codes[0].text  # a comma would make the code larger


def labels_of(sample: str) -> dict[str, PieceLabel]:
    folder = BY_NAME[sample]
    (block,) = document_of(sample_job(folder, own_units(folder)), "labels").blocks
    assert isinstance(block, Labels)
    return {label.mark: label for label in block.labels}


@pytest.mark.thorough
def test_labels_name_the_sides_that_the_sheets_and_the_build_name() -> None:
    """Where a face lies that a label tells of is worked out here from the place of the piece; every sheet that says how
    the piece lies when it is right names that side as well."""
    checked = 0
    for folder in PLACED:
        job, told = sample_job(folder, own_units(folder)), labels_of(folder.name)
        assert job.space is not None and job.alike is not None
        for mark, piece in job.space.pieces.items():
            found = re.fullmatch(
                r"(end A|face side|face edge) (?:to the )?(left|right)(, from front)?", told[mark].warning
            )
            if found is None:
                continue
            face = {"end A": Face.A, "face side": Face.FACE, "face edge": Face.EDGE}[found[1]]
            assert piece.pose.look_of(face) == (0, found[2] == "right")
            assert f"{found[1]} to the {found[2]}" in {way.right for way in ways_of(job.alike, mark)}
            stuck = told[mark].sticking
            assert stuck is not None and bool(found[3]) is stuck.is_reversed
            checked += 1
    assert checked >= 6


def holes(piece: PlacedPiece, kind: str, face: str) -> int:
    bores = (feature for feature in piece.features if isinstance(feature, Bore))
    return sum(bore.kind.value == kind and FACE_NAMES[bore.face] == face for bore in bores)


def test_no_hole_is_claimed_that_the_other_piece_has_as_well() -> None:
    """Holes are counted here face by face on the pieces themselves."""
    checked = 0
    for folder in PLACED:
        job = sample_job(folder, own_units(folder))
        assert job.space is not None
        for _, piece in job.build.pieces():
            words = label_warning(job, piece.mark)
            found = re.fullmatch(r"not ([A-Z0-9 ]+): this has (a|\d+) ((?:\w+ )?hole)s? in the ([\w ]+)", words)
            if found is None or piece.mark not in job.space.pieces:
                continue
            count = 1 if found[2] == "a" else int(found[2])

            assert holes(job.space.pieces[piece.mark], found[3], found[4]) == count, words
            assert all(holes(job.space.pieces[other], found[3], found[4]) != count for other in found[1].split()), words
            checked += 1
    assert checked >= 2
