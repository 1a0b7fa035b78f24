"""Pieces left out where their siblings are in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from shopdocs.core.problems import Problem, warning
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import Hardware, HoleUse, Joint
from shopdocs.model.parts import Part

FEWEST = 3  # pieces of a part that make a pattern, which one more then breaks


def left_out_of_a_joint(build: Build, shop: Shop) -> Iterator[Problem]:
    """A piece of a part that a joint names, which meets nothing in it though its siblings do: most often its place is
    wrong, and then it is cut without a tenon and nobody is told."""
    fastened = {place.piece for item in build.hardware if _fastens(item) for place in item.on}
    number_of = {piece.mark: number for number, part in enumerate(build.parts) for piece in part.pieces}
    total = Counter(mark for _, meeting in build.meetings() for mark in (meeting.entering, meeting.receiving))
    crossed = {joint.name: _both_ways(joint, number_of) for joint in build.joints}
    for joint in build.joints:
        for key, marks in _sides(joint):
            for number in sorted({number_of[mark] for mark in marks if mark in number_of}):
                part = build.parts[number]
                own = [piece.mark for piece in part.pieces]
                there = [mark for mark in own if mark in marks]
                missing = [mark for mark in own if mark not in marks and mark not in crossed[joint.name]]
                least = min(total[one] for one in there)
                missing = [mark for mark in missing if total[mark] < least and mark not in fastened]
                if not missing or not _asked(joint, key, there, missing):
                    continue
                names = ", ".join(f"'{mark}'" for mark in missing[:4])
                more = f" and {len(missing) - 4} more" if len(missing) > 4 else ""
                one, many = SAID[key]
                goes = f"{one} no joint" if len(missing) == 1 else f"{many} no joints"
                siblings = ", ".join(there[:4]) + (" …" if len(there) > 4 else "")
                do = "does" if len(there) == 1 else "do"
                wrong = f"{names}{more} of '{part.name}' {goes} of '{joint.name}', though {siblings} {do}"
                at = next(piece.at for piece in part.pieces if piece.mark == missing[0])
                right = "check where it lies: only pieces that touch are joined"
                yield warning(at, "left-out", wrong, right)


def _both_ways(joint: Joint, number_of: Mapping[str, int]) -> set[str]:
    """The pieces of a joint that meet others of their own part in it, as the legs of an X do: on either side of it."""
    alike = (m for m in joint.meetings if number_of.get(m.entering) == number_of.get(m.receiving))
    return {mark for meeting in alike for mark in (meeting.entering, meeting.receiving)}


def _have(marks: list[str]) -> str:
    """'K1 has', 'K1 and K3 have', 'S1, S2, S3 and 4 more have'."""
    if len(marks) == 1:
        return f"{marks[0]} has"
    told, last = (marks[:-1], marks[-1]) if len(marks) <= 3 else (marks[:3], f"{len(marks) - 3} more")
    return f"{', '.join(told)} and {last} have"


def fewer_than_its_siblings(build: Build, shop: Shop) -> Iterator[Problem]:
    """A piece that goes into fewer others than all its siblings do by one line of joinery: a rail that reaches one leg
    of two, a bottom in one side of three. Not one that has as many joints in all: the middle one of three boards meets
    both its neighbours where the outer ones meet a side."""
    if next(left_out_of_a_joint(build, shop), None) is not None:
        return  # the others have one less for its sake
    parts = {piece.mark: part for part, piece in build.pieces()}
    told: set[str] = set()
    total = Counter(mark for _, meeting in build.meetings() for mark in (meeting.entering, meeting.receiving))
    for joint in build.joints:
        counts = Counter(m.entering for m in joint.meetings if parts[m.entering] is not parts[m.receiving])
        for part in {parts[mark].name: parts[mark] for mark in counts}.values():
            numbers = {piece.mark: counts[piece.mark] for piece in part.pieces}
            most = max(numbers.values())
            fewer = [mark for mark, number in numbers.items() if 0 < number < most]
            full = [mark for mark, number in numbers.items() if number == most]
            if len(fewer) != 1 or len(full) != len(numbers) - 1 or fewer[0] in told:
                continue
            if total[fewer[0]] >= min(total[mark] for mark in full):
                continue
            told.add(fewer[0])
            has = f"has {numbers[fewer[0]]} of the {most} joints of '{joint.name}'"
            at = next(piece.at for piece in part.pieces if piece.mark == fewer[0])
            right = "check where it and its neighbours lie: only pieces that touch are joined"
            yield warning(at, "left-out", f"'{fewer[0]}' of '{part.name}' {has} that {_have(full)}", right)


def _fastens(item: Hardware) -> bool:
    """Whether hardware may hold its piece to another: a strip of hooks on a rail holds nothing else."""
    screwed = any(hole.use is not HoleUse.PILOT for hole in item.holes)
    return screwed or bool(item.holds) or any(place.meets for place in item.on)


SAID = {"from": ("goes into", "go into"), "into": ("takes", "take")}


def _sides(joint: Joint) -> Iterator[tuple[str, set[str]]]:
    yield "from", {meeting.entering for meeting in joint.meetings}
    yield "into", {meeting.receiving for meeting in joint.meetings}


def _asked(joint: Joint, key: str, there: list[str], missing: list[str]) -> bool:
    """Whether a gap is surely odd: the joint lets a whole part in, or one piece of many breaks the pattern."""
    if key == "from" and key in joint.places:
        return True
    return len(missing) == 1 and len(there) >= FEWEST


def hardware_left_out(build: Build, shop: Shop) -> Iterator[Problem]:
    """Hardware on all pieces of a part but one."""
    parts: dict[str, Part] = {piece.mark: part for part, piece in build.pieces()}
    named = {part.name: part for part in build.parts}
    for item in build.hardware:
        on: dict[str, set[str]] = {}
        for place in item.on:
            if place.piece in parts:
                on.setdefault(parts[place.piece].name, set()).add(place.piece)
        for name, marks in on.items():
            part = named[name]
            missing = [piece.mark for piece in part.pieces if piece.mark not in marks]
            if len(missing) == 1 and len(marks) >= FEWEST:
                wrong = f"'{missing[0]}' has no '{item.name}', though {', '.join(sorted(marks)[:4])} have one"
                yield warning(item.at, "left-out", wrong, f"write piece: {name}, or name it too")


CHECKS = (left_out_of_a_joint, fewer_than_its_siblings, hardware_left_out)
