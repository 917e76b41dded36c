"""How a number of the plan gets its band, its headline, its mover and its marks."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pondwright.pond.results import (
    EXTRAPOLATION_WIDENING,
    Assumption,
    End,
    Finding,
    Grid,
    Stage,
    Urgency,
    by_key,
    gather,
    months,
    number,
)
from pondwright.pond.results import given as given_number
from pondwright.tables import Coefficient
from pondwright.units import Arg, Q, formula


def coefficient(low, typical, high, unit="-", name="c", label="the coefficient", unverified=False, sources=("Practice",)):
    return Coefficient(name, label, Q(low, unit), Q(typical, unit), Q(high, unit), unit, sources, unverified, "")


@formula(x=Arg("kg", possible=(0, 1e9), calibrated=(1, 10)), factor=Arg("-"), returns=Arg("g"))
def grow(x, factor=1.0):
    """Multiply.

    References
    ----------
    [Geometry]_
    """
    return 1000 * x * factor


@formula(x=Arg("kg"), returns=Arg("kg"))
def remembered(x):
    """Return it.

    References
    ----------
    [AH590]_
    """
    return x


MASS = Q(2, "kg")


def g(quantity):
    return quantity.m_as("gram")


# -------------------------------------------------------------------------------------------------------------------- the band


def test_without_coefficients_there_is_no_band():
    n = number("n", "A mass", "g", lambda: grow(MASS))
    assert (g(n.value), g(n.low), g(n.typical), g(n.high)) == (2000, 2000, 2000, 2000)
    assert not n.has_band and n.band_text() == "" and n.mover == "" and n.marks == ""
    assert n.formulas == ("test_results.grow",) and n.sources == ("Geometry",)


def test_a_number_that_informs_is_headlined_at_its_typical_value():
    n = number("n", "A mass", "g", lambda f: grow(MASS, f), f=End(coefficient(0.5, 1, 3), "high"))
    assert (g(n.value), g(n.low), g(n.typical), g(n.high)) == (2000, 1000, 2000, 6000)
    assert n.has_band and n.mover == "the coefficient" and n.sources == ("Geometry", "Practice")
    assert n.text() == "2000 g" and n.band_text() == "range 1000 to 6000 g"


def test_independent_errors_make_a_narrower_band():
    # halves and quarters: all bad together an eighth; independent, 2^-sqrt(1^2 + 2^2) = 2^-2.236; the other way 2^(+sqrt(1^2 + 1^2))
    ends = {"a": End(coefficient(0.5, 1, 2), "low"), "b": End(coefficient(0.25, 1, 2), "low")}
    n = number("n", "A mass", "g", lambda a, b: grow(MASS, a * b), decides=True, likely=True, **ends)
    assert (g(n.value), g(n.high)) == (250, 8000)
    assert [g(q) for q in n.likely] == [pytest.approx(2000 * 2 ** -(5**0.5)), pytest.approx(2000 * 2 ** (2**0.5))]
    assert number("n", "A mass", "g", lambda a, b: grow(MASS, a * b), **ends).likely is None


def test_an_error_that_leaves_nothing_leaves_nothing():
    nothing = {"a": End(coefficient(0, 1, 2), "low"), "b": End(coefficient(1, 1, 2), "low")}
    n = number("n", "A mass", "g", lambda a, b: grow(MASS, a * b), decides=True, likely=True, **nothing)
    assert g(n.likely[0]) == 0 and g(n.likely[1]) == pytest.approx(2000 * 2 ** (2**0.5))
    alone = number("n", "A mass", "g", lambda a: grow(MASS, a), likely=True, a=nothing["a"])
    assert [g(q) for q in alone.likely] == [0, 4000]


@pytest.mark.parametrize("cautious, headline", [("low", 1000), ("high", 6000)])
def test_a_number_that_decides_is_headlined_at_its_cautious_end(cautious, headline):
    n = number("n", "A mass", "g", lambda f: grow(MASS, f), decides=True, f=End(coefficient(0.5, 1, 3), cautious))
    assert g(n.value) == headline and g(n.typical) == 2000
    assert n.band_text() == "typical 2000 g, range 1000 to 6000 g"


def test_a_coefficient_that_divides_turns_the_band_round():
    n = number("n", "A mass", "g", lambda f: grow(MASS) / f, decides=True, f=End(coefficient(0.5, 1, 4), "high"))
    assert (g(n.value), g(n.low), g(n.typical), g(n.high)) == (500, 500, 2000, 4000)


def test_all_cautious_ends_are_taken_together_and_the_largest_mover_is_named():
    ends = {
        "a": End(coefficient(0.9, 1, 1.1, name="a", label="the small one"), "low"),
        "b": End(coefficient(0.5, 1, 1.5, name="b", label="the large one"), "high"),
    }
    n = number("n", "A mass", "g", lambda a, b: grow(MASS, a) / b, decides=True, **ends)
    assert g(n.value) == pytest.approx(2000 * 0.9 / 1.5)  # a low and b high: both cautious ends
    assert g(n.high) == pytest.approx(2000 * 1.1 / 0.5)
    assert n.mover == "the large one"


@settings(max_examples=80, deadline=None)
@given(
    low=st.floats(0.01, 0.99), high=st.floats(1.01, 100), power=st.sampled_from([-1, 1, 2]), cautious=st.sampled_from(["low", "high"]),
    decides=st.booleans(), kilos=st.floats(0.1, 1000),
)
def test_the_band_always_holds_headline_and_typical(low, high, power, cautious, decides, kilos):
    end = End(coefficient(low, 1, high), cautious)
    n = number("n", "A mass", "g", lambda f: grow(Q(kilos, "kg"), f.magnitude**power), decides=decides, f=end)
    assert n.low <= n.value <= n.high and n.low <= n.typical <= n.high
    worst = n.high if (cautious == "high") == (power > 0) else n.low  # a power of -1 turns the ends round
    assert n.value == (worst if decides else n.typical)


def test_trying_all_ends_in_one_call_gives_the_same():
    ends = {"a": End(coefficient(0.9, 1, 1.1, label="small"), "low"), "b": End(coefficient(0.2, 1, 2, label="large"), "high")}
    calls = []

    def compute(a, b):
        calls.append(1)
        return grow(MASS, a) / b

    one_by_one = number("n", "A mass", "g", compute, decides=True, **ends)
    many = len(calls)
    at_once = number("n", "A mass", "g", compute, decides=True, stacked=True, **ends)
    assert len(calls) == many + 1 < 2 * many
    assert all(g(getattr(at_once, end)) == pytest.approx(g(getattr(one_by_one, end))) for end in ("value", "typical", "low", "high"))
    assert at_once.mover == one_by_one.mover == "large"


def test_what_floating_point_leaves_behind_is_nothing():
    n = number("n", "A rest", "kg", lambda f: Q(0.1, "kg") * f + Q(0.2, "kg") * f - Q(0.3, "kg"), f=End(coefficient(1, 1, 2), "high"))
    # 0.1 + 0.2 - 0.3 is nothing, and 5.6e-17 to a computer; 0.2 + 0.4 - 0.3 is 0.3
    assert n.low.m == n.typical.m == 0 and n.high.m == pytest.approx(0.3)


# ------------------------------------------------------------------------------------------------------------------- the marks


def test_use_outside_the_calibrated_range_widens_the_band_and_is_marked():
    n = number("n", "A mass", "g", lambda f: grow(Q(20, "kg"), f), decides=True, f=End(coefficient(0.8, 1, 1.3), "low"))
    # half as far again on each side of 20,000 g: 16,000 becomes 20,000 - 1.5 x 4,000, 26,000 becomes 20,000 + 1.5 x 6,000
    assert (g(n.low), g(n.typical), g(n.high)) == (pytest.approx(14000), pytest.approx(20000), pytest.approx(29000))
    assert g(n.value) == g(n.low)
    assert n.marks == "outside the range of Elementary geometry and arithmetic (x 20 kg; range 1 to 10 kg)" and n.widened
    assert EXTRAPOLATION_WIDENING == 1.5


def test_an_extrapolated_number_without_a_band_gets_a_quarter_each_way():
    n = number("n", "A mass", "g", lambda: grow(Q(20, "kg")))
    assert (g(n.low), g(n.high)) == (pytest.approx(15000), pytest.approx(25000))


def test_a_widened_band_never_crosses_zero():
    n = number("n", "A mass", "g", lambda f: grow(Q(20, "kg"), f), f=End(coefficient(0.1, 1, 2), "low"))
    assert g(n.low) == 0 and g(n.high) == pytest.approx(50000)


def test_a_mark_without_widening():
    n = number("n", "A mass", "g", lambda: grow(Q(20, "kg")), widen=False)
    assert not n.has_band and n.marks and not n.widened


def test_what_rests_on_memory_says_unverified():
    n = number("n", "A mass", "g", lambda: remembered(MASS))
    assert n.unverified == ("test_results.remembered",) and n.marks == "unverified: return it"
    n = number("n", "A mass", "g", lambda f: grow(MASS, f), f=End(coefficient(1, 1, 2, label="a guess", unverified=True), "low"))
    assert n.marks == "unverified: a guess"


def test_only_what_was_called_is_named():
    n = number("n", "A mass", "g", lambda: MASS)
    assert n.formulas == () and n.sources == ()


# -------------------------------------------------------------------------------------------------------------- texts and stages


@pytest.mark.parametrize("system, text, band", [
    ("metric", "5000 L", "range 4000 to 6000 L"),
    ("us", "1320 US gal", "range 1060 to 1590 US gal"),  # / 3.785412: 1320.9, 1056.7, 1585.0
    ("imperial", "1100 imp gal", "range 880 to 1320 imp gal"),  # / 4.546090: 1099.8, 879.9, 1319.8
])
def test_the_systems_of_units(system, text, band):
    n = number("n", "Water", "L", lambda f: Q(5000, "L") * f, f=End(coefficient(0.8, 1, 1.2), "low"))
    assert (n.text(system), n.band_text(system)) == (text, band)


def test_a_number_of_the_pond_file_has_no_band_and_no_source():
    n = given_number("n", "Depth", "m", Q(4, "ft"), note="by tape")
    assert not n.has_band and n.sources == () and n.text() == "1.22 m" and n.note == "by tape"


def test_a_stage_gathers_formulas_and_sources_from_its_numbers():
    a = number("a", "A", "g", lambda: grow(MASS))
    b = number("b", "B", "kg", lambda: remembered(MASS))
    stage = gather(Stage("s", "S", by_key(a, b), assumptions=(Assumption("So be it.", ("Practice", "Geometry")),)))
    assert stage.formulas == ("test_results.grow", "test_results.remembered")
    assert stage.sources == ("Geometry", "AH590", "Practice")
    assert stage["a"] is a and "b" in stage and "c" not in stage and stage.planned and not Stage("t", "T", missing=("needs x",)).planned


def test_results_are_frozen():
    n = given_number("n", "Depth", "m", Q(1, "m"))
    with pytest.raises(dataclasses.FrozenInstanceError):
        n.label = "other"
    with pytest.raises(dataclasses.FrozenInstanceError):
        Finding("a.b", Urgency.FIX, "x", "y").what = "z"


def test_a_grid_follows_the_system_of_units():
    grid = Grid("Pipes", ("Pipe", "Bore", "Share"), ("", "mm", "-"), (("small", Q(25.4, "mm"), Q(0.5)), ("none", None, Q(1))))
    assert grid.heads() == ("Pipe", "Bore, mm", "Share") and grid.heads("us") == ("Pipe", "Bore, in", "Share")
    assert grid.cells("us") == [("small", "1", "0.5"), ("none", "–", "1")]
    assert grid.cells() == [("small", "25.4", "0.5"), ("none", "–", "1")]


def test_danger_comes_first():
    assert sorted(Urgency) == [Urgency.DANGER, Urgency.FIX, Urgency.IMPROVE, Urgency.NOTE]


def test_a_series_by_month():
    series = months(range(12), "g/d")
    assert series.magnitude.shape == (12,) and series.magnitude.dtype == np.dtype(float)


@pytest.mark.parametrize("low, typical, high, headline, band", [
    (0.731, 22.1, 111.0, "43.9 min", "typical 22.1 h, range 43.9 min to 111 h"),
    (0.25, 0.5, 1.5, "15 min", "typical 30 min, range 15 to 90 min"),
    (2.0, 3.0, 4.0, "2 h", "typical 3 h, range 2 to 4 h"),
    (0.0, 3.0, 4.0, "0 h", "typical 3 h, range 0 to 4 h"),
])  # fmt: skip
def test_a_short_time_is_told_in_minutes(low, typical, high, headline, band):
    """0.731 h x 60 = 43.9 min; from two hours on it is hours."""
    time = number("lasts", "It lasts", "h", lambda c: c, decides=True, c=End(coefficient(low, typical, high, "h"), "low"))
    assert time.text() == headline and time.band_text() == band
    assert time.end_text(time.typical, digits=2) == f"{22 if typical > 20 else band.split()[1]} {band.split()[2].rstrip(',')}"
