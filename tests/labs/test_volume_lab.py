"""The lab of lesson 01 against worked arithmetic."""

from __future__ import annotations

import pytest

from pondwright.labs import VolumeLab
from pondwright.pond.file import demo_pond, parse_pond


@pytest.fixture
def lab():
    return VolumeLab(demo_pond())


def test_a_box(lab):
    lab.set(shape="rectangle", length="4 m", width="2.5 m", depth="0.8 m", doubt="5 cm")
    # 4 x 2.5 x 0.8 = 8 m3; 5 cm more is 4 x 2.5 x 0.05 = 0.5 m3, 6.25 % of it
    assert lab.result["survey.volume"].typical.m_as("liter") == pytest.approx(8000)
    assert "8000 L" in lab.words and "500 L" in lab.words and "6 %" in lab.words and "inside the 10 %" in lab.words


def test_a_shallow_box_is_past_the_limit(lab):
    lab.set(shape="rectangle", length="4 m", width="2.5 m", depth="0.3 m", doubt="5 cm")  # 0.05 / 0.3 = 17 %
    assert "17 %" in lab.words and "past the 10 %" in lab.words


def test_it_starts_from_the_pond(lab):
    assert lab.inputs.shape == "stadium" and lab.inputs.length.m_as("m") == 5.4


def test_sloping_sides_hold_less(lab):
    lab.set(shape="rectangle", length="4 m", width="3 m", depth="1 m")
    straight = lab.result["survey.volume"].typical
    lab.set(shape="sloped")
    # bottom 3 x 2 m: (12 + 4 x 3.5 x 2.5 + 6)/6 = 8.833 m3
    assert lab.result["survey.volume"].typical.m_as("meter**3") == pytest.approx(8.8333, rel=1e-4)
    assert lab.result["survey.volume"].typical < straight


def test_it_starts_at_the_mean_of_the_depth_readings(lab):
    # 0.98 1.04 1.01 0.95 1.06 1.02: their sum is 6.06, the mean 1.01
    assert lab.inputs.depth.m_as("m") == pytest.approx(1.01)
    assert lab.result["survey.volume"].typical.m_as("L") == pytest.approx(10949.7, abs=0.1)
    shelves = 'kind = "shelves"\nlayers = [{length="4 m", width="3 m", depth="0.3 m"}, {length="3 m", width="2 m", depth="0.5 m"}]\n'
    started = VolumeLab(parse_pond("[pond.shape]\n" + shelves))
    assert started.inputs.depth.m_as("m") == pytest.approx(0.55)  # 6.6 m3 on 12 m2


def test_the_band_is_the_doubt_about_the_depth(lab):
    lab.set(shape="rectangle", length="4 m", width="2.5 m", depth="0.8 m", doubt="5 cm")
    volume = lab.result["survey.volume"]
    assert [volume.low.m_as("L"), volume.high.m_as("L")] == pytest.approx([7500, 8500])  # 10 m2 x 0.75 m and 0.85 m
    assert "± 0.05 m" in lab.picture.words.get_text()
    assert lab.picture.spread.get_bbox().bounds == pytest.approx((0, 0.75, 4, 0.1))
    lab.set(doubt="0 cm")
    assert not lab.picture.spread.get_visible() and "±" not in lab.picture.words.get_text()
    lab.set(depth="0.1 m", doubt="30 cm")
    assert lab.result["survey.volume"].low.m_as("L") == pytest.approx(200)  # the 2 cm that are always left
