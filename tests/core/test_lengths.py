"""Lengths: exact, whatever the unit they are written in, and rounded only where they are shown.

The inch is 25.4 mm exactly (international yard and pound agreement of 1959; NIST SP 811, appendix B.8), the foot twelve
inches. Expected values are worked out here with whole numbers, or by the `decimal` module of Python.
"""

from __future__ import annotations

import decimal
import pickle
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopdocs.blocks.scales import SCALES
from shopdocs.core.display import (
    FINENESS,
    MINUS,
    ROUNDED,
    Display,
    Units,
    exact_text,
    mixed_number,
    plain_mixed_number,
    round_half_up,
    rounded,
    trimmed,
)
from shopdocs.core.display import decimal as decimal_text
from shopdocs.core.length import Length, total
from shopdocs.documents.drawn.measures import true_length
from shopdocs.output.exact import exact_for_spreadsheet, exact_number
from shopdocs.source.arithmetic import Unreadable, evaluate

# Numerators of 25.4 mm over 10: an inch is 254 tenths of a millimetre.
TENTHS = Fraction(1, 10)
fractions = st.fractions(min_value=-2000, max_value=2000, max_denominator=10_000)
lengths = fractions.map(Length)


# --- the readings of the trade ----------------------------------------------------------------------------------------

# text, and millimetres worked out by hand: quarters of an inch are 6.35 mm, eighths 3.175, sixteenths 1.5875
INCH_READINGS = [
    ("1-3/4", "44.45"),
    ("1 3/4", "44.45"),
    ("1.75", "44.45"),
    ("7/8", "22.225"),
    ('3/4"', "19.05"),
    ("3/4 in", "19.05"),
    ("44.45 mm", "44.45"),
    ("4.5 cm", "45"),
    ("2 ft 3-1/2 in", "698.5"),
    ("2 ft 3 1/2 in", "698.5"),
    ("24 in.", "609.6"),
    ("3in.", "76.2"),
    ("2 ft. 3-1/2 in.", "698.5"),
    ("4ft.-6in.", "1371.6"),
    ("4 ft. - 6 in.", "1066.8"),
    ("10 mm. + 1 in.", "35.4"),
    ("(3 in. + 1 cm.) * 2", "172.4"),
    ("4'-6 1/2\"", "1384.3"),
    ("4' 6-1/2\"", "1384.3"),
    ("4′-6 1/2″", "1384.3"),
    ("4ft-6in", "1371.6"),
    ("6'", "1828.8"),
    ("1 m", "1000"),
    (".5", "12.7"),
    ("0", "0"),
    ("-1/2", "-12.7"),
    ("¾", "19.05"),
    ("1¾", "44.45"),
    ("1 ¾ in", "44.45"),
    ("1³⁄₄", "44.45"),
    ("12¹³⁄₁₆", "325.4375"),
    ("1–3/4", "44.45"),
    ("  1-3/4  ", "44.45"),
    ("1/64", "0.396875"),
    ("19 mm + 1/4", "25.35"),
    ("4 - 3/4", "82.55"),
    ("2 * 1-3/4", "88.9"),
    ("(1 + 2) * 3/4", "57.15"),
    ("10 / 4", "63.5"),
    ("2 ft - 1 in", "584.2"),
    ("4' - 6\"", "1066.8"),
    ("1/2 in + 1 mm", "13.7"),
    ("- (3 - 5)", "50.8"),
]


@pytest.mark.parametrize(("text", "mm"), INCH_READINGS)
def test_what_makers_write_in_an_inch_build(text: str, mm: str) -> None:
    assert evaluate(text, "in").mm == Fraction(mm)


@pytest.mark.parametrize(
    ("text", "mm"), [("19", "19"), ("19.5", "19.5"), ("3/4 in", "19.05"), ("1-1/2", "1.5"), ("2 cm + 1", "21")]
)
def test_what_makers_write_in_a_metric_build(text: str, mm: str) -> None:
    assert evaluate(text, "mm").mm == Fraction(mm)


NAMES = {"width": Length(1000), "leg": Length(40), "between legs": Length(900), "höhe": Length(450), "天板": Length(20)}


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("width - 2 * leg", 920),
        ("(width - leg) / 2", 480),
        ("between  legs+1 cm", 910),
        ("höhe - 天板", 430),
        ("leg * (width / leg)", 1000),
        ("width * leg / 40 mm", 1000),
        ("width / 3 + 1", Fraction(1003, 3)),
        ("-leg + width", 960),
    ],
)
def test_arithmetic_over_named_dimensions(text: str, mm: Fraction) -> None:
    assert evaluate(text, "mm", NAMES).mm == mm


# text, where the fault is (from 0), and a word of what is said
FAULTS = [
    ("", 0, "missing"),
    ("   ", 0, "missing"),
    ("1,5", 1, "number"),
    ("1.2.3", 0, "number"),
    ("1-4/3", 0, "one or more"),
    ("3/0", 0, "zero"),
    ("1-1/0", 0, "zero"),
    ("5 / 0", 2, "zero"),
    ("5 / (leg - leg)", 2, "zero"),
    ("leg leg", 0, "no dimension"),
    ("lge", 0, "no dimension"),
    ("3 leg", 2, "not a unit"),
    ("3 furlong", 2, "not a unit"),
    ("mm", 0, "no number before it"),
    ("(1 + 2", 0, "bracket"),
    ("1 + 2)", 5, "left over"),
    ("1 +", 3, "ends too early"),
    ("* 2", 0, "stands where"),
    ("1 2", 2, "left over"),
    ("leg * leg", 0, "an area"),
    ("leg / leg", 0, "a ratio"),
    ("leg * leg * leg", 0, "a volume"),
    ("leg + leg * leg", 4, "added"),
    ("1234567890123", 0, "digits"),
    ("#8", 0, "no meaning"),
    ("1 -3/4", 0, "may mean"),
    ("1- 3/4", 0, "may mean"),
    ("4'-6", 3, "may mean"),
    ("4' -6\"", 4, "may mean"),
    ("leg / 3/4", 6, "two ways"),
    ("leg/2-1/2", 4, "two ways"),
    ("1-3/4/2", 0, "two ways"),
    ("½½", 1, "left over"),
    ("1½ zoll", 3, "not a unit"),
    ("２,5", 1, "number"),
]


@pytest.mark.parametrize(("text", "column", "word"), FAULTS)
def test_what_is_no_length_is_said_at_its_place(text: str, column: int, word: str) -> None:
    with pytest.raises(Unreadable) as caught:
        evaluate(text, "in", NAMES)
    assert word in caught.value.wrong
    assert caught.value.right
    assert caught.value.column == column


def test_a_misspelt_dimension_is_guessed() -> None:
    with pytest.raises(Unreadable) as caught:
        evaluate("widht - 2", "in", NAMES)
    assert "'width'" in caught.value.right


@pytest.mark.parametrize(
    "text",
    [
        "__import__('os').system('true')",
        "width.mm",
        "width.__class__",
        "eval(1)",
        "lambda: 1",
        "[1][0]",
        "{}",
        "`1`",
        "$(1)",
        "!!python/object:os.system",
        "1 if 1 else 2",
        "9**9**9**9",
        "9^9",
        "1e999999",
        "1 << 9999",
        "0x10",
        "1_000",
        "inf",
        "nan",
        "True",
        "width; leg",
        "width\x00",
        "f'{width}'",
        "(" * 200 + "1" + ")" * 200,
        "-" * 290 + "x",
        "9" * 299,
        "*".join(["999999999999"] * 20),
        "1/" + "9" * 290,
    ],
)
def test_nothing_is_executed(text: str) -> None:
    with pytest.raises(Unreadable):
        evaluate(text, "in", NAMES)


# --- exactness --------------------------------------------------------------------------------------------------------


def test_a_hundred_thirds_drift_by_nothing() -> None:
    third = evaluate("1/3", "in")
    assert total([third] * 300) == Length.inches(100)
    assert sum((0.1 for _ in range(10)), 0.0) != 1.0  # what floats would have done
    assert total([evaluate("0.1 mm", "in")] * 10) == Length(1)


@given(fractions, fractions)
def test_sums_and_differences_are_those_of_fractions(a: Fraction, b: Fraction) -> None:
    assert (Length(a) + Length(b)).mm == a + b
    assert (Length(a) - Length(b)).mm == a - b
    assert (Length(a) < Length(b)) == (a < b)
    assert (Length(a) == Length(b)) == (a == b)
    if a == b:
        assert hash(Length(a)) == hash(Length(b))


@given(fractions, fractions, st.integers(1, 10_000))
def test_products_quotients_and_order_are_those_of_fractions(a: Fraction, b: Fraction, count: int) -> None:
    assert (Length(a) * b).mm == (b * Length(a)).mm == a * b
    assert ((-Length(a)).mm, abs(Length(a)).mm, bool(Length(a))) == (-a, abs(a), bool(a))
    assert (Length(a) <= Length(b), Length(a) > Length(b), Length(a) >= Length(b)) == (a <= b, a > b, a >= b)
    assert Length(a).float_mm(b) == float(a * b)
    assert Length.parts(a.numerator, count).mm == Fraction(a.numerator, count)
    assert Length(a).count(count) == (a * count if (a * count).denominator == 1 else None)
    assert Length(a).count(Length(a).per_mm) == a.numerator
    if b:
        assert (Length(a) / b).mm == a / b == Length(a) / Length(b)
    else:
        with pytest.raises(ZeroDivisionError):
            Length(a) / b


@given(st.floats(-500, 500), st.sampled_from(SCALES))
def test_paper_is_made_true_to_a_thousandth(paper_mm: float, scale: Fraction) -> None:
    """As `round` of the standard library rounds a fraction: halves to the even one."""
    assert true_length(paper_mm, scale).mm == Fraction(round(Fraction(paper_mm) / scale * 1000), 1000)


def test_a_half_of_a_thousandth_goes_to_the_even_one() -> None:
    scale = Fraction(250, 1024)  # then an eighth of 1/1024 mm of paper is half of a thousandth, and exact as a float
    for k, even in ((-5, -2), (-3, -2), (-1, 0), (1, 0), (3, 2), (5, 2), (7, 4)):
        assert true_length(0.125 / 1024 * k, scale).mm == Fraction(even, 1000)


@given(lengths)
def test_inches_and_millimetres_are_the_same_length(length: Length) -> None:
    assert Length.inches(length.inch) == length
    assert length.inch * 254 == length.mm * 10
    assert pickle.loads(pickle.dumps(length)) == length


def test_a_length_refuses_what_would_hide_a_unit() -> None:
    inch = Length.inches(1)
    for wrong in (lambda: inch + 1, lambda: 1 + inch, lambda: inch - 1, lambda: inch < 1, lambda: inch * 0.5):
        with pytest.raises(TypeError):
            wrong()  # type: ignore[operator]
    with pytest.raises(TypeError):
        inch * inch  # type: ignore[operator]
    with pytest.raises(TypeError):
        Length(0.5)  # type: ignore[arg-type]
    with pytest.raises(AttributeError):
        inch.mm = Fraction(1)
    assert inch != 25.4


# --- text and back ----------------------------------------------------------------------------------------------------


@given(lengths, st.sampled_from(["in", "mm"]))
def test_exact_text_is_read_back_as_the_same_length(length: Length, units: Units) -> None:
    """Whatever the unit of the build: the text carries its own."""
    assert evaluate(exact_text(length), units) == length


@given(st.integers(-5000, 5000), st.sampled_from([1, 2, 4, 8, 16, 32, 64]))
def test_mixed_numbers_are_read_back(numerator: int, denominator: int) -> None:
    value = Fraction(numerator, denominator)
    assert evaluate(plain_mixed_number(value), "in").inch == value
    assert evaluate(mixed_number(value), "in").inch == value


@given(fractions)
def test_exact_numbers_are_read_back(value: Fraction) -> None:
    assert Fraction(exact_number(value)) == value
    words = exact_for_spreadsheet(value).lstrip("-").split()
    assert sum(map(Fraction, words)) == abs(value)


# --- one length, two builds -------------------------------------------------------------------------------------------


@given(st.integers(0, 400), st.sampled_from([2, 4, 8, 16, 32, 64]), st.data())
def test_the_unit_of_the_build_changes_no_length(whole: int, denominator: int, data: st.DataObject) -> None:
    """The same member described in inches with bare numbers, and in a metric build with its unit or in millimetres."""
    numerator = data.draw(st.integers(1, denominator - 1))
    mm = (whole * denominator + numerator) * Fraction(254, 10) / denominator
    assert evaluate(f"{whole}-{numerator}/{denominator}", "in").mm == mm
    assert evaluate(f"{whole}-{numerator}/{denominator} in", "mm").mm == mm
    assert evaluate(f"{mm.numerator} mm / {mm.denominator}", "in").mm == mm
    assert evaluate(f"{mm.numerator} / {mm.denominator}", "mm").mm == mm


# --- rounding ---------------------------------------------------------------------------------------------------------


@given(fractions)
def test_rounding_is_half_away_from_zero(value: Fraction) -> None:
    """ROUND_HALF_UP of `decimal` (General Decimal Arithmetic Specification 1.70: halves away from zero). Only values
    with an end are exact decimals, so the value is first made one that has an end and lies on the same side."""
    scaled = Fraction(round(value * 10**8), 10**8)
    exact = decimal.Decimal(scaled.numerator) / decimal.Decimal(scaled.denominator)
    assert round_half_up(scaled) == int(exact.quantize(decimal.Decimal(1), rounding=decimal.ROUND_HALF_UP))


@given(st.integers(-10_000, 10_000))
def test_exact_halves_go_away_from_zero(whole: int) -> None:
    half = Fraction(2 * whole + 1, 2)
    away = whole + 1 if half > 0 else whole
    assert round_half_up(half) == away


@given(fractions, st.integers(0, 6))
def test_decimals_are_those_of_the_decimal_module(value: Fraction, places: int) -> None:
    with decimal.localcontext() as context:
        context.prec = 60
        step = decimal.Decimal(1).scaleb(-places)
        near = decimal.Decimal(value.numerator) / decimal.Decimal(value.denominator)
        expected = near.quantize(step, rounding=decimal.ROUND_HALF_UP)
    assert decimal.Decimal(decimal_text(value, places).replace(MINUS, "-")) == expected
    assert decimal.Decimal(trimmed(value, places).replace(MINUS, "-")) == expected


@pytest.mark.parametrize(
    ("value", "places", "shown", "short"),
    [
        ("0.005", 2, "0.01", "0.01"),
        ("-0.004", 2, "0.00", "0"),
        ("1200", 0, "1200", "1200"),
        ("100", 2, "100.00", "100"),
    ],
)
def test_decimals_as_text(value: str, places: int, shown: str, short: str) -> None:
    """No zero has a sign, and no whole number loses its zeros."""
    assert decimal_text(Fraction(value), places) == shown
    assert trimmed(Fraction(value), places) == short


@given(lengths, st.sampled_from(sorted(FINENESS)))
def test_rounding_goes_to_the_nearest_step(length: Length, fineness: str) -> None:
    _, step = FINENESS[fineness]
    near = rounded(length, step)
    assert (near.mm / step.mm).denominator == 1
    assert abs(near.mm - length.mm) * 2 <= step.mm


@given(lengths, st.sampled_from(sorted(FINENESS)))
def test_a_value_that_rounding_changed_is_marked_and_no_other(length: Length, fineness: str) -> None:
    units, step = FINENESS[fineness]
    display = Display.of(units, step)
    shown = display.bare(length)
    on_a_step = (length.mm / step.mm).denominator == 1
    assert shown.startswith(ROUNDED) != on_a_step
    assert display.is_exact(length) == on_a_step
    plain = shown.removeprefix(ROUNDED).replace(MINUS, "-")
    assert abs(evaluate(plain, units).mm - length.mm) * 2 <= step.mm


@pytest.mark.parametrize(
    ("mm", "fineness", "shown"),
    [
        ("44.45", "1/16 in", "1³⁄₄ in"),
        ("44.45", "0.5 mm", "≈44.5 mm"),
        ("44.45", "0.1 mm", "≈44.5 mm"),
        ("44.45", "1 mm", "≈44 mm"),
        ("19", "1/16 in", "≈³⁄₄ in"),
        ("19", "1/64 in", "≈³⁄₄ in"),  # 47.874 sixty-fourths
        ("18", "1/64 in", "≈⁴⁵⁄₆₄ in"),  # 45.354 sixty-fourths
        ("0.79375", "1/16 in", "≈¹⁄₁₆ in"),  # half a sixteenth goes up
        ("0", "1/16 in", "0 in"),
        ("304.8", "1/32 in", "12 in"),
    ],
)
def test_lengths_as_they_stand_on_a_sheet(mm: str, fineness: str, shown: str) -> None:
    units, step = FINENESS[fineness]
    assert Display.of(units, step).length(Length(mm)) == shown


def test_both_systems_side_by_side() -> None:
    display = Display.of("in", both=True)
    assert display.length(Length("44.45")) == "1³⁄₄ in (≈44.5\u00a0mm)"
    assert display.size(Length("25.4"), Length("50.8")) == "1 × 2 in (≈25.5\u00a0×\u00a051\u00a0mm)"
    assert display.length(Length("127")) == "5 in (127\u00a0mm)"
    assert display.alone().length(Length("44.45")) == "1³⁄₄ in"


@pytest.mark.parametrize(
    ("mm", "units", "shown"),
    [
        ("3.175", "in", "¹⁄₈ in"),
        ("3", "in", "3 mm"),
        ("4.5", "mm", "4.5 mm"),
        ("20", "in", "20 mm"),
        ("3.175", "mm", "¹⁄₈ in"),
        ("15.875", "mm", "⁵⁄₈ in"),
        ("2.778125", "mm", "⁷⁄₆₄ in"),
        ("12.7", "mm", "¹⁄₂ in"),
    ],
)
def test_a_bit_keeps_its_own_unit(mm: str, units: Units, shown: str) -> None:
    """A 3 mm bit in an inch build is no fraction of an inch, and nobody makes one of 3.18 mm: 25.4 / 8 = 3.175,
    25.4 x 5 / 8 = 15.875, 25.4 x 7 / 64 = 2.778125, 25.4 / 2 = 12.7."""
    assert Display.of(units).drill(Length(mm)) == shown


def test_messages_speak_the_units_of_the_build() -> None:
    """By hand: 22733/60 mm is 378.8833… mm, and 378.8833 / 25.4 = 14.9166… in = 14-58.66/64, so 14-59/64 in."""
    from shopdocs.core.display import exact_text, spoken_in

    odd = Length("22733/60")
    with spoken_in("in"):
        assert exact_text(odd) == "about 14-59/64 in"
        assert exact_text(Length("12.7")) == "1/2 in"
        assert exact_text(Length("0.1")) == "less than 1/64 in"
    with spoken_in("mm"):
        assert exact_text(odd) == "about 378.88 mm"
        assert exact_text(Length("12.7")) == "12.7 mm"
        assert exact_text(Length(-3)) == "-3 mm"
    assert exact_text(odd) == "22733/60 mm"  # in files that are read again it stays exact


def test_a_length_goes_to_another_process_as_its_two_numbers() -> None:
    """Drawings are made of tens of thousands of them; a fraction would be put into lowest terms anew for each."""
    for length in (Length(0), Length("-7/3"), Length("25.4"), Length(10**20)):
        sent = pickle.dumps(length)
        assert pickle.loads(sent) == length and b"fractions" not in sent
