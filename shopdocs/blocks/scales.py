"""The scales at which drawings are made smaller."""

from fractions import Fraction

# Reductions in use on drawings: ISO 5455 (1:2, 1:5, 1:10, 1:20, 1:50), the inch scales (1:4, 1:8, 1:16), steps between.
SCALES = tuple(
    Fraction(1) / Fraction(step)
    for step in (
        "1",
        "1.5",
        "2",
        "2.5",
        "3",
        "4",
        "5",
        "6",
        "8",
        "10",
        "12",
        "16",
        "20",
        "25",
        "32",
        "40",
        "50",
        "64",
        "100",
    )
)


def scale_text(scale: Fraction) -> str:
    """1:5, 1:2.5 or 2:1."""
    if scale >= 1:
        return f"{_number(scale)}:1"
    return f"1:{_number(1 / scale)}"


def _number(value: Fraction) -> str:
    return str(value.numerator) if value.denominator == 1 else f"{float(value):g}"
