"""From the sizes that show to the sizes that are sawn.

Three sizes a piece: *finished* (what shows, shoulder to shoulder), *with joinery* (tenons and tongues added, what is
planed and marked out), *rough* (milling allowance added, what is sawn from the board).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.length import ZERO, Length
from shopdocs.facts.lumber_tables import Dressed, dressed
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import Face, Joint, Meeting
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import Material, MaterialKind, Part, Piece
from shopdocs.work.joints.room import stated

if TYPE_CHECKING:
    from shopdocs.work.scene.in_space import Space
    from shopdocs.work.space.placed import PlacedPiece


class Size(Struct, frozen=True):
    """Thickness, width and length of a piece; length runs along the grain."""

    thickness: Length
    width: Length
    length: Length


class Added(Struct, frozen=True):
    """What joints add to a piece: at end A, at end B, and to the width (tongues along its edges)."""

    end_a: Length = ZERO
    end_b: Length = ZERO
    width: Length = ZERO

    @property
    def length(self) -> Length:
        """What joints add to the length, both ends together."""
        return self.end_a + self.end_b


class CutRow(Struct, frozen=True):
    """Pieces of one part that are cut alike. Where a piece is glued up from strips, `rough` is one strip."""

    part: Part
    pieces: tuple[Piece, ...]
    added: Added
    finished: Size
    joinery: Size
    rough: Size

    @property
    def sawn(self) -> int:
        """How many of the rough size are sawn from boards."""
        return len(self.pieces) * self.part.strips


class CutGroup(Struct, frozen=True):
    """Rows of one material and one finished thickness, widest and longest first."""

    material: Material
    thickness: Length
    rows: tuple[CutRow, ...]


COPY = "·"  # between the mark of a piece and the number of its copy


def copy_mark(mark: str, number: int, copies: int) -> str:
    """The mark of a piece in one of the copies that are built at once: FL·3; FL itself where there is only one."""
    return f"{mark}{COPY}{number}" if copies > 1 else mark


def bare_mark(mark: str) -> str:
    """The mark of a piece without the number of its copy."""
    return mark.split(COPY)[0]


def of_all_copies(groups: tuple[CutGroup, ...], copies: int) -> tuple[CutGroup, ...]:
    """The groups with the pieces of every copy, each under its own mark: what is sawn and bought together."""
    if copies == 1:
        return groups

    def many(row: CutRow) -> CutRow:
        pieces = tuple(
            replace(piece, mark=copy_mark(piece.mark, number, copies))
            for piece in row.pieces
            for number in range(1, copies + 1)
        )
        return replace(row, pieces=pieces)

    return tuple(replace(group, rows=tuple(map(many, group.rows))) for group in groups)


def added_by(build: Build, joint: Joint, meeting: Meeting) -> tuple[Length, Length]:
    """What a meeting adds to the entering piece: to its length, and to its width.

    A tenon or the tongue of a bridle adds its length (and what stands proud), a housed end the depth of its housing or
    rabbet, a lapped end the length of the lap. A tongue along an edge adds to the width.
    """
    return KINDS[joint.kind].added(stated(joint, build), meeting)


def additions(build: Build, space: Space | None = None) -> dict[str, Added]:
    """What all joints add, by piece mark. Two joints at one end add the longer of the two, not both.

    Where a piece has a place, what its worked-out tenons stand out is what counts.
    """
    at_ends: dict[str, dict[str, Length]] = {}
    widths: dict[str, Length] = {}
    for joint, meeting in build.meetings():
        length, width = added_by(build, joint, meeting)
        if length and meeting.end:
            ends = at_ends.setdefault(meeting.entering, {})
            ends[meeting.end.value] = max(ends.get(meeting.end.value, ZERO), length)
        widths[meeting.entering] = widths.get(meeting.entering, ZERO) + width
    placed = space.pieces if space is not None else {}
    return {
        piece.mark: _standing_out(placed[piece.mark])
        if piece.mark in placed
        else Added(
            at_ends.get(piece.mark, {}).get("A", ZERO),
            at_ends.get(piece.mark, {}).get("B", ZERO),
            widths.get(piece.mark, ZERO),
        )
        for _, piece in build.pieces()
    }


def _standing_out(piece: PlacedPiece) -> Added:
    from shopdocs.work.joints.joinery import added_at

    across = added_at(piece, Face.EDGE) + added_at(piece, Face.FAR_EDGE)
    return Added(added_at(piece, Face.A), added_at(piece, Face.B), across)


def dressed_size(material: Material) -> Dressed | None:
    """What dressed softwood measures, by its nominal size; None for other materials or sizes beyond the table."""
    return dressed(*material.nominal) if material.nominal else None


def stock_thickness(material: Material) -> Length | None:
    """The thickness that comes from the yard: sawn for hardwood, dressed for softwood, made for sheets."""
    if material.kind is MaterialKind.HARDWOOD:
        return material.thickness or material.rough
    if material.kind is MaterialKind.SHEET:
        return material.thickness
    size = dressed_size(material)
    return size.thickness if size else None


def keeps_width(material: Material, row: CutRow) -> bool:
    """Whether pieces are as wide as the dressed board that they are cut from."""
    board = dressed_size(material)
    return board is not None and row.rough.width == board.width == row.joinery.width / row.part.strips


def rough_size(part: Part, size: Size, material: Material, shop: Shop) -> Size:
    """The size to saw: milling allowance on every measure of rough lumber. Stock that comes planed keeps its thickness
    and its own width; sheets are cut to size."""
    allow = shop.allowances
    stock = stock_thickness(material)
    if material.kind is MaterialKind.SHEET:
        return Size(stock or size.thickness, size.width, size.length)
    if material.kind is MaterialKind.SOFTWOOD:
        board = dressed_size(material)
        full_width = board is not None and size.width == board.width
        width = size.width if full_width else size.width + allow.width
        return Size(stock or size.thickness, width, size.length + allow.length)
    return Size(stock or size.thickness, size.width + allow.width, size.length + allow.length)


def cut_groups(build: Build, shop: Shop, space: Space | None = None) -> tuple[CutGroup, ...]:
    """All pieces by material and finished thickness, in the order of the materials."""
    added = additions(build, space)
    groups = []
    for material in build.materials:
        rows = [
            row for part in build.parts if part.material == material.name for row in _rows(part, material, added, shop)
        ]
        for thickness in sorted({row.finished.thickness for row in rows}, reverse=True):
            same = [row for row in rows if row.finished.thickness == thickness]
            same.sort(key=lambda row: (row.joinery.width, row.joinery.length), reverse=True)
            groups.append(CutGroup(material, thickness, tuple(same)))
    return tuple(groups)


def _rows(part: Part, material: Material, added: Mapping[str, Added], shop: Shop) -> Iterable[CutRow]:
    alike: dict[tuple[Length, Length], list[Piece]] = {}
    for piece in part.pieces:
        more = added[piece.mark]
        alike.setdefault((more.length, more.width), []).append(piece)
    for pieces in alike.values():
        more = added[pieces[0].mark]
        finished = Size(part.thickness, part.width, part.length)
        joinery = Size(part.thickness, part.width + more.width, part.length + more.length)
        strip = replace(joinery, width=joinery.width / part.strips)
        yield CutRow(part, tuple(pieces), more, finished, joinery, rough_size(part, strip, material, shop))


def piece_sizes(groups: Iterable[CutGroup]) -> dict[str, CutRow]:
    """The cut row of every piece, by mark."""
    return {piece.mark: row for group in groups for row in group.rows for piece in row.pieces}


def surface_area(size: Size) -> Fraction:
    """All six faces of a piece, square metres, exact."""
    t, w, length = size.thickness.mm, size.width.mm, size.length.mm
    return 2 * (t * w + t * length + w * length) / 1_000_000
