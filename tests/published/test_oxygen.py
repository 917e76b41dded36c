"""Oxygen in water against printed tables, other libraries and worked arithmetic."""
from __future__ import annotations

import math

import numpy as np
import pytest

from pondwright.science import oxygen as o
from pondwright.units import Q, QuantityError, tracing
from tests.grades import hand_worked, independent, published

from .reference import each


def saturation(*, T_C, S=0.0, P_atm=1.0, alt_m=None):
    """Call with the names that the value files use; ranges are no concern of a comparison."""
    with tracing():
        pressure = Q(P_atm * 101.325, "kPa") if alt_m is None else o.air_pressure(Q(alt_m, "m"))
        return o.oxygen_saturation(Q(T_C, "degC"), S, pressure)


# ------------------------------------------------------------------------------------------------------------------ saturation


@each("oxygen", r"^DO saturation, 1 atm moist air")
@independent(o.oxygen_saturation, "the equations of Benson & Krause 1984, evaluated outside this package")
def test_saturation_with_salt(row):
    row.assert_close(saturation(**row.given()))


@each("oxygen", r"printed standard table")
@published(o.oxygen_saturation, "ISO 5814, annex table")
def test_saturation_iso_table(row):
    assert saturation(**row.given()).m_as("mg/L") == pytest.approx(row.value, abs=0.005)  # half the last printed digit


@each("oxygen", r"TEOS-10")
@independent(o.oxygen_saturation, "gsw 3.6.23 O2sol_SP_pt (Garcia & Gordon), the stored values")
def test_saturation_stored_gsw(row):
    row.assert_close(saturation(**row.given()))


@independent(o.oxygen_saturation, "gsw, called here")
@pytest.mark.parametrize("salinity", [0, 5, 15, 30])
@pytest.mark.parametrize("celsius", [1, 7, 13, 19, 26, 33])
def test_saturation_gsw(celsius, salinity):
    import gsw

    # umol/kg times the density at the surface and 31.9988 g/mol; the two fits agree within 0.01 mg/L, as the stored rows allow
    density = gsw.rho(gsw.SA_from_SP(salinity, 0, 0, 50), gsw.CT_from_pt(salinity, celsius), 0)
    expected = float(gsw.O2sol_SP_pt(salinity, celsius)) * 31.9988 * density * 1e-6
    assert saturation(T_C=celsius, S=salinity).m_as("mg/L") == pytest.approx(expected, abs=0.01)


@each("oxygen", r"engineering handbook page")
def test_saturation_handbook(row):
    """An engineering handbook's page runs up to 2 % low; agreement within the file's tolerance, so no grade."""
    row.assert_close(saturation(**row.given()))


@each("oxygen", r"by elevation \(printed")
def test_saturation_by_elevation_printed(row):
    """A table printed beside that of ISO 5814 sits up to 2 % above the standard atmosphere at 1800 m; no grade."""
    row.assert_close(saturation(**row.given()))


@each("oxygen", r"^DO saturation at altitude")
@independent(o.oxygen_saturation, o.air_pressure, "Benson & Krause 1984 in the standard atmosphere, evaluated outside")
def test_saturation_at_altitude(row):
    row.assert_close(saturation(**row.given()))


@each("design_examples", "altitude effect")
@independent(o.oxygen_saturation, o.air_pressure, "Benson & Krause 1984 in the standard atmosphere, evaluated outside")
def test_saturation_in_the_hills(row):
    given = row.given()
    row.assert_close(saturation(T_C=given["T"], alt_m=given["alt"]))


@each("oxygen", "^same example recomputed")
@independent(o.oxygen_saturation, "example 2 of APHA 4500-O:I, recomputed outside this package")
def test_saturation_at_low_pressure(row):
    row.assert_close(saturation(**row.given()))


@each("oxygen", r"older \(pre-1980 lineage\)")
def test_saturation_older_table(row):
    """Table 3 of a field test kit's handbook, an older lineage, up to 0.15 mg/L higher; no grade."""
    given = row.given()
    row.assert_close(saturation(T_C=given["T_C"], P_atm=given["P_mmHg"] / 760))


@each("oxygen", "linear salinity correction")
def test_salt_slope(row):
    """ISO 5814 prints one straight slope for each temperature, the file compares it with that at 10 g/kg within 12 %; no grade."""
    celsius = row.given()["T_C"]
    slope = (saturation(T_C=celsius, S=9.5) - saturation(T_C=celsius, S=10.5)).m_as("mg/L")  # over 1 g/kg
    row.assert_close(float(slope))


@each("aeration", "^DO saturation fresh water")
@independent(o.oxygen_saturation, "gsw and IAPWS density, the stored values")
def test_saturation_stored_gsw_fresh(row):
    row.assert_close(saturation(T_C=row.numbers()[0]))


@each("oxygen", "^water vapour pressure")
@independent(o.oxygen_saturation, "CoolProp, IAPWS-95")
def test_vapour_pressure_inside(row):
    # C(P) is nearly P - w, so two pressures give w: C(p)/C(1) = (p - w)(1 - q p)/((1 - w)(1 - q)) with q = 0.000975 - ...
    celsius = row.given()["T_C"]
    q = 0.000975 - 1.426e-5 * celsius + 6.436e-8 * celsius**2
    ratio = (saturation(T_C=celsius, P_atm=0.7) / saturation(T_C=celsius)).m_as("") * (1 - q) / (1 - 0.7 * q)
    row.assert_close((0.7 - ratio) / (1 - ratio))


@published(o.oxygen_saturation, "BoydHanson2010: half of saturation at 26 degC is about 4 mg/L")
def test_half_saturation_is_about_four():
    assert saturation(T_C=26).m_as("mg/L") / 2 == pytest.approx(4, abs=0.5)  # printed without decimals


def test_saturation_takes_an_array_and_falls_with_warmth():
    values = o.oxygen_saturation(Q(np.arange(0, 41.0), "degC")).magnitude
    assert values.shape == (41,) and np.all(np.diff(values) < 0)


@each("oxygen", "^standard-atmosphere pressure")
@independent(o.air_pressure, "the equation of ISO 2533, evaluated outside this package")
def test_air_pressure(row):
    row.assert_close(o.air_pressure(Q(row.given()["alt_m"], "m")))


@independent(o.air_pressure, "fluids.ATMOSPHERE_1976")
@pytest.mark.parametrize("metres", [-100, 0, 250, 800, 1600, 2600, 4000])
def test_air_pressure_fluids(metres):
    from fluids import ATMOSPHERE_1976

    # fluids uses geopotential height, at most 0.1 % different below 4 km
    assert o.air_pressure(Q(metres, "m")).m_as("Pa") == pytest.approx(ATMOSPHERE_1976(metres).P, rel=1e-3)


# --------------------------------------------------------------------------------------------------- what comes and what goes


@each("aeration", r"KL20 by Gelda")
@hand_worked(o.surface_transfer)
def test_transfer_gelda(row):
    # 0.2 x 1, 0.2 x 2 and 0.2 x 3 m/d
    row.assert_close(o.surface_transfer(Q(row.given()["U10"], "m/s"), Q(20, "degC")))


@each("aeration", "^lake oxygen transfer coefficient")
@published(o.surface_transfer, "Gelda and others 1996, abstract: 0.2 U up to 3.5 m/s, 0.057 U2 above")
def test_transfer_gelda_as_printed(row):
    printed, power = float(row.expected.split()[0]), 2 if "^2" in row.expected else 1
    for wind in (1.0, 3.5) if power == 1 else (3.6, 8.0):
        got = o.surface_transfer(Q(wind, "m/s"), Q(20, "degC")).m_as("m/d") / wind**power
        assert got == pytest.approx(printed, abs=0.0005)


def test_the_two_branches_of_the_wind_meet():
    # at 3.5 m/s: 0.700 and 0.698
    assert o.surface_transfer(Q(3.5, "m/s"), Q(20, "degC")).m_as("m/d") == pytest.approx(0.057 * 3.5**2, rel=0.005)


@hand_worked(o.surface_transfer)
def test_transfer_banks():
    # 0.728 x 2 - 0.317 x 4 + 0.0372 x 16 at 4 m/s; the equation itself is from memory
    got = o.surface_transfer(Q(4, "m/s"), Q(20, "degC"), method="Banks1977").m_as("m/d")
    assert got == pytest.approx(1.456 - 1.268 + 0.5952, rel=1e-9)


@hand_worked(o.surface_transfer, o.muck_demand)
def test_temperature_factors():
    # 1.024^5 = 1.1259, 1.065^-10 = 0.5327
    assert o.surface_transfer(Q(2, "m/s"), Q(25, "degC")).m_as("m/d") == pytest.approx(0.4 * 1.1259, rel=1e-4)
    assert o.muck_demand(Q(2, "g/m2/d"), Q(10, "degC")).m_as("g/m**2/day") == pytest.approx(2 * 0.5327, rel=1e-4)


@published(o.surface_transfer, "stream-model documentation: theta 1.024 takes 11 % off at 15 degC (Elmore & West 1961)")
def test_transfer_at_15_degrees():
    ratio = o.surface_transfer(Q(2, "m/s"), Q(15, "degC")) / o.surface_transfer(Q(2, "m/s"), Q(20, "degC"))
    assert 1 - ratio.m_as("") == pytest.approx(0.11, abs=0.005)


@hand_worked(o.oxygen_use)
def test_use_is_a_sum():
    # 0.3 + 0.06 g/h of fish and bacteria; muck 2.4 g/m2/d on 8 m2 = 0.8 g/h, and half as much again in the water: 1.56 g/h in 6 m3
    got = o.oxygen_use(Q(0.3, "g/h"), Q(60, "mg/h"), Q(2.4, "g/m2/d"), Q(8, "m2"), 0.5, Q(6000, "L"))
    assert got.m_as("mg/L/hour") == pytest.approx(1.56 / 6, rel=1e-12)


# -------------------------------------------------------------------------------------------------------------- the dark hours

NIGHTS = [(8.0, 9.0, 0.48, 1.0, 0.40), (6.5, 8.7, 0.20, 0.6, 0.25), (9.5, 8.2, 0.70, 2.0, 0.30), (7.0, 8.7, 0.40, 0.4, 0.05)]


def night(start, cs, transfer, depth, use):
    return {"start": Q(start, "mg/L"), "saturation": Q(cs, "mg/L"), "transfer": Q(transfer, "m/d"), "depth": Q(depth, "m"),
            "use": Q(use, "mg/L/h")}


@independent(o.oxygen_after, "scipy.integrate.solve_ivp on the differential equation")
@pytest.mark.parametrize("values", NIGHTS)
def test_level_against_an_integrator(values):
    from scipy.integrate import solve_ivp

    start, cs, transfer, depth, use = values
    hours = np.array([1.0, 4.0, 8.0, 14.0])
    run = solve_ivp(lambda t, c: transfer / 24 / depth * (cs - c) - use, (0, 14), [start], t_eval=hours, rtol=1e-10, atol=1e-12)
    got = o.oxygen_after(**night(*values), time=Q(hours, "h")).m_as("mg/L")
    assert got == pytest.approx(np.maximum(run.y[0], 0), abs=1e-7)


@independent(o.hours_to_level, "scipy.optimize.brentq on an integrated curve")
@pytest.mark.parametrize("values", NIGHTS[:3])
def test_hours_against_a_root_finder(values):
    from scipy.integrate import solve_ivp
    from scipy.optimize import brentq

    start, cs, transfer, depth, use = values

    def level(t):
        return solve_ivp(lambda _, c: transfer / 24 / depth * (cs - c) - use, (0, t), [start], rtol=1e-10, atol=1e-12).y[0, -1] - 4

    assert o.hours_to_level(**night(*values), limit=Q(4, "mg/L")).m_as("h") == pytest.approx(brentq(level, 0.1, 160), rel=1e-6)


@hand_worked(o.hours_to_level, o.oxygen_after, o.allowed_use)
def test_without_a_surface_the_level_falls_in_a_straight_line():
    # from 8 to 4 mg/L at 0.5 mg/L an hour: 8 h; after 3 h 6.5; over 10 h 0.4 is allowed
    still = {"start": Q(8, "mg/L"), "saturation": Q(9, "mg/L"), "transfer": Q(0, "m/d"), "depth": Q(1, "m")}
    assert o.hours_to_level(**still, limit=Q(4, "mg/L"), use=Q(0.5, "mg/L/h")).m_as("h") == pytest.approx(8, rel=1e-6)
    assert o.oxygen_after(**still, use=Q(0.5, "mg/L/h"), time=Q(3, "h")).m_as("mg/L") == pytest.approx(6.5, rel=1e-6)
    assert o.allowed_use(**still, limit=Q(4, "mg/L"), time=Q(10, "h")).m_as("mg/L/hour") == pytest.approx(0.4, rel=1e-6)


@hand_worked(o.hours_to_level)
def test_half_life():
    # k = 0.24 m/d / 1 m / 24 = 0.01 per hour; use 0.05 so the level heads for 9 - 5 = 4; limit 6 lies half-way from 8: ln 2/0.01
    got = o.hours_to_level(Q(8, "mg/L"), Q(6, "mg/L"), Q(9, "mg/L"), Q(0.24, "m/d"), Q(1, "m"), Q(0.05, "mg/L/h"))
    assert got.m_as("h") == pytest.approx(math.log(2) / 0.01, rel=1e-9)


@hand_worked(o.hours_to_level)
def test_never_and_already():
    # k (9 - 4) = 0.05 mg/L/h comes in at the limit: more than the 0.04 used, so never; a start at 3.9 is already too low
    common = (Q(4, "mg/L"), Q(9, "mg/L"), Q(0.24, "m/d"), Q(1, "m"), Q(0.04, "mg/L/h"))
    assert o.hours_to_level(Q(8, "mg/L"), *common).m_as("h") == 168
    assert o.hours_to_level(Q(8, "mg/L"), *common, longest=Q(2, "d")).m_as("h") == pytest.approx(48)
    assert o.hours_to_level(Q(3.9, "mg/L"), *common).m_as("h") == 0


@hand_worked(o.allowed_use)
def test_allowed_use_at_the_half_life():
    # k = 0.24 m/d / 1 m / 24 = 0.01 per hour; after ln 2/k = 69.31 h half of the way is gone: from 8 to 6 the level heads for 4, which is
    # C_s - D/k = 9 - D/0.01, so D = 0.05 mg/L/h; the level of 4 would take it to 0, D = 0.09
    place = {"start": Q(8, "mg/L"), "saturation": Q(9, "mg/L"), "transfer": Q(0.24, "m/d"), "depth": Q(1, "m"), "time": Q(69.3147, "h")}
    assert o.allowed_use(**place, limit=Q(6, "mg/L")).m_as("mg/L/hour") == pytest.approx(0.05, rel=1e-5)
    assert o.allowed_use(**place, limit=Q(4, "mg/L")).m_as("mg/L/hour") == pytest.approx(0.09, rel=1e-5)


@independent(o.allowed_use, "scipy: solve_ivp on the differential equation, brentq on the use")
@pytest.mark.parametrize("hours", [3, 10, 24, 72])
def test_what_is_allowed_just_lasts(hours):
    from scipy.integrate import solve_ivp
    from scipy.optimize import brentq

    start, limit, full, transfer, depth = 7.5, 4.0, 8.9, 0.3, 0.9

    def left(use):
        run = solve_ivp(lambda _, c: transfer / 24 / depth * (full - c) - use, (0, hours), [start], rtol=1e-10, atol=1e-12)
        return run.y[0, -1] - limit

    place = {"start": Q(start, "mg/L"), "limit": Q(limit, "mg/L"), "saturation": Q(full, "mg/L"), "transfer": Q(transfer, "m/d")}
    got = o.allowed_use(**place, depth=Q(depth, "m"), time=Q(hours, "h")).m_as("mg/L/hour")
    assert got == pytest.approx(brentq(left, 0.0, 5.0), rel=1e-6)


def test_arrays_go_through():
    use = Q(np.array([0.01, 0.2, 0.4]), "mg/L/h")
    hours = o.hours_to_level(Q(8, "mg/L"), Q(4, "mg/L"), Q(9, "mg/L"), Q(0.24, "m/d"), Q(1, "m"), use).magnitude
    assert hours[0] == 168 and hours[1] > hours[2] > 0


def test_boiling_water_is_refused():
    with pytest.raises(QuantityError, match="temperature in oxygen.oxygen_saturation must be -2 to 50 degC; 90 is not possible"):
        o.oxygen_saturation(Q(90, "degC"))
