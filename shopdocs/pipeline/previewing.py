"""A build that is looked at again whenever its text is saved: problems and pictures at once, a sheet when asked for.

What was made last from a text without errors stays until the next such text, with the problems of the newer one beside
it. One thread looks; others may ask for what is shown and for sheets at any time.
"""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.problems import Position, Problem, error, has_errors, in_reading_order
from shopdocs.pipeline.asked import as_asked, job_of
from shopdocs.pipeline.checking import checked
from shopdocs.pipeline.request import Request

if TYPE_CHECKING:
    from shopdocs.documents.job import Job
    from shopdocs.page.compose import Composed

STANDING_MM, APART_MM = (120.0, 100.0), (170.0, 160.0)
MOST_TOLD = 100  # problems


class Told(Struct, frozen=True):
    """One problem: where ("build.yaml:12:3"), what, and whether it keeps the set from being made."""

    where: str
    words: str
    wrong: bool


class Shown(Struct, frozen=True):
    """What there is to see. `run` counts every step that changed something, `good` the texts without errors; `busy`
    while a newer text is looked at; `current` says whether pictures and sheets are those of the last text. `pictures`
    are SVG by name, `sheets` the names of the documents that the build has."""

    run: int = 0
    good: int = 0
    busy: bool = True
    current: bool = False
    title: str = ""
    check_word: str = ""
    problems: tuple[Told, ...] = ()
    pictures: tuple[tuple[str, str], ...] = ()
    sheets: tuple[str, ...] = ()


class Preview:
    """The build in the file `build`, with `shop` or the shop file beside it."""

    def __init__(self, build: str, shop: str | None = None) -> None:
        self.request = Request(build=build, shop=shop)
        self.shown = Shown()
        self._job: Job | None = None
        self._sheets: dict[tuple[int, str], Composed] = {}
        self._lock = Lock()

    @property
    def files(self) -> tuple[Path, ...]:
        """What it is made from, whether it is there or not."""
        beside = Path(self.request.build).parent / "shop.yaml"
        return (Path(self.request.build), Path(self.request.shop) if self.request.shop else beside)

    def look(self) -> None:
        """Read the files again. Never raises: a fault of our own is told as a problem, and what was good stays."""
        self._show(busy=True)
        try:
            self._look()
        except Exception as fault:
            at = Position(self.request.build, 1, 1)
            words = f"shopdocs itself failed here ({type(fault).__name__}: {fault})"
            self._show(problems=_told([error(at, "fault", words, "what was good before is still shown")]))
        self._show(busy=False)

    def _look(self) -> None:
        found = checked(self.request.build, self.request.shop)
        work, problems = found.work, found.problems
        if work is None or has_errors(problems):
            self._show(problems=_told(problems), current=False)
            return
        shop, display, more = as_asked(self.request, work.build, found.shop)
        problems = in_reading_order((*problems, *more))
        if has_errors(problems):
            self._show(problems=_told(problems), current=False)
            return
        self._show(problems=_told(problems), current=False)
        job = job_of(self.request, work, shop, display)
        pictures = _pictures(job)
        with self._lock:
            self._job = job
            self._sheets.clear()
            self._show(
                good=self.shown.good + 1,
                current=True,
                title=job.build.title,
                check_word=job.check_word,
                pictures=pictures,
                sheets=_names(job),
            )

    def _show(self, **changes: object) -> None:
        self.shown = replace(self.shown, run=self.shown.run + 1, **changes)

    def pages(self, name: str) -> tuple[str, ...] | None:
        """The pages of a sheet as it prints, each as SVG; None where there is no such sheet."""
        from shopdocs.output.svg import page_svg

        composed = self._composed(name)
        return None if composed is None else tuple(page_svg(frame) for frame in composed.frames)

    def pdf(self, name: str) -> bytes | None:
        """A sheet as PDF; None where there is no such sheet."""
        from shopdocs.output.pdf import write_pdf

        composed = self._composed(name)
        if composed is None:
            return None
        target = BytesIO()
        write_pdf(composed, target, title=f"{composed.imprint.title} · {name}")
        return target.getvalue()

    def _composed(self, name: str) -> Composed | None:
        """A sheet laid out as `--only` does it; kept until the next good text."""
        from shopdocs.documents.catalogue import make_documents
        from shopdocs.page.compose import compose
        from shopdocs.page.paper import paper

        with self._lock:
            job, key = self._job, (self.shown.good, name)
            if job is None or name not in self.shown.sheets:
                return None
            if key not in self._sheets:
                correction = (1 / job.shop.printer.across, 1 / job.shop.printer.up)
                documents = make_documents(job, (name,))
                self._sheets[key] = compose(
                    [document for document in documents if document.name == name],
                    job.imprint,
                    paper(job.shop.paper or "a4"),
                    correction,
                )
            return self._sheets[key]


def _told(problems: list[Problem] | tuple[Problem, ...]) -> tuple[Told, ...]:
    """The problems in reading order, each once, with the file's bare name: the folders are the maker's affair."""
    found = []
    for problem in problems[:MOST_TOLD]:
        at = problem.at
        where = f"{Path(at.file).name}:{at.line}:{at.column}"
        words = f"{problem.wrong}; {problem.right}" if problem.right else problem.wrong
        found.append(Told(where, words, has_errors([problem])))
    return tuple(dict.fromkeys(found))


def _names(job: Job) -> tuple[str, ...]:
    from shopdocs.documents.catalogue import CATALOGUE, TITLE

    return (TITLE, *(entry.name for entry in CATALOGUE if entry.exists(job)))


def _pictures(job: Job) -> tuple[tuple[str, str], ...]:
    """The build as it stands, and taken apart with its marks; none where no piece has a place."""
    from shopdocs.documents.drawn.build_pictures import assembled_picture, exploded_picture
    from shopdocs.documents.exploded import marks_of_picture
    from shopdocs.output.svg import drawing_svg

    standing = assembled_picture(job, STANDING_MM)
    if standing is None:
        return ()
    apart = exploded_picture(job, APART_MM, marks_of_picture(job)).drawing
    return (
        ("as-it-stands", drawing_svg(standing, STANDING_MM[0] + 2)),
        ("taken-apart", drawing_svg(apart, APART_MM[0] + 2)),
    )
