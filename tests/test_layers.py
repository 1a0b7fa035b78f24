"""The house keeps its order: who may import whom, which library stands where, how long a file may be."""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator, Mapping
from collections.abc import Set as AbstractSet
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

import shopdocs

ROOT = Path(shopdocs.__file__).parent
MODULES = sorted(ROOT.rglob("*.py"))
LONGEST = 500  # lines of a file

# The import table. A package may always import itself; the version number at the top belongs to nobody.
MAY_IMPORT: dict[str, set[str]] = {
    "core": set(),
    "facts": {"core"},
    "model": {"core"},
    "blocks": {"core"},
    "source": {"core", "model"},
    "work": {"core", "facts", "model"},
    "checks": {"core", "facts", "model", "work"},
    "documents": {"core", "facts", "model", "work", "blocks"},
    "page": {"core", "blocks"},
    "output": {"core", "blocks", "page"},
    "records": {"core", "blocks", "output"},
    "pipeline": {
        "core", "facts", "model", "blocks", "source", "work", "checks", "documents", "page", "output", "records",
    },
    "preview": {"core", "page", "pipeline"},
    "cli": {"core", "documents", "pipeline", "preview"},
    "__main__": {"cli"},
}  # fmt: skip

# The rooms of `work` and which of them each may import; modules at its top are rooms of their own.
WORK_MAY_IMPORT: dict[str, set[str]] = {
    "__init__": set(),
    "shapes": set(),
    "layout": set(),
    "space": {"shapes"},
    "joints": {"shapes", "space"},
    "scene": {"shapes", "space", "joints"},
    "holes": {"shapes", "space", "joints", "scene"},
    "seasons": {"shapes", "space", "joints", "scene", "holes"},
    "order": {"shapes", "space", "joints", "scene"},
    "cut_list": {"space", "joints", "scene"},
    "finish_needs": {"cut_list", "scene"},
    "setups": {"cut_list"},
    "boards": {"cut_list", "layout"},
    "lumber_needs": {"cut_list", "boards"},
    "computed": {"space", "scene", "holes", "order", "seasons", "cut_list"},
}

# Libraries that are not part of Python, and the only packages that may know them.
MAY_USE: dict[str, AbstractSet[str]] = {
    "msgspec": MAY_IMPORT.keys() - {"cli", "__init__", "__main__"},
    "yaml": {"source"},
    "highspy": {"work"},
    "numpy": {"work"},
    "numba": {"work"},
    "reportlab": {"page", "output"},
    "qrcode": {"page", "output"},
    "pypdf": {"page", "output"},
    "ezdxf": {"output"},
    "jinja2": {"output", "records"},
    "markupsafe": {"output", "records"},
    "starlette": {"preview"},
    "uvicorn": {"preview"},
    "watchfiles": {"preview"},
}


def package(path: Path) -> str:
    """The package a file belongs to; for a module at the top its own name."""
    return path.relative_to(ROOT).parts[0].removesuffix(".py")


def imports(path: Path) -> Iterator[tuple[int, str]]:
    """Every module a file imports, wherever the import stands, with its line."""
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert not node.level, f"{path}:{node.lineno}: a relative import hides where it leads"
            module = node.module or ""
            yield from ((node.lineno, f"{module}.{alias.name}") for alias in node.names)


def room(path: Path) -> str:
    """The room of `work` that a file belongs to; "" for a file of another package."""
    parts = path.relative_to(ROOT).parts
    return parts[1].removesuffix(".py") if parts[0] == "work" else ""


def faults(path: Path, here: str, room: str = "") -> list[str]:
    """What a file of the package `here`, in the room `room` of `work`, imports against the tables."""
    found = []
    for line, name in imports(path):
        top, _, rest = name.partition(".")
        if top == "shopdocs":
            target = rest.split(".")[0]
            if target not in ("__version__", here) and target not in MAY_IMPORT[here]:
                found.append(f"{path.name}:{line}: {here} imports {name}")
            inner = rest.split(".")[1] if target == "work" and "." in rest else ""
            if room and inner and inner != room and inner not in WORK_MAY_IMPORT[room]:
                found.append(f"{path.name}:{line}: work.{room} imports {name}")
        elif top not in sys.stdlib_module_names and here not in MAY_USE.get(top, set()):
            found.append(f"{path.name}:{line}: {here} uses {name}")
    return found


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_a_file_imports_only_what_its_package_may(path: Path) -> None:
    if path == ROOT / "__init__.py":
        assert list(imports(path)) == []
        return
    assert faults(path, package(path), room(path)) == []


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_a_file_is_short_enough_to_be_read(path: Path) -> None:
    assert len(path.read_text("utf-8").splitlines()) <= LONGEST


def test_values_are_structs() -> None:
    """A struct is declared and made several times quicker than a dataclass: of those a third of the smallest check was
    made. A set of the standard library's kind cannot be one, and a job that is made of another begins to share anew."""
    found = {
        node.name
        for path in MODULES
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.ClassDef)
        and any(re.match(r"dataclass\b", ast.unparse(each)) for each in node.decorator_list)
    }
    assert found == {"AllBut", "Job"}


# Structs that are filled or counted up while something is worked out, or built so often that freezing them costs time.
FILLED = frozenset(
    [
        "_Setting",
        "Detail",
        "_Group",
        "_Cut",
        "_Turned",
        "_Sheet",
        "_Measured",
        "Laid",
        "Strip",
        "Frame",
        "Plan",
        "Column",
        "Pad",
        "_Grid",
        "_Token",
        "PartDraft",
        "PieceDraft",
        "Key",
        "Mapping",
        "Scalar",
        "Sequence",
        "_Open",
        "_Coordinate",
        "_Moved",
        "_Filled",
        "Item",
        "Tables",
        "State",
        "Board",
        "_Growing",
        "_Heap",
        "_Knot",
    ]
)


def test_values_are_frozen_but_what_is_filled_as_it_is_made() -> None:
    """What is frozen can be shared by sheets, kept, and looked up by its content."""
    loose = {
        node.name
        for path in MODULES
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.ClassDef)
        and any(re.fullmatch(r"(msgspec\.)?Struct", ast.unparse(base)) for base in node.bases)
        and not any(each.arg == "frozen" and ast.unparse(each.value) == "True" for each in node.keywords)
    }
    assert loose <= FILLED, sorted(loose - FILLED)
    assert loose >= FILLED, sorted(FILLED - loose)


def test_every_package_and_room_stands_in_its_table() -> None:
    assert {package(path) for path in MODULES} - {"__init__"} == set(MAY_IMPORT)
    assert {room(path) for path in MODULES} - {""} == set(WORK_MAY_IMPORT)


@pytest.mark.parametrize("table", [MAY_IMPORT, WORK_MAY_IMPORT], ids=["packages", "rooms"])
def test_a_table_has_one_direction(table: dict[str, set[str]]) -> None:
    """Going on from a package or a room by what it may import never leads back to it."""
    for start in table:
        reached: set[str] = set()
        ahead = list(table[start])
        while ahead:
            step = ahead.pop()
            if step not in reached:
                reached.add(step)
                ahead += table[step]
        assert start not in reached


@pytest.mark.parametrize(
    ("text", "here", "count"),
    [
        ("from shopdocs.work.lumber_needs import needs", "page", 1),
        ("from shopdocs.blocks import text", "page", 0),
        ("from shopdocs import work", "blocks", 1),
        ("def f():\n    import yaml", "checks", 1),
        ("def f():\n    import yaml", "source", 0),
        ("import numpy", "source", 1),
        ("from __future__ import annotations\nimport os.path", "core", 0),
    ],
)
def test_a_breach_is_noticed(tmp_path: Path, text: str, here: str, count: int) -> None:
    path = tmp_path / "breach.py"
    path.write_text(text, "utf-8")
    assert len(faults(path, here)) == count


@pytest.mark.parametrize(
    ("text", "room", "count"),
    [
        ("from shopdocs.work.holes.face_holes import FaceHoles", "space", 1),
        ("from shopdocs.work.order import stages", "holes", 1),
        ("from shopdocs.work import order", "holes", 1),
        ("from shopdocs.work.space.drilled import Drilled", "holes", 0),
        ("from shopdocs.work.layout.solve import solve", "layout", 0),
    ],
)
def test_a_breach_between_rooms_is_noticed(tmp_path: Path, text: str, room: str, count: int) -> None:
    path = tmp_path / "breach.py"
    path.write_text(text, "utf-8")
    assert len(faults(path, "work", room)) == count


def needed(tree: ast.AST, modules: Mapping[str, object]) -> set[str]:
    """The modules of the house that a file loads sooner or later, in functions too; what it names for types alone is
    never loaded."""
    found: set[str] = set()
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
            continue
        if isinstance(node, ast.ImportFrom) and node.module:
            names = [f"{node.module}.{alias.name}" for alias in node.names]
            found |= {name if name in modules else node.module for name in names}
        found |= needed(node, modules)
    return found & modules.keys()


def circle_in(files: Mapping[str, str]) -> list[str]:
    """Modules that need each other round about, by their names; none where there is no circle."""
    needs = {name: needed(ast.parse(text), files) - {name} for name, text in files.items()}
    try:
        TopologicalSorter(needs).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def test_no_modules_need_each_other_not_even_from_within_a_function() -> None:
    names = {path: ".".join(path.relative_to(ROOT.parent).with_suffix("").parts) for path in MODULES}
    files = {name.removesuffix(".__init__"): path.read_text("utf-8") for path, name in names.items()}
    assert circle_in(files) == []


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("from a.y import f", 3),
        ("def g():\n    from a import y", 3),
        ("if TYPE_CHECKING:\n    from a.y import f", 0),
        ("import os", 0),
    ],
)
def test_a_circle_is_noticed(text: str, count: int) -> None:
    assert len(circle_in({"a": "", "a.x": text, "a.y": "from a import x"})) == count


def test_reading_a_build_needs_no_paper(tmp_path: Path) -> None:
    """`check` must be quick: no PDF library, no solver, no templates are loaded for it, and of a build without joints,
    screws and places nothing that knows of them."""
    import subprocess

    build = ROOT.parent / "sample_builds" / "seed_tote" / "build.yaml"
    code = (
        "import sys; from shopdocs.cli import main; main(['check', sys.argv[1]]);"
        "print(sorted({*sys.argv[2:]} & sys.modules.keys()))"
    )
    rooms = ("model.kinds.kind", "facts.screws", "work.space.placed", "work.shapes.carved", "work.boards.results")
    unmet = ["reportlab", "highspy", "jinja2", "pypdf", "qrcode", "numpy", *(f"shopdocs.{room}" for room in rooms)]
    done = subprocess.run([sys.executable, "-c", code, str(build), *unmet], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"
