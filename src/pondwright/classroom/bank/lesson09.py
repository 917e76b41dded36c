"""Questions of lesson 09: reading the water."""

from __future__ import annotations

import math

from ...science import alkalinity as al
from ...science import dosing as d
from ...units import Q
from ..question import Question, Slip


def _changes(start, target, source, share):
    return Q(float(math.ceil(d.changes_needed(start, target, source, share).m)), "-")


QUESTIONS = (
    Question(
        "09-t1",
        "A kit reads {tan} of total ammonia. At pH 8.0 and 24 °C, {share} of it is un-ionized. How much un-ionized ammonia is that?",
        {"tan": "1.0 mg/L", "share": "5.02 %"},
        lambda tan, share: tan * share,
        "mg/L",
        "{tan} × 0.0502 = {answer}, just past the 0.05 mg/L from which harm is seen.",
        hint="Take the share of the reading.",
        slips=(
            Slip("That is the whole reading. Only a share of it is un-ionized, the part that poisons.", lambda tan, share: tan),
            Slip("That is the harmless rest. The question asks for the un-ionized part.", lambda tan, share: tan * (1 - share)),
        ),
    ),
    Question(
        "09-t2",
        "You change {share} of the water on Saturday and again {share} on Sunday. How much of the old water is gone? (in %)",
        {"share": "25 %"},
        lambda share: d.share_changed(share, 2),
        "%",
        "After the first change 75 % is old, after the second 75 % of 75 % = 56.25 %. Gone: {answer}.",
        hint="What is left after the first change? The second takes a quarter of that mixture.",
        slips=(
            Slip("The second change takes out some of the new water again, so the two do not add up.", lambda share: 2 * share),
            Slip("That much old water is still there. The question asks what is gone.", lambda share: Q(100, "%") - d.share_changed(share, 2)),
        ),
    ),
    Question(
        "09-t3",
        "A kit gives nitrate as the whole ion (NO3): {nitrate}. How much is that as nitrogen (NO3-N)? (N weighs 14.01, NO3 62.00)",
        {"nitrate": "40 mg/L"},
        lambda nitrate: d.as_nitrogen(nitrate, "NO3"),
        "mg/L",
        "{nitrate} × 14.01 / 62.00 = {answer}.",
        hint="Nitrogen is only a part of the ion, so the number gets smaller.",
        slips=(
            Slip("That multiplies by 4.43. Nitrogen is a part of the ion: divide.", lambda nitrate: d.as_ion(nitrate, "NO3")),
            Slip("That is the factor for nitrite (3.28), not nitrate (4.43).", lambda nitrate: d.as_nitrogen(nitrate, "NO2")),
        ),
    ),
    Question(
        "09-1",
        "A kit gives the alkalinity as {reading} German degrees (dKH). How many mg/L as CaCO3 is that? (1 German degree = 17.85 mg/L)",
        {"reading": "5"},
        lambda reading: al.hardness_as_caco3(reading, "german_degree"),
        "mg/L",
        "{reading} × 17.85 = {answer} as CaCO3.",
        hint="Each degree is 17.85 mg/L.",
        slips=(
            Slip(
                "That takes the degree as 10 mg/L: 10 mg/L of CaO is one degree, and as CaCO3 it weighs 17.85.",
                lambda reading: reading * Q(10, "mg/L"),
            ),
        ),
        kind="conversion",
    ),
    Question(
        "09-2",
        "On a bright afternoon (pH 8.4, 26 °C) {share} of the total ammonia is un-ionized. The strictest limit for un-ionized ammonia is {limit}. "
        "How much total ammonia may the test show at most?",
        {"share": "13.3 %", "limit": "0.0125 mg/L"},
        lambda share, limit: limit / share,
        "mg/L",
        "{limit} / 0.133 = {answer}.",
        hint="Total ammonia times the share must stay at the limit; turn that around.",
        slips=(
            Slip("That multiplies by the share. The total is larger than its un-ionized part: divide.", lambda share, limit: limit * share),
            Slip("That is the limit itself, which is for the un-ionized part only.", lambda share, limit: limit),
        ),
        tolerance=0.03,
    ),
    Question(
        "09-3",
        "A pond of {volume} shall get {rise} more alkalinity (as CaCO3) today. Each gram of alkalinity takes 1.68 g of pure sodium bicarbonate. "
        "How many grams of it?",
        {"volume": "6000 L", "rise": "15 mg/L"},
        lambda volume, rise: al.alkali_dose(rise, volume),
        "g",
        "{rise} × {volume} = 90 g of alkalinity; × 1.68 = {answer}. It stays under the 20 mg/L of one day.",
        hint="First the alkalinity in grams: mg/L times litres gives mg.",
        slips=(
            Slip("That is the alkalinity as CaCO3. Bicarbonate weighs 1.68 times as much.", lambda volume, rise: d.dose_mass(rise, volume)),
            Slip("That divides by 1.68 where it should multiply.", lambda volume, rise: d.dose_mass(rise, volume) / 1.6787),
        ),
    ),
    Question(
        "09-4",
        "Nitrate stands at {start}; you want it down to {target}. The new water holds {source}, and each change is {share}. How many changes?",
        {"start": "60 mg/L", "target": "30 mg/L", "source": "5 mg/L", "share": "30 %"},
        _changes,
        "-",
        "Above the new water there are 55 mg/L, and 25 may stay. 55 × 0.7 = 38.5; × 0.7 = 27; × 0.7 = 18.9: after the third it is "
        "under 25, so {answer}.",
        hint="Reckon with what is above the new water's 5 mg/L, and take 30 % off again and again.",
        rule="count",
        slips=(
            Slip("After two changes it is still 32 mg/L: go on, and round up.", lambda start, target, source, share: Q(2.0, "-")),
            Slip(
                "That forgets that the new water brings nitrate too, or takes off 30 % of the first value each time.",
                lambda start, target, source, share: Q(1.0, "-"),
            ),
        ),
    ),
    Question(
        "09-5",
        "Alkalinity is 30 mg/L, pH 7.6, 22 °C, and total ammonia 1.2 mg/L, all from this afternoon. What first? (a) Enough bicarbonate at once "
        "for 100 mg/L of alkalinity. (b) Feed less, and change a quarter of the water (chlorine out). Test again; only then bicarbonate, "
        "in steps of at most 20 mg/L a day. (c) Hydrated lime, because it raises the alkalinity fastest.",
        {},
        lambda: "b",
        "word",
        "Once the dosed water has aired, the pH passes 8 and 1.2 mg/L of total ammonia would hold more than 0.05 mg/L of the poisonous part. "
        "First the ammonia goes down; then bicarbonate, in small steps.",
        choices={
            "a": "With ammonia in the water a rising pH poisons the fish, and 70 mg/L in one day is far above the usual 20.",
            "b": "Less ammonia first, then small steps with a fresh test before each.",
            "c": "Hydrated lime burns skin and eyes and throws the pH far up: never in a pond with fish.",
        },
        kind="choice",
    ),
    Question(
        "09-6",
        'Find the mistake. A worksheet says: "The tap water holds {chlorine} of chloramine. We take its chlorine out with thiosulfate, so the '
        'new water brings nothing that harms fish." How much ammonia, as N, does each litre bring all the same, if the water works mix four '
        "parts of chlorine to one of ammonia? (in mg/L)",
        {"chlorine": "2 mg/L"},
        lambda chlorine: d.chloramine_nitrogen(chlorine, 4),
        "mg/L",
        "Chloramine is chlorine bound to ammonia; the ammonia stays: {chlorine} / 4 = {answer}. In warm water of pH 8.4 the pond may hold less "
        "than 0.1 mg/L of total ammonia. So only a remover that binds ammonia will do, in the dose of its label.",
        hint="Four parts of chlorine came with one part of ammonia.",
        slips=(
            Slip("That is what the worksheet says. Thiosulfate takes the chlorine and leaves the ammonia.", lambda chlorine: 0 * chlorine),
            Slip("That is the chlorine itself. The ammonia is a quarter of it.", lambda chlorine: chlorine),
            Slip("That multiplies by four. There is less ammonia than chlorine: divide.", lambda chlorine: 4 * chlorine),
            Slip("That takes one part of five. It is one part of ammonia to four of chlorine: divide by 4.", lambda chlorine: chlorine / 5),
        ),
        kind="mistake",
    ),
)
