"""The shopping list names a fuse for every cable of the supply, not one for all."""

from __future__ import annotations

from pondwright.pond.file import parse_pond
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
