"""What changed between two revisions of a build."""
