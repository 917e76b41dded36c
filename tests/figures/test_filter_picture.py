"""The filter's picture: bars as long as the numbers, curves through the models, words for what is missing."""

from __future__ import annotations

import pytest

from pondwright.figures.filter import FilterPicture
from pondwright.pond.file import demo_pond, parse_pond
from pondwright.pond.plan import plan
from pondwright.science import nitrogen
from pondwright.units import Q


@pytest.fixture(scope="module")
def demo():
    return plan(demo_pond(), until="filter")


def test_bars_are_the_numbers(demo):
    picture, stage = FilterPicture(), demo["filter"]
    picture.update(demo)
    edge = picture.limits.get_xlim()[1]
    for bar, key in zip(picture.bars, ("tan_load", "surface_capacity", "flow_capacity", "oxygen_capacity"), strict=True):
        assert bar.get_width() == pytest.approx(min(stage[key].value.m, edge))
    assert "→" in picture.labels[3].get_text() and "→" not in picture.labels[0].get_text()


def test_curves_are_the_models(demo):
    picture, stage = FilterPicture(), demo["filter"]
    picture.update(demo)
    tan, rate = picture.curves[2].get_data()
    warmth = demo["fish"].series["water_temperature"][7]  # August decides
    assert stage.facts["month"] == "August"
    assert rate[-1] == pytest.approx(nitrogen.areal_removal(Q(tan[-1], "mg/L"), warmth, method="MaloneBeecher2000").m)
    assert picture.cautious.get_xdata()[0] == pytest.approx(stage["design_tan"].low.m)


def test_words(demo):
    words = FilterPicture().alt(demo)
    assert "what limits it is" in words and "August" in words and demo["filter"]["capacity"].text(digits=2) in words
    assert "g/day" in FilterPicture().alt(demo, "us")  # less than an ounce stays in grams


def test_a_pond_without_a_filter_still_has_a_picture():
    bare = plan(parse_pond('[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n'), until="filter")
    assert "No chart" in FilterPicture().alt(bare) and FilterPicture().html(bare).startswith("<img")
