"""The parser, the decorator and the unit systems."""
from __future__ import annotations

import math
import warnings

import numpy as np
import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pondwright.units import (
    FORMULAS,
    SYSTEMS,
    Arg,
    ExtrapolationWarning,
    Q,
    QuantityError,
    formula,
    kind_of,
    read,
    read_noting,
    round_text,
    show,
    tracing,
    unit,
    unit_for,
    write_unit,
)
from pondwright.units.registry import _UNIT_WORDS, _UNITS
from pondwright.units.systems import _SYSTEM_UNITS

# ------------------------------------------------------------------------------------------------------------------- the parser

READS = [
    ("5200 L", "L", 5200, "L"), ("5200L", "L", 5200, "L"), (" 5200  litres ", "L", 5200, "L"), ("1e3 L", "L", 1000, "L"),
    ("12,5 L", "L", 12.5, "L"), ("0,500 L", "L", 0.5, "L"), ("1,25 m", "m", 1.25, "m"), ("7,4", "-", 7.4, "-"),
    ("1500,5 L", "L", 1500.5, "L"), (",5 m", "m", 0.5, "m"), (".5 m", "m", 0.5, "m"), ("5. m", "m", 5, "m"), ("1.500 L", "L", 1.5, "L"),
    ("3/4 in", "mm", 19.05, "mm"), ("1 1/2 in", "mm", 38.1, "mm"), ("1-1/2 in", "mm", 38.1, "mm"), ("1½ in", "mm", 38.1, "mm"),
    ("½ in", "mm", 12.7, "mm"), ("-½ m", "m", -0.5, "m"), ("+3/4 in", "mm", 19.05, "mm"), ("1/2", "-", 0.5, "-"),
    ("5 ft 6 in", "m", 1.6764, "m"), ("5'6\"", "m", 1.6764, "m"), ("5′ 6″", "m", 1.6764, "m"), ("5 ft 6 1/2 in", "m", 1.6891, "m"),
    ("5 ft 3/4 in", "m", 1.54305, "m"), ("5ft", "m", 1.524, "m"), ("2 h 46 min", "h", 2 + 46 / 60, "h"), ("1h 30min", "min", 90, "min"),
    ("2 tonnes", "kg", 2000, "kg"), ("0.93 t", "kg", 930, "kg"), ("-1 ft 6 in", "m", -0.4572, "m"), ("6 feet", "m", 1.8288, "m"),
    ("18 degC", "degC", 18, "degC"), ("18 °C", "degC", 18, "degC"), ("18 degrees C", "degC", 18, "degC"),
    ("64.4 degF", "degC", 18, "degC"), ("−5 degC", "degC", -5, "degC"), ("291.15 K", "degC", 18, "degC"),
    ("0.25 ppm", "mg/L", 0.25, "mg/L"), ("0.25 PPM", "mg/L", 0.25, "mg/L"), ("250 ug/L", "mg/L", 0.25, "mg/L"),
    ("3 g/m3", "mg/L", 3, "mg/L"), ("4 dKH", "mg/L", 71.392, "mg/L"), ("30 %", "%", 30, "%"), ("30 percent", "%", 30, "%"),
    ("7.4 pH", "-", 7.4, "-"), ("12 fish", "-", 12, "-"), ("8 L per minute", "L/min", 8, "L/min"), ("8 L / min", "L/min", 8, "L/min"),
    ("480 L/h", "L/min", 8, "L/min"), ("12 g a day", "g/d", 12, "g/d"), ("1 m³/h", "L/min", 1000 / 60, "L/min"),
    ("10 dGH", "mg/L", 178.48, "mg/L"), ("10 °dH", "mg/L", 178.48, "mg/L"),  # 10 x 10 mg/L of CaO x 100.087/56.077 as CaCO3
    ("180 °", "deg", 180, "deg"), ("2 kWh/m2/day", "kWh/m2/d", 2, "kWh/m2/d"), ("100 Ah", "Ah", 100, "Ah"), ("1 kWh", "Wh", 1000, "Wh"),
]


@pytest.mark.parametrize("text, wanted, number, in_unit", READS, ids=[r[0] for r in READS])
def test_reads_what_people_write(text, wanted, number, in_unit):
    assert read(text, wanted).m_as(unit(in_unit)) == pytest.approx(number, rel=1e-12)


# NIST SP 811 (2008), appendix B.8: 1 US gallon = 3.785412 L, 1 imperial gallon = 4.546090 L, 1 ft3 = 28.31685 L, 1 acre-foot = 1233.5 m3,
# 1 lb = 0.45359237 kg, 1 oz = 28.34952 g, 1 psi = 6.894757 kPa, 1 US gal/min = 0.06309020 L/s
PRINTED = [
    ("1 US gal", "L", 3.785412, 5e-7), ("1 imp gal", "L", 4.546090, 5e-7), ("1 ft3", "L", 28.31685, 5e-6),
    ("1 acre-ft", "m3", 1233.5, 0.05), ("1 lb", "kg", 0.45359237, 5e-9), ("1 oz", "g", 28.34952, 5e-6), ("1 psi", "kPa", 6.894757, 5e-7),
    ("1 US gpm", "L/min", 3.785412, 5e-7), ("60 imp gph", "L/min", 4.546090, 5e-7), ("1 US gal/min", "L/min", 3.785412, 5e-7),
]


@pytest.mark.parametrize("text, in_unit, printed, half_digit", PRINTED, ids=[p[0] for p in PRINTED])
def test_the_units_of_nist_811(text, in_unit, printed, half_digit):
    assert abs(read(text).m_as(unit(in_unit)) - printed) <= half_digit


REFUSALS = [
    ("1,500 L", "L", "decimal comma or a thousands mark"), ("12,500 L", "L", "decimal comma or a thousands mark"),
    ("1,500.5 L", "L", "decimal comma"), ("1.500,5 L", "L", "decimal comma"), ("1,000,000 L", "L", "decimal comma"),
    ("12.345.678 L", "L", "decimal comma"), ("1 500 L", "L", "space inside the number: write '1500 L'"),
    ("1\u00a0500 L", "L", "space inside the number"), ("20 gal", "L", "US or imperial"), ("20 Gal", "L", "US or imperial"),
    ("20 gallons", "L", "US or imperial"), ("20 gpm", "L/min", "US or imperial"), ("20 GPH", "L/min", "US or imperial"),
    ("20 gal/min", "L/min", "US or imperial"), ("18 C", "degC", "Write 'degC'"), ("64 F", "degC", "Write 'degF'"),
    ("18 c", "degC", "Write 'degC'"), ("2 mH2O", "m", "head or pressure"), ("5 F", "Ah", "Fahrenheit or farad?"),
    ("180", "deg", "'180' has no unit: this is a number in deg; write it with one, such as '1.5 deg'"), (1, "h/d", "has no unit"),
    ("24 h", "h/d", "'24 h' is a time; a number in h/d is needed, such as '1.5 h/d'"), ("5 kg", "deg", "a number in deg is needed"),
    ("S", "deg", "clockwise from north: '180 deg'"), ("south-west", "deg", "'225 deg'"), ("due N", "deg", "'0 deg'"),
    ("SSW", "deg", "'202.5 deg'"),
    ("47° 36' N", "deg", "'47.6 deg'"), ("33,5 S", "deg", "'-33.5 deg'"), ("9°30'", "deg", "'9.5 deg'"), ("122 W", "deg", "'-122 deg'"),
    ("steep", "deg", "does not start with a number"), ("___ m", "m", "is a blank still: put your own number"),
    ("5200 kg", "L", "'5200 kg' is a mass; a volume is needed, such as '1.5 L'"), ("7 kg", "-", "a plain number is needed"),
    ("5200", "L", "has no unit: this is a volume; write it with one, such as '1.5 L'"), (5200, "L", "has no unit"),
    ("30", "%", "write '30 %'"), ("0.3", "%", "or if you mean the fraction 0.3, '30 %'"),
    ("5 lters", "L", "not a unit known here. Did you mean 'liters'?"), ("5 v", "V", "Did you mean 'V'?"),
    ("5 furlongs", "m", "not a unit known here"), ("nan L", "L", "not a finite number"), ("inf L", "L", "not a finite number"),
    ("-inf", "-", "not a finite number"), ("1e999 L", "L", "not a finite number"), (float("nan"), "-", "not a finite number"),
    (True, "-", "expected a number"), (None, "L", "expected a number"), ("", "L", "expected a number"), ("   ", "L", "expected a number"),
    ("deep", "m", "does not start with a number; write it such as '1.5 m'"), ("1/0 in", "m", "divides by zero"),
    ("5-6 L", "L", "more than one number"), ("5 to 6 L", "L", "more than one number"), ("5 ± 1 L", "L", "more than one number"),
    ("5 ft 1 2 3 in", "m", "not a unit"), ("5 m*s", "m", "not a unit"), ("5 L/", "L", "not a unit"), ("0x10 L", "L", "not a unit"),
    ("5 delta_degC", "degC", "difference of temperatures"), ("1" * 5000 + " L", "L", "too long for a quantity"),
]


@pytest.mark.parametrize("text, wanted, says", REFUSALS, ids=[str(r[0])[:20] for r in REFUSALS])
def test_refuses_with_a_sentence(text, wanted, says):
    with pytest.raises(QuantityError) as refusal:
        read(text, wanted)
    assert says in str(refusal.value)
    assert "\n" not in str(refusal.value)


def test_ppm_is_read_as_mg_per_litre_and_says_so():
    value, note = read_noting("0.25 ppm", "mg/L")
    assert value == Q(0.25, "mg/L")
    assert note == "'0.25 ppm' is read as 0.25 mg/L: in fresh water 1 ppm is 1 mg/L"
    assert read_noting("0.25 mg/L", "mg/L")[1] == ""


def test_a_line_break_in_the_text_does_not_break_the_refusal():
    with pytest.raises(QuantityError) as refusal:
        read("5\n\x1b[31m kg", "L")
    assert "\n" not in str(refusal.value) and "\x1b" not in str(refusal.value)


HOPEFUL = st.text(st.sampled_from("0123456789,./-+' \"½¾eE%μ²³°LmgalinftdCFKphNH\n\t"), max_size=25)
WANTED = st.sampled_from([None, "L", "m", "degC", "mg/L", "%", "-", "L/min", "kWh/m2/d"])


@settings(max_examples=400, deadline=None)
@given(text=st.one_of(st.text(max_size=60), HOPEFUL), wanted=WANTED)
def test_any_text_is_read_or_refused_and_nothing_else(text, wanted):
    try:
        got = read(text, wanted)
    except QuantityError as refusal:
        assert len(str(refusal).splitlines()) == 1
    else:
        assert math.isfinite(got.magnitude)
        assert wanted is None or got.is_compatible_with(unit(wanted))


@settings(max_examples=300, deadline=None)
@given(number=st.floats(-1e9, 1e9, allow_subnormal=False), word=st.sampled_from(sorted(_UNITS)))
def test_what_is_written_is_read_back(number, word):
    if word == "-":
        return
    got = read(f"{number!r} {word}")
    assert got.magnitude == number and got.units == unit(word)


@pytest.mark.parametrize("number, comma", [("12.5", "12,5"), ("0.25", "0,25"), ("1500.75", "1500,75")])
def test_a_decimal_comma_is_a_decimal_point(number, comma):
    assert read(f"{comma} L") == read(f"{number} L")


@settings(max_examples=100, deadline=None)
@given(feet=st.integers(0, 200), inches=st.integers(0, 11), top=st.integers(1, 15))
def test_feet_inches_and_sixteenths(feet, inches, top):
    got = read(f"{feet} ft {inches} {top}/16 in").m_as("inch")
    assert got == pytest.approx(12 * feet + inches + top / 16, rel=1e-12)


def test_no_word_means_two_things():
    words = [w for text in _UNIT_WORDS.values() for w in text.split()]
    assert len(words) == len(set(words)), sorted(w for w in words if words.count(w) > 1)


EVERY_UNIT = {*_UNITS, *_SYSTEM_UNITS, *(u for pair in _SYSTEM_UNITS.values() for u in pair), "g/m2/d", "kWh/m2/d", "mg/L/h"}


@pytest.mark.parametrize("word", sorted(EVERY_UNIT))
def test_every_unit_can_be_written_so_that_it_is_read_again(word):
    written = write_unit(unit(word))
    assert unit(written) == unit(word)
    if written != "-":
        assert read(f"2.5 {written}").units == unit(word)


def test_a_unit_without_a_word_is_refused():
    with pytest.raises(QuantityError, match="no word here"):
        write_unit(unit("m").__class__("candela"))


def test_kinds_have_names():
    assert [kind_of(Q(1, u)) for u in ("L", "US gal", "ft", "degF", "L/h", "dKH", "Wh", "%")] == [
        "a volume", "a volume", "a length", "a temperature", "a flow", "a concentration", "an energy", "a plain number"]


# ---------------------------------------------------------------------------------------------------------------- the decorator


@pytest.fixture(scope="module", autouse=True)
def tidy():
    """Formulas declared here leave the list of the package's formulas when this module is done."""
    before = dict(FORMULAS)
    yield
    FORMULAS.clear()
    FORMULAS.update(before)


def make():
    @formula(mass=Arg("kg", possible=(0, 100), calibrated=(1, 10)), warm=Arg("degC", possible=(-5, 60)), factor=Arg("-", possible=(0, 5)),
             extra=Arg("g", optional=True), method=("Smith1999", "Jones2001"), returns=Arg("g/d", possible=(0, 1e6)))
    def ration(mass, warm, factor=0.01, extra=None, method="Smith1999"):
        """Feed for a mass of fish.

        Parameters
        ----------
        mass
            Of all fish.
        warm
            Of the water.
        factor
            Share a day.
        extra
            On top.
        method
            Whose.

        Notes
        -----
        F = m x

        References
        ----------
        [Practice]_ ; [Geometry]_ page 3
        """
        share = factor if method == "Smith1999" else 2 * factor
        return mass * 1000 * share * (warm > 8) + (extra or 0)

    return ration


ration = make()
KG, WARM = Q(2, "kg"), Q(20, "degC")


def test_units_are_taken_off_and_put_on():
    assert ration(KG, WARM) == Q(20, "g/d")
    assert ration(Q(2000, "g"), Q(68, "degF")).m_as("g/day") == pytest.approx(20)
    assert ration(warm=WARM, mass=KG, factor=Q(2, "%"), extra=Q(1, "g")).m_as("g/day") == pytest.approx(41)
    assert ration(KG, WARM, 0.02).units == unit("g/d")


def test_the_body_stays_reachable():
    assert ration.plain(2.0, 20.0) == 20.0
    assert ration.check(mass=2.0, warm=20.0) == ()
    assert len(ration.check(mass=20.0)) == 1
    with pytest.raises(QuantityError, match="mass in test_units.ration must be 0 to 100 kg; 101 is not possible"):
        ration.check(mass=101.0)


def test_arrays_go_through():
    got = ration(Q([1, 2, 3], "kg"), WARM)
    assert got.m_as("g/day").tolist() == [10, 20, 30]
    with pytest.raises(QuantityError, match="must be 0 to 100 kg; -1 is not possible"):
        ration(Q(np.array([1, -1]), "kg"), WARM)


JUNK = {
    "a bare number": (2.0, "mass in test_units.ration needs a unit: write Q(2, 'kg') instead of 2"),
    "a bare array": ([1, 2], "needs a unit: write Q(an array of bare numbers, 'kg')"),
    "text": ("2 kg", "needs a quantity in kg; '2 kg' was given: write Q(number, 'kg')"),
    "nothing": (None, "needs a quantity in kg; None was given"),
    "a truth value": (True, "needs a quantity in kg; True was given"),
    "lists of unequal lengths": ([[1], [1, 2]], "needs a quantity in kg"),
    "a list with text": ([1, "a"], "needs a quantity in kg"),
    "a wrong dimension": (Q(2, "L"), "mass in test_units.ration is a mass (such as '1 kg'); 2 l is a volume"),
    "another registry": (
        pint.UnitRegistry().Quantity(2, "kg"), "comes from another pint registry: make it with pondwright's Q(number, unit)"),
    "NaN": (Q(math.nan, "kg"), "is not a finite number"),
    "infinity": (Q(math.inf, "kg"), "is not a finite number"),
    "NaN in an array": (Q([1, math.nan], "kg"), "is not a finite number"),
    "infinity in an array": (Q([1, -math.inf], "kg"), "is not a finite number"),
    "an empty array": (Q([], "kg"), "is an empty array"),
    "a complex number": (Q(1j, "kg"), "complex"),
    "a negative mass": (Q(-1, "kg"), "must be 0 to 100 kg; -1 is not possible"),
}


@pytest.mark.parametrize("what", JUNK)
def test_junk_is_refused_with_the_mend(what):
    junk, says = JUNK[what]
    with pytest.raises(QuantityError) as refusal:
        ration(junk, WARM)
    assert says in str(refusal.value)


def test_a_difference_of_temperatures_is_not_a_temperature():
    with pytest.raises(QuantityError):
        ration(KG, Q(20, "delta_degC"))


def test_a_plain_number_that_is_text_is_refused():
    with pytest.raises(QuantityError, match="factor in test_units.ration needs a plain number; 'much' was given"):
        ration(KG, WARM, "much")


def test_the_result_is_checked():
    @formula(x=Arg("m"), returns=Arg("m", possible=(0, None)))
    def result(x):
        """Go below zero or nowhere."""
        return x - 5 if x != 3 else math.inf

    assert result(Q(6, "m")) == Q(1, "m")
    with pytest.raises(QuantityError, match="the result in test_units.result must be at least 0 m; -4 is not possible"):
        result(Q(1, "m"))
    with pytest.raises(QuantityError, match="the result in test_units.result is not a finite number"):
        result(Q(3, "m"))


def test_a_division_by_zero_is_a_refusal():
    @formula(x=Arg("m"), returns=Arg("m"))
    def inverse(x):
        """Divide."""
        return 1 / x

    with pytest.raises(QuantityError, match=r"test_units.inverse has no answer for x = 0.0"):
        inverse(Q(0, "m"))


def test_method_words():
    assert ration(KG, WARM, method="Jones2001").m_as("g/day") == pytest.approx(40)
    for wrong in ("Smith", None, 3, np.array([1, 2])):
        with pytest.raises(QuantityError, match="method in test_units.ration is one of Smith1999, Jones2001"):
            ration(KG, WARM, method=wrong)


def test_wrong_calls_say_what_is_wrong():
    with pytest.raises(TypeError, match="also needs warm"):
        ration(KG)
    with pytest.raises(TypeError, match="takes 5 values, 6 were given"):
        ration(KG, WARM, 0.1, None, "Smith1999", 1)
    with pytest.raises(TypeError, match="weight given twice or not a parameter; it takes mass, warm, factor, extra, method"):
        ration(KG, WARM, weight=KG)
    with pytest.raises(TypeError, match="mass given twice"):
        ration(KG, WARM, mass=KG)


def test_decorator_and_signature_must_agree():
    with pytest.raises(TypeError, match=r"decorator names \['y'\], signature has \['x'\]"):
        @formula(y=Arg("m"), returns=Arg("m"))
        def wrong(x):
            """Return it."""
            return x


def test_outside_the_calibrated_range_is_computed_and_marked():
    with tracing() as uses:
        assert ration(Q(20, "kg"), WARM).m_as("g/day") == pytest.approx(200)
        ration(KG, WARM)
    assert [u.formula for u in uses] == ["test_units.ration"] * 2
    (mark,) = uses[0].extrapolations
    assert (mark.parameter, mark.given, mark.calibrated, mark.sources) == ("mass", "20 kg", "1 to 10 kg", ("Practice", "Geometry"))
    assert str(mark) == "test_units.ration: mass = 20 kg lies outside 1 to 10 kg (Practice, Geometry)"
    assert uses[1].extrapolations == ()


def test_a_calibrated_range_may_name_who_set_it_and_hold_for_that_method_only():
    @formula(mass=Arg("kg", calibrated=(1, 10), by="Practice"), method=("Practice", "Geometry"), returns=Arg("kg"))
    def kept(mass, method="Practice"):
        """Return it.

        References
        ----------
        [Practice]_; [Geometry]_
        """
        return mass

    FORMULAS.pop(kept.formula_name)
    with tracing() as uses:
        kept(Q(20, "kg"))
        kept(Q(20, "kg"), method="Geometry")
        kept(Q(20, "kg"), "Practice")
    assert [[e.sources for e in use.extrapolations] for use in uses] == [[("Practice",)], [], [("Practice",)]]
    assert kept.arguments["mass"].describe() == "[kg], calibrated 1 to 10 (Practice)"


def test_outside_a_trace_an_extrapolation_warns():
    with pytest.warns(ExtrapolationWarning, match="mass = 20 kg lies outside 1 to 10 kg"):
        ration(Q(20, "kg"), WARM)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        ration(KG, WARM)


def test_traces_nest_and_end_when_something_breaks():
    with tracing() as outer:
        with tracing() as inner:
            ration(KG, WARM)
        with pytest.raises(RuntimeError), tracing():
            ration(KG, WARM)
            raise RuntimeError
    assert len(inner) == 1 and len(outer) == 2
    with tracing() as fresh:
        pass
    assert fresh == []


def test_the_docstring_is_completed_from_the_decorator():
    doc = ration.__doc__
    assert "mass : [kg], possible 0 to 100, calibrated 1 to 10" in doc
    assert "warm : [degC], possible -5 to 60" in doc
    assert "method : {Smith1999, Jones2001}" in doc
    assert "Returns\n-------\nQuantity\n    [g/d], possible 0 to 1e+06" in doc
    assert doc.index("Returns\n") < doc.index("Raises\n") < doc.index("Notes\n") < doc.index("References\n")


def test_sources_come_from_the_docstring_and_the_formula_is_registered():
    assert ration.sources == ("Practice", "Geometry")
    assert FORMULAS["test_units.ration"] is ration
    assert ration.__name__ == "ration" and ration.__wrapped__ is ration.plain


@settings(max_examples=100, deadline=None)
@given(mass=st.floats(0.01, 99), warm=st.floats(-4, 59))
def test_units_in_make_no_difference(mass, warm):
    with tracing():
        metric = ration(Q(mass, "kg"), Q(warm, "degC"), 0.02).m_as("g/day")
        american = ration(Q(mass, "kg").to(unit("lb")), Q(warm, "degC").to(unit("degF")), Q(2, "%")).m_as("g/day")
    assert abs(warm - 8) < 1e-9 or american == pytest.approx(metric, rel=1e-9)


# ------------------------------------------------------------------------------------------------------------- the unit systems


@pytest.mark.parametrize("metric", _SYSTEM_UNITS)
@pytest.mark.parametrize("system", SYSTEMS)
def test_each_system_shows_the_same_kind_of_thing(metric, system):
    assert unit(unit_for(metric, system)).dimensionality == unit(metric).dimensionality


def test_an_unknown_system_is_refused():
    with pytest.raises(QuantityError, match="one of metric, us, imperial; 'martian' was given"):
        unit_for("L", "martian")


# 1000 L / 3.785412 = 264.17; / 4.546090 = 219.97 (NIST SP 811); 20 degC = 68 degF; 1 m = 3.2808 ft
@pytest.mark.parametrize("value, metric, system, text", [
    (Q(1000, "L"), "L", "us", "264 US gal"), (Q(1000, "L"), "L", "imperial", "220 imp gal"), (Q(1, "m"), "m", "us", "3.28 ft"),
    (Q(20, "degC"), "degC", "us", "68 °F"), (Q(20, "degC"), "degC", "metric", "20 °C"), (Q(0, "L"), "L", "metric", "0 L"),
    (Q(13.4, "g"), "g", "us", "13.4 g"), (Q(13.4, "g"), "g", "imperial", "13.4 g"), (Q(56.7, "g"), "g", "us", "2 oz"),
    (Q(2, "g/d"), "g/d", "us", "2 g/day"), (Q(56.7, "g/d"), "g/d", "us", "2 oz/day"), (Q(0, "g"), "g", "us", "0 g"),
    (Q(12, "m2"), "m2", "metric", "12 m²"), (Q(0.5, "-"), "-", "us", "0.5"), (Q(2, "mg/L"), "mg/L", "us", "2 mg/L"),
])
def test_show(value, metric, system, text):
    assert show(value, metric, system) == text


def test_under_a_column_head_small_masses_keep_the_columns_unit():
    # 13.4 g / 28.3495 = 0.473 oz
    assert show(Q(13.4, "g"), "g", "us", as_unit="oz") == "0.473 oz"
    from pondwright.pond.results import Grid

    grid = Grid("", ("Mass",), ("g",), ((Q(13.4, "g"),), (Q(56.7, "g"),)))
    assert grid.heads("us") == ("Mass, oz",) and grid.cells("us") == [("0.473",), ("2",)]


ROUNDED = [
    (0, 3, "0"), (1234.5, 3, "1230"), (0.0012345, 3, "0.00123"), (9.996, 3, "10"), (-0.5, 1, "-0.5"), (1e7, 2, "10000000"),
    (0.999999, 2, "1"), (99.95, 3, "100"), (1e-12, 2, "0.000000000001"), (np.float64(2e-310), 1, "0." + "0" * 309 + "2"),
    (1.795e308, 3, f"{1.795e308:.0f}"),
]


@pytest.mark.parametrize("value, digits, text", ROUNDED)
def test_round_text(value, digits, text):
    assert round_text(value, digits) == text


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_not_finite_is_never_shown(value):
    with pytest.raises(QuantityError, match="not a finite number"):
        round_text(value)


@settings(max_examples=200, deadline=None)
@given(value=st.floats(-1e12, 1e12), digits=st.integers(1, 6))
def test_rounding_stays_within_half_the_last_digit(value, digits):
    text = round_text(value, digits)
    assert "e" not in text
    assert abs(float(text) - value) <= abs(value) * 0.5 * 10.0 ** (1 - digits) * (1 + 1e-9)
