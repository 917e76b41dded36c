"""Water changes, salt, chlorine remover and nitrogen bases against printed rules, other libraries and worked arithmetic."""
from __future__ import annotations

import math

import pytest

from pondwright.science import dosing as d
from pondwright.science import survey
from pondwright.units import Q, QuantityError
from tests.grades import common_practice, hand_worked, published

from .reference import rows


def mg(value):
    return Q(value, "mg/L")


THIOSULFATE = {"anhydrous, 2:1": (2, 0), "pentahydrate, 1:1": (1, 5), "pentahydrate, 1:4": (0.25, 5)}


@hand_worked(d.thiosulfate_per_chlorine)
@pytest.mark.parametrize("reaction", THIOSULFATE)
def test_thiosulfate(reaction):
    # 2 x 158.11/70.9 = 4.460; 248.18/70.9 = 3.500; 248.18/4/70.9 = 0.875
    rows("dosing", f"sodium thiosulfate per mg Cl2, {reaction}")[0].assert_close(d.thiosulfate_per_chlorine(*THIOSULFATE[reaction]), "-")


@published(d.thiosulfate_per_chlorine, "Standard Methods, sample bottles: 0.1 mL of a 3 % solution for 5 mg/L in 120 mL; 10 % for 15 mg/L")
@pytest.mark.parametrize("percent, chlorine", [(3, 5), (10, 15)])
def test_bottle_rule_lies_between_the_reactions(percent, chlorine):
    # 0.1 mL x 30 g/L = 3 mg for 120 mL x 5 mg/L = 0.6 mg: 5 mg/mg
    implied = 0.1 * percent * 10 / (0.12 * chlorine)
    assert float(d.thiosulfate_per_chlorine(2, 0).m) < implied < float(d.thiosulfate_per_chlorine(2, 5).m)
    if percent == 3:
        rows("dosing", "implied thiosulfate dose")[0].assert_close(implied)


@hand_worked(d.chlorine_remover)
def test_chlorine_remover():
    # 1 mg/L in 2.5 m3 is 2.5 g of chlorine, x 7 = 17.5 g; of a product that is half thiosulfate, 35 g
    assert d.chlorine_remover(mg(1), Q(2.5, "m3")).m_as("g") == pytest.approx(17.5)
    assert d.chlorine_remover(mg(1), Q(2.5, "m3"), purity=0.5).m_as("g") == pytest.approx(35)


@hand_worked(d.chloramine_nitrogen)
def test_chloramine_leaves_ammonia():
    # NH2Cl takes the place of one Cl2 in a chlorine test: 14.007/70.90 = 0.1976 of each mg/L; mixed 3 to 1, a third
    assert d.chloramine_nitrogen(mg(2)).m_as("mg/L") == pytest.approx(0.3951, abs=5e-5)
    assert d.chloramine_nitrogen(mg(4), 3).m_as("mg/L") == pytest.approx(4 / 3)


@hand_worked(d.as_nitrogen, d.as_ion)
@pytest.mark.parametrize("ion, factor", [("NO3", 4.427), ("NO2", 3.2845), ("NH3", 1.216), ("NH4", 1.288)])
def test_as_nitrogen(ion, factor):
    # 62.005/14.007, 46.006/14.007, 17.031/14.007, 18.039/14.007
    assert d.as_ion(mg(1), ion).m_as("mg/L") == pytest.approx(factor, abs=0.0005)
    assert d.as_nitrogen(d.as_ion(mg(3), ion), ion).m_as("mg/L") == pytest.approx(3, rel=1e-12)


@published(d.as_ion, "FAO 589, Appendix 4: 1.2 g of ammonia for each g of nitrogen, 1.2159 by atomic weights")
def test_ammonia_per_nitrogen():
    rows("feed_loads", "1.2 check: NH3 per N")[0].assert_close(d.as_ion(mg(1), "NH3").m_as("mg/L"))


@hand_worked(d.share_changed)
def test_two_quarters_are_not_a_half():
    # 1 - 0.75 x 0.75 = 0.4375
    assert d.share_changed(Q(25, "%"), 2).m_as("%") == pytest.approx(43.75, rel=1e-12)


@hand_worked(d.after_changes)
def test_after_changes_step_by_step():
    # 40 -> 0.75 x 40 + 0.25 x 4 = 31 -> 0.75 x 31 + 1 = 24.25
    assert d.after_changes(mg(40), mg(4), Q(25, "%"), 2).m_as("mg/L") == pytest.approx(24.25, rel=1e-12)


@hand_worked(d.changes_needed)
def test_changes_needed():
    # halving with nothing in the new water, 25 % each: ln 0.5/ln 0.75 = 2.409; and it undoes after_changes
    assert float(d.changes_needed(mg(40), mg(20), mg(0), Q(25, "%")).m) == pytest.approx(math.log(0.5) / math.log(0.75), rel=1e-12)
    assert float(d.changes_needed(mg(40), mg(24.25), mg(4), Q(25, "%")).m) == pytest.approx(2, rel=1e-9)


@pytest.mark.parametrize("target, source", [(3, 4), (4, 4), (20, 60), (50, 4)])
def test_changes_that_cannot_help_are_refused(target, source):
    # below the new water, at it, new water worse than the pond, target met already
    with pytest.raises(QuantityError, match=r"the result in dosing.changes_needed (is not a finite number|must be 0 to 10000)"):
        d.changes_needed(mg(40), mg(target), mg(source), Q(25, "%"))


@published(d.chloride_needed, "SRAC 462: chloride to nitrite 10 to 1 (fish.csv, attributed)")
def test_chloride_ten_to_one():
    ratio = rows("fish", "chloride:nitrite")[0].value
    assert d.chloride_needed(mg(1), ratio, "NO2").m_as("mg/L") == pytest.approx(10)
    assert d.chloride_needed(mg(1), ratio, "NO2-N").m_as("mg/L") == pytest.approx(32.85, abs=0.01)  # 10 x 46.0055/14.007


@published(d.chloride_needed, "a farm's page: 3 mg/L of nitrite wants 18 mg/L of chloride")
def test_chloride_six_to_one():
    ratio = rows("fish", "chloride per nitrite, alternative")[0].value
    assert d.chloride_needed(mg(3), ratio, "NO2").m_as("mg/L") == pytest.approx(18)


@hand_worked(d.chloride_of_salt, d.salt_for_chloride)
def test_chloride_in_salt():
    # 35.45/58.44 = 0.6066
    rows("dosing", "chloride fraction of NaCl")[0].assert_close(d.chloride_of_salt(mg(1)).m_as("mg/L"))
    assert d.salt_for_chloride(mg(60.66), Q(1, "m3")).m_as("g") == pytest.approx(100, rel=1e-4)


@hand_worked(d.salt_for_chloride)
def test_salt_per_chloride():
    # 58.44/35.45 = 1.648; the extension sheets' 1.67 is a little more
    per_chloride = d.salt_for_chloride(mg(1), Q(1, "L")).m_as("mg")
    assert per_chloride == pytest.approx(1 / rows("dosing", "chloride fraction of NaCl")[0].value, rel=0.001)


@hand_worked(d.dose_mass)
def test_dose_mass():
    # 1 mg/L x 1 233 482 L = 1.2335 kg = 2.719 lb; 1 g/L x 3785.4 L = 3.7854 kg = 8.345 lb
    rows("dosing", "1 mg/L in 1 acre-ft")[0].assert_close(d.dose_mass(mg(1), Q(1, "acre-ft")), "lb")
    row = rows("dosing", "0.1 % salt")[0]
    kilograms, pounds = (float(part) for part in row.expected.split(";"))
    assert d.dose_mass(mg(1000), Q(1, "m3")).m_as("kg") == pytest.approx(kilograms, rel=0.002)
    assert d.dose_mass(mg(1000), Q(1000, "US gal")).m_as("lb") == pytest.approx(pounds, rel=0.002)


@hand_worked(d.dose_mass)
def test_salt_of_the_printed_tank():
    # 108 ft3 = 3058 L; the bath of 5 g/L takes 15.29 kg
    volume = rows("dosing", "108 ft3 in gal and L")[0].expected.split(";")[1].split()[0]
    assert d.dose_mass(Q(5, "g/L"), Q(108, "ft3")).m_as("kg") == pytest.approx(5 * float(volume) / 1000, rel=0.001)


@hand_worked(d.tracer_salt)
def test_tracer_undoes_the_volume():
    # 1 kg in 2000 L is 500 mg/L, at 2.03 uS/cm for each mg/L a rise of 1015 uS/cm
    assert d.tracer_salt(Q(1015, "uS/cm"), Q(2000, "L")).m_as("g") == pytest.approx(1000)
    volume = survey.salt_tracer_volume(Q(1, "kg"), Q(210, "uS/cm"), Q(1225, "uS/cm"))
    assert volume.m_as("L") == pytest.approx(2000)


@common_practice(d.share_changed, "a quarter at a time is a common size of a water change")
def test_a_change_of_everything_and_of_nothing():
    assert d.share_changed(Q(100, "%"), 1).m_as("%") == 100
    assert d.share_changed(Q(25, "%"), 0).m_as("%") == 0


@published(d.chlorine_remover, "a laboratory supplier's note: 500 mL of 2.0 mg/L hold 1 mg of chlorine and take 7.0 mg of crystals")
def test_a_laboratory_sample():
    # two printed digits: 7.0 +- 0.05
    assert d.chlorine_remover(mg(2.0), Q(500, "mL")).m_as("mg") == pytest.approx(7.0, abs=0.05)
