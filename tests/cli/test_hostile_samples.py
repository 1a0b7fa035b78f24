"""Every sample once more as nobody planned it: on the other paper, in the other units, with the smallest labels, the
keys in another order. Nothing may fail, nothing may leave the page, and no length may change but in its display."""

from __future__ import annotations

import json
import random
from collections import defaultdict
from fractions import Fraction
from pathlib import Path
from typing import Any

import pypdfium2 as pdfium
import pypdfium2.raw as pdfium_c
import pytest
import yaml

from shopdocs.cli import main
from shopdocs.core.display import Units
from shopdocs.core.problems import has_errors
from shopdocs.output.figures_json import figures_json
from shopdocs.pipeline import check_build
from tests.sample_jobs import documents_of, job_of, records_of

SAMPLES = sorted((Path(__file__).parents[2] / "sample_builds").glob("*/build.yaml"))
OTHER: dict[str, Units] = {"in": "mm", "mm": "in"}
SMALLEST = {"letter": "letter-80", "a4": "a4-65"}


@pytest.fixture(scope="module", params=SAMPLES, ids=lambda path: path.parent.name)
def sample(request: pytest.FixtureRequest) -> Path:
    path: Path = request.param
    return path


def rendered(sample: Path, out: Path, *options: str) -> Path:
    assert main(["render", str(sample), "--out", str(out), *options]) == 0
    return out


@pytest.fixture(scope="module")
def hostile(sample: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    build, shop, _ = check_build(str(sample))
    assert build is not None
    paper = "a4" if (shop.paper or ("letter" if build.units == "in" else "a4")) == "letter" else "letter"
    options = ("--paper", paper, "--units", OTHER[build.units], "--labels", SMALLEST[paper], "--used", "3")
    return rendered(sample, tmp_path_factory.mktemp("hostile") / "set", *options)


def outside(path: Path) -> list[str]:
    """Characters whose box lies outside their page."""
    found = []
    document = pdfium.PdfDocument(path)
    for number, page in enumerate(document, 1):
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


def test_no_text_leaves_its_page(hostile: Path) -> None:
    assert outside(hostile / "set.pdf") == []


def test_text_outside_a_page_would_be_noticed(tmp_path: Path) -> None:
    from reportlab.pdfgen.canvas import Canvas

    canvas = Canvas(str(tmp_path / "x.pdf"), pagesize=(100, 100))
    canvas.drawString(90, 50, "beyond")
    canvas.save()
    assert len(outside(tmp_path / "x.pdf")) >= 3


def figures(out: Path) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads((out / "figures.json").read_text("utf-8"))["figures"]
    return found


# Which of its dimensions a drawing has room for, and where a template is laid out, depends on the width of the words.
LAID_OUT = (" · dimension", " · index", " · offcut · width", " · offcut · length")  # as much as the paper takes
WHOLE = ("title", "cut-list", "labels", "glue-up", "look-alikes", "mate-marks")


def test_units_change_nothing_but_the_display(sample: Path, hostile: Path) -> None:
    """Every figure that stands on both has the same exact value; on sheets that are the same sheet, every figure. The
    plain ones are those of the sample as it is written, on no paper."""
    job = job_of(sample)
    plain = json.loads(figures_json((*documents_of(job), *records_of(job)), job.imprint))["figures"]
    values: list[dict[tuple[str, str, str], list[Fraction]]] = []
    for found in (plain, figures(hostile)):
        by_name: dict[tuple[str, str, str], list[Fraction]] = defaultdict(list)
        for figure in found:
            if not figure["name"].endswith(LAID_OUT):
                key = (figure["document"], figure["name"], figure["unit"])
                by_name[key].append(Fraction(figure["exact"]))
        values.append({key: sorted(found) for key, found in by_name.items()})
    one, other = values
    common = one.keys() & other.keys()
    assert len(common) > 0.9 * len(one)
    assert {key: one[key] for key in common} == {key: other[key] for key in common}
    for key in one.keys() ^ other.keys():
        assert key[0] not in WHOLE, key


def test_every_figure_names_a_line_that_holds_it(sample: Path, hostile: Path) -> None:
    lines = {
        path.name: path.read_text("utf-8").split("\n")
        for path in (sample, sample.with_name("shop.yaml"))
        if path.exists()
    }
    named = 0
    for figure in figures(hostile):
        source = figure.get("source")
        if source and source["file"]:
            line = lines[source["file"]][source["line"] - 1]
            assert 1 <= source["column"] <= len(line) + 1, figure
            named += 1
    assert named > 30


def test_keys_in_another_order(sample: Path, tmp_path: Path) -> None:
    """The same build, other order: no error, and the same pieces."""

    def shuffled(value: Any, seed: random.Random) -> Any:
        if isinstance(value, dict):
            pairs = [(key, shuffled(inner, seed)) for key, inner in value.items()]
            seed.shuffle(pairs)
            return dict(pairs)
        return [shuffled(inner, seed) for inner in value] if isinstance(value, list) else value

    build, _, _ = check_build(str(sample))
    assert build is not None
    tree = yaml.load(sample.read_text("utf-8"), Loader=yaml.BaseLoader)
    for seed in range(3):
        path = tmp_path / f"{seed}.yaml"
        mixed = shuffled(tree, random.Random(seed))
        path.write_text(yaml.safe_dump(mixed, sort_keys=False, allow_unicode=True), "utf-8")
        other, _, problems = check_build(str(path), str(sample.with_name("shop.yaml")))
        assert not has_errors(problems)
        assert other is not None
        pieces = {piece.mark: (part.name, part.thickness, part.width, part.length) for part, piece in build.pieces()}
        assert pieces == {p.mark: (part.name, part.thickness, part.width, part.length) for part, p in other.pieces()}
