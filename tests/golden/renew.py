"""The golden form of the samples: every document as a text dump of its frames, `tests/golden/SAMPLE/DOCUMENT.txt`; of
some builds only the words of the sheets that are tables, so that a metric build and one without places are there too.

After a change to what stands on paper, look at the pages, then renew the dumps and read the difference:

    python tests/golden/renew.py             write all dumps anew
    python tests/golden/renew.py --check     name the dumps that differ, write nothing (exit code 1 if any do)
    git diff tests/golden

The dumps are written with the sample's own paper and units and with the first answer of the layout search, so that the
same program gives the same text everywhere.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

from shopdocs.pipeline import check_build

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


def main() -> int:
    every = [path for sample in SAMPLES for path in stale(sample)]
    for path in every:
        print(path.relative_to(GOLDEN))
    if "--check" in sys.argv:
        return 1 if every else 0
    texts = {path: text for sample in SAMPLES for path, text in dumps(sample).items()}
    for path in every:
        if path in texts:
            path.parent.mkdir(exist_ok=True)
            path.write_text(texts[path], "utf-8")
        else:
            path.unlink()
    return 0


if __name__ == "__main__":
    sys.path.insert(0, str(GOLDEN.parent.parent))  # where `tests` is found, wherever this is called from
    sys.exit(main())
