"""What is drawn corner by corner: its lines lead to the table of its points, and to one that is there."""

from __future__ import annotations

from shopdocs.blocks.text import Bullets, Table, plain
from shopdocs.blocks.walk import walk
from tests.sample_jobs import BY_NAME, document_of, sample_job


def test_a_drawing_does_not_send_its_reader_to_itself() -> None:
    """The ends of the tote have their points in a table under the drawing."""
    blocks = [*walk(document_of(sample_job(BY_NAME["seed_tote"], "in"), "piece-drawings").blocks)]
    lines = [(n, plain(item)) for n, block in enumerate(blocks) if isinstance(block, Bullets) for item in block.items]
    ((where, told),) = [(n, line) for n, line in lines if line.startswith("End shape")]
    assert "its points are in the table below" in told and "piece drawing" not in told
    heads = [
        (n, [column.title for column in block.columns]) for n, block in enumerate(blocks) if isinstance(block, Table)
    ]
    assert [n for n, titles in heads if titles[:1] == ["Point"] and n > where]
