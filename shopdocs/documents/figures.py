"""Makes the figures of a document: numbers that are shown rounded and keep their exact value and source line."""

from __future__ import annotations

import re
from fractions import Fraction
from math import ceil

from shopdocs.blocks.text import Figure, Run, Text
from shopdocs.core.display import Display, decimal, hundredths, mixed_number, to_places, trimmed
from shopdocs.core.length import Length
from shopdocs.core.problems import NOWHERE, Position
from shopdocs.core.typeset import typeset
from shopdocs.model.joining import Screw

SQUARE_FOOT_M2 = Fraction("0.09290304")  # exact: (0.3048 m)²
US_GALLON_L = Fraction("3.785411784")  # exact: 231 in³
FLUID_OUNCE_L = US_GALLON_L / 128
OUNCE_G = Fraction("28.349523125")  # exact, avoirdupois


def length_figure(name: str, value: Length, display: Display, at: Position = NOWHERE, unit: bool = False) -> Figure:
    """A length; with `unit` its unit is printed with it."""
    shown = f"{display.bare(value)} {display.units}" if unit else display.bare(value)
    return Figure(name, shown, value.mm, "mm", at)


def gap_figure(name: str, value: Length, display: Display, at: Position = NOWHERE, unit: bool = False) -> Figure:
    """A gap or play, on every sheet the same: rounded up; with `unit` its unit is printed with it."""
    shown = f"{display.gap(value)} {display.units}" if unit else display.gap(value)
    return Figure(name, shown, value.mm, "mm", at)


def length_figures(*lengths: tuple[str, Length, Position], display: Display) -> tuple[Figure, ...]:
    """The lengths of one size or stretch, without a unit; one ≈ on the first stands for all of them."""
    shown = display.bares(*(value for _, value, _ in lengths))
    return tuple(Figure(name, said, value.mm, "mm", at) for (name, value, at), said in zip(lengths, shown, strict=True))


def size_text(name: str, display: Display, *measures: tuple[str, Length, Position], unit: bool = False) -> Text:
    """Measures joined by ×, each a figure, called `name` alone where it needs no word of its own; with both systems
    asked for, the other system follows in brackets."""
    runs: list[Run] = []
    named = ((f"{name} · {what}" if what else name, value, at) for what, value, at in measures)
    for figure in length_figures(*named, display=display):
        runs += [" × ", figure] if runs else [figure]
    if unit:
        runs.append(f" {display.units}")
    if display.both:
        runs.append(" " + display.in_brackets(*(value for _, value, _ in measures)))
    return tuple(runs)


def length_text(name: str, value: Length, display: Display, at: Position = NOWHERE) -> Text:
    """One length with its unit."""
    return size_text(name, display, ("", value, at), unit=True)


def count_figure(name: str, value: int, at: Position = NOWHERE) -> Figure:
    """A number of things."""
    return Figure(name, str(value), Fraction(value), "count", at)


def decimal_figure(name: str, value: Fraction, places: int, unit: str, at: Position = NOWHERE) -> Figure:
    """A value shown to so many decimal places; `unit` says what it counts in and is not printed with it."""
    return Figure(name, decimal(value, places), value, unit, at)


def money_figure(name: str, value: Fraction, currency: str, at: Position = NOWHERE) -> Figure:
    """Money with two places, the currency sign before it and currency letters after it."""
    amount = decimal(value, 2)
    shown = f"{currency}{amount}" if len(currency) == 1 else f"{amount} {currency}".strip()
    return Figure(name, shown, value, currency or "money", at)


def percent_figure(name: str, share: Fraction, at: Position = NOWHERE) -> Figure:
    """A share in percent to one place, without a sign; the column's head carries it."""
    return decimal_figure(name, share * 100, 1, "%", at)


def minutes_text(value: Fraction) -> str:
    """Minutes with their unit, to one place at most: '7.5 min'."""
    return f"{trimmed(value, 1)} min"


def hours_text(value: Fraction) -> str:
    """Hours as people say them: under two hours in minutes, from two days in days."""
    if value < 2:
        return minutes_text(value * 60)
    return f"{trimmed(value / 24, 1)} days" if value >= 48 else f"{trimmed(value, 1)} h"


def area_text(square_metres: Fraction, display: Display) -> str:
    """An area in square feet for a build in inches, else in square metres; under 1 ft² in square inches, under
    1/10 m², where two places of a metre would be one figure, in square centimetres."""
    if display.units == "in":
        if square_metres < SQUARE_FOOT_M2:
            return f"{decimal(square_metres / SQUARE_FOOT_M2 * 144, 0)} in²"
        return f"{decimal(square_metres / SQUARE_FOOT_M2, 1)} ft²"
    if square_metres < Fraction(1, 10):
        return f"{decimal(square_metres * 10_000, 0)} cm²"
    return f"{decimal(square_metres, 2)} m²"


def volume_text(litres: Fraction, display: Display) -> str:
    """A volume to buy: fluid ounces, from half a US gallon in gallons; or millilitres, from one litre in litres."""
    if display.units == "in":
        ounces = litres / FLUID_OUNCE_L
        return f"{decimal(ounces, 0)} fl oz" if ounces < 64 else f"{decimal(litres / US_GALLON_L, 2)} gal"
    # to buy: no finer than ten millilitres, and never less than was computed
    return f"{ceil(litres * 100) * 10} ml" if litres < 1 else f"{decimal(litres, 1)} l"


def screw_text(screw: Screw) -> str:
    """A screw as it is bought: "#8 × 1¹⁄₄ in", "4 × 40 mm", "M6 bolt"."""
    if screw.gauge is None:
        words = typeset(screw.text)
        return words if screw.bolt or screw.length is None or words.endswith("mm") else f"{words} mm"
    if screw.length is None:
        return f"#{screw.gauge}"
    whole = 64 % screw.length.inch.denominator == 0
    return f"#{screw.gauge} × " + (f"{mixed_number(screw.length.inch)} in" if whole else hundredths(screw.length))


def whole_grams(grams: Fraction) -> Fraction:
    """A weight in whole grams, as it is printed and weighed: 1 where it is less but some."""
    return max(to_places(grams, 0), Fraction(1)) if grams > 0 else Fraction(0)


def grams_text(grams: Fraction, display: Display) -> str:
    """A weight in whole grams, 1 where it is less but some; for a build in inches with ounces of these behind it, where
    they come to a tenth."""
    grams = whole_grams(grams)
    if display.units == "in" and grams >= OUNCE_G / 20:
        return f"{decimal(grams, 0)} g ({decimal(grams / OUNCE_G, 1)} oz)"
    return f"{decimal(grams, 0)} g"


def temperature_text(celsius: Fraction, display: Display) -> str:
    """A temperature in whole degrees, Fahrenheit for a build in inches, else Celsius."""
    if display.units == "in":
        return f"{decimal(celsius * 9 / 5 + 32, 0)} °F"
    return f"{decimal(celsius, 0)} °C"


def minutes_figure(name: str, minutes: Fraction, at: Position = NOWHERE) -> Figure:
    """A time in minutes, shown as `minutes_text` does."""
    return Figure(name, minutes_text(minutes), minutes, "min", at)


def hours_figure(name: str, hours: Fraction, at: Position = NOWHERE) -> Figure:
    """A time in hours, shown in minutes, hours or days, as `hours_text` does."""
    return Figure(name, hours_text(hours), hours, "h", at)


def area_figure(name: str, square_metres: Fraction, display: Display, at: Position = NOWHERE) -> Figure:
    """An area: exact in square metres, shown as `area_text` does."""
    return Figure(name, area_text(square_metres, display), square_metres, "m²", at)


def volume_figure(name: str, litres: Fraction, display: Display, at: Position = NOWHERE) -> Figure:
    """A volume: exact in litres, shown as `volume_text` does."""
    return Figure(name, volume_text(litres, display), litres, "l", at)


def grams_figure(name: str, grams: Fraction, display: Display, at: Position = NOWHERE) -> Figure:
    """A weight: exact in grams, shown as `grams_text` does."""
    return Figure(name, grams_text(grams, display), grams, "g", at)


def temperature_figure(name: str, celsius: Fraction, display: Display, at: Position = NOWHERE) -> Figure:
    """A temperature: exact in degrees Celsius, shown as `temperature_text` does."""
    return Figure(name, temperature_text(celsius, display), celsius, "°C", at)


def strips_text(marks: tuple[str, ...]) -> str:
    """The marks of the strips of one piece: Wa Wb, or Wa–Wf."""
    return " ".join(marks) if len(marks) < 4 else f"{marks[0]}–{marks[-1]}"


def marks_text(marks: tuple[str, ...] | list[str], most: int = 40) -> str:
    """Marks in a row; runs such as S1 S2 S3 S4 are drawn together as S1–S4. Of more than `most` the rest are counted,
    unless it is one."""
    out: list[str] = []
    index = 0
    while index < len(marks):
        end = index
        match = re.fullmatch(r"(\D*)(\d+)", marks[index])
        while match and end + 1 < len(marks):
            following = re.fullmatch(r"(\D*)(\d+)", marks[end + 1])
            step = int(match.group(2)) + end + 1 - index
            if not following or following.group(1) != match.group(1) or int(following.group(2)) != step:
                break
            end += 1
        if end - index >= 2:
            out.append(f"{marks[index]}–{marks[end]}")
        else:
            out += marks[index : end + 1]
        index = end + 1
    if len(out) <= most + 1:
        return "  ".join(out)
    return "  ".join(out[:most]) + f"  and {len(out) - most} more"
