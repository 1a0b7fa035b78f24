"""Solids and how they look: boxes and sloping bodies, their projection, which lines are hidden, what can be seen."""
