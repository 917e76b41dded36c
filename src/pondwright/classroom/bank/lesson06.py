"""Questions of lesson 06: pipes and pump."""
from __future__ import annotations

from ...science import emptying as e
from ...science import outlets as o
from ...science import pipes as p
from ...science import pump as u
from ...units import Q
from ..question import Question, Slip


def _whole(lift, pipe, fittings):
    return lift + pipe + fittings


def _drawn_down(water, flow, stays):
    return e.pumping_time(water - stays, flow)


def _over_a_drain(bore, flow):
    return (flow / o.orifice_flow(bore, Q(1, "cm"))).m_as("") ** 2 * Q(1, "cm")


def _friction(length, bore, speed, f):
    return p.friction_head(speed, bore, length, f)


def _crossing(a, b, gives_a, needs_a, gives_b, needs_b):
    share = ((gives_a - needs_a) / (gives_a - needs_a + needs_b - gives_b)).m_as("")
    return a + share * (b - a)


def _drawn(flow, head, share):
    return u.electrical_power(u.hydraulic_power(flow, head), share)


QUESTIONS = (
    Question(
        "06-t1", "{flow} run through a pipe with an inside diameter of {bore}. How fast is the water, in m/s?",
        {"flow": "30 L/min", "bore": "28 mm"}, lambda flow, bore: p.velocity(flow, bore), "m/s",
        "{flow} is 0.0005 m³/s. The pipe's opening is π × (0.014 m)² = 0.000616 m². Speed = 0.0005 / 0.000616 = {answer}.",
        hint="Speed is flow over the area of the opening. Turn L/min into m³/s (divide by 60 000) and mm into m first.",
        slips=(Slip("Your number fits using the diameter where the radius belongs. Check that step.", lambda flow, bore: p.velocity(flow, bore) / 4),
               Slip("That is what half the width would give: did you halve the radius once more?", lambda flow, bore: 4 * p.velocity(flow, bore))),
    ),
    Question(
        "06-t2", "The same flow runs through a pipe with half the inside diameter. How many times as fast is the water? (a plain number, "
                 "no unit)",
        {"factor": "2"}, lambda factor: factor**2, "-",
        "Half the diameter leaves a quarter of the opening, and the same water must get through: 2 × 2 = {answer} times as fast.",
        hint="What happens to the area of a circle when its diameter is halved?",
        slips=(Slip("Twice would be right if the opening halved. It shrinks in two directions.", lambda factor: factor),
               Slip("That is for a volume; the opening is an area.", lambda factor: factor**3)),
    ),
    Question(
        "06-t3", "A pump lifts water {lift} to a filter. At this flow the pipe takes {pipe} of head and the fittings {fittings}. What "
                 "head must the "
        "pump give, in metres?",
        {"lift": "1.2 m", "pipe": "0.35 m", "fittings": "0.25 m"}, _whole, "m",
        "Everything adds up: {lift} + {pipe} + {fittings} = {answer}.",
        hint="The pump has to lift the water and also push it through pipe and fittings.",
        slips=(Slip("That is the lift alone. Pushing the water through the line costs head too.", lambda lift, pipe, fittings: lift),
               Slip("That is the friction alone. The water must also be lifted.", lambda lift, pipe, fittings: pipe + fittings),
               Slip("That leaves out the fittings.", lambda lift, pipe, fittings: lift + pipe)),
    ),
    Question(
        "06-1", "A hose splits beside the pond while nobody looks. The pond holds {water}. The pump brings {flow}, and "
        "its intake stands so high that {stays} stay. How many hours until the pump has drawn the pond down to its intake?",
        {"water": "6000 L", "flow": "400 US gal/h", "stays": "1800 L"}, _drawn_down, "h",
        "{water} − {stays} = 4200 L can be pumped away. 400 × 3.785 = 1514 L leave in an hour. 4200 / 1514 = {answer}.",
        hint="How much water can leave before the intake sucks air? Turn the flow into litres an hour (one US gallon is 3.785 L), then divide.",
        slips=(Slip("That empties the pond to the last drop. The water below the intake stays.", lambda water, flow, stays: e.pumping_time(water, flow)),
               Slip("That is the time for the water that stays.", lambda water, flow, stays: e.pumping_time(stays, flow)),
               Slip("That takes the gallons for litres. One US gallon is 3.785 L.", lambda water, flow, stays: Q(10.5, "h"))),
        kind="conversion",
    ),
    Question(
        "06-2", "Water runs at {speed} through {length} of pipe with an inside diameter of {bore}; the friction factor f is {f}. How "
                "much head does "
        "the pipe take, in metres? (h = f (L/D) v² / (2 g))",
        {"length": "12 m", "bore": "25 mm", "speed": "0.9 m/s", "f": "0.028"}, _friction, "m",
        "L/D = 12 / 0.025 = 480. v²/(2 g) = 0.81 / 19.61 = 0.0413 m. h = {f} × 480 × 0.0413 m = {answer}.",
        hint="Length and diameter in the same unit first: 12 m and 0.025 m.",
        slips=(Slip("Twice too large: the 2 under the line is missing, or the radius stands where the diameter belongs.",
                    lambda length, bore, speed, f: 2 * _friction(length, bore, speed, f)),
               Slip("Your number fits forgetting to square the speed.",
                    lambda length, bore, speed, f: _friction(length, bore, speed, f) / speed.magnitude)),
    ),
    Question(
        "06-3", "A vessel has two drains in its wall, each a hole of {bore}. One is clogged, and {flow} come in. How high does the water "
                "stand over the "
        "middle of the other one, in cm? (Q = 0.61 A √(2 g h), so h = v² / (2 g) with v = Q / (0.61 A))",
        {"bore": "26 mm", "flow": "20 L/min"}, _over_a_drain, "cm",
        "The hole's opening is π × (1.3 cm)² = 5.31 cm². {flow} are 333 cm³/s, so v = 333 / (0.61 × 5.31) = 103 cm/s. h = 103² / (2 × "
        "981) = {answer}.",
        hint="All the water leaves through one hole. Work in cm and seconds: 1 L/min is 16.7 cm³/s, g is 981 cm/s².",
        tolerance=0.03,
        slips=(Slip("That is for both drains open. One is clogged.", lambda bore, flow: _over_a_drain(bore, flow / 2)),
               Slip("Your number fits leaving out the 0.61: the jet shrinks behind the hole's edge.", lambda bore, flow: 0.61**2 * _over_a_drain(bore, flow)),
               Slip("That would be for a hole with twice this width: the diameter stands where the radius belongs.",
                    lambda bore, flow: _over_a_drain(2 * bore, flow))),
    ),
    Question(
        "06-4", "At {a} a pump gives {gives_a} of head and the line needs {needs_a}. At {b} the pump gives {gives_b} and the line needs "
                "{needs_b}. What "
        "flow will there be, in L/min, if you join the points with straight lines?",
        {"a": "20 L/min", "b": "30 L/min", "gives_a": "1.8 m", "needs_a": "1.5 m", "gives_b": "0.6 m", "needs_b": "2.1 m"}, _crossing, "L/min",
        "At {a} there are 0.3 m to spare, at {b} 1.5 m are missing. The lines cross 0.3 / (0.3 + 1.5) = 1/6 of the way from {a} to {b}: "
        "20 + 10 / 6 = {answer}.",
        hint="Draw both pairs of points: the flow is where the two lines cross, since there the pump gives just what the line needs.",
        tolerance=0.03,
        slips=(Slip("Half-way is a guess; at 20 L/min hardly anything is to spare, so the crossing lies close to it.",
                    lambda a, b, **heads: (a + b) / 2),
               Slip("There the pump gives far less than the line needs, so that much cannot flow.", lambda a, b, **heads: b)),
    ),
    Question(
        "06-5", "A 20 W pump brings 22 L/min through a pipe of 25 mm. You want about 28 L/min, and the power comes from the sun. (a) "
                "Take a 35 W pump "
        "on the same pipe: 28 L/min. (b) Take a pipe of 40 mm with the same pump: 28 L/min. (c) Take a pipe of 16 mm, since the water "
        "runs faster in it. Which would you choose, a, b or c?",
        {}, lambda: "b", "word",
        "The wider pipe gives the same flow for the same 20 W: friction falls steeply with the width. The larger pump pays 15 W, day and "
        "night, for pushing water through a tight pipe, and the panel and battery must grow with it. The narrow pipe makes the water "
        "faster but there is less of it.",
        choices={"a": "It works, but 15 W more, day and night, need a larger panel and battery. A wider pipe is bought once.",
                 "b": "The wider pipe gives the flow for the same power: friction falls steeply as pipes get wider.",
                 "c": "In a narrow pipe the water is faster, yet less of it gets through: friction eats the head."},
        kind="choice",
    ),
    Question(
        "06-6", "Find the mistake. A worksheet says: \"The pump brings {flow} against {head} of head. That is 7.35 W in the water. Its "
                "efficiency is "
        "{share}, so it draws 7.35 W × 0.4 = 2.94 W.\" What does it really draw, in watts?",
        {"flow": "25 L/min", "head": "1.8 m", "share": "40 %"}, _drawn, "W",
        "Only {share} of the electricity reaches the water, so the pump must draw more than 7.35 W, not less: 7.35 / 0.4 = {answer}.",
        hint="Must a pump draw more or less than it puts into the water?",
        slips=(Slip("That is the worksheet's own number: it multiplies where it should divide.",
                    lambda flow, head, share: u.hydraulic_power(flow, head) * share.m_as("")),
               Slip("That is the power in the water, before the losses of pump and motor.", lambda flow, head, share: u.hydraulic_power(flow, head))),
        kind="mistake",
    ),
)
