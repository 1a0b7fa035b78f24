"""Every problem has a code, by which a doubt is answered; each is raised by a test that would notice if it were not.

Most stand beside their line in `tests/cases`, or beside the slip that raises them; some are raised here. Of what the
command line alone says, tests hold the words."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import shopdocs
from shopdocs.core.problems import Severity
from shopdocs.model.joint_kinds import KINDS
from shopdocs.pipeline import check_build, render
from shopdocs.pipeline.request import Request
from tests.test_cases import CASES, expected

ROOT, TESTS = Path(shopdocs.__file__).parent, Path(__file__).parent.parent
# Which argument is the code, by the name of what is called.
TAKES = {"error": 1, "warning": 1, "note": 1, "Problem": 1, "Doubt": 0, "thin": 0}
NOT_PROBLEMS = {"choosing"}  # a note on a sheet
# What tests hold by its words, for it is said by a command and stands in no build.
BY_WORDS = {
    "two-builds": "is no revision of",
    "json": "this is not a list of figures",
    "two-sets": "its set would be called",
    "purchase": "no purchase for all was laid out",
    "exists": "is there already",
    "quotes": "a quote is not closed",
    "clock": "was ended by",
    "defect": "ends where it begins",
}


def _codes(path: Path) -> Iterator[str]:
    """The codes that a module gives its problems."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Call):
            name = getattr(node.func, "id", getattr(node.func, "attr", ""))
            place = TAKES.get(name)
            code = node.args[place] if place is not None and len(node.args) > place else None
            if isinstance(code, ast.Constant) and isinstance(code.value, str):
                yield code.value


def _words_of_tests() -> Iterator[str]:
    for path in TESTS.rglob("test_*.py"):
        if path != Path(__file__):
            nodes = ast.walk(ast.parse(path.read_text("utf-8")))
            yield from (node.value for node in nodes if isinstance(node, ast.Constant) and isinstance(node.value, str))


def test_every_code_is_raised() -> None:
    codes = {code for path in ROOT.rglob("*.py") for code in _codes(path)} - NOT_PROBLEMS
    codes |= {f"{usual.what}-{usual.key}" for kind in KINDS.values() for usual in kind.usual}
    assert len(codes) > 250
    raised = {each.code for path in CASES.glob("*.yaml") for each in expected(path)}
    slips = "".join(path.read_text("utf-8") for path in (CASES / "slips").glob("*.yaml"))
    raised |= set(re.findall(r"\bcode: ([a-z-]+)", slips)) | {"not-made", *(code for code, *_ in RAISED)}
    words = set(_words_of_tests())
    held = {code for code, told in BY_WORDS.items() if any(told in word for word in words)}
    assert sorted(codes - raised - words - held) == []


HEAD = "build: {title: Box, mark: B, units: mm}\nmaterials: {oak: {kind: hardwood, rough: 27}}\n"
PANEL = (
    HEAD + "parts: {board: {material: oak, size: 20 x 100 x 600, pieces: [A, B]}}\n"
    "joints: {seam: {kind: edge joint, pieces: [A into B]}}\n"
)
TWO = HEAD + (
    "parts: {board: {material: oak, size: 20 x 100 x 600, runs: {length: x, width: y},"
    " pieces: {A: {x: 0, y: 0, z: 0}, B: {x: 590, y: 0, z: 0}}}}\n"
)
LEANING = (
    "build: {title: Stool, mark: S, units: mm, free standing: no}\n"
    "materials: {ash: {kind: hardwood, rough: 52}}\n"
    "parts:\n"
    "  seat: {material: ash, size: 40 x 400 x 800, strips: 4, runs: {length: x, width: y},"
    " pieces: {T: {x: 0, y: 0, z: 200}}}\n"
    "  leg: {material: ash, thickness: 30, width: 30, runs: {length: z, width: x},"
    " pieces: {L: {x: centred on 400, y: centred on 200, z: 0 to T.bottom, lean: LEAN}}}\n"
    "joints: {legs: {kind: round tenon, from: leg, into: seat, thickness: 20, length: 25}}\n"
)
FITTED = PANEL + (
    "hardware: {glide: {buy: glide, stage: STAGE}}\n"
    "gluing:\n"
    "  adhesive: yellow PVA\n"
    "  stages:\n"
    "    - {title: Panel, pieces: [A, B], hardware: [glide]}\n"
    "    - {title: Feet, uses: [Panel], pieces: [C]}\n"
)
FITTED = FITTED.replace("pieces: [A, B]}}", "pieces: [A, B, C]}}")
GLUED = PANEL + "gluing: {adhesive: yellow PVA, shop: 3 C, stages: [{title: Panel, pieces: [A, B]}]}\n"

RAISED = [
    # Makers' sheets give yellow PVA 50 F, 10 C, and never less than 4 C: chalk sets in, and it does not hold.
    ("cold", Severity.WARNING, GLUED, GLUED.replace("3 C", "20 C"), "too cold for yellow PVA"),
    # Shellac is built up in three to eight coats; more than ten are a slip (common practice, no source).
    (
        "coats",
        Severity.WARNING,
        PANEL + "finish: {kind: shellac, coats: 11}\n",
        PANEL + "finish: {kind: shellac, coats: 10}\n",
        "11 coats of 'shellac'",
    ),
    (
        "hardware-stage",
        Severity.WARNING,
        FITTED.replace("STAGE", "Feet"),
        FITTED.replace("STAGE", "Panel"),
        "'glide' is fitted in 'Panel' but named for 'Feet'",
    ),
    # A decimal comma inside { } begins the next key.
    (
        "comma",
        Severity.ERROR,
        PANEL.replace("rough: 27", "rough: 27,5"),
        PANEL.replace("rough: 27", "rough: 27.5"),
        "'5' stands where a key should",
    ),
    # 590 to 1190 begins 10 before 600.
    ("clash", Severity.ERROR, TWO, TWO.replace("590", "600"), "'A' and 'B' overlap by 10 mm x 100 mm x 20 mm"),
    # Off plumb by a splay of 40 and a rake of 30 together: tan² is 0.704 + 0.333, so 45.5°; 45 by itself can be made.
    (
        "lean-steep",
        Severity.ERROR,
        LEANING.replace("LEAN", "{splay: 40 left, rake: 30 front}"),
        LEANING.replace("LEAN", "{splay: 45 left}"),
        "L meets T 45.5° off square",
    ),
]


@pytest.mark.parametrize(("code", "severity", "wrong", "right", "said"), RAISED, ids=[each[0] for each in RAISED])
def test_it_is_told_and_what_is_right_is_not(
    tmp_path: Path, code: str, severity: Severity, wrong: str, right: str, said: str
) -> None:
    def told(text: str) -> list[tuple[Severity, str]]:
        path = tmp_path / "build.yaml"
        path.write_text(text, "utf-8")
        return [(each.severity, each.wrong) for each in check_build(str(path))[2] if each.code == code]

    ((found, words),) = told(wrong)
    assert found is severity
    assert said in words
    assert told(right) == []


def test_what_is_asked_for_and_not_made_is_told(tmp_path: Path) -> None:
    """A board with a joint and no stages has a cut list, but no glue-up."""
    path = tmp_path / "build.yaml"
    path.write_text(HEAD + "parts: {board: {material: oak, size: 20 x 100 x 600, pieces: [A]}}\n", "utf-8")
    made = render(Request(str(path), only=("cut-list", "glue-up")), str(tmp_path / "out"))
    assert [(each.code, each.severity) for each in made.problems] == [("not-made", Severity.WARNING)]
    assert "'glue-up' was asked for but is not made" in made.problems[0].wrong
