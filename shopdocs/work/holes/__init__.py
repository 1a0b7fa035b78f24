"""Holes on faces: what to drill, what a screw passes through, what runs into what."""
