"""Wood over a year: how far it moves, and whether what it rides in lets it."""
