"""The title sheet."""

from __future__ import annotations

from shopdocs.blocks.sheets import Block, Code, Document, SideBySide
from shopdocs.blocks.text import (
    Caution,
    Cell,
    Column,
    Facts,
    Group,
    Heading,
    Paragraph,
    Row,
    Table,
    Text,
    Weight,
    text,
)
from shopdocs.documents.drawn.build_pictures import assembled_picture
from shopdocs.documents.figures import count_figure, size_text
from shopdocs.documents.job import Job
from shopdocs.facts.cautions import ON_A_WALL, TIP_OVER, WOOD_DUST, may_tip
from shopdocs.facts.cautions import Caution as FactCaution


def title_sheet(job: Job, contents: tuple[Document, ...], loose: tuple[str, ...] = ()) -> Document:
    """`loose` names those of the contents that are not bound in and have no page."""
    build = job.build
    blocks: list[Block] = []
    facts = Facts(tuple(_facts(job)))
    code = Code(job.records, "all records")
    picture = assembled_picture(job)
    if picture is not None:
        if job.records:
            blocks.append(SideBySide(((facts,), (picture,), (code,)), (1.7, 2.6, 0.7)))
        else:
            blocks.append(SideBySide(((facts,), (picture,)), (1.7, 3.3)))
    elif job.records:
        blocks.append(SideBySide(((facts,), (code,)), (4.0, 1.0)))
    else:
        blocks.append(facts)
    if build.intro:
        blocks += [Paragraph(text(line)) for line in build.intro.split("\n") if line]
    blocks.append(Heading("In this set", 2))
    blocks.append(_contents(contents, loose))
    blocks += [Caution(caution.title, caution.text) for caution in _cautions(job)]
    if build.licence:
        blocks.append(Paragraph(text(build.licence), Weight.QUIET))
    blocks.append(Paragraph(text(_reading(job)), Weight.QUIET))
    return Document("title", build.title, "What am I building, and what is in this set?", tuple(blocks))


def _facts(job: Job) -> list[tuple[str, Text]]:
    build = job.build
    pairs: list[tuple[str, Text]] = []
    if build.overall:
        at = build.places.get("overall", build.at)
        size = size_text(
            "overall",
            job.display,
            ("width", build.overall.width, at),
            ("depth", build.overall.depth, at),
            ("height", build.overall.height, at),
            unit=True,
        )
        pairs.append(("Width × depth × height", size))
    pieces = sum(len(part.pieces) for part in build.parts)
    kinds = len(build.parts)
    counted = text(count_figure("pieces", pieces, build.at), f" of {kinds} kind{'s' if kinds != 1 else ''}")
    joints = sum(len(joint.meetings) for joint in build.joints)
    if joints:
        counted += text(", ", count_figure("joints", joints, build.at), " joint" + ("s" if joints != 1 else ""))
    pairs.append(("Pieces", counted))
    pairs.append(("Made of", text(", ".join(_woods(job)))))
    dated = ", ".join(filter(None, (build.revision, build.date)))
    for name, value in (("Revision" if build.revision else "Date", dated), ("Maker", build.maker or job.shop.name)):
        if value:
            pairs.append((name, text(value)))
    return pairs


def _woods(job: Job) -> list[str]:
    return list(dict.fromkeys(need.material.species or need.material.name for need in job.needs))


def _contents(contents: tuple[Document, ...], loose: tuple[str, ...]) -> Table:
    rows = []
    for document in contents:
        bound = document.name not in loose
        link = document.name if bound else ""
        question = document.question if bound else f"{document.question} In {document.name}.pdf, not bound in"
        page = Cell(link=link) if bound else Cell.of("own file")
        rows.append(Row((Cell.of(document.title, strong=True, link=link), Cell.of(question), page)))
    columns = (Column("Sheet", share=0.6), Column("It answers", share=2.0), Column("Page", "right", share=0.1))
    return Table("contents", columns, (Group(tuple(rows)),))


def _cautions(job: Job) -> list[FactCaution]:
    overall = job.build.overall
    found = [WOOD_DUST]
    if not job.build.free_standing:
        found.append(ON_A_WALL)
    if overall is not None and job.build.free_standing and may_tip(overall.height, overall.depth):
        found.append(TIP_OVER)
    return found


def _reading(job: Job) -> str:
    return (
        f"Lengths are printed to {job.display.fineness_name}; one that begins with ≈ was rounded for paper, "
        "everything is computed exactly. Marking out starts from the face side, the face edge and end A."
    )
