"""The cut through the vessel: layers and levels where they are, words that do not touch, and ponds with nothing to draw."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from pondwright.figures.vessel import VesselPicture, _apart, _level_words
from pondwright.figures.ways import BACK, FLOOR, LEFT, RIGHT, placed
from pondwright.pond.file import parse_pond
from pondwright.pond.plan import plan
from pondwright.pond.strata import built
from pondwright.pond.vessel import Vessel
from tests.ponds import TEXTS

VESSELS = ["demo", "tote", "tower", "submerged-box", "siphon-bed"]


def result_of(name):
    return plan(parse_pond(TEXTS[name]), until="drains")


@pytest.mark.parametrize("system, factor", [("metric", 100), ("us", 100 / 2.54)])
def test_layers_are_drawn_to_scale(system, factor):
    picture = VesselPicture()
    picture.update(result_of("demo"), system)
    # from the top down: 86 to 78, 73, 10, 8 and 0 cm; 57 cm wide
    for patch, (low, high) in zip(picture.layers, [(78, 86), (73, 78), (10, 73), (8, 10), (0, 8)], strict=False):
        x, y = patch.get_xy().T
        assert (y.min(), y.max()) == (pytest.approx(low / 100 * factor), pytest.approx(high / 100 * factor))
        assert np.ptp(x) == pytest.approx(0.57 * factor)
    assert not picture.layers[5].get_visible()
    wide, tall = (np.ptp(limits) for limits in (picture.axes.get_xlim(), picture.axes.get_ylim()))
    box = picture.axes.get_window_extent()
    assert wide / box.width == pytest.approx(tall / box.height, rel=1e-6)  # a centimetre is as long upward as across


@pytest.mark.parametrize("name", VESSELS)
def test_levels_and_water_stand_where_the_plan_says(name):
    result = result_of(name)
    scale = 100 if result.pond.pond.units == "metric" else 100 / 2.54
    picture = VesselPicture()
    picture.update(result, result.pond.pond.units)
    running = result["drains.level_running"].value.m_as("m") * scale
    assert picture.levels["running"].get_ydata()[0] == pytest.approx(running)
    assert picture.water.get_xy()[:, 1].max() == pytest.approx(running)
    picture.blocked = True
    picture.update(result, result.pond.pond.units)
    assert picture.water.get_xy()[:, 1].max() >= running


@pytest.mark.parametrize("name", VESSELS)
def test_words_stay_apart_and_inside(name):
    result = result_of(name)
    picture = VesselPicture()
    picture.update(result, result.pond.pond.units)
    picture.canvas.draw()
    for words in (picture.left, picture.right):
        boxes = [t.get_window_extent() for t in words if t.get_text()]
        assert boxes and all(b.x0 >= 0 and b.x1 <= picture.figure.bbox.x1 and b.y0 >= 0 for b in boxes)
        assert all(a.y0 >= b.y1 - 1 or b.y0 >= a.y1 - 1 for a, b in pairwise(sorted(boxes, key=lambda b: b.y0)))


def test_heights_are_moved_apart_as_little_as_needed():
    # two at 10 and 11 with a gap of 3: their middle stays
    assert _apart([11, 30, 10], 3) == pytest.approx([12, 30, 9], abs=0.01)


@pytest.mark.parametrize("kind, pieces", [("bell", 2), ("loop", 1)])
def test_a_siphon_is_drawn_from_its_mouth_over_its_crest(kind, pieces):
    text = TEXTS["siphon-bed"].replace('kind = "bell"', f'kind = "{kind}"').replace("0.75 m", "0.9 m")
    text = text.replace('units = "metric"', 'units = "imperial"')
    result, picture = plan(parse_pond(text), until="drains"), VesselPicture()
    picture.update(result, "imperial")
    drawn = [path.vertices for path in picture.pipes.get_paths()][1:]  # after the overflow
    assert len(drawn) == pieces
    tops, lows = [v[:, 1].max() * 2.54 for v in drawn], [v[:, 1].min() * 2.54 for v in drawn]
    assert max(tops) > 27 >= min(tops) - 2 and any(y == pytest.approx(3) for v in drawn for y in v[:, 1] * 2.54) and min(lows) < 0
    assert any(t.get_text().startswith(f"{kind} siphon's crest, ") for t in picture.left)
    picture.canvas.draw()
    assert all(t.get_window_extent().x1 <= picture.figure.bbox.x1 for t in picture.right)


def outlet(name, height, kind="stub", bore=36, **more):
    return {"name": name, "kind": kind, "inside_diameter": f"{bore} mm", "height": f"{height} cm", **more}


LOOP = {"kind": "loop", "inside_diameter": "22 mm", "crest": "40 cm", "mouth": "5 cm", "length": "1.1 m", "drop": "0.7 m"}


@pytest.mark.parametrize("outlets, siphon, walls", [
    ([outlet("a", 4), outlet("b", 5.5)], None, [LEFT, RIGHT]),
    ([outlet("a", 4), outlet("b", 4), outlet("c", 6), outlet("top", 80)], None, [LEFT, RIGHT, BACK, LEFT]),
    ([outlet("a", 4, "elbow_up", mouth="40 cm"), outlet("b", 20)], None, [LEFT, RIGHT]),
    ([outlet("a", 30), outlet("b", 31)], LOOP, [LEFT, BACK]),
    ([outlet("a", 0, "floor"), outlet("b", 60, "floor"), outlet("c", 4)], None, [FLOOR, FLOOR, LEFT]),
])  # fmt: skip
def test_outlets_at_nearly_one_height_do_not_cover_each_other(outlets, siphon, walls):
    """What would overlap on one wall goes to the other one, then to the wall behind; each is named and none lies on another."""
    demo = parse_pond(TEXTS["demo"])
    told = {**demo.vessel.model_dump(exclude_none=True, exclude={"outlets"}), "outlets": outlets} | ({"siphon": siphon} if siphon else {})
    pond = demo.model_copy(update={"vessel": Vessel.model_validate(told)})
    assert [one.wall for one in placed(pond.vessel)] == walls
    picture = VesselPicture()
    picture.update(plan(pond, until="drains"))
    drawn = [path.get_extents() for path in picture.pipes.get_paths()]
    assert len(drawn) == len(outlets) + (siphon is not None)
    assert not any(a.overlaps(b) for n, a in enumerate(drawn) for b in drawn[:n])
    written = [t.get_text() for t in (*picture.left, *picture.right)]
    assert {one["name"] for one in outlets} <= {text.rpartition(", ")[0] for text in written}
    picture.canvas.draw()
    for words in (picture.left, picture.right):
        boxes = sorted((t.get_window_extent() for t in words if t.get_text()), key=lambda b: b.y0)
        assert all(above.y0 >= below.y1 - 1 for below, above in pairwise(boxes))


def test_the_words_hold_levels_and_the_stop():
    words = VesselPicture().alt(result_of("demo"))
    assert "lava rock, 63 cm" in words and "running: " in words and "The pump may stop for" in words
    assert "over the rim" in VesselPicture().alt(result_of("tower"), "us")


CONE = """[pond.shape]
kind = "circle"
diameter = "3 m"
depth = "1 m"
[vessel]
shape = "cone"
diameter = "60 cm"
height = "90 cm"
cone_height = "40 cm"
layers = [{ kind = "media", media = "gravel", thickness = "30 cm" }, { kind = "plenum", thickness = "40 cm" }]
outlets = [{ name = "sludge", kind = "stub", inside_diameter = "40 mm", height = "10 cm" }]
"""
LOW = """[pond.shape]
kind = "circle"
diameter = "3 m"
depth = "1 m"
[vessel]
shape = "box"
length = "120 cm"
width = "60 cm"
height = "35 cm"
layers = [{ kind = "media", media = "gravel", thickness = "20 cm" }, { kind = "plenum", thickness = "5 cm" }]
outlets = [{ name = "low", kind = "stub", inside_diameter = "40 mm", height = "10 cm" }]
"""


def drawn(text):
    picture = VesselPicture()
    picture.update(plan(parse_pond(text), until="drains"))
    return picture


def test_an_outlet_in_a_cone_goes_through_the_wall_of_the_cone():
    """At 10 of 40 cm the cone is a quarter of 60 cm wide: its wall lies 7.5 cm left of the middle."""
    picture = drawn(CONE)
    (path,) = picture.pipes.get_paths()
    assert path.vertices[:, 0].min() < -7.5 < path.vertices[:, 0].max() < 0
    leads = picture.leads.get_xydata()
    assert any(x == pytest.approx(-7.5) and y == pytest.approx(10) for x, y in leads)


def test_a_low_wide_box_fills_its_picture():
    """120 x 35 cm: drawn with heights twice as large as widths it takes a third of the picture's height, and the picture says so."""
    picture, demo = drawn(LOW), drawn(TEXTS["demo"])
    wide, tall = (np.ptp(limits) for limits in (picture.axes.get_xlim(), picture.axes.get_ylim()))
    box = picture.axes.get_window_extent()
    assert wide / box.width == pytest.approx(2 * tall / box.height, rel=1e-6) and 35 / tall > 0.25
    said = "heights twice as large as widths"
    assert said in picture.key.get_text() and said not in demo.key.get_text()
    low = plan(parse_pond(LOW), until="drains")
    assert "twice as large as widths" in VesselPicture().alt(low) and "twice" not in VesselPicture().alt(result_of("demo"))
    assert 120 / wide < 0.45  # room for the words on both sides


def test_levels_are_told_as_those_at_worst():
    """Typically a hair below the rim, at worst over it: it may run over. Picture and words name the end."""
    result = result_of("demo")
    picture = VesselPicture()
    picture.update(result)
    assert "at worst" in picture.key.get_text()
    running = result["drains.level_running"]
    ends = [f"{end.m_as('cm'):.2g} cm" for end in (running.value, running.typical)]
    assert f"running: {ends[0]} at worst, typically {ends[1]}" in VesselPicture().alt(result)
    inside = built(result.pond.vessel)
    said = [_level_words("running", 0.88, likely, inside, "metric") for likely in (0.87, 0.88)]
    assert said == ["running: may run over", "running: over the rim"]


def test_the_flow_of_each_way_out_stands_beside_its_name():
    """Two equal drains of the demo share the pump's flow; of unequal ways all together carry it."""
    result = result_of("demo")
    half = f"{result['plumbing.flow'].typical.m_as('L/min') / 2:.2g} L/min"
    picture = VesselPicture()
    picture.update(result)
    assert f"drain towards the basin, {half}" in [t.get_text() for t in picture.left]
    assert f"second drain, {half}" in [t.get_text() for t in picture.right] and f"second drain {half}" in VesselPicture().alt(result)
    for name in ("tote", "submerged-box"):
        other = result_of(name)
        total = other["drains"].series["way_flows"].m_as("L/min").sum()
        assert total == pytest.approx(other["plumbing.flow"].typical.m_as("L/min"), rel=1e-3)


def test_a_pond_without_a_vessel():
    bare = plan(parse_pond('[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n'), until="drains")
    picture = VesselPicture()
    assert "no vessel is planned yet" in picture.html(bare) and not picture.wall.get_visible()
    picture.update(result_of("demo"))
    assert picture.wall.get_visible()
