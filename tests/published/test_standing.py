"""A stopped filter: oxygen by bookkeeping minute by minute, air by the gas law, diffusion by finite differences."""

from __future__ import annotations

import inspect

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pondwright.science import standing as s
from pondwright.science.oxygen import oxygen_saturation
from pondwright.units import Q
from tests.grades import hand_worked, independent, published


def minute_by_minute(water, oxygen, tan, nitrifying, resting):
    """Take oxygen out of the water in steps of a tenth of a minute, and stop nitrifying when the ammonia is gone."""
    store, ammonia, hours, step = oxygen * water, tan * water, 0.0, 1 / 600
    while store > 0:
        eaten = min(nitrifying * step, 4.57 * ammonia)
        ammonia -= eaten / 4.57
        store -= eaten + resting * step
        hours += step
    return hours


@hand_worked(s.hours_of_oxygen)
@pytest.mark.parametrize("case", [(80, 8, 0.3, 100, 150), (20, 6, 2.0, 400, 60), (50, 9, 0.0, 0, 30), (10, 5, 5.0, 100, 900)])
def test_oxygen_step_by_step(case):
    water, oxygen, tan, nitrifying, resting = case
    got = s.hours_of_oxygen(Q(water, "L"), Q(oxygen, "mg/L"), Q(tan, "mg/L"), Q(nitrifying, "mg/h"), Q(resting, "mg/h"))
    assert got.m_as("h") == pytest.approx(minute_by_minute(*case), abs=0.01)


@given(st.floats(1, 500), st.floats(1, 12), st.floats(0, 3), st.floats(0, 2000), st.floats(1, 2000))
def test_more_uptake_never_lasts_longer(water, oxygen, tan, nitrifying, resting):
    def hours(more):
        return s.hours_of_oxygen(Q(water, "L"), Q(oxygen, "mg/L"), Q(tan, "mg/L"), Q(nitrifying, "mg/h"), Q(resting * more, "mg/h"))

    assert hours(1.5) <= hours(1.0)


@published(s.hours_of_nitrate, "Siegrist et al. 1999, abstract: nitrate respiration is 35 to 40 % slower than with oxygen")
def test_nitrate_stands_in():
    # 14 mg/L of N is 1 mmol/L; nitrate to nitrogen gas takes 5 electrons, oxygen 4: 1 mmol of nitrate is 1.25 mmol = 40 mg of oxygen
    # 10 L x 40 mg/L = 400 mg; at 100 mg/h and 0.625 of the pace: 400/62.5 = 6.4 h
    assert s.hours_of_nitrate(Q(10, "L"), Q(14, "mg/L"), Q(100, "mg/h")).m_as("h") == pytest.approx(6.4)
    pace = inspect.signature(s.hours_of_nitrate.plain).parameters["slower"].default
    assert 0.60 <= pace <= 0.65


@hand_worked(s.air_oxygen)
def test_oxygen_in_moist_air():
    # 20 degC: vapour 2.339 kPa (table); (101.325 - 2.339) x 0.2095 = 20.738 kPa; x 31.998/(8.31446 x 293.15) = 0.27225 g/L
    assert s.air_oxygen(Q(20, "degC")).m_as("mg/L") == pytest.approx(272.25, abs=0.3)


@independent(s.air_oxygen, "CoolProp HumidAir: partial pressure of water at saturation")
@pytest.mark.parametrize("celsius", [5, 15, 30])
def test_moist_air_against_coolprop(celsius):
    from CoolProp.CoolProp import HAPropsSI

    vapour = HAPropsSI("P_w", "T", celsius + 273.15, "P", 101325, "R", 1.0) / 1000
    expected = 0.2095 * (101.325 - vapour) * 31.998 / (8.31446 * (celsius + 273.15)) * 1000
    assert s.air_oxygen(Q(celsius, "degC")).m_as("mg/L") == pytest.approx(expected, rel=2e-3)


def test_a_litre_of_air_holds_thirty_times_as_much_as_a_litre_of_water():
    ratios = [(s.air_oxygen(Q(t, "degC")) / oxygen_saturation(Q(t, "degC"))).m for t in (10, 20, 30)]
    assert all(25 < r < 35 for r in ratios)


@hand_worked(s.pore_diffusivity)
def test_diffusivity():
    # 0 degC: 0.178 cm2/s x 8.64 = 1.538 m2/d; Penman 0.66 x 0.4 = 0.264: 0.4060. Millington-Quirk with all pores full of air: void^(4/3)
    at = Q(0, "degC")
    assert s.pore_diffusivity(0.4, 0.4, at, "Penman1940").m_as("m**2/d") == pytest.approx(0.4060, rel=1e-3)
    assert s.pore_diffusivity(0.4, 0.4, at).m_as("m**2/d") == pytest.approx(1.5379 * 0.4 ** (4 / 3), rel=1e-3)


def test_air_is_ten_thousand_times_faster_than_water():
    """Read in a chapter on soil: oxygen in water at 20 degC 1.97e-5 cm2/s, about 10 000 times lower than in air."""
    free = s.pore_diffusivity(1.0, 1.0, Q(20, "degC")).m_as("cm**2/s")
    assert 8_000 < free / 1.97e-5 < 12_000


@independent(s.deepest_oxygen, "numpy.linalg.solve on 400 slices of the bed")
@pytest.mark.parametrize("uptake, height", [(50.0, 0.6), (300.0, 0.4)])
def test_diffusion_slice_by_slice(uptake, height):
    count, diffusivity, outside = 400, 0.45, 272.0
    width = height / count
    matrix = np.diag(np.full(count, -2.0)) + np.diag(np.ones(count - 1), 1) + np.diag(np.ones(count - 1), -1)
    matrix[0, 0], matrix[-1, -1] = -3.0, -1.0  # half a slice to the open top; nothing passes the closed foot
    right = np.full(count, uptake * width**2 / diffusivity)
    right[0] -= 2 * outside
    foot = np.linalg.solve(matrix, right)[-1]
    got = s.deepest_oxygen(Q(outside, "mg/L"), Q(uptake, "g/m3/d"), Q(height, "m"), Q(diffusivity, "m2/d"))
    assert got.m_as("mg/L") == pytest.approx(foot, abs=0.5)


@hand_worked(s.drying_time)
def test_drying():
    # 4 % of 100 mm is 4 mm of water; at 2 mm a day: 2 d
    assert s.drying_time(0.04, Q(100, "mm"), Q(2, "mm/d")).m_as("d") == pytest.approx(2)


@published(s.share_alive, "Siegrist et al. 1999, abstract: 0.2 a day with oxygen, 0.03 a day without, at 20 degC")
def test_what_a_day_without_food_costs():
    # e^-0.2 = 0.8187, e^-0.03 = 0.9704
    with_oxygen, without = (float(s.share_alive(Q(24, "h"), Q(b, "%/d")).m) for b in (20, 3))
    assert (with_oxygen, without) == (pytest.approx(0.8187, abs=5e-5), pytest.approx(0.9704, abs=5e-5))
