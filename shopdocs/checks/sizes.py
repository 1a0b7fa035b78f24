"""Sizes that cannot be, or that look like a slip of the unit."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.core.display import IN_WORDS, Units, exact_text, trimmed
from shopdocs.core.length import INCH, Length
from shopdocs.core.problems import Problem, error, warning
from shopdocs.model.build import Build, Shop
from shopdocs.model.parts import Axis, MaterialKind, Part, PriceUnit
from shopdocs.work.cut_list import additions, dressed_size, stock_thickness

LONGEST = Length(5000)  # common practice: longer members are rare in furniture and beyond most yards
THINNEST = Length(2)
THICKEST = Length(160)


def slips_of_unit(build: Build, shop: Shop) -> Iterator[Problem]:
    """A rail 900 in long was meant in millimetres; a thickness of 0.75 mm in inches. Only sheets are that thin."""
    for part in build.parts:
        sheet = build.material(part.material).kind is MaterialKind.SHEET
        for axis, low, high in (
            (Axis.LENGTH, THINNEST * 3, LONGEST),
            (Axis.WIDTH, THINNEST, LONGEST),
            (Axis.THICKNESS, THINNEST / 4 if sheet else THINNEST, THICKEST),
        ):
            value = part.along(axis)
            if low <= value <= high:
                continue
            bare = value.inch if build.units == "in" else value.mm
            other = Length(bare) if build.units == "in" else INCH * bare
            other_unit: Units = "mm" if build.units == "in" else "in"
            meant = f"{trimmed(bare, 3)} {other_unit}"
            wrong = f"'{part.name}' has a {axis.value} of {exact_text(value)}"
            right = (
                f"write the unit, such as {meant}, if you meant {IN_WORDS[other_unit]}"
                if low <= other <= high
                else "check the number"
            )
            yield warning(part.place(axis.value if axis.value in part.places else "size"), "unit", wrong, right)


def too_thick_for_stock(build: Build, shop: Shop) -> Iterator[Problem]:
    """Whether a part can be planed out of its material."""
    for part in build.parts:
        material = build.material(part.material)
        stock = stock_thickness(material)
        at = part.place("thickness" if "thickness" in part.places else "size")
        if stock is None:
            continue
        if material.kind is MaterialKind.SHEET:
            if part.thickness != stock:
                wrong = f"'{part.name}' is {exact_text(part.thickness)} thick, '{material.name}' {exact_text(stock)}"
                yield warning(at, "thickness", wrong, "a sheet keeps its thickness; write the same")
        elif part.thickness > stock:
            wrong = f"'{part.name}' is {exact_text(part.thickness)} thick, '{material.name}' only {exact_text(stock)}"
            yield error(at, "thickness", wrong, "take thicker stock or a thinner part")
        elif material.kind is MaterialKind.HARDWOOD and material.thickness is None:
            need = part.thickness + shop.allowances.thickness
            if need > stock:
                wrong = (
                    f"'{part.name}' planed to {exact_text(part.thickness)} leaves "
                    f"{exact_text(stock - part.thickness)} for milling '{material.name}'"
                )
                allowed = exact_text(shop.allowances.thickness)
                usual = "milling allowance on thickness" in shop.defaults
                who = "a usual allowance is" if usual else "your shop file allows"
                right = f"{who} {allowed}: take the next thickness, or pick flat boards"
                yield warning(at, "milling", wrong, right)


def too_large_for_stock(build: Build, shop: Shop) -> Iterator[Problem]:
    """Whether a part fits the width of dressed softwood or a sheet."""
    added = additions(build)
    for part in build.parts:
        material = build.material(part.material)
        width = (part.width + max(added[piece.mark].width for piece in part.pieces)) / part.strips
        length = part.length + max(added[piece.mark].length for piece in part.pieces)
        at = part.place("width" if "width" in part.places else "size")
        if material.kind is MaterialKind.SOFTWOOD:
            board = dressed_size(material)
            if board is None:
                nominal = "x".join(str(measure) for measure in material.nominal or ())
                right = "use a size of the softwood standard, such as 1x4 or 2x6"
                yield error(
                    material.places.get("nominal", material.at), "nominal", f"no board is sold as {nominal}", right
                )
            elif width > board.width:
                name = f"a strip of '{part.name}'" if part.strips > 1 else f"'{part.name}'"
                wrong = f"{name} is {exact_text(width)} wide, '{material.name}' only {exact_text(board.width)}"
                yield error(at, "width", wrong, "take a wider board, or glue it up: strips: 2")
        elif material.kind is MaterialKind.SHEET and material.sheet and not _fits(part, width, length, material.sheet):
            sheet = " x ".join(exact_text(side) for side in material.sheet)
            wrong = f"'{part.name}' ({exact_text(width)} x {exact_text(length)}) does not fit a sheet of {sheet}"
            turn = "" if part.turns else "; 'turns: yes' lets its grain run the other way"
            yield error(at, "sheet", wrong, f"take a larger sheet or divide the part{turn}")


def _fits(part: Part, width: Length, length: Length, sheet: tuple[Length, Length]) -> bool:
    across, along = sheet
    return (width <= across and length <= along) or (part.turns and width <= along and length <= across)


def prices_that_do_not_fit(build: Build, shop: Shop) -> Iterator[Problem]:
    """A price by a measure that the material is not sold by."""
    for material in build.materials:
        if material.price is None:
            continue
        by_sheet = material.price.per in (PriceUnit.SHEET, PriceUnit.SQUARE_METRE)
        if by_sheet != (material.kind is MaterialKind.SHEET) and material.price.per is not PriceUnit.CUBIC_METRE:
            wrong = f"'{material.name}' is {material.kind.trade}, and its price is per {material.price.per.value}"
            right = "sheets are priced per sheet or m2, lumber per bf, m3, ft or m"
            yield warning(material.places.get("price", material.at), "price", wrong, right)
        elif material.price.per is PriceUnit.PIECE:
            right = "price lumber per bf, m3, ft or m"
            yield warning(
                material.places.get("price", material.at),
                "price",
                f"a piece of '{material.name}' has no fixed size",
                right,
            )


def unused_materials(build: Build, shop: Shop) -> Iterator[Problem]:
    """A material that no part is made of: forgotten, or a slip of the pen in a part."""
    used = {part.material for part in build.parts}
    for material in build.materials:
        if material.name not in used:
            yield warning(
                material.at, "unused", f"no part is made of '{material.name}'", "remove it, or name it in a part"
            )


def strips_that_clash(build: Build, shop: Shop) -> Iterator[Problem]:
    """A strip's mark is its piece's mark and a letter; no other piece may have it."""
    marks = {piece.mark.casefold(): piece for _, piece in build.pieces()}
    for part in build.parts:
        for piece in part.pieces:
            for strip in part.strip_marks(piece.mark):
                other = marks.get(strip.casefold())
                if other is not None:
                    wrong = f"'{other.mark}' is also what a strip of '{piece.mark}' is called"
                    yield error(other.at, "duplicate-mark", wrong, "give one of the pieces another mark")


CHECKS = (
    strips_that_clash,
    slips_of_unit,
    too_thick_for_stock,
    too_large_for_stock,
    prices_that_do_not_fit,
    unused_materials,
)
