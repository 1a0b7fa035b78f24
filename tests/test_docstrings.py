"""Whoever reads a name of another file finds there what it means: every public function, method and class has a
docstring, and one that raises an error names it."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import shopdocs

ROOT = Path(shopdocs.__file__).parent
MODULES = sorted(ROOT.rglob("*.py"))

Public = ast.FunctionDef | ast.ClassDef


def public(tree: ast.Module | ast.ClassDef) -> Iterator[Public]:
    """Public functions and classes, and the public methods of these."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            yield node
            if isinstance(node, ast.ClassDef):
                yield from public(node)


def raised(node: Public) -> set[str]:
    """The names of the errors that a function raises; what begins with an underscore does not leave its module."""
    found = (one.exc for one in ast.walk(node) if isinstance(one, ast.Raise))
    calls = (one.func if isinstance(one, ast.Call) else one for one in found)
    return {one.id for one in calls if isinstance(one, ast.Name) and one.id[0].isupper()}


def unsaid(text: str) -> list[str]:
    """What lacks words in a module, by name."""
    found = []
    for node in public(ast.parse(text)):
        said = ast.get_docstring(node) or ""
        errors = raised(node) if isinstance(node, ast.FunctionDef) else set()
        if not said or any(error not in said for error in errors):
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
        ('def f():\n    """Raises ValueError."""\n    raise OSError', ["f"]),
        ('def f():\n    """Gives up."""\n    raise _Spent', []),
    ],
)
def test_silence_is_noticed(text: str, names: list[str]) -> None:
    assert unsaid(text) == names
