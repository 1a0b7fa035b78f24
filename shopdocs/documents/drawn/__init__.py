"""Drawings of the build and of its pieces as blocks: what documents put on their sheets."""
