"""The picture of lesson 09: its points lie where the numbers say, and its words carry the number and the limit."""

from __future__ import annotations

import numpy as np
import pytest

from pondwright.figures.water import _FLOOR, WaterPicture
from pondwright.pond.file import parse_pond
from pondwright.pond.plan import plan


def made(tan, ph, temperature, alkalinity, more=""):
    return plan(
        parse_pond(
            more + '[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n[[readings]]\nwhen = "2026-05-01"\n'
            f'tan = "{tan} mg/L"\nph = "{ph}"\ntemperature = "{temperature} degC"\nalkalinity = "{alkalinity} mg/L"\n'
        )
    )


def test_points_and_bars():
    picture, result = WaterPicture(), made(1.0, 8.0, 24, 60)
    picture.update(result)
    assert picture.now.get_xydata()[0] == pytest.approx([8.0, 0.0502], abs=0.0003)  # UF/IFAS FA-16
    assert picture.left.get_ydata() == pytest.approx([0.75**n for n in range(9)])
    # 4 mg/L of chloramine mixed 3 to 1 bring 1.33 mg/L: 1.333 - 0.333 x 0.75^n
    assert picture.bare.get_ydata() == pytest.approx([4 / 3 - 0.75**n / 3 for n in range(9)])
    aired = picture.aired.get_xydata()[0]
    assert aired[0] == pytest.approx(result["water.ph_aired"].value.m) and aired[1] > 0.0502
    assert picture.dose.get_xydata()[0][1] == pytest.approx(result["water.unionized_after"].value.m_as("mg/L"))


def test_without_a_dose_there_is_no_second_point():
    picture = WaterPicture()
    picture.update(made(1.0, 8.0, 24, 60))
    picture.update(made(1.0, 8.0, 24, 200))
    assert np.isnan(picture.dose.get_xydata()).all()


def test_a_tap_without_chloramine_has_no_second_row_of_points():
    picture, known = WaterPicture(), '[tap]\ndisinfectant = "chlorine"\n'
    picture.update(made(1.0, 8.0, 24, 60, known))
    assert np.isnan(picture.bare.get_ydata()).all()


def test_a_slider_never_draws_the_axes_again():
    """Lines and points move, axes and words stand: the kept background serves every redraw."""
    picture = WaterPicture()
    picture.update(made(0.05, 6.2, 4, 15))
    picture.png()
    frame, background = picture._frame, picture._background
    picture.update(made(4.0, 9.9, 31, 240))
    picture.png()
    assert picture._frame == frame and picture._background is background
    assert not [artist for artist in picture.moving if hasattr(artist, "get_text")]


def test_too_little_to_see_sits_on_the_axis():
    picture = WaterPicture()
    picture.update(made(0, 7.0, 10, 60))
    assert picture.now.get_xydata()[0][1] == _FLOOR


def test_its_words():
    words = WaterPicture().alt(made(1.0, 8.0, 24, 60), "us")
    assert "at pH 8.3, it is" in words and "brings 1.33 mg/L along" in words
    for part in ("1 mg/L of total ammonia", "75.2 °F", "pH 8", "0.0502 mg/L", "0.0125 mg/L", "0.1 mg/L"):  # 0.75^8 = 0.1001
        assert part in words
    assert WaterPicture().html(made(1.0, 8.0, 24, 60)).startswith('<img alt="Left, un-ionized ammonia')
