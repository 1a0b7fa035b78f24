"""The list of the set: every document, in the order it is bound, with the condition under which it exists."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from msgspec import Struct

from shopdocs.blocks.sheets import Document
from shopdocs.documents.angles import angles, has_angles
from shopdocs.documents.appendix import appendix
from shopdocs.documents.building import NAME as BUILDING
from shopdocs.documents.building import building_order, for_customers
from shopdocs.documents.cut_list import cut_list
from shopdocs.documents.edges import edge_map
from shopdocs.documents.exploded import exploded_drawing, in_space
from shopdocs.documents.finish import finish_sheet, has_finish
from shopdocs.documents.glue_up import glue_up, has_stages
from shopdocs.documents.how.rules import APPENDIX
from shopdocs.documents.job import Job
from shopdocs.documents.labels import labels
from shopdocs.documents.look_alikes import look_alikes
from shopdocs.documents.lumber import lumber_sheet
from shopdocs.documents.mate_marks import has_joints, mate_marks
from shopdocs.documents.movement import has_movement, movement_sheet
from shopdocs.documents.patterns import has_patterns, patterns
from shopdocs.documents.piece_drawings import has_piece_drawings, piece_drawings
from shopdocs.documents.printer_check import printer_check
from shopdocs.documents.shopping import shopping_list
from shopdocs.documents.templates import has_templates, templates
from shopdocs.documents.title import title_sheet


def _always(job: Job) -> bool:
    return True


class Entry(Struct, frozen=True):
    """`name` is what `--only` takes and the file is called; `why_not` says what in the build would bring it about. What
    is not `bound` stays out of the set's one PDF."""

    name: str
    make: Callable[[Job], Document]
    exists: Callable[[Job], bool] = _always
    why_not: str = ""
    bound: bool = True


# Why pages of a sheet may stay more than 45 % empty. Of the others only the last page may, before a sheet that has no
# room there.
WHITE: dict[str, str] = {
    "exploded": "a picture as wide as the page cannot be larger",
    "piece-drawings": "a drawing is not parted from its words, and no other one fits there",
    "labels": "places are left on the sheet of labels where the pieces end",
    "templates": "at 1:1, each whole on a page with its check bars",
    "patterns": "at 1:1, each with its check bars",
    "angles": "figures at 1:1, with their check bars",
}
NO_PLACES = "no piece has a place; give pieces x, y and z, and their part runs"

CATALOGUE: tuple[Entry, ...] = (
    Entry(BUILDING, building_order, for_customers, "it belongs to the customer edition; add --edition customer"),
    Entry("exploded", exploded_drawing, in_space, NO_PLACES),
    Entry("cut-list", cut_list),
    Entry("lumber", lumber_sheet),
    Entry("shopping", shopping_list),
    Entry("movement", movement_sheet, has_movement, "nothing is made of solid wood"),
    Entry("piece-drawings", piece_drawings, has_piece_drawings, f"{NO_PLACES}, or place hardware with holes"),
    Entry("angles", angles, has_angles, "no end is sawn off square, and no joint slopes"),
    Entry("edges", edge_map, in_space, NO_PLACES),
    Entry("look-alikes", look_alikes, in_space, NO_PLACES),
    Entry("mate-marks", mate_marks, has_joints, "no joint is written, and no piece is glued up from strips"),
    Entry("glue-up", glue_up, has_stages, "gluing has no stages"),
    Entry("finish", finish_sheet, has_finish, "no finish is written"),
    Entry(APPENDIX, appendix),
    # what is cut up, and what is printed on paper of its own, lies behind what stays together
    Entry("templates", templates, has_templates, "no hardware has holes on a piece"),
    Entry("patterns", patterns, has_patterns, "nothing is tapered, arched, turned or outlined"),
    Entry("labels", labels),
    Entry("printer-check", printer_check, bound=False),
)
# Sheets of single pieces share their drawings with the records, and need no picture of the whole build.
OF_PIECES: frozenset[str] = frozenset(
    ("piece-drawings", "angles", "edges", "look-alikes", "mate-marks", "templates", "patterns")
)
TITLE = "title"
LOOSE: tuple[str, ...] = tuple(entry.name for entry in CATALOGUE if not entry.bound)
NAMES: tuple[str, ...] = (TITLE, *(entry.name for entry in CATALOGUE))


def of_pieces(job: Job) -> dict[str, Document]:
    """The documents OF_PIECES that exist, by name."""
    return {e.name: e.make(job) for e in CATALOGUE if e.name in OF_PIECES and e.exists(job)}


def make_documents(
    job: Job, only: tuple[str, ...] = (), pieces: Callable[[], Mapping[str, Document]] | None = None
) -> tuple[Document, ...]:
    """The documents of the set, title sheet first; `only` names those wanted, empty means all that exist. `pieces`
    gives those OF_PIECES where they are made meanwhile, and is asked when the others are made."""
    wanted = [e for e in CATALOGUE if e.exists(job) and (not only or e.name in only)]
    apart = {BUILDING} | (OF_PIECES if pieces else set())
    found = {e.name: e.make(job) for e in wanted if e.name not in apart}
    found |= pieces() if pieces else {}
    made = tuple(found[e.name] for e in wanted if e.name != BUILDING)
    if any(e.name == BUILDING for e in wanted):  # it names the others, and shows some of their drawings
        made = (building_order(job, made), *made)
    return made if only and TITLE not in only else (title_sheet(job, made, LOOSE), *made)
