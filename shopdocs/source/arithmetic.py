"""Reads lengths the way makers write them, and arithmetic over named lengths.

A bare number takes the build's unit when it is used as a length. `1-3/4` without spaces is a mixed number, `4 - 3/4`
with spaces a subtraction. Only + - * / ( ) and names are understood; nothing is ever executed. All values are exact.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate

from msgspec import Struct

from shopdocs.core.display import Units, plain_mixed_number
from shopdocs.core.length import Length
from shopdocs.source.guess import closest

UNIT_SIZES: dict[str, Length] = {
    **dict.fromkeys(("in", "inch", "inches", '"'), Length.inches(1)),
    **dict.fromkeys(("ft", "foot", "feet", "'"), Length.inches(12)),
    **dict.fromkeys(("mm",), Length(1)),
    **dict.fromkeys(("cm",), Length(10)),
    **dict.fromkeys(("m",), Length(1000)),
}
_SHORT = ("in", "ft", "mm", "cm", "m")  # units that some write with a full stop
MAX_TEXT = 300
MAX_DIGITS = 12


class Unreadable(ValueError):
    """A text that is no length. `column` is the offset of the fault in the text, `right` what would be right, `name` a
    word that was taken for the name of a dimension and is none."""

    def __init__(self, wrong: str, right: str, column: int = 0, name: str = "") -> None:
        super().__init__(wrong)
        self.wrong = wrong
        self.right = right
        self.column = column
        self.name = name


class Quantity(Struct, frozen=True):
    """A value inside an expression: of `power` 1 a length in millimetres, of power 0 a number. A bare number (as
    written, not the ratio of two lengths) may become a length of the build's unit."""

    value: Fraction
    power: int
    bare: bool = False


_NUMBER = r"\d+(?:\.\d*)?|\.\d+"
_TOKEN = re.compile(
    rf"""\s*(?:
      (?P<mixed>\d+(?:-|\s+)\d+/\d+)(?![\d./])
    | (?P<fraction>\d+/\d+)(?![\d./])
    | (?P<number>{_NUMBER})(?![\d.])
    | (?P<name>[^\W\d]\w*(?:[ \t]+[^\W\d]\w*)*)
    | (?P<mark>["'])
    | (?P<op>[-+*/()])
    )""",
    re.VERBOSE,
)
_PLAIN_NUMBER = re.compile(rf"\s*({_NUMBER})(?![\d.])")
_AFTER_DIVISION = re.compile(r"\s*(\d+(?:-|\s+))?\d+/\d+")
# A minus with a space on one side only, and a fraction after it.
_HALF_SPACED = re.compile(r"(?<![\d.])\d+(?:\s+-|-\s+)\d+/\d+(?![\d./])")
_DIVIDED_MIXED = re.compile(r"(?<![\d./])\d+-\d+/\d+[./]")
_FACE_AHEAD = re.compile(r"\.[^\W\d]\w*")
_LOOKALIKES = str.maketrans(
    {
        **dict.fromkeys("−–‐‑", "-"),
        **dict.fromkeys("″”“", '"'),
        **dict.fromkeys("′’‘", "'"),
        **dict.fromkeys("÷⁄", "/"),
        **dict.fromkeys("\u00a0\u2009\u202f", " "),
        "×": "x",
        "·": "*",
    }
)


def _tidied(text: str) -> list[str]:
    """What stands for each character of `text` once typographic signs are plain ones."""
    out: list[str] = []
    before = ""
    for ch in text.translate(_LOOKALIKES):
        if ch.isnumeric() and not ch.isdecimal():  # ¾, and the ³ and ₄ of set fractions
            plain = unicodedata.normalize("NFKC", ch).replace("\u2044", "/")
            starts = before.isdigit() and (
                "/" in plain or (before.isdecimal() and "SUPERSCRIPT" in unicodedata.name(ch))
            )
            out.append((" " if starts else "") + plain)
        else:
            out.append(ch)
        before = ch if "/" not in out[-1] else out[-1][-1]
    return out


def tidy(text: str) -> str:
    """Typographic signs to the plain ones, and ¾ or ³⁄₄ to 3/4 (with a space before it, so that 1¾ stays one and three
    quarters and does not become 13/4)."""
    return text if text.isascii() else "".join(_tidied(text))


class _Token(Struct):
    kind: str
    text: str
    column: int
    end: int = 0


def _refuse_two_readings(text: str) -> None:
    """What one maker reads as a mixed number and another as arithmetic is refused, not guessed."""
    half_spaced = _HALF_SPACED.search(text)
    if half_spaced:
        raise Unreadable(
            f"'{' '.join(half_spaced.group().split())}' may mean a mixed number or a subtraction",
            "write 1-3/4 for the number, 4 - 3/4 for the subtraction",
            half_spaced.start(),
        )
    divided = _DIVIDED_MIXED.search(text)
    if divided:
        raise Unreadable(
            f"'{divided.group()}' can be read in two ways", "put brackets round what is divided", divided.start()
        )


@lru_cache(maxsize=4096)
def _tokens(text: str) -> tuple[_Token, ...]:
    _refuse_two_readings(text)
    found: list[_Token] = []
    at = 0
    while text[at:].strip():
        after_division = bool(found) and found[-1].text == "/"
        match = _PLAIN_NUMBER.match(text, at) if after_division else None
        if match:
            twofold = _AFTER_DIVISION.match(text, at)
            if twofold:
                raise Unreadable(
                    f"'/ {' '.join(twofold.group().split())}' can be read in two ways",
                    "put brackets round the fraction, or spaces round every sign",
                    match.start(1),
                )
            found.append(_Token("number", match.group(1), match.start(1), match.end()))
        else:
            match = _TOKEN.match(text, at)
            if not match or match.lastgroup is None:
                column = at + len(text[at:]) - len(text[at:].lstrip())
                raise _bad_sign(text, column)
            word = match.group(match.lastgroup)
            stop = _stop_after(found, word, text, match.end())
            found.append(_Token(match.lastgroup, word, match.start(match.lastgroup), match.end() + stop))
        at = found[-1].end
    return tuple(found)


def _stop_after(before: list[_Token], word: str, text: str, end: int) -> int:
    """1 where a full stop ends a unit that was written short behind a number ("24 in."), else 0."""
    measured = bool(before) and before[-1].kind in ("number", "fraction", "mixed")
    return int(measured and word in _SHORT and text[end : end + 1] == "." and not text[end + 1 : end + 2].isalnum())


def _bad_sign(text: str, column: int) -> Unreadable:
    rest = text[column:]
    face = _FACE_AHEAD.match(rest)
    if face and column and (text[column - 1].isalnum() or text[column - 1] == "_"):
        right = (
            "faces of pieces, such as FL.right, stand in x, y, z, mirror, the sizes of parts, and along and across of "
            "hardware"
        )
        return Unreadable(f"'{face.group()}' has no meaning here", right, column)
    if re.match(r"[\d.]", rest) or rest.startswith(","):
        return Unreadable(
            f"'{text.strip()}' is not a number", "write 1.75, 1-3/4 or 44.5 mm (a point, no comma)", column
        )
    sign = f"'{rest[0]}'" if rest[0].isprintable() else f"the character U+{ord(rest[0]):04X}"
    return Unreadable(f"{sign} has no meaning in a length", "only + - * / ( ) and names of dimensions", column)


def _exact(token: _Token) -> Fraction:
    if sum(ch.isdigit() for ch in token.text) > MAX_DIGITS:
        raise Unreadable(
            "a number with that many digits is too long for a length", "write at most 12 digits", token.column
        )
    if token.kind == "mixed":
        whole, numerator, denominator = (int(part) for part in re.split(r"[-\s]+|/", token.text))
        if denominator and numerator >= denominator:
            raise Unreadable(
                f"in '{token.text}' the fraction is one or more",
                f"write {plain_mixed_number(whole + Fraction(numerator, denominator))}, or spaces around the minus",
                token.column,
            )
    else:
        whole = 0
        numerator, denominator = 0, 1
    if token.kind == "fraction":
        numerator, denominator = (int(part) for part in token.text.split("/"))
    if not denominator:
        raise Unreadable(f"'{token.text}' divides by zero", "a fraction such as 3/4", token.column)
    if token.kind == "number":
        return Fraction(token.text if not token.text.endswith(".") else token.text + "0")
    return whole + Fraction(numerator, denominator)


class _Parser:
    """Recursive descent: sum = product (('+'|'-') product)*, product = signed (('*'|'/') signed)*."""

    def __init__(self, tokens: Sequence[_Token], units: Units, names: Mapping[str, Length], end: int) -> None:
        self.tokens = tokens
        self.unit = UNIT_SIZES[units].mm
        self.units = units
        self.names = names
        self.at = 0
        self.end = end

    def peek(self) -> _Token | None:
        return self.tokens[self.at] if self.at < len(self.tokens) else None

    def take(self) -> _Token | None:
        token = self.peek()
        self.at += 1
        return token

    def is_op(self, signs: str) -> bool:
        token = self.peek()
        return token is not None and token.kind == "op" and token.text in signs

    def sum(self) -> Quantity:
        left = self.product()
        while self.is_op("+-"):
            sign = self.take()
            assert sign is not None
            right = self.product()
            left, right = self.same_power(left, right, sign)
            value = left.value + right.value if sign.text == "+" else left.value - right.value
            left = Quantity(value, left.power, left.bare and right.bare)
        return left

    def same_power(self, left: Quantity, right: Quantity, sign: _Token) -> tuple[Quantity, Quantity]:
        if left.power == right.power:
            return left, right
        if left.bare and right.power == 1:
            return Quantity(left.value * self.unit, 1), right
        if right.bare and left.power == 1:
            return left, Quantity(right.value * self.unit, 1)
        raise Unreadable("a length is added to a pure number or an area", "add lengths to lengths only", sign.column)

    def product(self) -> Quantity:
        left = self.signed()
        while self.is_op("*/"):
            sign = self.take()
            assert sign is not None
            right = self.signed()
            if sign.text == "*":
                left = Quantity(left.value * right.value, left.power + right.power, left.bare and right.bare)
            elif right.value == 0:
                raise Unreadable("this divides by zero", "divide by something else", sign.column)
            else:
                left = Quantity(left.value / right.value, left.power - right.power, left.bare and right.bare)
            if abs(left.power) > 3 or left.value.denominator > 10**40 or abs(left.value) > 10**20:
                raise Unreadable("this result is far too large", "check the factors", sign.column)
        return left

    def signed(self) -> Quantity:
        if self.is_op("-+"):
            sign = self.take()
            inner = self.signed()
            assert sign is not None
            return Quantity(-inner.value if sign.text == "-" else inner.value, inner.power, inner.bare)
        return self.single()

    def single(self) -> Quantity:
        token = self.take()
        if token is None:
            raise Unreadable("the value ends too early", "a length must follow", self.end)
        if token.kind == "op" and token.text == "(":
            inner = self.sum()
            closing = self.take()
            if closing is None or closing.text != ")":
                raise Unreadable("a bracket is not closed", "add )", token.column)
            return inner
        if token.kind in ("mixed", "fraction", "number"):
            return self.measure(token)
        if token.kind == "name":
            return self.named(token)
        raise Unreadable(f"'{token.text}' stands where a length should", "write a number or a name", token.column)

    def named(self, token: _Token) -> Quantity:
        name = " ".join(token.text.split())
        if name in self.names:
            return Quantity(self.names[name].mm, 1)
        if name in UNIT_SIZES:
            raise Unreadable(f"the unit '{name}' has no number before it", f"write 1 {name}", token.column)
        close = closest(name, self.names, 0.6)
        known = ", ".join(list(self.names)[:6])
        right = f"did you mean '{close}'?" if close else f"known are {known}" if known else "add it under dimensions"
        raise Unreadable(f"no dimension is called '{name}'", right, token.column, name)

    def measure(self, token: _Token) -> Quantity:
        """A number with the unit after it, feet followed by inches, or a bare number."""
        value = _exact(token)
        unit = self.unit_ahead()
        if unit is None:
            return Quantity(value, 0, True)
        self.at += 1
        quantity = Quantity(value * UNIT_SIZES[unit].mm, 1)
        if UNIT_SIZES[unit] == UNIT_SIZES["ft"]:
            inches = self.inches_ahead()
            if inches is not None:
                quantity = Quantity(quantity.value + inches, 1)
        return quantity

    def unit_ahead(self) -> str | None:
        token = self.peek()
        if token is None or token.kind not in ("name", "mark"):
            return None
        if token.text in UNIT_SIZES:
            return token.text
        if token.kind == "name":
            known = ", ".join(unit for unit in ("in", "ft", "mm", "cm", "m"))
            raise Unreadable(
                f"'{token.text}' is not a unit", f"known units are {known}; or put * before a name", token.column
            )
        return None

    def inches_ahead(self) -> Fraction | None:
        """The inches of `4'-6 1/2"` or `2 ft 3-1/2 in`: only if a number with an inch unit follows at once."""
        dashed, spaced = self.dash_ahead()
        number = self.ahead(1 if dashed else 0)
        if (dashed and spaced == "both sides") or number is None or number.kind not in ("mixed", "fraction", "number"):
            return None
        unit = self.ahead(2 if dashed else 1)
        in_inches = unit is not None and UNIT_SIZES.get(unit.text) == UNIT_SIZES["in"]
        if dashed and (not in_inches or spaced == "before"):
            raise Unreadable(
                f"after feet and a dash '{number.text}' may mean inches or a subtraction",
                "write 4'-6\" for feet and inches, or spaces around the minus",
                number.column,
            )
        if not in_inches:
            return None
        self.at += 3 if dashed else 2
        return _exact(number) * UNIT_SIZES["in"].mm

    def ahead(self, steps: int) -> _Token | None:
        return self.tokens[self.at + steps] if self.at + steps < len(self.tokens) else None

    def dash_ahead(self) -> tuple[bool, str]:
        """Whether a dash follows the unit just read, and on which sides of it spaces stand."""
        unit, dash, after = self.tokens[self.at - 1], self.ahead(0), self.ahead(1)
        if dash is None or dash.text != "-":
            return False, ""
        before = unit.end < dash.column
        behind = after is not None and after.column > dash.column + 1
        return True, "both sides" if before and behind else "before" if before else ""


def evaluate(text: str, units: Units, names: Mapping[str, Length] | None = None) -> Length:
    """The exact length of a text such as '1-3/4', '44.45 mm', "4'-6 1/2\\"" or 'width - 2 * leg'.

    Raises Unreadable, whose `column` counts from 0 in the text as given.
    """
    if len(text) > MAX_TEXT:
        raise Unreadable("this length has too many letters", f"at most {MAX_TEXT} letters")
    if text.isascii():
        # most lengths of a build are a few plain figures
        return _with_names(text, units, names or {}) if _FIGURES.fullmatch(text) is None else _plain(text, units)
    tidied = _tidied(text)
    try:
        return _evaluate("".join(tidied), units, names or {})
    except Unreadable as fault:
        ends = accumulate(map(len, tidied))
        fault.column = next((index for index, end in enumerate(ends) if end > fault.column), len(text))
        raise


_FIGURES = re.compile(r"[0-9 ./-]+")


@lru_cache(maxsize=4096)
def _plain(text: str, units: Units) -> Length:
    """A length in which nothing stands that could be a name."""
    return _evaluate(text, units, {})


def _with_names(text: str, units: Units, names: Mapping[str, Length]) -> Length:
    """A length in which names may stand: one text with the same lengths for its names is worked out but once."""
    known: list[tuple[str, Length]] = []
    for name in _own_names(text) or ("",):
        if name in names:
            known.append((name, names[name]))
        elif name not in UNIT_SIZES:  # nothing known is called so, and what is known is told
            return _evaluate(text, units, names)
    return _worked_out(text, units, tuple(known))


@lru_cache(maxsize=4096)
def _own_names(text: str) -> tuple[str, ...]:
    """What may be a name or a unit in a text; nothing where it cannot be read."""
    try:
        return tuple(dict.fromkeys(" ".join(token.text.split()) for token in _tokens(text) if token.kind == "name"))
    except Unreadable:
        return ()


@lru_cache(maxsize=4096)
def _worked_out(text: str, units: Units, known: tuple[tuple[str, Length], ...]) -> Length:
    return _evaluate(text, units, dict(known))


def _evaluate(text: str, units: Units, names: Mapping[str, Length]) -> Length:
    tokens = _tokens(text)
    if not tokens:
        raise Unreadable("a length is missing", "write a number, such as 1-3/4")
    if sum(token.text == "(" for token in tokens) > 20:
        raise Unreadable("too many brackets", "name a part of it under dimensions")
    parser = _Parser(tokens, units, names, len(text))
    quantity = parser.sum()
    rest = parser.peek()
    if rest is not None:
        raise Unreadable(f"'{rest.text}' is left over", "put an operator between two values", rest.column)
    if quantity.power == 0 and quantity.bare:
        return Length(quantity.value * UNIT_SIZES[units].mm)
    if quantity.power != 1:
        kind = {0: "a ratio", 2: "an area", 3: "a volume"}.get(quantity.power, "something else")
        raise Unreadable(f"this is {kind} and not a length", "check which values are multiplied or divided")
    return Length(quantity.value)


def names_in(text: str) -> list[str]:
    """The names an expression mentions, for ordering dimensions; unreadable text mentions none."""
    try:
        tokens = _tokens(tidy(text[:MAX_TEXT]))
    except Unreadable:
        return []
    return [" ".join(t.text.split()) for t in tokens if t.kind == "name" and t.text not in UNIT_SIZES]
