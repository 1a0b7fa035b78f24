"""Every kind of joint with all that is known of it, found by its name; each is loaded when it is first asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib import import_module
from typing import TYPE_CHECKING

from shopdocs.model.joining import JointKind

if TYPE_CHECKING:
    from shopdocs.model.kinds.kind import Kind


def _told(kind: JointKind) -> Kind:
    """What the module of that name says. Raises TypeError where it says nothing."""
    from shopdocs.model.kinds.kind import Kind

    found = import_module(f"shopdocs.model.kinds.{kind.name.lower()}").KIND
    if not isinstance(found, Kind):
        raise TypeError(f"the module of {kind.name} has no Kind")
    return found


class _Kinds(Mapping[JointKind, "Kind"]):
    def __init__(self) -> None:
        self._known: dict[JointKind, Kind] = {}

    def __getitem__(self, kind: JointKind) -> Kind:
        found = self._known.get(kind)
        if found is None:
            found = self._known[kind] = _told(kind)
        return found

    def __iter__(self) -> Iterator[JointKind]:
        return iter(JointKind)

    def __len__(self) -> int:
        return len(JointKind)


KINDS: Mapping[JointKind, Kind] = _Kinds()
SIZES = (
    "thickness",
    "width",
    "length",
    "depth",
    "proud",
    "shoulder",
    "haunch",
    "room",
    "slope",
    "count",
)
EVERY = ("pieces, or from and into", "glued", "note")  # keys that every joint has beside its kind


def kind_lines() -> Iterator[str]:
    """One line for each kind of joint, and one for the keys that all of them have."""
    wide = max(len(kind.value) for kind in KINDS)
    for kind, told in KINDS.items():
        sizes = f": {', '.join(told.sizes)}" if told.sizes else ""
        yield f"{kind.value:<{wide}}  {told.joins}{sizes}"
    yield f"{'all of them':<{wide}}  {', '.join(EVERY)}"
