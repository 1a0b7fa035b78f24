"""The rules behind the figures, in the order of the appendix; a sheet leads to one by its number in brackets."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from msgspec import Struct

from shopdocs.blocks.sheets import Block
from shopdocs.blocks.text import Paragraph, Text, Weight, text
from shopdocs.documents.how import amounts, buying, moving, sawing
from shopdocs.documents.job import Job

APPENDIX = "how-these-figures-are-made"
TITLE = "How these figures are made"


class Rule(Struct, frozen=True):
    """`say` is its text, empty where nothing in this set goes by it."""

    key: str
    title: str
    say: Callable[[Job], Text]


RULES = (
    Rule("sizes", "Sizes", sawing.sizes),
    Rule("milling", "Allowances", sawing.milling),
    Rule("rounding", "Rounding", sawing.rounding),
    Rule("movement", "Movement of wood", moving.movement),
    Rule("measure", "Measure of lumber", buying.measure),
    Rule("choosing", "Choice of boards", buying.choosing),
    Rule("random", "Random widths and lengths", buying.random_sizes),
    Rule("boards", "Board drawings", sawing.board_drawings),
    Rule("usual", "Usual values", buying.usual_values),
    Rule("coverage", "Finish", amounts.coverage),
    Rule("word", "Check word", amounts.check_word),
)


def numbered(job: Job) -> Iterator[tuple[int, Rule, Text]]:
    """The rules that this set goes by, with their numbers."""
    number = 0
    for rule in RULES:
        said = rule.say(job)
        if said:
            number += 1
            yield number, rule, said


def note(job: Job, *keys: str) -> str:
    """What stands behind the words that these rules explain, such as " [4, 5]"; "" where none of them is in the set."""
    found = [str(number) for number, rule, _ in numbered(job) if rule.key in keys]
    return f" [{', '.join(found)}]" if found else ""


def where_notes_are(before: Text = ()) -> list[Block]:
    """The line under a sheet that says where its numbers in brackets lead, behind the small words `before` it."""
    told = f"Numbers in brackets: see “{TITLE}”."
    return [Paragraph((*before, " ", told) if before else text(told), Weight.QUIET)]
