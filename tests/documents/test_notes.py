"""Whatever a maker notes down stands on paper: every `note` of the build language, and the steps of the finish."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopdocs.blocks.sheets import Document
from shopdocs.blocks.text import Caution, plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.documents.catalogue import make_documents
from shopdocs.documents.job import Job, make_job
from shopdocs.facts.cautions import EPOXY_HEAT, FINISH_VAPOUR, OILY_RAGS, ON_A_WALL
from shopdocs.facts.finish_types import FINISHES
from shopdocs.pipeline import check_build
from shopdocs.source.schema import build_schema
from tests.sample_jobs import documents_of
from tests.sample_jobs import job_of as sample_job_of

SAMPLES = Path(__file__).parents[2] / "sample_builds"
# Words that stand nowhere else, at every place of the language that takes a note.
NOTED = """
build: {title: Test rack, mark: T, units: mm, free standing: no}
materials:
  oak 27: {kind: hardwood, rough: 27, note: MaterialKeys noted}
parts:
  side:
    material: oak 27
    size: 20 x 100 x 300
    runs: {length: z, width: y}
    pieces:
      L: {x: 0, y: 0, z: 0, note: PieceKeys noted}
      R: {x: 220, y: 0, z: 0}
    note: PartKeys noted
  rail:
    material: oak 27
    thickness: 20
    width: 100
    runs: {length: x, width: y}
    pieces:
      E: {x: L.right to R.left, y: 0, z: 100}
joints:
  rail: {kind: housing, from: rail, into: side, depth: 6, note: JointKeys noted}
hardware:
  knob: {holes: [{bit: 6}], on: [{piece: L, face: face, along: 150, across: 50}], note: HardwareKeys noted}
  peg: {holes: [{bit: 8}], on: [{piece: R, face: face, along: 50, across: 50}], count: 0, note: Unbought noted}
cuts:
  pull: {kind: recess, depth: 3, on: [{piece: E, face: face, along: 20 to 60, across: 0 to 10}], note: CutKeys noted}
gluing:
  adhesive: slow epoxy
  note: GluingKeys noted
  stages:
    - {title: All, pieces: [L, R, E], note: StageKeys noted}
finish: {kind: tung oil, steps: [First step noted, Second step noted], note: FinishKeys noted}
"""


def job_of(text: str, folder: Path) -> Job:
    file = folder / "build.yaml"
    file.write_text(text)
    build, shop, problems = check_build(str(file))
    assert build is not None, [problem.wrong for problem in problems]
    return make_job(build, shop, build.display, "", "letter-30")


def printed(documents: tuple[Document, ...]) -> str:
    return "\n".join(plain(line) for d in documents for block in walk(d.blocks) for line in texts(block))


def cautions(job: Job, name: str) -> set[str]:
    made = next(d for d in make_documents(job) if d.name == name)
    return {block.title for block in walk(made.blocks) if isinstance(block, Caution)}


def test_the_build_below_has_every_note_there_is() -> None:
    """The schema is asked for all groups of keys that take a note, so that a new one cannot be forgotten here."""
    groups = {name for name, group in build_schema()["$defs"].items() if "note" in group["properties"]}
    groups |= {"PieceKeys"}  # read apart, for it may be a list of marks as well
    assert groups == set(re.findall(r"note: (\w+Keys) noted", NOTED))


def test_every_note_stands_on_paper(tmp_path: Path) -> None:
    made = printed(make_documents(job_of(NOTED, tmp_path)))
    for words in re.findall(r"[\w ]+ noted", NOTED):
        assert words.split(": ")[-1].strip() in made


def _on_one_line(found: re.Match[str]) -> str:
    return "note: " + " ".join(found[1].split()) + "\n"


@pytest.mark.parametrize("name", [path.name for path in sorted(SAMPLES.iterdir())])
def test_every_note_of_a_sample_stands_on_paper(name: str) -> None:
    """Asked of the text of the file, not of what was read from it."""
    file = SAMPLES / name / "build.yaml"
    sheets = ("cut-list", "shopping", "piece-drawings", "glue-up", "finish")
    made = printed(tuple(document for document in documents_of(sample_job_of(file)) if document.name in sheets))
    folded = re.sub(r"note: >\n((?: {6,}.*\n)+)", _on_one_line, file.read_text("utf-8"))
    notes = re.findall(r"\bnote: ([^}\n]+)", folded)
    assert notes or name == "nothing noted"
    for note in notes:
        assert note.strip().strip("'").replace("3/8 in", "³⁄₈ in").replace("1/8 in", "¹⁄₈ in") in made


def test_joint_notes_stand_at_the_drawings_and_the_glue_up(tmp_path: Path) -> None:
    """Not among the mate marks as well, where nothing is cut or glued."""
    made = {d.name: printed((d,)) for d in make_documents(job_of(NOTED, tmp_path))}
    assert "JointKeys noted" not in made["mate-marks"]
    for name in ("piece-drawings", "glue-up"):
        assert "JointKeys noted" in made[name]
    assert all(words in made["cut-list"] for words in ("PartKeys noted", "PieceKeys noted"))


@pytest.mark.parametrize("kind", [row.kind for row in FINISHES])
def test_a_finish_says_what_to_beware_of(kind: str, tmp_path: Path) -> None:
    """Spirit, thinner and drying oil ask for open windows; fire codes speak of oily rags."""
    job = job_of(NOTED.replace("tung oil", kind), tmp_path)
    told = cautions(job, "finish")
    assert (FINISH_VAPOUR.title in told) is (kind != "waterborne varnish")
    assert (OILY_RAGS.title in told) is (kind not in ("shellac", "waterborne varnish"))


def test_what_hangs_says_so_and_what_stands_does_not(tmp_path: Path) -> None:
    assert ON_A_WALL.title in cautions(job_of(NOTED, tmp_path), "title")
    standing = NOTED.replace(", free standing: no", "")
    assert ON_A_WALL.title not in cautions(job_of(standing, tmp_path), "title")
    assert all(word in ON_A_WALL.text for word in ("fixings", "load", "wires", "pipes"))
    assert "allergy" in EPOXY_HEAT.text


def test_a_mix_that_is_larger_than_needed_says_why(tmp_path: Path) -> None:
    """Two housings of 20 × 100 mm want far less than 15 g of epoxy: 2 × about 3000 mm² at 200 g/m² is under 2 g."""
    made = {d.name: printed((d,)) for d in make_documents(job_of(NOTED, tmp_path))}
    assert "15 g, the smallest mix" in made["glue-up"]
    assert "1 mix of 15 g, as little as can be weighed accurately" in made["shopping"]
    large = NOTED.replace("slow epoxy", "yellow PVA")
    assert "smallest mix" not in "".join(printed((d,)) for d in make_documents(job_of(large, tmp_path)))


def test_labels_come_off_after_the_marks_and_those_after_the_dry_fit(tmp_path: Path) -> None:
    """The marks are pencilled at the dry fit, as the mate marks sheet says, and only then the labels go."""
    made = {d.name: printed((d,)) for d in make_documents(job_of(NOTED, tmp_path))}
    lines = made["glue-up"].split("\n")
    step = next(line for line in lines if line.startswith("Dry fit"))
    assert step.index("Dry fit") < step.index("marks on") < step.index("labels off")
    assert "dry fit and before any label comes off" in " ".join(made["mate-marks"].split())
    assert any(line.startswith("Mix ") for line in lines) and not any("Open the glue" in line for line in lines)
