"""Arithmetic over lengths against an independent evaluator: the same tree computed with Python's `Fraction`."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopdocs.core.length import Length
from shopdocs.source import arithmetic
from shopdocs.source.arithmetic import Unreadable, evaluate, names_in

MM_IN = Fraction(254, 10)
NAMES = {"leg": Fraction(889, 20), "seat height": Fraction(450), "r2": Fraction(1, 3), "breite": Fraction(1219)}
KNOWN = {name: Length(mm) for name, mm in NAMES.items()}


@dataclass(frozen=True)
class Tree:
    """A sum, a product or a leaf: its text, its rank (0 sum, 1 product, 2 leaf), and its value, None where it divides
    by zero."""

    text: str
    rank: int
    value: Fraction | None


def joined(left: Tree, sign: str, right: Tree) -> Tree:
    """Two trees under one sign, with only the brackets that arithmetic needs."""
    rank = 0 if sign in "+-" else 1
    first = left.text if left.rank >= rank else f"({left.text})"
    second = right.text if right.rank > rank else f"({right.text})"
    apply: dict[str, Callable[[Fraction, Fraction], Fraction | None]] = {
        "+": lambda a, b: a + b,
        "-": lambda a, b: a - b,
        "*": lambda a, b: a * b,
        "/": lambda a, b: a / b if b else None,
    }
    value = None if left.value is None or right.value is None else apply[sign](left.value, right.value)
    return Tree(f"{first} {sign} {second}", rank, value)


def negated(tree: Tree) -> Tree:
    inner = tree.text if tree.rank == 2 else f"({tree.text})"
    return Tree(f"-{inner}", 1, None if tree.value is None else -tree.value)


@st.composite
def numerals(draw: st.DrawFn) -> Tree:
    """A number as it is written at the bench: 7, 2.25, 3/4 or 1-3/4."""
    whole = draw(st.integers(0, 99))
    kind = draw(st.sampled_from(["whole", "decimal", "fraction", "mixed", "spaced"]))
    if kind == "whole":
        return Tree(str(whole), 2, Fraction(whole))
    if kind == "decimal":
        cents = draw(st.integers(0, 99))
        return Tree(f"{whole}.{cents:02d}", 2, whole + Fraction(cents, 100))
    below = draw(st.integers(2, 64))
    above = draw(st.integers(1, below - 1))
    part = Fraction(above, below)
    if kind == "fraction":
        return Tree(f"({above}/{below})", 2, part)  # brackets: after a division the bare form is refused
    sign = "-" if kind == "mixed" else " "
    return Tree(f"({whole}{sign}{above}/{below})", 2, whole + part)


def numbers() -> st.SearchStrategy[Tree]:
    return st.recursive(
        numerals(), lambda inner: st.builds(joined, inner, st.sampled_from("+-*/"), inner), max_leaves=4
    )


@st.composite
def measures(draw: st.DrawFn) -> Tree:
    """A length with its unit, or the name of one."""
    if draw(st.booleans()):
        name = draw(st.sampled_from(sorted(NAMES)))
        return Tree(name, 2, NAMES[name])
    number = draw(numerals())
    unit, size = draw(
        st.sampled_from([("mm", 1), ("cm", 10), ("m", 1000), ("in", MM_IN), ('"', MM_IN), ("ft", 12 * MM_IN)])
    )
    assert number.value is not None
    bare = number.text.strip("()")
    text = f"({bare} {unit})" if "/" in bare else f"{bare} {unit}"
    return Tree(text, 2, number.value * size)


def anchored() -> st.SearchStrategy[Tree]:
    """Lengths that name a unit somewhere in every term."""

    def wider(inner: st.SearchStrategy[Tree]) -> st.SearchStrategy[Tree]:
        ratio = st.builds(joined, inner, st.just("/"), inner)
        return st.one_of(
            st.builds(joined, inner, st.sampled_from("+-"), inner),
            st.builds(joined, inner, st.sampled_from("*/"), numbers()),
            st.builds(joined, numbers(), st.just("*"), inner),
            st.builds(joined, inner, st.just("*"), ratio),
            st.builds(negated, inner),
        )

    return st.recursive(measures(), wider, max_leaves=5)


@given(anchored(), st.sampled_from(["in", "mm"]))
def test_every_tree_has_the_value_of_its_fractions(tree: Tree, units: str) -> None:
    if "'" in tree.text or len(tree.text) > 290:
        return
    if tree.value is None:
        with pytest.raises(Unreadable):
            evaluate(tree.text, units, KNOWN)  # type: ignore[arg-type]
        return
    try:
        found = evaluate(tree.text, units, KNOWN)  # type: ignore[arg-type]
    except Unreadable as fault:
        # Only what no furniture measures may be refused: areas on the way beyond reason.
        assert "out of all measure" in fault.wrong or "brackets" in fault.wrong, (tree, fault.wrong)
        return
    assert found.mm == tree.value


@given(numbers(), st.sampled_from([("in", MM_IN), ("mm", Fraction(1))]))
def test_bare_numbers_are_in_the_unit_of_the_build(tree: Tree, unit: tuple[str, Fraction]) -> None:
    if tree.value is None or len(tree.text) > 290:
        return
    assert evaluate(tree.text, unit[0]).mm == tree.value * unit[1]  # type: ignore[arg-type]


@given(anchored(), numerals(), st.sampled_from([("in", MM_IN), ("mm", Fraction(1))]))
def test_a_bare_number_added_to_a_length_is_a_length(tree: Tree, number: Tree, unit: tuple[str, Fraction]) -> None:
    whole = joined(tree, "-", number)
    if tree.value is None or number.value is None or len(whole.text) > 290:
        return
    try:
        found = evaluate(whole.text, unit[0], KNOWN)  # type: ignore[arg-type]
    except Unreadable as fault:
        assert "out of all measure" in fault.wrong or "brackets" in fault.wrong
        return
    assert found.mm == tree.value - number.value * unit[1]


@given(st.text(max_size=40))
def test_any_text_is_a_length_or_a_fault_inside_it(text: str) -> None:
    names_in(text)
    try:
        assert isinstance(evaluate(text, "in", KNOWN), Length)
    except Unreadable as fault:
        assert 0 <= fault.column <= len(text)
        assert fault.wrong
        assert fault.right


@given(st.text(alphabet="0123456789.,/-+*() '\"inmftcxleg½¾³⁄₄−″′", max_size=14))
def test_any_near_length_is_a_length_or_a_fault_inside_it(text: str) -> None:
    names_in(text)
    try:
        assert isinstance(evaluate(text, "mm", KNOWN), Length)
    except Unreadable as fault:
        assert 0 <= fault.column <= len(text)


WORDS = ("leg", "seat height", "in", "mm", "rail", "3/4", "1-1/2", "2", "(", ")", "+", "-", "*", "/", "'", '"', "$")


@given(
    st.lists(st.sampled_from(WORDS), max_size=9).map(" ".join),
    st.dictionaries(st.sampled_from(["leg", "seat height", "in", "rail"]), st.integers(1, 3).map(Length)),
)
def test_a_text_read_before_means_what_it_says_with_the_names_of_now(text: str, names: dict[str, Length]) -> None:
    """Against the same text read anew, which no earlier reading can have left anything for: length or fault, and the
    place of the fault."""

    def told(read: Callable[[], Length]) -> object:
        try:
            return read()
        except Unreadable as fault:
            return str(fault), fault.right, fault.column, fault.name

    found = told(lambda: evaluate(text, "in", names))
    for cached in (arithmetic._tokens, arithmetic._own_names, arithmetic._worked_out, arithmetic._plain):
        cached.cache_clear()
    assert found == told(lambda: arithmetic._evaluate(text, "in", names))
    # with every length another one, and with a name less
    more = {name: length * 7 for name, length in [*names.items()][1:]}
    assert told(lambda: evaluate(text, "in", more)) == told(lambda: arithmetic._evaluate(text, "in", more))
