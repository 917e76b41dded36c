"""Questions of lesson 02: how many fish?"""
from __future__ import annotations

from ...science import fish as f
from ...units import Q
from ..question import Question, Slip


def _reserve(full, share, limit):
    return full * share - limit


def _all(count, length):
    return f.carp_mass(length) * count


def _feed(biomass, ration, times):
    return biomass * ration * times


def _mend(reserve, fish, muck, stop):
    """Name the change after which the oxygen outlasts the stop."""
    lasts = {"a": reserve / (fish / 2 + muck), "b": reserve / (fish + muck / 2), "c": reserve / (fish + muck)}
    return next(letter for letter, hours in lasts.items() if hours > stop)


QUESTIONS = (
    Question(
        "02-t1", "By the carp relation log₁₀ W = −4.639 + 2.920 × log₁₀ L (W in grams, L in millimetres), how heavy is a koi of {length}?",
        {"length": "30 cm"}, f.carp_mass, "g",
        "{length} is 300 mm; log₁₀ 300 = 2.477. −4.639 + 2.920 × 2.477 = 2.594, and 10 to the power of 2.594 is {answer}.",
        hint="Put the length in millimetres: 300. Then raise 10 to the power of what comes out.",
        slips=(Slip("That uses the length in centimetres. The relation wants millimetres.", lambda length: f.carp_mass.plain(3.0) * Q(1, "g")),
               Slip("That is the logarithm. Raise 10 to that power.", lambda length: Q(2.594, "g"))),
    ),
    Question(
        "02-t2", "Water of 25 °C can hold {full} of oxygen. When the pump stops it holds {share} of that. How much oxygen is there to spare before "
        "{limit} is reached?",
        {"full": "8.26 mg/L", "share": "85 %", "limit": "4 mg/L"}, _reserve, "mg/L",
        "{share} of 8.26 is 7.02 mg/L. 7.02 − 4 = {answer}.",
        hint="First 85 % of what the water can hold, then take off the limit.",
        slips=(Slip("That takes the water as full. It holds only 85 %.", lambda full, share, limit: full - limit),
               Slip("That is all the oxygen there is. Take off the 4 mg/L that must stay.", lambda full, share, limit: full * share)),
    ),
    Question(
        "02-t3", "There are {reserve} to spare, and all that breathes takes {use}. How long does it last, if nothing comes in through the surface?",
        {"reserve": "3 mg/L", "use": "0.2 mg/L/h"}, lambda reserve, use: reserve / use, "h",
        "3 mg/L divided by 0.2 mg/L an hour is {answer}.",
        hint="How many hours of 0.2 fit into 3?",
        slips=(Slip("That multiplies. How many times does the hourly use fit into what is to spare?", lambda reserve, use: Q(0.6, "h")),),
    ),
    Question(
        "02-1", "A pond holds {count} koi of {length} each. A carp of that length weighs 910 g. How heavy are they together, in kilograms?",
        {"count": "12", "length": "40 cm"}, _all, "kg",
        "12 × 910 g = 10 920 g = {answer}.",
        hint="Count times the mass of one; 1 kg is 1000 g.",
        slips=(Slip("That is one fish. There are twelve.", lambda count, length: f.carp_mass(length)),),
    ),
    Question(
        "02-2", "An old handbook gives the most for a farm tank with air day and night as {density}. How much is that in kilograms of fish for each "
        "cubic metre? (1 lb is 0.4536 kg, 1 US gallon is 3.785 L.)",
        {"density": "0.5 lb/US gal"}, lambda density: density.to("kilogram / meter ** 3"), "kg/m3",
        "0.5 lb is 0.2268 kg; 0.2268 kg in 3.785 L is 59.9 kg in 1000 L: {answer}. That is a farm tank with alarms, never a garden pond.",
        hint="Kilograms for one gallon first, then for 1000 litres.",
        slips=(Slip("Your number fits leaving the pounds as they are: 0.5 lb is 0.2268 kg.", lambda density: Q(0.5 / 0.003785411784, "kg/m3")),),
        kind="conversion",
    ),
    Question(
        "02-3", "Fish of {biomass} together live in water of 18 °C. A ration of {ration} just keeps their mass; you give {times} times that. How much "
        "feed is it a day, in grams?",
        {"biomass": "6 kg", "ration": "0.75 %/d", "times": "1.5"}, _feed, "g/d",
        "0.75 % of 6000 g is 45 g. 1.5 × 45 g = {answer}.",
        hint="0.75 % is 0.0075. Grams of fish times that, times 1.5.",
        slips=(Slip("That is the ration that just keeps their mass. You give 1.5 times as much.", lambda biomass, ration, times: biomass * ration),
               Slip("That divides by 1.5 where it should multiply.", lambda biomass, ration, times: biomass * ration / times)),
    ),
    Question(
        "02-4", "On the worst night the water may lose {left} to fish, after muck and algae have taken theirs. Each kilogram of fish uses {rate} in all. "
        "How many kilograms of fish may there be at most?",
        {"left": "1.2 g/h", "rate": "200 mg/kg/h"}, lambda left, rate: left / rate, "kg",
        "1.2 g an hour is 1200 mg. 1200 / 200 = {answer} at most; less is safer.",
        hint="Turn grams into milligrams first. How many kilograms share 1200 mg?",
        rule="at most",
        slips=(Slip("That multiplies. Each kilogram needs its 200 mg: share them out.", lambda left, rate: Q(240, "kg")),),
    ),
    Question(
        "02-5", "On the warmest night a pond has {reserve} of oxygen to spare. The fish draw it down by {fish}, the muck on the bottom by {muck}. Nothing comes in "
        "through the surface. The pump may stand still for {stop}. (a) Give half of the fish away. (b) Take out half of the muck. (c) Build a filter of twice the "
        "size. Only one of them makes the oxygen last. Which do you choose, a, b or c?",
        {"reserve": "3 mg/L", "fish": "0.1 mg/L/h", "muck": "0.2 mg/L/h", "stop": "14 h"}, _mend, "word",
        "As it is, 3 / 0.3 = 10 h. With half of the fish 3 / (0.05 + 0.2) = 12 h, still less than {stop}. With half of the muck 3 / (0.1 + 0.1) = 15 h: enough. A "
        "filter brings no oxygen while the pump stands still.",
        choices={"a": "3 / (0.05 + 0.2) = 12 h: better, but the pump may stand still for 14 h.",
                 "b": "3 / (0.1 + 0.1) = 15 h, more than 14 h. Muck often takes more than the fish; it is taken out in the cool season, a part at a time.",
                 "c": "While the pump stands still a filter brings no oxygen: 3 / 0.3 = 10 h, as before."}, kind="choice",
    ),
    Question(
        "02-6", "Find the mistake. A leaflet says: \"One centimetre of fish for every 10 litres. Three young koi of 12 cm are 36 cm, so a barrel of 900 "
        "litres has room for more than twice as many.\" What is wrong? (a) The sum: three times 12 is not 36. (b) A length is no measure for a fish: mass grows "
        "with nearly the cube of it, and these koi grow to 60 cm. (c) Nothing, if the water is changed each week.",
        {}, lambda: "b", "word",
        "At 60 cm each koi is five times as long as at 12 cm, and about 110 times as heavy (5 to the power of 2.92). Three weigh nearly 9 kg. Koi "
        "also want several cubic metres and more than a metre of depth (common practice).",
        choices={"a": "The sum is right: 36 cm. The trouble is what is being added up.",
                 "b": "Five times as long is about 110 times as heavy. Room, oxygen and filter go by mass, and by the grown fish.",
                 "c": "Changing water does not bring oxygen at night, nor room for fish of 60 cm."},
        kind="mistake",
    ),
)
