"""Single values: from a scalar's text to what it means, or a problem at its place.

Every method gives None after it has noted a problem, so that reading goes on with the next key.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from enum import StrEnum
from fractions import Fraction
from typing import TypeVar

from shopdocs.core.display import Units
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Position, Problem, error
from shopdocs.core.typeset import typeset
from shopdocs.model.joining import Screw
from shopdocs.model.parts import Price, PriceUnit
from shopdocs.source.arithmetic import Unreadable, evaluate, names_in, tidy
from shopdocs.source.guess import closest
from shopdocs.source.nodes import MISSING, Scalar, shorten

E = TypeVar("E", bound=StrEnum)

LONGEST_TEXT = 2000
LONGEST_NAME = 60
KILOMETRE = Length(1_000_000)
MOST = 10_000
MOST_PROBLEMS = 10_000
MOST_DIGITS = 12  # that are read as a number at all
THICKEST_SCREW = 20  # millimetres, of a coach screw (common practice, no source)
LARGEST_GAUGE = 24  # wood screws, ASME B18.6.1

_DECIMAL = re.compile(r"\d{1,9}(?:\.\d{1,6})?|\.\d{1,6}")
_VOLUME = re.compile(r"(\d{1,5}(?:\.\d{1,3})?)\s*(ft3|ft³|l|litres?|liters?)")
LITRES_IN_CUBIC_FOOT = Fraction("28.316846592")  # exact: (3.048 dm)³
_PERCENT = re.compile(r"(\d{1,3}(?:\.\d{1,4})?)\s*%?")
_TIME = re.compile(r"(\d{1,6}(?:\.\d{1,4})?)\s*(min|minutes?|h|hours?|d|days?)\b", re.I)
_TEMPERATURE = re.compile(r"(-?\d{1,3}(?:\.\d)?)\s*(?:°|deg(?:rees)?)?\s*([FC])", re.I)
_GAUGE = re.compile(r"#\s*(\d{1,2})(?:\s*x\s*(.+))?$")
_METRIC = re.compile(r"(M)?\s*(\d{1,2}(?:\.\d)?)\s*(?:mm)?(?:\s*x\s*(\d{1,3}(?:\.\d)?)\s*(?:mm)?)?\s*(bolt)?$", re.I)
_PRICE_UNITS = {
    "bf": PriceUnit.BOARD_FOOT,
    "board foot": PriceUnit.BOARD_FOOT,
    "m3": PriceUnit.CUBIC_METRE,
    "m³": PriceUnit.CUBIC_METRE,
    "m2": PriceUnit.SQUARE_METRE,
    "m²": PriceUnit.SQUARE_METRE,
    "ft": PriceUnit.FOOT,
    "foot": PriceUnit.FOOT,
    "m": PriceUnit.METRE,
    "sheet": PriceUnit.SHEET,
    "piece": PriceUnit.PIECE,
}
_YES = {"yes": True, "true": True, "on": True, "no": False, "false": False, "off": False}


def _ends(text: str, wanted: re.Pattern[str]) -> tuple[Fraction, Fraction] | None:
    """The two ends of a stretch such as '30 % to 65 %', or one number twice; None for anything else."""
    found = [wanted.fullmatch(end.strip()) for end in re.split(r"\s+to\s+", text.strip())]
    values = [Fraction(match.group(1)) for match in found if match]
    return (values[0], values[-1]) if len(values) == len(found) <= 2 else None


def suggestion(name: str, known: Iterable[str], kind: str) -> str:
    """What would be right where a name is unknown: the closest known one, or some of them."""
    names = list(known)
    close = closest(name, names)
    if close is not None:
        return f"did you mean '{close}'?"
    if not names:
        return f"no {kind} is described yet"
    shown = ", ".join(f"'{n}'" for n in names[:6])
    return f"known: {shown}" + (" …" if len(names) > 6 else "")


def _as_written(words: str, written: Mapping[str, str] | None) -> str:
    for name, text in (written or {}).items():
        words = words.replace(name, text)
    return words


class Values:
    """Reads scalars in a file whose bare numbers are `units`, with `names` as named lengths; `nameless`, the file has
    none."""

    def __init__(self, units: Units, names: Mapping[str, Length] | None = None, nameless: bool = False) -> None:
        self.units: Units = units
        self.nameless = nameless
        self.names = dict(names or {})
        self.problems: list[Problem] = []
        self.fractions: list[Scalar] = []  # lengths with a fraction in them, as they are written
        self.forgiven: set[str] = set()  # names whose own entry was faulty: a reference to one is not a second mistake

    def note(self, at: Position, code: str, wrong: str, right: str) -> None:
        """Keep an error for the report; `code`, `wrong` and `right` as in `Problem`."""
        if len(self.problems) < MOST_PROBLEMS:  # past this it is not a build, and nobody reads on
            self.problems.append(error(at, code, wrong, right))

    def noted_within(self, at: Position) -> bool:
        """Whether something was noted in the same file at or after this place."""
        return any(p.at.file == at.file and p.at >= at for p in self.problems)

    def known(self, node: Scalar | None, names: Iterable[str], kind: str) -> str | None:
        """A name that must be among `names`, or None after a problem."""
        if node is None or node.text == MISSING:
            return None
        name = self.line(node)
        if name in (known := list(names)):
            return name
        if not self.is_forgiven(name):
            self.note(node.at, "unknown-name", f"no {kind} is called '{shorten(name)}'", suggestion(name, known, kind))
        return None

    def is_forgiven(self, name: str) -> bool:
        """Whether a name is unknown only because what it stands for was faulty and is told already."""
        return name == MISSING or name in self.forgiven

    def words(self, node: Scalar | None, default: str = "") -> str:
        """Text on one or more lines, control characters removed."""
        if node is None or node.text == MISSING:
            return default
        if len(node.text) > LONGEST_TEXT:
            self.note(
                node.at, "long-text", f"a text of {len(node.text)} letters", f"at most {LONGEST_TEXT} fit on a sheet"
            )
        text = node.text[:LONGEST_TEXT]
        if text.isprintable():  # on one line, then
            return " ".join(text.split())
        cleaned = "".join(ch if ch.isprintable() or ch in "\n " else " " for ch in text)
        return "\n".join(" ".join(line.split()) for line in cleaned.strip().split("\n"))

    def line(self, node: Scalar | None, default: str = "") -> str:
        """The words of a node on one line, without double spaces."""
        return " ".join(self.words(node, default).split())

    def name(self, raw: str, at: Position, most: int = LONGEST_NAME) -> str:
        """A name that the maker gives to something, on one line; too long a one would leave no room beside it."""
        name = " ".join(raw.split())
        if len(name) > most:
            self.note(at, "long-name", f"a name of {len(name)} letters", f"at most {most} fit on a sheet")
        return name

    def brief(self, node: Scalar | None, most: int = LONGEST_NAME) -> str:
        """A line as short as a name."""
        return self.name(self.line(node), node.at, most) if node is not None else ""

    def note_words(self, node: Scalar | None) -> str:
        """What the maker tells those who read the sheets, set as it is printed."""
        return typeset(self.line(node))

    def note_lines(self, nodes: Iterable[Scalar] | None) -> tuple[str, ...]:
        """The same of each node on a line of its own; empty ones are left out."""
        return tuple(text for node in nodes or () if (text := self.note_words(node)))

    def length(
        self,
        node: Scalar | None,
        local: Mapping[str, Length] | None = None,
        least: int | None = None,
        written: Mapping[str, str] | None = None,
    ) -> Length | None:
        """A length; with `least` 1 it must be more than zero, with `least` 0 not less. `written` says what the maker
        wrote where a name of `local` stands in its place."""
        if node is None or node.text == MISSING:
            return None
        try:
            value = evaluate(node.text, self.units, {**self.names, **local} if local else self.names)
        except Unreadable as fault:
            if any(name in self.forgiven for name in names_in(node.text)):
                return None
            if fault.name and self.nameless:
                fault = Unreadable(f"'{fault.name}' is not a length", "write 1-3/4, 1.75 or 44.5 mm", fault.column)
            wrong, right = (shorten(_as_written(words, written), 160) for words in (fault.wrong, fault.right))
            self.note(node.place(fault.column), "length", wrong, right)
            return None
        if "/" in node.text and not written:
            self.fractions.append(node)
        return self.within(node, value, least, written)

    def within(
        self, node: Scalar, value: Length, least: int | None, written: Mapping[str, str] | None = None
    ) -> Length | None:
        """The length itself, or None with a note where it is below `least` (0 or 1: zero may or may not stand) or
        beyond a kilometre."""
        if least == 1 and value <= ZERO:
            wrong, right = "not more than zero", "a length above zero is needed"
        elif least == 0 and value < ZERO:
            wrong, right = "less than zero", "zero or more is needed"
        elif value > KILOMETRE or -value > KILOMETRE:
            wrong, right = "more than a kilometre", "check its unit"
        else:
            return value
        self.note(node.at, "length", f"'{shorten(_as_written(node.text, written))}' is {wrong}", right)
        return None

    def split_size(self, node: Scalar, count: int, what: str) -> list[Scalar] | None:
        """The measures of a text such as '7/8 x 3-1/2 x 40', each with its own place, still unread."""
        if node.text == MISSING:
            return None
        pieces = re.split(r"\s+x\s+|(?<=[\d\"'])x(?=[\d.])", tidy(node.text))
        if len(pieces) != count:
            self.note(node.at, "size", f"'{shorten(node.text)}' has {len(pieces)} of {count} measures", f"write {what}")
            return None
        column = node.at.column + (1 if node.quoted else 0)
        found, start = [], 0
        for piece in pieces:
            at = max(node.text.find(piece.strip(), start), start)
            found.append(Scalar(Position(node.at.file, node.at.line, column + at), piece, False))
            start = at + len(piece.strip())
        return found

    def size(self, node: Scalar | None, count: int, what: str) -> tuple[Length, ...] | None:
        """Lengths joined by x: '7/8 x 3-1/2 x 40'."""
        split = self.split_size(node, count, what) if node is not None else None
        if split is None:
            return None
        known = [value for each in split if (value := self.length(each, least=1)) is not None]
        return tuple(known) if len(known) == count else None

    def whole(self, node: Scalar | None, default: int | None = None, least: int = 1, most: int = MOST) -> int | None:
        """A whole number from `least` to `most`; `default` where nothing is written, None with a note for anything
        else."""
        if node is None or node.text == MISSING:
            return default
        text = node.text.strip()
        if not re.fullmatch(r"[+-]?\d+", text, re.ASCII):
            self.note(node.at, "number", f"'{shorten(text)}' is not a whole number", "write digits only, such as 4")
            return None
        if len(text) > MOST_DIGITS or not least <= int(text) <= most:
            self.note(node.at, "number", f"{shorten(text)} is out of range", f"from {least} to {most}")
            return None
        return int(text)

    def number(self, node: Scalar | None, unit: str = "") -> Fraction | None:
        """A decimal above zero, with or without `unit` after it."""
        if node is None or node.text == MISSING:
            return None
        text = node.text.strip()
        if unit and text.lower().endswith(unit):
            text = text[: -len(unit)].strip()
        if not _DECIMAL.fullmatch(text) or not Fraction(text):
            self.note(
                node.at, "number", f"'{shorten(node.text)}' is not a number above zero", f"such as 20 {unit}".strip()
            )
            return None
        return Fraction(text)

    def percent(self, node: Scalar | None, default: Fraction) -> Fraction:
        """A share from 0 to 1, written as '20 %'; `default` where nothing is written or, with a note, for anything
        else."""
        if node is None or node.text == MISSING:
            return default
        match = re.fullmatch(r"(\d{1,3}(?:\.\d{1,2})?)\s*%", node.text.strip())
        if not match or Fraction(match.group(1)) > 100:
            self.note(node.at, "percent", f"'{shorten(node.text)}' is not a percentage up to 100", "write it as 20 %")
            return default
        return Fraction(match.group(1)) / 100

    def share(self, node: Scalar | None, most: Fraction) -> Fraction | None:
        """A share above zero, written in percent as '0.27 %', up to `most` percent; None where nothing is written or,
        with a note, for anything else."""
        if node is None or node.text == MISSING:
            return None
        match = _PERCENT.fullmatch(node.text.strip())
        if not match or not 0 < Fraction(match.group(1)) <= most:
            wrong = f"'{shorten(node.text)}' is not a percentage above 0 and up to {most}"
            self.note(node.at, "percent", wrong, "write it as 0.27 %")
            return None
        return Fraction(match.group(1)) / 100

    def percents(self, node: Scalar | None, most: int, of: str, right: str) -> tuple[Fraction, Fraction] | None:
        """Two percentages from low to high, '30 % to 65 %', or one that stands for both; not above `most`. `of` says
        what they are, `right` what may be meant by more. None where nothing is written or, with a note, for anything
        else."""
        if node is None or node.text == MISSING:
            return None
        found = _ends(node.text, _PERCENT)
        if found is None:
            self.note(node.at, "percent", f"'{shorten(node.text)}' cannot be the {of}", "write it as 30 % to 65 %")
            return None
        low, high = found
        if high > most or low > most:
            self.note(node.at, "percent", f"'{shorten(node.text)}' cannot be the {of}", f"from 0 to {most} %: {right}")
            return None
        return self._rising(node, low, high)

    def _rising(self, node: Scalar, low: Fraction, high: Fraction) -> tuple[Fraction, Fraction] | None:
        if low > high:
            self.note(node.at, "range", f"'{shorten(node.text)}' runs backwards", "write the lower one first")
            return None
        return low, high

    def climate(self, node: Scalar | None) -> tuple[Fraction, Fraction] | None:
        """Two temperatures of the air in °C, '64 F to 75 F', or one that stands for both; None where nothing is written
        or, with a note, for anything else."""
        if node is None or node.text == MISSING:
            return None
        ends = [Scalar(node.at, text, node.quoted) for text in re.split(r"\s+to\s+", node.text.strip())]
        found = [self.celsius(end, of="temperature of the air") for end in ends[:2]]
        if len(ends) > 2:
            self.note(node.at, "temperature", f"'{shorten(node.text)}' has more than two ends", "write 64 F to 75 F")
        low, high = found[0], found[-1]
        return self._rising(node, low, high) if low is not None and high is not None and len(ends) < 3 else None

    def minutes(self, node: Scalar | None, bare: bool = False, most: int | None = None) -> Fraction | None:
        """A time in minutes: '90 min', '1 h 30 min', '2 days'; a bare number only where minutes are asked for. With
        `most` it lies between a tenth of a minute and so many hours."""
        if node is None or node.text == MISSING:
            return None
        text = node.text.strip()
        if bare and _DECIMAL.fullmatch(text) and Fraction(text):
            return self._within(node, Fraction(text), most)
        found = list(_TIME.finditer(text))
        if not found or _TIME.sub("", text).strip(" ,."):
            self.note(node.at, "time", f"'{shorten(text)}' is not a time", "write it as 90 min, 8 h or 2 days")
            return None
        scale = {"m": 1, "h": 60, "d": 1440}
        value = sum((Fraction(m.group(1)) * scale[m.group(2)[0].lower()] for m in found), Fraction(0))
        if value <= 0:
            self.note(node.at, "time", "a time of zero", "more than zero is needed")
            return None
        return self._within(node, value, most)

    def _within(self, node: Scalar, value: Fraction, most: int | None) -> Fraction | None:
        if most is not None and not Fraction(1, 10) <= value <= most * 60:
            wrong = f"'{shorten(node.text.strip())}' is out of range"
            self.note(node.at, "time", wrong, f"from 0.1 min to {most} h; check its unit")
            return None
        return value

    def celsius(self, node: Scalar | None, least: int = -20, of: str = "temperature of the shop") -> Fraction | None:
        """A temperature in °C from `least` to 60, written as '66 F' or '19 C'; None where nothing is written or, with
        a note, for anything else. `of` says what is so warm or cold."""
        if node is None or node.text == MISSING:
            return None
        match = _TEMPERATURE.fullmatch(node.text.strip().replace("−", "-"))
        if not match:
            self.note(
                node.at, "temperature", f"'{shorten(node.text)}' is not a temperature", "write it as 66 F or 19 C"
            )
            return None
        value = Fraction(match.group(1))
        celsius = value if match.group(2).upper() == "C" else (value - 32) * 5 / 9
        if not least <= celsius <= 60:
            self.note(node.at, "temperature", f"'{shorten(node.text)}' cannot be the {of}", "check F and C")
            return None
        return celsius

    def room(self, node: Scalar | None) -> Fraction | None:
        """A volume in cubic feet, written as '2.5 ft3' or '70 l', or the word none; None where nothing is written or,
        with a note, for anything else."""
        if node is None or node.text == MISSING:
            return None
        text = node.text.strip().lower()
        match = _VOLUME.fullmatch(text)
        if text not in ("none", "nothing", "0") and not match:
            self.note(
                node.at, "volume", f"'{shorten(node.text)}' is not a volume", "write it as 2.5 ft3 or 70 l, or none"
            )
            return None
        if match is None:
            return Fraction(0)
        return Fraction(match.group(1)) / (1 if match.group(2).startswith("ft") else LITRES_IN_CUBIC_FOOT)

    def yes(self, node: Scalar | None, default: bool) -> bool:
        """Yes or no in the words of YAML; `default` where nothing is written or, with a note, for anything else."""
        if node is None or node.text == MISSING:
            return default
        value = _YES.get(node.text.strip().lower())
        if value is None:
            self.note(node.at, "yes-no", f"'{shorten(node.text)}' is neither yes nor no", "write yes or no")
            return default
        return value

    def word(self, node: Scalar | None, known: Iterable[str], kind: str, or_else: str = "") -> str | None:
        """One of the known words; letter case and spaces are forgiven. `or_else` is said where none of them is near."""
        if node is None or node.text == MISSING:
            return None
        folded = {" ".join(w.lower().split()): w for w in known}
        text = " ".join(node.text.lower().split())
        if text in folded:
            return folded[text]
        right = suggestion(text, folded.values(), kind)
        right += "" if right.endswith("?") else or_else
        self.note(node.at, "unknown-word", f"no {kind} is called '{shorten(node.text)}'", right)
        return None

    def choice(self, node: Scalar | None, enum: type[E], kind: str) -> E | None:
        """One of the words of an enumeration; None where nothing is written or, with a note, for another word."""
        word = self.word(node, [member.value for member in enum], kind)
        return enum(word) if word is not None else None

    def price(self, node: Scalar | None) -> Price | None:
        """A price with its unit, written as '9.20 per bf'; None where nothing is written or, with a note, for
        anything else."""
        if node is None or node.text == MISSING:
            return None
        match = re.fullmatch(r"([^\d\s.,+(−–-]{0,3})\s*(\d{1,7}(?:\.\d{1,4})?)\s*(?:per|a|/)\s*(.+)", node.text.strip())
        unit = _PRICE_UNITS.get(match.group(3).strip().lower()) if match else None
        if not match or unit is None:
            units = ", ".join(dict.fromkeys(u.value for u in _PRICE_UNITS.values()))
            self.note(
                node.at, "price", f"'{shorten(node.text)}' is not a price", f"write it as 9.20 per bf (units: {units})"
            )
            return None
        return Price(Fraction(match.group(2)), unit)

    def screw(self, node: Scalar | None) -> Screw | None:
        """A screw, written as '#8 x 1-1/4' or '4 x 40'; None where nothing is written or, with a note, for anything
        else."""
        if node is None or node.text == MISSING:
            return None
        text = tidy(node.text).strip()
        gauge = _GAUGE.fullmatch(text)
        if gauge and int(gauge.group(1)) > LARGEST_GAUGE:
            wrong = f"there is no wood screw of gauge {gauge.group(1)}"
            self.note(node.at, "screw", wrong, f"gauges go from #0 to #{LARGEST_GAUGE}")
            return None
        if gauge:
            length = None
            if gauge.group(2):
                length = self.length(Scalar(node.at, gauge.group(2), node.quoted), least=1)
                if length is None:
                    return None
            return Screw(self.line(node), gauge=int(gauge.group(1)), length=length)
        metric = _METRIC.fullmatch(text)
        if metric and self.units == "in" and "mm" not in text.lower() and not metric.group(1):
            wrong = f"'{shorten(text)}' may be a gauge or millimetres"
            self.note(node.at, "screw", wrong, f"write '#{text}' in quotes, or the unit: {text} mm")
            return None
        if metric and Fraction(metric.group(2)):
            long = Length(Fraction(metric.group(3))) if metric.group(3) else None
            bolt = bool(metric.group(1) or metric.group(4))
            if not bolt and Fraction(metric.group(2)) > THICKEST_SCREW:
                wrong = f"there is no wood screw {metric.group(2)} mm thick"
                self.note(node.at, "screw", wrong, "write its thickness first: 5 x 50 mm")
                return None
            return Screw(self.line(node), diameter=Length(Fraction(metric.group(2))), length=long, bolt=bolt)
        right = "write '#8 x 1-1/4' (in quotes), '4 x 40 mm' or 'M6 bolt'"
        self.note(node.at, "screw", f"'{shorten(node.text)}' is not a screw size", right)
        return None
