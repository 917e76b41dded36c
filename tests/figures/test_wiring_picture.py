"""The wiring diagram: it writes the sizes of the plan, draws a fuse for every cable, and says the same in words."""

from __future__ import annotations

import numpy as np
import pytest

from pondwright.figures.wiring import WiringPicture
from pondwright.pond.file import demo_pond, demo_text, parse_pond
from pondwright.pond.plan import plan

SHAPE = '[pond.shape]\nkind = "circle"\ndiameter = "2 m"\ndepth = "1 m"\n'
LOAD = '[[power.loads]]\nname = "{name}"\npower = "{power} W"\nhours_per_day = "4 h/d"\n'


def with_loads(*loads):
    text = "".join(LOAD.format(name=name, power=power) for name, power in loads)
    return plan(parse_pond(demo_text().replace("[power.panel]", text + "[power.panel]")), until="power")


def written(result, system="metric"):
    picture = WiringPicture()
    picture.update(result, system)
    return picture, [t.get_text() for t in picture.sheet.texts]


def test_it_writes_the_sizes_of_the_plan():
    result = plan(demo_pond(), until="power")
    picture, words = written(result)
    stage = result["power"]
    wanted = (stage["pump_fuse"].text(), stage["controller_fuse"].text(), "9 m", "2.5 mm²", "24 V, 110 Ah", "2 panels of 200 W",
              "2 in series", f"up to {stage['cold_voltage'].text()}", f"needed: {stage['controller_current'].text()}",
              "cable: 5 m of 2.5 mm²", "1 m", "6 mm²", "low-voltage", "disconnect")  # fmt: skip
    for part in wanted:
        assert part in words
    alt = picture.alt(result)
    for part in ("fuse 2 A", "9 m of 2.5 mm²", "a fuse of 25 A beside the battery", "Lead-acid battery, 24 V, 110 Ah"):
        assert part in alt


def test_every_load_has_a_fuse_and_those_without_room_are_counted():
    result = with_loads(("lamp", 8), ("phones", 5), ("radio", 3), ("fan", 30))
    picture, words = written(result)
    assert {"lamp", "phones"} <= set(words) and "radio" not in words and "and 2 more, each with a fuse" in words
    assert all(f"{name}, {power} W: fuse " in picture.alt(result) for name, power in (("Lamp", 8), ("Radio", 3), ("Fan", 30)))
    # all at once 66 W/24 V = 2.75 A, x 1.25 = 3.44 A: 4 A before the disconnect
    assert "4 A" in words and "a fuse of 4 A, a cable of" in picture.alt(result)
    assert words.count("1 A") == 2 and "2 A" in words  # lamp and phones: 1.25 x 8 W/24 V = 0.42 A; the pump: 1.04 A


def test_a_reader_in_the_us_sees_gauges_and_feet():
    _, words = written(with_loads(("lamp", 8)), "us")
    assert "18 AWG" in words and "29.5 ft" in words and "cable: 16.4 ft of 12 AWG" in words and "3.28 ft" in words


def test_the_size_to_buy_is_drawn_where_the_plan_refuses_the_present_one():
    """20 W at 12 V in 20 m: 2 x 20 x 1.667 x 0.020/0.24 = 5.56 mm², so 6 mm²; half a square millimetre may burn before its fuse blows."""
    text = demo_text().replace('voltage = "24 V"', 'voltage = "12 V"').replace('size = "2.5 mm2"', 'size = "0.5 mm2"')
    result = plan(parse_pond(text.replace('length = "9 m"', 'length = "20 m"')), until="power")
    picture, words = written(result)
    assert "6 mm²" in words and "not 0.5 mm²" in words and "0.5 mm²" not in words
    assert "20 m of 6 mm² of copper, not 0.5 mm²" in picture.alt(result)
    kept, _ = written(plan(demo_pond(), until="power"))
    assert "not" not in kept.alt(plan(demo_pond(), until="power")).partition("cable 9 m")[2]


def test_no_load_hangs_straight_on_the_battery():
    """Everything that a battery feeds goes through the one switch that the year hour by hour counts on; without a battery there is none."""
    whole = plan(demo_pond(), until="power")
    picture, words = written(whole)
    assert words.count("2 A") == 1 and "From the battery to the loads: a low-voltage disconnect" in picture.alt(whole)
    text = demo_text()
    start, end = text.index("[power.battery]"), text.index("[power.cable]")
    free = plan(parse_pond(text[:start] + text[end:]), until="power")
    bare, words = written(free)
    assert "disconnect" not in " ".join(words) and "disconnect" not in bare.alt(free)


def test_strings_side_by_side_have_a_fuse_each():
    text = demo_text().replace("count = 2\nin_series = 2", "count = 6\nin_series = 2")
    result = plan(parse_pond(text), until="power")
    _, words = written(result)
    assert f"fuse in each: {result['power.string_fuse'].text()} or more" in words and "3 strings of 2" in words


def test_the_cautions_stand_on_the_sheet():
    _, words = written(plan(demo_pond(), until="power"))
    sheet = " ".join(words)
    for part in ("cover them until then", "out of reach of splashes", "a hand's width", "code of your place"):
        assert part in sheet


@pytest.mark.parametrize("text", [SHAPE, SHAPE + '[power]\nvoltage = "12 V"\n' + LOAD.format(name="lamp", power=5)])
def test_a_supply_that_is_hardly_planned_still_draws(text):
    result = plan(parse_pond(text), until="power")
    picture, words = written(result)
    assert words and len(picture.alt(result)) > 40


def test_another_pond_replaces_the_first_drawing():
    picture = WiringPicture()
    picture.update(with_loads(("lamp", 8)))
    before = picture.png()
    picture.update(plan(demo_pond(), until="power"))
    assert picture.png() != before and "lamp" not in [t.get_text() for t in picture.sheet.texts]


def test_no_words_leave_the_sheet_or_lie_on_others():
    long = "the lamp over the door of the old boat shed, by night"
    picture, _ = written(with_loads((long, 8), ("grow light", 60), ("phones", 5), ("fan", 4)))
    picture.png()
    boxes = [t.get_window_extent() for t in picture.sheet.texts if t.get_text()]
    width, height = (picture.figure.bbox.width, picture.figure.bbox.height)
    assert all(b.x0 >= 0 and b.x1 <= width and b.y0 >= 0 and b.y1 <= height for b in boxes)
    touching = [(i, j) for i in range(len(boxes)) for j in range(i) if boxes[i].shrunk(0.9, 0.7).overlaps(boxes[j].shrunk(0.9, 0.7))]
    assert not touching and np.isfinite(width)
