"""The pond drawn for every kind of shape, and its words."""

from __future__ import annotations

import pytest

from pondwright.figures.survey import SurveyPicture, _outline, _profile
from pondwright.pond.file import parse_pond
from pondwright.pond.plan import plan

SHAPES = {
    "circle": 'diameter = "3 m"\ndepth = "0.8 m"',
    "ellipse": 'length = "4 m"\nwidth = "2 m"\ndepth = "0.8 m"',
    "sloped": 'length = "4 m"\nwidth = "3 m"\nbottom_length = "3 m"\nbottom_width = "2 m"\ndepth = "0.9 m"',
    "shelves": 'layers = [{length="4 m", width="3 m", depth="0.3 m"}, {length="3 m", width="2 m", depth="0.6 m"}]',
    "soundings": 'outline = [["0 m","0 m"],["5 m","0 m"],["5 m","3 m"],["0 m","4 m"]]\ndepths = ["0.4 m","0.9 m","1.1 m","0.7 m"]',
    "widths": 'length = "6 m"\nwidths = ["0 m","3 m","4 m","3 m","0 m"]\ndepths = ["0.5 m","0.9 m","0.7 m"]',
    "salt": 'salt = "2 kg"\nconductivity_before = "250 uS/cm"\nconductivity_after = ["1060 uS/cm"]\nsurface_area = "7 m2"\ndepth = "1 m"',
    "fill": 'bucket = "12 L"\nbucket_time = ["40 s","42 s"]\nfill_time = "5 h"\nsurface_area = "7 m2"\ndepth = "1 m"',
}


def made(kind):
    return plan(parse_pond(f'[pond.shape]\nkind = "{kind}"\n{SHAPES[kind]}\n'), until="survey")


@pytest.mark.parametrize("kind", SHAPES)
def test_it_draws_to_scale(kind):
    result = made(kind)
    shape, survey = result.pond.pond.shape, result["survey"]
    outline, profile = _outline(shape, survey), _profile(shape, survey)
    x, y = outline[:, 0], outline[:, 1]
    drawn = abs((x * [*y[1:], y[0]] - [*x[1:], x[0]] * y).sum()) / 2  # shoelace
    # the drawing is straight between points: a polygon of 72 sides is 0.13 % short of a circle; widths are joined by lines
    assert drawn == pytest.approx(survey["surface_area"].typical.m_as("meter**2"), rel=0.08 if kind == "widths" else 0.002)
    assert profile[:, 1].min() == 0 and profile[:, 1].max() <= survey["max_depth"].value.m_as("meter") + 1e-9
    picture = SurveyPicture()
    assert f"{survey['volume'].text()}" in picture.alt(result)
    assert picture.html(result).startswith('<img alt="Two drawings of')


def test_the_words_follow_the_unit_system():
    result = made("circle")
    assert "US gal" in SurveyPicture().alt(result, "us") and "imp gal" in SurveyPicture().alt(result, "imperial")


def test_a_name_with_quotes_stays_text():
    result = plan(
        parse_pond('[pond]\nname = \'"><script>x</script>\'\n[pond.shape]\nkind = "circle"\ndiameter = "1 m"\ndepth = "1 m"\n'),
        until="survey",
    )
    assert "<script>" not in SurveyPicture().html(result)


def test_the_words_stand_in_the_water_and_the_band_under_the_pond_only():
    result = plan(parse_pond('[pond.shape]\nkind = "circle"\ndiameter = "3 m"\ndepth = ["0.70 m", "0.80 m", "0.75 m"]\n'), until="survey")
    picture = SurveyPicture()
    picture.html(result)
    words = picture.words.get_window_extent().transformed(picture.section.transData.inverted())
    low, high = picture.spread.get_bbox().y0, picture.spread.get_bbox().y1
    assert max(words.y0, words.y1) < low < 0.75 < high and 0 < words.x0 < words.x1 < 3
    assert picture.spread.get_bbox().x1 == pytest.approx(3)
