"""The survey of every shape, against arithmetic that stands here."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pondwright.pond.file import demo_pond, parse_pond
from pondwright.pond.plan import plan
from pondwright.pond.results import Urgency
from pondwright.pond.stages import survey as stage
from pondwright.units import unit


def surveyed(shape: str):
    return plan(parse_pond(f"[pond.shape]\n{shape}\n"), until="survey")


def found(shape: str):
    p = surveyed(shape)
    return stage.find(p.pond, p.stages)


# shape: (file, surface m2, volume L, deepest m, bottom and walls m2 or None, liner m x m or None)
SHAPES = {
    # 4 x 2.5 = 10; x 0.8 = 8 m3; 10 + 2 (4 + 2.5) 0.8 = 20.4; liner 4 + 1.6 + 0.6, 2.5 + 1.6 + 0.6
    "rectangle": ('kind = "rectangle"\nlength = "4 m"\nwidth = "2.5 m"\ndepth = "0.8 m"', 10, 8000, 0.8, 20.4, (6.2, 4.7)),
    # pi 1.5^2 = 7.0686; x 0.6; + pi 3 x 0.6 = 5.6549; liner 3 + 1.2 + 0.6
    "circle": ('kind = "circle"\ndiameter = "3 m"\ndepth = "0.6 m"', 7.068583, 4241.150, 0.6, 7.068583 + 5.654867, (4.8, 4.8)),
    # pi 4 x 2 / 4 = 6.2832; perimeter 4 a E(1 - b2/a2) with E(0.75) = 1.2110560 (a table of elliptic integrals): 9.688448
    "ellipse": ('kind = "ellipse"\nlength = "4 m"\nwidth = "2 m"\ndepth = "1 m"', 6.283185, 6283.185, 1, 6.283185 + 9.688448, (6.6, 4.6)),
    # 3 x 2 + pi = 9.1416; perimeter 6 + 2 pi = 12.2832
    "stadium": ('kind = "stadium"\nlength = "5 m"\nwidth = "2 m"\ndepth = "1 m"', 9.141593, 9141.593, 1, 9.141593 + 12.283185, (7.6, 4.6)),
    # top 10 x 10, bottom 2 x 2, 3 deep: (100 + 4 x 36 + 4)/6 x 3 = 124 m3; slant 5: four trapezoids of 30 and 4 of bottom
    "sloped": ('kind = "sloped"\nlength = "10 m"\nwidth = "10 m"\nbottom_length = "2 m"\nbottom_width = "2 m"\ndepth = "3 m"',
               100, 124000, 3, 124, (16.6, 16.6)),
    # 4 x 3 x 0.3 + 3 x 2 x 0.5 = 3.6 + 3 m3; walls 14 x 0.3 + 10 x 0.5 = 9.2, treads and bottom together 12
    "shelves": ('kind = "shelves"\nlayers = [{length = "4 m", width = "3 m", depth = "0.3 m"}, '
                '{length = "3 m", width = "2 m", depth = "0.5 m"}]', 12, 6600, 0.8, 21.2, (6.2, 5.2)),
    # an L of 4 x 3 less a corner of 2 x 1: 10 m2; mean depth (0 + 0.5 + 1)/3 = 0.5
    "soundings": ('kind = "soundings"\noutline = [["0 m", "0 m"], ["4 m", "0 m"], ["4 m", "2 m"], ["2 m", "2 m"], ["2 m", "3 m"], '
                  '["0 m", "3 m"]]\ndepths = ["0 m", "0.5 m", "1 m"]', 10, 5000, 1, None, (6.6, 5.6)),
    # widths of the parabola 4x(6 - x)/9 at 0, 1.5, 3, 4.5, 6 m: exactly 16 m2; x 0.5
    "widths": ('kind = "widths"\nlength = "6 m"\nwidths = ["0 m", "3 m", "4 m", "3 m", "0 m"]\ndepths = ["0.5 m"]',
               16, 8000, 0.5, None, (7.6, 5.6)),
    # 1 kg raises 1015 uS/cm: 1015/2.03 = 500 mg/L; 1,000,000 mg/500 = 2000 L
    "salt": ('kind = "salt"\nsalt = "1 kg"\nconductivity_before = "300 uS/cm"\nconductivity_after = ["1310 uS/cm", "1320 uS/cm"]\n'
             'surface_area = "4 m2"\ndepth = "0.7 m"', 4, 2000, 0.7, None, None),
    # 12 L in 40 s is 0.3 L/s; 5 h = 18,000 s
    "fill": ('kind = "fill"\nbucket = "12 L"\nbucket_time = ["38 s", "42 s"]\nfill_time = "5 h"\nsurface_area = "9 m2"\ndepth = "0.9 m"',
             9, 5400, 0.9, None, None),
}


@pytest.mark.parametrize("kind", SHAPES)
def test_every_shape(kind):
    text, area, litres, deepest, wet, liner = SHAPES[kind]
    p = surveyed(text)
    survey = p["survey"]
    assert p.pond.pond.shape.kind == kind == survey.facts["shape"]
    assert survey["surface_area"].value.m_as(unit("m2")) == pytest.approx(area, rel=1e-6)
    assert survey["volume"].value.m_as("liter") == pytest.approx(litres, rel=1e-6)
    assert survey["max_depth"].value.m_as("meter") == pytest.approx(deepest)
    assert survey["mean_depth"].value.m_as("meter") == pytest.approx(litres / 1000 / area, rel=1e-6)
    assert survey["water_mass"].value.m_as("kilogram") == pytest.approx(0.9991 * litres, rel=1e-6)  # 999.1 kg/m3 at 15 degC
    assert ("wetted_area" in survey) == (wet is not None)
    if wet is not None:
        assert survey["wetted_area"].value.m_as(unit("m2")) == pytest.approx(wet, rel=1e-6)
    assert ("liner_length" in survey) == (liner is not None)
    if liner is not None:
        assert [survey[k].value.m_as("meter") for k in ("liner_length", "liner_width")] == pytest.approx(list(liner))
    assert survey.cautions and any("drown" in c for c in survey.cautions)


def test_the_same_pond_in_feet_and_in_metres():
    metric = surveyed('kind = "rectangle"\nlength = "3.048 m"\nwidth = "1.524 m"\ndepth = ["0.6096 m", "0.762 m"]')
    feet = surveyed('kind = "rectangle"\nlength = "10 ft"\nwidth = "5 ft"\ndepth = ["2 ft", "2 ft 6 in"]')
    for key, number in metric["survey"].numbers.items():
        for end in ("value", "low", "typical", "high"):
            a, b = (getattr(n, end).m_as(unit(n.unit)) for n in (number, feet["survey"][key]))
            assert a == pytest.approx(b, rel=1e-9), key
    assert metric["survey.volume"].text("us") == feet["survey.volume"].text("us")


def test_repeated_depths_carry_their_spread_into_the_volume():
    # 0.95 1.00 1.05 0.98 1.02 m: mean 1, s = 0.0380789, t(0.975, 4) = 2.776445 (a table of t): 2.776445 x 0.0380789/sqrt(5) = 0.0472810
    depths = 'depth = ["0.95 m", "1.00 m", "1.05 m", "0.98 m", "1.02 m"]'
    volume = surveyed(f'kind = "rectangle"\nlength = "4 m"\nwidth = "2.5 m"\n{depths}')["survey.volume"]
    assert [getattr(volume, end).m_as("liter") for end in ("low", "value", "high")] == pytest.approx([9527.19, 10000, 10472.81], abs=0.05)
    assert volume.mover == "the depth readings" and "95 %" in volume.note and "5 depth readings" in volume.note and "GUM" in volume.sources


def test_one_reading_has_no_spread_and_says_so():
    text = SHAPES["rectangle"][0]
    volume = surveyed(text)["survey.volume"]
    assert not volume.has_band and "unknown" in volume.note
    (finding,) = found(text)
    assert (finding.key, finding.urgency) == ("survey.one_reading", Urgency.IMPROVE)
    assert "8000 L" in finding.what and finding.do


def test_readings_that_disagree_ask_for_more():
    (finding,) = found('kind = "circle"\ndiameter = "3 m"\ndepth = ["0.5 m", "0.9 m", "0.7 m"]')
    # s = 0.2, t(0.975, 2) = 4.3027: 0.7 m -+ 4.3027 x 0.2/sqrt(3) = 0.4968 m; x 2.25 pi m2: 1436 and 8460 L
    assert finding.key == "survey.spread" and "from 1440 L to 8460 L" in finding.what and "10 %" in finding.what


@pytest.mark.parametrize("count", [2, 3, 5])
@pytest.mark.parametrize("depth", ["0.5 m", "0.8 m"])
def test_equal_readings_are_counted_and_have_no_spread(depth, count):
    """Three times 0.8 has a mean that is not quite 0.8 in floating point: no spread may come of that."""
    text = f'kind = "circle"\ndiameter = "3 m"\ndepth = {[depth] * count}'.replace("'", '"')
    volume = surveyed(text)["survey.volume"]
    assert not volume.has_band and f"{count} equal depth readings" in volume.note
    assert [f.key for f in found(text)] == (["survey.one_reading"] if count == 2 else [])


def test_repeated_bucket_times_carry_their_spread_into_the_volume():
    bucket = 'kind = "fill"\nbucket = "12 L"\nfill_time = "5 h"\nsurface_area = "9 m2"\ndepth = "1.2 m"\nbucket_time = '
    volume = surveyed(f'{bucket}["39 s", "40 s", "41 s"]')["survey.volume"]
    # s = 1, t(0.975, 2) = 4.302653: 40 s -+ 2.484138; 12 L x 18000 s / t = 5400 L, 216000 / 42.484138 = 5084.25,
    # 216000 / 37.515862 = 5757.57
    assert [getattr(volume, end).m_as("liter") for end in ("low", "value", "high")] == pytest.approx([5084.25, 5400, 5757.57], abs=0.05)
    assert volume.mover == "the bucket times" and "3 bucket times" in volume.note
    assert found(f'{bucket}["30 s", "50 s"]')[0].key == "survey.spread"
    assert "unknown" in surveyed(f'{bucket}"40 s"')["survey.volume"].note and found(f'{bucket}"40 s"')[0].key == "survey.one_reading"


def test_repeated_conductivities_carry_their_spread_into_the_volume():
    salt = 'kind = "salt"\nsalt = "1000 g"\nconductivity_before = "200 uS/cm"\nsurface_area = "4 m2"\ndepth = "0.8 m"\n'
    salt += "conductivity_after = "
    volume = surveyed(f'{salt}["1205 uS/cm", "1225 uS/cm", "1215 uS/cm"]')["survey.volume"]
    # s = 10: 1215 -+ 24.84138; V = 2.03e6 / rise: 2.03e6 / 1015 = 2000 L, / 1039.84138 = 1952.22, / 990.15862 = 2050.18
    assert [getattr(volume, end).m_as("liter") for end in ("low", "value", "high")] == pytest.approx([1952.22, 2000, 2050.18], abs=0.05)


def test_a_pond_that_looks_like_a_slip_of_the_pen():
    depths = 'depth = ["3 ft", "3 ft", "3 ft"]'
    (finding,) = found(f'kind = "rectangle"\nlength = "10 ft"\nwidth = "600 ft"\n{depths}')  # 600 ft = 182.88 m
    assert (finding.key, finding.urgency) == ("survey.large", Urgency.FIX) and "183 m" in finding.what and "50 m" in finding.what
    (finding,) = found(f'kind = "circle"\ndiameter = "12 in"\n{depths}')  # 0.3048 m; 3 ft = 0.9144 m
    assert finding.key == "survey.deep" and "0.914 m deep" in finding.what and "0.305 m" in finding.what
    assert found(f'kind = "circle"\ndiameter = "164 ft"\n{depths}') == []  # 49.99 m


GOOD = ['kind = "circle"\ndiameter = "3 m"\ndepth = ["0.70 m", "0.72 m", "0.71 m"]', SHAPES["shelves"][0]]


@pytest.mark.parametrize("text", GOOD)
def test_a_good_survey_finds_nothing(text):
    assert found(text) == []


def test_the_demo_pond():
    # 3.2 x 2.2 + pi 1.1^2 = 10.8413 m2; depths 0.98 1.04 1.01 0.95 1.06 1.02: mean 1.01; 10.9497 m3
    survey = plan(demo_pond(), until="survey")["survey"]
    assert survey["surface_area"].value.m_as(unit("m2")) == pytest.approx(3.2 * 2.2 + math.pi * 1.1**2)
    assert survey["volume"].value.m_as("liter") == pytest.approx(10949.7, abs=0.1)


# ---- any pond that the file lets through can be surveyed

LENGTH = st.floats(0.1, 200).map(lambda v: f'"{v:.4g} m"')
DEPTHS = st.lists(st.floats(0.02, 10).map(lambda v: f'"{v:.3g} m"'), min_size=1, max_size=7).map(lambda d: f"[{', '.join(d)}]")


@settings(max_examples=150, deadline=None)
@given(kind=st.sampled_from(["rectangle", "ellipse", "circle", "sloped"]), a=LENGTH, b=LENGTH, depth=DEPTHS)
def test_any_straight_or_sloped_pond_can_be_surveyed(kind, a, b, depth):
    text = f'kind = "circle"\ndiameter = {a}' if kind == "circle" else f'kind = "{kind}"\nlength = {a}\nwidth = {b}'
    extra = '\nbottom_length = "0.05 m"\nbottom_width = "0 m"' if kind == "sloped" else ""
    p = surveyed(f"{text}{extra}\ndepth = {depth}")
    stage.find(p.pond, p.stages)
    for number in p["survey"].numbers.values():
        assert all(math.isfinite(getattr(number, end).magnitude) for end in ("low", "value", "high"))
        assert number.low <= number.typical <= number.high
    assert p["survey.volume"].low.magnitude >= 0 and p["survey.max_depth"].value >= p["survey.mean_depth"].value * (1 - 1e-9)


@settings(max_examples=60, deadline=None)
@given(depths=st.lists(st.floats(0.3, 2), min_size=2, max_size=6), deeper=st.floats(0.01, 1))
def test_a_deeper_pond_never_holds_less(depths, deeper):
    def volume(extra):
        text = ", ".join(f'"{d + extra} m"' for d in depths)
        return surveyed(f'kind = "ellipse"\nlength = "4 m"\nwidth = "3 m"\ndepth = [{text}]')["survey.volume"].typical

    assert volume(deeper) > volume(0)
