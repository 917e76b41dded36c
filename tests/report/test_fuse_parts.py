"""The shopping list names a fuse for every cable of the supply, not one for all."""

from __future__ import annotations

from pondwright.pond.file import demo_pond, demo_text, parse_pond
from pondwright.pond.plan import plan
from pondwright.report.parts import parts
from tests.ponds import TEXTS


def test_each_cable_has_its_fuse_on_the_list():
    listed = [part for group in parts(plan(parse_pond(TEXTS["courtyard"])), "metric").values() for part in group]
    fuses = {part.what: part.want for part in listed if "Fuse" in part.what}
    # pump 32 W at 24 V: 1.67 A, so 2 A; controller 20 A: 25 A; night light 3 W: 0.16 A, so 1 A
    assert fuses["Fuse of the pump's cable, and its holder"].startswith("2 A, rated for direct current")
    assert "25 A" in fuses["Fuse between controller and battery"]
    assert fuses["Fuse of the cable to load 1 besides the pump"] == "1 A"


def test_the_cable_from_the_panels_is_on_the_list():
    listed = [part for group in parts(plan(parse_pond(TEXTS["courtyard"])), "metric").values() for part in group]
    (cable,) = (part for part in listed if part.what == "Cable from the panels to the controller")
    assert cable.want == "2.5 mm² or 12 AWG, or more"  # 10.3 A x 1.25 x 1.25 = 16.1 A; 2.5 mm² carries 17 A and 12 AWG 16.4 A at 40 °C


def test_every_cable_that_was_sized_is_on_the_list():
    """By fuse: 25 A asks for 6 mm² (30 A at 40 °C) or 8 AWG (32.8 A), 1 A for the thinnest of each table.

    Pump and light draw 35 W/24 V = 1.46 A together, x 1.25 = 1.82 A: a fuse of 2 A.
    """
    listed = {part.what: part for group in parts(plan(parse_pond(TEXTS["courtyard"])), "metric").values() for part in group}
    assert listed["Cable from the controller to the battery"].want == "6 mm² or 8 AWG, or more"
    assert listed["Fuse between battery and disconnect"].want == "2 A"
    assert {"Cable from the battery to the disconnect", "Low-voltage disconnect for all loads"} <= listed.keys()
    assert listed["Cable to night light at the gate"].want == "0.5 mm² or 18 AWG, or thicker where it is long"
    demo = [part for group in parts(plan(demo_pond()), "metric").values() for part in group]
    has = {part.what: part.have for part in demo}
    assert has["Cable from the panels to the controller"] == "5 m one way, made for sun and weather"
    assert has["Cable from the controller to the battery"] == "1 m one way"


def test_a_cable_that_the_plan_refuses_is_not_on_the_list():
    thin = parse_pond(demo_text().replace('size = "2.5 mm2"', 'size = "0.5 mm2"'))
    listed = [part for group in parts(plan(thin), "metric").values() for part in group]
    (cable,) = (part for part in listed if part.what == "Cable from the battery to the pump")
    assert cable.have == "9 m one way, not 0.5 mm²" and cable.want == "0.75 mm² or 18 AWG, or more"
