"""What the sheets say of rounds: the turning patterns by hand, and the same words wherever they are turned."""

from __future__ import annotations

from itertools import pairwise
from math import pi
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Drawing, Line, Pattern, Stroke, Words
from shopdocs.blocks.sheets import Labels
from shopdocs.blocks.text import Paragraph, plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.stand import seen_shape, stand_of
from shopdocs.documents.drawn.turning_pattern import turning_pattern
from shopdocs.documents.rounds import round_words, turned_to
from tests.sample_jobs import BY_NAME, document_of, job_of, sample_documents, sample_job
from tests.source.test_round_ends import UPRIGHT


def patterns_of(path: Path) -> dict[str, Pattern]:
    path.write_text(UPRIGHT, "utf-8")
    blocks = walk(document_of(job_of(path), "patterns").blocks)
    return {block.title.split(" · ")[1].split(",")[0]: block for block in blocks if isinstance(block, Pattern)}


def test_patterns_by_hand(tmp_path: Path) -> None:
    """The rung is 509.35 long (see test_round_ends), 16 across at both ends and 26 in the middle, with tenons of 16 and
    20 long; over the centre line stand half the diameters. Of a leg only the foot is turned, from 12.5 to 22.5 high."""
    found = patterns_of(tmp_path / "build.yaml")
    rung = [side.start for side in found["rung"].outline.sides]
    wanted = [(0, 0), (549.35, 0), (549.35, 8), (529.35, 8), (274.675, 13), (20, 8), (0, 8)]
    assert [tuple(v.float_mm() for v in spot) for spot in rung] == [pytest.approx(spot, abs=0.001) for spot in wanted]
    leg = [side.start for side in found["leg"].outline.sides]
    assert [tuple(v.float_mm() for v in spot) for spot in leg] == [(0, 0), (400, 0), (400, 22.5), (0, 12.5)]
    # drawn to the middle alone, over a strip under its centre line that is 22 wide, or wider for longer words
    lines = [shape for shape in found["rung"].drawing.shapes if isinstance(shape, Line)]
    profile = [(line.start, line.end) for line in lines if line.stroke is Stroke.VISIBLE]
    (strip,) = {line.start[1] for line in lines if line.stroke is Stroke.CENTRE}
    assert strip >= Length(22)
    assert ((Length("274.675"), strip + Length(13)), (Length(20), strip + Length(8))) in profile
    assert max(line.end[0] for line in lines) == Length("274.675")


def test_a_label_on_a_round_names_no_face_and_is_seen_at_once() -> None:
    """The stretchers of the stool are 26 thick: half of what goes round them is 13 times pi, and a label has that much
    room. Face side and face edge are turned away."""
    (block,) = document_of(sample_job(BY_NAME["loft_stool"], "mm"), "labels").blocks
    assert isinstance(block, Labels)
    found = {label.mark: label.sticking for label in block.labels if label.mark in ("SL", "SR", "M")}
    assert len(found) == 3
    for stuck in found.values():
        assert stuck is not None and stuck.room is not None
        assert (stuck.mark, stuck.face_side, stuck.points) == ("", "", "up")
        assert stuck.room.float_mm() == pytest.approx(13 * pi, abs=0.05)


def test_the_stool_says_alike_what_is_turned() -> None:
    job = sample_job(BY_NAME["loft_stool"], "mm")

    def words(name: str) -> str:
        return repr(document_of(job, name).blocks)

    assert "turned to Ø" in words("cut-list")
    said = " ".join(plain(b.text) for b in document_of(job, "cut-list").blocks if isinstance(b, Paragraph))
    assert said.count("before turning") == 1  # both are turned to 26 mm, and it is said once
    assert "middle stretcher M, side stretcher SL  SR: the finished sizes are before turning" in said
    assert "no arrises" in words("edges")
    assert "manual" in words("patterns")
    assert "oval" in words("movement")
    assert "not tried" not in words("look-alikes") + words("glue-up")


def test_figures_of_close_places_are_all_there_and_lead_to_their_line() -> None:
    """Beads 2 and 3 mm apart: the line of figures is some 2.5 mm high and finds no room between their lines. Those that
    stand on the strip stand beside their own line, the next being farther away; the others stand below on a leader."""
    spots = [
        (Length(x), Length(wide)) for x, wide in ((0, 30), (2, 26), (4, 30), (50, 40), (53, 20), (56, 40), (120, 20))
    ]
    told = [(place, f"{place.float_mm():g} · Ø {wide.float_mm():g}") for place, wide in spots]
    drawing = turning_pattern(spots, told, ("END A", "END B"), "X", False)
    words = {shape.text: shape for shape in drawing.shapes if isinstance(shape, Words)}
    lines = [(shape.start, shape.end) for shape in drawing.shapes if isinstance(shape, Line)]
    foot = min(start[1] for start, end in lines if start[0] == end[0] == Length(50))
    assert foot > ZERO
    led = {start[0]: end[0] for start, end in lines if start[1] == foot > end[1] and start[0] != end[0]}
    led |= {start[0]: end[0] for start, end in lines if start[1] == foot > end[1] > ZERO}
    below = []
    for place, said in told:
        at = words[said].at
        if at[1] < foot:
            below.append(at[0].float_mm())
            assert led[place] == at[0], said
        else:
            nearest = min(spots, key=lambda spot: abs(spot[0] - at[0]))
            assert nearest[0] == place, said
    assert len(below) >= 4
    assert all(two - one >= 2.5 for one, two in pairwise(below))


def test_the_size_of_what_is_turned_all_along_is_called_the_same_everywhere() -> None:
    """The stretchers of the stool are turned from end to end: 26 square is what they are turned from."""
    job = sample_job(BY_NAME["loft_stool"], "mm")
    (block,) = document_of(job, "labels").blocks
    assert isinstance(block, Labels)
    named = {label.mark: label.sizes[0].split(" ≈")[0] for label in block.labels}
    assert {named[mark] for mark in ("SL", "SR", "M")} == {"before turning"}
    assert named["FL"] == "finished"
    assert "before turning" in repr(document_of(job, "piece-drawings").blocks)


LEG = """
build: {title: Legs, mark: L, units: mm, free standing: no}
materials: {ash: {kind: hardwood, rough: 52}}
parts: {leg: {material: ash, size: STOCK, pieces: [P]}}
cuts: {turning: {kind: round, on: [{piece: P}], diameters: SPOTS}}
"""


@pytest.mark.parametrize(
    ("stock", "spots", "said", "short"),
    [
        (
            "40 x 40 x 400",
            "['50, 40', '200, 30', '350, 40']",
            "turn from 40 mm square; Ø 40 at 50, Ø 30 at 200, Ø 40 at 350 mm from end A, straight between; "
            "square up to 50 mm and beyond 350 mm",
            "turned in part to Ø 40 mm",
        ),
        (
            "40 x 40 x 400",
            "['50, 40', '400, 20']",
            "turn from 40 mm square; Ø 40 at 50, Ø 20 at 400 mm from end A, straight between; square up to 50 mm",
            "turned in part to Ø 40 mm",
        ),
        (
            "40 x 40 x 400",
            "['0, 20', '350, 40']",
            "turn from 40 mm square; Ø 20 at 0, Ø 40 at 350 mm from end A, straight between; square beyond 350 mm",
            "turned in part to Ø 40 mm",
        ),
        # A shoulder at 200: two diameters at one place.
        (
            "40 x 60 x 400",
            "['0, 20', '200, 40', '200, 30', '400, 30']",
            "turn from 40 × 60 mm; Ø 20 at 0, Ø 40, Ø 30 at 200, Ø 30 at 400 mm from end A, straight between",
            "turned to Ø 40 mm",
        ),
        # Two pommels; the shoulders without a diameter of their own lie on the cone from 20 to 40 over 400: 1 in 20.
        (
            "40 x 40 x 500",
            "['0, 20', '400, 40'], pommels: [300 to 340, 100 to 140]",
            "turn from 40 mm square; Ø 20 at 0, Ø 25 at 100, Ø 27 at 140, Ø 35 at 300, Ø 37 at 340, Ø 40 at 400 mm "
            "from end A, straight between; pommels from 100 to 140 and 300 to 340 mm; square beyond 400 mm",
            "turned in part to Ø 40 mm",
        ),
        # Round to both ends, yet not all along.
        (
            "40 x 40 x 400",
            "['0, 20', '400, 20'], pommels: 180 to 220",
            "turn from 40 mm square; Ø 20 at 0, Ø 20 at 180, Ø 20 at 220, Ø 20 at 400 mm from end A, straight between; "
            "pommel from 180 to 220 mm",
            "turned in part to Ø 20 mm",
        ),
    ],
)
def test_a_round_in_words(tmp_path: Path, stock: str, spots: str, said: str, short: str) -> None:
    """Every diameter at its place, and what of the piece stays square: below the first and above the last."""
    path = tmp_path / "build.yaml"
    path.write_text(LEG.replace("STOCK", stock).replace("SPOTS", spots), "utf-8")
    job = job_of(path)
    ((cut, place),) = job.cuts_on("P")
    assert plain(round_words(job, cut, place, job.part_of("P"))) == said
    assert plain(turned_to(job, "P")) == short


def test_a_pattern_with_a_pommel_by_hand(tmp_path: Path) -> None:
    """A leg of 40 square and 400 long, 20 across and even about its middle, where 40 stay square: over the centre line
    stands half of 20, along the pommel half of 40, and half of all that is drawn, to 200."""
    path = tmp_path / "build.yaml"
    spots = "['0, 20', '400, 20'], pommels: 180 to 220"
    path.write_text(LEG.replace("STOCK", "40 x 40 x 400").replace("SPOTS", spots), "utf-8")
    (found,) = (b for b in walk(document_of(job_of(path), "patterns").blocks) if isinstance(b, Pattern))
    corners = [tuple(v.float_mm() for v in side.start) for side in found.outline.sides]
    wanted = [(0, 0), (400, 0), (400, 10), (220, 10), (220, 20), (180, 20), (180, 10), (0, 10)]
    assert corners == wanted
    assert found.drawing.width == Length(200)
    assert "The pommel from 180 to 220 stays square" in found.facts
    words = {shape.text for shape in found.drawing.shapes if isinstance(shape, Words)}
    assert {"POMMEL", "Ø 20 at 0", "Ø 20 at 180", "MIDDLE"} <= words


def test_what_is_turned_to_a_bit_is_called_by_it_everywhere() -> None:
    """The stool's stretchers are turned to bits of 16 and 14 mm. In inches these are no 64ths: 5/8 in is 15.9 mm, and a
    tenon turned to that is loose. So drawing, words and pattern say the bit, as the tables of joints do; the middle,
    26 mm, fits nothing, and is told in inches."""
    documents = {document.name: document for document in sample_documents(BY_NAME["loft_stool"], "in")}
    drawn = [
        shape.text
        for name in ("piece-drawings", "patterns")
        for block in walk(documents[name].blocks)
        for drawing in (
            [block.drawing] if isinstance(block, Pattern) else [block] if isinstance(block, Drawing) else []
        )
        for shape in drawing.shapes
        if isinstance(shape, Words) and shape.text.startswith("Ø")
    ]
    said = [plain(line) for block in walk(documents["piece-drawings"].blocks) for line in texts(block)]
    turned = [line for line in said if "turn from" in line]
    assert turned and all("Ø 16 mm at 0" in line or "Ø 14 mm at 0" in line for line in turned)
    for words in (*drawn, *turned):
        assert "⁵⁄₈" not in words and "⁹⁄₁₆" not in words
    assert {"Ø 16 mm", "Ø 14 mm", "Ø ≈1¹⁄₃₂"} <= {words.split(" at ")[0] for words in drawn}


@pytest.mark.parametrize(("second", "alike"), [("length, 30", False), ("length, 20", True)])
def test_rounds_that_mirror_each_other_share_a_drawing_where_they_look_alike(
    tmp_path: Path, second: str, alike: bool
) -> None:
    """End A of the one lies at the left, of its mirror image at the right: a round that tapers is drawn to the left
    once and once to the right, one as thick at both ends is the same."""
    path = tmp_path / "build.yaml"
    path.write_text(
        "build: {title: Rungs, mark: R, units: mm}\nmaterials: {oak: {kind: hardwood, rough: 52}}\n"
        "parts: {rung: {material: oak, size: 40 x 40 x 200, runs: {length: x, width: z}, "
        "pieces: {A: {x: 0, y: 0, z: 0}, B: {mirror: A across x at 300}}}}\n"
        f"cuts: {{round: {{kind: round, on: [{{piece: rung}}], diameters: ['0, 20', 'length/2, 36', '{second}']}}}}\n",
        "utf-8",
    )
    job = job_of(path)
    assert job.space is not None
    one, other = (job.space.pieces[mark] for mark in "AB")
    assert (stand_of(one).along, stand_of(other).along) == (1, -1)
    assert (seen_shape(one) == seen_shape(other)) is alike
