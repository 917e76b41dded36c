"""The hours that the sun leaves the pump standing still: they count as a stop in their month, and a plan never says enough against them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from pondwright.pond import night as n
from pondwright.pond.dark_months import dark_months, three_ends
from pondwright.pond.file import demo_pond, demo_text, parse_pond
from pondwright.pond.findings import findings
from pondwright.pond.overview import needs
from pondwright.pond.plan import plan
from pondwright.pond.results import Stage, Urgency, months
from pondwright.tables import coefficients
from pondwright.units import Q, unit

POND = '[pond.shape]\nkind = "rectangle"\nlength = "4 m"\nwidth = "2.5 m"\ndepth = "0.8 m"\n'  # 10 m2, 8 m3
WATER = (4, 5, 7, 10, 14, 18, 20, 19, 16, 12, 7, 5)
PLACE = '[place]\nclimate = "{}"\nelevation = "0 m"\nwater_temperature = [' + ", ".join(f'"{t} degC"' for t in WATER) + "]\n"
KOI = '[fish]\nspecies = "koi"\ndiet_protein = "32 %"\n[[fish.groups]]\ncount = {}\nlength = "40 cm"\nadult_length = "40 cm"\n'
PUMP = ('[pump]\ncurve = [{{ flow = "0 L/min", head = "3 m" }}, {{ flow = "30 L/min", head = "0 m" }}]\npower = "20 W"\n'
        'hours_per_day = "24 h/d"\nlongest_stop = "{}"\n')
SUN = [24.0] * 12


def sunny(hours, typical=None):
    """Make a stage power whose sun carries the pump for these hours of each month's mean day."""
    return Stage("power", "", series={"pump_hours": months(hours, "h/d"), "pump_hours_typical": months(typical or hours, "h/d")})


def planned(hours, count=10, stop="2 h", climate="seattle", typical=None):
    text = POND + PLACE.format(climate) + KOI.format(count) + PUMP.format(stop)
    done = {"plumbing": Stage("plumbing", ""), "power": sunny(hours, typical), "filter": Stage("filter", "")}
    p = plan(parse_pond(text), until="stocking", done=done)
    return p, {f.key: f for f in findings(p)}


def put(hours, **by_month):
    found = list(hours)
    for month, value in by_month.items():
        found[int(month[1:]) - 1] = value
    return found


# ------------------------------------------------------------------------------------------------------------- the stops themselves


def test_what_the_sun_leaves_of_a_day_is_a_stop():
    pond = parse_pond(POND + PLACE.format("seattle") + KOI.format(1) + PUMP.format("10 h"))
    stops = n.stops(pond, sunny(put(SUN, m1=6, m2=20, m12=0), put(SUN, m1=12, m2=24, m12=1)))
    # January 24 - 6 = 18 h; in February 24 - 20 = 4 h are less than the 10 that are expected anyway; December has no sun: a month
    assert stops.cautious.tolist() == [18, 10, *[10] * 9, 744] and stops.typical.tolist() == [12, 10, *[10] * 9, 23]
    assert stops.by_sun.tolist() == [True, False, *[False] * 9, True]
    assert n.stops(pond, None).cautious.tolist() == [10] * 12


def test_without_a_pump_or_a_known_stop_there_is_none():
    text = POND + PLACE.format("seattle") + KOI.format(1)
    assert n.stops(parse_pond(text), sunny(SUN)) is None
    unknown = parse_pond(text + PUMP.format("2 h").replace('longest_stop = "2 h"\n', ""))
    assert n.stops(unknown, None) is None and n.stops(unknown, sunny(SUN)) is None
    # once the sun leaves a stop, a night is the least that is counted in the other months
    assert n.stops(unknown, sunny(put(SUN, m1=4))).cautious.tolist() == [20, *[14] * 11]


# ------------------------------------------------------------------------------------------------------------------ the warm month


def test_a_dark_july_is_danger_though_the_typed_stop_is_short():
    """Without the sun's hours the same pond is told that the oxygen lasts."""
    p, told = planned(SUN)
    hours = p["fish.hours_to_4"].value.m_as("h")
    assert 2 < hours < 20 and "fish.oxygen_lasts" in told
    p, told = planned(put(SUN, m7=24 - hours - 1))
    danger = told["fish.hours_to_4"]
    assert danger.urgency == Urgency.DANGER and "In July the sun may leave the pump standing for" in danger.what
    assert not {"fish.oxygen_lasts", "stocking.enough"} & told.keys()
    assert p["stocking"]["limit_oxygen"].value < p["fish.biomass"].value


def test_the_limit_counts_the_suns_stop_by_hand():
    p, _ = planned(put(SUN, m7=10))
    t, full, stop = 22, 8.74, 14  # the warmest month and a warm spell; ISO 5814 at 22 degC; 24 - 10 h
    k = 0.4 * 1.024**2 / 24 / 0.8
    gone = 1 - math.exp(-k * stop)
    end = (4 - 0.9 * full * (1 - gone)) / gone
    allowed, muck = k * (full - end) * 8, 0.8 * 1.065**2 * 10 / 24 * 1.2
    feed = 1.5 * 0.75 * 1.6 ** (4 / 6) / 100 * 1000  # g for each kilogram
    per_kg = 67.4 * 909.9**-0.193 * math.exp(0.0562 * t) * 1.4 / 1000 + feed * 0.32 * 0.16 * 0.8 * 0.8 * 0.9 * 0.25 * 4.57 / 24
    assert p["stocking"]["limit_oxygen"].typical.m_as("kg") == pytest.approx((allowed - muck) / per_kg, rel=0.005)
    assert "after 14 h" in p["stocking"]["limit_oxygen"].note


# ---------------------------------------------------------------------------------------------------------------- the other months


def test_each_month_is_held_against_its_own_stop():
    """A stop of 20 h in a cool month, of 2 h in July: the fish that May allows are fewer than July's."""
    july, _ = planned(SUN)
    p, told = planned(put(SUN, m5=4), count=20)
    s = p["stocking"]
    assert s["limit_oxygen"].value < july["stocking"]["limit_oxygen"].value and "in May" in s["limit_oxygen"].note
    assert s.facts["dark_month"] == "May" and s["stop"].value.m_as("h") == 20
    assert s["stop_hours"].value < s["stop"].value < s["stop_hours"].typical and told["stocking.dark_month"].urgency == Urgency.FIX
    assert planned(put(SUN, m5=4), count=60)[1]["stocking.dark_month"].urgency == Urgency.DANGER  # typical values do not do either
    assert "stocking.enough" not in told
    # by hand, typical: water of 14 + 2 degC, which holds 9.87 mg/L (ISO 5814); 20 koi of 909.9 g
    full, k = 9.87, 0.4 * 1.024**-4 / 24 / 0.8
    feed = 1.5 * 0.40 * (0.75 / 0.40) ** (4 / 6) / 100 * 1000
    per_kg = 67.4 * 909.9**-0.193 * math.exp(0.0562 * 16) * 1.4 / 1000 + feed * 0.32 * 0.16 * 0.8 * 0.8 * 0.9 * 0.25 * 4.57 / 24
    use = (20 * 0.9099 * per_kg + 0.8 * 1.065**-4 * 10 / 24 * 1.2) / 8
    end = full - use / k
    assert s["stop_hours"].typical.m_as("h") == pytest.approx(math.log((0.9 * full - end) / (4 - end)) / k, rel=0.005)


def test_a_dark_winter_in_cold_water_does_not_change_the_limit():
    short, full = (planned(hours, stop="10 h") for hours in (put(SUN, m12=12, m1=12), SUN))
    assert short[0]["stocking"]["limit_oxygen"].value == full[0]["stocking"]["limit_oxygen"].value
    (grid,) = (g for g in short[0]["stocking"].grids if g.title.startswith("Months"))
    assert [row[0] for row in grid.rows] == ["January", "July", "December"] and grid.rows[0][1] == "12 h"
    assert "stop" not in short[0]["stocking"] and "stocking.dark_month" not in short[1]


def test_the_typical_limit_takes_the_typical_sun():
    s, full = planned(put(SUN, m7=6), typical=SUN)[0]["stocking"], planned(SUN)[0]["stocking"]
    assert s["limit_oxygen"].typical == full["limit_oxygen"].typical and s["limit_oxygen"].value < full["limit_oxygen"].value


def test_months_without_sun_last_a_month():
    s, told = planned(put(SUN, m11=0), count=30)[0]["stocking"], planned(put(SUN, m11=0), count=30)[1]
    assert s["stop"].value == n.MONTH and "a month or more" in s["stop"].note and not s["stop"].unverified
    assert "may not run the pump at all" in told["stocking.dark_month"].what


def test_ice_lets_no_oxygen_in():
    """Under ice a straight line: what is in the water, less what is used."""
    pond = parse_pond(POND + PLACE.format("calgary") + KOI.format(10) + PUMP.format("24 h"))
    year = n.year_of(pond, plan(pond, until="survey")["survey"])
    assert year.open_water[:, 0].tolist() == [0, *[1] * 11]  # mean frost from November to March, but only January's water is 4 degC
    dark = dark_months(year, n.stops(pond, None))
    place = dark.months.index(0)
    t, full = 6, 12.45  # January 4 degC and a warm spell; ISO 5814 at 6 degC; too cold for feed
    use = (9.099 * 67.4 * 909.9**-0.193 * math.exp(0.0562 * t) * 1.4 / 1000 + 0.8 * 1.065**-14 * 10 / 24 * 1.2) / 8
    assert dark.hours[place, 0] == pytest.approx((0.9 * full - 4) / use, rel=0.005)
    s = planned(SUN, climate="calgary", stop="24 h")[0]["stocking"]
    assert any("ice closes the water" in a.text for a in s.assumptions)


# ------------------------------------------------------------------------------------------------------------------ never enough


@pytest.mark.parametrize("hours", [0, 3, 8, 12, 16, 20, 23])
@pytest.mark.parametrize("count", [1, 3, 6, 10, 20])
@pytest.mark.parametrize("month", [1, 4, 7, 10])
def test_never_enough_where_the_oxygen_does_not_last_the_stop(hours, count, month):
    p, told = planned(put(SUN, **{f"m{month}": hours}), count=count)
    short = p["fish.hours_to_4"].value.m_as("h") < n.stops(p.pond, p["power"]).cautious[6]
    if "stop_hours" in p["stocking"]:
        short |= bool(p["stocking.stop_hours"].value < p["stocking.stop"].value)
    if short:
        assert "stocking.enough" not in told and {"fish.hours_to_4", "stocking.dark_month"} & told.keys()
        assert min(f.urgency for f in told.values()) <= Urgency.FIX
    else:
        assert not {"fish.hours_to_4", "stocking.dark_month"} & told.keys()


def test_small_fish_that_breathe_more_for_their_mass_are_not_called_enough():
    text = (POND + PLACE.format("seattle") + KOI.format(60).replace('length = "40 cm"\nadult', 'length = "8 cm"\nadult', 1)
            + PUMP.format("10 h")).replace('adult_length = "40 cm"', 'adult_length = "9 cm"').replace("koi", "goldfish")
    for stop in range(2, 60):
        pond = parse_pond(text.replace('"10 h"', f'"{stop} h"'))
        p = plan(pond)
        told = {f.key for f in findings(p)}
        assert not ("stocking.enough" in told and p["fish.hours_to_4"].value < Q(float(stop), "h"))


def test_a_supply_that_does_not_say_its_hours_is_not_enough():
    """The panel is missing, so nobody knows how long the sun runs the pump."""
    document = demo_pond()
    half = document.model_copy(update={"power": document.power.model_copy(update={"panel": None})})
    p = plan(half)
    told = {f.key: f for f in findings(p)}
    assert any("part on the sun" in m for m in p["stocking"].missing) and "not planned yet" in told["fish.oxygen_lasts"].what
    assert "stocking.enough" not in told


def test_a_demo_pond_with_a_small_panel_is_told():
    """The whole chain: the panel shrinks, the sun leaves longer stops, and the plan says so."""
    small = demo_text().replace('power = "200 W"', 'power = "20 W"').replace('imp = "9.8 A"', 'imp = "0.98 A"').replace(
        'isc = "10.4 A"', 'isc = "1.04 A"').replace("count = 14", "count = 60").replace('length = "12 cm"', 'length = "20 cm"')
    p = plan(parse_pond(small))
    told = {f.key: f for f in findings(p)}
    assert p["power"].series["pump_hours"].m_as(unit("h/d")).min() < 4
    assert "fish.oxygen_lasts" not in told and "stocking.enough" not in told
    assert any("the sun may leave the pump standing" in told[key].what for key in ("fish.hours_to_4", "stocking.dark_month") if key in told)
    assert needs(p)[0].needed == n.stops(p.pond, n.supply(p.stages)).of(n.warmest_month(p["fish"]))


# ------------------------------------------------------------------------------------------------------------- what binds the stop

LEAD = 'kind = "lead_acid"\ncapacity = "110 Ah"\ncoldest = "0 degC"'
LITHIUM = 'kind = "lifepo4"\ncapacity = "110 Ah"\ncoldest = "-9 degC"'


def cold(battery, *changes, climate="rochester-mn", share=1.0):
    """Put the demo pond, made deeper, with a share of its panel, where winters are hard (December to February below freezing)."""
    text = demo_text().replace('climate = "seattle"', f'climate = "{climate}"').replace(LEAD, battery)
    text = text.replace('depth = ["0.98 m", "1.04 m", "1.01 m", "0.95 m", "1.06 m", "1.02 m"]', 'depth = "1.4 m"')
    label = {'power = "200 W"': 200, 'isc = "10.4 A"': 10.4, 'imp = "9.8 A"': 9.8}
    scaled = [(old, f'{old.split(" = ")[0]} = "{number * share:.4g} {old[-2]}"') for old, number in label.items()]
    for old, new in (*scaled, *changes):
        assert old in text
        text = text.replace(old, new)
    p = plan(parse_pond(text))
    return p, {f.key: f for f in findings(p)}


def test_a_battery_that_freezes_is_what_to_mend_first():
    p, told = cold(LITHIUM)
    stops = n.stops(p.pond, n.supply(p.stages))
    assert np.flatnonzero(stops.by_frost).tolist() == [0, 1, 11]
    warm = cold(LITHIUM.replace("-9", "1"))[0]["season"].series["gap"].m  # the same pond with a battery that never freezes
    frozen = [0, 1, 11]
    assert stops.warm[frozen] == pytest.approx(np.maximum(10, warm[frozen]))  # 10 h are expected in any month
    air = told["stocking.dark_month"]
    assert "a battery too cold to be charged" in air.what
    assert air.do.startswith("Make that stop shorter: keep the battery above freezing") and "lead-acid" in air.do
    assert "neither a timer nor a larger panel helps" in air.do
    for key in ("stocking.no_oxygen", "season.winter_only"):
        assert told[key].do.startswith("Keep the battery above freezing")


def test_the_filter_s_stop_names_the_battery_first_too():
    """Without fish all months count; the demo's media live for less than the weeks that a frozen battery takes."""
    for battery, first in ((LITHIUM, True), (LEAD, False)):
        pond = cold(battery)[0].pond.model_copy(update={"fish": None})
        said = {f.key: f for f in findings(plan(pond))}["vessel.stop"]
        assert ("too cold to be charged" in said.what) == first == said.do.startswith("Keep the battery above freezing")


def test_without_frost_in_the_battery_the_sun_is_blamed_and_a_timer_offered():
    for battery in (LEAD, LITHIUM.replace("-9", "1")):
        _, told = cold(battery, ("count = 14", "count = 60"), ('length = "12 cm"', 'length = "20 cm"'), share=0.1)
        air = told["fish.hours_to_4"]
        assert "the sun may leave" in air.what and "too cold" not in air.what
        assert air.do.startswith("Make the stop shorter: a timer") and "freezing" not in air.do


def test_frost_is_not_blamed_where_there_is_no_sun_to_charge_with():
    """Fairbanks in December: the panel is small and lies flat, and what falls on it would not charge a warm battery either."""
    p, _ = cold(LITHIUM, ('tilt = "60 deg"', 'tilt = "0 deg"'), climate="fairbanks", share=0.05)
    stops = n.stops(p.pond, n.supply(p.stages))
    assert "Dec" in p["season"].facts["frozen"] and not stops.by_frost[11] and "the sun" in n.why_it_stops(stops, 11)


@pytest.mark.parametrize("typed, hours, words", [("14 h", 24, "an alarm"), ("2 h", 8, "a timer that spreads the pump's hours")])
def test_a_stop_that_is_not_the_sun_s_is_mended_where_it_comes_from(typed, hours, words):
    text = POND + PLACE.format("seattle") + KOI.format(10) + PUMP.format(typed).replace("24 h/d", f"{hours} h/d")
    pond = parse_pond(text)
    assert n.shorten(pond, n.stops(pond, None), 6).startswith(words)
    assert words in {f.key: f for f in findings(plan(pond))}["fish.hours_to_4"].do


def test_the_ends_of_the_coefficients_are_the_tables():
    """The three ends are taken together: typical, cautious, favourable."""
    pond = demo_pond()
    ends = three_ends(n.year_of(pond, plan(pond, until="survey")["survey"]))
    muck = coefficients()["muck_20"]
    assert ends["muck_20"].m.tolist() == [muck.typical.m, muck.high.m, muck.low.m] and ends["night_wind"].m.tolist() == [2.0, 1.0, 3.5]
    assert np.all(ends["volume"].m > 0)
