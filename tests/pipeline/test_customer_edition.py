"""The customer edition: everything to build by, and nothing that is the maker's own."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from shopdocs.blocks.text import Caution, plain
from shopdocs.blocks.walk import texts, walk
from shopdocs.cli import main
from shopdocs.documents.catalogue import make_documents
from shopdocs.documents.job import CUSTOMER, make_job
from shopdocs.facts.cautions import EPOXY_HEAT
from shopdocs.pipeline.checking import checked

BUILD = """\
build:
  title: Step stool
  mark: SS
  revision: B
  date: 3 March 2031
  maker: Una Tarr
  units: in
  licence: One stool from each copy of this plan.
materials:
  oak 4/4: {kind: hardwood, price: 987.65 per bf}
dimensions: {w: 14}
parts:
  side:
    material: oak 4/4
    size: 3/4 x 9 x 10
    runs: {length: z, width: y}
    private: Quibblewort gave me this board
    pieces: {L: {x: 0, y: 0, z: 0}, R: {mirror: L across x at w / 2}}
  tread:
    material: oak 4/4
    thickness: 3/4
    width: 9
    runs: {length: x, width: y}
    pieces: {T: {x: L.right to R.left, y: 0, z: 6}}
joints:
  tread into sides: {kind: housing, from: tread, into: side, depth: 1/4}
gluing:
  adhesive: white PVA
  stages:
    - {title: Stool, pieces: [L, R, T]}
"""
SHOP = """\
shop:
  name: Backlane Cooperage
  units: in
  currency: ZWQ
  kerf: 5/64
  prices: {oak 4/4: 543.21 per bf}
  clamps: {Hobdell cramp: 9}
  batch: 77 g
  yard: [{material: oak 4/4, width: 9-7/8, length: 99, price: 876.54 per piece}]
  rack: [{mark: RK77, material: oak 4/4, width: 10, length: 14}]
"""
# What stands in the files above and is the maker's own, and the folder they lie in.
OWN = ("987.65", "543.21", "876.54", "Quibblewort", "Backlane", "Cooperage", "ZWQ", "Hobdell", "RK77", "tallow-lane")


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("tallow-lane")
    (folder / "build.yaml").write_text(BUILD, "utf-8")
    (folder / "shop.yaml").write_text(SHOP, "utf-8")
    assert main(["render", str(folder / "build.yaml"), "--edition", "customer", "--out", str(folder / "plan")]) == 0
    return folder / "plan"


def _words(path: Path) -> str:
    """All that a reader or a program finds in a file, metadata and name too."""
    if path.suffix != ".pdf":
        return path.name + path.read_text("utf-8")
    reader = PdfReader(path)
    return " ".join(
        [path.name, str(reader.metadata), str(reader.xmp_metadata), *(page.extract_text() for page in reader.pages)]
    )


def test_a_plan_for_each_paper_and_rule_with_its_name(plan: Path) -> None:
    assert sorted(path.name for path in plan.glob("*.pdf")) == [
        *(f"printer-check-{paper}-{unit}.pdf" for paper in ("a4", "letter") for unit in ("inches", "millimetres")),
        *(
            f"step-stool-plan-revision-b-{paper}-{unit}.pdf"
            for paper in ("a4", "letter")
            for unit in ("inches", "millimetres")
        ),
    ]
    for path in plan.glob("step-stool*.pdf"):
        wide = float(PdfReader(path).pages[0].mediabox.width) / 72 * 25.4
        assert wide == pytest.approx(210 if "-a4-" in path.name else 215.9, abs=0.1)  # ISO 216; ANSI/ASME Y14.1
        assert ("Finished\nT × W × L, mm" in _words(path)) == ("millimetres" in path.name)


def test_nothing_of_the_maker_s_own_is_in_any_file(plan: Path) -> None:
    files = [path for path in plan.rglob("*") if path.is_file()]
    assert {path.suffix for path in files} >= {".pdf", ".html", ".csv", ".json", ".txt"}
    for path in files:
        told = _words(path).lower()
        assert not [word for word in OWN if word.lower() in told], path.name
    # the same words are in the maker's own set: the search would find them
    own = plan.parent / "own"
    assert main(["render", str(plan.parent / "build.yaml"), "--out", str(own)]) == 0
    said = " ".join(_words(path) for path in own.rglob("*") if path.is_file())
    for word in ("876.54", "Quibblewort", "ZWQ", "RK77"):
        assert word in said, word


def test_every_page_bears_revision_date_and_licence(plan: Path) -> None:
    for page in PdfReader(plan / "step-stool-plan-revision-b-a4-millimetres.pdf").pages:
        words = page.extract_text()
        assert "revision B" in words and "3 March 2031" in words
        assert "One stool from each copy of this plan." in words


def test_the_steps_name_sheets_that_are_there_with_their_pages(plan: Path) -> None:
    reader = PdfReader(plan / "step-stool-plan-revision-b-letter-inches.pdf")
    pages = [page.extract_text(extraction_mode="layout") for page in reader.pages]
    order = next(text for text in pages if "What you must be able to do" in text)
    cut = re.search(r"Cut list\s+(\d+)", order)
    assert cut is not None
    assert "What do I saw, from what, and how big at each step?" in pages[int(cut.group(1)) - 1]
    whole = " ".join(pages)
    for step in ("Saw and mill", "Cut the joints", "Dry fit", "Mark every joint", "Prepare the surfaces", "Glue up"):
        assert re.search(rf"\d\s+{step}", whole), step


@pytest.mark.parametrize(("adhesive", "hot"), [("slow epoxy", True), ("white PVA", False), ("hide glue", False)])
def test_the_glue_step_warns_of_heat_where_epoxy_is_mixed(tmp_path: Path, adhesive: str, hot: bool) -> None:
    (tmp_path / "build.yaml").write_text(BUILD.replace("white PVA", adhesive), "utf-8")
    (tmp_path / "shop.yaml").write_text("shop: {batch: 77 g}\n", "utf-8")
    found = checked(str(tmp_path / "build.yaml"), None)
    assert found.build is not None, found.problems
    job = make_job(found.build, found.shop, found.build.display, "", "cut", work=found.work, edition=CUSTOMER)
    (order,) = (made for made in make_documents(job) if made.name == "building-order")
    cautions = {block.title for block in walk(order.blocks) if isinstance(block, Caution)}
    assert (EPOXY_HEAT.title in cautions) is hot
    told = [plain(line) for block in walk(order.blocks) for line in texts(block)]
    assert any(line.split() == ["1", "Stool:", "L", "R", "T"] for line in told), told


@pytest.mark.parametrize(("coats", "told"), [(1, "1 coat"), (2, "2 coats")])
def test_coats_agree_with_their_number(tmp_path: Path, coats: int, told: str) -> None:
    text = re.sub(r"\nfinish:.*", "", BUILD) + f"\nfinish: {{kind: oil varnish, coats: {coats}}}\n"
    (tmp_path / "build.yaml").write_text(text, "utf-8")
    found = checked(str(tmp_path / "build.yaml"), None)
    assert found.build is not None, found.problems
    job = make_job(found.build, found.shop, found.build.display, "", "cut", work=found.work, edition=CUSTOMER)
    (order,) = (made for made in make_documents(job) if made.name == "building-order")
    said = [plain(line).replace("\u00a0", " ") for block in walk(order.blocks) for line in texts(block)]
    assert f"Apply oil varnish, {told}" in said and f"oil varnish, {told}" in said


def test_a_customer_edition_is_whole(plan: Path, capsys: pytest.CaptureFixture[str]) -> None:
    build = str(plan.parent / "build.yaml")
    assert main(["render", build, "--edition", "customer", "--only", "labels", "--out", str(plan)]) == 2
    assert capsys.readouterr().err.startswith("--edition:1:1: ")


def test_one_paper_and_rule_may_be_asked_for(plan: Path) -> None:
    out = plan.parent / "one"
    words = ["render", str(plan.parent / "build.yaml"), "--edition", "customer", "--paper", "a4", "--units", "mm"]
    assert main([*words, "--out", str(out)]) == 0
    assert len(list(out.glob("step-stool*.pdf"))) == 1
    assert (out / "records" / "index.html").is_file() and (out / "figures.json").is_file()
