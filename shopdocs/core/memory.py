"""Memory that was let go of goes back to the system."""

from __future__ import annotations

import sys


def give_back() -> None:
    """Give back what was let go of, where the system's library can be asked to (glibc): it keeps what lies between
    things still in use, after the pictures of a thousand pieces a tenth of all. Elsewhere nothing is done."""
    if not sys.platform.startswith("linux"):
        return
    import ctypes

    trim = getattr(ctypes.CDLL(None), "malloc_trim", None)
    if trim is not None:
        trim(ctypes.c_size_t(0))
