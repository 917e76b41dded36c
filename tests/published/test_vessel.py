"""What a vessel holds, what media keep of the water, how long it stays, what it weighs: worked arithmetic and other people's programs."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pondwright.science import vessel as v
from pondwright.tables import load
from pondwright.units import Q, QuantityError
from tests.grades import hand_worked, independent

from .reference import each


@hand_worked(v.filled_volume)
@pytest.mark.parametrize(
    "level, cone, litres",
    [
        (0.9, 0.0, 225),  # 0.25 x 0.9
        (0.9, 0.3, 175),  # cone 0.25 x 0.3/3 = 0.025, above it 0.25 x 0.6 = 0.15
        (0.15, 0.3, 3.125),  # half the cone's height is an eighth of its volume: 25/8
        (0.3, 0.3, 25),
        (0.0, 0.3, 0),
    ],
)
def test_volume_up_to_a_level(level, cone, litres):
    assert v.filled_volume(Q(level, "m"), Q(0.25, "m2"), Q(cone, "m")).m_as("L") == pytest.approx(litres)


@independent(v.filled_volume, "scipy.integrate.quad over the slices")
def test_a_cone_is_the_sum_of_its_slices():
    from scipy.integrate import quad

    slices, _ = quad(lambda z: 0.3 * min(z / 0.4, 1.0) ** 2, 0, 0.75, points=[0.4])
    assert v.filled_volume(Q(0.75, "m"), Q(0.3, "m2"), Q(0.4, "m")).m_as("m**3") == pytest.approx(slices, rel=1e-9)


@given(st.floats(0.01, 0.6), st.lists(st.floats(0, 1), min_size=2, max_size=6))
def test_more_level_never_means_less_water(cone, levels):
    volumes = v.filled_volume(Q(np.sort(levels), "m"), Q(0.2, "m2"), Q(cone, "m")).m
    assert np.all(np.diff(volumes) >= -1e-12)


@each("media", "^sphere-bed")
@hand_worked(v.equivalent_diameter)
def test_the_balls_of_a_bed(row):
    size = v.equivalent_diameter(Q(row.value, "m2/m3"), row.given()["eps"]).m_as("mm")
    assert size == pytest.approx(row.given()["d_mm"], rel=row.margin() / row.value)


@hand_worked(v.static_holdup)
def test_static_holdup():
    # 6 mm balls, 0.4 open: E = 1000 x 9.80665 x 36e-6 x 0.16/(0.0727 x 0.36) = 2.158; 1/(20 + 1.942) = 0.0456
    assert float(v.static_holdup(Q(6, "mm"), 0.4).m) == pytest.approx(0.0456, abs=0.00005)
    # tiny balls: capillary forces rule, E is nothing, and the share is its greatest, 1/20
    assert float(v.static_holdup(Q(0.01, "mm"), 0.4).m) == pytest.approx(0.05, rel=1e-3)


def test_coarse_beds_hold_less_than_fine_ones():
    sizes = [float(v.static_holdup(Q(d, "mm"), 0.45).m) for d in (2, 5, 10, 30)]
    assert sizes == sorted(sizes, reverse=True)


@independent(v.running_holdup, "fluids 1.3.1, Stichlmair_wet: the wet pressure drop there contains the same holdup")
def test_holdup_against_stichlmair_in_fluids():
    """fluids solves for the wet pressure drop, whose dry part is scaled by the holdup; without gas drag both give the same h."""
    from fluids.packed_tower import Stichlmair_dry, Stichlmair_wet

    gas = {"Vg": 0.4, "rhog": 1.2, "mug": 5e-5, "voidage": 0.68, "specific_area": 260.0, "C1": 32.0, "C2": 7.0, "C3": 1.0}
    wet = Stichlmair_wet(**gas, Vl=0.005, rhol=1200.0, H=1.0)
    dry = Stichlmair_dry(**gas, H=1.0)
    hold = 0.555 * (260.0 * 0.005**2 / (9.80665 * 0.68**4.65)) ** (1 / 3)  # what the library's source writes, evaluated
    ours = v.running_holdup(Q(0.005 * 86_400, "m3/m2/d"), Q(260, "m2/m3"), 0.68, method="Stichlmair1989").m
    assert ours == pytest.approx(hold, rel=1e-6)
    # the library's own equation: dP_wet/dP_dry = ((1 - e + h_T)/(1 - e))^((2 + c)/3) (1 - h_T/e)^-4.65, h_T = h (1 + 20 (dP/(H rho g))²)
    total = hold * (1 + 20 * (wet / (1200 * 9.80665)) ** 2)
    reynolds = 0.4 * (6 * (1 - 0.68) / 260) * 1.2 / 5e-5
    friction = 32.0 / reynolds + 7.0 / reynolds**0.5 + 1.0
    slope = (-32.0 / reynolds - 7.0 / (2 * reynolds**0.5)) / friction
    ratio = ((1 - 0.68 + total) / (1 - 0.68)) ** ((2 + slope) / 3) * (1 - total / 0.68) ** -4.65
    assert wet / dry == pytest.approx(ratio, rel=1e-3)


@hand_worked(v.running_holdup)
def test_films_on_walls():
    # 100 m3/m2 a day is 1.1574e-3 m/s; v = 1.139e-6 m2/s at 15 degC; a = 200 m2/m3
    # Nusselt: (3 x 1.139e-6 x 1.1574e-3 x 4e4/9.80665)^(1/3) = (1.6131e-5)^(1/3) = 0.02527; with 12 for 3, times 4^(1/3) = 1.5874
    given = Q(100, "m3/m2/d"), Q(200, "m2/m3"), 0.9, Q(15, "degC")
    nusselt, billet = (float(v.running_holdup(*given, method=m).m) for m in ("Nusselt1916", "BilletSchultes1999"))
    assert nusselt == pytest.approx(0.02527, rel=2e-3)
    assert billet / nusselt == pytest.approx(1.5874, abs=1e-4)


@hand_worked(v.film_water)
def test_a_film():
    # 200 m2/m3 x 0.0003 m = 6 %
    assert float(v.film_water(Q(200, "m2/m3"), Q(0.3, "mm"), 0.42).m) == pytest.approx(0.06)
    # sand of 10 000 m2/m3: 0.6 mm would be six times the bed; the gaps are what there is
    assert float(v.film_water(Q(10_000, "m2/m3"), Q(0.6, "mm"), 0.4).m) == pytest.approx(0.4)


@pytest.mark.parametrize("row", load("media").rows, ids=lambda r: r["key"])
def test_no_media_keeps_more_water_than_it_has_room_for(row):
    for end in ("low", "typical", "high"):
        clean = float(v.static_holdup(v.equivalent_diameter(row[f"ssa_{end}"], row["void_fraction"]), row["void_fraction"]).m)
        assert 0 < clean <= 0.05 < row["void_fraction"].m


@hand_worked(v.contact_time)
def test_contact_time():
    # 150 L / 25 L/min
    assert v.contact_time(Q(150, "L"), Q(25, "L/min")).m_as("min") == pytest.approx(6)


@independent(v.mass_on_stand, "CoolProp, IAPWS-95, for the density at 10 degC")
def test_mass_on_the_stand():
    from CoolProp.CoolProp import PropsSI

    water = PropsSI("D", "T", 283.15, "P", 101325, "Water") * 0.14
    assert v.mass_on_stand(Q(130, "kg"), Q(140, "L")).m_as("kg") == pytest.approx(130 + water, rel=1e-3)


def test_a_vessel_without_a_floor_is_refused():
    with pytest.raises(QuantityError, match="area in vessel.filled_volume"):
        v.filled_volume(Q(1, "m"), Q(0, "m2"))
    assert math.isfinite(v.filled_volume(Q(0, "m"), Q(1, "m2")).m)
