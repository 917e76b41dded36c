"""The lab of lesson 04 against worked arithmetic."""

from __future__ import annotations

import pytest

from pondwright.labs import FilterLab
from pondwright.pond.file import demo_pond, parse_pond


@pytest.fixture
def lab():
    lab = FilterLab(demo_pond())
    lab.set(feed="20 g/d", ph="8.0", temperature="24 degC", media="lava_rock", volume="100 L", flow="20 L/min", hours="24 h/d", solids=True)
    return lab


def test_three_limits(lab):
    # FA-16: 5.02 % un-ionized, so 0.0125/0.0502 = 0.249 mg/L; feed 20 x 0.32 x 0.0976 = 0.625 g; flow 28.8 x 0.249 x 0.1 = 0.717 g
    # surface, lowest model 0.30 x 0.249 x 1.1^-1 = 0.0679 g/m2/d on 10 m2: 0.679 g, which binds
    stage = lab.result["filter"]
    assert stage["tan_load"].value.m == pytest.approx(0.62464)
    assert stage["flow_capacity"].value.m == pytest.approx(0.717, abs=0.006)
    assert stage["capacity"].value.m == pytest.approx(0.679, abs=0.006)
    assert "0.62 g/day" in lab.words and "0.68 g/day" in lab.words and "enough" in lab.words and "the surface of the media" in lab.words


def test_half_the_hours_are_not_enough(lab):
    lab.set(hours="12 h/d")
    assert "not enough" in lab.words and "0.34 g/day" in lab.words


def test_little_flow_binds(lab):
    lab.set(flow="5 L/min")
    assert "What limits it is the flow" in lab.words


def test_two_different_numbers_read_differently(lab):
    # 40 x 0.32 x 0.0976 = 1.249 g/d; 14.4 m3/d x 0.806 x 0.1 = 1.16 g/d: both 1.2 with two digits, and yet not enough
    lab.set(feed="40 g/d", ph="7.6", temperature="20 degC", volume="200 L", flow="10 L/min")
    assert "1.25 g/day of ammonia" in lab.words and "at least 1.16 g/day: not enough" in lab.words


def test_dirt_on_the_media(lab):
    clean = lab.result["filter"]["surface_capacity"].typical
    lab.set(solids=False)
    assert lab.result["filter"]["surface_capacity"].typical.m == pytest.approx(clean.m / 2)


def test_high_ph_starves_the_film(lab):
    lab.set(ph="9.4")
    assert "no media will do" in lab.words and "pH down first" in lab.words


def test_no_feed(lab):
    lab.set(feed="0 g/d")
    assert "No feed, no ammonia" in lab.words
    assert "No chart" in lab.picture.alt(lab.result)


def test_media_that_only_work_flooded(lab):
    lab.set(media="sand")
    assert lab.result.pond.filter.operation == "submerged"


def test_it_starts_from_the_pond_and_from_nothing_but_a_shape():
    assert FilterLab(demo_pond()).inputs.media == "lava_rock" and FilterLab(demo_pond()).inputs.ph.m == pytest.approx(8.0)
    assert FilterLab(demo_pond()).inputs.hours.m == 24  # in August, which decides; November's sun carries the pump for less
    bare = FilterLab(parse_pond('[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n'))
    assert "The feed brings" in bare.words


def test_the_two_ponds_of_the_lesson(lab):
    # 20 degC: pKa 9.4026, so 0.0125 x (1 + 10^1.8026) = 0.806 and 0.0125 x (1 + 10^1.0026) = 0.138 mg/L; 40 x 0.32 x 0.0976 = 1.249 g/d
    # pond B by the straight line: 1.249 g/d / (0.30 x 0.138 x 1.1^-5 = 0.0258 g/m2/d) on 100 m2/m3
    needed = {}
    for ph in ("7.6", "8.4"):
        lab.set(feed="40 g/d", ph=ph, temperature="20 degC")
        needed[ph] = lab.result["filter"]["media_needed"].value.m_as("L")
    assert needed["8.4"] == pytest.approx(1.24928 / (0.30 * 0.1384 * 1.1**-5) / 100 * 1000, rel=0.01)
    assert needed["8.4"] / needed["7.6"] == pytest.approx(5.8, abs=0.1)  # "about six times": 0.806/0.138
    for ph, helps in (("8.7", True), ("8.8", False)):  # 0.0755 and 0.0626 mg/L; the bacteria need 0.07
        lab.set(ph=ph)
        assert ("no media will do" not in lab.words) == helps
