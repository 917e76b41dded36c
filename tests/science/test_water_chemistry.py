"""What must hold for any water: inverse formulas undo each other, mass balances close, US readings give what metric ones give."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pondwright.science import alkalinity as al
from pondwright.science import ammonia as a
from pondwright.science import carbonate as c
from pondwright.science import dosing as d
from pondwright.units import Q

PH, WARMTH, ALKALINITY = st.floats(5.5, 10), st.floats(0, 35), st.floats(10, 400)
SHARE, LEVEL, LITRES = st.floats(1, 90), st.floats(0.01, 500), st.floats(10, 1e6)


def mg(value):
    return Q(value, "mg/L")


@settings(max_examples=60, deadline=None)
@given(PH, ALKALINITY, WARMTH, st.floats(0, 50))
def test_ph_comes_back_from_its_carbon(ph, alkalinity, warmth, ions):
    if c.carbon_dioxide.plain(ph, alkalinity, warmth, ions) <= 1e-3:
        return  # no such water, or next to no carbon dioxide
    carbon = c.total_carbon(ph, mg(alkalinity), Q(warmth, "degC"), Q(ions, "mmol/L"))
    gas = c.carbon_dioxide(ph, mg(alkalinity), Q(warmth, "degC"), Q(ions, "mmol/L"))
    assert float(c.ph_of_carbon(mg(alkalinity), carbon, Q(warmth, "degC"), Q(ions, "mmol/L")).m) == pytest.approx(ph, abs=1e-4)
    assert float(c.ph_of_carbon_dioxide(mg(alkalinity), gas, Q(warmth, "degC"), Q(ions, "mmol/L")).m) == pytest.approx(ph, abs=1e-4)


@settings(max_examples=60, deadline=None)
@given(PH, ALKALINITY, WARMTH, st.floats(1, 100))
def test_bicarbonate_never_overshoots_its_own_ph(ph, alkalinity, warmth, rise):
    if c.carbon_dioxide.plain(ph, alkalinity, warmth, 0.0) <= 1e-3:
        return
    after = float(c.ph_after_bicarbonate(ph, mg(alkalinity), mg(rise), Q(warmth, "degC")).m)
    pure = float(c.ph_after_bicarbonate(8.3, mg(1), mg(500), Q(warmth, "degC")).m)  # water of hardly anything but bicarbonate
    assert min(ph, pure) - 0.1 <= after <= max(ph, pure) + 0.1


@given(LEVEL, LEVEL, SHARE, st.integers(0, 30))
def test_a_water_change_makes_and_loses_nothing(start, source, share, times):
    level = start
    for _ in range(times):  # one bucket out, one bucket in
        level = level * (1 - share / 100) + source * share / 100
    assert d.after_changes(mg(start), mg(source), Q(share, "%"), times).m_as("mg/L") == pytest.approx(level, rel=1e-9)


@given(st.floats(20, 500), st.floats(0, 5), SHARE, st.integers(1, 12))
def test_the_number_of_changes_comes_back(start, source, share, times):
    target = d.after_changes(mg(start), mg(source), Q(share, "%"), times)
    if (target.m - source) / (start - source) < 1e-9:
        return  # nothing but new water is left
    assert float(d.changes_needed(mg(start), target, mg(source), Q(share, "%")).m) == pytest.approx(times, rel=1e-5)


@given(st.floats(0.1, 100), LITRES)
def test_a_dose_gives_what_it_was_weighed_for(rise, litres):
    mass = al.alkali_dose(mg(rise), Q(litres, "L"))
    assert al.alkalinity_gained(mass, Q(litres, "L")).m_as("mg/L") == pytest.approx(rise, rel=1e-9)
    salt = d.salt_for_chloride(mg(rise), Q(litres, "L"))
    assert d.chloride_of_salt(salt / Q(litres, "L")).m_as("mg/L") == pytest.approx(rise, rel=1e-9)


@given(st.floats(0.05, 5), PH, WARMTH, LITRES)
def test_us_readings_give_the_same(tan, ph, warmth, litres):
    metric, warm = Q(litres, "L"), Q(warmth, "degC")
    us, fahrenheit = metric.to(Q(1, "US gal").units), warm.to(Q(1, "degF").units)
    assert a.unionized_ammonia(mg(tan), ph, fahrenheit).m == pytest.approx(a.unionized_ammonia(mg(tan), ph, warm).m, rel=1e-9)
    assert al.alkali_dose(mg(20), us).m_as("g") == pytest.approx(al.alkali_dose(mg(20), metric).m_as("g"), rel=1e-9)
    assert d.chlorine_remover(mg(1), us).m_as("g") == pytest.approx(d.chlorine_remover(mg(1), metric).m_as("g"), rel=1e-9)


@given(st.floats(0.01, 5), PH, WARMTH)
def test_the_poison_is_never_more_than_the_whole(tan, ph, warmth):
    part = a.unionized_ammonia(mg(tan), ph, Q(warmth, "degC")).m
    assert 0 < part < tan
    assert a.unionized_ammonia(mg(tan), min(ph + 0.1, 14), Q(warmth, "degC")).m > part
