"""The picture of lesson 09: its points lie where the numbers say, and its words carry the number and the limit."""

from __future__ import annotations

import pytest

from pondwright.figures.water import _FLOOR, WaterPicture
from pondwright.pond.file import parse_pond
from pondwright.pond.plan import plan


def made(tan, ph, temperature, alkalinity):
    return plan(
        parse_pond(
            '[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n[[readings]]\nwhen = "2026-05-01"\n'
            f'tan = "{tan} mg/L"\nph = "{ph}"\ntemperature = "{temperature} degC"\nalkalinity = "{alkalinity} mg/L"\n'
        )
    )


def test_points_and_bars():
    picture, result = WaterPicture(), made(1.0, 8.0, 24, 60)
    picture.update(result)
    assert picture.now.get_xydata()[0] == pytest.approx([8.0, 0.0502], abs=0.0003)  # UF/IFAS FA-16
    heights = [bar.get_height() for bar in picture.bars]
    assert heights == pytest.approx([0.75**n for n in range(9)])
    assert picture.dose.get_xydata()[0][1] == pytest.approx(result["water.unionized_after"].value.m_as("mg/L"))


def test_without_a_dose_there_is_no_second_point():
    picture = WaterPicture()
    picture.update(made(1.0, 8.0, 24, 60))
    picture.update(made(1.0, 8.0, 24, 200))
    assert len(picture.dose.get_xydata()) == 0 and picture.label_dose.get_text() == ""


def test_too_little_to_see_sits_on_the_axis():
    picture = WaterPicture()
    picture.update(made(0, 7.0, 10, 60))
    assert picture.now.get_xydata()[0][1] == _FLOOR


def test_its_words():
    words = WaterPicture().alt(made(1.0, 8.0, 24, 60), "us")
    for part in ("1 mg/L of total ammonia", "75.2 °F", "pH 8", "0.0502 mg/L", "0.0125 mg/L", "0.1 mg/L"):  # 0.75^8 = 0.1001
        assert part in words
    assert WaterPicture().html(made(1.0, 8.0, 24, 60)).startswith('<img alt="Left, un-ionized ammonia')
