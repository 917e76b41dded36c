"""Fish and ice against published relations, printed examples and worked arithmetic."""
from __future__ import annotations

import math

import numpy as np
import pytest

from pondwright.science import fish as f
from pondwright.science import heat as h
from pondwright.units import Q, QuantityError, tracing
from tests.grades import common_practice, hand_worked, independent, published

from .reference import each, rows

# ------------------------------------------------------------------------------------------------------------------ what they weigh


@each("fish", "^standard weight common carp")
@independent(f.carp_mass, "the equation of Bister and others 2000, evaluated outside this package")
def test_standard_weight(row):
    row.assert_close(f.carp_mass(Q(row.given()["TL_mm"], "mm")))


@each("fish", "^standard-weight constants common carp")
@published(f.carp_mass, "Bister and others 2000, the two constants as printed (FSA, data-raw/WSlit.csv)")
def test_the_printed_constants_come_back(row):
    intercept, slope = (float(x) for x in row.expected.split(";"))
    small, large = (math.log10(f.carp_mass(Q(mm, "mm")).m_as("g")) for mm in (200, 1000))
    got = (large - small) / (3 - math.log10(200))
    assert got == pytest.approx(slope, abs=0.0005) and large - 3 * got == pytest.approx(intercept, abs=0.0005)


@hand_worked(f.carp_mass)
@pytest.mark.parametrize("inches", [8, 11, 16, 21, 26, 33])  # 11 to 33 in are the published size classes of common carp
def test_standard_weight_in_english_units(inches):
    # the form for inches and pounds is printed as log10 W = -3.194 + 2.920 log10 L; both intercepts end at the third decimal, so their
    # rounding lets the logarithms differ by at most 0.0005 + 0.0005
    expected = -3.194 + 2.920 * math.log10(inches)
    assert math.log10(f.carp_mass(Q(inches, "in")).m_as("lb")) == pytest.approx(expected, abs=0.001)


@pytest.mark.parametrize("method", ["Bister2000", "FishBase"])
def test_the_exponent_is_that_of_a_fish(method):
    """Froese 2006: 2.5 to 3.5 in all fish."""
    double = f.carp_mass(Q(60, "cm"), method=method) / f.carp_mass(Q(30, "cm"), method=method)
    assert 2.5 < math.log2(double.m_as("")) < 3.5


@hand_worked(f.carp_mass)
def test_rival_relation():
    # 0.0148 x 10^3.02 = 0.0148 x 1047.1 = 15.5 g; a goldfish half as stout again weighs 23.2 g
    with tracing():
        assert f.carp_mass(Q(10, "cm"), method="FishBase").m_as("g") == pytest.approx(15.5, abs=0.05)
        assert f.carp_mass(Q(10, "cm"), 1.5, method="FishBase").m_as("g") == pytest.approx(23.25, abs=0.05)


def test_stoutness_of_goldfish():
    """USGS SIR 2005-5041: goldfish generally reach 15 to 20 cm and 100 to 300 g; a range, so no grade."""
    from pondwright.tables import coefficients

    stout = coefficients()["stoutness_goldfish"]
    with tracing():
        as_a_carp = f.carp_mass(Q(15, "cm")).m_as("g")
    # a slender young fish weighs what a carp does; 100 g at 15 cm is 1.9 times that; 300 g at 20 cm (2.5 times) is a fat fish, beyond
    assert stout.low.m_as("") <= 1 < 100 / as_a_carp <= stout.high.m_as("")


def test_small_fish_are_marked_as_extrapolated():
    with tracing() as uses:
        f.carp_mass(Q(12, "cm"))
    assert str(uses[0].extrapolations[0]) == "fish.carp_mass: length = 12 cm lies outside at least 20 cm (Bister2000)"


def test_a_range_belongs_to_the_source_that_set_it():
    """The rival relations were made from other fish: their numbers carry no mark of another's range."""
    with tracing() as uses:
        f.carp_mass(Q(12, "cm"), method="FishBase")
        f.respiration_rate(Q(100, "g"), Q(12, "degC"), method="CookeHill2010")
        f.respiration_rate(Q(100, "g"), Q(12, "degC"))
        f.feed_by_temperature(Q(1, "kg"), Q(33, "degC"), Q(8, "degC"))
    assert [[e.sources for e in use.extrapolations] for use in uses] == [[], [], [("Yamanaka2013",)] * 2, [("Goolish1984",)]]


@hand_worked(f.total_mass)
def test_biomass():
    # 14 x 40 + 6 x 90 = 1100; with a second try of half the mass 550
    assert f.total_mass(Q([14, 6], "fish"), Q([40, 90], "g")).m_as("g") == 1100
    both = f.total_mass(Q([14, 6], "fish"), Q([[40, 20], [90, 45]], "g"))
    assert both.m_as("g") == pytest.approx([1100, 550])


# ------------------------------------------------------------------------------------------------------------------ what they breathe


@each("fish", r"^routine respiration \(crucian carp\)")
@independent(f.respiration_rate, "the law of Yamanaka and others 2013, evaluated outside this package")
def test_routine_respiration(row):
    given = row.given()
    row.assert_close(f.respiration_rate(Q(given["W_g"], "g"), Q(given["T_C"], "degC")), "mg/kg/h")


@each("fish", "^routine respiration law constants")
@published(f.respiration_rate, "Yamanaka and others 2013, abstract: the three constants as printed")
def test_the_printed_law_comes_back(row):
    scale, mass_power, warming = (float(x) for x in row.expected.split(";"))

    def rate(grams, celsius):
        return f.respiration_rate(Q(grams, "g"), Q(celsius, "degC")).m_as("g/kg/hour")

    assert math.log10(rate(10, 20) / rate(1, 20)) == pytest.approx(mass_power, abs=0.0005)
    assert math.log(rate(1, 30) / rate(1, 20)) / 10 == pytest.approx(warming, abs=0.00005)
    assert rate(1, 20) / math.exp(20 * warming) == pytest.approx(scale, abs=0.00005)


@each("fish", "^Q10 implied")
@hand_worked(f.respiration_rate)
def test_ten_degrees_warmer(row):
    # e^(0.0562 x 10) = e^0.562 = 1.754
    warm, cool = (f.respiration_rate(Q(5, "g"), Q(t, "degC")) for t in (28, 18))
    row.assert_close((warm / cool).m_as(""))


@pytest.mark.parametrize("grams", [20, 50, 100, 200])
def test_large_goldfish_against_calorimetry(grams):
    """Van Waversveld 1989, goldfish at 20 degC: 700 J/h for each kg^0.85; Elliott & Davison 1975: 13.56 J/mg.

    Another method, other fish: within 30 % is agreement for a resting animal, and shows that the law may be carried beyond juveniles. Too
    wide to be a grade.
    """
    expected = 700 / 13.56 * (grams / 1000) ** 0.85 / (grams / 1000)
    with tracing():
        assert f.respiration_rate(Q(grams, "g"), Q(20, "degC")).m_as("mg/kg/hour") == pytest.approx(expected, rel=0.3)


@hand_worked(f.respiration_rate)
def test_bighead_law():
    # 0.0053 g/g/d = 5300 mg/kg/d / 24 = 220.83 mg/kg/h at 1 g and 0 degC; 100 g: x 0.2523; 20 degC: x e^0.96 = 2.6117
    with tracing():
        got = f.respiration_rate(Q(100, "g"), Q(20, "degC"), method="CookeHill2010").m_as("mg/kg/hour")
    assert got == pytest.approx(220.83 * 0.2523 * 2.6117, rel=1e-3)


@hand_worked(f.fish_oxygen)
def test_oxygen_of_all_fish():
    # 10 fish of 0.2 kg at 80 mg/kg/h, half as much again when fed: 240 mg/h; 4 of 1 kg at 60 more: 240 + 360
    got = f.fish_oxygen(Q([10, 4], "fish"), Q([200, 1000], "g"), Q([80, 60], "mg/kg/h"), 1.5)
    assert got.m_as("mg/hour") == pytest.approx(600)


@hand_worked(f.fish_oxygen)
@pytest.mark.parametrize("times, printed", [(1.27, 222.7), (2.08, 364.6)])
def test_a_meal_raises_the_oxygen_use(times, printed):
    # Fu and others 2005, peak = 175.4 + 47.3 x meal in %: 222.7 after 1 %, 364.6 after 4 %; over the unfed 175.4 that is 1.27 and 2.08
    got = f.fish_oxygen(Q([1], "fish"), Q([1000], "g"), Q([175.4], "mg/kg/h"), times)
    assert got.m_as("mg/hour") == pytest.approx(printed, abs=0.005 * 175.4)  # the factors end at the second decimal


def test_activity_lies_in_the_range_of_fed_fish():
    from pondwright.tables import coefficients

    activity = coefficients()["activity"]
    # the printed peaks, 207.8 at 0.5 % and 378.8 at 4 %, over the unfed 175.4
    assert activity.low.m_as("") <= 207.8 / 175.4 <= activity.typical.m_as("") <= activity.high.m_as("") <= 378.8 / 175.4


# ------------------------------------------------------------------------------------------------------------------ what they eat


@published(f.maintenance_ration, "Goolish & Adelman 1984, abstract")
@pytest.mark.parametrize("celsius, printed", [(12, 0.40), (18, 0.75), (24, 1.20), (30, 1.90)])
def test_maintenance_ration(celsius, printed):
    assert f.maintenance_ration(Q(celsius, "degC")).m_as("%/day") == pytest.approx(printed, abs=0.005)


@hand_worked(f.maintenance_ration)
def test_ration_between_and_below():
    # half-way in the logarithm from 12 to 18: sqrt(0.40 x 0.75) = 0.5477; six below 12: 0.40 x 0.40/0.75 = 0.2133; above 30 it stays
    with tracing():
        got = f.maintenance_ration(Q(np.array([15.0, 6.0, 33.0]), "degC")).m_as("%/day")
    assert got == pytest.approx([0.5477, 0.2133, 1.90], abs=5e-5)


@hand_worked(f.feed_by_temperature)
def test_feed_of_a_day():
    # 2 kg at 18 degC: 0.75 % x 1.5 x 2000 g = 22.5 g; at 7.9 degC none
    with tracing():
        got = f.feed_by_temperature(Q(2, "kg"), Q(np.array([18, 7.9]), "degC"), Q(8, "degC"), 1.5)
    assert got.m_as("g/day") == pytest.approx([22.5, 0])


@published(f.feed_by_temperature, "FAO AFFRIS: at most 1.5 to 2 % of carp biomass a day; carp feed actively above 18 to 20 degC")
def test_ordinary_feeding_stays_under_the_ceiling():
    from pondwright.tables import coefficients

    typical = coefficients()["generosity"].typical
    share = f.feed_by_temperature(Q(1, "kg"), Q(25, "degC"), Q(8, "degC"), typical).m_as("g/day") / 1000
    assert share <= 0.02


@each("feed_loads", "^100 g fish eats")
@published(f.feed_by_temperature, "FAO Technical Paper 589: a fish of 100 g eats 1 to 2 g a day (warm water)")
def test_a_hundred_gram_fish(row):
    low, high = (float(x) for x in row.expected.split(".."))
    assert low <= f.feed_by_temperature(Q(100, "g"), Q(24, "degC"), Q(8, "degC"), 1.5).m_as("g/day") <= high


@common_practice(f.feed_by_temperature)
def test_no_feed_in_cold_water():
    with tracing():
        assert f.feed_by_temperature(Q(1, "kg"), Q(6, "degC"), Q(8, "degC")).magnitude == 0


@hand_worked(f.feed_scaled)
def test_summer_feed_scaled_down():
    # 30 g at 24 degC (1.20 %) becomes 30 x 0.40/1.20 = 10 g at 12 degC and nothing at 5
    got = f.feed_scaled(Q(30, "g/d"), Q(np.array([24.0, 12.0, 5.0]), "degC"), Q(24, "degC"), Q(8, "degC"))
    assert got.m_as("g/day") == pytest.approx([30, 10, 0])


# ------------------------------------------------------------------------------------------------------------------ how many


@each("feed_loads", "^WORKED EXAMPLE max biomass")
@published(f.stocking_density, "Losordo & DeLong 2015: 50 m3 at 80 kg/m3 hold 4000 kg")
def test_density(row):
    given = row.given()
    got = f.stocking_density(Q(row.value, "kg"), Q(given["volume_m3"], "m3"))
    assert got.m_as("kg/m**3") == pytest.approx(given["density"], rel=1e-9)


@each("feed_loads", "^tank density")
def test_the_table_holds_the_tank_densities(row):
    from pondwright.tables import load

    assert row.value in load("densities").column("density").m_as("kg/m**3")


@published(f.stocking_density, "SRAC 453: 0.5 lb a gallon is 60, 1 lb a gallon 120 kg/m3")
@pytest.mark.parametrize("pounds, printed", [(0.5, 60), (1, 120)])
def test_pounds_a_gallon(pounds, printed):
    got = f.stocking_density(Q(pounds, "lb"), Q(1, "US gal")).m_as("kg/m**3")
    assert got == pytest.approx(printed, abs=0.5)


@hand_worked(f.biomass_by_oxygen)
def test_fish_that_oxygen_allows():
    # 0.15 mg/L/h x 10 m3 = 1.5 g/h; muck 1.2 g/m2/d on 12 m2 = 0.6, with half as much again 0.9; 0.6 g/h left, 200 mg for each kg: 3 kg
    got = f.biomass_by_oxygen(Q(0.15, "mg/L/h"), Q(10, "m3"), Q(1.2, "g/m2/d"), Q(12, "m2"), 0.5, Q(200, "mg/kg/h"))
    assert got.m_as("kg") == pytest.approx(3)
    assert f.biomass_by_oxygen(Q(0.05, "mg/L/h"), Q(10, "m3"), Q(1.2, "g/m2/d"), Q(12, "m2"), 0.5, Q(200, "mg/kg/h")).magnitude == 0


@hand_worked(f.biomass_by_feed)
def test_fish_that_feed_keeps():
    assert f.biomass_by_feed(Q(45, "g/d"), Q(1.5, "%/d")).m_as("kg") == pytest.approx(3)  # 45/0.015


@hand_worked(f.tan_by_water_changes)
def test_water_changes_carry_ammonia_away():
    # 10 m3 at 0.5 mg/L hold 5 g; a fifth a week is 1 g, a seventh of that a day
    assert f.tan_by_water_changes(Q(0.5, "mg/L"), Q(10, "m3"), Q(20, "%")).m_as("g/day") == pytest.approx(1 / 7)


@independent(f.tan_by_water_changes, "the weeks played through one by one")
def test_water_changes_settle():
    made, level = f.tan_by_water_changes(Q(0.4, "mg/L"), Q(6, "m3"), 0.25).m_as("g/day"), 0.0
    for _ in range(200):
        peak = level + 7 * made / 6
        level = peak * 0.75
    assert peak == pytest.approx(0.4)


def test_a_count_with_a_unit_of_mass_is_refused():
    with pytest.raises(QuantityError, match="count in fish.total_mass is a plain number"):
        f.total_mass(Q([1], "kg"), Q([40], "g"))


# ------------------------------------------------------------------------------------------------------------------ warmth and ice


@hand_worked(h.pond_temperature)
def test_water_follows_the_air_but_does_not_freeze():
    got = h.pond_temperature(Q(np.array([-9.0, 4.0, 18.0]), "degC"), Q(1, "delta_degC"), Q(2, "degC"))
    assert got.m_as("degC") == pytest.approx([2, 5, 19])


def test_water_in_an_english_winter():
    """Macan & Maudsley 1966: a fishpond in winter lay between just above freezing and 7.9 degC; a range, so no grade."""
    got = h.pond_temperature(Q(np.array([-3.0, 2.0, 5.0]), "degC"), Q(1, "delta_degC"), Q(2, "degC")).m_as("degC")
    assert got.min() > 0 and got.max() < 7.9


@hand_worked(h.freezing_degree_days)
def test_frost_is_added_up():
    # 5 x 31 + 0 + 2 x 31
    assert h.freezing_degree_days(Q([-5, 1, -2], "degC"), Q([31, 28, 31], "d")).magnitude == pytest.approx(217)


def growth(inches):
    """Turn inches for each square root of a Fahrenheit degree day into centimetres for each of a Celsius one."""
    return Q(inches * 2.54 * math.sqrt(1.8), "cm")


@published(h.ice_thickness, "CRREL Technical Note 04-3: 70 F days, average lake with snow (0.6)")
def test_ice_worked_example():
    row = rows("heat", "worked example: ice thickness")[0]
    assert h.ice_thickness(row.numbers()[0] / 1.8, growth(0.6)).m_as("in") == pytest.approx(row.value, abs=0.05)  # printed as 5.0


@each("heat", "^ice thickness modified Stefan")
@hand_worked(h.ice_thickness)
def test_ice_modified_stefan(row):
    # 0.8 x sqrt(100) = 8.0 in
    row.assert_close(h.ice_thickness(row.numbers()[0] / 1.8, growth(0.8)), "in")


@each("heat", "^ice thickness theoretical Stefan")
@independent(h.ice_thickness, "sqrt(2 k t/(rho L)) with the conductivity, density and heat of fusion of ice")
def test_ice_theory(row):
    coefficient = rows("heat", "^theoretical Stefan coefficient")[0].value
    row.assert_close(h.ice_thickness(row.numbers()[0], Q(coefficient, "cm")))


@published(h.ice_thickness, "CRREL Technical Note 04-3: lakes with snow 0.5 to 0.7, its example 0.6, windy without snow 0.8 inch")
@pytest.mark.parametrize("end, inches", [("low", 0.5), ("typical", 0.6), ("high", 0.8)])
def test_ice_coefficients_hold_the_published_range(end, inches):
    from pondwright.tables import coefficients

    # after one Fahrenheit degree day the ice is as thick as the printed coefficient, which has one decimal
    got = h.ice_thickness(1 / 1.8, coefficients()["ice_growth"].at(end)).m_as("in")
    assert got == pytest.approx(inches, abs=0.05)
