"""Density and viscosity of water against international formulations and textbooks."""
from __future__ import annotations

import pytest

from pondwright.science import water_properties as w
from pondwright.units import Q, QuantityError
from tests.grades import independent, published

from .reference import each


def _celsius(row):
    """Read the temperature; "0 C" was evaluated at 0.01 °C, the triple point."""
    return Q(row.numbers()[0] or 0.01, "degC")


@each("water", "^density of water$")
@independent(w.density, "CoolProp, IAPWS-95; iapws, IAPWS-IF97")
def test_density(row):
    row.assert_close(w.density(_celsius(row)), "kg/m3")


@each("water", "^maximum density$")
@independent(w.density, "CoolProp, IAPWS-95")
def test_densest_at_four_degrees(row):
    row.assert_close(w.density(_celsius(row)), "kg/m3")
    below, above = (w.density(Q(t, "degC")).magnitude for t in (2.9, 5.1))
    assert below < row.value > above


@each("water", "^dynamic viscosity of water$")
@independent(w.dynamic_viscosity, "CoolProp and iapws, IAPWS R12-08")
def test_dynamic_viscosity(row):
    row.assert_close(w.dynamic_viscosity(_celsius(row)), "mPa_s")


@each("water", "^kinematic viscosity of water$")
@independent(w.kinematic_viscosity, "CoolProp, IAPWS-95 and R12-08")
def test_kinematic_viscosity(row):
    row.assert_close(w.kinematic_viscosity(_celsius(row)), "mm2/s")


@each("water", "^textbook viscosity$", source="Cengel")
@published(w.dynamic_viscosity, "CengelFluid", "data of examples 8-2, 8-3, 8-8")
def test_viscosity_in_a_textbook(row):
    row.assert_close(w.dynamic_viscosity(_celsius(row)), "mPa_s")


@each("water", "^textbook viscosity$", source="Munson")
@published(w.dynamic_viscosity, "MunsonFluid", "data of example 8.1")
def test_viscosity_in_us_units(row):
    mu = w.dynamic_viscosity(Q(row.numbers()[0], "degF"))
    row.assert_close(float(mu.m_as("force_pound * second / foot ** 2")))


@independent(w.density, w.dynamic_viscosity, w.kinematic_viscosity, "CoolProp at every degree, 1 to 40 °C")
def test_whole_range_against_coolprop():
    from CoolProp.CoolProp import PropsSI

    for celsius in range(1, 41):
        at = ("T", celsius + 273.15, "P", 101325, "Water")
        rho, mu = PropsSI("D", *at), PropsSI("V", *at)
        assert w.density(Q(celsius, "degC")).m_as("kg/m**3") == pytest.approx(rho, abs=0.01)
        assert w.dynamic_viscosity(Q(celsius, "degC")).m_as("Pa*s") == pytest.approx(mu, rel=1e-3)
        assert w.kinematic_viscosity(Q(celsius, "degC")).m_as("m**2/s") == pytest.approx(mu / rho, rel=1e-3)


def test_ice_is_refused():
    with pytest.raises(QuantityError, match="temperature in water_properties.density must be 0 to 100 degC; -3 is not possible"):
        w.density(Q(-3, "degC"))
