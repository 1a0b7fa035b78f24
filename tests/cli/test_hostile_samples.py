"""Every sample once more as nobody planned it: on the other paper, in the other units, with the smallest labels, the
keys in another order. Nothing may fail, nothing may leave the page, and no length may change but in its display."""

from __future__ import annotations

import json
import random
import re
from collections import defaultdict
from collections.abc import Sequence
from fractions import Fraction
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c
import pytest
import yaml

from shopdocs.blocks.sheets import Document
from shopdocs.cli import main
from shopdocs.core.display import Units
from shopdocs.core.problems import has_errors
from shopdocs.documents.labels import labels
from shopdocs.output.figures_json import figures_json
from shopdocs.output.pdf import write_pdf
from shopdocs.page.compose import compose
from shopdocs.page.paper import paper
from shopdocs.pipeline import check_build
from tests.sample_jobs import (
    BY_NAME,
    PAPER,
    SAMPLES,
    checked_sample,
    documents_of,
    job_of,
    own_units,
    records_of,
    sample_job,
    sample_pdf,
)
from tests.values import replace

OTHER: dict[Units, Units] = {"in": "mm", "mm": "in"}
SMALLEST = {"letter": "letter-80", "a4": "a4-65"}
USED = 3  # labels of the first sheet
each_sample = pytest.mark.parametrize("folder", SAMPLES, ids=lambda path: path.name)


def turned(folder: Path) -> tuple[Units, str]:
    """The units a sample is not written in, and the paper that is not its own."""
    units = OTHER[own_units(folder)]
    assert checked_sample(folder).shop.paper != PAPER[units]
    return units, PAPER[units]


@cache
def hostile(folder: Path) -> tuple[Document, ...]:
    """The documents of a sample that way."""
    units, key = turned(folder)
    job = sample_job(folder, units)
    small = labels(replace(job, label_sheet=SMALLEST[key], shop=replace(job.shop, labels_used=USED)))
    return tuple(small if document.name == "labels" else document for document in documents_of(job))


def outside(written: bytes) -> list[str]:
    """Characters whose box lies outside their page."""
    found = []
    for number, page in enumerate(pdfium.PdfDocument(written), 1):
        width, height = page.get_size()
        words = page.get_textpage()
        for index in range(words.count_chars()):
            code = pdfium_c.FPDFText_GetUnicode(words, index)
            if chr(code).isspace():
                continue
            left, low, right, high = words.get_charbox(index)
            if left < -0.01 or low < -0.01 or right > width + 0.01 or high > height + 0.01:
                found.append(f"page {number}: '{chr(code)}' at {left:.1f},{low:.1f}")
    return found


def pages_of(folder: Path, documents: Sequence[Document]) -> bytes:
    units, key = turned(folder)
    target = BytesIO()
    write_pdf(compose(documents, sample_job(folder, units).imprint, paper(key)), target)
    return target.getvalue()


@pytest.mark.thorough
@each_sample
def test_no_text_leaves_its_page(folder: Path) -> None:
    assert outside(sample_pdf(folder, turned(folder)[0])) == []
    assert outside(pages_of(folder, [document for document in hostile(folder) if document.name == "labels"])) == []


def test_text_outside_a_page_would_be_noticed() -> None:
    from reportlab.pdfgen.canvas import Canvas

    target = BytesIO()
    canvas = Canvas(target, pagesize=(100, 100))
    canvas.drawString(90, 50, "beyond")
    canvas.save()
    assert len(outside(target.getvalue())) >= 3


def figures(folder: Path) -> list[dict[str, Any]]:
    """Those of the documents and the record pages of a sample that way."""
    job = sample_job(folder, turned(folder)[0])
    return listed(figures_json((*hostile(folder), *records_of(job)), job.imprint))


def listed(text: str | bytes) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads(text)["figures"]
    return found


def test_the_command_prints_the_same_figures(tmp_path: Path) -> None:
    """What was asked for on the command line is what the other tests look at."""
    folder = BY_NAME["seed_tote"]
    units, key = turned(folder)
    options = ("--paper", key, "--units", units, "--labels", SMALLEST[key], "--used", str(USED))
    assert main(["render", str(folder / "build.yaml"), "--out", str(tmp_path / "set"), *options]) == 0
    sheets = {document.name for document in hostile(folder)}
    found = listed((tmp_path / "set" / "figures.json").read_text("utf-8"))
    assert [one for one in found if one["document"] in sheets] == [
        one for one in figures(folder) if one["document"] in sheets
    ]
    assert outside((tmp_path / "set" / "set.pdf").read_bytes()) == []


# Which of its dimensions a drawing has room for, and where a template is laid out, depends on the width of the words.
# as much as the paper takes, an arch at even steps of the rule that is printed, clamps by whole inches or 10 mm
LAID_OUT = re.compile(r" · (dimension|index|offcut · (width|length)|step|(height|out|left) \d+|pads)$| opened to$")
WHOLE = ("title", "cut-list", "labels", "glue-up", "look-alikes", "mate-marks")


@pytest.mark.thorough
@each_sample
def test_units_change_nothing_but_the_display(folder: Path) -> None:
    """Every figure that stands on both has the same exact value; on sheets that are the same sheet, every figure. The
    plain ones are those of the sample as it is written, on no paper."""
    job = job_of(folder / "build.yaml")
    plain = listed(figures_json((*documents_of(job), *records_of(job)), job.imprint))
    values: list[dict[tuple[str, str, str], list[Fraction]]] = []
    for found in (plain, figures(folder)):
        by_name: dict[tuple[str, str, str], list[Fraction]] = defaultdict(list)
        for figure in found:
            if not LAID_OUT.search(figure["name"]):
                key = (figure["document"], figure["name"], figure["unit"])
                by_name[key].append(Fraction(figure["exact"]))
        # a mirrored pair is drawn together on one paper and apart on another: its size stands there once or twice
        values.append({k: sorted(set(v) if k[0] == "piece-drawings" else v) for k, v in by_name.items()})
    one, other = values
    common = one.keys() & other.keys()
    assert len(common) > 0.9 * len(one)
    assert {key: one[key] for key in common} == {key: other[key] for key in common}
    for key in one.keys() ^ other.keys():
        assert key[0] not in WHOLE, key


@pytest.mark.thorough
@each_sample
def test_every_figure_names_a_line_that_holds_it(folder: Path) -> None:
    lines = {
        path.name: path.read_text("utf-8").split("\n")
        for path in (folder / "build.yaml", folder / "shop.yaml")
        if path.exists()
    }
    named = 0
    for figure in figures(folder):
        source = figure.get("source")
        if source and source["file"]:
            line = lines[source["file"]][source["line"] - 1]
            assert 1 <= source["column"] <= len(line) + 1, figure
            named += 1
    assert named > 30


@pytest.mark.thorough
@each_sample
def test_keys_in_another_order(folder: Path, tmp_path: Path) -> None:
    """The same build, other order: no error, and the same pieces."""

    def shuffled(value: Any, seed: random.Random) -> Any:
        if isinstance(value, dict):
            pairs = [(key, shuffled(inner, seed)) for key, inner in value.items()]
            seed.shuffle(pairs)
            return dict(pairs)
        return [shuffled(inner, seed) for inner in value] if isinstance(value, list) else value

    build = checked_sample(folder).build
    assert build is not None
    tree = yaml.load((folder / "build.yaml").read_text("utf-8"), Loader=yaml.BaseLoader)
    for seed in range(3):
        path = tmp_path / f"{seed}.yaml"
        mixed = shuffled(tree, random.Random(seed))
        path.write_text(yaml.safe_dump(mixed, sort_keys=False, allow_unicode=True), "utf-8")
        other, _, problems = check_build(str(path), str(folder / "shop.yaml"))
        assert not has_errors(problems)
        assert other is not None
        pieces = {piece.mark: (part.name, part.thickness, part.width, part.length) for part, piece in build.pieces()}
        assert pieces == {p.mark: (part.name, part.thickness, part.width, part.length) for part, p in other.pieces()}
