"""Reads a build file and a shop file into the model: the front door of `source`."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, TypeVar

from shopdocs.core.display import FINENESS, Display, Units
from shopdocs.core.length import Length
from shopdocs.core.problems import Position, Problem, error, warning
from shopdocs.model.build import CHAMFER, Allowances, Build, Overall, PrinterCorrection, Shop
from shopdocs.source.joining import Known, read_finish, read_gluing, read_hardware, read_joints
from shopdocs.source.nodes import Node, Scalar, compose, read_text, shorten
from shopdocs.source.parts import read_dimensions, read_materials, read_parts
from shopdocs.source.schema import BuildKeys, Keys, ShopKeys, ShopSource, Source
from shopdocs.source.shape import shape
from shopdocs.source.values import Values

K = TypeVar("K", bound=Keys)


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """Names that the language takes from the handbook tables: what an adhesive and a finish may be called."""

    adhesives: tuple[str, ...]
    finishes: tuple[str, ...]


def read_build(path: str, words: Vocabulary) -> tuple[Build | None, list[Problem]]:
    """The build in a file, as far as it can be read, and all problems met. None when there is no reading it at all."""
    node, problems = _root(path)
    if node is None:
        return None, problems
    source, shape_problems, left_out = shape(node, Source)
    problems += shape_problems
    if source is None:
        return None, problems
    build, more = decode_build(source, left_out, words)
    return build, problems + more


def _root(path: str) -> tuple[Node | None, list[Problem]]:
    text, problems = read_text(path)
    if text is None:
        return None, problems
    node, problems = compose(text, path)
    if node is None and not problems:
        problems.append(
            error(Position(path, 1, 1), "empty", "the file is empty", "`shopdocs start` writes one to begin with")
        )
    return node, problems


def decode_build(source: Source, left_out: set[str], words: Vocabulary) -> tuple[Build, list[Problem]]:
    """The build of a shaped source; `left_out` are words whose own entry was faulty."""
    keys = source.build
    units: Units = "mm" if keys.units.text.strip().lower() == "mm" else "in"
    values = Values(units)
    values.forgiven |= left_out
    values.word(keys.units, ("in", "mm"), "unit")
    dimensions = read_dimensions(source.dimensions or {}, values)
    materials = read_materials(source.materials, values)
    by_name = {m.name: m for m in materials}
    parts, _ = read_parts(source.parts, by_name, values)
    if not source.parts and not left_out:
        values.note(source.place("parts"), "no-parts", "there are no parts", "describe at least one")
    known = Known.of(parts)
    joints = read_joints(source.joints or {}, known, values)
    hardware = read_hardware(source.hardware or {}, known, values)
    gluing = read_gluing(source.gluing, known, (h.name for h in hardware), words.adhesives, values)
    _check_stage_names(hardware, gluing.stages if gluing else (), values)
    build = Build(
        title=_title(keys, values),
        mark=_build_mark(keys, values),
        display=_display(keys, units, values),
        revision=values.line(keys.revision),
        maker=values.line(keys.maker),
        date=values.line(keys.date),
        intro=values.words(keys.intro),
        licence=values.line(keys.licence),
        records=_address(keys.records, values),
        overall=_overall(keys, values),
        chamfer=values.length(keys.chamfer, least=0) or (CHAMFER if units == "mm" else Length.inches("1/16")),
        free_standing=values.yes(keys.free_standing, True),
        dimensions=dimensions,
        materials=materials,
        parts=parts,
        joints=joints,
        hardware=hardware,
        gluing=gluing,
        finish=read_finish(source.finish, words.finishes, values),
        buy=values.lines(source.buy),
        at=keys.at,
        places=keys.places,
    )
    return build, values.problems


def _check_stage_names(hardware: Iterable[Any], stages: Iterable[Any], values: Values) -> None:
    titles = [stage.title for stage in stages]
    for item in hardware:
        if item.stage:
            values.known(Scalar(item.places.get("stage", item.at), item.stage, True), titles, "stage")


def _title(keys: BuildKeys, values: Values) -> str:
    title = values.line(keys.title)
    if len(title) > 120:
        values.note(keys.title.at, "title", f"a title of {len(title)} letters", "at most 120 fit on a sheet")
    elif not title and not values.is_forgiven(keys.title.text):
        values.note(keys.title.at, "title", "the title is empty", "name the piece of furniture")
    return title


def _build_mark(keys: BuildKeys, values: Values) -> str:
    mark = values.line(keys.mark)
    if not values.is_forgiven(keys.mark.text) and not (1 <= len(mark) <= 4 and mark.isalnum()):
        values.note(
            keys.mark.at, "mark", f"'{shorten(mark)}' cannot be the build's mark", "one to four letters or digits"
        )
    return mark


def _display(keys: BuildKeys, units: Units, values: Values) -> Display:
    step = None
    if keys.fineness is not None:
        word = values.word(keys.fineness, FINENESS, "fineness")
        if word is not None:
            fine_units, step = FINENESS[word]
            if fine_units != units:
                wrong = f"a fineness of {word} in a build of {units}"
                values.note(keys.fineness.at, "fineness", wrong, f"choose one in {units}")
                step = None
    return Display.of(units, step, values.yes(keys.both_systems, False))


def _overall(keys: BuildKeys, values: Values) -> Overall | None:
    size = values.size(keys.overall, 3, "width x depth x height")
    return Overall(*size) if size else None


def _address(node: Scalar | None, values: Values) -> str:
    """A web address that may be printed and scanned; only http and https, no spaces."""
    text = values.line(node)
    if node is None or not text:
        return ""
    if not text.lower().startswith(("http://", "https://")) or any(ch in text for ch in ' "<>\\') or len(text) > 200:
        values.note(node.at, "address", f"'{shorten(text)}' is no web address", "write https://example.org/records/")
        return ""
    return text if text.endswith("/") else text + "/"


_INCH_DEFAULTS = {"kerf": "1/8", "thickness": "1/4", "width": "1/4", "length": "1"}


def default_shop() -> Shop:
    """Cautious defaults for a maker without a shop file; each is named so that the sheets can say so."""
    return _shop(ShopKeys(), Values("in"), "")[0]


def read_shop(path: str) -> tuple[Shop | None, list[Problem]]:
    """The shop in a file and all problems met."""
    node, problems = _root(path)
    if node is None:
        return None, problems
    source, shape_problems, left_out = shape(node, ShopSource)
    problems += shape_problems
    if source is None:
        return None, problems
    keys = source.shop
    units: Units = "mm" if keys.units and keys.units.text.strip().lower() == "mm" else "in"
    values = Values(units)
    values.forgiven |= left_out
    values.word(keys.units, ("in", "mm"), "unit")
    shop, more = _shop(keys, values, path)
    return shop, problems + more


def _shop(keys: ShopKeys, values: Values, path: str) -> tuple[Shop, list[Problem]]:
    defaults: list[str] = []

    def length(node: Scalar | None, name: str, words: str) -> Length:
        value = values.length(node, least=0)
        if node is None:
            defaults.append(words)
        return value if value is not None else Length.inches(_INCH_DEFAULTS[name])

    milling = keys.milling
    allowances = Allowances(
        thickness=length(milling.thickness if milling else None, "thickness", "milling allowance on thickness"),
        width=length(milling.width if milling else None, "width", "milling allowance on width"),
        length=length(milling.length if milling else None, "length", "milling allowance on length"),
        waste=values.percent(keys.waste, Fraction(1, 5)),
    )
    kerf = length(keys.kerf, "kerf", "kerf")
    if keys.waste is None:
        defaults.append("waste")
    tally = values.word(keys.tally, ("exact", "surface measure"), "rule")
    if keys.tally is None:
        defaults.append("board-foot rule")
    clamps = {
        kind: count for kind, node in (keys.clamps or {}).items() if (count := values.whole(node, least=0)) is not None
    }
    bits = tuple(sorted({bit for node in keys.bits or () if (bit := values.length(node, least=1))}))
    batch = values.number(keys.batch, "g")
    if keys.batch is None:
        defaults.append("epoxy batch")
    printer = _printer(keys, values)
    shop = Shop(
        name=values.line(keys.name),
        allowances=allowances,
        kerf=kerf,
        tally=tally or "exact",
        currency=values.line(keys.currency),
        paper=values.word(keys.paper, ("letter", "a4"), "paper") or "",
        labels=values.line(keys.labels),
        labels_used=values.whole(keys.labels_used, 0, least=0) or 0,
        records=_address(keys.records, values),
        clamps=clamps,
        bits=bits,
        printer=printer,
        batch_grams=batch or Fraction(100),
        defaults=tuple(defaults),
        file=path,
        at=keys.at,
        places=keys.places,
    )
    return shop, values.problems


def _printer(keys: ShopKeys, values: Values) -> PrinterCorrection:
    """Measured over nominal of the 100 mm bars. More than 5 % off is no printer's error but a scaled print."""

    def ratio(node: Scalar | None) -> Fraction:
        measured = values.length(node, least=1)
        if measured is None or node is None:
            return Fraction(1)
        share = measured / Length(100)
        if abs(share - 1) > Fraction(5, 100):
            wrong = f"the 100 mm bar measures '{shorten(node.text)}'"
            values.problems.append(
                warning(
                    node.at, "printer", wrong, "print at 100 % (actual size) and measure again; it is not corrected"
                )
            )
            return Fraction(1)
        return share

    if keys.printer is None:
        return PrinterCorrection()
    return PrinterCorrection(ratio(keys.printer.across), ratio(keys.printer.up))
