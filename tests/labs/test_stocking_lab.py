"""The lab of lesson 02 against worked arithmetic and common practice."""
from __future__ import annotations

import pytest

from pondwright.labs import StockingLab
from pondwright.pond.file import demo_pond, demo_text, parse_pond
from pondwright.pond.plan import plan


@pytest.fixture
def lab():
    return StockingLab(demo_pond())


def test_ten_koi(lab):
    # 909.9 g at 400 mm (Bister and others 2000), at most 1.2 times: 10.9 kg; 600 mm is 1.5^2.92 = 3.268 times as much: 35.7 kg
    lab.set(species="koi", count="10", length="40 cm", grown="60 cm", volume="15000 L", depth="1.5 m")
    assert lab.result["fish.biomass"].value.m_as("kg") == pytest.approx(10.92, abs=0.01)
    assert lab.result["survey.volume"].typical.m_as("L") == pytest.approx(15000)
    assert lab.result["survey.mean_depth"].typical.m_as("m") == pytest.approx(1.5)
    assert "10 koi weigh up to 11 kg now and 36 kg grown" in lab.words


def test_half_a_barrel_does_not_suit_koi(lab):
    lab.set(species="koi", count="3", length="20 cm", grown="60 cm", volume="900 L", depth="0.7 m")
    assert "allows 0 kg of fish (typically 0 kg), bound by room for grown koi" in lab.words and "too many already" in lab.words
    lab.set(species="goldfish", grown="20 cm")
    assert "room for grown koi" not in lab.words


def test_a_longer_stop_leaves_room_for_fewer(lab):
    lab.set(stop="4 h")
    short = lab.result["stocking.limit_oxygen"].value
    lab.set(stop="16 h")
    assert lab.result["stocking.limit_oxygen"].value < short


def test_the_comparison_with_the_stop_is_said(lab):
    lab.set(count="100", length="25 cm", grown="25 cm", stop="24 h")
    assert "The longest stop is 24 h: the oxygen does not last" in lab.words and "too many already" in lab.words
    lab.set(count="1", length="10 cm", stop="2 h")
    assert "The longest stop is 2 h: the oxygen lasts" in lab.words


def test_the_slider_says_the_stop_whatever_the_sun_leaves():
    """The demo pond with a small panel stands still for most of a day; the lab starts there, and then asks what another stop would do."""
    small = StockingLab(parse_pond(demo_text().replace('power = "200 W"', 'power = "20 W"').replace('imp = "9.8 A"', 'imp = "0.98 A"')))
    assert small.inputs.stop.m_as("h") > 14
    small.set(stop="2 h")
    whole = StockingLab(demo_pond()).set(stop="2 h")
    assert small.result["stocking.limit_oxygen"].value == whole.result["stocking.limit_oxygen"].value


def test_the_year_follows_the_slider(lab):
    lab.set(warmth="25 degC")
    water = lab.result["fish"].series["water_temperature"].m_as("degC")
    assert water.max() == pytest.approx(25) and water.min() < 14  # Seattle's winter, some degrees warmer


def test_the_lab_starts_where_the_plan_stands(lab):
    """The filter's answer is that of the pond's own plan; the fish are one size instead of two, the pond a square."""
    own = plan(demo_pond())["stocking.limit_filter"]
    assert lab.result["stocking.limit_filter"].value.m_as("kg") == pytest.approx(own.value.m_as("kg"), rel=0.05)


def test_the_filter_follows_the_fish(lab):
    """As many fish as the filter covers: the limit in kilograms stays about the same while the fish become more."""
    few = lab.set(count="10").result["stocking.limit_filter"].typical
    many = lab.set(count="40").result["stocking.limit_filter"].typical
    assert (few / many).m_as("") == pytest.approx(1, rel=0.02)


def test_it_starts_from_the_pond(lab):
    assert lab.inputs.species == "goldfish" and lab.inputs.count.m == 20 and lab.inputs.stop.m_as("h") == 10
    assert lab.inputs.volume.m_as("L") == pytest.approx(10950, abs=5)
    # the mean length weighs what the two groups do: (14 x 12^3 + 6 x 16^3)/20 = 13.5^3
    assert lab.inputs.length.m_as("cm") == 13.5


def test_a_pond_with_nothing_but_a_shape():
    lab = StockingLab(parse_pond('[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = ["0.6 m"]\n'))
    assert lab.inputs.species == "goldfish" and "bound by oxygen" in lab.words
    lab.set(count="1", length="8 cm", grown="12 cm", volume="20000 L", depth="1.5 m", stop="1 h")
    assert "what the ammonia allows is not known yet" in lab.words and "enough" not in lab.words
