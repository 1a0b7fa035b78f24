"""Values with some of their fields changed, structs and dataclasses alike."""

from __future__ import annotations

import dataclasses
from typing import Any, TypeVar

from msgspec import Struct, structs

Value = TypeVar("Value")


def replace(value: Value, **changes: Any) -> Value:
    """The same value with these fields changed. Raises TypeError for a field that it has not."""
    changed: Any = structs.replace if isinstance(value, Struct) else dataclasses.replace
    made: Value = changed(value, **changes)
    return made
