"""The order of a glue-up: stages, the straight moves that close them, what is put on at the end."""
