"""Questions of lesson 07: sun, battery and cable."""

from __future__ import annotations

from ...science import battery as b
from ...science import cables as w
from ...science import electrics as e
from ...units import Q
from ..question import Question, Slip

_DAY, _FULL = Q(1, "d"), Q(100, "%")


def _energy(power, hours):
    return e.daily_energy(power, hours / _DAY) * _DAY


def _charge(current, sun):
    return e.panel_charge(current, sun / _DAY, _FULL, _FULL, _FULL) * _DAY


def _two_loads(pump, pump_hours, light, light_hours):
    return _energy(pump, pump_hours) + _energy(light, light_hours)


def _battery(energy, days, volts, depth, cold):
    return b.battery_capacity(energy / _DAY, days, volts, depth, _FULL, cold)


def _cold_string(voc, panels, cold, slope):
    return e.string_voltage(voc, panels, cold, slope)


def _reaches(watts, sun, share):
    return e.panel_energy(watts, sun / _DAY, share, _FULL, _FULL, _FULL) * _DAY


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
        "A switching controller charges a 12 V battery. The panel's label says 100 W and Imp {current} (its current at full sun); the sun "
        "on it is {sun}, as much as two hours of full sun. How many ampere-hours go into the battery that day, without losses?",
        {"current": "5.4 A", "sun": "2 kWh/m²"},
        _charge,
        "Ah",
        "Such a controller passes on amperes, not watts: {current} × 2 h = {answer}.",
        hint="Take the current on the label, not the watts.",
        slips=(Slip("That turns the watts into amperes at 12 V. A switching controller loses the volts that are too many.",
                    lambda current, sun: Q(100 * 2 / 12, "Ah")),),
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
        "A load table: a pump of {pump} runs {pump_hours} a day, a lamp of {light} burns {light_hours}. How many watt-hours do they use in a day, "
        "together?",
        {"pump": "18 W", "pump_hours": "24 h", "light": "6 W", "light_hours": "5 h"},
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
        "A weather table gives the sun on a panel in December as {sun} a day. How many kWh/m² is that? (1 kWh = 3.6 MJ)",
        {"sun": "5.4 MJ/m²"},
        lambda sun: sun.to("kWh/m^2"),
        "kWh/m2",
        "5.4 / 3.6 = {answer}, as much as one and a half hours of full sun.",
        hint="A kilowatt-hour is larger than a megajoule, so the number gets smaller.",
        slips=(Slip("That multiplies by 3.6. A kilowatt-hour is the larger unit: divide.", lambda sun: Q(5.4 * 3.6, "kWh/m2")),),
    ),
    Question(
        "07-3",
        "The loads use {energy} a day. How large a {volts} lead-acid battery bridges {days} without sun, if only {depth} of it may be taken out "
        "and the cold asks for {cold} times as much?",
        {"energy": "480 Wh", "days": "3 days", "volts": "12 V", "depth": "50 %", "cold": "1.19"},
        _battery,
        "Ah",
        "480 × 3 = 1440 Wh; / 12 V = 120 Ah; / 0.5 = 240 Ah; × 1.19 = {answer} or more.",
        hint="Watt-hours for all days, then divide by the volts, then by the share that may be used, then times the cold.",
        rule="at least",
        slips=(
            Slip("That takes out the whole battery. Only half of it may be used.", lambda **given: Q(142.8, "Ah")),
            Slip("That leaves out the cold.", lambda **given: Q(240, "Ah")),
            Slip("That is for one day.", lambda **given: Q(95.2, "Ah")),
        ),
    ),
    Question(
        "07-4",
        "{panels} panels in series have Voc (volts with nothing connected) {voc} each at 25 °C, and gain 0.34 % for each degree below. What is "
        "their voltage at the coldest dawn, {cold}?",
        {"voc": "22.5 V", "panels": "2", "cold": "-20 °C", "slope": "-0.34 %/K"},
        _cold_string,
        "V",
        "25 − (−20) = 45 degrees; 45 × 0.34 % = 15.3 %. 2 × 22.5 V × 1.153 = {answer}. A controller for 50 V would be destroyed.",
        hint="How many degrees below 25 °C is it? Each gives 0.34 %.",
        slips=(
            Slip("That is the voltage at 25 °C. The cold raises it.", lambda **given: Q(45, "V")),
            Slip("That takes the rise off. In the cold the voltage goes up.", lambda **given: Q(45 * 0.847, "V")),
            Slip("That is one panel. In series the volts add up.", lambda **given: Q(22.5 * 1.153, "V")),
            Slip("That counts 20 degrees. From 25 °C down to −20 °C it is 45.", lambda **given: Q(45 * 1.068, "V")),
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
    ),
    Question(
        "07-6",
        'Find the mistake. A worksheet says: "A panel of {watts} gives 100 × 24 = 2400 Wh a day." In December the sun on it is {sun} and '
        "{share} of the energy reaches the loads. How many watt-hours a day really?",
        {"watts": "100 W", "sun": "1.2 kWh/m²", "share": "67 %"},
        _reaches,
        "Wh",
        "A panel gives its watts only in full sun, and that day holds 1.2 hours of it: 100 × 1.2 = 120 Wh; × 0.67 = {answer}.",
        hint="1.2 kWh/m² is as much as 1.2 hours of full sun.",
        slips=(
            Slip("That leaves out the losses on the way to the loads.", lambda **given: Q(120, "Wh")),
            Slip("That is the worksheet's own slip, less the losses: the sun does not stand full for 24 hours.", lambda **given: Q(1608, "Wh")),
        ),
    ),
)
