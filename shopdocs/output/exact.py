"""Exact values as text for files that other programs read."""

from __future__ import annotations

from fractions import Fraction


def exact_number(value: Fraction) -> str:
    """A decimal where it ends ("44.45"), else a fraction in lowest terms ("1/3"); ASCII, no rounding.

    Python's `Fraction` and every calculator read it back to the same value.
    """
    denominator, places = value.denominator, 0
    for prime in (2, 5):
        power = 0
        while denominator % prime == 0:
            denominator //= prime
            power += 1
        places = max(places, power)
    if denominator != 1:
        return f"{value.numerator}/{value.denominator}"
    if not places:
        return str(value.numerator)
    sign = "-" if value < 0 else ""
    digits = str(abs(value.numerator) * 10**places // value.denominator).rjust(places + 1, "0")
    return f"{sign}{digits[:-places]}.{digits[-places:]}"


def exact_for_spreadsheet(value: Fraction) -> str:
    """The same, but a value without an end as a whole number and a fraction ("0 1/3"): a spreadsheet would take "1/3"
    for a day of the year, while it reads this as the number it is."""
    number = exact_number(value)
    if "/" not in number:
        return number
    whole, rest = divmod(abs(value), 1)
    return f"{'-' if value < 0 else ''}{whole} {rest.numerator}/{rest.denominator}"
