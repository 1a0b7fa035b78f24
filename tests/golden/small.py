"""The sheets of small builds that reach what the samples do not: joints, cuts, hardware, papers, and what builds leave
out. The words of every sheet and a sign of every page (`renew.py`), one file a build, and a sign of every record page.

Some stand in `tests/golden/small`, the others are cases (`tests/cases`) whose doubts stop nothing. All of them in the
other units on the other paper for customers, what stands in `tests/golden/small/others`, and all other cases whose
doubts stop nothing have signs alone (`signs.txt`).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from shopdocs.core.problems import has_errors
from tests.golden.dump import dumped, words
from tests.golden.told import CASES
from tests.values import replace

if TYPE_CHECKING:
    from shopdocs.blocks.sheets import Document
    from shopdocs.documents.job import Job
    from shopdocs.page.compose import Composed

FOLDER = Path(__file__).parent / "small"
OF_CASES = (
    "buttons",
    "gluing_a_shop_cannot",
    "gluing_too_short",
    "gluing_used_twice",
    "gluing_with_a_glue_of_its_own",
    "hung_on_a_wall",
    "mitred_frames",
    "movement_slots",
    "names_of_the_trade",
    "panel_in_a_frame",
    "pilots",
    "slivers",
    "usual_sizes",
)
SMALL = [
    *sorted(path for path in FOLDER.glob("*.yaml") if not path.name.endswith(".shop.yaml")),
    *(CASES / f"{name}.yaml" for name in OF_CASES),
]
LARGE = ("trestle", "tipped_aprons", "table_of_shapes")  # which take several seconds each
OTHERS = FOLDER / "others"  # that have signs alone: what neither samples nor cases have, as customers get it
SIGNED = FOLDER / "signs.txt"
SIGNS_ALONE = ("how-these-figures-are-made", "printer-check")  # their words are the same in nearly every set


def sheets(build_file: Path) -> str:
    """Every page by its sign, and what is written on it; laid out as build and shop file ask for it."""
    composed, signs = laid_out(build_file, False)
    lines = [f"{sign} {page}" for page, sign in signs.items()]
    told = tuple(frame for frame in composed.frames if frame.document not in SIGNS_ALONE)
    notes = "".join(f"note {note}\n" for note in composed.notes)
    return "\n".join(lines) + "\n" + notes + words(replace(composed, frames=told))


def laid_out(build_file: Path, other: bool) -> tuple[Composed, dict[str, str]]:
    """The pages as build and shop file ask for them, or in the `other` units on the other paper for customers; a sign
    of each page, of each record page, of what no page shows, and of the state that a later revision is held against."""
    from shopdocs.documents.catalogue import make_documents
    from shopdocs.documents.job import CUSTOMER, make_job
    from shopdocs.documents.records import record_pages
    from shopdocs.documents.revised.state import state_of
    from shopdocs.page.compose import compose
    from shopdocs.page.paper import paper
    from shopdocs.pipeline.checking import checked
    from tests.golden.renew import sign_of
    from tests.golden.unseen import sign_of as sign_of_all
    from tests.golden.unseen import unseen_signs

    shop = build_file.with_name(f"{build_file.stem}.shop.yaml")
    found = checked(str(build_file), str(shop) if shop.exists() else None)
    assert found.build is not None, found.problems
    build, key = found.build, found.shop.paper or ("letter" if found.build.units == "in" else "a4")
    display, bench, labels = build.display, found.shop, found.shop.labels or "cut"
    if other:
        display, key = display.turned(), "a4" if key == "letter" else "letter"
        bench, labels = replace(bench, paper=key), "cut"
    edition = CUSTOMER if other or build_file.parent == OTHERS else ""
    job = make_job(build, bench, display, "", labels, work=found.work, edition=edition)
    documents, records = tuple(make_documents(job)), tuple(record_pages(job))
    composed = compose(documents, replace(job.imprint, check="nomadu"), paper(key))
    signs = {f"{frame.document} {frame.number}": sign_of(dumped(frame)) for frame in composed.frames}
    signs |= unseen_signs(documents, records, lines=True)
    state = replace(state_of(job, documents, records), check_word="", labels={}, records={}, templates={}, sheets={})
    signs["state unseen"] = sign_of_all(state)
    return composed, signs | {f"record {name}": sign for name, sign in _records(job, records)}


def by_sheet(text: str) -> dict[str, str]:
    """What `sheets` says, by the sheet: its signs and its words, without the numbers of pages in the set."""
    found: dict[str, list[str]] = {}
    name = ""
    for line in text.splitlines():
        page = re.match(r"page \d+ (\S+) ", line)
        signed = re.match(r"[0-9a-f]{10} (\S+)", line)
        name = page[1] if page else signed[1] if signed else "note" if line.startswith("note ") else name
        found.setdefault(name, []).append(re.sub(r"^page \d+ |page \d+ of \d+", "page", line))
    return {name: "\n".join(lines) for name, lines in found.items()}


def _records(job: Job, records: tuple[Document, ...]) -> Iterator[tuple[str, str]]:
    """The record pages and their lists, by name, each with a sign of what stands on it."""
    from shopdocs.documents.record_site import records_of
    from shopdocs.records.site import record_site

    site = records_of(job, records)
    for name, content in record_site(site, replace(job.imprint, check="nomadu")):
        found = re.search(rb"(?s)<main.*</main>", content) if name.endswith(".html") else None
        if found is not None:
            yield name, sha256(found.group()).hexdigest()[:10]


def kept_sheets(build_file: Path) -> str:
    """What was looked at, "" for a build that is new."""
    path = FOLDER / f"{build_file.stem}.txt"
    return path.read_text("utf-8") if path.exists() else ""


@cache
def signed() -> dict[str, tuple[Path, bool]]:
    """What has signs alone, by its name: the build, and whether in the other units on the other paper."""
    from tests.test_cases import BUILDS, problems

    found = {f"{path.stem}-otherwise": (path, True) for path in SMALL}
    found |= {path.stem: (path, False) for path in sorted(OTHERS.glob("*.yaml"))}
    for path in BUILDS:
        if path not in SMALL and not has_errors(problems(path)):
            found[path.stem] = (path, False)
    return found


def signs(name: str, build_file: Path, other: bool) -> list[str]:
    """The signs of its pages and record pages, a line each."""
    return [f"{name} {page} {sign}" for page, sign in laid_out(build_file, other)[1].items()]


def kept_signs() -> dict[str, list[str]]:
    """Those that were looked at, by the name."""
    found: dict[str, list[str]] = {}
    for line in SIGNED.read_text("utf-8").splitlines() if SIGNED.exists() else ():
        found.setdefault(line.partition(" ")[0], []).append(line)
    return found


def renew(write: bool) -> list[Path]:
    """The builds whose sheets are other now; written anew where `write` says so."""
    now = {FOLDER / f"{path.stem}.txt": sheets(path) for path in SMALL}
    lines = [line for name, (path, other) in signed().items() for line in signs(name, path, other)]
    now[SIGNED] = "".join(f"{line}\n" for line in lines)
    old = {path: path.read_text("utf-8") for path in FOLDER.glob("*.txt")}
    changed = sorted(path for path in now.keys() | old.keys() if now.get(path) != old.get(path))
    for path in changed if write else ():
        if path in now:
            path.write_text(now[path], "utf-8")
        else:
            path.unlink()
    return changed
