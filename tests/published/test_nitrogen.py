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
@published(n.nitrification_oxygen, "IWA ASM1: 4.57 - Y_A")
def test_oxygen_asm(row):
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
@published(n.areal_removal, "Zhu & Chen 1999, abstract: 1859 (S - 0.07)/(S + 1.93) mg/m2/d at 27.2 degC")
def test_zhu_chen(row):
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
def test_the_envelope_holds_every_model():
    concentrations, warm = mg(np.array([0.02, 0.1, 0.3, 0.6, 1.5, 4.0])), celsius(20)
    each_model = np.array([n.areal_removal(concentrations, warm, method=m).m for m in n.MINIMUM_TAN])
    assert n.areal_removal(concentrations, warm, method="lowest").m == pytest.approx(each_model.min(axis=0))
    assert n.areal_removal(concentrations, warm, method="highest").m == pytest.approx(each_model.max(axis=0))


@hand_worked(n.areal_removal)
@pytest.mark.parametrize("model", n.MINIMUM_TAN)
def test_no_model_works_below_its_minimum(model):
    at, above = (n.areal_removal(mg(n.MINIMUM_TAN[model] + d), celsius(20), method=model).m for d in (0.0, 0.01))
    assert abs(at) < 1e-12 < above


@published(n.areal_removal, "Michaud et al. 2006, abstract: 30 % lower at C/N 0.5, 50 % above; Ling & Chen 2005, abstract: 60 to 70 %")
def test_organic_load_factor_is_what_the_abstracts_say():
    factor, clean = coefficients()["organic_load_factor"], n.areal_removal(mg(2), celsius(20)).m
    lost = [100 * (1 - n.areal_removal(mg(2), celsius(20), organic=factor.at(end)).m / clean) for end in ("high", "typical", "low")]
    assert lost == pytest.approx([30, 50, 70])
    assert rows("nitrification", "^removal drop")[0].expected.endswith("70")


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
