"""Which fields count when two values are compared."""

from __future__ import annotations

import pickle
from fractions import Fraction

from shopdocs.core.length import Length
from shopdocs.core.problems import Position
from shopdocs.model.build import Allowances, Shop
from shopdocs.model.joining import Joint
from shopdocs.model.joint_names import JointKind
from shopdocs.model.parts import Material, MaterialKind, Tilt
from shopdocs.source.shop import default_shop
from shopdocs.work.shapes.solid import Solid
from tests.values import replace

OAK = Material("oak", MaterialKind.HARDWOOD, "white oak")
HERE = Position("build.yaml", 3, 5)


def test_where_its_keys_are_written_makes_no_other_value() -> None:
    other = replace(OAK, places={"species": HERE})
    assert other == OAK and hash(other) == hash(OAK) and len({OAK, other}) == 1
    assert other.places == {"species": HERE} and OAK.places == {}


def test_everything_else_does() -> None:
    for more in ({"name": "ash"}, {"species": "red oak"}, {"rough": Length(25)}, {"at": HERE}):
        assert replace(OAK, **more) != OAK, more


def test_values_of_two_kinds_are_never_equal() -> None:
    assert Joint("oak", JointKind.HOUSING, ()) != OAK and OAK != "oak"


def test_what_is_told_elsewhere_does_not_count_either() -> None:
    tilt = Tilt(0, Fraction(1, 7), (Length(1), Length(2), Length(3)))
    assert replace(tilt, at=HERE) == tilt != replace(tilt, slope=Fraction(1, 8))
    shop = default_shop()
    assert replace(shop, content="another file") == shop != replace(shop, clamps={"bar": 2})


def test_a_value_with_a_mapping_can_be_looked_up() -> None:
    """The mapping counts all the same."""
    allow = Allowances(Length(3), Length(6), Length(20), Fraction(1, 5))
    one, two = (Shop("bench", allow, Length(3), clamps={"bar": many}) for many in (2, 3))
    assert {one: "one", two: "two"}[one] == "one" and one != two


def test_defaults_are_not_shared() -> None:
    assert Material("ash", MaterialKind.HARDWOOD).places is not OAK.places


def test_a_value_goes_to_another_process_whole() -> None:
    other = replace(OAK, places={"species": HERE})
    back = pickle.loads(pickle.dumps(other))
    assert back == other and back.places == other.places


def test_what_was_worked_out_of_a_solid_is_not_kept_for_another() -> None:
    from shopdocs.core.box import Box

    one = Solid(Box((0, 0, 0), (4, 4, 4)))
    assert one.volume == 64
    assert replace(one, body=Box((0, 0, 0), (2, 2, 2))).volume == 8
