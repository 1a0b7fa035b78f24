"""A picture of the whole build that is too low for its marks has no room for them where it is lower still: what is not
tried again would not have been found."""

from __future__ import annotations

import pytest

from shopdocs.blocks.drawing import Drawing
from shopdocs.documents import exploded
from shopdocs.documents.drawn.build_pictures import taken_apart
from shopdocs.documents.exploded import ENOUGH_SHARE, LEAST_SHARE, marks_of_picture, page_mm
from tests.sample_jobs import BY_NAME, sample_job


@pytest.mark.thorough
@pytest.mark.parametrize("name", ["plate_rack", "potting_table", "spice_cabinet"])
def test_no_lower_height_has_room_for_every_mark(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Against every height tried: the shares of the page that are left out, and those that are tried."""
    job = sample_job(BY_NAME[name], "in" if name in ("plate_rack", "spice_cabinet") else "mm")
    wide, tall = page_mm(job)
    tried: list[tuple[float, bool]] = []

    def told(*asked: object, **more: object) -> object:
        found = taken_apart(*asked, **more)  # type: ignore[arg-type]
        tried.append((asked[1][1], not found[1].unmarked))  # type: ignore[index]
        return found

    monkeypatch.setattr(exploded, "taken_apart", told)
    document = exploded.exploded_drawing(job)
    assert len({high for high, _ in tried}) == len(tried), "a height was tried twice"
    short = max((high for high, all_marked in tried if not all_marked), default=0.0)
    assert short, "this sample tells nothing"
    for share in (LEAST_SHARE, ENOUGH_SHARE):
        if tall * share <= short:
            assert taken_apart(job, (wide, tall * share), marks_of_picture(job), whole=True)[1].unmarked
    low = document.ahead[2]
    assert isinstance(low, Drawing) and not low.larger  # the picture as it is, for no lower one would do
