"""Which boards to take, how to saw them, and whether the boards that were bought suffice."""
