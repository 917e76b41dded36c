"""Questions of lesson 08: sun, battery and cable through the short days."""

from __future__ import annotations

from ...science import battery as b
from ...science import electrics as e
from ...science import sun
from ...units import Q
from ..question import Question, Slip

_DAY, _FULL = Q(1, "d"), Q(100, "%")


def _charge(current, light):
    return e.panel_charge(current, light / _DAY, _FULL, _FULL, _FULL) * _DAY


def _battery(energy, days, volts, depth, cold):
    return b.battery_capacity(energy / _DAY, days, volts, depth, _FULL, cold)


def _cold_string(voc, panels, cold, slope):
    return e.string_voltage(voc, panels, cold, slope)


def _reaches(watts, light, share):
    return e.panel_energy(watts, light / _DAY, share, _FULL, _FULL, _FULL) * _DAY


def _runs(arrives, needs):
    return e.carried_hours(Q(24, "h/d"), arrives / _DAY, needs / _DAY) * _DAY


def _noon(latitude, lean):
    return sun.solar_altitude(latitude, -lean, Q(0, "deg"))


def _lit(start, came, power):
    return ((start + came) / power).to("hour")


QUESTIONS = (
    Question(
        "08-t1",
        "A switching controller charges a 12 V battery. The panel's label says 100 W and Imp {current} (its current at full sun). The sun "
        "on it is {light}, as much as two hours of full sun. How many ampere-hours go into the battery that day, without losses?",
        {"current": "5.4 A", "light": "2 kWh/m²"},
        _charge,
        "Ah",
        "Such a controller passes on amperes, not watts: {current} × 2 h = {answer}.",
        hint="Take the current on the label, not the watts.",
        slips=(Slip("That turns the watts into amperes at 12 V. A switching controller loses the volts that are too many.",
                    lambda current, light: Q(100 * 2 / 12, "Ah")),),
    ),
    Question(
        "08-t2",
        "On a mean January day {arrives} reach the loads, which need {needs} for a pump that should run day and night. How many hours can the pump "
        "run that day?",
        {"arrives": "300 Wh", "needs": "480 Wh"},
        _runs,
        "h",
        "300 / 480 = 62.5 % of the energy, so 62.5 % of 24 hours: {answer}.",
        hint="Which share of what it needs does arrive?",
        slips=(Slip("Those are the hours that are missing.", lambda **given: Q(9, "h")),),
    ),
    Question(
        "08-t3",
        "The earth's axis leans by {lean}. How high does the noon sun stand at latitude {latitude} on 21 December, in degrees? Trees to the south "
        "reach up to 18 degrees: the panel is in their shade.",
        {"latitude": "52 deg", "lean": "23.4 deg"},
        _noon,
        "deg",
        "90 − 52 − 23.4 = {answer}, below the tops of the trees.",
        hint="90 less the latitude is the noon sun of spring; in December take the lean off.",
        slips=(Slip("That is June: there the lean is added.", lambda latitude, lean: Q(61.4, "deg")),
               Slip("That is March, without the lean.", lambda latitude, lean: Q(38, "deg"))),
    ),
    Question(
        "08-1",
        "A weather table gives the sun on a panel in December as {light} a day. How many kWh/m² is that? (1 kWh = 3.6 MJ)",
        {"light": "5.4 MJ/m²"},
        lambda light: light.to("kWh/m^2"),
        "kWh/m2",
        "5.4 / 3.6 = {answer}, as much as one and a half hours of full sun.",
        hint="A kilowatt-hour is larger than a megajoule, so the number gets smaller.",
        slips=(Slip("That multiplies by 3.6. A kilowatt-hour is the larger unit: divide.", lambda light: Q(5.4 * 3.6, "kWh/m2")),),
        kind="conversion",
    ),
    Question(
        "08-2",
        "The loads use {energy} a day, and a {volts} lead-acid battery shall bridge {days} without sun. Only {depth} of it may be taken out, and the "
        "cold asks for {cold} times as much. How large must it be?",
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
        "08-3",
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
        "08-4",
        'Find the mistake. A worksheet says: "A panel of {watts} gives 100 × 24 = 2400 Wh a day." In December the sun on it is {light} and '
        "{share} of the energy reaches the loads. How many watt-hours a day really?",
        {"watts": "100 W", "light": "1.2 kWh/m²", "share": "67 %"},
        _reaches,
        "Wh",
        "A panel gives its watts only in full sun, and that day holds 1.2 hours of it: 100 × 1.2 = 120 Wh; × 0.67 = {answer}.",
        hint="1.2 kWh/m² is as much as 1.2 hours of full sun.",
        slips=(
            Slip("That leaves out the losses on the way to the loads.", lambda **given: Q(120, "Wh")),
            Slip("That is the worksheet's own slip, less the losses: the sun does not stand full for 24 hours.", lambda **given: Q(1608, "Wh")),
        ),
        kind="mistake",
    ),
    Question(
        "08-5",
        "Three dull days, hour by hour on paper. At dusk {start} may still be taken from the battery. Over the three days the sun brings {came} more. "
        "The pump draws {power} day and night. After how many of the 72 hours does it stop for good?",
        {"start": "600 Wh", "came": "480 Wh", "power": "20 W"},
        _lit,
        "h",
        "600 + 480 = 1080 Wh; / 20 W = {answer}. For the last 18 hours of the three days it stands still: longer than many filters may.",
        hint="What is there in all, and how long does the pump live on it?",
        slips=(Slip("That leaves out what the sun brought.", lambda **given: Q(30, "h")),
               Slip("Those are the hours that are missing.", lambda **given: Q(18, "h"))),
    ),
    Question(
        "08-6",
        "As planned, a pump stands still for 1100 h in a year. With twice the panel for 90 of your money it is 360 h, with a smaller pump for 60 it is "
        "350 h, and with a second battery for 150 it is 790 h. The filter works with either pump. Which change buys the most hours for each piece of money? (a) The panel. "
        "(b) The pump. (c) The battery.",
        {},
        lambda: "b",
        "word",
        "Hours gained for each: panel 740 / 90 = 8.2, pump 750 / 60 = 12.5, battery 310 / 150 = 2.1. The battery helps least: in a dark month there is "
        "little sun to store.",
        choices={
            "a": "740 h for 90 are 8.2 for each. Work out the others as well.",
            "b": "750 h for 60 are 12.5 for each: using less is often the cheapest way.",
            "c": "310 h for 150 are 2.1 for each. A store stays empty when nothing comes in.",
        },
        kind="choice",
    ),
)
