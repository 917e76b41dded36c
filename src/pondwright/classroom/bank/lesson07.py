"""Questions of lesson 07: watts and watt-hours."""

from __future__ import annotations

from ...science import battery as b
from ...science import cables as w
from ...science import electrics as e
from ...science import light
from ...units import Q
from ..question import Question, Slip

_DAY, _FULL = Q(1, "d"), Q(100, "%")


def _energy(power, hours):
    return e.daily_energy(power, hours / _DAY) * _DAY


def _two_loads(pump, pump_hours, lamp, lamp_hours):
    return _energy(pump, pump_hours) + _energy(lamp, lamp_hours)


def _lamp(daily, area, efficacy):
    return light.lamp_energy(daily / _DAY, area, efficacy) * _DAY


def _hours(capacity, volts, depth, power):
    return b.battery_days(capacity, e.daily_energy(power, Q(24, "h/d")), volts, depth, _FULL, 1.0).to("hour")


QUESTIONS = (
    Question(
        "07-t1",
        "A pump of {power} runs {hours} a day. How many watt-hours does it use in that day?",
        {"power": "20 W", "hours": "18 h"},
        _energy,
        "Wh",
        "{power} × {hours} = {answer}.",
        hint="Watts say how fast; times hours gives how much.",
        slips=(Slip("That is for 24 hours. This pump rests six of them.", lambda power, hours: Q(480, "Wh")),),
    ),
    Question(
        "07-t2",
        "A lamp of {power} hangs on a battery of {voltage}. How many amperes does it draw?",
        {"power": "30 W", "voltage": "12 V"},
        e.load_current,
        "A",
        "Watts are volts times amperes, so amperes are watts over volts: {power} / {voltage} = {answer}.",
        hint="P = V I. Which letter do you know, and which do you want?",
        slips=(Slip("That multiplies. Watts are volts times amperes: divide.", lambda power, voltage: Q(360, "A")),
               Slip("That is volts over watts, upside down.", lambda power, voltage: Q(0.4, "A"))),
    ),
    Question(
        "07-t3",
        "A pump draws {current} through a cable that is {length} long, one way. Each wire has {resistance}. How many volts are lost?",
        {"current": "2.5 A", "length": "6 m", "resistance": "8 ohm/km"},
        w.voltage_drop,
        "V",
        "The current goes there and back: 2 × 6 m = 12 m = 0.012 km. 0.012 km × {resistance} × {current} = {answer}.",
        hint="How long is the way there and back?",
        slips=(Slip("That counts only the way there. The current also comes back.",
                    lambda current, length, resistance: w.voltage_drop(current, length, resistance) / 2),),
    ),
    Question(
        "07-1",
        "A load table: a pump of {pump} runs {pump_hours} a day, a lamp of {lamp} burns {lamp_hours}. How many watt-hours do they use in a day, "
        "together?",
        {"pump": "18 W", "pump_hours": "24 h", "lamp": "6 W", "lamp_hours": "5 h"},
        _two_loads,
        "Wh",
        "18 × 24 = 432 Wh and 6 × 5 = 30 Wh, together {answer}.",
        hint="Each load has its own hours: multiply first, then add.",
        slips=(
            Slip("That lets the lamp burn all day and night.", lambda **given: Q(24 * 24, "Wh")),
            Slip("That is the pump alone.", lambda **given: Q(432, "Wh")),
        ),
    ),
    Question(
        "07-2",
        "Three loads hang on one battery. A pump of 14 W runs day and night. A grow light of 75 W burns 5 hours a day. A camera of 10 W runs day and "
        "night. Which of them empties the battery first? (a) The pump, since it moves water. (b) The grow light, since it has the most watts. (c) The "
        "grow light, since it uses the most watt-hours in a day.",
        {},
        lambda: "c",
        "word",
        "Watt-hours a day: pump 14 × 24 = 336, grow light 75 × 5 = 375, camera 10 × 24 = 240. The grow light uses the most. Its watts alone would "
        "prove nothing: at 4 hours a day it would use 300, less than the pump.",
        choices={
            "a": "What a load does is not the question. Multiply the watts by the hours of each.",
            "b": "The right load, but not the reason: with 4 hours a day the same 75 W would come second.",
            "c": "336, 375 and 240 Wh a day: energy is watts times hours.",
        },
    ),
    Question(
        "07-3",
        "Lettuce shall get {daily} of light from a lamp each day, on {area} of tray. The lamp gives {efficacy}. How many watt-hours is that a day? "
        "(A mole is a million micromoles; 1 Wh = 3600 J.)",
        {"daily": "14 mol/m²", "area": "0.6 m²", "efficacy": "2 µmol/J"},
        _lamp,
        "Wh",
        "14 × 0.6 = 8.4 mol = 8 400 000 µmol; / 2 = 4 200 000 J. 1 Wh is 3600 J: 4 200 000 / 3600 = {answer}. That is more than two pumps of 20 W use.",
        hint="How many micromoles does the tray need? Each joule brings two of them.",
        tolerance=0.03,
        slips=(
            Slip("That leaves out the area: the tray is smaller than a square metre.", lambda daily, area, efficacy: Q(14e6 / 2 / 3600, "Wh")),
            Slip("That multiplies by the micromoles of each joule. A better lamp needs less energy: divide.",
                 lambda daily, area, efficacy: Q(8.4e6 * 2 / 3600, "Wh")),
        ),
        kind="conversion",
    ),
    Question(
        "07-4",
        "A full battery of {capacity} and {volts} feeds a pump of {power} that runs day and night. Only {depth} of the charge may be taken out. "
        "After how many hours without sun is that used up? (Warm battery, no losses.)",
        {"capacity": "80 Ah", "volts": "12 V", "depth": "50 %", "power": "15 W"},
        _hours,
        "h",
        "80 Ah × 12 V = 960 Wh; half of it is 480 Wh; 480 Wh / {power} = {answer}.",
        hint="Ampere-hours times volts are watt-hours. How many of them may be used?",
        slips=(
            Slip("That takes out the whole battery. Only half of it may be used.", lambda **given: Q(64, "h")),
            Slip("That divides ampere-hours by watts. Turn them into watt-hours first: times the volts.", lambda **given: Q(80 / 15, "h")),
        ),
    ),
    Question(
        "07-5",
        "A pump draws 3 A through its cable, which may carry 17 A. Which fuse for this cable, and where? (a) 3 A, at the pump. (b) 4 A, as close to the battery's plus "
        "pole as can be. (c) 20 A, close to the battery, so that it never blows.",
        {},
        lambda: "b",
        "word",
        "1.25 × 3 A = 3.75 A, and the next standard size is 4 A, below the cable's 17 A. At the battery it guards the whole of this cable. "
        "Other cables need fuses of their own: a controller of 20 A has one of 1.25 × 20 A = 25 A.",
        choices={
            "a": "It would blow in normal use, and a short circuit between battery and fuse would burn the cable.",
            "b": "A quarter above the load, far below the cable, and no unguarded cable.",
            "c": "20 A is more than the cable may carry: the cable would burn before the fuse blows.",
        },
        kind="choice",
    ),
    Question(
        "07-6",
        'Find the mistake. A worksheet says: "The battery has {capacity}, so it holds 90 Wh." It is a battery of {volts}. How many watt-hours does it '
        "really hold, from full to empty?",
        {"capacity": "90 Ah", "volts": "24 V"},
        lambda capacity, volts: (capacity * volts).to("watt*hour"),
        "Wh",
        "Ampere-hours are not watt-hours. 90 Ah × 24 V = {answer}. (Of a lead-acid battery use only half.)",
        hint="Watts are volts times amperes. What are volts times ampere-hours?",
        slips=(Slip("That is half of it, what should be used. The question asks for all.", lambda **given: Q(1080, "Wh")),
               Slip("That is the worksheet's own number: ampere-hours without the volts.", lambda **given: Q(90, "Wh"))),
        kind="mistake",
    ),
)
