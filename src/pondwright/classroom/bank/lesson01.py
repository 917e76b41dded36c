"""Questions of lesson 01: how much water?"""
from __future__ import annotations

import math

from ...science import geometry as g
from ...units import Q
from ..question import Question, Slip


def _prism(length, width, depth):
    return g.prism_volume(g.rectangle_area(length, width), depth)


def _round(diameter, depth):
    return g.prism_volume(g.circle_area(diameter), depth)


QUESTIONS = (
    Question(
        "01-t1", "A trough is {length} long, {width} wide and {depth} deep. How many litres does it hold?",
        {"length": "2.5 m", "width": "0.8 m", "depth": "0.5 m"}, _prism, "L",
        "Area = {length} × {width} = 2 m². Volume = 2 m² × {depth} = 1 m³ = {answer}.",
        hint="Multiply the three sides in metres; one cubic metre is 1000 L.",
        slips=(Slip("That is the surface in square metres. Multiply by the depth too.", lambda length, width, depth: Q((length * width).m_as("m**2"), "L")),),
    ),
    Question(
        "01-t2", "You make every side of that trough twice as long. How many times as much water does it hold? (a plain number, no unit)",
        {"factor": "2"}, lambda factor: factor**3, "-",
        "Length, width and depth each double: 2 × 2 × 2 = {answer}.",
        hint="Three sides double, not one.",
        slips=(Slip("Twice would be right if only one side doubled.", lambda factor: factor),
               Slip("Four times would be right for the surface: two sides doubled. The depth doubles too.", lambda factor: factor**2)),
    ),
    Question(
        "01-t3", "The surface of a pond is {area}. Its depth, measured at three places, is {a}, {b} and {c}. What is its volume in litres, from the mean depth?",
        {"area": "12 m2", "a": "0.7 m", "b": "0.9 m", "c": "0.8 m"}, lambda area, a, b, c: g.prism_volume(area, (a + b + c) / 3), "L",
        "The mean depth is (0.7 + 0.9 + 0.8) / 3 = 0.8 m. Volume = {area} × 0.8 m = 9.6 m³ = {answer}.",
        hint="First the mean of the three depths, then times the surface.",
        slips=(Slip("That uses the deepest place. The mean depth is smaller.", lambda area, a, b, c: area * max(a, b, c)),
               Slip("That adds the three depths. Divide the sum by three.", lambda area, a, b, c: area * (a + b + c))),
    ),
    Question(
        "01-1", "A rectangular pond is {length} long, {width} wide and {depth} deep, with straight walls. How much water is that, in litres?",
        {"length": "3.5 m", "width": "2 m", "depth": "0.7 m"}, _prism, "L",
        "{length} × {width} × {depth} = 4.9 m³, and 1 m³ = 1000 L: {answer}.",
        hint="Length times width times depth, all in metres, gives cubic metres.",
    ),
    Question(
        "01-2", "A round tub is {diameter} across and the water stands {depth} deep. How much water is that, in litres?",
        {"diameter": "1.8 m", "depth": "0.6 m"}, _round, "L",
        "The radius is 0.9 m. Area = π × 0.9² = 2.545 m². Volume = 2.545 m² × {depth} = 1.527 m³ = {answer}.",
        hint="Area of a circle: π times the radius squared. The radius is half of the distance across.",
        slips=(Slip("Your number fits using the diameter where the radius belongs. Check that step.", lambda diameter, depth: 4 * _round(diameter, depth)),
               Slip("Your number fits leaving out π.", lambda diameter, depth: _round(diameter, depth) / math.pi)),
    ),
    Question(
        "01-3", "The label of a chlorine remover gives the dose for {volume} (US gallons) of tap water. How many litres is that?",
        {"volume": "250 US gal"}, lambda volume: volume.to("liter"), "L",
        "1 US gallon is 3.785 L: 250 × 3.785 = {answer}.",
        hint="One US gallon is 3.785 litres.",
        slips=(Slip("That divides where it should multiply: a litre is smaller than a gallon, so the number of litres is larger.",
                    lambda volume: Q(250 / 3.785411784, "L")),),
        kind="conversion",
    ),
    Question(
        "01-4", "A pond has sloping sides. At the water line it is {length} by {width}, at the bottom {bottom_length} by {bottom_width}, and it "
        "is {depth} deep. How much water does it hold, in litres? (Prismoidal rule: top + 4 × middle + bottom, times depth, divided by 6.)",
        {"length": "5 m", "width": "3 m", "bottom_length": "3 m", "bottom_width": "1 m", "depth": "1.2 m"}, g.frustum_volume, "L",
        "Top 15 m², middle 4 m × 2 m = 8 m², bottom 3 m². (15 + 32 + 3) × 1.2 / 6 = 10 m³ = {answer}.",
        hint="The middle rectangle has the mean length and the mean width of top and bottom.",
        slips=(Slip("That takes the walls as straight. The sloping sides leave less water.", lambda length, width, bottom_length, bottom_width, depth: length * width * depth),
               Slip("That averages the top and bottom areas. It comes out too high; the rule weighs the middle four times.",
                    lambda length, width, bottom_length, bottom_width, depth: (length * width + bottom_length * bottom_width) / 2 * depth)),
    ),
    Question(
        "01-5", "Three teams want to know the volume of the same pond. (a) One careful reading of the depth at the deepest place. (b) One "
        "reading in the middle. (c) Nine readings spread evenly, and their mean. Which gives the best volume, a, b or c?",
        {}, lambda: "c", "word",
        "Nine readings spread evenly: the mean is close to the truth, and their spread says how close. One reading, however careful, cannot tell.",
        choices={"a": "The deepest place makes the volume too large, and one reading has no spread.",
                 "b": "One reading may be lucky or not; nothing tells you which.",
                 "c": "The mean of many readings is close, and their spread says how close."},
        kind="choice",
    ),
    Question(
        "01-6", "Find the mistake. A worksheet says: \"The tub is {diameter} across and {depth} deep, so it holds π × 2² × 0.5 = 6.28 m³.\" "
        "What is the right volume, in litres?",
        {"diameter": "2 m", "depth": "0.5 m"}, _round, "L",
        "The worksheet squared the diameter. The radius is 1 m: π × 1² × 0.5 = 1.571 m³ = {answer}.",
        hint="Compare the number that is squared with the radius.",
        slips=(Slip("That is the worksheet's own number: it squares the diameter.", lambda diameter, depth: 4 * _round(diameter, depth)),),
        kind="mistake",
    ),
)
