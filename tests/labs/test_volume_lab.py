"""The lab of lesson 01 against worked arithmetic."""

from __future__ import annotations

import pytest

from pondwright.labs import VolumeLab
from pondwright.pond.file import demo_pond, parse_pond
from pondwright.pond.plan import plan


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


SHAPES = {
    "rectangle": 'length = "4 m"\nwidth = "2.5 m"\ndepth = ["0.8 m", "0.75 m", "0.9 m"]',
    "circle": 'diameter = "3 m"\ndepth = ["0.8 m", "0.75 m"]',
    "ellipse": 'length = "2.6 m"\nwidth = "4.1 m"\ndepth = ["0.8 m", "0.75 m"]',
    "stadium": 'length = "25 m"\nwidth = "2 m"\ndepth = ["1 m", "0.95 m"]',
    "sloped": 'length = "5 m"\nwidth = "3 m"\nbottom_length = "3 m"\nbottom_width = "1 m"\ndepth = ["1.2 m", "1.1 m"]',
    "shelves": 'layers = [{ length = "4 m", width = "3 m", depth = "0.3 m" }, { length = "3 m", width = "2 m", depth = "0.5 m" }]',
    "soundings": 'outline = [["0 m", "0 m"], ["4 m", "0 m"], ["3 m", "2.5 m"]]\ndepths = ["0.4 m", "0.9 m", "0.7 m"]',
    "widths": 'length = "6 m"\nwidths = ["1 m", "2 m", "2.4 m", "1.8 m", "0.5 m"]\ndepths = ["0.4 m", "0.9 m"]',
    "salt": 'salt = "3 kg"\nconductivity_before = "300 uS/cm"\nconductivity_after = "900 uS/cm"\nsurface_area = "9 m2"\ndepth = "1.1 m"',
    "fill": 'bucket = "12 L"\nbucket_time = ["38 s", "42 s"]\nfill_time = "5 h"\nsurface_area = "9 m2"\ndepth = "0.9 m"',
}


def litres(lab) -> float:
    return lab.result["survey.volume"].typical.m_as("L")


@pytest.mark.parametrize("kind", SHAPES)
def test_each_shape_is_the_plans_own_until_it_is_moved(kind):
    pond = parse_pond(f'[pond.shape]\nkind = "{kind}"\n{SHAPES[kind]}\n')
    lab, own = VolumeLab(pond), plan(pond, until="survey")["survey"]
    assert lab.inputs.shape == kind and f"About {own['volume'].text()}." in lab.words
    assert litres(lab) == pytest.approx(own["volume"].typical.m_as("L"), rel=1e-9)
    assert lab.result["survey.max_depth"].value.m_as("m") == pytest.approx(own["max_depth"].value.m_as("m"), rel=1e-9)


@pytest.mark.parametrize("kind", [kind for kind in SHAPES if kind != "sloped"])
def test_a_measured_shape_is_stretched(kind):
    """Twice as deep holds twice the water, and so does twice as wide; a circle has one width, a stadium's ends are round."""
    pond = parse_pond(f'[pond.shape]\nkind = "{kind}"\n{SHAPES[kind]}\n')
    lab = VolumeLab(pond)
    before, depth = litres(lab), lab.inputs.depth
    lab.set(depth=2 * depth)
    assert litres(lab) == pytest.approx(2 * before)
    if kind not in ("circle", "stadium"):
        lab.set(width=2 * lab.inputs.width)
        assert litres(lab) == pytest.approx(4 * before)
    if kind == "circle":
        lab.set(length="6 m", width="1 m")
        assert litres(lab) == pytest.approx(8 * before)


def test_sloping_sides_keep_their_slope():
    lab = VolumeLab(parse_pond(f'[pond.shape]\nkind = "sloped"\n{SHAPES["sloped"]}\n'))
    lab.set(length="6 m", depth="1.15 m")
    # bottom 4 x 1 m: (18 + 4 x 5 x 2 + 4)/6 x 1.15 m
    assert litres(lab) == pytest.approx(1000 * (18 + 40 + 4) / 6 * 1.15)


@pytest.mark.parametrize("kind", ["salt", "fill"])
def test_a_volume_without_the_depth_does_not_hang_on_it(kind):
    lab = VolumeLab(parse_pond(f'[pond.shape]\nkind = "{kind}"\n{SHAPES[kind]}\n'))
    assert "measured without the depth" in lab.words and not lab.result["survey.volume"].has_band
    lab.set(shape="rectangle")
    assert "If the depth is off by 5 cm" in lab.words


def test_a_pond_longer_than_the_sliders_range_is_not_cut():
    lab = VolumeLab(parse_pond(f'[pond.shape]\nkind = "stadium"\n{SHAPES["stadium"]}\n'))
    assert lab.inputs.length.m_as("m") == 25 and lab._rows["length"].spec.high == 25
