"""The picture of power in the printed report: its bars are as tall as the plan's numbers, and its words carry the number and the limit."""

from __future__ import annotations

import pytest

from pondwright.figures.power import PowerPicture
from pondwright.pond.climate import MONTHS
from pondwright.pond.file import demo_pond, parse_pond
from pondwright.pond.plan import plan
from pondwright.units import Q

SHAPE = '[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n'
LOAD = '[power]\nvoltage = "12 V"\nloads = [{name = "light", power = "5 W", hours_per_day = "4 h/d"}]\n'


@pytest.fixture(scope="module")
def demo():
    return plan(demo_pond(), until="power")


def heights(patch):
    """Read the twelve heights back from a patch of bars (five corners each)."""
    return list(patch.get_path().vertices.reshape(12, 5, 2)[:, 1, 1])


def drawn(result):
    picture = PowerPicture()
    picture.update(result)
    return picture


def test_the_bars_are_the_energy_of_each_month(demo):
    picture, series = drawn(demo), demo["power"].series
    both = [a + b for a, b in zip(heights(picture.used), heights(picture.unused), strict=True)]
    assert both == pytest.approx(list(series["energy_in"].m_as("watt*hour/day")))
    assert picture.typical.get_ydata() == pytest.approx(series["energy_typical"].m_as("watt*hour/day"))
    assert picture.need.get_ydata()[0] == pytest.approx(480)  # 20 W x 24 h
    assert picture.year.get_ylim()[1] >= max(both)


def test_months_without_feeding_are_hatched(demo):
    used = demo["power"].facts["months_in_use"]
    hatched = [name for name, height in zip(MONTHS, heights(drawn(demo).unused), strict=True) if height]
    assert hatched and all(name not in used for name in hatched)


def test_the_battery_bars(demo):
    needed, planned = drawn(demo).banks
    assert planned.get_width() == pytest.approx(110)
    assert needed.get_width() == pytest.approx(demo["power.battery_needed"].value.m_as("ampere*hour"))


def test_the_numbers_of_the_batteries_hide_no_bar(demo):
    """Even a battery of 1 Ah beside one of 116 Ah is seen whole."""
    pond = demo.pond
    small = pond.power.model_copy(update={"battery": pond.power.battery.model_copy(update={"capacity": Q(1.0, "Ah")})})
    for result in (demo, plan(pond.model_copy(update={"power": small}), until="power")):
        picture = drawn(result)
        picture.figure.canvas.draw()
        words = [t.get_window_extent() for t in picture.sizes]
        assert not any(w.overlaps(bar.get_window_extent()) for w in words for bar in picture.banks)
        named = [t.get_window_extent() for t in picture.store.texts if t.get_text().startswith("battery")]
        assert len(named) == 2 and not any(w.overlaps(n) for w in words for n in named)


def test_its_words(demo):
    words = PowerPicture().alt(demo)
    for part in ("480 Wh/day", demo["power.pump_hours"].text(), "24 h/day wanted", "110 Ah planned", "November"):
        assert part in words
    assert PowerPicture().html(demo).startswith('<img alt="Bars for twelve months')


@pytest.mark.parametrize("text", [SHAPE, SHAPE + LOAD])
def test_a_supply_that_is_hardly_planned_still_draws(text):
    result = plan(parse_pond(text), until="power")
    picture = drawn(result)
    assert not any(heights(picture.used)) and not any(heights(picture.unused)) and not picture.banks[0].get_visible()
    assert "The bars are empty: the plan needs" in picture.alt(result)
