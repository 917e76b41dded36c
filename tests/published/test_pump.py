"""Pump curve, operating point, power and affinity against worked examples and closed forms."""
from __future__ import annotations

import math
import re

import numpy as np
import pytest

from pondwright.science import pipes, pump
from pondwright.units import Q, QuantityError
from tests.grades import hand_worked, independent, published

from .reference import each, rows

HORSEPOWER = 550 * 0.3048 * 4.4482216152605  # W: 550 foot-pounds-force a second
CURVE = Q([0, 10, 20, 30, 36], "L/min"), Q([3.6, 3.2, 2.5, 1.3, 0], "m")
LINE = Q(28, "mm"), Q(7.5, "m"), Q(1.4, "m"), 5.2


# ------------------------------------------------------------------------------------------------------------------- the curve


@hand_worked(pump.pump_head)
def test_between_two_points():
    assert pump.pump_head(Q(15, "L/min"), *CURVE).m_as("m") == pytest.approx(2.85)  # half-way from 3.2 to 2.5
    assert pump.pump_head(Q(36, "L/min"), *CURVE).m_as("m") == 0


@independent(pump.pump_head, "scipy.interpolate.interp1d")
def test_curve_against_scipy():
    from scipy.interpolate import interp1d

    flows = np.linspace(0, 36, 50)
    expected = interp1d(*(q.magnitude for q in CURVE))(flows)
    assert pump.pump_head(Q(flows, "L/min"), *CURVE).m_as("m") == pytest.approx(expected, abs=1e-12)


@each("pump", "^operating point, quadratic pump")
@hand_worked(pump.operating_flow, pump.pump_head)
def test_operating_point_closed_form(row):
    patterns = r"shutoff ([\d.]+)", r"free flow ([\d.]+)", r"static ([\d.]+)"
    shutoff, free, static = (float(re.search(pattern, row.inputs)[1]) for pattern in patterns)
    # a line whose loss is b Q2 and nothing else: one bore with only fittings. b = 0.3 a, a = H0/Qmax2; h = K v2/(2 g) gives K
    bore = 25.0
    speed = free / 60 / 60_000 / (math.pi * (bore / 1000) ** 2 / 4)
    k = 0.3 * shutoff / (speed**2 / (2 * 9.80665))
    flows = np.linspace(0, free / 60, 401)
    curve = Q(flows, "L/min"), Q(shutoff * (1 - (flows / flows[-1]) ** 2), "m")
    flow = pump.operating_flow(*curve, Q(bore, "mm"), Q(0, "m"), Q(static, "m"), k)
    expected_flow, expected_head = (float(x) for x in re.findall(r"=([\d.]+)", row.expected))
    assert flow.m_as("L/h") == pytest.approx(expected_flow, rel=0.001)
    assert pump.pump_head(flow, *curve).m_as("m") == pytest.approx(expected_head, rel=0.001)


@hand_worked(pump.operating_flow)
def test_pump_and_line_agree_at_the_operating_point():
    flow = pump.operating_flow(*CURVE, *LINE)
    assert pump.pump_head(flow, *CURVE).m_as("m") == pytest.approx(pipes.line_head(flow, *LINE).m_as("m"), rel=1e-9)


@independent(pump.operating_flow, "scipy.optimize.brentq on fluids.friction_factor")
def test_operating_point_against_scipy():
    from fluids import friction_factor
    from scipy.optimize import brentq

    def spare(litres_per_minute):
        speed = litres_per_minute / 60_000 / (math.pi * 0.028**2 / 4)
        factor = friction_factor(Re=speed * 0.028 / 1.1386e-6, eD=0.03 / 28)
        needed = 1.4 + (factor * 7.5 / 0.028 + 5.2) * speed**2 / (2 * 9.80665)
        return np.interp(litres_per_minute, CURVE[0].magnitude, CURVE[1].magnitude) - needed

    assert pump.operating_flow(*CURVE, *LINE).m_as("L/min") == pytest.approx(brentq(spare, 1, 36), rel=1e-6)


def test_a_curve_that_ends_early_gives_its_last_flow():
    short = Q([0, 10], "L/min"), Q([3.6, 3.2], "m")
    assert pump.operating_flow(*short, *LINE).m_as("L/min") == 10


def test_an_outlet_too_high_is_refused():
    with pytest.raises(QuantityError, match=r"lifts water 3\.6 m at most, and the outlet stands 4 m above the pond: nothing flows"):
        pump.operating_flow(*CURVE, Q(28, "mm"), Q(7.5, "m"), Q(4, "m"), 5.2)


def test_a_pump_that_gives_no_flow_is_refused():
    with pytest.raises(QuantityError, match=r"the result in pump\.operating_flow must be"):
        pump.operating_flow(Q([0, 0], "L/min"), Q([3, 3], "m"), *LINE)
    with pytest.raises(QuantityError, match=r"flow in pump\.energy_per_volume must be"):
        pump.energy_per_volume(Q(20, "W"), Q(0, "L/min"))


def test_more_of_anything_in_the_way_means_less_flow():
    names = "inside_diameter", "length", "lift", "k", "roughness", "viscosity"
    base = dict(zip(names, (*LINE, Q(0.03, "mm"), Q(1.1, "mm2/s")), strict=True))
    normal = pump.operating_flow(*CURVE, **base)
    for name, worse in zip(names, (Q(20, "mm"), Q(15, "m"), Q(2, "m"), 12, Q(0.3, "mm"), Q(1.5, "mm2/s")), strict=True):
        assert pump.operating_flow(*CURVE, **{**base, name: worse}) < normal, name


# ------------------------------------------------------------------------------------------------------------------------ power


@each("pump", "^hydraulic power$")
@hand_worked(pump.hydraulic_power)
def test_hydraulic_power(row):
    flow, head, density = (float(re.search(pattern, row.inputs)[1]) for pattern in (r"(\d+) L/h", r"at ([\d.]+) m", r"rho=([\d.]+)"))
    row.assert_close(pump.hydraulic_power(Q(flow, "L/h"), Q(head, "m"), Q(density, "kg/m3")), "W")


@each("pump", "^water horsepower divisor$")
@published(pump.hydraulic_power, "a university course on pumps, section 5.3")
def test_water_horsepower(row):
    # 1 hp = 550 ft lb/s: one US gpm lifted one foot, 1/3960 hp with water of 62.4 lb/ft3
    power = pump.hydraulic_power(Q(1, "US gpm"), Q(1, "ft"), Q(62.4, "lb/ft3"))
    row.assert_close(HORSEPOWER / power.m_as("W"))


@each("pump", "^electrical input at wire-to-water efficiency$")
@hand_worked(pump.electrical_power, pump.hydraulic_power, pump.wire_to_water_efficiency)
def test_electrical_power(row):
    efficiency = 100 * float(re.search(r"eta=([\d.]+)", row.inputs)[1])
    water = pump.hydraulic_power(Q(2000, "L/h"), Q(1, "m"), Q(998.2, "kg/m3"))
    drawn = pump.electrical_power(water, Q(efficiency, "%"))
    row.assert_close(drawn, "W")
    assert pump.wire_to_water_efficiency(water, drawn).m_as("%") == pytest.approx(efficiency)


@each("friction", "^same: pumping power$")
@published(pump.hydraulic_power, "CengelFluid", "example 8-3")
def test_cengel_pumping_power(row):
    row.assert_close(pump.hydraulic_power(Q(360, "L/min"), Q(9.85, "m"), Q(999, "kg/m3")), "W")


@each("pump", "worked example: bhp")
@published(pump.hydraulic_power, pump.electrical_power, "CengelFluid", "example 14-2")
def test_cengel_brake_power(row):
    water = pump.hydraulic_power(Q(0.0233 * 60_000, "L/min"), Q(7.3, "m"), Q(998, "kg/m3"))
    row.assert_close(pump.electrical_power(water, Q(70, "%")), "W")


@each("pump", "worked example: pump at 5 kW shaft")
@published(pump.hydraulic_power, pump.wire_to_water_efficiency, "CengelFluid", "example 5-15")
def test_cengel_pump_flow(row):
    # 72 % of 5 kW reaches the water, which is lifted 25 m against 4 m of loss: the printed flow must carry just that
    water = pump.hydraulic_power(Q(row.value * 60_000, "L/min"), Q(25 + 4, "m"), Q(1000, "kg/m3"))
    assert pump.wire_to_water_efficiency(water, Q(5, "kW")).m_as("%") == pytest.approx(72, rel=0.005)


@each("pump", "worked example: brake power")
@published(pump.hydraulic_power, pump.electrical_power, "Crane410", "problem 7.34")
def test_crane_brake_power(row):
    water = pump.hydraulic_power(Q(700, "US gpm"), Q(428, "ft"), Q(62.37, "lb/ft3"))
    row.assert_close(pump.electrical_power(water, Q(70.7, "%")).m_as("W") / HORSEPOWER)  # at the shaft; 0.95 and 0.96 are drive and motor


@hand_worked(pump.energy_per_volume)
def test_energy_per_volume():
    # 1 m3 at 25 L/min takes 40 min, two thirds of an hour; 18 W for that long is 12 Wh
    assert pump.energy_per_volume(Q(18, "W"), Q(25, "L/min")).m_as("Wh/m**3") == pytest.approx(12)


def test_more_water_power_than_electricity_is_refused():
    with pytest.raises(QuantityError, match=r"must be 0 to 100 %"):
        pump.wire_to_water_efficiency(Q(30, "W"), Q(20, "W"))


# -------------------------------------------------------------------------------------------------------------------- affinity


@published(pump.affinity_flow, pump.affinity_head, pump.affinity_power, "Crane410", "problem 7.33")
def test_crane_affinity():
    ratio = 1700 / 3500
    assert pump.affinity_flow(Q(400, "US gpm"), ratio).m_as("US_gpm") == pytest.approx(194.3, abs=0.05)
    rows("pump", "affinity laws head")[0].assert_close(pump.affinity_head(Q(126, "ft"), ratio), "ft")
    rows("pump", "affinity laws power")[0].assert_close(pump.affinity_power(Q(17.5 * HORSEPOWER, "W"), ratio).m_as("W") / HORSEPOWER)


@each("pump", "first-order affinity scaling")
@independent(pump.affinity_flow, pump.affinity_head, pump.affinity_power, "the laws evaluated apart; that they hold: Suehrcke1997")
def test_voltage_scaling(row):
    old, new = (float(x) for x in re.findall(r"([\d.]+) V", row.inputs))
    n = new / old
    scaled = pump.affinity_flow(Q(1, "L/min"), n), pump.affinity_head(Q(1, "m"), n), pump.affinity_power(Q(1, "W"), n)
    for got, printed in zip(scaled, re.findall(r"x([\d.]+)", row.expected), strict=True):
        assert got.magnitude == pytest.approx(float(printed), abs=0.0005)  # half the last printed digit


@hand_worked(pump.operating_flow, pump.affinity_flow, pump.affinity_head)
def test_a_slower_pump_moves_along_the_line():
    # fittings only and no lift: the line's loss grows with Q2 as the pump's curve does, so half the speed gives half the flow
    slow = pump.affinity_flow(CURVE[0], 0.5), pump.affinity_head(CURVE[1], 0.5)
    line = Q(20, "mm"), Q(0, "m"), Q(0, "m"), 8
    fast_flow, slow_flow = (pump.operating_flow(*curve, *line).magnitude for curve in (CURVE, slow))
    assert slow_flow == pytest.approx(fast_flow / 2, rel=1e-6)


def test_us_units_give_the_same_flow():
    metric = pump.operating_flow(*CURVE, *LINE)
    curve = Q([q / 3.785411784 for q in CURVE[0].magnitude], "US gpm"), Q([h / 0.3048 for h in CURVE[1].magnitude], "ft")
    customary = pump.operating_flow(*curve, Q(28 / 25.4, "inch"), Q(7.5 / 0.3048, "ft"), Q(1.4 / 0.3048, "ft"), 5.2)
    assert customary.m_as("L/min") == pytest.approx(metric.m_as("L/min"), rel=1e-9)


# ------------------------------------------------------------------------------------------- two numbers of a label, several runs


@each("pump", "^operating point, quadratic pump")
@hand_worked(pump.rated_head)
def test_a_parabola_through_the_label(row):
    shutoff, free = (float(re.search(pattern, row.inputs)[1]) for pattern in (r"shutoff ([\d.]+)", r"free flow ([\d.]+)"))
    flow, head = (float(x) for x in re.findall(r"=([\d.]+)", row.expected))
    assert pump.rated_head(Q(flow, "L/h"), Q(free, "L/h"), Q(shutoff, "m")).m_as("m") == pytest.approx(head, abs=0.0006)
    assert pump.rated_head(Q([0, free], "L/h"), Q(free, "L/h"), Q(shutoff, "m")).m_as("m") == pytest.approx([shutoff, 0])


@hand_worked(pump.operating_flow, pipes.runs_head)
def test_a_line_of_equal_runs_is_one_pipe():
    runs = Q([28, 28, 28], "mm"), Q([4, 2, 1.5], "m"), Q(1.4, "m"), np.array([3.2, 1.5, 0.5])
    flow = pump.operating_flow(*CURVE, *runs)
    assert flow.magnitude == pytest.approx(pump.operating_flow(*CURVE, *LINE).magnitude)
    assert pipes.runs_head(flow, *runs).magnitude == pytest.approx(pump.pump_head(flow, *CURVE).magnitude)


@independent(pump.operating_flow, pipes.runs_head, "scipy.optimize.brentq on fluids.friction_factor, run by run")
def test_two_bores_against_scipy():
    from fluids import friction_factor
    from scipy.optimize import brentq

    def spare(litres_per_minute):
        needed = 0.9
        for bore, length, k in ((0.028, 6.0, 4.2), (0.019, 1.5, 2.0)):
            speed = litres_per_minute / 60_000 / (math.pi * bore**2 / 4)
            factor = friction_factor(Re=speed * bore / 1.1386e-6, eD=0.03e-3 / bore)
            needed += (factor * length / bore + k) * speed**2 / (2 * 9.80665)
        return np.interp(litres_per_minute, CURVE[0].magnitude, CURVE[1].magnitude) - needed

    runs = Q([28, 19], "mm"), Q([6, 1.5], "m"), Q(0.9, "m"), np.array([4.2, 2.0])
    found = brentq(spare, 1, 36)
    assert pump.operating_flow(*CURVE, *runs).m_as("L/min") == pytest.approx(found, rel=1e-6)
    assert pipes.runs_head(Q(found, "L/min"), *runs).m_as("m") == pytest.approx(np.interp(found, *(q.magnitude for q in CURVE)), rel=1e-6)


# ------------------------------------------------------------------------------------------------------------- driven by the sun

STRAIGHT = Q([0, 25], "L/min"), Q([3, 0], "m")


@hand_worked(pump.affinity_speed, "the inverse of n^3 and n^2: 0.8^3 = 0.512, 0.8^2 = 0.64; four times the current, twice the speed")
def test_the_speed_that_a_share_of_power_or_current_gives():
    assert pump.affinity_speed(0.512).m == pytest.approx(0.8) and pump.affinity_speed(0.64, 2).m == pytest.approx(0.8)
    assert pump.affinity_speed(4, 2).m == pytest.approx(2) and pump.affinity_speed(0).m == 0
    assert pump.affinity_power(Q(20, "W"), pump.affinity_speed(0.3).m).m_as("W") == pytest.approx(6)


@hand_worked(pump.flow_at_speed, "3 n^2 - 3 n Q/25 = 1.6 without friction: Q = 25 n - 1.6 x 25/(3 n); none below n = sqrt(1.6/3) = 0.7303")
@pytest.mark.parametrize("n, flow", [(0.0, 0), (0.73, 0), (0.75, 0.972), (0.8, 3.333), (0.9, 7.685), (1.0, 11.667), (1.2, 11.667)])
def test_a_straight_curve_against_a_lift(n, flow):
    full = Q(35 / 3, "L/min")
    assert pump.flow_at_speed(n, *STRAIGHT, Q(1.6, "m"), full).m_as("L/min") == pytest.approx(flow, abs=0.01)


@hand_worked(pump.flow_at_speed, "3 n^2 - 0.12 n Q = 1 + 0.02 Q^2, of which 0.02 Q^2 + 0.12 n Q + 1 - 3 n^2 = 0 is the quadratic")
def test_a_straight_curve_against_lift_and_friction():
    def root(n):
        return (-0.12 * n + math.sqrt((0.12 * n) ** 2 - 0.08 * (1 - 3 * n**2))) / 0.04

    speeds = np.array([0.6, 0.7, 0.85, 1.0])
    found = pump.flow_at_speed(speeds, *STRAIGHT, Q(1, "m"), Q(root(1.0), "L/min")).m_as("L/min")
    assert found == pytest.approx([root(n) for n in speeds], rel=2e-3)
    level = pump.flow_at_speed(0.5, *STRAIGHT, Q(0, "m"), Q(10, "L/min"))  # nothing to lift: the flow goes as the speed
    assert level.m_as("L/min") == pytest.approx(5)


@independent(pump.flow_at_speed, "fluids' root finder on the slowed curve and the real line: within a hundredth of the full flow")
@pytest.mark.parametrize("n", [0.65, 0.7, 0.8, 0.9])
def test_a_slower_pump_in_a_real_line(n):
    full = pump.operating_flow(*CURVE, *LINE)
    slowed = pump.operating_flow(CURVE[0] * n, CURVE[1] * n**2, *LINE)
    ours = pump.flow_at_speed(n, *CURVE, LINE[2], full)
    assert ours.m_as("L/min") == pytest.approx(slowed.m_as("L/min"), abs=0.01 * full.m_as("L/min"))
