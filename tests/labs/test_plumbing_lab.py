"""The lab of lesson 06 against the stage, and what must follow when a slider moves."""

from __future__ import annotations

import pytest

from pondwright.labs import PlumbingLab
from pondwright.labs.plumbing import LEVELS, PROFILE
from pondwright.pond.file import demo_pond, demo_text, parse_pond
from pondwright.pond.plan import plan
from pondwright.units import Q

BARE = '[pond]\nname = "Only a shape"\n[pond.shape]\nkind = "circle"\ndiameter = "3 m"\ndepth = "0.8 m"\n'


@pytest.fixture
def lab():
    return PlumbingLab(demo_pond())


def flow(lab) -> float:
    return lab.result["plumbing.flow"].typical.m_as("L/min")


def test_it_starts_where_the_plan_stands(lab):
    assert flow(lab) == pytest.approx(plan(demo_pond(), until="plumbing")["plumbing.flow"].typical.m_as("L/min"))
    assert lab.inputs.elbows.magnitude == 4 and lab.inputs.bore == Q(28, "mm")
    assert "L/min" in lab.words and "m/s" in lab.words and "between the 0.3 m/s and 1.5 m/s" in lab.words


def test_what_helps_and_what_hinders(lab):
    start = flow(lab)
    tried = {"bore": ("20 mm", "40 mm"), "length": ("20 m", "3 m"), "lift": ("2.5 m", "0.5 m"), "elbows": (12, 0)}
    for name, (worse, better) in (tried | {"speed": ("80 %", "110 %")}).items():
        lab.set(**{name: worse})
        assert flow(lab) < start, name
        lab.set(**{name: better})
        assert flow(lab) > start, name
        lab.set(bore="28 mm", length="7.5 m", lift="1.4 m", elbows=4, speed="100 %")
    assert flow(lab) == pytest.approx(start)


def test_a_slower_pump_draws_far_less(lab):
    lab.set(speed="50 %")
    # half the speed: an eighth of the 20 W, a quarter of the 3.6 m of head, which is below the lift of 1.4 m
    assert lab.result["plumbing.pump_power"].value.m_as("W") == pytest.approx(2.5)
    assert "flow" not in lab.result["plumbing"] and lab.words.startswith("Nothing flows") and "0.9 m at most" in lab.words


def test_speeds_outside_the_common_band_are_told(lab):
    lab.set(bore="12 mm", length="1 m", lift="0 m", elbows=0)
    assert "faster than the 1.5 m/s" in lab.words
    lab.set(bore="60 mm")
    assert "slower than the 0.3 m/s" in lab.words


def test_a_pond_without_pump_gets_a_practice_pump_that_says_so():
    lab = PlumbingLab(parse_pond(BARE))
    assert "invented practice pump" in lab.words and flow(lab) > 0
    assert lab.pond.pump is None


def test_three_pictures_of_one_line(lab):
    curves = lab.picture
    lab.set(picture=PROFILE)
    assert "grade line" in lab.picture.alt(lab.result) and lab.picture is not curves
    lab.set(picture=LEVELS)
    whole = plan(demo_pond(), until="drains")["drains"]
    assert lab.result["drains.level_running"].value.m_as("cm") == pytest.approx(whole["level_running"].value.m_as("cm"))
    assert "below the rim" in lab.words and whole["level_blocked"].text() in lab.words
    lab.set(bore="60 mm", lift="0.2 m")
    assert lab.result["drains.level_running"].value > whole["level_running"].value  # more water comes, so it stands higher
    lab.set(picture="pump and line")
    assert lab.picture is curves and "drains" not in lab.result.stages


def test_without_a_vessel_no_level_is_made_up():
    lab = PlumbingLab(parse_pond(BARE))
    lab.set(picture=LEVELS)
    assert "no level is known" in lab.words and "needs [vessel]" in lab.words


def test_a_line_of_several_runs_becomes_one_pipe():
    text = demo_text().replace('inside_diameter = "28 mm"   # 32 mm metric PVC-U\nlength = "7.5 m"\n', "")
    text = text.replace("fittings = { entrance = 1, elbow_90 = 4, ball_valve = 1, exit = 1 }\nmouth", "mouth")
    runs = ("[[plumbing.runs]]\ninside_diameter = '28 mm'\nlength = '6 m'\nfittings = { entrance = 1, elbow_90 = 3 }\n"
            "[[plumbing.runs]]\ninside_diameter = '20 mm'\nlength = '1.5 m'\nfittings = { elbow_90 = 1, exit = 1 }\n")
    lab = PlumbingLab(parse_pond(text.replace("[plumbing.intake]", runs + "[plumbing.intake]")))
    assert (lab.inputs.bore, lab.inputs.length, lab.inputs.elbows.magnitude) == (Q(28, "mm"), Q(7.5, "m"), 4) and flow(lab) > 0
