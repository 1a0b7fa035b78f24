"""A sheet is called the same in its file, on its pages and in the contents."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopdocs.documents.catalogue import NAMES, TITLE
from tests.sample_jobs import SAMPLES, sample_documents


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.name)
def test_files_are_called_by_the_titles_of_their_sheets(sample: Path) -> None:
    """By the whole title with hyphens for spaces, or by its first word; the title sheet bears the build's title."""
    for document in sample_documents(sample, "in"):
        if document.name != TITLE:
            slug = "-".join(document.title.lower().replace(":", "").split())
            assert document.name in (slug, slug.partition("-")[0]), (document.name, document.title)
        assert document.name in NAMES
