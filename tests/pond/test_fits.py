"""Vessels and lines that nobody could build: one clear line with both numbers; what would be unsound is a finding. All invented."""

from __future__ import annotations

import pytest

from pondwright.pond.faults import contradictions
from pondwright.pond.file import PondFileError, parse_pond
from pondwright.pond.findings import findings
from pondwright.pond.plan import plan
from pondwright.pond.results import Urgency
from tests.grades import hand_worked

BARREL = """[pond.shape]
kind = "circle"
diameter = "3 m"
depth = "0.8 m"
[pump]
max_flow = "45 L/min"
max_head = "3 m"
power = "25 W"
hours_per_day = "24 h/d"
[plumbing]
inside_diameter = "25 mm"
length = "6 m"
lift = "1.3 m"
[vessel]
shape = "barrel"
diameter = "57 cm"
height = "85 cm"
layers = [{ kind = "gap", thickness = "60 cm" }]
[vessel.spreader]
kind = "pipe"
holes = 30
hole = "5 mm"
inside_diameter = "26 mm"
length = "50 cm"
[[vessel.outlets]]
name = "drain"
kind = "floor"
inside_diameter = "26 mm"
height = "0 cm"
length = "3 m"
drop = "0.3 m"
"""
BOX = BARREL.replace('shape = "barrel"\ndiameter = "57 cm"', 'shape = "box"\nlength = "80 cm"\nwidth = "60 cm"')
CONE = BARREL.replace('shape = "barrel"', 'shape = "cone"\ncone_height = "40 cm"')
SIPHON = '[vessel.siphon]\nkind = "bell"\ninside_diameter = "21 mm"\ncrest = "22 cm"\nmouth = "3 cm"\nlength = "0.7 m"\ndrop = "0.6 m"\n'
PIPE = 'kind = "pipe"\nholes = 30\nhole = "5 mm"\ninside_diameter = "26 mm"\nlength = "50 cm"'
STUB = 'kind = "stub"\ninside_diameter = "{bore} mm"\nheight = "{height} cm"'
FLOOR = 'kind = "floor"\ninside_diameter = "26 mm"\nheight = "0 cm"'
FALLS = 'length = "3 m"\ndrop = "0.3 m"'

REFUSED = {
    "an outlet that falls further than its pipe is long": (
        BARREL, FALLS, 'length = "0.5 m"\ndrop = "2 m"',
        "vessel.outlets[1]: a pipe of 0.5 m cannot fall 2 m: length is that of the whole pipe."),
    "a fall without a pipe": (
        BARREL, 'length = "3 m"\ndrop', "drop", "vessel.outlets[1]: drop, the fall of the pipe outside, needs its length as well."),
    "a bell that falls further than its pipe is long": (
        BARREL + SIPHON, '"0.7 m"', '"0.1 m"', "vessel.siphon: a pipe of 0.1 m cannot fall 0.6 m: length is that of the whole pipe."),
    # 22 - 3 = 19 cm up and 60 cm down are 79 cm
    "a loop of too little pipe": (
        BARREL + SIPHON, '"bell"', '"loop"',
        "vessel.siphon: a loop that rises 19 cm inside and falls 0.6 m cannot be made of 0.7 m of pipe: length is that of the whole pipe."),
    "a spreader longer than a barrel is wide": (
        BARREL, '"50 cm"', '"80 cm"',
        "vessel: the drilled pipe of the spreader is 80 cm long, and inside the vessel there are only 57 cm from wall to wall."),
    # 80 x 60 cm: 100 cm from corner to corner
    "a spreader longer than a box from corner to corner": (
        BOX, '"50 cm"', '"101 cm"',
        "vessel: the drilled pipe of the spreader is 101 cm long, and inside the vessel there are only 100 cm from wall to wall, corner to "
        "corner."),
    "a spreader as wide as the vessel": (
        BARREL, 'inside_diameter = "26 mm"\nlength', 'inside_diameter = "500 mm"\nlength', None),
    # 900 x pi/4 x 25 cm2 = 17 671 cm2 on 4800 cm2
    "a plate with more holes than plate": (
        BOX, PIPE, 'kind = "plate"\nholes = 900\nhole = "50 mm"',
        "vessel: 900 holes of 50 mm have 17700 cm2 together; they do not fit into a plate of 4800 cm2, as wide as the vessel."),
    "a floor drain wider than a box": (
        BOX.replace('width = "60 cm"', 'width = "40 cm"'), FLOOR, FLOOR.replace("26", "450"),
        "vessel: outlet 'drain' is 450 mm wide, and the vessel only 400 mm there."),
    "a drain wider than a barrel": (
        BARREL.replace('diameter = "57 cm"', 'diameter = "40 cm"').replace('"50 cm"', '"40 cm"'), FLOOR, STUB.format(bore=450, height=40),
        "vessel: outlet 'drain' is 450 mm wide, and the vessel only 400 mm there."),
    # a quarter of the way up a cone of 57 cm: 14.25 cm
    "a drain wider than a cone where it goes through": (
        CONE, FLOOR, STUB.format(bore=150, height=10), "vessel: outlet 'drain' is 150 mm wide, and the vessel only 142 mm there."),
    "a siphon wider than the vessel": (BARREL + SIPHON, '"21 mm"', '"500 mm"', None),
}  # fmt: skip


@pytest.mark.parametrize("text, old, new, line", REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_built_is_refused(text, old, new, line):
    parse_pond(text)
    assert old in text
    if line is None:  # 500 mm in a vessel that is narrower
        text, line = text.replace('diameter = "57 cm"', 'diameter = "40 cm"').replace('"50 cm"', '"40 cm"'), "400 mm there"
        parse_pond(text)
    with pytest.raises(PondFileError) as refused:
        parse_pond(text.replace(old, new, 1))
    assert len(refused.value.faults) == 1 and line in refused.value.faults[0]


ALLOWED = {
    "a pipe that hangs straight down": (BARREL, FALLS, 'length = "0.3 m"\ndrop = "0.3 m"'),
    "a loop with just enough pipe": (BARREL + SIPHON, 'kind = "bell"', 'kind = "loop"', '"0.7 m"', '"0.79 m"'),
    "a spreader from corner to corner": (BOX, '"50 cm"', '"100 cm"'),
    "a spreader from wall to wall": (BARREL, '"50 cm"', '"57 cm"'),
    "a drain at the tip of a cone": (CONE,),
    "a plate that is nearly all holes": (BOX, PIPE, 'kind = "plate"\nholes = 170\nhole = "56 mm"'),  # 4187 of 4800 cm2, 87 %
}


@pytest.mark.parametrize("text, swaps", [(text, swaps) for text, *swaps in ALLOWED.values()], ids=ALLOWED)
def test_what_just_fits_is_taken(text, swaps):
    for old, new in zip(swaps[::2], swaps[1::2], strict=True):
        assert old in text
        text = text.replace(old, new, 1)
    assert contradictions(parse_pond(text)) == []


def found(text: str) -> dict:
    return {f.key: f for f in findings(plan(parse_pond(text)))}


@hand_worked()
def test_holes_that_touch():
    """100 holes in 50 cm stand 5 mm apart; of 6 mm they run into each other, of 4 mm they do not."""
    touching = found(BARREL.replace('holes = 30\nhole = "5 mm"', 'holes = 100\nhole = "6 mm"'))["vessel.holes_touch"]
    assert touching.urgency is Urgency.FIX and "6 mm wide" in touching.what
    assert "100 holes of the spreader stand 5 mm apart" in touching.what
    assert "vessel.holes_touch" not in found(BARREL.replace('holes = 30\nhole = "5 mm"', 'holes = 100\nhole = "4 mm"'))


def drains(text: str, *heights: float, bore: float = 102.26) -> str:
    return text + "".join(f'[[vessel.outlets]]\nname = "d{n}"\n{STUB.format(bore=bore, height=h)}\n' for n, h in enumerate(heights))


@hand_worked()
def test_holes_side_by_side_without_sound_wall():
    """A 4 in pipe takes a hole of 127 mm, with as much sound wall beside it 25.4 cm: 7 go round a barrel of 57 cm, 179 cm; 8 do not."""
    eight = found(drains(BARREL, *[20.0] * 8))["drains.crowded"]
    assert eight.urgency is Urgency.FIX and "8 holes of up to 127 mm about 20 cm above the bottom" in eight.what
    assert "take 203 cm of wall" in eight.what and "the wall is 179 cm round" in eight.what
    assert "drains.crowded" not in found(drains(BARREL, *[20.0] * 7))
    assert "drains.crowded" not in found(drains(BARREL, *[20.0] * 4, *[50.0] * 4))
    assert "drains.crowded" in found(drains(BARREL, *[20.0] * 4, *[30.0] * 4))  # 10 cm higher: still beside each other
    # 280 cm round the box, so 11; halfway up the cone 90 cm, so 3
    assert "drains.crowded" not in found(drains(BOX, *[20.0] * 11)) and "drains.crowded" in found(drains(BOX, *[20.0] * 12))
    assert "drains.crowded" not in found(drains(CONE, *[20.0] * 3)) and "drains.crowded" in found(drains(CONE, *[20.0] * 4))


def test_a_pipe_shorter_than_its_lift_is_told():
    text = BARREL.replace('length = "6 m"', 'length = "1 m"')
    assert contradictions(parse_pond(text)) == ["plumbing: 1 m of pipe cannot reach 1.3 m up, which is its lift."]
    assert len(contradictions(parse_pond(text.replace('max_head = "3 m"', 'max_head = "1.2 m"')))) == 2
    without = text[: text.index("[pump]")] + text[text.index("[plumbing]") :]
    assert len(contradictions(parse_pond(without))) == 1 and contradictions(parse_pond(BARREL)) == []
