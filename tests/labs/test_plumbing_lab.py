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


RUNS = """[[plumbing.runs]]
inside_diameter = "28 mm"
length = "6 m"
rise = "1.2 m"
fittings = { entrance = 1, elbow_90 = 1 }
[[plumbing.runs]]
inside_diameter = "20 mm"
length = "1.5 m"
rise = "0.5 m"
fittings = { elbow_90 = 3, exit = 1 }
"""


@pytest.fixture
def of_runs():
    """The demo pond with a line of two runs in place of its pipe, the second of them narrow."""
    text = demo_text().replace('inside_diameter = "28 mm"   # 32 mm metric PVC-U\nlength = "7.5 m"\n', "")
    text = text.replace("fittings = { entrance = 1, elbow_90 = 4, ball_valve = 1, exit = 1 }\nmouth", "mouth")
    return PlumbingLab(parse_pond(text.replace("[plumbing.intake]", RUNS + "[plumbing.intake]")))


def runs(lab) -> list[tuple[float, float, float, int]]:
    return [(run.inside_diameter.m_as("mm"), run.length.m_as("m"), run.rise.m_as("m"), run.fittings.get("elbow_90", 0))
            for run in lab.result.pond.plumbing.line]


def test_a_line_of_several_runs_is_the_plans_own(of_runs):
    """One pipe of 28 mm would bring more than the narrow end lets through."""
    lab, whole = of_runs, plan(of_runs.pond, until="plumbing")["plumbing.flow"]
    assert lab.result.pond.plumbing is lab.pond.plumbing
    assert lab.words.startswith(f"Plan on {whole.text()} ({whole.band_text()}). ")
    assert flow(lab) < flow(PlumbingLab(demo_pond())) - 0.5


def test_each_slider_changes_only_what_it_says_in_a_line_of_several_runs(of_runs):
    lab = of_runs
    # the second run takes most: 1.5 / 20^5 is more than 6 / 28^5 (4.7e-7 and 3.5e-7)
    assert lab._rows["bore"].spec.label == "Inside diameter of run 2 of 2" and lab.inputs.bore == Q(20, "mm")
    wide, narrow = (28, 6, 1.2, 1), (20, 1.5, 0.5, 3)
    for moved, found in (
        ({"bore": "25 mm"}, [wide, (25, 1.5, 0.5, 3)]),
        ({"length": "15 m"}, [(28, 12, 1.2, 1), (20, 3, 0.5, 3)]),
        # 0.75 m more over 7.5 m of pipe: 0.1 m for each metre
        ({"lift": "2.15 m"}, [(28, 6, pytest.approx(1.8), 1), (20, 1.5, pytest.approx(0.65), 3)]),
        ({"elbows": 6}, [wide, (20, 1.5, 0.5, 5)]),
        ({"elbows": 2}, [wide, (20, 1.5, 0.5, 1)]),
        ({"elbows": 0}, [(28, 6, 1.2, 0), (20, 1.5, 0.5, 0)]),
    ):
        start = {"bore": "20 mm", "length": "7.5 m", "lift": "1.4 m", "elbows": 4}
        lab.set(**(start | moved))
        assert runs(lab) == found
        assert ("Elbows are put into run 2, or taken out there first." in lab.words) == ("elbows" in moved)
        lab.set(**start)
        assert runs(lab) == [wide, narrow] and lab.result.pond.plumbing is lab.pond.plumbing


def test_runs_of_one_width_move_together(of_runs):
    text = demo_text().replace('inside_diameter = "28 mm"   # 32 mm metric PVC-U\nlength = "7.5 m"\n', "")
    text = text.replace("fittings = { entrance = 1, elbow_90 = 4, ball_valve = 1, exit = 1 }\nmouth", "mouth")
    lab = PlumbingLab(parse_pond(text.replace("[plumbing.intake]", RUNS.replace("20 mm", "28 mm") + "[plumbing.intake]")))
    assert lab._rows["bore"].spec.label == "Inside diameter of the pipe"
    assert [bore for bore, *_ in runs(lab.set(bore="34 mm"))] == [34, 34]


def test_a_pipe_of_the_table_keeps_its_range_of_bores_until_it_is_moved():
    text = demo_text().replace('inside_diameter = "28 mm"   # 32 mm metric PVC-U', 'pipe = "sch40_1in"')
    lab = PlumbingLab(parse_pond(text))
    own = plan(lab.pond, until="plumbing")["plumbing.flow"]
    assert lab.words.startswith(f"Plan on {own.text()} ({own.band_text()})") and lab.result.pond.plumbing.pipe == "sch40_1in"
    lab.set(bore="30 mm")
    assert lab.result.pond.plumbing.pipe is None and lab.result.pond.plumbing.inside_diameter == Q(30, "mm")


def test_a_pump_that_gets_another_voltage_is_the_plans_own():
    text = demo_text().replace('rated_voltage = "24 V"', 'rated_voltage = "24 V"\nsupply_voltage = "21.6 V"')
    lab = PlumbingLab(parse_pond(text))
    own = plan(lab.pond, until="plumbing")["plumbing"]
    assert lab.inputs.speed == Q(90, "%") and lab.result.pond.pump is lab.pond.pump
    assert lab.result["plumbing.flow"].value == own["flow"].value and lab.result["plumbing.pump_power"].note == own["pump_power"].note
    lab.set(speed="100 %")
    assert flow(lab) == pytest.approx(flow(PlumbingLab(demo_pond())))


def test_what_is_invented_is_said_and_is_nothing_to_plan_on():
    bare, pump = PlumbingLab(parse_pond(BARE)), demo_pond().pump
    assert "an invented practice pump and line: your pond file has no [pump] and no [plumbing] yet" in bare.words
    assert "Plan on" not in bare.words
    half = PlumbingLab(parse_pond(BARE).model_copy(update={"pump": pump}))
    assert "an invented practice line: your pond file has no [plumbing] yet" in half.words and "Plan on" not in half.words


def test_a_line_longer_than_the_sliders_range_is_not_cut():
    lab = PlumbingLab(parse_pond(demo_text().replace('length = "7.5 m"', 'length = "62.3 m"')))
    assert lab.inputs.length == Q(62.3, "m") and lab.result.pond.plumbing is lab.pond.plumbing
