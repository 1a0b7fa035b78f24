"""A kind of joint is told in one place: its name, its record, its geometry, and nowhere else."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import shopdocs
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
    assert modules - {kind.name for kind in JointKind} <= {"__INIT__", "KIND", "TENONED", "HOUSED", "MITRED"}


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
