"""What stands on paper, in messages and in the manual is said as in an English-speaking shop.

The list is of phrases that made readers wince; each stands with what a maker says. English usage, common practice, no
source. Sizes are set in one style: ISO 80000-1 asks for spaces on both sides of a multiplication sign.
"""

from __future__ import annotations

import ast
import inspect
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec import Struct

from shopdocs.blocks.text import plain
from shopdocs.pipeline import reference_text
from tests.sample_jobs import SAMPLES, own_units, records_of, sample_documents, sample_job

ROOT = Path(__file__).parents[2]
WINCES = {
    r"no load for": "no hard use for",
    r"write minutes:": "the build file can give your own",
    r"end for end together": "upside down and end for end, both at once",
    r"if end for end as well": "upside down and end for end, both at once",
    r"\b0 is its (end|far)": "0 is at end B",
    r"without a sound": "easy to get wrong; also fits the wrong way",
    r"said aloud": "in this order",
    r"it lives in": "air over the year",
    r"wood holds": "moisture of the wood",
    r"\bin all (now|round now)\b": "both sides together",
    r"whichever way": "right either way round",
    r"one by one": "one at a time",
    r"over least": "above lowest",
    r"none is left": "none left",
    r"on a line\b.*lbf|lbf over the": "from C1 C2 together",
    r"held by its hardware alone": "held only by its hardware",
    r"take to the yard": "buy",
    r"of \d+ kinds\b": "different",
    r"goes? in wrong": "fits the wrong way",
    r"stays dry": "no glue",
    r"for both hands": "fits both of the mirrored pair",
    r"one sees\b": "check",
    r"in pieces %": "yield",
    r"cannot be measured true": "cannot be measured accurately",
    r"\bthis build names\b": "the build names",
    r"that are meant\b": "left on purpose",
    r"\bbesides the joints\b": "other than joints",
    r"\bshall (?!not)": "will, must",
    r"\breckoned\b": "worked out",
    r"\bglue holds on no\b": "glue does not hold on",
    r"\bcomes to lie\b": "lands",
    r"\bfront to back\b": "front to rear; back is a face of a piece",
    r"\bfor want of\b": "no room",
    r"\bsaid to be\b.*\bsaid\b": "written",
    r"\bhalf a turn about\b|\bturned half round\b": "half a turn; of a template, end for end",
    r"\bturned a quarter round\b": "a quarter turn",
    r"no glue\b.*\bno glue\b": "said once",
    r"\(0\.0 oz\)": "no ounces at all",
    r"\bother joints\b\)?$|swapped: other\b": "different joints",
    r"saves? an hour": "an hour quicker",
    r"what carries\b": "something solid",
    r"\bto try the glue-up": "to check",
    r"what (goes|go) into the joint\b": "joinery included",
    r"\bin a page about\b|\bworks of others\b": "at second hand; sources",
    r"edge inwards\b": "working in from the edges",
    r"; else\b": "otherwise",
    r"over the floor\b": "above the floor",
    r"\bmay be meant\b": "yours may be right",
    r"printed otherwise|other than before": "prints differently; changed",
    r"^left out (on|in codes)": "no room on, no room in",
    r"\bGlue up Final glue-up": "Final glue-up",
    r"mark on mark": "mark to mark",
    r"\b(print|saw it|made?|make it|piece|pencil it|draw it) anew\b": "reprint; a new piece; again",
    r"\btowards\b": "toward",
    r"and (pale )?stands already": "is there already",
    r"\w\.\.(\s|$)": "one full stop",
    r"\bglued up of\b": "glued up from",
    r"\bfinished before turning\b": "the finished size is before turning",
    r"\breally leans\b|ways are in use": "the true angle from plumb; some makers count",
    r"\banother \d+ ×": "4 more",
    r"what goes through:|what is not to come through": "through holes, stopped holes",
    r"the cut list says all": "the cut list is enough",
    r"\bfull in \d": "cured in",
    r"\b(the|its) data sheet decides?\b": "go by the can; follow the data sheet",
    r"\bparted by (semi|comma)": "separated by",
    r"no more of, as\b": "do not want again",
    r"where that is installed": "if the set was made with the extra",
    r"stands before a rounded": "marks a rounded one",
    r"from \d\S* (mm|in) proud to|\bproud to (about )?\d": "5 mm proud, back to about 3 mm",
    r"all that is still wet": "the excess",
    r", for (wood|their|its|they|it) (shrinks|face|pieces|have|goes|is|are)\b": "because; a colon",
    r"\bprinted side up on\b.*, printed side down": "a semicolon between the two",
    r"the lip goes over": "lip over",
    r"(?<!with )joinery \S*\d\S*( \S+)? (mm|in) long": "with joinery 41 in long",
    r"\bin the way of the arrow\b": "the way the arrow points",
}
COUNTED = "pieces|boards|sheets|joints|coats|batches|mixes|seams|stages|screws|clamps|pads|cauls|holes|mortises|tenons"


# Codes and links are for machines, in characters of every keyboard; a label's narrow sizes have no room for spaces.
FOR_MACHINES = ("at", "figures", "link", "anchor", "codes", "short_sizes", "data")


def strings(node: object, kind: str = "") -> Iterator[str]:
    """Every string of a document, in whatever block it stands: titles, heads, cells, notes in drawings. The runs of one
    text, a field of the `kind` Text, are set together."""
    if isinstance(node, str):
        yield node
    elif isinstance(node, tuple | list):
        if kind == "Text":
            yield plain(tuple(node))
            return
        inner = re.sub(r"^tuple\[(.*)\]$", r"\1", kind)
        kinds = inner.split(", ") if inner == "str, Text" else [inner.removesuffix(", ...")] * len(node)
        for one, its in zip(node, kinds, strict=True):
            yield from strings(one, its)
    elif isinstance(node, Struct):
        kinds_of = dict(one for each in reversed(type(node).__mro__) for one in inspect.get_annotations(each).items())
        for name in node.__struct_fields__:
            if name not in FOR_MACHINES:
                yield from strings(getattr(node, name), str(kinds_of[name]))


def printed(folder: Path) -> set[str]:
    """All that stands on the sheets and record pages of a sample, without the maker's own names of materials."""
    job = sample_job(folder, own_units(folder))
    documents = (*sample_documents(folder, own_units(folder)), *records_of(job))
    names = sorted((material.name for material in job.build.materials), key=len, reverse=True)
    found = set()
    for words in strings(documents):
        for name in names:
            words = words.replace(name, "")
        found.add(words.replace("\u00a0", " "))
    return found


def winces(words: str) -> list[str]:
    return [
        f"{pattern!r} in {words!r}: say {better}"
        for pattern, better in WINCES.items()
        if re.search(pattern, words, re.I)
    ]


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_no_sheet_says_what_makes_a_maker_wince(folder: Path) -> None:
    told = printed(folder)
    assert len(told) > 100
    assert [wince for words in sorted(told) for wince in winces(words)] == []


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_sizes_are_set_in_one_style_and_numbers_agree_with_their_nouns(folder: Path) -> None:
    for words in sorted(printed(folder)):
        assert not re.search(r"\d ?x ?\d", words), words
        assert not re.search(r"\d×|×\d", words), words
        assert not re.search(
            r"(?<![\d/])\d{1,2}/(2|4|8|16|32|64)\b(?!/)", re.sub(r"\b[4-9]/4\b|\b1[026]/4\b", "", words)
        ), words
        assert not re.search(rf"(?<![\d.,/⁄–×] )(?<![\d.,/⁄–×#])\b1 ({COUNTED})\b", words), words


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda folder: folder.name)
def test_what_begins_as_sentences_ends_as_one(folder: Path) -> None:
    """Two sentences and no full stop at the end look like a line that was cut off."""
    for words in sorted(printed(folder)):
        if re.search(r"[a-z\d)₀-₉]\. [A-Z][a-z]+,? [a-z]", words):
            assert words.rstrip().endswith((".", "!", "?", ":", "]")), words


def literals(path: Path) -> Iterator[str]:
    """Every string a module may print: all but docstrings."""
    tree = ast.parse(path.read_text("utf-8"))
    kept = {
        id(node.body[0].value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
        and node.body
        and isinstance(node.body[0], ast.Expr)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in kept:
            yield node.value


@pytest.mark.thorough
def test_no_message_says_it_either() -> None:
    """All that any module can print, whether or not a sample makes it do so."""
    found = []
    for path in sorted((ROOT / "shopdocs").rglob("*.py")):
        found += [f"{path.name}: {wince}" for words in literals(path) for wince in winces(words)]
    assert found == []


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_the_manual_does_not_either(name: str) -> None:
    assert [wince for line in (ROOT / name).read_text("utf-8").splitlines() for wince in winces(line)] == []


def test_the_reference_does_not_either() -> None:
    assert [wince for line in reference_text().splitlines() for wince in winces(line)] == []
