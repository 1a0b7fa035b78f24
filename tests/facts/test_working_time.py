"""Working time and time in clamps at the temperature of the shop."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopdocs.facts import adhesives
from shopdocs.facts import working_time as times
from shopdocs.facts.working_time import Label


def _named(kind: str) -> adhesives.Adhesive:
    found = adhesives.adhesive(kind)
    assert found is not None
    return found


def _celsius(fahrenheit: int) -> Fraction:
    return Fraction(fahrenheit - 32) * Fraction(5, 9)


def test_pot_life_halves_per_ten_degrees() -> None:
    # Three epoxy makers' pages: pot(T) = pot(77 °F) · 2^((77 − T)/18): half at 95 °F, double at 59 °F.
    for fahrenheit, minutes in ((77, 40.0), (95, 20.0), (59, 80.0), (113, 10.0), (68, 40 * 2**0.5)):
        found = times.pot_life(Fraction(40), _celsius(fahrenheit), Fraction(25))
        assert found == pytest.approx(minutes, rel=1e-12)


def test_a_label_that_gives_the_cup_is_carried_to_the_shop() -> None:
    # The same rule by hand: a pot life of 60 min at 77 °F is 30 at 95 °F. At 59 °F it would be 120, but time that may
    # not be there is not planned with: the label's 60 stand.
    label = Label(pot=Fraction(60), celsius=Fraction(25))
    slow = _named("slow epoxy")
    assert times.working_time(slow, _celsius(95), label).pot == 30
    assert times.working_time(slow, _celsius(59), label).pot == 60
    assert times.working_time(slow, None, label).pot == 60


def test_a_label_that_gives_one_time_is_not_taken_for_the_cup() -> None:
    # Epoxy basics guide: 60 to 70 min as a film go with 9 to 12 min in the cup. A label's 60 min must not be planned
    # with for what stands in the cup; the 10 min of the fast hardener are.
    found = times.working_time(_named("slow epoxy"), None, Label(open=Fraction(60)))
    assert found.low == 60
    assert found.pot is not None
    assert 9 <= found.pot <= 12
    quick = times.working_time(_named("fast epoxy"), None, Label(open=Fraction(4)))
    assert quick.pot == 3  # the table's, shorter than the label's


def test_a_label_without_a_temperature_says_what_was_taken() -> None:
    found = times.working_time(_named("slow epoxy"), Fraction(22), Label(open=Fraction(60)))
    assert (found.label_celsius, found.assumed) == (22, True)  # the lower of two makers' 22 and 25 °C
    told = times.working_time(_named("slow epoxy"), Fraction(22), Label(open=Fraction(60), celsius=Fraction(25)))
    assert (told.label_celsius, told.assumed) == (25, False)
    assert times.working_time(_named("slow epoxy"), Fraction(22)).label_celsius is None


def test_a_pva_has_two_limits() -> None:
    # "Glues" (magazine): 5 to 6 min open; glue seller's guide: 10 to 20 min from spread to clamped.
    found = times.working_time(_named("yellow PVA"), Fraction(20))
    assert (found.together, found.low, found.high) == (5, 10, 20)
    assert found.pot is None


def test_urea_in_a_warm_shop_goes_by_its_table() -> None:
    # Times to tacky given by the maker: 45 min at 20 °C, 20 min at 30 °C. An open time of 20 min becomes
    # 20 · 20/45 = 8.9, rounded down to 8.5.
    found = times.working_time(_named("urea-formaldehyde"), Fraction(30))
    assert found.low == Fraction(17, 2)
    # What sets sooner on the wood does so in the cup (no source gives the cup by temperature): the user's 20 min there
    # become 8.5 as well, and stay 20 in a shop that is no warmer.
    assert found.pot == Fraction(17, 2)
    assert times.working_time(_named("urea-formaldehyde"), Fraction(20)).pot == 20


@pytest.mark.parametrize(("celsius", "hours"), [(20, 12), (15, 12), (10, 18), (5, 18)])
def test_urea_in_the_clamps(celsius: int, hours: int) -> None:
    # Data sheet of a urea powder for joinery: 3 h at 20 °C, 7 h at 15 °C, 18 h at 10 °C; the archive table's 12 h at
    # room temperature are the least that is planned with.
    assert times.clamp_hours(_named("urea-formaldehyde"), Fraction(celsius))[0] == hours


def test_pva_in_the_clamps_of_a_cold_shop() -> None:
    # "Give the glue time": clamp time doubles for 15 °F below 70 °F. 1 h at 70 °F is 2 h at 55 °F, 4 h at 40 °F.
    yellow = _named("yellow PVA")
    assert times.clamp_hours(yellow, Fraction(21))[0] == 1
    assert times.clamp_hours(yellow, Fraction(21) - Fraction(25, 3))[0] == 2
    assert times.clamp_hours(yellow, Fraction(21) - Fraction(50, 3))[0] == 4
    assert times.clamp_hours(yellow, Fraction(30))[0] == 1  # warmth is not planned with


def test_epoxy_in_the_clamps_of_a_cold_shop() -> None:
    # Two-part epoxy knowledge page: cure time halves per 10 °C warmer, so it doubles per 10 °C less: 24 h become 48.
    assert times.clamp_hours(_named("slow epoxy"), Fraction(12))[0] == 48


@given(st.sampled_from(adhesives.ADHESIVES), st.integers(-5, 45), st.integers(1, 15), st.booleans())
def test_a_warmer_shop_never_gives_more_time(
    glue: adhesives.Adhesive, celsius: int, warmer: int, with_label: bool
) -> None:
    label = Label(Fraction(40), Fraction(20) if glue.mixed else None) if with_label else None
    before = times.working_time(glue, Fraction(celsius), label)
    after = times.working_time(glue, Fraction(celsius + warmer), label)
    assert after.together <= before.together <= before.low <= before.high
    assert after.low <= before.low
    assert before.pot is None or (after.pot is not None and after.pot <= before.pot)
    assert times.clamp_hours(glue, Fraction(celsius + warmer))[0] <= times.clamp_hours(glue, Fraction(celsius))[0]


def test_a_cold_shop_is_told() -> None:
    # "Using glue and epoxy in a cold shop", figures given by glue makers: yellow PVA down to 50 °F / 10 °C.
    yellow = _named("yellow PVA")
    assert times.working_time(yellow, Fraction(5)).too_cold
    assert not times.working_time(yellow, Fraction(20)).too_cold
    assert times.working_time(yellow, Fraction(30)).notes
    assert times.working_time(_named("urea-formaldehyde"), Fraction(19)).too_cold  # supplier: not much below 70 °F


def test_a_film_of_epoxy_is_planned_shorter_in_the_heat() -> None:
    # Two-part epoxy knowledge page: cure time halves per 10 °C. 60 min of a film at 22 °C are 30 at 32 °C, of the table
    # as of the label, from its own temperature; 60 again where it is cold.
    slow = _named("slow epoxy")
    assert [times.working_time(slow, Fraction(at)).low for at in (12, 22, 32)] == [60, 60, 30]
    label = Label(open=Fraction(60), celsius=Fraction(25))
    assert [times.working_time(slow, Fraction(at), label).low for at in (15, 25, 35)] == [60, 60, 30]


def test_pva_is_planned_shorter_in_the_heat() -> None:
    """Common practice, no source: what a magazine gives for the cold, twice as long to dry per 15 °F (25/3 °C), carried
    on to the warm side. The label's time as well, from the label's own temperature; the cold lengthens none."""
    yellow, step = _named("yellow PVA"), Fraction(25, 3)
    usual = times.working_time(yellow)
    warm = times.working_time(yellow, yellow.reference_celsius + step)
    assert (warm.together, warm.low) == (usual.together / 2, usual.low / 2)
    assert any("no source" in note for note in warm.notes)
    label = times.Label(open=Fraction(20), celsius=Fraction(20))
    assert times.working_time(yellow, 20 + step, label).low == 10
    assert times.working_time(yellow, 20 - step, label).low == 20
