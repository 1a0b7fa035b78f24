"""The sheets of small builds that reach what the samples do not: joints, cuts, hardware, papers, and what builds leave
out. The words of every sheet and a sign of every page (`renew.py`), one file a build, and a sign of every record page.

Some stand in `tests/golden/small`, the others are cases (`tests/cases`) whose doubts stop nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from tests.golden.dump import dumped, words
from tests.golden.told import CASES
from tests.values import replace

if TYPE_CHECKING:
    from shopdocs.documents.job import Job

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
SIGNS_ALONE = ("how-these-figures-are-made", "printer-check")  # their words are the same in nearly every set


def sheets(build_file: Path) -> str:
    """Every page by its sign, and what is written on it; laid out as build and shop file ask for it."""
    from shopdocs.documents.catalogue import make_documents
    from shopdocs.documents.job import make_job
    from shopdocs.page.compose import compose
    from shopdocs.page.paper import paper
    from shopdocs.pipeline.checking import checked
    from tests.golden.renew import sign_of

    shop = build_file.with_name(f"{build_file.stem}.shop.yaml")
    found = checked(str(build_file), str(shop) if shop.exists() else None)
    assert found.build is not None, found.problems
    build, key = found.build, found.shop.paper or ("letter" if found.build.units == "in" else "a4")
    job = make_job(build, found.shop, build.display, "", found.shop.labels or "cut", work=found.work)
    composed = compose(tuple(make_documents(job)), replace(job.imprint, check="nomadu"), paper(key))
    lines = [f"{sign_of(dumped(frame))} {frame.document} {frame.number}" for frame in composed.frames]
    lines += [f"{sign} record {name}" for name, sign in _records(job)]
    told = tuple(frame for frame in composed.frames if frame.document not in SIGNS_ALONE)
    notes = "".join(f"note {note}\n" for note in composed.notes)
    return "\n".join(lines) + "\n" + notes + words(replace(composed, frames=told))


def _records(job: Job) -> Iterator[tuple[str, str]]:
    """The record pages and their lists, by name, each with a sign of what stands on it."""
    from shopdocs.documents.record_site import records_of
    from shopdocs.documents.records import record_pages
    from shopdocs.records.site import record_site

    site = records_of(job, tuple(record_pages(job)))
    for name, content in record_site(site, replace(job.imprint, check="nomadu")):
        found = re.search(rb"(?s)<main.*</main>", content) if name.endswith(".html") else None
        if found is not None:
            yield name, sha256(found.group()).hexdigest()[:10]


def kept_sheets(build_file: Path) -> str:
    """What was looked at, "" for a build that is new."""
    path = FOLDER / f"{build_file.stem}.txt"
    return path.read_text("utf-8") if path.exists() else ""


def renew(write: bool) -> list[Path]:
    """The builds whose sheets are other now; written anew where `write` says so."""
    now = {FOLDER / f"{path.stem}.txt": sheets(path) for path in SMALL}
    old = {path: path.read_text("utf-8") for path in FOLDER.glob("*.txt")}
    changed = sorted(path for path in now.keys() | old.keys() if now.get(path) != old.get(path))
    for path in changed if write else ():
        if path in now:
            path.write_text(now[path], "utf-8")
        else:
            path.unlink()
    return changed
