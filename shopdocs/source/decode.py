"""Reads a build file into the model: the front door of `source`."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, TypeVar

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.check_word import fingerprint
from shopdocs.core.display import FINENESS, Display, Units
from shopdocs.core.length import Length
from shopdocs.core.problems import Problem, has_errors
from shopdocs.core.typeset import typeset
from shopdocs.model.build import CHAMFER, Build, Overall
from shopdocs.source.cutting import read_cuts, read_gaps
from shopdocs.source.given import Given
from shopdocs.source.groups import Keys
from shopdocs.source.hardware import read_hardware
from shopdocs.source.joining import Known, read_finish, read_gluing, read_joints
from shopdocs.source.mark_runs import MOST_PIECES
from shopdocs.source.nodes import Scalar, shorten
from shopdocs.source.parts import read_dimensions, read_materials, read_parts
from shopdocs.source.root_node import read_root, web_address
from shopdocs.source.round_ends import early_rounds
from shopdocs.source.schema import BuildKeys, Source
from shopdocs.source.shape import shape
from shopdocs.source.shoulders import fitted
from shopdocs.source.values import Values
from shopdocs.source.written import date_doubts, fraction_doubts, unused_dimensions

K = TypeVar("K", bound=Keys)
MOST_COPIES = 99


class Vocabulary(Struct, frozen=True):
    """Names that the language takes from the handbook tables: what an adhesive and a finish may be called."""

    adhesives: tuple[str, ...]
    finishes: tuple[str, ...]


def read_build(given: Given, words: Vocabulary) -> tuple[Build | None, list[Problem]]:
    """The build in a file, as far as it can be read, and all problems met. None when there is no reading it at all."""
    node, problems = read_root(given)
    if node is None:
        return None, problems
    source, shape_problems, left_out = shape(node, Source)
    problems += shape_problems
    if source is None:
        return None, problems
    build, more = decode_build(source, left_out, words)
    if not has_errors(problems + more):
        more += unused_dimensions(source.dimensions or {}, given.data)
    return replace(build, content=fingerprint(given.data)), problems + more


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
    rounds = early_rounds(source.cuts or {}, known, values)
    parts, ends = fitted(parts, joints, values, rounds)
    if ends or rounds:
        known = Known.of(parts)
    hardware = read_hardware(source.hardware or {}, known, source.joints or {}, values)
    cuts = read_cuts(source.cuts or {}, known, values) + ends
    gluing = read_gluing(source.gluing, known, (h.name for h in hardware), words.adhesives, values)
    _check_stage_names(hardware, gluing.stages if gluing else (), values)
    build = Build(
        title=_title(keys, values),
        mark=_build_mark(keys, values),
        display=_display(keys, units, values),
        revision=values.brief(keys.revision, 24),
        maker=values.brief(keys.maker),
        date=values.brief(keys.date),
        intro=typeset(values.words(keys.intro)),
        licence=values.line(keys.licence),
        records=web_address(keys.records, values),
        overall=_overall(keys, values),
        chamfer=values.length(keys.chamfer, least=0) or (CHAMFER if units == "mm" else Length.inches("1/16")),
        copies=_copies(keys, sum(len(part.pieces) for part in parts), values),
        free_standing=values.yes(keys.free_standing, True),
        encloses=values.room(keys.encloses),
        dimensions=dimensions,
        materials=materials,
        parts=parts,
        joints=joints,
        hardware=hardware,
        cuts=cuts,
        gaps=read_gaps(source.gaps or {}, known, values),
        gluing=gluing,
        finish=read_finish(source.finish, words.finishes, values),
        buy=values.note_lines(source.buy),
        meant=tuple((" ".join(node.text.split()), node.at) for node in source.meant or ()),
        at=keys.at,
        places=keys.places,
    )
    values.problems += [*date_doubts(keys.date, build.date), *fraction_doubts(values.fractions, units)]
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


def _copies(keys: BuildKeys, pieces: int, values: Values) -> int:
    """How many are built at once; all their pieces together are no more than one build may have."""
    copies = values.whole(keys.copies, most=MOST_COPIES) or 1
    if keys.copies is not None and pieces <= MOST_PIECES < copies * pieces:
        wrong = f"{copies} copies of {pieces} pieces are {copies * pieces} pieces"
        values.note(
            keys.copies.at,
            "number",
            wrong,
            f"at most {MOST_PIECES} are laid out together: {MOST_PIECES // pieces} copies",
        )
        return 1
    return copies


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
                unit = "inches" if units == "in" else units
                wrong = f"a fineness of {word} in a build in {unit}"
                values.note(keys.fineness.at, "fineness", wrong, f"choose one in {unit}")
                step = None
    return Display.of(units, step, values.yes(keys.both_systems, False))


def _overall(keys: BuildKeys, values: Values) -> Overall | None:
    size = values.size(keys.overall, 3, "width x depth x height")
    return Overall(*size) if size else None
