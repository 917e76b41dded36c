"""Questions of lesson 04: how much filter?"""

from __future__ import annotations

from ...science import biofilter as b
from ...science import nitrogen as n
from ...units import Q
from ..question import Question, Slip


def _media(feed, protein, rate, surface):
    return b.media_volume(b.area_needed(n.tan_from_feed(feed, protein), rate), surface)


def _smallest(surface, flow, tan, per_pass, usable):
    return b.filter_capacity(surface, b.flow_capacity(flow, tan, per_pass), b.oxygen_capacity(flow, usable))


QUESTIONS = (
    Question(
        "04-t1",
        "The fish of a pond get {feed} of feed with {protein} protein. How much ammonia (as N) is that in a day, by the factor 0.092?",
        {"feed": "50 g/d", "protein": "32 %"},
        n.tan_from_feed,
        "g/d",
        "50 g/d × 0.32 × 0.092 = {answer}.",
        hint="Feed times the share of protein times 0.092.",
        slips=(
            Slip("That leaves out the protein: only 32 % of the feed is protein.", lambda feed, protein: feed * 0.092),
            Slip("That is the protein itself. Only 0.092 of it comes back as ammonia.", lambda feed, protein: feed * protein.m_as("")),
        ),
    ),
    Question(
        "04-t2",
        "Lava rock has {surface} of surface. How much surface is on {volume} of it, in m²?",
        {"surface": "160 m²/m³", "volume": "150 L"},
        lambda surface, volume: b.media_area(volume, surface),
        "m2",
        "{volume} is 0.15 m³. 0.15 × 160 = {answer}.",
        hint="Turn litres into cubic metres first: 1000 L is 1 m³.",
    ),
    Question(
        "04-t3",
        "Two ponds are the same in all but pH: 7.5 and 8.5. Which one needs the larger filter for the same feed? (a) The pond at 7.5. "
        "(b) The pond at 8.5. (c) Both the same.",
        {},
        lambda: "b",
        "word",
        "At the higher pH more of the ammonia is un-ionized, so less may be in the water; less ammonia means slower bacteria and more surface.",
        choices={
            "a": "At 7.5 less of the ammonia is poison, so more of it may be in the water, and the bacteria work faster.",
            "b": "More of the ammonia is poison there, so less may be in the water, and hungry bacteria work slowly.",
            "c": "The fish give off the same, but the water may hold less ammonia at 8.5. Bacteria on thin food work slowly.",
        },
    ),
    Question(
        "04-1",
        "A feed scoop is marked in ounces. A school pond gets {feed} of feed with {protein} protein. How many grams of ammonia (as N) is that in a day, by the "
        "factor 0.092? (1 oz is 28.35 g.)",
        {"feed": "3 oz/d", "protein": "36 %"},
        n.tan_from_feed,
        "g/d",
        "3 oz is 85.05 g. 85.05 g/d × 0.36 × 0.092 = {answer}.",
        hint="Turn ounces into grams first. Then feed times the share of protein times 0.092.",
        slips=(
            Slip("Your number fits leaving the ounces as they are: 3 oz is 85.05 g.", lambda feed, protein: Q(3 * 0.36 * 0.092, "g/d")),
            Slip("That leaves out the protein: only 36 % of the feed is protein.", lambda feed, protein: feed * 0.092),
            Slip("That is the protein itself. Only 0.092 of it comes back as ammonia.", lambda feed, protein: feed * protein.m_as("")),
        ),
        kind="conversion",
    ),
    Question(
        "04-2",
        "At a pond's highest pH and warmth {share} of the total ammonia is un-ionized. The un-ionized part may reach {limit}. How much total "
        "ammonia (TAN) may the water hold, in mg/L?",
        {"share": "5 %", "limit": "0.0125 mg/L"},
        lambda share, limit: limit / share,
        "mg/L",
        "Total × 0.05 = 0.0125 mg/L, so total = 0.0125 / 0.05 = {answer}. This is the design TAN.",
        hint="The un-ionized part is the share times the total. Which of the three do you look for?",
        slips=(
            Slip("That multiplies where it should divide: the total is larger than the un-ionized part.", lambda share, limit: limit * share.m_as("")),
        ),
    ),
    Question(
        "04-3",
        "A pond gets {feed} of feed with {protein} protein (factor 0.092). At the design TAN one square metre converts {rate}. The media have "
        "{surface} of surface. How many litres of media does it take, at least?",
        {"feed": "60 g/d", "protein": "32 %", "rate": "0.1 g/m²/d", "surface": "100 m²/m³"},
        _media,
        "L",
        "Ammonia: 60 × 0.32 × 0.092 = 1.766 g/d. Surface: 1.766 / 0.1 = 17.66 m². Volume: 17.66 / 100 = 0.1766 m³ = {answer}.",
        hint="Three steps: ammonia from the feed, surface for the ammonia, volume for the surface.",
        rule="at least",
        tolerance=0.03,
        slips=(
            Slip(
                "That sizes for the feed instead of its ammonia: first feed × protein × 0.092.",
                lambda feed, protein, rate, surface: (feed / rate / surface).to("liter"),
            ),
            Slip(
                "That leaves out the protein: only 32 % of the feed is protein.",
                lambda feed, protein, rate, surface: (feed * 0.092 / rate / surface).to("liter"),
            ),
        ),
    ),
    Question(
        "04-4",
        "The media of a filter could convert {surface} of ammonia (as N). The pump brings {flow} of water, day and night. In it are {tan} of ammonia, "
        "and {per_pass} of that is gone after one pass. The water may lose {usable} of oxygen, and each gram of N takes 4.57 g of oxygen. How much "
        "ammonia does the filter convert in a day?",
        {"surface": "6 g/d", "flow": "15 L/min", "tan": "0.4 mg/L", "per_pass": "30 %", "usable": "3 mg/L"},
        _smallest,
        "g/d",
        "Flow: 15 L/min × 1440 min = 21 600 L = 21.6 m³ a day. It brings 21.6 × 0.4 = 8.64 g and loses 30 % of it: 2.59 g. Oxygen: 21.6 × 3 = "
        "64.8 g, / 4.57 = 14.2 g. Media: 6 g. The smallest is {answer}: the flow is what limits this filter.",
        hint="Work out all three limits in grams a day and take the smallest.",
        tolerance=0.03,
        slips=(
            Slip("That is what the media could do. Does the water bring so much ammonia?", lambda surface, flow, tan, per_pass, usable: surface),
            Slip(
                "That is what the oxygen would allow. Another limit is smaller.",
                lambda surface, flow, tan, per_pass, usable: b.oxygen_capacity(flow, usable),
            ),
            Slip(
                "That is all the ammonia the water brings; only 30 % of it is gone after one pass.",
                lambda surface, flow, tan, per_pass, usable: b.flow_capacity(flow, tan, 1.0),
            ),
        ),
    ),
    Question(
        "04-5",
        "A filter is big enough only on paper. In June the pH reaches 9 in the afternoon. Then the design TAN (the ammonia that the water may hold) "
        "is below what the bacteria need to live. What comes first? (a) A second container of media. (b) A stronger pump. (c) Shade and fewer algae, so that the pH comes down, "
        "and less feed meanwhile. (d) Acid from a bottle.",
        {},
        lambda: "c",
        "word",
        "No media area helps where the bacteria starve. The pH must come down, gently: shade, fewer algae. Feeding less brings less ammonia at once.",
        choices={
            "a": "Below that concentration the bacteria die back, however much room they have.",
            "b": "More water does not help bacteria that starve on it.",
            "c": "Shade and fewer algae take the afternoon peak off the pH; feeding less brings less ammonia at once.",
            "d": "Acid works for hours and swings back when the alkalinity buffers it; a wrong dose kills fish and burns skin.",
        },
        kind="choice",
    ),
    Question(
        "04-6",
        'Find the mistake. A team writes: "The water has {temperature} and pH {ph}, and the test says {tan} of ammonia. The limit is 0.0125 mg/L, so '
        'we are far over it, {tan} against 0.0125." At that warmth and pH, {share} of the total ammonia is un-ionized. How much un-ionized ammonia is '
        "really in the water, in mg/L?",
        {"temperature": "20 °C", "ph": "7.2", "tan": "0.5 mg/L", "share": "0.62 %"},
        lambda temperature, ph, tan, share: tan * share,
        "mg/L",
        "The test reads the total, the limit is for the un-ionized part. {share} is 0.0062, and 0.5 × 0.0062 = {answer}, a quarter of the limit.",
        hint="The limit is for the un-ionized part only. How large a part of the total is that?",
        tolerance=0.03,
        slips=(
            Slip("That is the total from the test. Only a small share of it is un-ionized.", lambda temperature, ph, tan, share: tan),
            Slip("Percent means hundredths: 0.62 % is 0.0062.", lambda temperature, ph, tan, share: tan * 0.62),
        ),
        kind="mistake",
    ),
)
