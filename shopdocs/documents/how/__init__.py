"""How the figures of the sheets are made: the text of the appendix, and the numbers by which sheets lead to it."""
