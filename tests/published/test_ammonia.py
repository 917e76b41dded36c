"""Un-ionized ammonia and its criteria against printed tables, worked examples and two other libraries."""
from __future__ import annotations

import numpy as np
import pytest

from pondwright.science import ammonia as a
from pondwright.units import Q, QuantityError
from tests.grades import hand_worked, independent, published

from .reference import each, rows


def mg(value):
    return Q(value, "mg/L")


def celsius(row):
    return Q(row.given()["T_C"], "degC")


@each("ammonia", "^pKa of NH4")
@independent(a.ammonium_pka, "the equation of Emerson et al. 1975, evaluated apart from this package")
def test_pka(row):
    row.assert_close(a.ammonium_pka(celsius(row)), "-")


@each("ammonia", "^percent un-ionized NH3$")
@independent(a.unionized_fraction, "the equation of Emerson et al. 1975, evaluated apart from this package")
def test_percent(row):
    row.assert_close(100 * float(a.unionized_fraction(row.given()["pH"], celsius(row)).m), floor=0.00005)


@each("ammonia", "printed table")
@published(a.unionized_fraction, "Fundamentals of Aquatic Veterinary Medicine, Table 1.4; UF/IFAS FA-16, Table 1")
def test_printed_table(row):
    row.assert_close(a.unionized_fraction(row.given()["pH"], celsius(row)), "-")


@published(a.unionized_ammonia, "UF/IFAS FA-16, Figure 3")
def test_worked_example():
    row = rows("ammonia", "WORKED EXAMPLE")[0]
    row.assert_close(a.unionized_ammonia(mg(1.0), 8.0, Q(24, "degC")), "mg/L")


@independent(a.unionized_ammonia, "Emerson et al. 1975 evaluated; an abstract pairs this reading with 45.5 mg/L, which cannot be")
def test_an_impossible_pair_in_print():
    row = rows("ammonia", "negative check")[0]
    row.assert_close(a.unionized_ammonia(mg(123), 7.2, Q(22, "degC")), "mg/L")


@hand_worked(a.unionized_fraction)
def test_the_misprinted_constant_matters():
    # with 2727.92 the pKa at 25 degC falls by 2/298.15 = 0.006708; at pH 8 the share is 1/(1 + 10^1.2464) against 1/(1 + 10^1.2397)
    right, wrong = (1 / (1 + 10 ** (0.09018 + k / 298.15 - 8)) for k in (2729.92, 2727.92))
    row = rows("ammonia", "caused by the 2727.92 misprint")[0]
    row.assert_close(100 * (wrong / right - 1))
    assert float(a.unionized_fraction(8.0, Q(25, "degC")).m) == pytest.approx(right, rel=1e-9)


@independent(a.unionized_fraction, "phreeqpython, phreeqc.dat (another thermodynamic data set)")
def test_against_phreeqc():
    rows("ammonia", "independent thermodynamic database")[0].assert_close(100 * float(a.unionized_fraction(8.0, Q(25, "degC")).m))


@independent(a.ammonium_pka, "PyCO2SYS, ammonium constant of Clegg & Whitfield 1995 at no salt")
@pytest.mark.parametrize("temperature", [0, 5, 15, 25, 35])
def test_clegg_whitfield_against_pyco2sys(temperature):
    from PyCO2SYS.equilibria.p1atm import kNH3_TOT_CW95

    expected = -np.log10(kNH3_TOT_CW95(temperature + 273.15, 0.0))
    assert float(a.ammonium_pka(Q(temperature, "degC"), "CleggWhitfield1995").m) == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize("temperature", [5, 15, 25, 30])
def test_two_methods_agree(temperature):
    first, second = (float(a.ammonium_pka(Q(temperature, "degC"), m).m) for m in ("Emerson1975", "CleggWhitfield1995"))
    assert first == pytest.approx(second, abs=0.01)


@hand_worked(a.tan_at_limit)
def test_tan_at_limit():
    # FA-16's share at pH 8 and 24 degC is 0.0502: a limit of 0.0502 mg/L is met by 1.00 mg/L of total ammonia
    assert a.tan_at_limit(mg(0.0502), 8.0, Q(24, "degC")).m_as("mg/L") == pytest.approx(1.0, abs=0.003)


def test_tan_at_limit_and_unionized_are_inverse():
    ph, temperature = np.array([7.0, 8.0, 9.5]), Q([5.0, 20.0, 28.0], "degC")
    back = a.unionized_ammonia(a.tan_at_limit(mg(0.02), ph, temperature), ph, temperature)
    assert back.m_as("mg/L") == pytest.approx([0.02] * 3, rel=1e-12)


@each("ammonia", r"^EPA 1999 acute")
@independent(a.acute_criterion, "EPA 1999 equations 1 and 2, evaluated apart from this package")
def test_epa_1999_acute(row):
    trout = "present" if "present" in row.quantity else "absent"
    row.assert_close(a.acute_criterion(row.given()["pH"], Q(20, "degC"), trout, "EPA1999"), "mg/L")


@each("ammonia", r"^EPA 1999 chronic")
@independent(a.chronic_criterion, "EPA 1999 equation 3, evaluated apart from this package")
def test_epa_1999_chronic(row):
    row.assert_close(a.chronic_criterion(row.given()["pH"], celsius(row), "present", "EPA1999"), "mg/L")


@each("ammonia", r"^Oregon table 30")
@published(a.acute_criterion, a.chronic_criterion, "EPA 2013 as adopted in OAR 340-041-8033, tables 30(a) to 30(c), two printed digits")
def test_epa_2013_printed_tables(row):
    if "chronic" in row.quantity:
        row.assert_close(a.chronic_criterion(row.given()["pH"], celsius(row)), "mg/L")
    else:
        row.assert_close(a.acute_criterion(row.given()["pH"], celsius(row), "absent" if "absent" in row.quantity else "present"), "mg/L")


@published(a.chronic_criterion, "EPA 2013 summary: 1.9 mg/L at pH 7 and 20 degC")
def test_epa_2013_printed_chronic():
    rows("ammonia", "EPA 2013 chronic criterion, anchor")[0].assert_close(a.chronic_criterion(7.0, Q(20, "degC")), "mg/L")


@each("ammonia", r"^EPA 2013 chronic criterion CCC")
@independent(a.chronic_criterion, "the equation of EPA 2013, evaluated apart from this package")
def test_epa_2013_chronic(row):
    row.assert_close(a.chronic_criterion(row.given()["pH"], celsius(row)), "mg/L")


@each("ammonia", r"^EPA 2013 acute")
@independent(a.acute_criterion, "the equation of EPA 2013 with trout, evaluated apart from this package")
def test_epa_2013_acute(row):
    row.assert_close(a.acute_criterion(row.given()["pH"], celsius(row), "present"), "mg/L")


@published(a.chronic_criterion, "EPA 2013: the highest 4-day mean, 4.8 mg/L, is 2.5 times the chronic criterion")
def test_epa_2013_four_days():
    rows("ammonia", "highest 4-day mean")[0].assert_close(2.5 * a.chronic_criterion(7.0, Q(20, "degC")), "mg/L")


@published(a.acute_criterion, "EPA 2013 summary: 17 mg/L at pH 7 and 20 degC, printed to whole mg/L")
def test_epa_2013_printed_acute():
    assert a.acute_criterion(7.0, Q(20, "degC")).m_as("mg/L") == pytest.approx(17, abs=0.5)


@hand_worked(a.chronic_criterion)
def test_epa_1999_without_young_fish():
    # pH 7.688 makes both halves 1/2: (0.0577 + 2.487)/2 = 1.27235; at 5 degC the factor is that of 7: 1.45 x 10^0.504 = 4.6278
    found = a.chronic_criterion(7.688, Q(5, "degC"), "absent", "EPA1999")
    assert found.m_as("mg/L") == pytest.approx(1.27235 * 1.45 * 10**0.504, rel=1e-9)


def test_a_share_grows_with_ph_and_warmth():
    shares = a.unionized_fraction(np.linspace(6, 10, 41), Q(20, "degC")).m
    assert np.all(np.diff(shares) > 0)
    assert np.all(np.diff(a.unionized_fraction(8.0, Q(np.linspace(0, 35, 36), "degC")).m) > 0)


def test_what_is_not_possible_is_refused():
    with pytest.raises(QuantityError, match=r"ph in ammonia.unionized_fraction must be 0 to 14; 15 is not possible"):
        a.unionized_fraction(15, Q(20, "degC"))
    with pytest.raises(QuantityError, match=r"tan in ammonia.unionized_ammonia needs a unit"):
        a.unionized_ammonia(1.0, 8.0, Q(20, "degC"))
