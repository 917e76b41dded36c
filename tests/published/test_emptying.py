"""Emptying tanks and ponds against a textbook example, closed forms and worked arithmetic."""
from __future__ import annotations

import math

import numpy as np
import pytest

from pondwright.science import emptying as e
from pondwright.science import outlets as o
from pondwright.units import Q, QuantityError
from tests.grades import common_practice, hand_worked, independent, published


@published(e.straight_tank_time, "CengelFluid", "example 5-2: a tank of 0.9 m, half empty after 11.6 min through 13 mm")
def test_cengel_tank():
    area = math.pi * 0.9**2 / 4
    time = e.straight_tank_time(Q(area, "m2"), Q(13, "mm"), Q(120, "cm"), Q(60, "cm"), 1)
    assert time.m_as("min") == pytest.approx(11.6, abs=0.05)


@hand_worked(e.straight_tank_time)
def test_a_tank_in_round_numbers():
    # A/a = 10 000, h from 1.96133 to 0.4903325 m: sqrt(2 g h) is 6.2023 and 3.1011 m/s; t = 2 A/a (6.2023 - 3.1011)/(2 g) s
    hole = math.pi * 0.02**2 / 4
    expected = 2 * 10_000 * (math.sqrt(1.96133) - math.sqrt(0.4903325)) / math.sqrt(19.6133) / 60
    got = e.straight_tank_time(Q(10_000 * hole, "m2"), Q(20, "mm"), Q(196.133, "cm"), Q(49.03325, "cm"), 1)
    assert got.m_as("min") == pytest.approx(expected) == pytest.approx(52.7, abs=0.05)
    with pytest.raises(QuantityError, match="falls from start to end"):
        e.straight_tank_time(Q(1, "m2"), Q(20, "mm"), Q(10, "cm"), Q(20, "cm"))


@hand_worked(e.passing_time, e.straight_tank_time, o.orifice_flow)
@pytest.mark.parametrize("start, end", [(80, 10), (50, 45), (120, 1)])
def test_step_by_step_meets_the_closed_form(start, end):
    levels = np.geomspace(end, start, 600)
    flow = [o.orifice_flow.plain(25, h) for h in levels.tolist()]
    time = e.passing_time(Q(2.5 * levels, "L"), Q(flow, "L/min"))  # 0.25 m2: 2.5 L for each centimetre
    closed = e.straight_tank_time(Q(0.25, "m2"), Q(25, "mm"), Q(start, "cm"), Q(end, "cm"))
    assert time.m_as("min") == pytest.approx(closed.m_as("min"), rel=1e-4)


@hand_worked(e.passing_time)
def test_what_flows_in_less_what_flows_out_is_stored():
    # a cone-like vessel: area 0.1 m2 at 0 and 0.3 m2 at 40 cm hold 80 L between them; 20 L/min fills that in 4 min
    levels = np.linspace(0, 40, 9)
    time = e.passing_time(Q(levels + levels**2 / 40, "L"), Q(np.full(9, 20.0), "L/min"))
    assert time.m_as("min") == pytest.approx(4)


@hand_worked(e.passing_time)
@pytest.mark.parametrize("least", [1.0, 0.1, 0.001, 1e-5])
def test_water_that_hardly_leaves_at_the_end(least):
    # 60 L leave; the flow falls evenly from 6 L/min to `least`: t = V ln(q2/q1) / (q2 - q1), as of any even change, in few slices or many
    exact = 60 * math.log(6 / least) / (6 - least)
    for slices in (2, 5, 30):
        water = np.linspace(0, 60, slices)
        assert e.passing_time(Q(water, "L"), Q(least + (6 - least) * water / 60, "L/min")).m_as("min") == pytest.approx(exact)


@independent(e.passing_time, "scipy.integrate.quad")
@pytest.mark.parametrize("least", [2.0, 0.1, 0.01])
def test_a_root_that_hardly_leaves_at_the_end(least):
    from scipy.integrate import quad

    def net(h: float) -> float:  # a pipe 30 cm below the lowest level, less an inflow that nearly keeps up with it
        return 20 * (math.sqrt(1 + h / 30) - 1) + least

    exact = quad(lambda h: 2.5 / net(h), 0, 40, points=[0.01, 0.1, 1], limit=200)[0]
    levels = 40 * np.linspace(0, 1, 13) ** 1.5
    time = e.passing_time(Q(2.5 * levels, "L"), Q([net(h) for h in levels.tolist()], "L/min"))
    assert time.m_as("min") == pytest.approx(exact, rel=0.006)


@hand_worked(e.water_left, e.depth_holding)
@pytest.mark.parametrize("shape, power", [("cylinder", 1), ("paraboloid", 2), ("cone", 3)])
def test_basins_of_known_shape(shape, power):
    # volume = area x depth / p: a cylinder, a bowl (paraboloid), a cone; at half depth (1/2)^p of the water is left
    area, depth = 12.0, 1.5
    volume = Q(area * depth / power * 1000, "L")
    left = e.water_left(volume, Q(area, "m2"), Q(depth, "m"), Q(depth / 2, "m"))
    assert left.m_as("L") == pytest.approx(volume.m_as("L") * 0.5**power)
    back = e.depth_holding(volume, Q(area, "m2"), Q(depth, "m"), 100 * left / volume * Q(1, "%"))
    assert back.m_as("m") == pytest.approx(depth / 2)


@hand_worked(e.water_left)
def test_no_more_is_left_than_there_was():
    assert e.water_left(Q(5000, "L"), Q(10, "m2"), Q(1, "m"), Q(2, "m")).m_as("L") == pytest.approx(5000)


@hand_worked(e.pumping_time)
def test_pumping_time():
    assert e.pumping_time(Q(6000, "L"), Q(25, "L/min")).m_as("h") == pytest.approx(4)  # 240 min


@hand_worked(e.back_siphon_volume)
def test_back_siphon():
    # 0.25 m2 x 0.12 m = 30 L; pi x 0.014² x 7.5 m = 0.004618 m3 = 4.62 L
    got = e.back_siphon_volume(Q(0.25, "m2"), Q(12, "cm"), Q(28, "mm"), Q(7.5, "m"))
    assert got.m_as("L") == pytest.approx(30 + 4.618, abs=0.001)


@published(e.approach_velocity, "NMFSPump", "screen area is flow over 0.4 ft/s, or 0.2 ft/s where nobody cleans it")
def test_screen_area():
    # 1 ft3/s through 1/0.4 = 2.5 ft2
    assert e.approach_velocity(Q(1, "ft3/s"), Q(2.5, "ft2")).m_as("ft/s") == pytest.approx(0.4)
    assert e.approach_velocity(Q(1, "ft3/s"), Q(5, "ft2")).m_as("ft/s") == pytest.approx(0.2)


@common_practice(e.approach_velocity)
def test_a_clogged_half_doubles_the_speed():
    whole, half = (e.approach_velocity(Q(24, "L/min"), Q(a, "cm2")).magnitude for a in (80, 40))
    assert half == pytest.approx(2 * whole)
