"""Whoever reads a name of another file finds there what it means: every public function, method and class of the
finished packages has a docstring, and one that raises ValueError says so."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import shopdocs

ROOT = Path(shopdocs.__file__).parent
FINISHED = (
    *("core", "facts", "model", "blocks", "source", "checks", "page", "output", "records"),
    *(f"work/{room}" for room in ("boards", "holes", "scene", "shapes", "space")),
)
MODULES = [path for package in FINISHED for path in sorted((ROOT / package).rglob("*.py"))]

Public = ast.FunctionDef | ast.ClassDef


def public(tree: ast.Module | ast.ClassDef) -> Iterator[Public]:
    """Public functions and classes, and the public methods of these."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            yield node
            if isinstance(node, ast.ClassDef):
                yield from public(node)


def raises_value_error(node: Public) -> bool:
    found = (one.exc for one in ast.walk(node) if isinstance(one, ast.Raise))
    calls = [one.func for one in found if isinstance(one, ast.Call)]
    return any(isinstance(name, ast.Name) and name.id == "ValueError" for name in calls)


def unsaid(text: str) -> list[str]:
    """What lacks words in a module, by name."""
    found = []
    for node in public(ast.parse(text)):
        said = ast.get_docstring(node) or ""
        raises = isinstance(node, ast.FunctionDef) and raises_value_error(node)
        if not said or (raises and "ValueError" not in said):
            found.append(node.name)
    return found


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_what_is_public_says_what_it_means(path: Path) -> None:
    assert unsaid(path.read_text("utf-8")) == []


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("def f():\n    pass", ["f"]),
        ("def _f():\n    pass", []),
        ('def f():\n    """Says it."""', []),
        ('class C:\n    """Says it."""\n    def m(self):\n        return 1', ["m"]),
        ('def f():\n    """Says half."""\n    raise ValueError("x")', ["f"]),
        ('def f():\n    """Raises ValueError."""\n    raise ValueError("x")', []),
    ],
)
def test_silence_is_noticed(text: str, names: list[str]) -> None:
    assert unsaid(text) == names
