"""The picture of the loads: bars as long as the plan's energy, lines that reach empty when the plan says so."""

from __future__ import annotations

import pytest

from pondwright.figures.loads import LoadsPicture, emptying
from pondwright.pond.file import demo_pond, demo_text, parse_pond
from pondwright.pond.plan import plan

SHAPE = '[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n'
LOAD = '[[power.loads]]\nname = "{}"\npower = "{} W"\nhours_per_day = "{} h/d"\n'
LOADS = LOAD.format("lamp", 60, 10) + LOAD.format("radio", 3, 4)


@pytest.fixture(scope="module")
def three():
    return plan(parse_pond(demo_text().replace("[power.panel]", LOADS + "[power.panel]")), until="power")


def drawn(result, system="metric"):
    picture = LoadsPicture()
    picture.update(result, system)
    return picture


def test_bars_are_the_energy_of_each_load_the_largest_first(three):
    picture = drawn(three)
    widths = [bar.get_width() for bar in picture.bars if bar.get_visible()]
    assert widths == pytest.approx([60 * 10, 20 * 24, 3 * 4])  # lamp, pump, radio
    assert [t.get_text() for t in picture.names[:3]] == ["1. lamp: 600 Wh/day", "2. pump: 480 Wh/day", "3. radio: 12 Wh/day"]


def test_lines_reach_empty_after_energy_over_load(three):
    """Usable energy is the same for every load, so days alone x energy a day is one number; together the rates add up."""
    picture = drawn(three)
    usable = [line.get_xdata()[1] * bar.get_width() for line, bar in zip(picture.alone[:3], picture.bars, strict=False)]
    assert usable == pytest.approx([usable[0]] * 3)
    assert usable[0] == pytest.approx(110 * 24 * 0.5 * 0.95 / 1.38, rel=0.01)  # Ah x V x half x 5 % drop / cold of 0 degC
    assert picture.all.get_xdata()[1] == pytest.approx(usable[0] / (600 + 480 + 12), rel=1e-6)
    assert picture.all.get_xdata()[1] == pytest.approx(three["power.battery_days"].value.m_as("d"))


WIDE = LOAD.format("Mum's WARM MILKWOMAN lamp over the workbench", 200, 24)


@pytest.mark.parametrize("loads", [LOADS, LOADS + WIDE, ""])
def test_no_words_hide_a_bar_or_a_line(loads):
    """The shortest bar is 12 Wh beside 4800: its words stand above it, inside the axes, and the time stands clear of the lines."""
    picture = drawn(plan(parse_pond(demo_text().replace("[power.panel]", loads + "[power.panel]")), until="power"))
    picture.figure.canvas.draw()
    words = [t.get_window_extent() for t in picture.names if t.get_text()]
    bars = [bar.get_window_extent() for bar in picture.bars if bar.get_visible()]
    assert len(words) == len(bars) and not any(w.overlaps(b) for w in words for b in bars)
    assert all(w.x1 <= picture.day.bbox.x1 for w in words)
    mark = picture.mark.get_window_extent()
    assert not mark.overlaps(picture.dark.bbox) and mark.y0 >= picture.figure.bbox.y0
    assert mark.x0 > picture.dark.xaxis.label.get_window_extent().x1


def test_its_words(three):
    words = LoadsPicture().alt(three)
    for part in ("lamp 600 Wh/day", "pump 480 Wh/day", three["power.battery_days"].text()):
        assert part in words


def test_a_single_load_has_one_line():
    picture = drawn(plan(demo_pond(), until="power"))
    assert picture.all.get_visible() and not any(line.get_visible() for line in picture.alone)


@pytest.mark.parametrize("text", [SHAPE, SHAPE + '[power]\nvoltage = "12 V"\n' + LOADS])
def test_without_a_battery_the_axes_stay_empty(text):
    result = plan(parse_pond(text), until="power")
    assert emptying(result["power"]) == [] and "Empty axes" in drawn(result).alt(result)
