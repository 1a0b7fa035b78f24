"""A kind of joint is told in one place: its name, its record, its geometry, and nowhere else."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import shopdocs
from shopdocs.model.cutting import CutKind
from shopdocs.model.joining import JointKind
from shopdocs.model.joint_kinds import KINDS, SIZES
from shopdocs.work.joints.joinery import geometry_of

ROOT = Path(shopdocs.__file__).parent
NAMES = ROOT / "model" / "joint_names.py"


def _named_in(path: Path) -> list[str]:
    """The kinds of joints that a file names: `JointKind.HOUSING`, or `JointKind["HOUSING"]`."""
    found = []
    text = path.read_text("utf-8")
    for node in ast.walk(ast.parse(text)) if "JointKind" in text else ():
        of = node.value if isinstance(node, ast.Attribute | ast.Subscript) else None
        if isinstance(of, ast.Name) and of.id == "JointKind":
            found.append(f"{path.name}:{of.lineno}")
    return found


def test_no_other_file_names_a_kind() -> None:
    """What differs between kinds stands in their records, so that a new kind needs no other file."""
    assert [place for path in sorted(ROOT.rglob("*.py")) if path != NAMES for place in _named_in(path)] == []


def _features_in(path: Path) -> set[str]:
    """The cuts and the like that a file names: `FeatureKind.SOCKET`."""
    tree = ast.parse(path.read_text("utf-8"))
    of = (node for node in ast.walk(tree) if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name))
    return {node.attr for node in of if isinstance(node.value, ast.Name) and node.value.id == "FeatureKind"}


def test_no_other_file_names_what_joints_alone_cut() -> None:
    """Whoever looks at a socket or a tongue asks for its traits, so that those of a new kind are seen, too. What makers
    cut themselves and what hardware is screwed to has holes and cuts by the same names; an end is left on any board."""
    joints = ROOT / "work" / "joints"
    others = [ROOT / "work" / "scene" / "own_cuts.py", ROOT / "work" / "scene" / "in_space.py"]
    alone = set().union(*map(_features_in, joints.rglob("*.py"))).difference(*map(_features_in, others))
    alone -= {"END_LEFT_ON"}
    assert {"SOCKET", "TONGUE", "HOUSED_END", "PIN_SLOT", "SPLINE_SLOT"} <= alone
    outside = [path for path in sorted(ROOT.rglob("*.py")) if path != NAMES and joints not in path.parents]
    assert [f"{path.name}: {name}" for path in outside for name in sorted(_features_in(path) & alone)] == []


def test_no_other_file_compares_with_the_words_of_a_kind() -> None:
    """A word of its own, as "breadboard end", names a kind by another way; in a sentence it may stand as advice. Makers
    cut rabbets themselves, too, and the language has its example."""
    words = {kind.value for kind in JointKind} | {f"{kind.value}s" for kind in JointKind}
    words -= {*CutKind, "mortise and tenon"}
    found = []
    for path in sorted(ROOT.rglob("*.py")):
        if path != NAMES and path.parent.name != "kinds":
            nodes = ast.walk(ast.parse(path.read_text("utf-8")))
            told = {node.value for node in nodes if isinstance(node, ast.Constant) and isinstance(node.value, str)}
            found += [f"{path.name}: {word}" for word in sorted(told & words)]
    assert found == []


@pytest.mark.parametrize("text", ["x = JointKind.HOUSING", "JointKind['HOUSING']", "{JointKind.RABBET: 1}"])
def test_a_kind_that_is_named_is_noticed(tmp_path: Path, text: str) -> None:
    path = tmp_path / "names.py"
    path.write_text(text, "utf-8")
    assert len(_named_in(path)) == 1


@pytest.mark.parametrize("folder", ["model/kinds", "work/joints/kinds"])
def test_every_module_of_a_kind_is_one(folder: str) -> None:
    """No module is left over when a kind is renamed; what kinds share has no name of a kind."""
    modules = {path.stem.upper() for path in (ROOT / folder).glob("*.py")}
    assert {kind.name for kind in JointKind} <= modules
    assert modules - {kind.name for kind in JointKind} <= {"__INIT__", "KIND", "TENONED", "HOUSED", "MITRED", "TAILED"}


@pytest.mark.parametrize("kind", JointKind)
def test_a_kind_has_its_record_and_its_geometry(kind: JointKind) -> None:
    told = KINDS[kind]
    assert callable(geometry_of(kind).touching)
    assert set(told.sizes) <= set(SIZES)
    assert set(told.needed) <= set(told.sizes)
    assert told.called.removeprefix("a ").removeprefix("an ").startswith(kind.value)
    assert (told.called[:3] == "an ") == (kind.value[0] in "aeiou")


def test_no_two_kinds_go_by_one_name() -> None:
    words = [word for kind in JointKind for word in (kind.value, *KINDS[kind].aliases)]
    assert len(words) == len(set(words))
