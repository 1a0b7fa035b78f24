"""How sizes on the cut list and the board drawings are made and read."""

from __future__ import annotations

from shopdocs.blocks.text import Figure, Run, Text
from shopdocs.core.display import ROUNDED
from shopdocs.documents.figures import length_figure, length_text
from shopdocs.documents.job import Job
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import MaterialKind
from shopdocs.work.cut_list import keeps_width


def sizes(job: Job) -> Text:
    """What the three sizes of a piece are."""
    return (
        "Thickness × width × length, the length along the grain. Finished is what shows, shoulder to shoulder; with "
        "joinery adds tenons and tongues: plane, mark out and crosscut to it. Rough is what to saw from the board.",
        *(f" {told}" for told in dict.fromkeys(KINDS[joint.kind].measured for joint in job.build.joints) if told),
    )


def milling(job: Job) -> Text:
    """How much larger rough sizes are, and which are not; empty where nothing is added."""
    allow, display, at = job.shop.allowances, job.display, job.shop.at
    rows = list(job.rows.values())
    wider = any(row.rough.width * row.part.strips != row.joinery.width for row in rows)
    longer = any(row.rough.length != row.joinery.length for row in rows)
    runs: list[Run] = []
    if wider:
        runs += [*length_text("milling · width", allow.width, display, at), " to the width"]
    if longer:
        runs += [
            " and " if wider else "",
            *length_text("milling · length", allow.length, display, at),
            " to the length",
        ]
    if runs:
        runs = ["Rough sizes add ", *runs, " for milling"]
        if any(keeps_width(group.material, row) for group in job.groups for row in group.rows):
            runs.append("; what is as wide as its dressed board is not ripped" if wider else "")
    if any(group.material.kind is MaterialKind.SHEET for group in job.groups):
        runs.append("; sheet goods are cut to size" if runs else "Sheet goods are cut to size")
    if (wider or longer) and any("milling" in name for name in job.shop.defaults):
        runs.append("; your shop file sets no allowances, so these are usual ones")
    return (*runs, ".") if runs else ()


def rounding(job: Job) -> Text:
    """How lengths are rounded for paper."""
    return (
        f"Lengths are exact fractions, rounded once, for paper, to {job.display.fineness_name}; {ROUNDED} marks a "
        "rounded one, or a size in which one is rounded.",
    )


def board_drawings(job: Job) -> Text:
    """How to read the drawings of the boards; empty without any."""
    plans, shop, display = [plan for plan in job.boards.materials if plan.boards], job.shop, job.display
    if not plans:
        return ()
    kinds = {plan.material.kind is MaterialKind.SHEET for plan in plans}
    runs: list[Run] = [
        "Small numbers give the order of the cuts, letters the offcuts worth keeping as they come off. Each cut is "
        "measured from the left end or the lower edge of the part being sawn. White is a piece, dashed an offcut, grey "
        "is waste. ",
        "Solid boards are crosscut to rough length, then ripped. " if False in kinds else "",
        "A cut takes a kerf of ",
        Figure("kerf", display.small(shop.kerf), shop.kerf.mm, "mm", shop.places.get("kerf", shop.at)),
    ]
    if False in kinds:
        at = shop.places.get("end trim", shop.at)
        runs += [", each end of a board loses ", length_figure("end trim", shop.end_trim, display, at, unit=True)]
    if True in kinds and shop.sheet_trim:
        at = shop.places.get("sheet trim", shop.at)
        runs += [", each edge of a sheet loses ", length_figure("sheet trim", shop.sheet_trim, display, at, unit=True)]
    return (*runs, ".")
