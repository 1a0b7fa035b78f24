"""Memory that was let go of goes back to the system."""

from __future__ import annotations

import sys
from functools import cached_property


def give_back() -> None:
    """Give back what was let go of, where the system's library can be asked to (glibc): it keeps what lies between
    things still in use, after the pictures of a thousand pieces a tenth of all. Elsewhere nothing is done."""
    if not sys.platform.startswith("linux"):
        return
    import ctypes

    trim = getattr(ctypes.CDLL(None), "malloc_trim", None)
    if trim is not None:
        trim(ctypes.c_size_t(0))


def let_go(*things: object) -> None:
    """Let go of what cached properties of these things hold; where it is asked for again, it is worked out again."""
    for one in things:
        for name in [name for name in one.__dict__ if isinstance(getattr(type(one), name, None), cached_property)]:
            del one.__dict__[name]
