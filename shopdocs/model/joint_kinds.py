"""Every kind of joint with all that is known of it, found by its name."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module

from shopdocs.model.joining import JointKind
from shopdocs.model.kinds.kind import Kind


def _told(kind: JointKind) -> Kind:
    """What the module of that name says. Raises TypeError where it says nothing."""
    found = import_module(f"shopdocs.model.kinds.{kind.name.lower()}").KIND
    if not isinstance(found, Kind):
        raise TypeError(f"the module of {kind.name} has no Kind")
    return found


KINDS: dict[JointKind, Kind] = {kind: _told(kind) for kind in JointKind}
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
