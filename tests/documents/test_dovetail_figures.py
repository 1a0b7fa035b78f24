"""The figures of a dovetail's sockets are those of the face that is drawn, by hand and by the lines that are drawn."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.core.length import Length
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.fitting.joint_cuts import cut_words
from shopdocs.documents.job import Job, make_job
from shopdocs.model.joining import Face
from shopdocs.pipeline import check_build
from shopdocs.work.space.placed import FeatureKind

# A drawer side 14 thick, 96 wide, lapped 14 deep into a front 20 thick, and right through a back 12 thick whose face
# side looks into the drawer: the sides meet the front's back face and the back's face side.
BUILD = """
build: {title: Drawer, mark: DR, units: mm}
materials: {oak: {kind: hardwood, species: white oak, rough: 27}}
parts:
  front:
    material: oak
    size: 20 x 96 x 500
    runs: {length: x, width: z}
    pieces: {F: {x: 0, y: 0, z: 0}}
  back:
    material: oak
    size: 12 x 96 x 500
    runs: {length: x, width: z}
    pieces: {H: {x: 0, y: 400, z: 0}}
  side:
    material: oak
    size: 14 x 96 x 380
    runs: {length: y, width: z}
    pieces: {L: {x: 0, y: 20, z: 0}}
joints:
  lapped: {kind: dovetail, pieces: [L into F], length: 14, count: 3}
  through: {kind: dovetail, pieces: [L into H], count: 3}
hardware:
  knob: {buy: knob, holes: [{bit: 5, depth: through}], on: [{piece: F, face: face, along: 250, across: 48}]}
"""
# Three tails in 96, 32 apart, three quarters of that wide: 24 at the tip, from 4 to 28, 36 to 60, 68 to 92.
TIPS = (4, 28, 36, 60, 68, 92)


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Job:
    file: Path = tmp_path_factory.mktemp("drawer") / "build.yaml"
    file.write_text(BUILD, "utf-8")
    build, shop, problems = check_build(str(file))
    assert build is not None, problems
    return make_job(build, shop, build.display, "", "a4-21")


def gauged(job: Job, mark: str) -> Gauged:
    assert job.space is not None
    return Gauged(job.space.pieces[mark])


def narrow(by: str) -> list[Length]:
    """The sockets drawn in by so much on either side, and the whole width."""
    places = [Length(at) + (Length(by) if number % 2 == 0 else -Length(by)) for number, at in enumerate(TIPS)]
    return [*places, Length(96)]


def test_the_back_face_of_a_lapped_front_has_the_mouths(job: Job) -> None:
    """At 1 in 8 a socket 14 deep is 14/8 = 1.75 narrower on either side at its mouth: from 5.75 to 26.25."""
    piece = gauged(job, "F")
    levels = {end: piece.levels(Face.BACK, end) for end in (Face.A, Face.B)}
    assert narrow("1.75") in levels.values()
    assert narrow("1.75")[:2] == [Length("5.75"), Length("26.25")]
    assert piece.end_levels(piece.ends[0], 1) == narrow("1.75")


def test_a_back_with_its_face_side_inward_has_the_mouths_there_and_the_wide_ends_behind(job: Job) -> None:
    """12/8 = 1.5 on either side. Its end is figured at the left, where the back face is: that has the wide ends."""
    piece = gauged(job, "H")
    assert piece.base is Face.FACE
    assert narrow("1.5") in [piece.levels(Face.FACE, end) for end in (Face.A, Face.B)]
    assert piece.end_levels(piece.ends[0], 1) == [*map(Length, TIPS), Length(96)]


@pytest.mark.parametrize("mark", ["F", "H", "L"])
def test_every_figure_across_a_face_stands_at_a_line_of_it(job: Job, mark: str) -> None:
    """Whatever is measured across a face is a place where some line of that view begins or ends, or a hole."""
    piece = gauged(job, mark)
    for face in piece.faces:
        axis = 2 if face in (Face.EDGE, Face.FAR_EDGE) else 1
        seen = {spot[axis] for start, end, _ in piece.lines(face) for spot in (start, end)}
        seen |= {bore.centre[axis] for bore in piece.piece.bores if bore.face is face}
        told = {level for end in (Face.A, Face.B) for level in piece.levels(face, end)}
        assert told <= seen, face


def test_the_words_give_both_ends_of_a_socket(job: Job) -> None:
    """24 - 2 x 1.75 = 20.5 at the mouth, 24 - 2 x 1.5 = 21 of the through ones."""
    assert job.space is not None
    told = {}
    for mark in ("F", "H"):
        piece = job.space.pieces[mark]
        told[mark] = cut_words(job, [cut for cut in piece.cuboids if cut.kind is FeatureKind.SOCKET], piece)
    assert told["F"] == "3 sockets 14 × 20.5, 14 deep, 24 at the wide end"
    assert told["H"] == "3 sockets 14 × 21, through, 24 at the wide end"
