"""Groups of keys: how they are declared, and how nodes are fitted to them.

A group is a class with a line for each key: its annotation says what may stand there, `key` what it means. A value is
never converted: a leaf stays the `Scalar` node it is. The annotation of a key is looked at when a file first has that
key, for of some two hundred a small build has thirty.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from types import UnionType
from typing import Annotated, Any, ClassVar, Final, Literal, Protocol, Self, get_args, get_origin

from msgspec import Struct

from shopdocs.core.problems import NOWHERE, Position
from shopdocs.source.nodes import Mapping, Node, Scalar, Sequence

AT: Final = "\0at"
KEYS: Final = "\0keys"
_BLANK = ("", "~", "null")
HIDDEN = (AT, KEYS)  # what a tree carries beside what the maker wrote

Path = tuple[int | str, ...]
# What is wrong: a key that the group does not have or lacks; something else where a value, a list, names with values
# under them or a group of keys should be.
Fault = Literal["unknown", "missing", "value", "list", "names", "group"]
Faults = list[tuple[Path, Fault]]


def to_tree(node: Node, at: Position | None = None) -> Any:
    """Plain dicts and lists with `Scalar` leaves; a dict also carries its place and those of its keys. The place of a
    group of keys is that of the key it stands under. An empty value ('key:') is None: not written, yet the key is
    there."""
    if isinstance(node, Scalar):
        return node
    if isinstance(node, Sequence):
        return [to_tree(item) for item in node.items]
    tree: dict[str, Any] = {AT: at or node.at, KEYS: {}}
    for key, (key_at, value) in node.entries.items():
        tree[KEYS][key] = key_at
        tree[key] = None if is_empty(value) else to_tree(value, key_at)
    return tree


def is_empty(node: Node) -> bool:
    """Whether the value is left blank (what YAML calls null)."""
    return isinstance(node, Scalar) and not node.quoted and node.text in _BLANK


class Shape(Protocol):
    """What may stand under a key."""

    def fitted(self, node: Node | None, at: Position, faults: Faults) -> Any:
        """What the schema makes of the node that stands under the key at `at`, None for one left blank. What is wrong
        is added to `faults`; what is returned then is of no use."""
        ...


class Leaf(Struct, frozen=True, eq=False):
    """A single value, with its JSON Schema."""

    json: dict[str, Any]

    def fitted(self, node: Node | None, at: Position, faults: Faults) -> Any:
        """The node itself."""
        if type(node) is not Scalar:
            faults.append(((), "value"))
        return node


class ListOf(Struct, frozen=True, eq=False):
    """A list of one shape; where `alone` says so, one value may stand in place of a list of one."""

    inner: Shape
    alone: OrAlone | None = None

    def fitted(self, node: Node | None, at: Position, faults: Faults) -> Any:
        """The entries as a list."""
        if type(node) is Scalar and self.alone is not None:
            return [node]
        if type(node) is not Sequence:
            faults.append(((), "list"))
            return None
        found, wrong = [], Faults()
        for number, item in enumerate(node.items):
            found.append(self.inner.fitted(item, item.at, wrong))
            if wrong:
                faults += [((number, *path), fault) for path, fault in wrong]
                wrong.clear()
        return found


class NamesOf(Struct, frozen=True, eq=False):
    """Names of the maker's own, with one shape under each."""

    inner: Shape

    def fitted(self, node: Node | None, at: Position, faults: Faults) -> Any:
        """What stands under each name."""
        if type(node) is not Mapping:
            faults.append(((), "names"))
            return None
        found, wrong = {}, Faults()
        for name, (name_at, value) in node.entries.items():
            found[name] = self.inner.fitted(None if is_empty(value) else value, name_at, wrong)
            if wrong:
                faults += [((name, *path), fault) for path, fault in wrong]
                wrong.clear()
        return found


class AsWritten(Struct, frozen=True, eq=False):
    """Whatever the maker wrote, as `to_tree` makes it; it has `json` of its own."""

    json: Any

    def fitted(self, node: Node | None, at: Position, faults: Faults) -> Any:
        """The tree of the node."""
        return None if node is None else to_tree(node, at)


class OrAlone(Struct, frozen=True, eq=False):
    """Marks a list in place of which one value may stand, with its JSON Schema."""

    json: dict[str, Any]


class Key(Struct, eq=False):
    """A key of the language: `written` is how it is written, `name` how Python spells it, `order` its place among the
    keys of its group."""

    written: str
    meaning: str
    needed: bool
    example: str
    name: str = ""
    order: int = 0
    optional: bool = False
    said: tuple[str, str] = ("", "")  # the module whose names its annotation is made of, and the annotation
    known: Any = None

    @property
    def shape(self) -> Shape:
        """What may stand there."""
        if self.known is None:
            module, annotation = self.said
            self.known = _shape(eval(annotation, vars(sys.modules[module])))
        shape: Shape = self.known
        return shape


def key(meaning: str, name: str = "", needed: bool = False, example: str = "") -> Any:
    """A key of the language: `meaning` stands in the reference and the JSON Schema, `name` is how it is written
    where Python could not spell it."""
    return Key(name, meaning, needed, example)


def _shape(annotation: Any) -> Shape:
    """The shape that an annotation without 'or None' stands for."""
    if get_origin(annotation) is Annotated:
        inner, mark = get_args(annotation)
        if isinstance(mark, OrAlone):
            return ListOf(_shape(get_args(inner)[0]), mark)
        shape: Shape = mark
        return shape
    if get_origin(annotation) is list:
        return ListOf(_shape(get_args(annotation)[0]))
    if get_origin(annotation) is dict:
        return NamesOf(_shape(get_args(annotation)[1]))
    assert not isinstance(annotation, UnionType), annotation
    group: Shape = annotation
    return group


class Keys:
    """A group of keys. `at` is its place, `places` that of each key's value, `key_places` that of each key."""

    keys: ClassVar[dict[str, Key]] = {}  # by how they are written
    spelt: ClassVar[dict[str, Key]] = {}  # those of several words, with underscores between them
    at: Position
    places: dict[str, Position]
    key_places: dict[str, Position]

    def __init_subclass__(cls) -> None:
        cls.keys, cls.spelt = {}, {}
        for order, (name, annotation) in enumerate(cls.__annotations__.items()):
            found: Key = cls.__dict__[name]
            found.name, found.order, found.written = name, order, found.written or name
            found.optional = annotation.endswith(" | None")
            found.said = (cls.__module__, annotation.removesuffix(" | None"))
            cls.keys[found.written] = found
            if " " in found.written:
                cls.spelt[found.written.replace(" ", "_")] = found
            setattr(cls, name, None)  # what a group has where the key is not written

    def __init__(self, at: Position = NOWHERE) -> None:
        """A group in which nothing is written."""
        self.at, self.places, self.key_places = at, {}, {}

    def place(self, key: str) -> Position:
        """Where a key is written; where the mapping begins if the key is not."""
        return self.places.get(key, self.at)

    @classmethod
    def fitted(cls, node: Node | None, at: Position, faults: Faults) -> Self | None:
        """The group that stands under the key at `at`; None where the node is no group. What is wrong with it is added
        to `faults`: first what is wrong with its keys, in the order of the language, then keys it does not have."""
        if type(node) is not Mapping:
            faults.append(((), "group"))
            return None
        group = cls(at)
        values, wrong, own = vars(group), Faults(), list[tuple[int, Path, Fault]]()
        for written, (key_at, value) in node.entries.items():
            group.key_places[written] = key_at
            found = cls.keys.get(written) or cls._spelt(written, node)
            single = type(value) is Scalar
            blank = single and is_empty(value)
            if not blank:
                group.places[written] = value.at if single else key_at
            if found is None:
                own.append((len(cls.keys), (written,), "unknown"))
            elif not blank or not found.optional:
                values[found.name] = found.shape.fitted(None if blank else value, key_at, wrong)
                if wrong:
                    own += [(found.order, (written, *path), fault) for path, fault in wrong]
                    wrong.clear()
        own += [(key.order, (key.written,), "missing") for key in cls.lacking(values)]
        if own:
            own.sort(key=lambda each: each[0])
            faults += [(path, fault) for _, path, fault in own]
        return group

    @classmethod
    def _spelt(cls, written: str, node: Mapping) -> Key | None:
        """The key that is written with underscores in place of spaces, unless it stands there as it should as well."""
        found = cls.spelt.get(written)
        return found if found is not None and found.written not in node.entries else None

    @classmethod
    def lacking(cls, values: dict[str, Any]) -> Iterator[Key]:
        """The needed keys that are not among the values of a group by how Python spells them."""
        return (key for key in cls.keys.values() if key.needed and key.name not in values)
