"""YAML text into nodes that know their place.

PyYAML's C parser gives events; they are put together here, without its resolver, so that every scalar keeps the text
the maker wrote (`1:30`, `010`, `no` stay what they are) and is converted only where the schema asks. Composing from
events, not with the C composer, keeps deep nesting off the C stack. Refused: duplicate keys, tags, merge keys, a second
document, nesting or size beyond reason. An alias stands for its node, but what it would expand to is counted.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Any

from msgspec import Struct, field

from shopdocs.core.problems import Position, Problem, error, warning

MAX_DEPTH = 24
MAX_NODES = 400_000
NO_KEY = "\0no key"  # text of a key that was refused; its value is left out
MISSING = "\0missing"  # stands in for a needed key already reported as missing

# What a decimal comma does inside braces: {width: 200,5} is a width of 200 and a key called 5.
COMMA = "write decimals with a point, such as 200.5: inside { } a comma begins the next key"

_NUMBER_IN_BRACKETS = re.compile(r"([^#]*)\s(#\d[^\s,}\]]*)")
_COMMENT_NUMBER = re.compile(r"[ \t]+(#\d[\w./-]*)")


class Scalar(Struct):
    """A single value. `straight` says that its text stands in the source as it is, on one line and without escapes, so
    that a place within it can be named."""

    at: Position
    text: str
    quoted: bool
    weight: int = 1
    straight: bool = True

    def place(self, offset: int) -> Position:
        """The place of the character at `offset` of the text; of the whole value where that cannot be told."""
        if not self.straight:
            return self.at
        return Position(self.at.file, self.at.line, self.at.column + offset + (1 if self.quoted else 0))

    def part(self, offset: int, text: str) -> Scalar:
        """The piece of the text that begins at `offset`, as a value with a place of its own."""
        return Scalar(self.place(offset), text, False, straight=self.straight)


class Sequence(Struct):
    """A list with the place where it begins; `weight` counts the nodes within, aliases written out."""

    at: Position
    items: list[Node] = field(default_factory=list)
    weight: int = 1


class Mapping(Struct):
    """Keys with the place of each and its value; `weight` counts the nodes within, aliases written out."""

    at: Position
    entries: dict[str, tuple[Position, Node]] = field(default_factory=dict)
    weight: int = 1


Node = Scalar | Sequence | Mapping


def describe(node: Node) -> str:
    """What a node is, in words for a problem."""
    if isinstance(node, Scalar):
        return f"'{shorten(node.text)}'" if node.text else "nothing"
    return "a list" if isinstance(node, Sequence) else "a group of keys"


def shorten(text: str, limit: int = 60) -> str:
    """One line of at most `limit` characters, control characters shown as spaces."""
    line = " ".join("".join(ch if ch.isprintable() else " " for ch in text).split())
    return line if len(line) <= limit else line[: limit - 1] + "…"


class _Stop(Exception):
    def __init__(self, problem: Problem) -> None:
        self.problem = problem


class _Open(Struct):
    node: Sequence | Mapping
    anchor: str | None
    key: tuple[str, Position] | None = None
    dropped: bool = False


class _Composer:
    """Puts one event stream together; problems that do not stop the reading are collected."""

    def __init__(self, file: str, lines: list[str]) -> None:
        self.file = file
        self.lines = lines
        self.signed = {number for number, line in enumerate(lines) if "#" in line}
        self.problems: list[Problem] = []
        self.anchors: dict[str, Node | None] = {}
        self.names: dict[str, str] = {}  # of keys by their text: most come again and again
        self.stack: list[_Open] = []
        self.root: Node | None = None
        self.documents = 0

    def position(self, mark: Any) -> Position:
        return Position(self.file, mark.line + 1, mark.column + 1)

    def stop(self, mark: Any, code: str, wrong: str, right: str) -> _Stop:
        return _Stop(error(self.position(mark), code, wrong, right))

    def scalar(self, event: Any) -> None:
        start, end, value, quoted = event.start_mark, event.end_mark, event.value, bool(event.style)
        line, column, last = start.line, start.column, end.line
        at = Position(self.file, line + 1, column + 1)
        if event.tag is not None:
            self.refuse_tag(event, at)
        text = value if value.isascii() else unicodedata.normalize("NFC", value)
        width = len(value)
        straight = line == last and end.column - column == (width + 2 if quoted else width) and len(text) == width
        node = Scalar(at, text, quoted, 1, straight)
        if not quoted and last in self.signed:
            self.warn_of_swallowed_number(event)
        if event.anchor is not None:
            self.anchors[event.anchor] = node
        self.add(node)

    def refuse_tag(self, event: Any, at: Position) -> None:
        if event.tag is not None:
            self.problems.append(
                error(at, "tag", f"the YAML tag '{shorten(event.tag)}' has no meaning here", "remove it")
            )

    def warn_of_swallowed_number(self, event: Any) -> None:
        """`screw: wood screw #8` reads as 'wood screw': YAML takes ' #8' for a comment."""
        mark = event.end_mark
        found = _COMMENT_NUMBER.match(self.lines[mark.line][mark.column :])
        if found:
            self.problems.append(
                warning(
                    Position(self.file, mark.line + 1, mark.column + 1 + found.start(1)),
                    "swallowed-number",
                    f"'{found.group(1)}' after a space is read as a comment, only '{shorten(event.value)}' is left",
                    "put the whole value in quotes, or a space after # where a comment is meant",
                )
            )

    def register(self, anchor: str | None, node: Node) -> None:
        if anchor is not None:
            self.anchors[anchor] = node

    def alias(self, event: Any) -> None:
        node = self.anchors.get(event.anchor)
        if node is None:
            raise self.stop(
                event.start_mark,
                "alias",
                f"the alias '*{shorten(event.anchor)}' stands for nothing that is complete before this line",
                "write the value out, or anchor it earlier with &",
            )
        self.add(node)

    def begin(self, event: Any, node: Sequence | Mapping) -> None:
        self.refuse_tag(event, node.at)
        if len(self.stack) >= MAX_DEPTH:
            raise self.stop(
                event.start_mark, "nesting", f"more than {MAX_DEPTH} levels of nesting", "a build needs about six"
            )
        if event.anchor is not None:
            self.anchors[event.anchor] = None
        self.stack.append(_Open(node, event.anchor))

    def end(self) -> None:
        opened = self.stack.pop()
        self.register(opened.anchor, opened.node)
        self.add(opened.node)

    def add(self, node: Node) -> None:
        if not self.stack:
            self.root = node
            return
        top = self.stack[-1]
        within = top.node
        within.weight += node.weight
        if within.weight > MAX_NODES:
            raise _Stop(
                error(node.at, "size", f"more than {MAX_NODES} values, aliases counted in full", "split the build")
            )
        if isinstance(within, Sequence):
            within.items.append(node)
        elif top.key is None:
            known = self.names.get(node.text) if type(node) is Scalar else None  # most names come again and again
            top.key = (known or self.key_text(node), node.at)
        else:
            self.add_entry(top, within, top.key, node)

    def add_entry(self, top: _Open, mapping: Mapping, key: tuple[str, Position], node: Node) -> None:
        name, at = key
        top.key = None
        if name == NO_KEY:
            return
        if name in mapping.entries:
            first = mapping.entries[name][0]
            right = COMMA if name[:1].isdigit() else f"it is in line {first.line} already"
            self.problems.append(error(at, "duplicate-key", f"'{shorten(name)}' is written twice", right))
        elif name == "<<":
            self.problems.append(error(at, "merge-key", "merge keys (<<) are not read", "write the keys out"))
        else:
            mapping.entries[name] = (at, node)

    def key_text(self, node: Node) -> str:
        if isinstance(node, Scalar):
            known = self.names.get(node.text)
            if known is None and node.text.replace("\n", " ").isprintable():
                # names that differ only by spaces are one name
                known = self.names[node.text] = " ".join(node.text.split())
            if known is not None:
                return known
        self.problems.append(error(node.at, "key", f"{describe(node)} cannot be a key", "a key is a word"))
        return NO_KEY


def _run(composer: _Composer, text: str) -> None:
    import yaml

    loader = getattr(yaml, "CLoader", yaml.Loader)(text)
    try:
        _put_together(composer, loader)
    finally:
        loader.dispose()


def _put_together(composer: _Composer, loader: Any) -> None:
    import yaml

    next_event, scalar, a_scalar, the_end = loader.get_event, composer.scalar, yaml.ScalarEvent, yaml.StreamEndEvent
    while (kind := type(event := next_event())) is not the_end:
        if kind is a_scalar:  # most are
            scalar(event)
        elif kind is yaml.MappingStartEvent:
            composer.begin(event, Mapping(composer.position(event.start_mark)))
        elif kind is yaml.SequenceStartEvent:
            composer.begin(event, Sequence(composer.position(event.start_mark)))
        elif kind is yaml.MappingEndEvent or kind is yaml.SequenceEndEvent:
            composer.end()
        elif kind is yaml.AliasEvent:
            composer.alias(event)
        elif kind is yaml.DocumentStartEvent:
            composer.documents += 1
            if composer.documents > 1:
                raise composer.stop(
                    event.start_mark, "documents", "a second YAML document begins", "one file holds one build"
                )


def compose(text: str, file: str) -> tuple[Node | None, list[Problem]]:
    """The root node of a YAML text, None when it is empty or unreadable, and the problems met."""
    import yaml

    lines = re.split("\r\n|\r|\n", text)
    composer = _Composer(file, lines)
    composer.problems += _unseen(lines, file)
    if composer.problems:
        text = re.sub(_UNSEEN, " ", text)
    try:
        _run(composer, text)
    except _Stop as stop:
        return None, [*composer.problems, stop.problem]
    except yaml.YAMLError as fault:
        told = any(problem.code == "swallowed-number" for problem in composer.problems)
        return None, [*composer.problems, _syntax_problem(fault, file, composer.lines, told)]
    return composer.root, composer.problems


def _syntax_problem(fault: Exception, file: str, lines: list[str], told: bool) -> Problem:
    """`told`: a number sign that is read as a comment is told already."""
    mark = getattr(fault, "problem_mark", None) or getattr(fault, "context_mark", None)
    words = shorten(str(getattr(fault, "problem", None) or getattr(fault, "reason", None) or "not readable"))
    hint = "check colons, quotes and the indent of this line and the one above"
    if "character" in words and "start any token" in words:
        hint = "put the value in quotes (a tab cannot indent, and @ ` % cannot begin a value)"
    at = Position(file, mark.line + 1, mark.column + 1) if mark else Position(file, 1, 1)
    if mark and mark.line >= len(lines):  # the fault is that the text ends
        at = Position(file, len(lines), len(lines[-1]) + 1)
    if mark and not told and (swallowed := _swallowed(fault, mark.line, lines)) is not None:
        line, column, number = swallowed
        at, words = Position(file, line + 1, column + 1), f"'{number}' after a space is read as a comment"
        hint = "put the whole value in quotes, or a space after # where a comment is meant"
    return error(at, "yaml", f"this is not YAML: {words}", hint)


def _swallowed(fault: Exception, last: int, lines: list[str]) -> tuple[int, int, str] | None:
    """Where a number sign ends a line too soon, so that what a bracket begins is never closed: `[screw: #8, …]`. From
    the line where the bracket stands, or the one above, to that of the fault."""
    context = getattr(fault, "context_mark", None)
    first = max(0, min(context.line if context else last, last) - 1)
    for line in range(first, min(last + 1, len(lines))):
        found = _NUMBER_IN_BRACKETS.match(lines[line])
        if found and sum(map(found.group(1).count, "{[")) > sum(map(found.group(1).count, "}]")):
            return line, found.start(2), found.group(2)
    return None


# What nobody sees and what YAML does not allow (YAML 1.1, c-printable): control characters, line separators that no
# editor counts, zero-width and direction signs that make a text read as another one.
_UNSEEN = (
    "[^\t\n\r\x20-\x7e\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]"
    "|[\xad\u200b\u2028-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb]"
)
MOST_UNSEEN = 20


def _unseen(lines: list[str], file: str) -> list[Problem]:
    found: list[Problem] = []
    for number, line in enumerate(lines, 1):
        if line.isascii() and line.isprintable():
            continue
        for match in re.finditer(_UNSEEN, line):
            wrong = f"the invisible character U+{ord(match.group()):04X} stands here"
            found.append(error(Position(file, number, match.start() + 1), "character", wrong, "remove it"))
            if len(found) >= MOST_UNSEEN:
                return found
    return found
