"""From nodes to the schema's objects: shape problems in plain words, each at its place."""

from __future__ import annotations

from difflib import get_close_matches
from typing import Any, TypeVar

from shopdocs.core.problems import Position, Problem, error
from shopdocs.source.groups import Fault, Faults, Keys, ListOf, NamesOf, Path, is_empty
from shopdocs.source.nodes import COMMA, MISSING, Mapping, Node, Scalar, Sequence, describe, shorten

K = TypeVar("K", bound=Keys)
MAX_PASSES = 20  # each pass clears one more level of faults


def shape(node: Node, model: type[K]) -> tuple[K | None, list[Problem], set[str]]:
    """The node as an object of the schema, what is wrong with its shape, and the words that stood in what was left out.

    What is wrong is taken out of the nodes and the rest is read again, so that one bad key does not hide the others. A
    later reference to a word that was left out is no second mistake.
    """
    if not isinstance(node, Mapping):
        return None, [error(node.at, "shape", f"{describe(node)} where keys should be", _known(model))], set()
    problems: list[Problem] = []
    left_out: set[str] = set()
    told: set[Path] = set()
    for _ in range(MAX_PASSES):
        faults = Faults()
        found = model.fitted(node, node.at, faults)
        if not faults:
            return found, problems, left_out
        drops: set[Path] = set()
        for path, fault in faults:
            known_fault = any(path[:depth] in told for depth in range(len(path) + 1))
            if not known_fault and not (fault == "missing" and _misspelt(node, model, path)):
                problems.append(_problem(node, model, path, fault))
            if fault == "missing":
                _stand_in(node, model, path)
                left_out.add(str(path[-1]))
            else:
                drops.add(path)
            told.add(path)
        for path in sorted(drops, key=_by_place, reverse=True):
            left_out |= _drop(node, path)
    return None, problems, left_out


def _misspelt(root: Node, model: type[Keys], path: Path) -> bool:
    """Whether the missing key stands there under a misspelt name, which is told anyway."""
    _, node = _walk(root, path[:-1])
    inside = _model_at(model, path[:-1])
    if not isinstance(node, Mapping) or inside is None:
        return False
    unknown = [key for key in node.entries if key not in inside.keys]
    return any(get_close_matches(key.lower(), inside.keys, 1, 0.6) == [path[-1]] for key in unknown)


def _stand_in(node: Node, model: type[Keys], path: Path) -> None:
    """Put a silent stand-in where a needed key is missing, so that everything else can still be read."""
    for step in path[:-1]:
        inside = _child(node, step)
        if inside is None:
            return
        node = inside
    if isinstance(node, Mapping):
        group = _model_at(model, path) is not None
        node.entries[str(path[-1])] = (node.at, Mapping(node.at) if group else Scalar(node.at, MISSING, True))


def _by_place(path: Path) -> list[tuple[int, str]]:
    return [(step, "") if isinstance(step, int) else (0, step) for step in path]


def _drop(node: Node, path: Path) -> set[str]:
    """Take what the path names out of the nodes; the words that were in it."""
    for step in path[:-1]:
        inside = _child(node, step)
        if inside is None:
            return set()
        node = inside
    gone = _child(node, path[-1])
    if gone is None:
        return set()
    if isinstance(node, Mapping):
        del node.entries[str(path[-1])]
        return _words_in(gone) | {str(path[-1])}
    if isinstance(node, Sequence):
        del node.items[int(path[-1])]
    return _words_in(gone)


def _child(node: Node, step: int | str) -> Node | None:
    if isinstance(node, Mapping) and step in node.entries:
        return node.entries[str(step)][1]
    if isinstance(node, Sequence) and isinstance(step, int) and step < len(node.items):
        return node.items[step]
    return None


def _words_in(node: Node) -> set[str]:
    if isinstance(node, Scalar):
        return {node.text, *node.text.replace(",", " ").split()}
    if isinstance(node, Sequence):
        return set().union(*map(_words_in, node.items))
    return set(node.entries).union(*(_words_in(value) for _, value in node.entries.values()))


def _walk(node: Node, path: Path) -> tuple[Position, Node | None]:
    """The place a path names: of the key where there is one."""
    at = node.at
    here: Node | None = node
    for step in path:
        if isinstance(here, Mapping) and isinstance(step, str) and step in here.entries:
            at, here = here.entries[step]
        elif isinstance(here, Sequence) and isinstance(step, int) and step < len(here.items):
            here = here.items[step]
            at = here.at
        elif isinstance(here, Scalar) and step == 0:
            continue  # a single value where a list may stand
        else:
            return at, None
    return at, here


def _model_at(model: type[Keys], path: Path) -> type[Keys] | None:
    """The schema's group of keys that the path leads into, for a list or names of groups the group itself."""
    here: Any = model
    for step in path:
        if _is_keys(here):
            key = here.keys.get(step)
            here = key.shape if key else None
        else:
            here = here.inner if isinstance(here, ListOf | NamesOf) else None
    while isinstance(here, ListOf | NamesOf):
        here = here.inner
    return here if _is_keys(here) else None


def _is_keys(thing: Any) -> bool:
    return isinstance(thing, type) and issubclass(thing, Keys)


def _known(model: type[Keys] | None) -> str:
    return "known keys are " + ", ".join(model.keys) if model else "see the reference page"


def _called(path: Path) -> str:
    """How to call the thing a path names."""
    if not path:
        return "the file"
    last = path[-1]
    return f"'{shorten(last)}'" if isinstance(last, str) else f"entry {last + 1} of {_called(path[:-1])}"


def _one_up(model: type[Keys], path: Path) -> str:
    """Where a key belongs that is known further out; "" for one that is not."""
    inside = _model_at(model, path[:-1])
    for end in range(len(path) - 2, 0, -1):
        outer = _model_at(model, path[:end])
        if outer is not None and outer is not inside and path[-1] in outer.keys:
            return f"it belongs to {_called(path[:end])}, beside its other keys"
    return ""


def _problem(root: Node, model: type[Keys], path: Path, fault: Fault) -> Problem:
    at, node = _walk(root, path)
    last = str(path[-1]) if path else ""
    if fault == "unknown":
        inside = _model_at(model, path[:-1])
        close = get_close_matches(last.lower(), inside.keys, 1, 0.6) if inside else []
        right = _one_up(model, path) or (f"did you mean '{close[0]}'?" if close else _known(inside))
        if last[:1].isdigit():
            return error(at, "comma", f"'{shorten(last)}' stands where a key should", COMMA)
        return error(at, "unknown-key", f"there is no key '{shorten(last)}' here", right)
    if fault == "missing":
        where = _called(path[:-1])
        at, _ = _walk(root, path[:-1])
        inside = _model_at(model, path[:-1])
        meaning = inside.keys[last].meaning if inside and last in inside.keys else ""
        return error(at, "missing-key", f"{where} lacks '{last}'", f"add '{last}': {meaning}")
    if path and isinstance(path[-1], int) and isinstance(node, Scalar) and is_empty(node):
        return error(
            at, "shape", f"an empty entry stands in the list {_called(path[:-1])}", "fill it in, or take it out"
        )
    if last[:1].isdigit() and isinstance(node, Scalar) and is_empty(node):
        return error(at, "comma", f"'{shorten(last)}' stands where a name should", COMMA)
    found = describe(node) if node is not None else "this"
    wanted = {"value": "a single value is wanted", "list": "a list is wanted, such as [a, b]"}.get(
        fault, "keys with values are wanted"
    )
    inside = _model_at(model, path)
    hint = f" ({_known(inside)})" if inside and fault == "group" else ""
    return error(at, "shape", f"{found} stands under {_called(path)}", f"{wanted}{hint}")
