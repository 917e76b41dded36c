"""Questions of lesson 05: the filter vessel."""

from __future__ import annotations

from ...science import biofilter as b
from ...science import solids as d
from ...science import standing as t
from ...science import vessel as v
from ...science.geometry import circle_area, rectangle_area
from ...units import Q
from ..question import Question, Slip


def _bed(length, width, thickness):
    return v.filled_volume(thickness, rectangle_area(length, width))


def _full(length, width, height, thickness, void, density):
    bed = _bed(length, width, thickness)
    water = _bed(length, width, height) - (1 - void.m_as("dimensionless")) * bed
    return v.mass_on_stand((bed * density).to("kg"), water)


def _loading(flow, diameter):
    return b.hydraulic_loading(flow, circle_area(diameter))


def _days(feed, share, capture, holds):
    return d.days_between_rinses(holds, d.solids_from_feed(feed, share), capture)


def _hours(water, oxygen, uptake):
    return t.hours_of_oxygen(water, oxygen, Q(0, "mg/L"), Q(0, "mg/h"), uptake)


def _head(head, holes, clogged):
    return head * (holes / (holes - clogged)) ** 2


QUESTIONS = (
    Question(
        "05-t1",
        "A box is {length} by {width} inside. Gravel lies {thickness} thick in it; {void} of the gravel is gaps. How many litres of water stand "
        "among the stones when it is flooded?",
        {"length": "80 cm", "width": "60 cm", "thickness": "30 cm", "void": "42 %"},
        lambda length, width, thickness, void: _bed(length, width, thickness) * void.m_as("dimensionless"),
        "L",
        "The gravel takes 0.8 m × 0.6 m × 0.3 m = 0.144 m³ = 144 L. {void} of it is gaps: 0.42 × 144 L = {answer}.",
        hint="First the room that the gravel takes, then the share of it that is gaps.",
        slips=(
            Slip("That is the room that gravel and gaps take together.", lambda length, width, thickness, void: _bed(length, width, thickness)),
            Slip(
                "That is the stone, not the water: the gaps are what is left.",
                lambda length, width, thickness, void: _bed(length, width, thickness) * (1 - void.m_as("dimensionless")),
            ),
        ),
    ),
    Question(
        "05-t2",
        "A spreader pipe is {bore} wide inside. Its holes are {hole} wide, and all of them together shall have at most half the area of the pipe. "
        "How many holes may it have? (a whole number)",
        {"bore": "30 mm", "hole": "5 mm"},
        lambda bore, hole: 0.5 * (bore / hole) ** 2,
        "-",
        "One hole has ({hole} / {bore})² = 1/36 of the pipe's area. Half the area is 36 / 2 = {answer} holes.",
        hint="How many holes have the area of the pipe? Areas go with the square of the diameter.",
        rule="count",
        slips=(
            Slip("That many holes have the whole area of the pipe; at most half was asked.", lambda bore, hole: (bore / hole) ** 2),
            Slip("Areas go with the square of the diameter.", lambda bore, hole: 0.5 * bore / hole),
        ),
    ),
    Question(
        "05-t3",
        "The power fails at noon in summer. Filter A stands full of water. Filter B has drained: its stones are wet and air is in their gaps. In "
        "which one do the bacteria run out of oxygen first? (a) In A. (b) In B. (c) In both at the same time.",
        {},
        lambda: "a",
        "word",
        "A litre of air holds about thirty times the oxygen of a litre of water, and air moves on its own. B is safe until it dries; in A the oxygen may "
        "be gone within hours.",
        choices={
            "a": "Water holds little oxygen, and none comes after it when nothing flows.",
            "b": "The bacteria live in the film on the stones, which stays wet; and air brings them far more oxygen than water.",
            "c": "A litre of air holds about thirty times as much oxygen as a litre of water.",
        },
    ),
    Question(
        "05-1",
        "A tank is {length} by {width} inside and {height} high. In it lie {thickness} of gravel: {void} of that is gaps, and it weighs {density} "
        "dry. The drain clogs, and the tank fills to its rim. What must the stand carry then, without the tank itself, in kg? (Take 999 kg for a cubic "
        "metre of water.)",
        {"length": "1.1 m", "width": "0.9 m", "height": "60 cm", "thickness": "35 cm", "void": "42 %", "density": "1550 kg/m³"},
        _full,
        "kg",
        "Gravel: 1.1 × 0.9 × 0.35 = 0.3465 m³, × 1550 = 537 kg. Tank: 1.1 × 0.9 × 0.6 = 0.594 m³; the stones take 0.58 × 0.3465 = 0.201 m³ of it, so "
        "0.393 m³ are water, 393 kg. Together {answer}.",
        hint="Dry gravel, and water in all the room that the stones themselves leave.",
        tolerance=0.03,
        slips=(
            Slip(
                "That counts the water as if the stones took no room.",
                lambda length, width, height, thickness, void, density: v.mass_on_stand(
                    (_bed(length, width, thickness) * density).to("kg"), _bed(length, width, height)
                ),
            ),
            Slip(
                "That counts only the water among the stones; above them the tank is full too.",
                lambda length, width, height, thickness, void, density: v.mass_on_stand(
                    (_bed(length, width, thickness) * density).to("kg"), _bed(length, width, thickness) * void.m_as("dimensionless")
                ),
            ),
            Slip(
                "That is the dry gravel alone.",
                lambda length, width, height, thickness, void, density: (_bed(length, width, thickness) * density).to("kg"),
            ),
        ),
    ),
    Question(
        "05-2",
        "{flow} trickle over a drum with an inside diameter of {diameter}. How much water passes each square metre in a day, in m³/m²/d? (Published "
        "trickling filters ran at 35 to 250.)",
        {"flow": "18 L/min", "diameter": "57 cm"},
        _loading,
        "m3/m2/d",
        "18 L/min × 1440 min = 25 920 L = 25.92 m³ a day. The drum's area is π × (0.285 m)² = 0.2552 m². 25.92 / 0.2552 = {answer}: within the "
        "published range.",
        hint="Litres a minute into cubic metres a day (× 1440 / 1000), then over the drum's area.",
        slips=(
            Slip("Your number fits using the diameter where the radius belongs.", lambda flow, diameter: _loading(flow, 2 * diameter)),
            Slip("That is what an hour brings, not a day.", lambda flow, diameter: _loading(flow, diameter) / 24),
        ),
        kind="conversion",
    ),
    Question(
        "05-3",
        "Fish get {feed} of feed, and {share} of it ends up as dry dirt in the water. A mat catches {capture} of the dirt and holds {holds} before it must "
        "be rinsed. After how many days is it full?",
        {"feed": "30 g/d", "share": "30 %", "capture": "45 %", "holds": "40 g"},
        _days,
        "d",
        "Dirt: 30 × 0.30 = 9 g a day. The mat catches 9 × 0.45 = 4.05 g a day. 40 / 4.05 = {answer}.",
        hint="First the dirt of a day, then the part of it that the mat catches.",
        slips=(
            Slip("That is as if the mat caught all of the dirt.", lambda feed, share, capture, holds: _days(feed, share, 1.0, holds)),
            Slip("That is as if all the feed became dirt.", lambda feed, share, capture, holds: _days(feed, 1.0, capture, holds)),
        ),
    ),
    Question(
        "05-4",
        "When the pump stops, {water} of water with {oxygen} of oxygen stand in a flooded bed. Bacteria and dirt take {uptake}. After how many hours is "
        "the oxygen gone?",
        {"water": "60 L", "oxygen": "8 mg/L", "uptake": "150 mg/h"},
        _hours,
        "h",
        "The water holds 60 L × 8 mg/L = 480 mg of oxygen. 480 / 150 = {answer}.",
        hint="How many milligrams of oxygen are in all the water?",
        slips=(
            Slip("That leaves out the litres: 8 mg are in each one.", lambda water, oxygen, uptake: _hours(Q(1, "L"), oxygen, uptake)),
            Slip(
                "Turn it over: the store divided by what is used in an hour.",
                lambda water, oxygen, uptake: Q(1 / _hours(water, oxygen, uptake).m_as("h"), "h"),
            ),
        ),
    ),
    Question(
        "05-5",
        "A builder has a foam mat, plastic rings and pea gravel (fine). In which order should the water meet them? (a) Pea gravel, rings, mat. (b) Mat, "
        "rings, pea gravel. (c) Rings, pea gravel, mat. (d) The order does not matter, all the water passes all of them.",
        {},
        lambda: "b",
        "word",
        "What the water meets first catches the dirt. A mat lifts out and rinses in a minute; pea gravel that catches dirt clogs, and somebody has to empty "
        "the whole vessel. Coarse before fine, and what is easy to clean first of all.",
        choices={
            "a": "The pea gravel would catch the dirt and clog, and it is the hardest to clean.",
            "b": "The mat catches the dirt where it can be lifted out; the rings let pass what is left; the fine gravel comes last.",
            "c": "A mat at the end cleans water that has already left its dirt in the gravel.",
            "d": "The first one gets the dirt. That should be the one that is easy to rinse.",
        },
        kind="choice",
    ),
    Question(
        "05-6",
        'Find the mistake. A worksheet says: "The spreader plate has {holes} holes and {head} of water stand on it. {clogged} of the holes have clogged, a '
        'third. So the water now stands a third higher, at 8 cm." The flow is the same as before. How high does the water really stand, in cm?',
        {"holes": "30", "head": "6 cm", "clogged": "10"},
        _head,
        "cm",
        "Each open hole must now pass 30/20 = 1.5 times as much. The head goes with the square of the flow: 1.5² = 2.25 times. 2.25 × 6 cm = {answer}.",
        hint="How much more must each open hole pass, and how does the head go with the flow of a hole?",
        slips=(
            Slip("That is the worksheet's own number.", lambda head, holes, clogged: head * (1 + clogged / holes)),
            Slip(
                "Each hole passes 1.5 times as much, but the head goes with the square of that.",
                lambda head, holes, clogged: head * holes / (holes - clogged),
            ),
        ),
        kind="mistake",
    ),
)
