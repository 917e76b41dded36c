"""The lab of lesson 01 against worked arithmetic."""

from __future__ import annotations

import pytest

from pondwright.labs import VolumeLab
from pondwright.pond.file import demo_pond


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
