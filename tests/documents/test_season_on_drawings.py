"""What a drawing says of the season stands among its other lines, in the form they have."""

from __future__ import annotations

from shopdocs.blocks.text import Bullets, Paragraph, plain
from shopdocs.blocks.walk import walk
from tests.sample_jobs import BY_NAME, document_of, sample_job


def test_the_season_of_a_drawn_piece_is_one_of_its_lines() -> None:
    """The sorting table's top is held by buttons: the drawing says what play they need, and what the build file's own
    notes say of it."""
    blocks = [*walk(document_of(sample_job(BY_NAME["sorting_table"], "mm"), "piece-drawings").blocks)]
    alone = [plain(block.text) for block in blocks if isinstance(block, Paragraph)]
    lines = [plain(item) for block in blocks if isinstance(block, Bullets) for item in block.items]

    assert not [words for words in alone if words.startswith("Allow for the season")]
    assert len([words for words in lines if words.startswith("Allow for the season: T: leave 2")]) == 1
