"""Dirt: published settling values, what a mat holds, and the oxygen that caught dirt takes."""

from __future__ import annotations

import pytest

from pondwright.science import solids as s
from pondwright.tables import coefficients
from pondwright.units import Q
from tests.grades import hand_worked, independent, published

from .reference import each, rows


@each("solids", "^Stokes settling velocity", inputs="d_um=(20|50|100);")
@independent(s.settling_velocity, "Stokes' law with the viscosity and density of CoolProp 8.0")
def test_settling(row):
    at = row.given()
    row.assert_close(s.settling_velocity(Q(at["d_um"], "µm"), Q(at["rho_p"], "kg/m3"), Q(at["T_C"], "degC")), "mm/s")


@each("solids", "^equivalent overflow rate", inputs="d_um=(20|50|100);")
@independent(s.smallest_settled, "Stokes' law with CoolProp 8.0, as an overflow rate; solved back for the particle")
def test_what_a_settling_space_keeps(row):
    at = row.given()
    size = s.smallest_settled(Q(row.value, "m3/m2/d"), Q(at["rho_p"], "kg/m3"), Q(at["T_C"], "degC"))
    assert size.m_as("micrometer") == pytest.approx(at["d_um"], rel=0.03)  # the printed rate has two or three digits


FITS = "Barati", "Clift", "Clift_Gauvin", "Haider_Levenspiel", "Cheng", "Mikhailov_Freire"  # to the measured drag of balls, in fluids


@independent(s.smallest_settled, "fluids 1.3.1: terminal speeds of balls by six fits to measured drag, solved back for the ball by scipy")
@pytest.mark.parametrize("rate", [5, 50, 121, 400, 2500])
@pytest.mark.parametrize("particle, warmth", [(1050, 20), (1190, 5)])
def test_what_a_settling_space_keeps_where_stokes_law_ends(rate, particle, warmth):
    from fluids.drag import v_terminal
    from iapws import IAPWS97
    from scipy.optimize import brentq

    water, speed = IAPWS97(T=warmth + 273.15, P=0.101325), rate / 86_400
    balls = [brentq(lambda d, fit=fit: v_terminal(d, particle, water.rho, water.mu, Method=fit) - speed, 1e-6, 0.02, xtol=1e-12)
             for fit in FITS]
    got = s.smallest_settled(Q(rate, "m3/m2/d"), Q(particle, "kg/m3"), Q(warmth, "degC")).m_as("m")
    assert 0.995 * min(balls) < got < 1.005 * max(balls) < 1.1 * min(balls)
    if rate == 2500:
        stokes = (18 * water.mu * speed / (9.80665 * (particle - water.rho))) ** 0.5
        assert got > 1.4 * stokes  # where Stokes' law alone would call far too small a grain settled


@hand_worked(s.smallest_settled)
def test_a_grain_of_a_quarter_of_a_millimetre():
    # 121 m3/m2 a day are 1.40 mm/s. Stokes at 20 degC (mu 1.0016 mPa s, 998.2 kg/m3), 1050 kg/m3: d² = 18 x 0.0010016 x 0.0014 /
    # (9.807 x 51.8) = 4.969e-8, 222.9 um; Re = 998.2 x 0.0014 x 222.9e-6 / 0.0010016 = 0.311, f = 1.0672, 230.3 um; Re 0.321, f 1.0687,
    # 230.4 um
    got = s.smallest_settled(Q(121, "m3/m2/d"), Q(1050, "kg/m3"), Q(20, "degC"))
    assert got.m_as("micrometer") == pytest.approx(230.4, abs=0.3)


def test_how_heavy_dirt_is():
    """The coefficient is the printed one: World Aquaculture Society, abstract 165932, droppings of 1050 to 1190 kg/m3."""
    density = coefficients()["dirt_density"]
    low, high = (float(part) for part in rows("solids", "faecal density")[0].expected.split(".."))
    assert (density.low.m, density.high.m) == (low, high) and low < density.typical.m < high


def test_real_droppings_sink_far_faster_than_fine_dirt():
    """Printed for trout droppings: 0.7 to 1.7 cm/s; a particle of 0.1 mm and 1190 kg/m3 makes 1 mm/s. Big things first, then."""
    slowest = min(float(part) for part in rows("solids", "settling trout")[0].expected.split("/"))
    assert s.settling_velocity(Q(100, "µm"), Q(1190, "kg/m3"), Q(15, "degC")).m_as("cm/s") < 0.2 * slowest


@published(s.solids_from_feed, "World Aquaculture Society, abstract 165932: kg of faeces a kg of feed, catfish 0.2 to 0.7")
def test_solids_of_a_kilogram_of_feed():
    share = coefficients()["solids_share"]
    low, high = (float(n) for n in rows("solids", "^faeces, catfish")[0].expected.split(".."))
    got = [s.solids_from_feed(Q(1, "kg/d"), share.at(end)).m_as("kg/d") for end in ("low", "typical", "high")]
    assert (got[0], got[2]) == (pytest.approx(low), pytest.approx(high))
    inner = [float(n) for n in rows("solids", "^faeces, salmon")[0].expected.split("..")]
    assert inner[0] <= got[1] <= inner[1]


def test_a_mat_catches_at_most_what_is_coarse():
    """Printed: particles finer than 20 um are 40 to 70 % of the mass in suspension, so a mat catches at most 30 to 60 %."""
    fine = [float(n) for n in rows("solids", "finer than 20 um")[0].expected.split("/")[1].split("..")]
    capture = coefficients()["mat_capture"]
    assert [100 * capture.low.m, 100 * capture.high.m] == [pytest.approx(100 - fine[1]), pytest.approx(100 - fine[0])]


@hand_worked(s.mat_capacity, s.days_between_rinses)
def test_a_mat_fills():
    # 4 L of mat, 0.95 open, a quarter of it full of sludge with 30 g/L: 4 x 0.95 x 0.25 x 30 = 28.5 g
    full = s.mat_capacity(Q(4, "L"), 0.95, 0.25, Q(30, "g/L"))
    assert full.m_as("g") == pytest.approx(28.5)
    # 5 g/d of solids, 38 % of them caught: 1.9 g/d; 28.5/1.9 = 15 d
    assert s.days_between_rinses(full, Q(5, "g/d"), 0.38).m_as("d") == pytest.approx(15)


@published(s.solids_uptake, "Aquaculture Science 37:27-33 (1989), abstract: 4.2 and 8.8 mg/g/h at 20 degC, 1.075 and 1.088 for each degree")
@pytest.mark.parametrize("rate, theta", [(4.2, 1.075), (8.8, 1.088)])
def test_oxygen_for_dirt(rate, theta):
    at20, at25 = (s.solids_uptake(Q(1, "g"), Q(rate, "mg/g/h"), Q(t, "degC"), theta).m_as("mg/h") for t in (20, 25))
    assert at20 == pytest.approx(rate)
    assert at25 / at20 == pytest.approx(theta**5)
