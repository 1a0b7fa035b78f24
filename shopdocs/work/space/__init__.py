"""Pieces where they stand: poses, faces that touch, real ends, arrises, holes, wrong ways to fit a piece."""
