"""Pieces in space: where they lie, where they meet, what the joints cut, and how all of it looks from outside."""
