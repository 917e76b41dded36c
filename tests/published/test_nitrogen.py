"""Ammonia from feed, nitrification balances, removal models and growth against printed values and worked arithmetic."""
from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pondwright.science import nitrogen as n
from pondwright.tables import coefficients
from pondwright.units import Q, QuantityError, tracing
from tests.grades import hand_worked, published

from .reference import each, rows


def grams(value):
    return Q(value, "g/d")


def celsius(value):
    return Q(value, "degC")


def mg(value):
    return Q(value, "mg/L")


# ------------------------------------------------------------------------------------------------------------------- from the feed


@each("feed_loads", "TAN production")
@hand_worked(n.tan_from_feed)
def test_tan_from_feed(row):
    # the factor is from memory (Timmons & Ebeling 2010): feed x protein x 0.092
    feed, protein = row.given()["F_kg"], row.given()["PC"]
    row.assert_close(n.tan_from_feed(Q(feed, "kg/d"), protein), "kg/d")


@hand_worked(n.tan_from_feed)
def test_the_feed_of_the_fao_example():
    # 200 g x 0.32 x 0.092
    rows("feed_loads", "by the 0.092 factor")[0].assert_close(n.tan_from_feed(grams(200), 0.32), "g/d")


@hand_worked(n.tan_from_feed)
def test_fao_rule():
    # 200 g x 0.32 x 0.16 x 0.61 = 6.246 g N; x 1.2 (printed, NH3 for N) = 7.496 g NH3
    nitrogen = n.tan_from_feed(grams(200), 0.32, method="FAO589")
    rows("feed_loads", "step 1 recomputed")[0].assert_close(1.2 * nitrogen, "g/d")


@published(n.tan_from_feed, "Extension text, ammonia from feed: 454 g")
def test_extension_rule_for_feed():
    row = rows("feed_loads", "ammonia load from feed")[0]
    row.assert_close(n.tan_from_feed(grams(row.given()["feed_g"]), 0.32, method="ExtensionAmmonia"), "mg/d")


@hand_worked(n.tan_from_feed)
@pytest.mark.parametrize("protein, ammonia", [(0.10, 1.6), (0.15625, 2.5), (0.32, 2.5)])
def test_no_feed_gives_off_more_nitrogen_than_it_holds(protein, ammonia):
    # 100 g of feed with 10 % protein hold 100 x 0.10 x 0.16 = 1.6 g of nitrogen, less than the rule's 2.5 g; they meet at 0.025/0.16
    assert n.tan_from_feed(grams(100), protein, method="ExtensionAmmonia").m_as("g/d") == pytest.approx(ammonia)


@published(n.tan_from_biomass, "Extension text, ammonia from biomass: 75 kg of fish")
def test_extension_rule_for_biomass():
    row = rows("feed_loads", "ammonia load from biomass")[0]
    row.assert_close(n.tan_from_biomass(Q(row.given()["biomass_g"], "g"), Q(25, "mg/d") / Q(100, "g")), "mg/d")


@published(n.tan_from_biomass, n.tan_from_feed, "Extension text: its two rules differ three times at 3 % feeding")
def test_the_two_rules_of_one_text_disagree():
    by_mass, by_feed = map(float, rows("feed_loads", "rules compared")[0].expected.split(" vs "))
    assert n.tan_from_biomass(Q(1, "kg")).m_as("g/d") == pytest.approx(by_mass, abs=0.005)
    assert n.tan_from_feed(grams(30), 0.32, method="ExtensionAmmonia").m_as("g/d") == pytest.approx(by_feed, abs=0.005)


@hand_worked(n.tan_factor)
def test_the_factor_in_its_parts():
    # Timmons & Ebeling's parts are from memory
    # 0.16 x 0.8 = 0.128; x 0.8 = 0.1024; x 0.9 = 0.09216, printed with three decimals
    assert n.tan_factor().m_as("") == pytest.approx(0.092, abs=0.0005)


@hand_worked(n.feed_for_tan)
@pytest.mark.parametrize("factor, feed", [(0.092, 100), (0.0976, 94.2623)])
def test_feed_for_tan(factor, feed):
    # 2.944 g of TAN: / (0.32 x 0.092) = 100 g; / (0.32 x 0.0976) = 94.26 g
    assert n.feed_for_tan(grams(2.944), 0.32, factor).m_as("g/d") == pytest.approx(feed, rel=1e-5)


# ------------------------------------------------------------------------------------------------------------------- the balances


@each("nitrification", "^O2 demand with growth")
@hand_worked(n.nitrification_oxygen)
def test_oxygen_with_growth(row):
    # reaction from memory (Ebeling and others 2006): 1.83 x 31.998 / 14.007
    row.assert_close(n.nitrification_oxygen(grams(1), method="Ebeling2006").m_as("g/d"))


@each("nitrification", "^O2 demand, Haug")
@hand_worked(n.nitrification_oxygen)
def test_oxygen_haug(row):
    # coefficient from memory (Haug & McCarty 1972): 1.86 x 31.998 / 14.007
    row.assert_close(n.nitrification_oxygen(grams(1), method="HaugMcCarty1972").m_as("g/d"))


@each("nitrification", "^O2 demand, ASM form")
@hand_worked(n.nitrification_oxygen)
def test_oxygen_asm(row):
    # ASM1 takes the yield off: 64/14.007 - 0.24 = 4.569 - 0.24
    row.assert_close(n.nitrification_oxygen(grams(1), method="ASM1").m_as("g/d"))


@each("nitrification", "^O2 per g TAN quoted")
@published(n.nitrification_oxygen, "US EPA 1975 as quoted by Zhu & Chen")
def test_oxygen_without_growth(row):
    row.assert_close(n.nitrification_oxygen(grams(1)).m_as("g/d"))


@published(n.nitrification_oxygen, "Gujer & Jenkins 1974 as quoted in a wastewater text, equation 3.10: 4.32 mg O2 per mg NH4-N")
def test_oxygen_gujer():
    assert n.nitrification_oxygen(grams(1), method="GujerJenkins1974").m_as("g/d") == pytest.approx(4.32, abs=0.005)


@each("nitrification", "WORKED EXAMPLE O2")
@published(n.nitrification_oxygen, "civil-engineering question page: 1000 lb of N")
def test_oxygen_for_a_thousand_pounds(row):
    row.assert_close(n.nitrification_oxygen(Q(row.given()["N_lb"], "lb/d")), "lb/d")


@each("nitrification", "^alkalinity use with growth")
@hand_worked(n.nitrification_alkalinity)
def test_alkalinity_with_growth(row):
    # reaction from memory (Ebeling and others 2006): 1.97 / 2 x 100.087 / 14.007
    row.assert_close(n.nitrification_alkalinity(grams(1), method="Ebeling2006").m_as("g/d"))


@each("nitrification", "^alkalinity use, EPA")
@hand_worked(n.nitrification_alkalinity)
def test_alkalinity_epa(row):
    # reaction from memory (US EPA 1975): 1.98 / 2 x 100.087 / 14.007
    row.assert_close(n.nitrification_alkalinity(grams(1), method="EPA1975").m_as("g/d"))


@each("nitrification", "^alkalinity per NH4-N")
@published(n.nitrification_alkalinity, "wastewater course: 7.14")
def test_alkalinity_without_growth(row):
    row.assert_close(n.nitrification_alkalinity(grams(1)).m_as("g/d"))


@each("nitrification", "^HCO3- use")
@hand_worked(n.nitrification_alkalinity)
def test_the_same_as_bicarbonate_ions(row):
    # reactions from memory; two HCO3 (61.017 g) for each CaCO3 (100.087 g)
    method = {"HCO3- use, no growth": "no_growth", "HCO3- use with growth": "Ebeling2006", "HCO3- use, EPA 1975": "EPA1975"}[row.quantity]
    row.assert_close(n.nitrification_alkalinity(grams(1), method=method).m_as("g/d") * 2 * 61.017 / 100.087)


@each("design_examples", "^ALKALINITY DOSE")
@hand_worked(n.nitrification_alkalinity)
def test_alkalinity_of_a_day(row):
    # 32.2 g of TAN x 7.14
    row.assert_close(n.nitrification_alkalinity(grams(row.given()["P_TAN_g"])).m_as("g/d"))


@each("design_examples", "^same as NaHCO3")
@hand_worked(n.nitrification_alkalinity)
def test_the_same_as_bicarbonate(row):
    # two mol of NaHCO3 (84.007 g) for each mol of CaCO3 (100.087 g)
    row.assert_close(n.nitrification_alkalinity(grams(row.given()["P_TAN_g"])).m_as("g/d") * 2 * 84.007 / 100.087)


@each("design_examples", "^DO BUDGET: fish")
@hand_worked(n.nitrification_oxygen, n.tan_from_feed)
def test_oxygen_budget(row):
    # 1 kg of feed: 0.4 kg of O2 for the fish, and 4.57 g for each gram of its ammonia
    tan = n.tan_from_feed(Q(row.given()["F_kg"], "kg/d"), row.given()["PC"])
    row.assert_close(400 + n.nitrification_oxygen(tan).m_as("g/d"))


@each("nitrification", "^CO2 produced")
@hand_worked(n.nitrification_carbon_dioxide)
def test_carbon_dioxide(row):
    # reaction from memory (Ebeling and others 2006): 1.86 x 44.009 / 14.007
    row.assert_close(n.nitrification_carbon_dioxide(grams(1)).m_as("g/d"))


@hand_worked(n.nitrification_oxygen, n.nitrification_alkalinity)
def test_atomic_weights():
    # IUPAC 2021: O 15.999, N 14.007, Ca 40.078, C 12.011; two O2 and one CaCO3 for each N
    assert n.nitrification_oxygen(grams(1)).m_as("g/d") == pytest.approx(4 * 15.999 / 14.007, rel=1e-4)
    assert n.nitrification_alkalinity(grams(1)).m_as("g/d") == pytest.approx((40.078 + 12.011 + 3 * 15.999) / 14.007, rel=1e-4)


# --------------------------------------------------------------------------------------------------------------------- the models


@each("nitrification", "^WORKED EVALUATION areal")
@hand_worked(n.areal_removal)
def test_zhu_chen(row):
    # equation from the abstract of Zhu & Chen 1999: at 0.5 mg/L 1.859 (0.5 - 0.07)/(0.5 + 1.93) = 0.79937/2.43 = 0.3290 g/m2/d
    row.assert_close(n.areal_removal(mg(row.given()["S_mgL"]), celsius(row.given()["T_C"])), "g/m2/d")


@hand_worked(n.areal_removal)
def test_half_order():
    # 0.55 sqrt(0.36) - 0.1 = 0.33 - 0.1 at the 25 degC of the experiment
    assert n.areal_removal(mg(0.36), celsius(25), method="Kamstra1998").m_as("g/m**2/d") == pytest.approx(0.23)


@hand_worked(n.areal_removal)
def test_straight_line():
    # 350 g/m3/d for each mg/L on 1150 m2/m3 of beads is 0.304, taken as 0.30: at 0.5 mg/L 0.15
    assert n.areal_removal(mg(0.5), celsius(25), method="MaloneBeecher2000").m_as("g/m**2/d") == pytest.approx(0.15)


@hand_worked(n.areal_removal)
@pytest.mark.parametrize("tan, least, most", [(0.05, 0.0, 0.0186), (0.3, 0.0729, 0.1631), (4.0, 0.8102, 0.9722)])
def test_the_envelope_of_the_models(tan, least, most):
    # at 20 degC: 1.043^-7.2 = 0.7385 for Zhu & Chen (27.2 degC), 1.043^-5 = 0.8102 for the two of 25 degC
    # 0.05: Zhu & Chen nothing, Kamstra (0.55 x 0.2236 - 0.1 = 0.02298) x 0.8102 = 0.0186, line 0.015 x 0.8102 = 0.0122
    # 0.3: Zhu & Chen 1.859 x 0.23/2.23 x 0.7385 = 0.1416, Kamstra 0.2012 x 0.8102 = 0.1631, line 0.09 x 0.8102 = 0.0729
    # 4.0: Zhu & Chen 1.859 x 3.93/5.93 x 0.7385 = 0.9098, Kamstra 1.0 x 0.8102, line 1.2 x 0.8102 = 0.9722
    with tracing():  # 0.05 mg/L lies below what was measured
        found = [n.areal_removal(mg(tan), celsius(20), method=method).m for method in ("lowest", "highest")]
    assert found == pytest.approx([least, most], abs=0.00006)


@hand_worked(n.areal_removal)
@pytest.mark.parametrize("model, least", [("ZhuChen1999", 0.07), ("Kamstra1998", 0.033058), ("MaloneBeecher2000", 0.0)])
def test_no_model_works_below_its_minimum(model, least):
    # Zhu & Chen print 0.07; 0.55 sqrt(S) = 0.1 at S = (0.1/0.55)^2 = 0.033058; a line through zero has none
    assert n.MINIMUM_TAN[model] == pytest.approx(least, abs=5e-7)
    with tracing():
        below, above = (n.areal_removal(mg(max(least + d, 0.0)), celsius(20), method=model).m for d in (-1e-6, 0.01))
    assert below == 0 < above


@published("Michaud et al. 2006, abstract: 30 % lower at C/N 0.5, 50 % above; Ling & Chen 2005, abstract: 60 to 70 %")
def test_organic_load_factor_is_what_the_abstracts_say():
    factor = coefficients()["organic_load_factor"]
    assert [100 * (1 - factor.at(end).m) for end in ("high", "typical", "low")] == pytest.approx([30, 50, 70])
    assert rows("nitrification", "^removal drop")[0].expected.endswith("70")


@hand_worked(n.areal_removal)
def test_dirt_and_acid_each_leave_a_share():
    # the straight line at 25 degC: 0.30 x 0.5 = 0.15 g/m2/d; half of it on dirty media, 0.9 of that in acid water
    rate = n.areal_removal(mg(0.5), celsius(25), organic=0.5, acid=0.9, method="MaloneBeecher2000")
    assert rate.m_as("g/m**2/d") == pytest.approx(0.0675)


@published(n.ph_factor, "Villaverde et al. 1997, abstract: from pH 5.0 to 9.0 a pH increase of one unit, 13 % more nitrification")
@pytest.mark.parametrize("ph, left", [(7.2, 1.0), (6.2, 0.87), (5.2, 0.74)])
def test_low_ph_slows_a_film(ph, left):
    assert n.ph_factor(ph).m == pytest.approx(left)


@hand_worked(n.ph_factor)
@pytest.mark.parametrize("ph, left", [(8.5, 1.0), (7.2, 1.0), (7.0, 0.8334), (6.5, 0.4169), (6.0, 0.0004), (5.5, 0.0)])
def test_low_ph_slows_bacteria_afloat(ph, left):
    # equation from memory (US EPA 1975): 1 - 0.833 x 0.2, x 0.7, x 1.2; never more than 1, never less than nothing
    assert n.ph_factor(ph, "EPA1975").m == pytest.approx(left, abs=1e-9)


def test_ammonia_no_experiment_covers_is_marked():
    with tracing() as uses:
        n.areal_removal(mg(0.05), celsius(20))
        n.areal_removal(mg(0.1), celsius(20))
        n.guideline_removal(celsius(4))
    assert [[e.parameter for e in use.extrapolations] for use in uses] == [["tan"], [], ["temperature"]]


def test_temperatures_no_experiment_covers_are_marked():
    with tracing() as uses:
        n.areal_removal(mg(0.5), celsius(np.array([9.0, 18.0])))
    assert [e.parameter for e in uses[0].extrapolations] == ["temperature"]


@each("nitrification", "^temperature factor")
@hand_worked(n.temperature_factor)
def test_temperature_factor(row):
    row.assert_close(n.temperature_factor(celsius(row.given()["T_C"]), theta=row.given()["theta"]), "-")


@published(n.temperature_factor, "Zhu & Chen 2002, abstract: 4.275 % and 1.108 % for each degree at 20 degC")
@pytest.mark.parametrize("percent, end", [(4.275, "typical"), (1.108, "low")])
def test_theta_of_a_film(percent, end):
    theta = coefficients()["nitrification_theta"].at(end)
    grown = n.temperature_factor(celsius(21), theta=theta).m - n.temperature_factor(celsius(20), theta=theta).m
    assert 100 * grown == pytest.approx(percent, abs=0.05)  # the table keeps three decimals


@each("nitrification", "^guideline ammonia conversion")
@published(n.guideline_removal, "aquaculture dictionary, table of nitrification and temperature")
def test_guideline_table(row):
    assert n.guideline_removal(celsius(row.given()["T_C"])).m_as("g/m**2/d") == pytest.approx(row.value, abs=1e-9)


@hand_worked(n.guideline_removal)
def test_guideline_line():
    # 140 + 8.5 x 20 = 310 mg
    assert n.guideline_removal(celsius(20), "WortmanWheaton1991").m_as("g/m**2/d") == pytest.approx(0.310)


# ---------------------------------------------------------------------------------------------------------------------- growth


@each("nitrification", "^nitrifier growth rate")
@hand_worked(n.nitrifier_growth_rate)
def test_growth(row):
    # equation from memory (US EPA 1975), evaluated
    values = row.given()
    rate = n.nitrifier_growth_rate(celsius(values["T_C"]), mg(values["DO_mgL"]), values["pH"], method="EPA1975")
    row.assert_close(rate.m_as("1/d"))


@published(n.nitrifier_growth_rate, "IWA ASM1 typical values: 0.8 and 0.3 a day at 20 and 10 degC")
@pytest.mark.parametrize("temperature", [10, 20])
def test_growth_asm(temperature):
    row = rows("startup", f"^autotroph mu_max {temperature} C")[0]
    much = mg(40)  # DO/(0.4 + DO) = 0.990
    assert n.nitrifier_growth_rate(celsius(temperature), much).m_as("1/d") * 40.4 / 40 == pytest.approx(row.value, rel=1e-9)


@published(n.nitrifier_growth_rate, "IWA ASM1, theta implied by its two rates")
def test_theta_of_free_bacteria():
    warm, cold = (n.nitrifier_growth_rate(celsius(t), mg(5)).m for t in (20, 10))
    row = rows("startup", "^temperature coefficient implied")[0]
    row.assert_close((warm / cold) ** 0.1)
    row.assert_close(float(coefficients()["nitrification_theta"].high.m), floor=0.005)


@each("startup", "^nitrifier doubling time")
@hand_worked(n.doubling_time)
def test_doubling(row):
    row.assert_close(n.doubling_time(Q({10: 30, 20: 80}[int(row.given()["T_C"])], "%/d")), "d")


@each("startup", "^minimum ammonia")
@hand_worked(n.minimum_tan)
def test_minimum(row):
    # K b / (mu - b) with constants of ASM1 and its kin
    values = row.given()
    row.assert_close(n.minimum_tan(Q(100 * values["mu"], "%/d"), Q(100 * values["b"], "%/d")), "mg/L")


@published(n.minimum_tan, "Zhu & Chen 1999: a minimum of 0.07 mg/L was measured; ASM1's 20 degC constants give nearly the same")
def test_minimum_as_measured():
    row = rows("startup", "^TAN minimum for steady biofilm")[0]
    assert row.value == n.MINIMUM_TAN["ZhuChen1999"]
    assert n.minimum_tan(Q(80, "%/d")).m_as("mg/L") == pytest.approx(row.value, abs=0.005)  # half the printed digit


# ------------------------------------------------------------------------------------------------------------------ properties


@given(feed=st.floats(0.1, 1000), protein=st.floats(0.1, 0.6))
def test_units_do_not_matter(feed, protein):
    metric = n.tan_from_feed(grams(feed), protein)
    american = n.tan_from_feed(grams(feed).to("oz/d"), Q(100 * protein, "%"))
    assert american.m_as("g/d") == pytest.approx(metric.m_as("g/d"), rel=1e-9)


@given(
    tan=st.floats(0, 10), more=st.floats(0.001, 5), temperature=st.floats(15, 26),
    model=st.sampled_from([*n.MINIMUM_TAN, "lowest", "highest"]),
)
def test_more_ammonia_or_warmth_never_means_less_removal(tan, more, temperature, model):
    def rate(s, t):
        with tracing():  # some of these are less than any experiment had
            return n.areal_removal(mg(s), celsius(t), method=model).m

    assert rate(tan + more, temperature) >= rate(tan, temperature) - 1e-12
    assert rate(tan, temperature + 1) >= rate(tan, temperature) - 1e-12


@pytest.mark.parametrize("bad", [1.5, -0.1, float("nan")])
def test_impossible_protein_is_refused(bad):
    with pytest.raises(QuantityError, match="protein in nitrogen.tan_from_feed"):
        n.tan_from_feed(grams(10), bad)


def test_a_bare_feed_is_refused():
    with pytest.raises(QuantityError, match=r"feed in nitrogen.tan_from_feed needs a unit: write Q\(200, 'g/d'\)"):
        n.tan_from_feed(200, 0.32)
