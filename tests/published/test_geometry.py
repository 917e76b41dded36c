"""Areas and volumes against printed examples and worked arithmetic."""

from __future__ import annotations

import math

import pytest

from pondwright.science import geometry as g
from pondwright.science import survey as s
from pondwright.units import Q, QuantityError
from tests.grades import hand_worked, independent, published

from .reference import each, rows


def m(*values):
    return [Q(v, "m") for v in values]


def ft(*values):
    return [Q(v, "ft") for v in values]


@published(g.rectangle_area, g.prism_volume, "Extension, Use and application of salt in aquaculture")
def test_printed_tank():
    length, width, depth = ft(12, 3, 3)
    rows("dosing", "WORKED EXAMPLE tank volume")[0].assert_close(g.prism_volume(g.rectangle_area(length, width), depth), "ft3")


@published(g.circle_area, g.prism_volume, "Extension, Use and application of salt in aquaculture (with pi = 3.14)")
def test_printed_round_tank():
    rows("dosing", "round tank")[0].assert_close(g.prism_volume(g.circle_area(Q(12, "ft")), Q(4.5, "ft")), "ft3")


@hand_worked(g.frustum_volume)
def test_excavated_pond():
    # bottom 40 x 100 ft, 12 ft deep, sides 2:1, so the top is 40 + 48 by 100 + 48 ft; (13,024 + 31,744 + 4,000)/6 x 12/27 yd3
    volume = g.frustum_volume(*ft(148, 88, 100, 40, 12))
    rows("geometry", "worked example check")[0].assert_close(volume, "yd3")


SHAPES = {
    "cylinder": lambda: g.prism_volume(g.circle_area(Q(3, "m")), Q(0.6, "m")),
    "frustum": lambda: g.frustum_volume(*m(4, 3, 3, 2, 0.9)),
    "ellipse cylinder": lambda: g.prism_volume(g.ellipse_area(*m(4, 2.5)), Q(0.7, "m")),
}


@hand_worked(g.circle_area, g.frustum_volume, g.ellipse_area)
@pytest.mark.parametrize("word", SHAPES)
def test_exact_volumes(word):
    rows("geometry", "^volume$", inputs=word)[0].assert_close(SHAPES[word](), "L")


@hand_worked(g.stadium_area)
def test_stadium():
    # 5 m over the ends, 2 m wide: a 3 x 2 rectangle and a circle of 1 m radius = 6 + pi
    assert g.stadium_area(*m(5, 2)).m_as("m**2") == pytest.approx(6 + math.pi, rel=1e-12)


@hand_worked(g.polygon_area)
def test_polygon():
    # an L: 4 x 3 m with a 2 x 1 m corner cut out = 12 - 2
    x, y = Q([0, 4, 4, 2, 2, 0], "m"), Q([0, 0, 2, 2, 3, 3], "m")
    assert g.polygon_area(x, y).m_as("m**2") == pytest.approx(10, rel=1e-12)


@hand_worked(g.simpson_area)
def test_simpson_is_exact_for_a_parabola():
    # w = 4 x (6 - x)/9 over 6 m: the integral is 4/9 (6 x 36/2 - 216/3) = 16
    assert g.simpson_area(Q(6, "m"), Q([0, 4 * 1.5 * 4.5 / 9, 4, 4 * 4.5 * 1.5 / 9, 0], "m")).m_as("m**2") == pytest.approx(16, rel=1e-12)


@independent(g.simpson_area, "scipy.integrate.simpson")
def test_simpson_against_scipy():
    from scipy.integrate import simpson

    widths = [0.4, 1.9, 2.6, 2.2, 2.8, 1.1, 0.2]
    assert g.simpson_area(Q(9, "m"), Q(widths, "m")).m_as("m**2") == pytest.approx(simpson(widths, dx=1.5), rel=1e-12)


@independent(g.ellipse_perimeter, "scipy.special.ellipe, the complete elliptic integral")
@pytest.mark.parametrize("length, width", [(4, 4), (4, 2.5), (6, 1.5)])
def test_ellipse_perimeter(length, width):
    from scipy.special import ellipe

    exact = 2 * length * ellipe(1 - (width / length) ** 2)
    assert g.ellipse_perimeter(*m(length, width)).m_as("m") == pytest.approx(exact, rel=1e-4)


@hand_worked(g.wetted_area, g.frustum_wetted_area)
def test_wetted_areas_agree_on_a_box():
    # 4 x 3 m, 1 m deep: 12 m2 of bottom and 14 m of wall
    assert g.wetted_area(Q(12, "m2"), Q(14, "m"), Q(1, "m")).m_as("m**2") == pytest.approx(26)
    assert g.frustum_wetted_area(*m(4, 3, 4, 3, 1)).m_as("m**2") == pytest.approx(26)


@hand_worked(g.frustum_wetted_area)
def test_frustum_slant():
    # a 3-4-5 side: top 10 x 10, bottom 2 x 2, depth 3: half the difference 4, slant 5; four trapezoids (10 + 2)/2 x 5 = 30, and 4
    assert g.frustum_wetted_area(*m(10, 10, 2, 2, 3)).m_as("m**2") == pytest.approx(124)


@hand_worked(g.mean_depth)
def test_mean_depth():
    assert g.mean_depth(Q(7.95, "m3"), Q(12, "m2")).m_as("m") == pytest.approx(0.6625)  # 7.95 / 12


@each("geometry", "liner size")
@hand_worked(g.liner_side)
def test_liner(row):
    length, width, depth, overlap = row.numbers()[:4]
    for side, printed in zip((length, width), row.expected.split(" x "), strict=True):
        assert g.liner_side(*m(side, depth, overlap)).m_as("m") == pytest.approx(float(printed), abs=1e-9)


@hand_worked(s.salt_tracer_volume)
def test_salt_dilution():
    # 1 kg raises the salinity by 0.5 g/L = 500 mg/L, at 2.03 uS/cm a mg/L by 1015 uS/cm
    rows("geometry", "salt dilution")[0].assert_close(s.salt_tracer_volume(Q(1, "kg"), Q(300, "uS/cm"), Q(1315, "uS/cm")), "L")


@independent(s.salt_tracer_volume, "phreeqpython: PHREEQC's specific conductance of NaCl water")
@pytest.mark.parametrize("grams_per_liter", [0.1, 0.3, 0.5])
def test_salt_conductivity_against_phreeqc(grams_per_liter):
    from phreeqpython import PhreeqPython

    base, salted = (
        PhreeqPython().add_solution({"temp": 25, "Na": n, "Cl": n, "units": "mmol/kgw"}) for n in (1e-3, grams_per_liter / 58.44 * 1000)
    )
    volume = s.salt_tracer_volume(Q(grams_per_liter * 1000, "g"), Q(base.sc, "uS/cm"), Q(salted.sc, "uS/cm"))
    assert volume.m_as("L") == pytest.approx(1000, rel=0.04)  # the coefficient's stated spread over this range


@hand_worked(s.timed_fill_volume)
def test_timed_fill():
    # 12 L in 40 s is 0.3 L/s; 5 h is 18,000 s: 5400 L
    assert s.timed_fill_volume(Q(12, "L"), Q(40, "s"), Q(5, "h")).m_as("L") == pytest.approx(5400)


@independent(g.water_mass, "CoolProp, IAPWS-95")
@pytest.mark.parametrize("celsius", [0.01, 15, 30])
def test_water_mass(celsius):
    from CoolProp.CoolProp import PropsSI

    density = PropsSI("D", "T", celsius + 273.15, "P", 101325, "Water")
    assert g.water_mass(Q(1, "m3")).m_as("kg") == pytest.approx(density, rel=0.004)  # the range the docstring promises


@independent(s.mean_spread, "scipy.stats.t.interval")
def test_mean_spread():
    from scipy import stats

    readings = [0.95, 1.00, 1.05, 0.98, 1.02]
    low, high = stats.t.interval(0.95, 4, loc=1.0, scale=stats.sem(readings))
    assert s.mean_spread(Q(readings, "m")).m_as("m") == pytest.approx((high - low) / 2, rel=1e-9)


def test_a_negative_length_is_refused():
    with pytest.raises(QuantityError, match=r"length in geometry.rectangle_area must be 0 to 1000 m; -1 is not possible"):
        g.rectangle_area(*m(-1, 2))
