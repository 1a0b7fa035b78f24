"""Blocks as HTML, through templates that escape every word, as the cells of tables do, which are made here.

What is only for paper (label sheets, page breaks) is left out; a full-size template becomes one line that names it,
because a screen is never true to size. Words keep the characters they have on paper, set fractions too, so that a
figure is found by the same search in both.
"""

from __future__ import annotations

import re
import unicodedata
from base64 import b64encode
from collections.abc import Callable, Mapping, Sequence
from functools import cache, lru_cache
from hashlib import sha256
from threading import local
from typing import TYPE_CHECKING
from urllib.parse import quote

from markupsafe import Markup, escape

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block
from shopdocs.blocks.text import Column, Row, Run, Table, Text, plain
from shopdocs.core.assets import layouts_folder
from shopdocs.core.display import FRACTION_SLASH
from shopdocs.output.exact import exact_number

if TYPE_CHECKING:
    from jinja2 import Environment

Target = Callable[[str], str | None]

# Drawings are laid out for a narrow sheet and shown larger, so that their words are as large as the text.
DRAWING_MM = 64.0
TALLEST_MM = 150.0
WIDEST_MM = 180.0  # of a drawing that one pushes aside
BESIDE_MM = 24.0  # of words beside a drawing
SCREEN_MM = DRAWING_MM + BESIDE_MM  # a drawing made for more is not shrunk to the screen
PIXELS_PER_MM = 5.0
# How many letters of a wide system typeface fit on a line of the smallest phone (280 of its 320 pixels).
PHONE_LETTERS = 26
BETWEEN_COLUMNS = 1
LONG = 300  # letters: a list of marks, say, that comes but once; it would only fill memory
LEAST_LETTERS = 4  # of a column: as wide as a link that a thumb can hit

_OVER, _UNDER = "[⁰¹²³⁴⁵⁶⁷⁸⁹]", "[₀₁₂₃₄₅₆₇₈₉]"
_SET = f"(?<!{_OVER}){_OVER}{{1,4}}{FRACTION_SLASH}{_UNDER}{{1,4}}(?!{_UNDER})"
_FRACTION = re.compile(f"({_SET})")
_WHOLE = tuple("0123456789")
# A number and its unit stay on one line, unless the number is of a length that no measure has.
_MEASURE = re.compile(rf"((?:(?<![0-9.])[0-9.]{{1,8}}(?:{_SET})?|{_SET}) (?:mm|in|min|m|g|bf)\b)")
_UNITS = (" m", " in", " g", " bf")  # how those of a measure begin
_IN_MM = re.compile(r'width="([0-9.]+)mm" height="([0-9.]+)mm"')
_RAISED = re.compile(r' dy="[^"]*"')
_BLANKS = re.compile(r"[\t\n\v\f\r\x85\u2028\u2029]+")
# Characters that turn the reading direction over: in a mark or a size they would show something else than is meant.
_TURNING = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def fragment(blocks: tuple[Block, ...], target: Target, taken: set[str] | None = None) -> Markup:
    """The blocks as a piece of HTML. `target` gives the address an anchor leads to, None where there is none: then the
    words stand without a link. `taken` are ids already used on the page; each anchor becomes an id once."""
    _here.target, _here.used = target, set() if taken is None else taken
    return _markup(_macros().sequence(blocks))  # type: ignore[attr-defined]


class _Here(local):
    """The fragment that a thread is at: the macros are made once for all, as each making leaves rings of objects."""

    target: Target
    used: set[str]


_here = _Here()


def _identity(anchor: str) -> str:
    """The id of an anchor, the first time that it comes."""
    if not anchor or anchor in _here.used:
        return ""
    _here.used.add(anchor)
    return anchor_id(anchor)


@cache
def _macros() -> object:
    given = {"target": lambda anchor: _here.target(anchor), "identity": _identity}
    return environment().get_template("record_blocks.html.j2").make_module(given)


def page(template: str, values: Mapping[str, object]) -> str:
    """A whole page from `layouts/TEMPLATE`. Text in `values` is escaped, only `Markup` is taken as it is."""
    return environment().get_template(template).render(values)


def anchor_id(anchor: str) -> str:
    """The anchor as it stands in an id and after the # of an address: no blanks, no quotes."""
    return quote(anchor, safe="", errors="replace")


@cache
def environment() -> Environment:
    """Templates of `layouts/`: escaping is on for every one, and a name that is missing is an error."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    env = Environment(
        loader=FileSystemLoader(layouts_folder()),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=False,
        auto_reload=False,
    )
    env.filters |= {"words": words, "legible": legible, "set": set_text, "plain": plain, "svg": _drawing, "code": _code}
    env.globals |= {"kind": _kind, "stacks": stacks, "is_long": is_long, "cells": _cells}
    env.globals |= {"style_sheet": _style_sheet, "script": _script, "policy": _policy}
    return env


def words(content: str) -> Markup:
    """Escaped, with measures marked so that they stay on one line, and set fractions so that they can be enlarged."""
    return _known_words(content) if len(content) < LONG else _words(content)


@lru_cache(maxsize=2**14)
def _known_words(content: str) -> Markup:
    return _words(content)


def _words(content: str) -> Markup:
    told = legible(content)
    if not any(unit in told for unit in _UNITS):  # of long lists of marks one knows it sooner so
        return _with_fractions(told)
    return _marked(_MEASURE, "measure", told, _with_fractions)


def _with_fractions(content: str) -> Markup:
    """Fractions stand apart from a whole number before them: 2 5/32 must never be read as 25/32."""
    if FRACTION_SLASH not in content:
        return _escaped(content)
    parts = _FRACTION.split(content)
    out = [_escaped(parts[0])]
    for before, found, after in zip(parts[::2], parts[1::2], parts[2::2], strict=False):
        name = "fraction apart" if before[-1:] in _WHOLE else "fraction"
        out.append(Markup(f'<span class="{name}">{_escaped(found)}</span>{_escaped(after)}'))
    return Markup("").join(out)


def _marked(pattern: re.Pattern[str], name: str, content: str, inner: Callable[[str], Markup]) -> Markup:
    """The parts that `pattern`, one group, finds are put in a span of class `name`."""
    if not pattern.search(content):
        return inner(content)
    parts = [inner(part) for part in pattern.split(content)]
    return Markup(
        "".join(f'<span class="{name}">{part}</span>' if index % 2 else part for index, part in enumerate(parts))
    )


def _escaped(content: str) -> Markup:
    return escape(content)


def set_text(content: Text) -> Markup:
    """A text; each figure carries its exact value, so that a page can be checked by machine."""
    return Markup("".join(map(_run, content)))


def _run(run: Run) -> Markup:
    if isinstance(run, str):
        return words(run)
    exact = f"{exact_number(run.value)} {run.unit}".strip()
    return Markup(f'<data value="{_escaped(legible(exact))}">{words(run.shown)}</data>')


def legible(content: str) -> str:
    """Composed (NFC), breaks as blanks; characters that cannot be shown or turn the reading direction are written out,
    such as [U+202E]."""
    if content.isascii() and content.isprintable():
        return content
    composed = unicodedata.normalize("NFC", _BLANKS.sub(" ", content))
    return "".join(f"[U+{ord(char):04X}]" if _unfit(char) else char for char in composed)


def _unfit(char: str) -> bool:
    """Controls, lone surrogates, code points that are no characters, turning marks."""
    return unicodedata.category(char) in ("Cc", "Cs") or char in _TURNING or ord(char) & 0xFFFE == 0xFFFE


def stacks(table: Table) -> bool:
    """Whether the rows of a table have to stand as cards on a phone, because its widest words do not fit beside each
    other."""
    widest = [_widest(column, table, index) for index, column in enumerate(table.columns)]
    return sum(widest) + BETWEEN_COLUMNS * max(0, len(widest) - 1) > PHONE_LETTERS


def _widest(column: Column, table: Table, index: int) -> int:
    cells = [_shown(row, index) for group in table.groups for row in group.rows]
    letters = max((len(word) for text in (column.title, column.unit, *cells) for word in text.split()), default=0)
    return max(letters, LEAST_LETTERS)


def _shown(row: Row, index: int) -> str:
    return plain(row.cells[index].text) if index < len(row.cells) else ""


def _cells(row: Row, columns: Sequence[Column]) -> Markup:
    """The cells of a row, one a line. Of records they are most; a template takes three times as long over them."""
    return Markup("\n".join([_cell(row, column, index) for index, column in enumerate(columns)]))


def _cell(row: Row, column: Column, index: int) -> str:
    found = row.cells[index] if index < len(row.cells) else None
    leads = _here.target(found.link) if found is not None and found.link else None
    told = set_text(found.text) if found is not None else ""
    tag, role = ("td", 'role="cell"') if index else ("th", 'scope="row" role="rowheader"')
    strong = " strong" if column.strong or (found is not None and found.strong) else ""
    empty = "" if found is not None and plain(found.text).strip() else " empty"
    label = ""
    if column.title and index:
        unit = f", {words(column.unit)}" if column.unit else ""
        label = f'<span class="label" aria-hidden="true">{words(column.title)}{unit}</span>'
    value = f'<a href="{escape(leads)}">{told}</a>' if leads else told
    align = escape(column.align)
    return f'<{tag} {role} class="{align}{strong}{empty}">{label}<span class="value">{value}</span></{tag}>'


def is_long(content: Text) -> bool:
    """Whether a value needs the whole width of a phone."""
    return len(plain(content)) > 10


def _kind(block: Block) -> str:
    return type(block).__name__


def _drawing(drawing: Drawing) -> Markup:
    """The drawing as SVG in a box as wide as it may become; one that is wider than a screen is pushed aside in it.

    On paper the figures of a fraction are moved up and down to suit the typeface of the sheets. A phone has another,
    whose own raised and lowered figures stand right, so they are left where they are.
    """
    from shopdocs.output.svg import drawing_svg

    wide = drawing.width.float_mm(drawing.scale) + BESIDE_MM if drawing.scale is not None else 0.0
    tall = min(max(drawing.tallest_mm, DRAWING_MM), TALLEST_MM)
    svg = _RAISED.sub("", drawing_svg(drawing, max(DRAWING_MM, min(wide, WIDEST_MM)), tall))
    box = Markup('<div class="sheet wide" tabindex="0">{}</div>' if wide > SCREEN_MM else '<div class="sheet">{}</div>')
    return box.format(Markup(_IN_MM.sub(_in_pixels, svg, count=1)))


def _in_pixels(size: re.Match[str]) -> str:
    """The size of a drawing as it is shown where there is room for it."""
    wide, high = (round(float(each) * PIXELS_PER_MM) for each in size.groups())
    return f'width="{wide}" height="{high}"'


def _code(data: str) -> Markup:
    """A QR symbol, four modules of white around it (ISO/IEC 18004); nothing where the data fit no symbol."""
    from shopdocs.page.qr import QUIET, modules

    try:
        rows = modules(data)
    except ValueError:
        return Markup("")
    side = len(rows) + 2 * QUIET
    path = "".join(
        f"M{match.start() + QUIET} {number + QUIET}h{len(match.group())}v1h-{len(match.group())}z"
        for number, row in enumerate(rows)
        for match in re.finditer("1+", row)
    )
    return Markup(
        '<svg class="code" role="img" aria-label="QR code" viewBox="0 0 {0} {0}" shape-rendering="crispEdges">'
        '<rect width="{0}" height="{0}" fill="#fff"/><path d="{1}"/></svg>'
    ).format(side, path)


@cache
def _style_sheet() -> Markup:
    """The style sheet of the pages, to stand inside them."""
    return _markup((layouts_folder() / "record.css").read_text("utf-8").strip())


@cache
def _script() -> Markup:
    """The one script of the pages, to stand inside them: it keeps the ticks on the phone."""
    return _markup((layouts_folder() / "record.js").read_text("utf-8").strip())


@cache
def _policy() -> str:
    """The content security policy of a page (W3C CSP Level 3): nothing is fetched, and only the style sheet and the
    script that stand in the page, known by their digests, have a say; the worker keeps the pages for offline."""
    style, script = (b64encode(sha256(part.encode()).digest()).decode() for part in (_style_sheet(), _script()))
    return (
        f"default-src 'none'; style-src 'sha256-{style}'; script-src 'sha256-{script}'; worker-src 'self'; "
        "base-uri 'none'; form-action 'none'"
    )


def _markup(trusted: str) -> Markup:
    return Markup(trusted)
