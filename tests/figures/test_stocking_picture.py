"""The picture of lesson 02: curves and bars lie where the numbers say, and its words carry the number and the limit."""
from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from pondwright.figures.stocking import StockingPicture
from pondwright.pond.file import demo_pond, load_pond, parse_pond
from pondwright.pond.plan import plan

BARREL = Path(__file__).parents[1] / "fixtures" / "half-barrel.toml"


def test_curves_and_stop():
    result, picture = plan(demo_pond()), StockingPicture()
    picture.update(result)
    hours, level = picture.curves["low"].get_data()
    # the cautious curve passes 4 mg/L at the cautious hours
    assert np.interp(result["fish.hours_to_4"].value.m_as("h"), hours, level) == pytest.approx(4, abs=0.02)
    assert level[0] == pytest.approx(result["fish.night_saturation"].value.m_as("mg/L") * 0.8)  # 80 % when the pump stops
    assert picture.stop.get_xdata()[0] == 10


@pytest.mark.parametrize("system, factor", [("metric", 1), ("us", 1 / 0.45359237)])
def test_bars_and_marks(system, factor):
    result, picture = plan(demo_pond()), StockingPicture()
    picture.update(result, system)
    oxygen, ammonia, room, ice = (bar.get_width() for bar in picture.bars)
    assert oxygen == pytest.approx(result["stocking.limit_oxygen"].value.m_as("kg") * factor)
    assert ammonia == pytest.approx(result["stocking.limit_filter"].value.m_as("kg") * factor)
    assert room == ice == 0 and picture.labels[2].get_text() == "koi and carp only"
    assert picture.now.get_xdata()[0] == pytest.approx(result["fish.biomass"].value.m_as("kg") * factor)
    assert picture.grown.get_xdata()[0] == pytest.approx(result["fish.grown_biomass"].value.m_as("kg") * factor)


def test_a_barrel_of_koi():
    result, picture = plan(load_pond(BARREL)), StockingPicture()
    words = picture.alt(result, "imperial")
    assert "room and depth: none" in words and "lb" in words
    picture.update(result, "imperial")
    assert picture.labels[2].get_text() == "none"


def test_a_bar_that_goes_on_has_an_arrow():
    text = ('[pond.shape]\nkind = "rectangle"\nlength = "20 m"\nwidth = "10 m"\ndepth = ["2 m", "2 m"]\n[place]\nclimate = "seattle"\n'
            '[fish]\nspecies = "goldfish"\n[[fish.groups]]\ncount = 3\nlength = "20 cm"\n[filter]\ncontainer = "200 L"\n'
            'media = "lava_rock"\nmedia_volume = "100 L"\noperation = "trickling"\n')
    picture = StockingPicture()
    picture.update(plan(parse_pond(text)))
    assert "→" in picture.labels[0].get_text() or picture.bars[0].get_width() > 0


def test_without_fish_it_says_what_is_missing():
    result = plan(parse_pond('[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = ["1 m"]\n'))
    picture = StockingPicture()
    assert "needs [fish]" in picture.alt(result) and picture.html(result).startswith('<img alt="No chart')
    assert not len(picture.curves["low"].get_xdata())
    picture.update(plan(demo_pond()))
    assert len(picture.curves["low"].get_xdata())
