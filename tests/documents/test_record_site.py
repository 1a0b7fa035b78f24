"""What stands around a piece on its record agrees with the sheets that it comes from."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopdocs.blocks.drawing import Drawing, Polygon, Stroke
from shopdocs.blocks.record_pages import Records
from shopdocs.blocks.sheets import Document
from shopdocs.blocks.text import Bullets, Facts, Heading, plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.core.display import Units
from shopdocs.documents.record_site import records_of
from shopdocs.documents.records import record_pages
from shopdocs.model.parts import MaterialKind
from shopdocs.records.site import record_site
from tests.sample_jobs import BOTH, BY_NAME, SAMPLES, job_of, sample_job


def site_of(folder: Path) -> Records:
    job = sample_job(folder, "in")
    return records_of(job, record_pages(job))


def section(page: Document, title: str) -> list[object]:
    """The blocks below a heading, up to the next one."""
    starts = [i for i, block in enumerate(page.blocks) if isinstance(block, Heading) and block.text == title]
    if not starts:
        return []
    rest = page.blocks[starts[0] + 1 :]
    end = next((i for i, block in enumerate(rest) if isinstance(block, Heading)), len(rest))
    return list(rest[:end])


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_every_piece_is_listed_by_mark_stage_and_board(folder: Path) -> None:
    site, job = site_of(folder), sample_job(folder, "in")
    names = [page.name for page in site.pages]
    for listing in site.listings:
        listed = [name for _, group in listing.groups for name in group]
        assert set(listed) == set(names), listing.title
        if listing.title != "By board":  # strips of one piece may come from several boards
            assert len(listed) == len(names), listing.title
    assert [listing.title for listing in site.listings] == [
        "By mark",
        *(["By stage"] if job.stages else []),
        "By board",
    ]


def test_the_list_bears_the_name_of_the_build() -> None:
    """On the phone's tab and at the head of the list: what is being built, not what the file is called."""
    folder = BY_NAME["seed_tote"]
    page = dict(record_site(site_of(folder), sample_job(folder, "in").imprint))["index.html"].decode("utf-8")
    (title,) = re.findall(r"<title>(.*?)</title>", page)
    (head,) = re.findall(r"(?s)<h1[^>]*>(.*?)</h1>", page)
    assert "Seed-packet tote" in title and "Seed-packet tote" in head, (title, head)


@pytest.mark.parametrize("units", BOTH)
def test_sizes_stand_in_inches_and_millimetres(units: Units) -> None:
    """A side of the tote is 3/4 x 5-1/2 x 16 in: 19.05 x 139.7 x 406.4 mm, here rounded to half a millimetre."""
    page = next(page for page in record_pages(sample_job(BY_NAME["seed_tote"], units)) if page.title == "ST-S1")
    told = [plain(runs).replace("\u00a0", " ") for block in walk(page.blocks) for runs in texts(block)]
    assert any("³⁄₄ × 5¹⁄₂ × 16" in words and "19 × 139.5 × 406.5" in words for words in told), told


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_a_piece_lies_on_its_board_where_the_plan_has_it(folder: Path) -> None:
    site, job = site_of(folder), sample_job(folder, "in")
    sawn = [piece for plan in job.boards.materials for board in plan.boards for piece in board.pieces]
    assert sawn
    pages = {piece.mark: page for (_, piece), page in zip(job.build.pieces(), site.pages, strict=True)}
    for mark, page in pages.items():
        own = [piece for piece in sawn if piece.mark == mark]
        blocks = section(page, "Cut from")
        shades = [
            shape
            for block in blocks
            if isinstance(block, Drawing)
            for shape in block.shapes
            if isinstance(shape, Polygon) and shape.stroke is Stroke.REFERENCE
        ]
        drawn = {(p.points[0][0], p.points[0][1], p.points[2][0], p.points[2][1]) for p in shades}
        assert drawn == {(a.x, a.y, a.x + a.length, a.y + a.width) for a in (piece.area for piece in own)}
        told = [plain(item) for block in blocks if isinstance(block, Bullets) for item in block.items]
        assert len(told) == len(own)


def test_where_it_sits_comes_behind_the_sizes() -> None:
    bench = next(folder for folder in SAMPLES if folder.name == "threshold_bench")
    for page in site_of(bench).pages:
        kinds = [type(block) for block in page.blocks]
        sits = next(i for i, b in enumerate(page.blocks) if isinstance(b, Heading) and b.text == "Where it sits")
        assert kinds.index(Facts) < sits
        (picture,) = section(page, "Where it sits")[:1]
        assert isinstance(picture, Drawing)


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_only_steps_that_there_are_can_be_ticked(folder: Path) -> None:
    """A sheet is not planed, what is in no stage is not glued, and what goes in dry is fitted."""
    site, job = site_of(folder), sample_job(folder, "in")
    for (part, piece), page in zip(job.build.pieces(), site.pages, strict=True):
        steps = site.steps[page.name]
        assert steps[0] == "sawn"
        rough = job.build.material(part.material).kind not in (MaterialKind.SHEET, MaterialKind.SOFTWOOD)
        assert ("planed" in steps) == rough  # the softwood of the samples is dressed to what it stays
        assert ("glued" in steps or "fitted" in steps) == (piece.mark in job.stage_of)
        dry = part.strips == 1 and not any(joint.glued for joint, _ in job.meets[piece.mark])
        assert ("glued" in steps) == (piece.mark in job.stage_of and not dry)


def test_of_several_copies_each_is_found_and_ticked(tmp_path: Path) -> None:
    """Two at once: one record a piece of the description, two places on boards, two rows of ticks."""
    folder = next(folder for folder in SAMPLES if folder.name == "seed_tote")
    text = (folder / "build.yaml").read_text("utf-8").replace("build:\n", "build:\n  copies: 2\n", 1)
    (tmp_path / "build.yaml").write_text(text, "utf-8")
    job = job_of(tmp_path / "build.yaml")
    assert job.build.copies == 2
    site = records_of(job, record_pages(job))
    assert len(site.pages) == len(list(job.build.pieces()))
    for (part, piece), page in zip(job.build.pieces(), site.pages, strict=True):
        told = [plain(item) for b in section(page, "Cut from") if isinstance(b, Bullets) for item in b.items]
        assert len(told) == 2 * part.strips
        assert {line.split(":")[0][: len(piece.mark) + 2] for line in told} == {f"{piece.mark}·1", f"{piece.mark}·2"}
    files = dict(record_site(site, job.imprint))
    page = files[f"{site.pages[0].name}.html"].decode()
    assert 'name="sawn·1"' in page
    assert 'name="sawn·2"' in page


@pytest.mark.parametrize(
    ("sample", "mark", "steps"),
    [
        ("seed_tote", "e1", ("sawn", "shaped")),  # dressed pine that keeps its size, sawn to an outline
        ("seed_tote", "s1", ("sawn",)),
        ("sorting_table", "fl", ("sawn", "planed", "jointed", "drilled", "shaped", "glued")),  # a tapered leg
        ("loft_stool", "s", ("sawn", "planed", "jointed", "glued")),  # a square seat, glued up from strips
    ],
)
def test_what_is_ticked_off_is_what_is_done(sample: str, mark: str, steps: tuple[str, ...]) -> None:
    """By hand, from the builds: what is sawn from and to, and which cuts it has."""
    site = site_of(BY_NAME[sample])
    (told,) = [each for name, each in site.steps.items() if name.split("-")[-1] == mark]
    assert told == steps
