"""The picture of the year: its columns are the plan's hours day by day, its words carry the number and the limit."""

from __future__ import annotations

import numpy as np
import pytest

from pondwright.figures.season import SeasonPicture
from pondwright.pond.climate import DAYS
from pondwright.pond.file import demo_pond, parse_pond
from pondwright.pond.plan import Plan, plan, stage_module

SHAPE = '[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n'


def planned(pond):
    stages = dict(plan(pond, until="vessel").stages)
    return Plan(pond, {**stages, "season": stage_module("season").plan(pond, stages)})


@pytest.fixture(scope="module")
def demo():
    return planned(demo_pond())


def drawn(result, system="metric"):
    picture = SeasonPicture()
    picture.update(result, system)
    return picture


def days(patch):
    """Read 365 heights back from the outline."""
    return patch.get_path().vertices[1:-1:2, 1]


def test_a_column_is_a_day_and_a_step_is_its_month_s_mean(demo):
    picture, series = drawn(demo), demo["season"].series
    hours = days(picture.days)
    assert hours.shape == (365,) and hours.max() <= 24 and hours.min() >= 0
    means = [part.mean() for part in np.split(hours, np.cumsum(DAYS)[:-1])]
    assert means == pytest.approx(list(series["pump_hours"].m_as("h/d")), abs=1e-6)
    x, y = picture.mean.get_data()
    assert list(y[::2]) == pytest.approx(means, abs=1e-6) and (x[0], x[-1]) == (0, 365)
    assert picture.wanted.get_ydata()[0] == 24


def test_the_charge_runs_from_empty_to_full(demo):
    charge = days(drawn(demo).charge)
    assert charge.max() == pytest.approx(100) and charge[:20].min() < 1  # January empties it


def test_stops_of_months_in_use_and_the_filter_s_limit(demo):
    picture, series = drawn(demo), demo["season"].series["gap"].m_as("h")
    heights = [p.get_path().vertices.reshape(12, 5, 2)[:, 1, 1] for p in (picture.used, picture.unused)]
    assert heights[0] + heights[1] == pytest.approx(series)
    assert heights[1][0] == series[0] and heights[0][10] == series[10]  # fish are not fed in January, but in November
    safe = demo["vessel.safe_stop"].value
    assert picture.safe.get_ydata()[0] == pytest.approx(safe.m_as("h")) and picture.safe.get_visible()


def test_its_words(demo):
    words = SeasonPicture().alt(demo)
    season = demo["season"]
    for part in (season["run_hours"].text(), season["gap"].text(), "24 h/day wanted", "November", "empty at some hour of", "dashed line"):
        assert part in words


def test_without_the_vessel_no_limit_is_drawn(demo):
    bare = Plan(demo.pond, {"season": demo["season"]})
    picture = drawn(bare)
    assert not picture.safe.get_visible() and "dashed" not in picture.alt(bare)


def test_a_pond_without_a_supply_draws_empty_axes():
    result = planned(parse_pond(SHAPE))
    picture = drawn(result, "us")
    assert not days(picture.days).any() and "needs [power]" in picture.alt(result, "us")


def test_no_battery_says_so(demo):
    power = demo.pond.power.model_copy(update={"battery": None})
    result = planned(demo.pond.model_copy(update={"power": power}))
    assert "there is none" in drawn(result).alt(result)
