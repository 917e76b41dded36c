"""Level against flow, and the line's profile: what is drawn lies where the plan says, and the words hold the answer."""

from __future__ import annotations

import tomllib

import numpy as np
import pytest

from pondwright.figures.drains import LevelPicture
from pondwright.figures.profile import ProfilePicture
from pondwright.pond.file import demo_pond, demo_text
from pondwright.pond.model import Pond
from pondwright.pond.plan import plan
from pondwright.units import show, showing_in


def planned(**vessel):
    data = tomllib.loads(demo_text())
    data["vessel"] |= vessel
    return plan(Pond.model_validate(data), until="drains")


@pytest.mark.parametrize("system, flow_unit, height_unit", [("metric", "L/min", "cm"), ("us", "US_gpm", "inch")])
def test_the_marks_lie_on_their_curves(system, flow_unit, height_unit):
    result = plan(demo_pond(), until="drains")
    picture = LevelPicture()
    picture.update(result, system)
    flows, levels = picture.marks.get_data()
    assert flows[0] == pytest.approx(result["plumbing.flow"].high.m_as(flow_unit))
    assert levels[0] == pytest.approx(result["drains.level_running"].value.m_as(height_unit))
    for level, line in zip(levels, (picture.worst, picture.shut), strict=True):
        carried, heights = line.get_data()
        assert np.interp(flows[0], carried, heights) == pytest.approx(level, rel=0.05)  # the curve is drawn with straight pieces
    assert picture.rim.get_ydata()[0] == pytest.approx(result.pond.vessel.height.m_as(height_unit))


def test_a_siphon_is_drawn_and_said():
    siphon = {"kind": "bell", "inside_diameter": "22 mm", "crest": "50 cm", "mouth": "6 cm", "length": "1.6 m", "drop": "1.2 m"}
    result = planned(outlets=[], siphon=siphon)
    picture = LevelPicture()
    picture.update(result)
    assert picture.siphon.get_visible() and picture.siphon.get_ydata()[0] == pytest.approx(6) and "starts again" in picture.alt(result)
    picture.update(plan(demo_pond(), until="drains"))
    assert not picture.siphon.get_visible()


def test_the_words_name_level_limit_and_what_runs_over():
    one = {"name": "one", "kind": "hole", "inside_diameter": "30 mm", "height": "9 cm"}
    safe, tight = plan(demo_pond(), until="drains"), planned(outlets=[one])
    picture = LevelPicture()
    assert "it rises to" in picture.alt(safe) and "The rim lies at 88 cm" in picture.alt(safe)
    picture.update(tight)
    assert "run over" in picture.alt(tight) and "run over" in picture.note.get_text()
    with showing_in("us"):
        assert " in" in picture.alt(safe, "us") and "US gpm" in picture.alt(safe, "us") and " cm" not in picture.alt(safe, "us")


HOLE = {"kind": "hole", "inside_diameter": "12 mm"}


@pytest.mark.parametrize("outlets", [
    [{"name": "a", "kind": "stub", "inside_diameter": "36 mm", "height": "4 cm"}, {"name": "b", "kind": "stub", "inside_diameter": "36 mm",
                                                                                  "height": "5 cm"}],
    [{"name": "a", "height": "82 cm", **HOLE}, {"name": "b", "height": "83 cm", **HOLE}],  # both levels at the rim
])
def test_the_words_of_two_levels_stand_apart(outlets):
    picture, result = LevelPicture(), planned(outlets=outlets)
    picture.update(result)
    picture.canvas.draw()
    running, blocked = (words.get_window_extent() for words in picture.words[:2])
    assert not running.overlaps(blocked) and "with one shut" in picture.words[1].get_text()
    assert picture.note.get_text().startswith(f"with {result['drains'].facts['worst']} shut")
    assert picture.axes.get_window_extent().x0 <= blocked.x0


def test_without_a_vessel_the_words_say_what_is_missing():
    bare = plan(demo_pond().model_copy(update={"vessel": None}), until="drains")
    picture = LevelPicture()
    picture.update(bare)
    assert not picture.open.get_visible() and "needs [vessel]" in picture.alt(bare) and picture.png()


@pytest.mark.parametrize("system, factor", [("metric", 1), ("us", 1 / 0.3048)])
def test_the_grade_line_sinks_from_the_pumps_head_to_the_mouth(system, factor):
    result = plan(demo_pond(), until="plumbing")
    picture = ProfilePicture()
    picture.update(result, system)
    way, grade = picture.grade.get_data()
    # at the mouth the spreader's head is left, less that of the speed in the pipe
    speed = result["plumbing.velocity"].value.m_as("m/s")
    spread = result["plumbing.spreader_head"].value.m_as("m") - speed**2 / (2 * 9.80665)
    assert way[-1] == pytest.approx(7.5 * factor) and grade[-1] == pytest.approx((1.4 + spread) * factor)
    assert picture.pipe.get_ydata()[-1] == pytest.approx(1.4 * factor)
    head = result["plumbing.head"].typical.m_as("m") * factor
    assert grade[0] < head == pytest.approx(picture.start.get_ydata()[0])
    assert "the dashed grade line sinks by" in picture.alt(result, system)
    sinks = result["plumbing.pipe_head"].value + result["plumbing.fittings_head"].value
    assert f"sinks by {show(sinks, 'm', system, 2)} on the way" in picture.alt(result, system)
    assert grade[0] - grade[-1] == pytest.approx(sinks.m_as("m") * factor)
    assert "press it through the spreader's holes" in picture.alt(result, system)


def test_no_profile_without_a_pump():
    bare = plan(demo_pond().model_copy(update={"pump": None}), until="plumbing")
    picture = ProfilePicture()
    picture.update(bare)
    assert not picture.pipe.get_visible() and "needs [pump]" in picture.alt(bare)
