"""A label says what the cut list says, its code says what the label says, and its arrows point the right way."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pypdfium2 as pdfium
import pytest
import zxingcpp

from shopdocs.blocks.sheets import LABEL_LOSS, Document, Labels, PieceLabel
from shopdocs.blocks.text import Table, plain
from shopdocs.core.display import Units
from shopdocs.core.length import ZERO
from shopdocs.documents.cut_list import cut_list
from shopdocs.documents.job import Job
from shopdocs.documents.labels import labels
from shopdocs.model.joining import FACE_NAMES, Face
from shopdocs.page.compose import compose
from shopdocs.page.paper import paper
from shopdocs.work.space.placed import PlacedPiece, side_of
from tests.page.paper_sample import pdf_bytes
from tests.sample_jobs import SAMPLES, job_of, sample_job
from tests.values import replace

BOTH: tuple[Units, Units] = ("in", "mm")
FACES = {name: face for face, name in FACE_NAMES.items()}


def made(job: Job) -> dict[str, PieceLabel]:
    (block,) = labels(job).blocks
    assert isinstance(block, Labels)
    return {label.mark: label for label in block.labels}


def cut_rows(job: Job) -> dict[str, dict[str, str]]:
    """The sizes of the cut list by mark and head, as they are printed."""
    table = next(block for block in cut_list(job).blocks if isinstance(block, Table) and block.name == "cut-list")
    heads = [re.sub(r"\s*\[\d+\]", "", column.title) for column in table.columns]  # without the appendix number
    marks = {(row.part.name, len(row.pieces)): row for group in job.groups for row in group.rows}
    found: dict[str, dict[str, str]] = {}
    for row in (row for group in table.groups for row in group.rows):
        told = {head: plain(cell.text) for head, cell in zip(heads, row.cells, strict=True)}
        if (key := (told["Part"], int(told["Pieces"]))) in marks:
            found |= {piece.mark: told for piece in marks[key].pieces}
    return found


def turned_words(job: Job, mark: str, units: Units) -> list[str]:
    """What stands on the label of a piece that is turned from end to end: its largest diameter, to the step of the
    build's display; nothing on others."""
    spots = [place.turned.spots for _, place in job.cuts_on(mark) if place.turned is not None]
    return [f"turned to Ø {job.display.bare(max(across for _, across in each))} {units}" for each in spots]


@pytest.mark.parametrize("units", BOTH)
@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_sizes_are_those_of_the_cut_list_and_say_which(folder: Path, units: Units) -> None:
    job = replace_both(sample_job(folder, units))
    rows, found = cut_rows(job), made(job)
    assert set(rows) <= set(found) and rows
    for mark, row in rows.items():
        whole, *more = [told for told in found[mark].sizes if not told.startswith(("tapers", "turned"))]
        assert [told for told in found[mark].sizes if told.startswith("turned")] == turned_words(job, mark, units)
        step = "before turning" if turned_words(job, mark, units) else "finished"  # its section is that of the blank
        assert whole == f"{step} {row['Finished']} {units}"
        if row["With joinery"] == "as finished":
            assert not more
        else:
            (joinery,) = more
            long = row["With joinery"].rpartition(" × ")[2]
            sawn = re.fullmatch(r"with joinery (≈?)(.+?)( long)?", joinery)
            assert sawn is not None
            assert joinery in (
                f"with joinery {row['With joinery']} {units}",
                f"with joinery {long} {units} long",
                f"with joinery ≈{long} {units} long",
            )
        strips = [label for label in found.values() if label.name.startswith(f"strip of {mark},")]
        assert all(
            f"strips of {label.sizes[0].removeprefix('rough ')}" == f"{row['Rough'].partition(' ')[2]} {units}"
            for label in strips
        )


def replace_both(job: Job) -> Job:
    """Labels never show the other system, which the cut list may add in brackets."""
    return replace(job, display=job.display.alone())


def same(words: str) -> str:
    """Words of a label or of its code without what only sets them: case, signs, spaces."""
    plain_words = words
    for above, below in zip("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789", strict=True):
        plain_words = plain_words.replace(above, below)
    for above, below in zip("₀₁₂₃₄₅₆₇₈₉", "0123456789", strict=True):
        plain_words = plain_words.replace(above, below)
    plain_words = plain_words.replace("⁄", "/").replace("×", "x").replace("≈", "about ")
    return re.sub(r"[-–:, ]+", "", plain_words).upper()


@pytest.mark.parametrize("units", BOTH)
@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_a_code_says_all_that_its_label_says(folder: Path, units: Units) -> None:
    for label in made(sample_job(folder, units)).values():
        whole, *shorter = label.codes
        assert not whole.lost
        code = same(whole.text)
        for words in (label.mark, label.build_mark, label.name, *label.sizes, *label.meets, label.stage, label.warning):
            assert same(words) in code, (label.mark, words, whole.text)
        for wording in shorter:  # a kind goes whole, in the order that is told
            kept = [kind for kind in LABEL_LOSS if kind not in wording.lost and kind != "sticking"]
            assert list(wording.lost) == [kind for kind in LABEL_LOSS if kind in wording.lost]
            told = {
                "name": (label.name,),
                "sizes": label.sizes,
                "mates": label.meets,
                "stage": (label.stage,),
                "warning": (label.warning,),
            }
            assert all(same(words) in same(wording.text) for kind in kept for words in told[kind])


@pytest.mark.parametrize(
    ("folder", "sheet"),
    [(folder, sheet) for folder in SAMPLES for sheet in ("cut", "a4-65")],
    ids=lambda value: getattr(value, "name", value),
)
def test_codes_on_paper_hold_what_is_told(folder: Path, sheet: str) -> None:
    """Read back by an independent decoder; what a code leaves out stands in a note, kind by kind."""
    job = sample_job(folder, "mm")
    block = Labels(tuple(made(job).values()), sheet)
    pages = compose((Document("labels", "Part labels", "", (block,)),), job.imprint, paper("a4"))
    read = set()
    for page in pdfium.PdfDocument(pdf_bytes(pages)):
        picture = page.render(scale=300 / 72, grayscale=True).to_numpy()
        read |= {code.text for code in zxingcpp.read_barcodes(np.ascontiguousarray(picture.squeeze()))}
    names = {
        "name": "the name",
        "stage": "the stage",
        "mates": "the joints",
        "warning": "the warning",
        "sizes": "the sizes",
    }
    noted = {
        words: {
            mark
            for note in pages.notes
            if note.startswith("no room in codes") and f" for {words}: " in note
            for mark in note.rpartition(": ")[2].split()
        }
        for words in names.values()
    }
    many = {words for words, marks in noted.items() if "more" in marks}
    for label in block.labels:
        (wording,) = [code for code in label.codes if code.text in read][:1]
        for kind in wording.lost:
            if kind in names:
                assert label.mark in noted[names[kind]] or names[kind] in many, (label.mark, kind)


def centre(piece: PlacedPiece, face: Face) -> np.ndarray:
    """The middle of a face, in the build."""
    axis, high = side_of(face)
    spot = [size / 2 for size in piece.size]
    spot[axis] = piece.size[axis] if high else piece.size[axis] - piece.size[axis]
    return np.array([float(value.mm) for value in piece.spot_in_build(spot)])


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_arrows_are_right_on_the_face_they_are_stuck_to(folder: Path) -> None:
    """Worked out again from where the faces lie in the build: to him who looks at a face, right, top and what points at
    him make a right-handed frame."""
    job = sample_job(folder, "mm")
    for mark, label in made(job).items():
        stuck = label.sticking
        if job.space is None or mark not in job.space.pieces or stuck is None:
            continue
        piece = job.space.pieces[mark]
        middle = (centre(piece, Face.A) + centre(piece, Face.B)) / 2
        toward = {each: centre(piece, each) - middle for each in Face}
        if piece.turned is not None and (piece.turned.start, piece.turned.end) == (ZERO, piece.length):
            # Round all along: no face is named, and no end unless the piece stands; the words run along the grain.
            grain = toward[Face.B] / np.linalg.norm(toward[Face.B])
            assert stuck.face.partition(",")[0] == "the round" and not stuck.face_side and not stuck.mark
            stands = abs(grain[2]) > 0.5
            assert (stuck.arrow, stuck.points.partition(",")[0]) == ("right" if stands else "up", "up")
            assert stands == (", end " in stuck.points) and "face" not in stuck.points and "edge" not in stuck.points
            continue
        face = FACES[stuck.face.partition(",")[0]]
        normal = toward[face] / np.linalg.norm(toward[face])
        what, _, named = stuck.points.partition(", ")
        aim = np.array([0.0, 1.0, 0.0] if what == "rear" else [0.0, 0.0, 1.0])
        assert (what == "rear") == (abs(normal[2]) > 0.5)  # on a level face no arrow in it points up
        assert max(Face, key=lambda each: toward[each] @ aim) is FACES[named]
        grain = toward[Face.B] / np.linalg.norm(toward[Face.B])
        assert (stuck.arrow == "right") == (abs(grain @ aim) > 0.5)  # the words run along the grain
        shown = toward[Face.FACE] / np.linalg.norm(toward[Face.FACE])
        other = {"up": aim, "right": aim}[stuck.arrow]
        ways = {"here": normal, "behind": -normal}
        if stuck.arrow == "up":
            ways |= {"up": other, "down": -other}
            right = shown if stuck.face_side == "right" else -shown
            if stuck.face_side in ("left", "right"):
                assert np.linalg.det(np.array([right, aim, normal])) > 0.5
        else:
            ways |= {"right": other, "left": -other}
            top = shown if stuck.face_side == "up" else -shown
            if stuck.face_side in ("up", "down"):
                assert np.linalg.det(np.array([aim, top, normal])) > 0.5
        if stuck.face_side in ways:
            assert shown @ ways[stuck.face_side] > 0.5, mark


# By hand, from the places in the builds: what one can look straight onto from in front, behind, the sides or above.
@pytest.mark.parametrize(
    ("sample", "expected"),
    [
        (
            "threshold_bench",
            {"RF": "face side, outside", "RB": "face side, outside", "T": "face side, on top", "ST": "face side"},
        ),
        (
            "potting_table",
            {
                "AB": "back face, outside",
                "FU": "face edge, outside",
                "TS3": "face side, on top",
                "SH5": "face side, on top",
                "RU1": "face side, on top",
                "DF1": "face side, outside",
            },
        ),
        ("spice_cabinet", {"L": "face side, outside", "DP": "face side, outside", "BK": "back face, outside"}),
        # The back stands 7¹⁄₄ of 8 in from the front and is seen between the rails, but there one looks into the rack.
        ("plate_rack", {"BK": "back face, outside", "BU": "back face, outside", "FU": "face side, outside"}),
    ],
)
def test_labels_go_where_they_are_seen(sample: str, expected: dict[str, str]) -> None:
    folder = next(folder for folder in SAMPLES if folder.name == sample)
    found = {mark: label.sticking.face for mark, label in made(sample_job(folder, "mm")).items() if label.sticking}
    assert {mark: found[mark] for mark in expected} == expected


def test_a_code_calls_its_joints_by_their_numbers(tmp_path: Path) -> None:
    """A rail R of one joint, number 1, into a post P: no number of two digits is among them."""
    path = tmp_path / "build.yaml"
    path.write_text(
        "build: {title: Corner, mark: C, units: mm}\nmaterials: {oak: {kind: hardwood, rough: 65}}\n"
        "parts:\n  post: {material: oak, size: 50 x 50 x 400, pieces: [P]}\n"
        "  rail: {material: oak, size: 24 x 80 x 300, pieces: [R]}\n"
        "joints: {corner: {kind: mortise and tenon, pieces: [R into P], thickness: 8, length: 30}}\n",
        "utf-8",
    )
    labels_of = made(job_of(path))
    for mark, other in (("R", "P"), ("P", "R")):
        assert f"JOINTS 1:{other}" in labels_of[mark].codes[0].text, labels_of[mark].codes
