"""Holes, lips, full pipes and siphons against a state code, textbook examples, closed forms and scipy."""
from __future__ import annotations

import math
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pondwright.science import outlets as o
from pondwright.science import pipes, siphon
from pondwright.units import Q, QuantityError
from tests.grades import hand_worked, independent, published

from .reference import each, rows

FALL = math.sqrt(2 * 9.80665)


def find(pattern: str, text: str) -> float:
    return float(re.search(pattern, text)[1])


# ------------------------------------------------------------------------------------------------------------------- orifices


@each("open_flow", "orifice discharge, drilled hole in pipe")
@published(o.orifice_flow, "NJAC79A", "table of hole discharge")
def test_holes_of_a_state_code(row):
    bore, head = find(r"hole ([\d.]+) in", row.inputs), find(r"head ([\d.]+) ft", row.inputs)
    row.assert_close(o.orifice_flow(Q(bore, "inch"), Q(head, "ft"), 0.6), "US_gpm", floor=0.005)


@each("open_flow", "orifice discharge Cd=0.61")
@independent(o.orifice_flow, "the equation evaluated apart, in inches and feet")
def test_orifices_evaluated(row):
    bore, head = find(r"hole ([\d.]+) in", row.inputs), find(r"head ([\d.]+) ft", row.inputs)
    row.assert_close(o.orifice_flow(Q(bore, "inch"), Q(head, "ft"), 0.61), "US_gpm")


@each("open_flow", "orifice constant K")
@independent(o.orifice_flow, "the constant evaluated apart")
def test_orifice_constant(row):
    row.assert_close(o.orifice_flow(Q(1, "inch"), Q(1, "ft"), 0.61).m_as("US_gpm"))


@published(o.orifice_flow, "Massey and Ward-Smith, example p. 119, in an open transcription")
def test_coefficients_from_a_jet():
    # cd = cc cv: the jet of 8.6 mm leaves an opening of 11 mm (cc 0.611); 2 m of reach for 0.6 m of fall under 1.75 m (cv 0.976)
    cd = (8.6 / 11) ** 2 * 2 / (2 * math.sqrt(0.6 * 1.75))
    (cc,), (cv,) = (rows("open_flow", words) for words in ("orifice coefficients from jet trajectory, Cc", "same, Cv"))
    assert cd == pytest.approx(cc.value * cv.value, rel=0.002)
    (row,) = rows("open_flow", "^worked example: same, discharge")
    row.assert_close(o.orifice_flow(Q(11, "mm"), Q(175, "cm"), cd).m_as("L/min") / 60)


UNWIN = [(0.75, 1, 0.616), (1.0, 1, 0.613), (2.0, 1, 0.612)]  # head in ft, hole in inches, his fit worked by hand below


@hand_worked(o.orifice_flow)
@pytest.mark.parametrize("feet, inches, expected", UNWIN)
def test_unwins_fit_of_mairs_holes(feet, inches, expected):
    # c = 0.6075 + 0.0098/sqrt(h) - 0.0037 d: 0.6151, 0.6136, 0.6107, all a little above the 0.60 of the state code
    c = 0.6075 + 0.0098 / math.sqrt(feet) - 0.0037 * inches
    assert c == pytest.approx(expected, abs=0.0015)
    low, high = (o.orifice_flow(Q(inches, "inch"), Q(feet, "ft"), cd) for cd in (0.60, 0.62))
    assert low < o.orifice_flow(Q(inches, "inch"), Q(feet, "ft"), c) < high


# -------------------------------------------------------------------------------------------------------------- holes in a wall


def by_quadrature(bore: float, height: float, cd: float = 0.61) -> float:
    """Integrate strip by strip (metres in, L/min out)."""
    from scipy.integrate import quad

    wet = min(height, bore)
    strips = quad(lambda z: 2 * math.sqrt(z * (bore - z)) * math.sqrt(2 * 9.80665 * (height - z)), 0, wet, epsabs=1e-13, limit=200)
    return cd * 60_000 * strips[0]


@independent(o.hole_flow, "scipy.integrate.quad, strip by strip")
@pytest.mark.parametrize("bore", [12.0, 26.24, 52.0, 110.0])
@pytest.mark.parametrize("share", [0.05, 0.3, 0.5, 0.9, 0.999, 1.0, 1.001, 1.2, 3.0, 20.0])
def test_a_hole_strip_by_strip(bore, share):
    got = o.hole_flow(Q(bore, "mm"), Q(bore * share / 10, "cm")).magnitude
    assert got == pytest.approx(by_quadrature(bore / 1000, bore * share / 1000), rel=1e-6)


def drowned_by_quadrature(bore: float, height: float, tail: float, cd: float = 0.61) -> float:
    """Integrate strip by strip: below the tail water each strip is driven by the difference of the levels."""
    from scipy.integrate import quad

    def strip(z: float) -> float:
        return 2 * math.sqrt(z * (bore - z)) * math.sqrt(2 * 9.80665 * (height - max(z, tail)))

    parts = [(a, b) for a, b in ((0, min(tail, bore)), (min(tail, bore), min(height, bore))) if b > a]
    return cd * 60_000 * sum(quad(strip, a, b, epsabs=1e-13, limit=200)[0] for a, b in parts)


@independent(o.drowned_hole_flow, "scipy.integrate.quad, strip by strip")
@pytest.mark.parametrize("tail, level", [(0.05, 0.3), (0.5, 0.6), (0.5, 3.0), (0.9, 0.95), (0.99, 1.0), (1.0, 1.0001), (1.2, 1.5), (7, 9)])
@pytest.mark.parametrize("bore", [12.0, 52.0])
def test_a_drowned_hole_strip_by_strip(bore, tail, level):
    got = o.drowned_hole_flow(Q(bore, "mm"), Q(bore * level / 10, "cm"), Q(bore * tail / 10, "cm")).magnitude
    assert got == pytest.approx(drowned_by_quadrature(bore / 1000, bore * level / 1000, bore * tail / 1000), rel=1e-5)


@hand_worked(o.drowned_hole_flow, o.hole_flow)
def test_the_two_ends_of_a_drowned_hole():
    for level in (1.0, 2.6, 10.0):  # no water on the other side
        apart, together = o.drowned_hole_flow(Q(26, "mm"), Q(level, "cm"), Q(0, "cm")), o.hole_flow(Q(26, "mm"), Q(level, "cm"))
        assert apart.magnitude == pytest.approx(together.magnitude, rel=1e-6)
    # 36 mm, both waters above it, 5 cm apart: 0.61 x 10.18 cm2 x sqrt(2 x 980.7 x 5) = 99.0 cm/s make 615 cm3/s or 36.9 L/min
    assert o.drowned_hole_flow(Q(36, "mm"), Q(25, "cm"), Q(20, "cm")).m_as("L/min") == pytest.approx(36.9, abs=0.05)
    assert o.drowned_hole_flow(Q(36, "mm"), Q(25, "cm"), Q(25, "cm")).magnitude == 0
    with pytest.raises(QuantityError, match="tail water is the lower one"):
        o.drowned_hole_flow(Q(36, "mm"), Q(20, "cm"), Q(25, "cm"))


@hand_worked(o.hole_flow)
def test_a_hole_that_is_just_full():
    # h = D: the integral of sin² cos³ over the right angle is 1/3 - 1/5 = 2/15, so Q = (8/15) cd sqrt(2 g) D^2.5, like a right-angled notch
    expected = 8 / 15 * 0.61 * FALL * 0.05**2.5 * 60_000
    assert o.hole_flow(Q(50, "mm"), Q(5, "cm")).m_as("L/min") == pytest.approx(expected, rel=1e-6)


@hand_worked(o.hole_flow)
def test_a_trickle_over_the_lowest_point():
    # h much below D: a parabola of water, Q = cd sqrt(2 g) (pi/4) h² sqrt(D)
    expected = 0.61 * FALL * math.pi / 4 * 0.0005**2 * math.sqrt(0.1) * 60_000
    assert o.hole_flow(Q(100, "mm"), Q(0.05, "cm")).m_as("L/min") == pytest.approx(expected, rel=0.002)


@hand_worked(o.hole_flow, o.orifice_flow)
def test_deep_under_water_a_hole_is_an_orifice():
    deep, plain = o.hole_flow(Q(26, "mm"), Q(61.3, "cm")), o.orifice_flow(Q(26, "mm"), Q(60, "cm"))
    assert deep.magnitude == pytest.approx(plain.magnitude, rel=1e-4)


# ------------------------------------------------------------------------------------------------------------------------ lips


@each("open_flow", "overflow standpipe lip acting as weir")
@independent(o.lip_flow, "the weir evaluated apart")
def test_standpipes(row):
    bore, head = find(r"ID ([\d.]+) in", row.inputs), find(r"lip ([\d.]+) mm", row.inputs)
    row.assert_close(o.lip_flow(Q(bore, "inch"), Q(head, "mm")), "L/min")


@published(o.lip_flow, "SharpWeir", "Lal, example 4.5: 33.02 ft3/s over 7.573 ft at 1.2 ft")
def test_a_straight_weir_of_the_same_length():
    (row,) = rows("open_flow", "suppressed rectangular weir", inputs="Cd=0.62 basic")
    bore = 7.573 / math.pi  # a lip as long as the weir's crest
    row.assert_close(o.lip_flow.plain(bore * 304.8, 1.2 * 30.48) / 60_000 / 0.3048**3)


# ------------------------------------------------------------------------------------------------------------------ full pipes


@each("open_flow", "submerged gravity drain through tank wall, flowing full")
@independent(o.full_pipe_flow, "the energy equation with fluids' friction factor")
def test_drains_running_full(row):
    bore, level = find(r"ID ([\d.]+) in", row.inputs), find(r"level ([\d.]+) m", row.inputs)
    flow = o.full_pipe_flow(Q(level, "m"), Q(bore, "inch"), Q(0.5, "m"), 0.5 + 1.0, Q(0, "mm"), Q(1.0034, "mm2/s"))
    row.assert_close(flow, "L/min")


@each("open_flow", "siphon worked example: time to siphon 4 L")
@published(o.full_pipe_flow, "CengelFluid", "example 5-7")
def test_cengel_siphon(row):
    flow = o.full_pipe_flow(Q(75, "cm"), Q(5, "mm"), Q(0, "m"), 1)  # without friction only the speed at the end is lost
    row.assert_close(4 / flow.m_as("L/min") * 60)


@each("open_flow", "siphon worked example with friction: discharge")
@published(o.full_pipe_flow, "Choudhary and Om Prakash, example 7.21, in an open transcription")
def test_choudhary_siphon(row):
    k = 0.08 * 700 / 0.1  # friction only, Darcy's f four times the book's
    row.assert_close(o.full_pipe_flow(Q(10, "m"), Q(100, "mm"), Q(0, "m"), k).m_as("L/min") / 60)


@independent(o.full_pipe_flow, "fluids: Colebrook's friction factor at the flow that is found")
@pytest.mark.parametrize("head, bore, length, k", [(3, 20, 0.5, 1.5), (12, 26.24, 2, 2.4), (60, 40, 12, 5), (150, 52, 30, 3.3)])
def test_the_head_is_used_up(head, bore, length, k):
    from fluids.friction import friction_factor

    flow = o.full_pipe_flow(Q(head, "cm"), Q(bore, "mm"), Q(length, "m"), k).m_as("L/min")
    speed = flow / 60_000 / (math.pi * (bore / 1000) ** 2 / 4)
    factor = friction_factor(Re=speed * bore / 1000 / 1.1386e-6, eD=0.03 / bore)
    assert (k + factor * length * 1000 / bore) * speed**2 / FALL**2 == pytest.approx(head / 100, rel=1e-6)


@hand_worked(o.full_pipe_flow)
def test_calm_flow_takes_the_larger_friction():
    # a thin tube: Hagen and Poiseuille with f = 64/Re, v = g h D²/(32 nu L) where the friction is all; 0.9 mm/s x 3 mm / nu: Re about 2
    flow = o.full_pipe_flow(Q(0.5, "cm"), Q(3, "mm"), Q(10, "m"), 0.5)
    speed = 9.80665 * 0.005 * 0.003**2 / (32 * 1.1386e-6 * 10)
    assert flow.m_as("L/min") == pytest.approx(speed * math.pi * 0.003**2 / 4 * 60_000, rel=1e-3)


def test_no_head_no_flow():
    assert o.full_pipe_flow(Q(0, "cm"), Q(26, "mm"), Q(1, "m"), 1.5).magnitude == 0
    with pytest.raises(QuantityError, match=r"k in outlets\.full_pipe_flow must be"):
        o.full_pipe_flow(Q(10, "cm"), Q(26, "mm"), Q(1, "m"), 0)


@settings(max_examples=60, deadline=None)
@given(bore=st.floats(5, 200), low=st.floats(0.01, 100), more=st.floats(1.001, 5), length=st.floats(0, 30), k=st.floats(0.5, 20))
def test_more_water_above_never_means_less_flow(bore, low, more, length, k):
    for flow in (lambda h: o.hole_flow.plain(bore, h), lambda h: o.lip_flow.plain(bore, h), lambda h: o.orifice_flow.plain(bore, h),
                 lambda h: o.full_pipe_flow.plain(h, bore, length, k)):
        assert flow(low * more) > flow(low) > 0
    assert o.hole_flow.plain(bore * more, low) > o.hole_flow.plain(bore, low)


# --------------------------------------------------------------------------------------------------------------------- siphons


@hand_worked(siphon.drowning_head, siphon.priming_flow, o.lip_flow, o.orifice_flow)
@pytest.mark.parametrize("bore", [12.7, 25.0, 40.0])
def test_where_a_lip_drowns(bore):
    head = siphon.drowning_head(Q(bore, "mm"))
    assert head.m_as("mm") == pytest.approx(0.375 * bore * 0.61 / 0.62)
    assert o.lip_flow(Q(bore, "mm"), head).magnitude == pytest.approx(o.orifice_flow(Q(bore, "mm"), head).magnitude)
    assert siphon.priming_flow(Q(bore, "mm")).magnitude == pytest.approx(o.lip_flow(Q(bore, "mm"), head).magnitude)


@hand_worked(siphon.priming_flow)
def test_twice_the_bore_needs_almost_six_times_the_flow():
    small, large = (siphon.priming_flow(Q(d, "mm")).magnitude for d in (20, 40))
    assert large / small == pytest.approx(2**2.5)


# ---------------------------------------------------------------------------------------------------------------- curved walls


@hand_worked(o.curved_gap)
def test_a_flat_seal_on_a_drum():
    # a chord of 6 in a circle of 10: half of it is 3, the distance to the centre 4, so the arc rises 5 - 4 = 1
    assert o.curved_gap(Q(60, "mm"), Q(10, "cm")).m_as("mm") == pytest.approx(10)
    with pytest.raises(QuantityError, match="no wider than the vessel"):
        o.curved_gap(Q(200, "mm"), Q(10, "cm"))


# --------------------------------------------------------------------------------------- two drains of 1 in against a feed of 3/4 in

DRAINS = {10: (1.73, 2.71), 20: (2.71, 6.54), 30: (4.28, 13.04)}  # L/min: level over the drains' lowest point, both open, one blocked; cm


@independent(o.hole_flow, "scipy.integrate.quad and, for one drain at 20 and 30 L/min, the orifice by hand")
@pytest.mark.parametrize("flow", DRAINS)
def test_two_one_inch_drains_against_a_three_quarter_inch_feed(flow):
    """Nothing assumed: bare holes of 1 in pipe's bore (26.24 mm), cd 0.61, free outside; each level put back into the strips by scipy."""
    for level, share in zip(DRAINS[flow], (2, 1), strict=True):
        below, above = (share * by_quadrature(0.02624, (level + by) / 100) for by in (-0.01, 0.01))
        assert below < flow < above, (below, above)
        got = share * o.hole_flow(Q(26.24, "mm"), Q(level, "cm")).m_as("L/min")
        assert got == pytest.approx(flow, rel=0.02)
    if flow > 10:  # drowned: Q/(0.61 x 5.407 cm2) is 1.011 or 1.516 m/s, v²/(2 g) 5.2 or 11.7 cm over the centre, 1.3 cm over the bottom
        speed = flow / 60_000 / (0.61 * math.pi * 0.02624**2 / 4)
        assert DRAINS[flow][1] == pytest.approx(100 * speed**2 / FALL**2 + 1.312, abs=0.06)
    assert pipes.velocity(Q(flow, "L/min"), Q(20.57, "mm")).m_as("m/s") < 1.51  # the feed: 3/4 in, bore 20.57 mm


def test_arrays_are_for_pictures_only():
    assert np.isfinite([o.hole_flow.plain(26, h) for h in np.linspace(0, 50, 11).tolist()]).all()
