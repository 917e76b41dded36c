"""The chart of pump and line: what it draws, what its words say, and that it copes with a pump that cannot lift."""

from __future__ import annotations

import numpy as np
import pytest

from pondwright.figures.plumbing import PlumbingPicture, _pipes
from pondwright.pond.file import demo_pond, demo_text, parse_pond
from pondwright.pond.plan import plan


def changed(old: str, new: str):
    text = demo_text()
    assert old in text
    return plan(parse_pond(text.replace(old, new)), until="plumbing")


@pytest.mark.parametrize("system, factor", [("metric", 1), ("us", 1 / 0.3048)])
def test_the_mark_lies_on_both_curves(system, factor):
    result = plan(demo_pond(), until="plumbing")
    picture = PlumbingPicture()
    picture.update(result, system)
    (flow,), (head,) = picture.meeting.get_data()
    assert head == pytest.approx(result["plumbing.head"].typical.m_as("m") * factor)
    assert np.interp(flow, *picture.line.get_data()) == pytest.approx(head, rel=0.002)  # the line is drawn with 25 straight pieces
    assert np.interp(flow, *picture.points.get_data()) == pytest.approx(head, rel=1e-9)


def test_bars_run_from_narrow_to_wide_and_mark_the_pipe_there_is():
    result = plan(demo_pond(), until="plumbing")
    rows = _pipes(result["plumbing"])
    flows = [flow.m_as("L/min") for _, flow, _ in rows]
    assert len(rows) == 4 and flows == sorted(flows) and [now for *_, now in rows] == [False, True, False, False]
    picture = PlumbingPicture()
    picture.update(result)
    assert [bar.get_width() for bar in picture.bars] == pytest.approx(flows)
    assert [bool(bar.get_hatch()) for bar in picture.bars] == [False, True, False, False]


def test_the_words_hold_the_answer():
    result = plan(demo_pond(), until="plumbing")
    words = PlumbingPicture().alt(result)
    assert f"{result['plumbing.flow'].typical.m_as('L/min'):.1f} L/min" in words and "1.4 m is lift" in words and "range" in words
    assert "US gpm" in PlumbingPicture().alt(result, "us")


def test_a_pump_that_cannot_lift_is_drawn_without_a_mark():
    result = changed('lift = "1.4 m"', 'lift = "4 m"')
    picture = PlumbingPicture()
    assert picture.html(result).startswith('<img alt="A chart') and "nothing flows" in picture.alt(result)
    assert not picture.meeting.get_visible() and not any(bar.get_visible() for bar in picture.bars)
    picture.update(plan(demo_pond(), until="plumbing"))
    assert picture.meeting.get_visible() and all(bar.get_visible() for bar in picture.bars)


def test_without_a_pump_it_says_what_is_missing():
    text = demo_text()
    cut = text[: text.index("[pump]")] + text[text.index("[plumbing]") :]
    assert "needs [pump]" in PlumbingPicture().alt(plan(parse_pond(cut), until="plumbing"))


@pytest.mark.parametrize(("old", "new", "count"), [
    ('rated_voltage = "24 V"', 'rated_voltage = "24 V"\nsupply_voltage = "21 V"', 5),  # the demo's five points at 7/8 of its speed
    ("curve = [", 'max_flow = "36 L/min"\nmax_head = "3.6 m"\nrated_voltage = "24 V"\nsupply_voltage = "21 V"\n', 2),
])
def test_the_points_lie_on_the_curve_at_the_pump_s_voltage(old, new, count):
    text = demo_text()
    if count == 2:  # a label's two numbers in place of the curve and of the voltage that the demo names
        start, end = text.index(old), text.index('power = "20 W"')
        text = (text[:start] + new + text[end:]).replace('rated_voltage = "24 V"\nhours', "hours")
    result, picture = plan(parse_pond(text.replace(old, new)), until="plumbing"), PlumbingPicture()
    picture.update(result)
    flows, heads = picture.points.get_data()
    assert len(flows) == count and flows[-1] == pytest.approx(36 * 7 / 8) and heads[0] == pytest.approx(3.6 * (7 / 8) ** 2)
    assert heads == pytest.approx(np.interp(flows, *picture.pump.get_data()), abs=0.02)
