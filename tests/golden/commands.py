"""What the other commands say: `tally` of receipts that are right, wrong and doubtful, `stages` of every build that may
be glued, `compare` of a build before and after an edit. One text a receipt, a build and an edit, in
`tests/golden/said`; of sheets the words, and a sign of each page.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache, partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from shopdocs.core.problems import has_errors
from tests.golden import small
from tests.golden.dump import dumped, words
from tests.golden.edits import EDITS
from tests.golden.receipts import RECEIPTS
from tests.golden.told import told
from tests.values import replace

if TYPE_CHECKING:
    from shopdocs.blocks.sheets import Document, Imprint
    from shopdocs.documents.revised.state import BuildState

FOLDER = Path(__file__).parent / "said"
SAMPLES = Path(__file__).parents[2] / "sample_builds"
LARGE = ("table_of_shapes",)  # of its sheets the quickest to make alone are asked whether they are printed anew
SWIFT = ("threshold_bench", "seed_tote", "sorting_table", "loft_stool", "spice_cabinet")  # not the largest samples


@cache
def texts() -> dict[str, Callable[[], str]]:
    """What makes every text, by its name."""
    found: dict[str, Callable[[], str]] = {}
    for name, (build, _, _) in RECEIPTS.items():
        found[f"tally-{name}"] = partial(tally_text, name, build)
    for path in _builds():
        stem = path.parent.name if path.stem == "build" else path.stem
        found[f"stages-{stem}"] = partial(stages_text, path)
    for name in EDITS:
        found[f"compare-{name}"] = partial(compare_text, name)
    return found


def _builds() -> Iterator[Path]:
    yield from small.SMALL
    yield from (path for path, other in small.signed().values() if not other)
    yield from (SAMPLES / name / "build.yaml" for name in SWIFT)


def _shop(build: Path) -> str | None:
    shop = build.with_name(f"{build.stem}.shop.yaml")
    return str(shop) if shop.exists() else None


def _pages(document: Document, imprint: Imprint, key: str) -> str:
    from shopdocs.page.compose import compose
    from shopdocs.page.paper import paper
    from tests.golden.renew import sign_of
    from tests.golden.unseen import unseen_signs

    composed = compose((document,), imprint, paper(key))
    signs = "".join(f"{sign_of(dumped(frame))} {frame.document} {frame.number}\n" for frame in composed.frames)
    unseen = "".join(f"{sign} {name}\n" for name, sign in unseen_signs((document,), (), lines=True).items())
    return signs + unseen + words(composed)


def tally_text(name: str, build: str) -> str:
    """What `tally` tells, says and prints of a receipt."""
    from shopdocs.documents.tally import tally_sheet
    from shopdocs.documents.yard.receipts import TallyJob
    from shopdocs.pipeline import Request, tally
    from shopdocs.pipeline.checking import checked
    from shopdocs.source.given import read_given
    from shopdocs.source.receipts import read_receipt
    from shopdocs.work.boards.cure import refit
    from shopdocs.work.boards.receipts import measure

    (path,) = (path for path in small.SMALL if path.stem == build)
    _, ending, text = RECEIPTS[name]
    with TemporaryDirectory() as folder:
        receipt = Path(folder) / f"receipt.{ending}"
        receipt.write_text(text, "utf-8", newline="")
        outcome = tally(Request(build=str(path), shop=_shop(path)), str(receipt), str(Path(folder) / "out"))
        said = told(outcome.problems) + "".join(f"{line}\n" for line in outcome.said)
        if has_errors(outcome.problems):
            return said
        read = checked(str(path), _shop(path))
        assert read.build is not None and read.work is not None
        found, _ = read_receipt(read_given(str(receipt)), read.build)
        assert found is not None
        measured = measure(found, read.build, read.shop)
        laid = refit(read.build, read.shop, read.work.sawn, measured)
        job = TallyJob(read.build, read.shop, read.build.display, found, measured, laid)
        imprint = replace(job.imprint, check="nomadu")
        return said + _pages(tally_sheet(job), imprint, read.shop.paper or "a4")


def stages_text(path: Path) -> str:
    """The stages that are proposed, or why there are none; with a slow glue where the build names none."""
    from shopdocs.pipeline.proposal import propose_stages

    text = path.read_text("utf-8")
    with TemporaryDirectory() as folder:
        glued = Path(folder) / path.name
        glued.write_text(text if "\ngluing:" in text else f"{text}\ngluing: {{adhesive: liquid hide glue}}\n", "utf-8")
        problems, said = propose_stages(str(glued), _shop(path))
    return told(problems) + said


def compare_text(name: str) -> str:
    """What is said of an edit, and the sheet of changes."""
    from shopdocs.blocks.sheets import Imprint
    from shopdocs.documents.revised.compare import compare
    from shopdocs.documents.revised.sheet import change_lines, changes_sheet

    build, edits = EDITS[name]
    (path,) = (path for path in small.SMALL if path.stem == build)
    text = path.read_text("utf-8")
    for old, new in edits:
        assert text.count(old) >= 1, (name, old)
        text = text.replace(old, new)
    with TemporaryDirectory() as folder:
        edited = Path(folder) / path.name
        edited.write_text(text, "utf-8")
        if _shop(path):
            (Path(folder) / f"{path.stem}.shop.yaml").write_bytes(path.with_name(f"{path.stem}.shop.yaml").read_bytes())
        asked = ("labels",) if build in LARGE else ()
        changes = compare(_unedited(path, asked), _state(edited, asked))
    nameless = replace(changes, **{side: replace(getattr(changes, side), check_word="") for side in ("old", "new")})
    lines = "".join(f"{line}\n" for line in change_lines(nameless))
    imprint = Imprint(changes.new.title, changes.new.mark, "A", "", "", "nomadu")
    return lines + _pages(changes_sheet(nameless), imprint, "a4")


@cache
def _unedited(path: Path, sheets: tuple[str, ...]) -> BuildState:
    return _state(path, sheets)


def _state(path: Path, sheets: tuple[str, ...]) -> BuildState:
    """A build with these sheets; with all of them where none is named."""
    from shopdocs.documents.catalogue import make_documents
    from shopdocs.documents.job import make_job
    from shopdocs.documents.records import record_pages
    from shopdocs.documents.revised.state import state_of
    from shopdocs.pipeline.checking import checked

    found = checked(str(path), _shop(path))
    assert found.build is not None, found.problems
    job = make_job(found.build, found.shop, found.build.display, "", "cut", work=found.work)
    return state_of(job, make_documents(job, sheets), record_pages(job))


def file_of(name: str) -> Path:
    return FOLDER / f"{name}.txt"


def names_kept() -> list[str]:
    """The names of what was read last."""
    return sorted(path.stem for path in FOLDER.glob("*.txt"))


def kept(name: str) -> str:
    """What was read last, "" for what is new."""
    path = file_of(name)
    return path.read_text("utf-8") if path.exists() else ""


def renew(write: bool) -> list[Path]:
    """The texts that are other now, are new or are no more; written anew where `write` says so."""
    now = {file_of(name): make() for name, make in texts().items()}
    FOLDER.mkdir(exist_ok=True)
    old = {path: path.read_text("utf-8") for path in FOLDER.glob("*.txt")}
    changed = sorted(path for path in now.keys() | old.keys() if now.get(path) != old.get(path))
    for path in changed if write else ():
        if path in now:
            path.write_text(now[path], "utf-8")
        else:
            path.unlink()
    return changed
