"""Steps 1 and 2: read the build and the shop file, and say what is wrong or doubtful."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.display import decimal, spoken_in
from shopdocs.core.problems import Position, Problem, error, has_errors, in_reading_order, warning
from shopdocs.model.build import Build, Shop
from shopdocs.model.parts import Material, Price

if TYPE_CHECKING:
    from shopdocs.source.given import Given
    from shopdocs.work.computed import Computed


class Checked(Struct, frozen=True):
    """What steps 1 and 2 found. `given` are the files as they were read, the build first: they are read only once."""

    work: Computed | None
    shop: Shop
    problems: tuple[Problem, ...]
    given: tuple[Given, ...]

    @property
    def build(self) -> Build | None:
        """The build; None where the file could not be read as one."""
        return self.work.build if self.work is not None else None


def check_build(build: str, shop: str | None = None) -> tuple[Build | None, Shop, tuple[Problem, ...]]:
    """Steps 1 and 2: everything that is wrong or doubtful, in reading order."""
    found = checked(build, shop)
    return found.build, found.shop, found.problems


def checked(build: str, shop: str | None) -> Checked:
    """As `check_build`, with what was computed on the way."""
    from shopdocs.checks.all_checks import check
    from shopdocs.checks.answers import answerable, unanswered
    from shopdocs.checks.causes import cause_first
    from shopdocs.facts.adhesives import adhesive_kinds
    from shopdocs.facts.finish_types import finish_names
    from shopdocs.source.decode import Vocabulary, read_build
    from shopdocs.source.given import read_given
    from shopdocs.source.shop import default_shop, read_shop
    from shopdocs.work.computed import Computed

    given = [read_given(build)]
    found, problems = read_build(given[0], Vocabulary(adhesive_kinds(), finish_names()))
    bench: Shop | None = default_shop()
    paper = shop_of(build, shop)
    if paper is not None:
        given.append(paper)
        bench, more = read_shop(paper)
        problems += more
    bench = bench or default_shop()
    problems += check_labels(bench)
    if found is not None:
        problems += _prices_in_the_plan(found)
        found = _priced(found, bench)
        if any(any(place.by_joint) for item in found.hardware for place in item.on):
            from shopdocs.work.scene.joint_lines import settled

            found, more = settled(found)
            problems += more
    work = Computed(found, bench) if found is not None else None
    if work is not None:
        with spoken_in(work.build.units):
            problems += check(work, whole=not has_errors(problems))
            if not has_errors(problems):
                problems += besides(_on_no_board(work), problems)
        problems = unanswered(answerable(cause_first(problems)), work.build.meant, not has_errors(problems))
    return Checked(work, bench, in_reading_order(problems), tuple(given))


def _prices_in_the_plan(build: Build) -> list[Problem]:
    """Prices go with the yard and the week, and a plan goes to others: told once."""
    priced = [material for material in build.materials if material.price is not None]
    if not priced:
        return []
    first = priced[0]
    lines = ", ".join(f"{_in_braces(one.name)}: {_price_words(one.price)}" for one in priced if one.price is not None)
    return [
        warning(
            first.places.get("price", first.at),
            "price-in-plan",
            "prices in a build go to everybody who gets the plan",
            f"move them to the shop file: prices: {{{lines}}}",
        )
    ]


def _price_words(price: Price) -> str:
    return f"{decimal(price.amount, 2 if (price.amount * 100).denominator == 1 else 4)} per {price.per.value}"


def _in_braces(name: str) -> str:
    """A name as it is written between braces: in quotes where a sign in it would end it there."""
    return f"'{name}'" if any(sign in name for sign in ",:{}[]'\"#") else name


def _priced(build: Build, shop: Shop) -> Build:
    """The build with the prices of the shop file, which win over its own."""

    def of(material: Material) -> Material:
        if material.name not in shop.prices:
            return material
        price, at = shop.prices[material.name]
        return replace(material, price=price, places={**material.places, "price": at})

    return replace(build, materials=tuple(map(of, build.materials))) if shop.prices else build


def besides(new: list[Problem], told: Iterable[Problem]) -> list[Problem]:
    """Those of `new` that are not told there already and are no consequence of a slip of the unit at that place."""
    known = {(problem.at, problem.code) for problem in told}
    return [each for each in new if not known & {(each.at, each.code), (each.at, "unit")}]


def _on_no_board(work: Computed) -> list[Problem]:
    """Pieces that no board can give, however it is sawn."""
    from shopdocs.work.boards.reasons import no_board_problems
    from shopdocs.work.boards.wanted import on_no_board

    return no_board_problems(on_no_board(work.build, work.shop, work.sawn))


def shop_of(build: str, shop: str | None) -> Given | None:
    """The shop file that a build is checked with: the one named, else the one beside it, None where there is none."""
    from shopdocs.source.given import read_given

    return read_given(shop) if shop else _shop_beside(build)


def _shop_beside(build: str) -> Given | None:
    """`shop.yaml` in the build's folder is used without being named. Not where it is a link out of that folder: a plan
    from somebody else could lead to any file of the maker's."""
    from shopdocs.source.given import Given, read_given

    path = Path(build)
    beside = path.parent / "shop.yaml"
    # `os.path` does not stumble over a name that is too long. A link that leads nowhere is read, and reported missing.
    if not os.path.isfile(path) or not os.path.lexists(beside) or beside.name == path.name:
        return None
    if not Path(os.path.realpath(beside)).is_relative_to(os.path.realpath(path.parent)):
        wrong = "this link leads out of the build's folder and is not followed"
        right = "copy the shop file here, or name it with --shop"
        return Given(str(beside), fault=error(Position(str(beside), 1, 1), "link", wrong, right))
    return read_given(str(beside))


def check_labels(shop: Shop) -> list[Problem]:
    """What is wrong with the shop's label sheet: not known, or all its labels used."""
    from shopdocs.page.label_sheets import label_sheet, label_sheet_keys
    from shopdocs.page.paper import paper_keys

    if not shop.labels:
        return []
    at = shop.places.get("labels", shop.at)
    keys = label_sheet_keys()
    if shop.labels not in keys:
        return [error(at, "labels", f"no label sheet is called '{shop.labels}'", "known: " + ", ".join(keys))]
    sheet = label_sheet(shop.labels, shop.paper or paper_keys()[0])
    if shop.labels_used >= sheet.count:
        used_at = shop.places.get("labels used", at)
        wrong = f"{shop.labels_used} labels used of a sheet of {sheet.count}"
        return [error(used_at, "labels", wrong, "take a new sheet and write 0")]
    return []
