"""The golden form of the samples: every document as a text dump of its frames, `tests/golden/SAMPLE/DOCUMENT.txt`; of
some builds only the words of the sheets that are tables, so that a metric build and one without places are there too.
Of all samples, in both units, every page as a sign (`pages.txt`): what it shows is in no dump, but a page that changes
is named, and is to be looked at; and of each document a sign of what no page shows (`unseen.py`).

After a change to what stands on paper, look at the pages, then renew the dumps and read the difference:

    python tests/golden/renew.py             write all dumps anew
    python tests/golden/renew.py told        only what `check` says of cases and slips (told.py)
    python tests/golden/renew.py small       only the sheets of small builds (small.py)
    python tests/golden/renew.py said        only what the other commands say (commands.py)
    python tests/golden/renew.py --check     name the dumps that differ, write nothing (exit code 1 if any do)
    git diff tests/golden

The dumps are written with the sample's own paper and units and with the first answer of the layout search, so that the
same program gives the same text everywhere.
"""

from __future__ import annotations

import re
import sys
from collections import Counter
from hashlib import sha256
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))  # where `tests` is found, wherever this is called from

from shopdocs.pipeline import check_build
from tests.golden import commands, small, told
from tests.values import replace

GOLDEN = Path(__file__).parent
BUILDS = GOLDEN.parent.parent / "sample_builds"
# The smallest sample and the one that most sheets are tried with: large dumps are read by nobody.
WHOLE = [BUILDS / name / "build.yaml" for name in ("seed_tote", "threshold_bench")]
# A cabinet in millimetres, and a drawer with joints whose pieces have no places: which sheets.
WORDS = {
    BUILDS / "spice_cabinet" / "build.yaml": ("cut-list", "lumber"),
    GOLDEN / "loose_drawer" / "build.yaml": ("cut-list", "lumber", "glue-up", "finish"),
}
SAMPLES = [*WHOLE, *WORDS]
SIGNS = GOLDEN / "pages.txt"


def dumps(sample: Path) -> dict[Path, str]:
    """The text of every document of a sample, by the file it belongs into."""
    from shopdocs.documents.catalogue import make_documents
    from shopdocs.documents.job import make_job
    from shopdocs.page.compose import compose
    from shopdocs.page.paper import paper
    from tests.golden.dump import dump, words

    build, shop, _ = check_build(str(sample))
    assert build is not None
    key = shop.paper or ("letter" if build.units == "in" else "a4")
    labels = shop.labels or ("letter-30" if key == "letter" else "a4-21")
    job = make_job(build, shop, build.display, build.records or shop.records, labels)
    imprint = replace(job.imprint, check="nomadu")  # or a comment changed in a sample would change every dump
    folder = GOLDEN / sample.parent.name
    told, form = WORDS.get(sample), words if sample in WORDS else dump
    return {
        folder / f"{document.name}.txt": form(compose((document,), imprint, paper(key)))
        for document in make_documents(job, told or ())
    }


def stale(sample: Path) -> list[Path]:
    """Dumps that differ from what the program says now, are missing, or belong to a document that is no more."""
    now = dumps(sample)
    kept = {path: path.read_text("utf-8") for path in (GOLDEN / sample.parent.name).glob("*.txt")}
    return sorted(path for path in now.keys() | kept.keys() if now.get(path) != kept.get(path))


def page_signs(folder: Path) -> dict[str, str]:
    """A sign of what stands on each page of a sample under its head, where page number and check stand, to a tenth of a
    millimetre; by the sample, the units, the document and the page. And a sign of what no page of a document shows."""
    from tests.golden.dump import dumped
    from tests.golden.unseen import unseen_signs
    from tests.sample_jobs import BOTH, bound_documents, records_of, sample_job, sample_pages

    found: dict[str, str] = {}
    for units in BOTH:
        seen: Counter[str] = Counter()
        for frame in sample_pages(folder, units).frames:
            seen[frame.document] += 1
            found[f"{folder.name} {units} {frame.document} {seen[frame.document]}"] = sign_of(dumped(frame))
        for name, sign in unseen_signs(bound_documents(folder, units), records_of(sample_job(folder, units))).items():
            found[f"{folder.name} {units} {name}"] = sign
    return found


def sign_of(lines: list[str]) -> str:
    """The sign of a dumped page, of what stands under its head."""
    text = "\n".join(lines[1:])
    head = re.match(r"(?s).*?\bpage \d+ of \d+\n", text)
    below = text[head.end() :] if head else text
    return sha256(below.encode("utf-8")).hexdigest()[:10]


def kept_signs(folder: Path) -> dict[str, str]:
    """Those that were looked at."""
    lines = (line.rpartition(" ") for line in SIGNS.read_text("utf-8").splitlines())
    return {key: sign for key, _, sign in lines if key.startswith(f"{folder.name} ")}


def changed_pages(folder: Path) -> list[str]:
    """Pages of a sample that are other than those that were looked at, are new, or are no more."""
    now, kept = page_signs(folder), kept_signs(folder)
    return sorted(key for key in now.keys() | kept.keys() if now.get(key) != kept.get(key))


def main() -> int:
    write = "--check" not in sys.argv
    nets = {"told": told.renew, "small": small.renew, "said": commands.renew}
    alone = [name for name in nets if name in sys.argv]
    spoken = [path for name in alone or nets for path in nets[name](write)]
    print(*(path.relative_to(GOLDEN) for path in spoken), sep="\n", end="\n" if spoken else "")
    if alone:
        return 0 if write or not spoken else 1
    every = [path for sample in SAMPLES for path in stale(sample)]
    for path in every:
        print(path.relative_to(GOLDEN))
    folders = sorted(BUILDS.iterdir())
    pages = [page for folder in folders for page in changed_pages(folder)]
    print(*pages, sep="\n", end="\n" if pages else "")
    if not write:
        return 1 if spoken or every or pages else 0
    signs = {page: sign for folder in folders for page, sign in page_signs(folder).items()}
    SIGNS.write_text("".join(f"{page} {sign}\n" for page, sign in signs.items()), "utf-8")
    texts = {path: text for sample in SAMPLES for path, text in dumps(sample).items()}
    for path in every:
        if path in texts:
            path.parent.mkdir(exist_ok=True)
            path.write_text(texts[path], "utf-8")
        else:
            path.unlink()
    return 0


if __name__ == "__main__":
    sys.exit(main())
