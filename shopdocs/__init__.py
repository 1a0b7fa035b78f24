"""One build description in, everything that must be on paper at the bench out."""

__version__ = "0.1.0"
