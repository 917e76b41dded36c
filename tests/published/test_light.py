"""Light for plants against a printed example and arithmetic."""

from __future__ import annotations

import pytest

from pondwright.science.light import daily_light, lamp_energy
from pondwright.units import Q, QuantityError
from tests.grades import hand_worked, published

from .reference import each


@published(daily_light, "DailyLight")
def test_a_printed_reading():
    """Printed: 38.1 µmol/m²/s x 3600 s/h x 12 h / 1,000,000 = 1.6 mol/m² a day."""
    assert daily_light(Q(38.1, "umol/m2/s"), Q(12, "h/d")).m_as("mol/m^2/day") == pytest.approx(1.6, abs=0.05)


@hand_worked(daily_light)
@each("plants", "PPFD needed for DLI")
def test_the_light_that_lettuce_wants(row):
    """17 mol/m² a day in 12 hours: 17e6/(12 x 3600) = 393.5 µmol/m²/s; the table's row, turned round."""
    given = row.given()
    light = daily_light(Q(row.value, "umol/m2/s"), Q(given["photoperiod_h"], "h/d"))
    assert light.m_as("mol/m^2/day") == pytest.approx(given["DLI"], rel=0.002)


@hand_worked(lamp_energy)
def test_the_energy_of_a_lamp_step_by_step():
    """12 mol on 0.5 m² are 6 mol = 6,000,000 µmol; at 2 µmol/J 3,000,000 J; / 3600 = 833 Wh."""
    assert lamp_energy(Q(12, "mol/m2/d"), Q(0.5, "m2"), Q(2, "umol/J")).m_as("watt*hour/day") == pytest.approx(12 * 0.5 * 1e6 / 2 / 3600)


@hand_worked(lamp_energy, daily_light)
def test_a_lamp_s_watts_and_its_light_are_the_same_energy():
    """A lamp of 100 W at 2.5 µmol/J gives 250 µmol/s; on 1 m² for 10 h that is 9 mol, and 100 W x 10 h = 1000 Wh."""
    light = daily_light(Q(250, "umol/m2/s"), Q(10, "h/d"))
    assert light.m_as("mol/m^2/day") == pytest.approx(9)
    assert lamp_energy(light, Q(1, "m2"), Q(2.5, "umol/J")).m_as("watt*hour/day") == pytest.approx(1000)


def test_lumens_are_refused():
    with pytest.raises(QuantityError):
        lamp_energy(Q(12, "mol/m2/d"), Q(0.5, "m2"), Q(100, "W"))
    with pytest.raises(QuantityError):
        lamp_energy(Q(12, "mol/m2/d"), Q(0.5, "m2"), Q(9, "umol/J"))  # more light than physics gives
