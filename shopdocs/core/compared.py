"""Values of whose fields not every one counts when two are compared."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from operator import attrgetter
from typing import ClassVar

from msgspec import Struct


class Compared(Struct, frozen=True):
    """Two of a kind are equal when all their fields are but those `apart`: where something is written, what is worked
    out once and kept. The hash leaves out what is `unhashed` too, such as mappings."""

    apart: ClassVar[frozenset[str]] = frozenset({"places"})
    unhashed: ClassVar[frozenset[str]] = frozenset()

    def __eq__(self, other: object) -> bool:
        if type(other) is not type(self):
            return NotImplemented
        counted = _counted(type(self), hashed=False)
        return bool(counted(self) == counted(other))

    def __hash__(self) -> int:
        return hash(_counted(type(self), hashed=True)(self))


@cache
def _counted(kind: type[Compared], hashed: bool) -> Callable[[Compared], object]:
    """What gets the fields of such a value that count."""
    left_out = kind.apart | kind.unhashed if hashed else kind.apart
    return attrgetter(*(name for name in kind.__struct_fields__ if name not in left_out))
