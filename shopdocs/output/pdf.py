"""Writes composed frames as PDF 1.7. It decides nothing: same frames, same bytes."""

from __future__ import annotations

import re
from pathlib import Path as FilePath
from typing import TYPE_CHECKING, Any, BinaryIO

from shopdocs.page import typeface
from shopdocs.page.compose import Composed
from shopdocs.page.items import Clip, Dash, Disc, Face, Frame, Line, Link, Path, Symbol, TextRun, Unclip

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

_ESCAPED = re.compile(rb"[()\\\x00-\x1f\x7f-\xff]")
_CIRCLE = 0.5522847498  # control points of a quarter circle drawn as a Bezier curve
CREATOR = "shopdocs"


def write_pdf(
    composed: Composed,
    target: str | FilePath | BinaryIO,
    *,
    title: str = "",
    subject: str = "",
    language: str = "en",
) -> None:
    """Writes all frames to a path or an open binary file. `title` is the build's title where none is given."""
    from reportlab import rl_config

    rl_config.useA85 = 0  # binary streams: a fifth smaller, and encoded in no time
    from reportlab.pdfgen.canvas import Canvas

    _register_fonts()
    imprint = composed.imprint
    canvas = Canvas(
        str(target) if isinstance(target, (str, FilePath)) else target,
        pdfVersion=(1, 7),
        invariant=1,
        pageCompression=1,
        initialFontName=typeface.FONT_NAMES["regular"],
        lang=language,
    )
    canvas.setTitle(title or f"{imprint.title} ({imprint.mark})" if imprint.mark else title or imprint.title)
    canvas.setAuthor(imprint.maker)
    canvas.setSubject(
        subject or " ".join(part for part in (f"revision {imprint.revision}", imprint.date) if part.strip())
    )
    canvas.setCreator(CREATOR)
    canvas.setProducer(CREATOR)
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    if len(composed.frames) > 1:
        canvas.showOutline()
    writer = _Writer(canvas, composed)
    for index, frame in enumerate(composed.frames):
        writer.page(index, frame)
    if not composed.frames:
        canvas.showPage()
    canvas.save()


def _register_fonts() -> None:
    from reportlab.pdfbase import pdfmetrics

    known = set(pdfmetrics.getRegisteredFontNames())
    for face, name in typeface.FONT_NAMES.items():
        if name not in known:
            pdfmetrics.registerFont(typeface.font(face))


class _Writer:
    """Turns frames into content streams. Strings are encoded once for each face and size."""

    def __init__(self, canvas: Canvas, composed: Composed) -> None:
        from reportlab.pdfbase import pdfmetrics

        self.canvas = canvas
        self.composed = composed
        self.fonts: dict[Face, Any] = {face: pdfmetrics.getFont(name) for face, name in typeface.FONT_NAMES.items()}
        self.shown: dict[tuple[Face, float, str], str] = {}
        self.targets: dict[int, list[tuple[str, float]]] = {}
        for name, (page, y) in composed.anchors.items():
            self.targets.setdefault(page, []).append((f"a-{name}", y))
        self.entries: dict[int, list[tuple[int, str, str, float]]] = {}
        depth = -1
        for number, entry in enumerate(composed.outline):
            depth = min(entry.level, depth + 1)
            self.entries.setdefault(entry.page, []).append((depth, entry.title, f"o-{number}", entry.y))

    def page(self, index: int, frame: Frame) -> None:
        canvas = self.canvas
        canvas.setPageSize((frame.width, frame.height))
        canvas.setTrimBox((0, 0, frame.width, frame.height))
        if frame.number == 1:
            canvas.addPageLabel(index, style="ARABIC", start=1, prefix=f"{frame.document} ")
        for name, y in self.targets.get(index, ()):
            canvas.bookmarkPage(name, fit="XYZ", left=0, top=min(frame.height, y + 12))
        for depth, title, key, y in self.entries.get(index, ()):
            canvas.bookmarkPage(key, fit="XYZ", left=0, top=min(frame.height, y + 12))
            canvas.addOutlineEntry(title, key, depth, closed=depth >= 1)
        canvas._code.extend(self.content(frame))
        canvas.showPage()

    def content(self, frame: Frame) -> list[str]:
        code: list[str] = []
        put = code.append
        in_text = False
        ink = 0.0
        shown = self.shown
        for item in frame.items:
            if type(item) is TextRun:
                x, y, face, size, words, angle, shade = item
                if not in_text:
                    put("BT")
                    in_text = True
                if shade != ink:
                    put(f"{_n(shade)} g")
                    ink = shade
                key = (face, size, words)
                operators = shown.get(key)
                if operators is None:
                    operators = shown[key] = self.encoded(face, size, words)
                if angle == 90:
                    put(f"0 1 -1 0 {x:.3f} {y:.3f} Tm {operators}")
                else:
                    put(f"1 0 0 1 {x:.3f} {y:.3f} Tm {operators}")
                continue
            if in_text:
                put("ET")
                in_text = False
            if type(item) is Link:
                self.link(item)
                continue
            if ink != 0.0 and not isinstance(item, (Line, Clip, Unclip)):
                ink = 0.0
                put("0 g")
            put(_drawn(item))
        if in_text:
            put("ET")
        return code

    def encoded(self, face: Face, size: float, words: str) -> str:
        """Font, size and string operators; set fractions get their figures raised and lowered."""
        style = typeface.fraction_style()
        parts: list[str] = []
        at = 0
        for match in typeface.FRACTION.finditer(words):
            if match.start() > at:
                parts.append(self.piece(face, size, words[at : match.start()], 0.0))
            if gap := typeface.gap_before(words, match.start()):
                parts.append(f"[{_n(-1000 * gap)}] TJ")
            larger = size * style.scale
            over, slash, under = match.groups()
            figures = [over] if over != typeface.ONES else [over[0], over[1]]
            closer = f" [{_n(1000 * style.ones)}] TJ "
            parts.append(closer.join(self.piece(face, larger, each, style.numerator_rise * larger) for each in figures))
            parts.append(self.piece(face, larger, slash, 0.0))
            parts.append(self.piece(face, larger, under, style.denominator_rise * larger))
            at = match.end()
        if at < len(words):
            parts.append(self.piece(face, size, words[at:], 0.0))
        return " ".join(parts)

    def piece(self, face: Face, size: float, words: str, rise: float) -> str:
        font, doc = self.fonts[face], self.canvas._doc
        out: list[str] = []
        for subset, data in font.splitString(words, doc):
            name = font.getSubsetInternalName(subset, doc)
            text = _ESCAPED.sub(_escape, data).decode("ascii")
            out.append(f"{name} {_n(size)} Tf ({text}) Tj")
        body = " ".join(out)
        return f"{rise:.3f} Ts {body} 0 Ts" if rise else body

    def link(self, item: Link) -> None:
        if item.anchor in self.composed.anchors:
            self.canvas.linkRect("", f"a-{item.anchor}", (item.x0, item.y0, item.x1, item.y1), relative=0, thickness=0)


def _escape(found: re.Match[bytes]) -> bytes:
    """Brackets and backslashes behind a backslash, what is no printable ASCII as three octal digits (ISO 32000-1,
    7.3.4.2): the page is written as UTF-8, which would make two bytes of a code above 127."""
    byte = found.group()
    return b"\\" + byte if byte in b"()\\" else b"\\%03o" % byte[0]


def _n(value: float) -> str:
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("", "-0") else text


def _dash(dash: Dash) -> str:
    return f"[{' '.join(_n(part) for part in dash)}] 0 d"


def _drawn(item: object) -> str:
    if type(item) is Line:
        dashed = f"{_dash(item.dash)} " if item.dash else ""
        after = " [] 0 d" if item.dash else ""
        return f"{dashed}{item.width:.3f} w {item.x0:.4f} {item.y0:.4f} m {item.x1:.4f} {item.y1:.4f} l S{after}"
    if type(item) is Path:
        steps = " ".join(f"{x:.4f} {y:.4f} {'l' if i else 'm'}" for i, (x, y) in enumerate(item.points))
        return _painted(steps, item.closed, item.width, item.dash, item.fill)
    if type(item) is Disc:
        return _painted(_circle(item.x, item.y, item.radius), True, item.width, item.dash, item.fill)
    if type(item) is Symbol:
        return _symbol(item)
    if type(item) is Clip:
        return f"q {item.x0:.4f} {item.y0:.4f} {item.x1 - item.x0:.4f} {item.y1 - item.y0:.4f} re W n"
    assert type(item) is Unclip
    return "Q"


def _painted(steps: str, closed: bool, width: float, dash: Dash, fill: float | None) -> str:
    before = f"{_dash(dash)} " if dash and width else ""
    after = " [] 0 d" if dash and width else ""
    if fill is not None and fill != 0.0:
        before, after = f"{before}{_n(fill)} g ", f" 0 g{after}"
    if fill is None:
        paint = "s" if closed else "S"
    elif width:
        paint = "b" if closed else "B"
    else:
        paint = "f"
    stroke = f"{width:.3f} w " if width else ""
    return f"{before}{stroke}{steps} {paint}{after}"


def _circle(x: float, y: float, r: float) -> str:
    k = r * _CIRCLE
    return (
        f"{x + r:.4f} {y:.4f} m {x + r:.4f} {y + k:.4f} {x + k:.4f} {y + r:.4f} {x:.4f} {y + r:.4f} c "
        f"{x - k:.4f} {y + r:.4f} {x - r:.4f} {y + k:.4f} {x - r:.4f} {y:.4f} c "
        f"{x - r:.4f} {y - k:.4f} {x - k:.4f} {y - r:.4f} {x:.4f} {y - r:.4f} c "
        f"{x + k:.4f} {y - r:.4f} {x + r:.4f} {y - k:.4f} {x + r:.4f} {y:.4f} c"
    )


_RUN = re.compile("1+")
_paths: dict[tuple[str, ...], str] = {}


def _symbol(item: Symbol) -> str:
    """Rows of modules as one path in module units: small, and without hairs between modules."""
    path = _paths.get(item.rows)
    if path is None:
        last = len(item.rows) - 1
        path = _paths[item.rows] = " ".join(
            f"{start} {last - number} {end - start} 1 re"
            for number, row in enumerate(item.rows)
            for start, end in map(re.Match.span, _RUN.finditer(row))
        )
    return f"q {item.module:.5f} 0 0 {item.module:.5f} {item.x:.4f} {item.y:.4f} cm {path} f Q"
