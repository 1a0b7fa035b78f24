"""Decodes dimensions, materials, parts and their pieces."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any

from shopdocs.core.length import INCH, Length
from shopdocs.core.problems import Position
from shopdocs.model.build import Dimension
from shopdocs.model.parts import Direction, Material, MaterialKind, Part, Piece, Runs
from shopdocs.source.arithmetic import UNIT_SIZES, names_in
from shopdocs.source.nodes import Scalar, shorten
from shopdocs.source.schema import AT, PLACES, MaterialKeys, PartKeys, RunsKeys
from shopdocs.source.values import MOST, Values

RESERVED = {*UNIT_SIZES, "x", "to", "from", "evenly", "length", "width", "thickness", "through", "mirror", "of"}
PIECE_NAMES = {"length", "width", "thickness"}  # allowed as dimensions; on a piece they mean its own
MOST_PIECES = 5000
MARK = re.compile(r"[^\W_](?:[^\W_]|-(?=[^\W_])){0,7}")

_QUARTERS = re.compile(r"(\d{1,2})/4")


def read_dimensions(entries: Mapping[str, Any], values: Values) -> tuple[Dimension, ...]:
    """The named lengths in any order; each may use others. Cycles are named with their lines."""
    texts: dict[str, Scalar] = {}
    for raw, node in entries.items():
        name = " ".join(raw.split())
        if not re.fullmatch(r"[^\W\d]\w*(?: [^\W\d]\w*)*", name) or name in RESERVED - PIECE_NAMES:
            why = "is kept for the language" if name in RESERVED else "cannot stand in arithmetic"
            right = "use words of letters and digits, such as 'seat height'"
            values.note(node.at, "dimension-name", f"the name '{shorten(raw)}' {why}", right)
        elif name in texts:
            values.note(node.at, "duplicate-key", f"'{name}' stands twice", "give each dimension one name")
        else:
            texts[name] = node
    found: dict[str, Dimension] = {}
    for name in _in_order(texts, values):
        node = texts[name]
        value = values.length(node)
        if value is not None:
            values.names[name] = value
            found[name] = Dimension(name, node.text, value, node.at)
    values.forgiven |= texts.keys() - found.keys()
    return tuple(found[name] for name in texts if name in found)


def _in_order(texts: Mapping[str, Scalar], values: Values) -> Iterator[str]:
    """Names so that each comes after those it uses; members of a cycle are reported and left out."""
    needs = {name: [n for n in names_in(node.text) if n in texts] for name, node in texts.items()}
    done: dict[str, bool] = {}  # True once usable, False when in a cycle or on one
    for start in texts:
        path: list[str] = []
        stack: list[tuple[str, Iterator[str]]] = []
        if start not in done:
            stack.append((start, iter(needs[start])))
            path.append(start)
        while stack:
            name, rest = stack[-1]
            following = next((n for n in rest if n not in done or n in path), None)
            if following is None:
                stack.pop()
                path.pop()
                if done.setdefault(name, True):
                    yield name
            elif following in path:
                _report_cycle(path[path.index(following) :], texts, values)
                done.update(dict.fromkeys(path[path.index(following) :], False))
            else:
                stack.append((following, iter(needs[following])))
                path.append(following)


def _report_cycle(cycle: list[str], texts: Mapping[str, Scalar], values: Values) -> None:
    first = min(cycle, key=lambda name: texts[name].at)
    turn = cycle[cycle.index(first) :] + cycle[: cycle.index(first)]
    way = " needs ".join(f"'{name}' (line {texts[name].at.line})" for name in [*turn, first])
    values.note(texts[first].at, "cycle", f"dimensions go round in a circle: {way}", "give one of them a plain length")


def read_materials(entries: Mapping[str, MaterialKeys], values: Values) -> tuple[Material, ...]:
    found = []
    for name, keys in entries.items():
        material = _material(" ".join(name.split()), keys, values)
        if material is None:
            values.forgiven.add(name)
        else:
            found.append(material)
    return tuple(found)


def _material(name: str, keys: MaterialKeys, values: Values) -> Material | None:
    kind = values.choice(keys.kind, MaterialKind, "kind of material")
    rough, quarters = _rough(name, keys, values)
    nominal = _nominal(keys.nominal, values)
    thickness = values.length(keys.thickness, least=1)
    sheet = values.size(keys.sheet, 2, "width x length")
    price = values.price(keys.price)
    if kind is None:
        return None
    needs = {
        MaterialKind.HARDWOOD: (rough, keys.rough, "rough", "its sawn thickness, such as rough: 8/4"),
        MaterialKind.SOFTWOOD: (nominal, keys.nominal, "nominal", "its trade size, such as nominal: 2x4"),
        MaterialKind.SHEET: (thickness, keys.thickness, "thickness", "its thickness, such as thickness: 18 mm"),
    }
    have, node, key, right = needs[kind]
    if have is None:
        if node is None:
            values.note(keys.at, "missing-key", f"the {kind.value} '{shorten(name)}' lacks '{key}'", f"add {right}")
        return None
    if kind is MaterialKind.SHEET and sheet is None and keys.sheet is None:
        sheet = (INCH * 48, INCH * 96) if values.units == "in" else (Length(1220), Length(2440))
    return Material(
        name=name,
        kind=kind,
        species=values.line(keys.species),
        rough=rough,
        quarters=quarters,
        nominal=nominal,
        thickness=thickness,
        sheet=(sheet[0], sheet[1]) if sheet else None,
        price=price,
        note=values.line(keys.note),
        at=keys.at,
        places=keys.places,
    )


def _rough(name: str, keys: MaterialKeys, values: Values) -> tuple[Length | None, int | None]:
    """Sawn thickness, and its quarters where it was named in quarters: '8/4' is 2 in whatever the build's unit."""
    text = keys.rough.text.strip() if keys.rough else ""
    match = _QUARTERS.fullmatch(text) or (None if text else re.search(r"(?:^|\s)(\d{1,2})/4$", name))
    if match:
        quarters = int(match.group(1))
        if quarters:
            return INCH * Fraction(quarters, 4), quarters
    return values.length(keys.rough, least=1), None


def _nominal(node: Scalar | None, values: Values) -> tuple[Fraction, Fraction] | None:
    if node is None:
        return None
    match = re.fullmatch(r"(\d+(?:[-/]\d+(?:/\d+)?)?)\s*x\s*(\d+)", node.text.strip().lower().replace("×", "x"))
    if match:
        whole, _, rest = match.group(1).rpartition("-")
        try:
            return Fraction(whole or 0) + Fraction(rest), Fraction(match.group(2))
        except (ValueError, ZeroDivisionError):
            pass
    values.note(node.at, "nominal", f"'{shorten(node.text)}' is no trade size", "write thickness x width, such as 2x4")
    return None


class Marks:
    """Gives out piece marks; none twice, letter case aside (labels and file names would clash)."""

    def __init__(self, values: Values) -> None:
        self.values = values
        self.taken: dict[str, tuple[str, Position]] = {}

    def take(self, mark: str, at: Position) -> bool:
        if not MARK.fullmatch(mark):
            right = "one to eight letters, digits and inner hyphens, such as FL or S-12"
            self.values.note(at, "mark", f"'{shorten(mark)}' cannot be a mark", right)
            return False
        earlier = self.taken.get(mark.casefold())
        if earlier:
            wrong = (
                f"the mark '{mark}' is taken" if earlier[0] == mark else f"the mark '{mark}' is taken by '{earlier[0]}'"
            )
            self.values.note(
                at, "duplicate-mark", f"{wrong} in line {earlier[1].line}", "give every piece a mark of its own"
            )
            return False
        if len(self.taken) >= MOST_PIECES:
            if len(self.taken) == MOST_PIECES:
                self.values.note(at, "size", f"more than {MOST_PIECES} pieces", "split the build")
                self.taken["\0full"] = (mark, at)
            return False
        self.taken[mark.casefold()] = (mark, at)
        return True


def read_parts(
    entries: Mapping[str, PartKeys], materials: Mapping[str, Material], values: Values
) -> tuple[tuple[Part, ...], Marks]:
    marks = Marks(values)
    reserved = _first_pass_marks(entries)
    found = []
    for name, keys in entries.items():
        part = _part(" ".join(name.split()), keys, materials, values, marks, reserved)
        if part is None:
            values.forgiven |= {name, *(marks.taken[m][0] for m in marks.taken)}
        else:
            found.append(part)
    return tuple(found), marks


def _first_pass_marks(entries: Mapping[str, PartKeys]) -> set[str]:
    """Marks that the maker wrote, so that marks made from part names keep clear of them."""
    written: set[str] = set()
    for keys in entries.values():
        for item in keys.pieces if isinstance(keys.pieces, (list, dict)) else [keys.pieces]:
            text = item.text if isinstance(item, Scalar) else item
            if isinstance(text, str):
                written |= {mark.casefold() for mark in expand_run(text)}
    return written


def _part(
    name: str,
    keys: PartKeys,
    materials: Mapping[str, Material],
    values: Values,
    marks: Marks,
    reserved: set[str],
) -> Part | None:
    material = values.known(keys.material, materials, "material")
    sizes = _sizes(name, keys, values)
    pieces = _pieces(name, keys, values, marks, reserved)
    runs = _runs(keys.runs, values)
    turns = values.yes(keys.turns, False)
    if material is None or sizes is None or not pieces:
        return None
    return Part(
        name=name,
        material=material,
        thickness=sizes[0],
        width=sizes[1],
        length=sizes[2],
        pieces=pieces,
        runs=runs,
        turns=turns,
        note=values.line(keys.note),
        private=values.line(keys.private),
        at=keys.at,
        places=keys.places,
    )


def _sizes(name: str, keys: PartKeys, values: Values) -> tuple[Length, Length, Length] | None:
    """Thickness, width, length from `size` or from the three keys; problems noted, then None."""
    single = {"thickness": keys.thickness, "width": keys.width, "length": keys.length}
    if keys.size is not None:
        for key, node in single.items():
            if node is not None:
                values.note(node.at, "twice", f"'{key}' is given by 'size' already", "write one of them")
        size = values.size(keys.size, 3, "thickness x width x length")
        return (size[0], size[1], size[2]) if size else None
    lengths = [values.length(node, least=1) for node in single.values()]
    for key, node in single.items():
        if node is None:
            right = f"add {key}, or size: thickness x width x length"
            values.note(keys.at, "missing-key", f"'{shorten(name)}' lacks '{key}'", right)
    known = [length for length in lengths if length is not None]
    return (known[0], known[1], known[2]) if len(known) == 3 else None


def _runs(keys: RunsKeys | None, values: Values) -> Runs | None:
    if keys is None:
        return None
    length = values.choice(keys.length, Direction, "direction")
    width = values.choice(keys.width, Direction, "direction")
    if length is None or width is None:
        return None
    if length is width:
        values.note(keys.at, "runs", f"length and width both run along {length.value}", "they are square to each other")
        return None
    thickness = next(d for d in Direction if d not in (length, width))
    return Runs(length, width, thickness)


def expand_run(text: str) -> list[str]:
    """'S1..S4' as four marks; other text as one mark. A run that cannot be read is left as it is."""
    match = re.fullmatch(r"\s*(\D*)(\d{1,5})\s*\.\.\s*(\D*)(\d{1,5})\s*", text)
    if not match or match.group(3).strip() not in ("", match.group(1).strip()):
        return [text.strip()]
    first, last = int(match.group(2)), int(match.group(4))
    if last < first or last - first >= MOST_PIECES:
        return [text.strip()]
    digits = len(match.group(2)) if match.group(2).startswith("0") else 0
    return [f"{match.group(1).strip()}{number:0{digits}d}" for number in range(first, last + 1)]


def _pieces(name: str, keys: PartKeys, values: Values, marks: Marks, reserved: set[str]) -> tuple[Piece, ...]:
    if keys.pieces is None:
        return _counted(name, keys, values, marks, reserved)
    if keys.count is not None:
        values.note(keys.count.at, "twice", "'count' stands beside 'pieces'", "the pieces are counted; remove 'count'")
    written = keys.pieces
    if isinstance(written, Scalar):
        written = [written]
    found: list[Piece] = []
    if isinstance(written, list):
        for item in written:
            if not isinstance(item, Scalar):
                values.note(
                    keys.place("pieces"), "shape", "a list or group stands among the pieces", "write marks only"
                )
                continue
            found += [Piece(mark, name, "", item.at) for mark in expand_run(item.text) if marks.take(mark, item.at)]
        return _some(found, keys, values)
    for mark_text, item in written.items():
        if mark_text in (AT, PLACES):
            continue
        note, at = _piece_keys(item, keys.place("pieces"), values)
        place = written[PLACES].get(mark_text, at)
        found += [Piece(mark, name, note, place) for mark in expand_run(mark_text) if marks.take(mark, place)]
    return _some(found, keys, values)


def _some(found: list[Piece], keys: PartKeys, values: Values) -> tuple[Piece, ...]:
    if not found and not values.noted_within(keys.place("pieces")):
        values.note(keys.place("pieces"), "no-pieces", "'pieces' is empty", "name at least one mark")
    return tuple(found)


def _piece_keys(item: Any, at: Position, values: Values) -> tuple[str, Position]:
    if isinstance(item, Scalar):
        return values.line(item), item.at
    if isinstance(item, dict):
        at = item[AT]
        for key, inner in item.items():
            if key in (AT, PLACES):
                continue
            if key != "note" or not isinstance(inner, Scalar):
                right = "known keys are note"
                values.note(item[PLACES].get(key, at), "unknown-key", f"there is no key '{shorten(key)}' here", right)
        note = item.get("note")
        return (values.line(note) if isinstance(note, Scalar) else ""), at
    values.note(at, "shape", "a list stands under a piece", "write a note, or keys with values")
    return "", at


def _counted(name: str, keys: PartKeys, values: Values, marks: Marks, reserved: set[str]) -> tuple[Piece, ...]:
    if keys.count is None:
        values.note(keys.at, "missing-key", f"'{shorten(name)}' has neither 'pieces' nor 'count'", "add count: 4")
        return ()
    count = values.whole(keys.count, most=MOST)
    if count is None:
        return ()
    stem = values.line(keys.mark) or _initials(name)
    if keys.mark is not None and not MARK.fullmatch(stem + "1"):
        right = "one to four letters or digits, such as L"
        values.note(keys.mark.at, "mark", f"'{shorten(stem)}' cannot begin a mark", right)
        return ()
    candidates = [stem] if count == 1 and keys.mark else [f"{stem}{number}" for number in range(1, count + 1)]
    clash = {c.casefold() for c in candidates} & (reserved | marks.taken.keys())
    suffix = 0
    while clash and keys.mark is None and suffix < 26:  # marks made here step aside; written ones are reported
        trial = [f"{stem}{chr(ord('a') + suffix)}{number}" for number in range(1, count + 1)]
        clash = {c.casefold() for c in trial} & (reserved | marks.taken.keys())
        candidates = trial
        suffix += 1
    return tuple(Piece(mark, name, "", keys.at) for mark in candidates if marks.take(mark, keys.at))


def _initials(name: str) -> str:
    """'long rail' gives LR, 'leg' gives L."""
    letters = [word[0] for word in re.findall(r"[^\W\d_]+", name)]
    return "".join(letters[:3]).upper() or "P"
