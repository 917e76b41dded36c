"""Questions of lesson 00: units, and reading a number with its limit."""
from __future__ import annotations

from ...units import Q
from ..question import Question, Slip

QUESTIONS = (
    Question(
        "00-t1", "Type a volume of twelve and a half litres, with its unit.", {}, lambda: Q(12.5, "L"), "L",
        "Number, space, unit: {answer}. A decimal comma works too, as long as all of it stands in quotes.",
        hint="Twelve and a half is 12.5, and the unit is L.",
    ),
    Question(
        "00-t2", "A bucket holds {bucket}. How many of them fill a tub of {tub}? (a plain number, no unit)", {"bucket": "12 L", "tub": "180 L"},
        lambda bucket, tub: tub / bucket, "-", "{tub} ÷ {bucket} = {answer} buckets.", hint="Divide the tub by the bucket.",
        slips=(Slip("That divides the bucket by the tub.", lambda bucket, tub: bucket / tub),),
    ),
    Question(
        "00-t3", "The fish have air for {there} without the pump. The longest stop is {stop}. What share of the air does the stop use up, in per cent?",
        {"there": "20 h", "stop": "8 h"}, lambda there, stop: (stop / there).to("percent"), "%", "{stop} ÷ {there} = 0.4 = {answer}.",
        hint="What is needed, divided by what is there.",
        slips=(Slip("That is what is left over.", lambda there, stop: ((there - stop) / there).to("percent")),
               Slip("That divides what is there by what is needed.", lambda there, stop: (there / stop).to("percent"))),
    ),
    Question(
        "00-1", "A watering can holds {can} (imperial gallons). How many litres is that?", {"can": "2 imp gal"}, lambda can: can.to("liter"), "L",
        "1 imperial gallon is 4.546 L: 2 × 4.546 = {answer}.", hint="One imperial gallon is 4.546 litres.",
        kind="conversion",
    ),
    Question(
        "00-2", "A pump moves {flow}. How many litres is that in an hour?", {"flow": "15 L/min"}, lambda flow: flow.to("liter / hour"), "L/h",
        "An hour has 60 minutes: 15 × 60 = {answer}.", hint="How many minutes has an hour?",
    ),
    Question(
        "00-3", "The thermometer says {warmth} (Fahrenheit). What is that in degrees Celsius?", {"warmth": "68 degF"},
        lambda warmth: warmth.to("degree_Celsius"), "degC", "(68 − 32) × 5 ÷ 9 = {answer}.", hint="Take away 32 first, then times 5, divided by 9.",
        slips=(Slip("Take away 32 before you multiply, not after.", lambda warmth: Q(68 * 5 / 9 - 32, "degC")),
               Slip("That leaves out taking away 32.", lambda warmth: Q(68 * 5 / 9, "degC"))),
        kind="conversion",
    ),
    Question(
        "00-4", "Four ponds say how much of what they have is needed. (a) air 40 %, filter 60 %. (b) air 90 %, filter 30 %. (c) air 20 %, filter 110 %. "
        "(d) air 70 %, filter 70 %. Which one does not work as it stands?", {}, lambda: "c", "word",
        "Pond c: its filter would have to do 110 % of what it can. The others are all below 100 %.",
        choices={"a": "Both are below 100 %, so both are enough.", "b": "90 % is tight, but enough.",
                 "c": "Its filter would have to do 110 % of what it can.", "d": "Both are below 100 %, so both are enough."},
    ),
    Question(
        "00-5", "Find the mistake. A worksheet says: \"Our pond is {length} long, {width} wide and {depth} deep, so it holds 3 × 2 × 80 = 480 m³.\" "
        "What does it hold, in cubic metres?", {"length": "3 m", "width": "2 m", "depth": "80 cm"}, lambda length, width, depth: length * width * depth, "m3",
        "The depth is in centimetres. 80 cm = 0.8 m, so 3 × 2 × 0.8 = {answer}.", hint="Are the three lengths in the same unit?",
        slips=(Slip("That is the worksheet's own number: metres times centimetres.", lambda length, width, depth: Q(480, "m3")),),
        kind="mistake",
    ),
    Question(
        "00-6", "The plan of a pond says: without the pump the oxygen lasts {lasts}, and the longest stop of the pump is {stop}. The filter uses "
        "{filter} of what it can. You have one free Saturday. (a) Build a second filter. (b) Fit an alarm that calls you when the flow stops, so that "
        "a stop lasts {shorter} at most. (c) Buy four more fish, since the filter has room. What do you choose, a, b or c?",
        {"lasts": "9 h", "stop": "10 h", "filter": "40 %", "shorter": "6 h"}, lambda **given: "b", "word",
        "What fails first decides: {stop} without air against {lasts} of oxygen. A stop of {shorter} leaves 3 h to spare. A second filter mends what is not "
        "broken, and more fish use up the oxygen sooner.",
        choices={"a": "The filter uses 40 % of what it can: more of it mends nothing.", "b": "6 h are less than the 9 h that the oxygen lasts.",
                 "c": "More fish use the oxygen up sooner, and it is short already."}, kind="choice",
    ),
)
