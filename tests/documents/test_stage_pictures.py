"""Pictures of the stages of a large build."""

from __future__ import annotations

from itertools import pairwise

from shopdocs.blocks.drawing import Drawing, Leader
from shopdocs.blocks.text import Heading
from tests.sample_jobs import SAMPLES, sample_documents, sample_job

TABLE = next(folder for folder in SAMPLES if folder.name == "potting_table")


def labels() -> dict[str, set[str]]:
    (document,) = (d for d in sample_documents(TABLE, "mm") if d.name == "exploded")
    return {
        one.text: {shape.text for shape in two.shapes if isinstance(shape, Leader)}
        for one, two in pairwise(document.blocks)
        if isinstance(one, Heading) and isinstance(two, Drawing)
    }


def test_a_stage_that_takes_earlier_ones_shows_them_with_what_is_new() -> None:
    """As the build file says: the whole frame is two stretchers and what the first three stages glued."""
    found = labels()
    assert found["Stage 4, Whole frame"] == {"LS1", "LS2", "Left end", "Right end", "Drawer frame"}
    assert found["Stage 1, Left end"] == {"FL", "BL", "AL", "EL"}


def test_every_piece_has_its_mark_in_one_of_them() -> None:
    marks = {piece.mark for _, piece in sample_job(TABLE, "mm").build.pieces()}
    assert marks <= {label for some in labels().values() for label in some}
