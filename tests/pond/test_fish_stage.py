"""The stage fish: mass, feed and the warmest night of whole ponds, against arithmetic that stands here."""
from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from pondwright.pond import night as n
from pondwright.pond.file import demo_pond, load_pond, parse_pond
from pondwright.pond.plan import plan
from pondwright.pond.results import Urgency
from pondwright.pond.stages import fish as stage
from pondwright.tables import coefficients
from pondwright.units import unit

FIXTURES = sorted((Path(__file__).parents[1] / "fixtures").glob("*.toml"))
POND = '[pond.shape]\nkind = "rectangle"\nlength = "4 m"\nwidth = "2.5 m"\ndepth = ["0.8 m", "0.8 m"]\n'  # 10 m2, 8 m3
PLACE = '[place]\nclimate = "seattle"\nelevation = "0 m"\nwater_temperature = [{}]\n'
WATER = PLACE.format(", ".join(f'"{t} degC"' for t in (4, 5, 7, 10, 14, 18, 20, 19, 16, 12, 7, 5)))
KOI = '[fish]\nspecies = "koi"\nfeed = "45 g/d"\ndiet_protein = "32 %"\nstop_feeding_below = "8 degC"\n'
TEN = '[[fish.groups]]\ncount = 10\nlength = "40 cm"\nadult_length = "60 cm"\n'
PUMP = ('[pump]\ncurve = [{{ flow = "0 L/min", head = "3 m" }}, {{ flow = "30 L/min", head = "0 m" }}]\npower = "20 W"\n'
        'hours_per_day = "24 h/d"\n{}')


def planned(text):
    return plan(parse_pond(text), until="fish")


def fish(text):
    return planned(text)["fish"]


def findings(text):
    p = planned(text)
    return {f.key: f for f in stage.find(p.pond, p.stages)}


# ------------------------------------------------------------------------------------------------------------------------ mass


def test_biomass_of_ten_koi():
    # a carp of 400 mm weighs 909.9 g (Bister and others 2000); ten of them, 0.8 to 1.2 as stout; 600 mm: 909.9 x 1.5^2.92 = 2973 g
    found = fish(POND + WATER + KOI + TEN)
    mass, grown = found["biomass"], found["grown_biomass"]
    assert [mass.low.m_as("kg"), mass.typical.m_as("kg"), mass.value.m_as("kg")] == pytest.approx([7.279, 9.099, 10.919], rel=1e-3)
    assert grown.typical.m_as("kg") == pytest.approx(9.099 * 1.5**2.92, rel=1e-3)
    assert mass.decides and not mass.extrapolated and mass.mover == "stoutness of the fish"


def test_small_fish_get_a_wider_band():
    # goldfish of 12 cm: 14 x 27.05 g x 1.4 = 530 g; the band 1.0 to 2.0 reaches half as far again: 1.4 - 0.6 = 0.8 and 1.4 + 0.9 = 2.3
    text = POND + WATER + '[fish]\nspecies = "goldfish"\n[[fish.groups]]\ncount = 14\nlength = "12 cm"\n'
    mass = fish(text)["biomass"]
    one = 10 ** (-4.639 + 2.920 * math.log10(120))
    assert [mass.low.m_as("g"), mass.typical.m_as("g"), mass.high.m_as("g")] == pytest.approx([14 * one * s for s in (0.8, 1.4, 2.3)])
    assert mass.extrapolated


def test_groups_are_added_up():
    two = TEN + '[[fish.groups]]\ncount = 5\nlength = "50 cm"\n'
    found = fish(POND + WATER + KOI + two)
    # 500 mm: 909.9 x 1.25^2.92 = 1746 g
    assert found["biomass"].typical.m_as("kg") == pytest.approx(9.099 + 5 * 0.9099 * 1.25**2.92, rel=1e-3)
    assert found["fish_count"].value.m == 15


def test_grown_length_is_assumed_for_known_species_only():
    text = POND + '[fish]\nspecies = "{}"\n[[fish.groups]]\ncount = 2\nlength = "10 cm"\n'
    assert "grown_biomass" in fish(text.format("goldfish"))
    assert any("A grown fish is 20 cm" in a.text for a in fish(text.format("goldfish")).assumptions)
    other = fish(text.format("other"))
    assert "grown_biomass" not in other and any("adult_length" in m for m in other.missing)


def test_nobody_shrinks():
    text = POND + '[fish]\nspecies = "koi"\n[[fish.groups]]\ncount = 1\nlength = "70 cm"\n'
    found = fish(text)
    assert found["grown_biomass"].typical == found["biomass"].typical


# ------------------------------------------------------------------------------------------------------------- water and feed


def test_feed_of_the_file_is_scaled_by_the_ration():
    # 45 g on a day at 20 degC; at 12 degC (October) 45 x 0.40/0.8773, the ration at 20 being 0.75 x 1.6^(1/3); none below 8 degC
    found = fish(POND + WATER + KOI + TEN)
    feed = found.series["feed"].m_as(unit("g/d"))
    at_20 = 0.75 * (1.20 / 0.75) ** (2 / 6)
    assert found["feed_peak"].value.m_as(unit("g/d")) == 45
    assert feed[6] == pytest.approx(45) and feed[9] == pytest.approx(45 * 0.40 / at_20) and not feed[[0, 1, 2, 10, 11]].any()
    assert found.facts["months_without_feed"] == "Jan, Feb, Mar, Nov, Dec"


def test_feed_by_temperature_where_the_file_gives_none():
    # 9.099 kg x 0.8773 % x 1.5 in July
    found = fish(POND + WATER + KOI.replace('feed = "45 g/d"\n', "") + TEN)
    peak = found["feed_peak"]
    assert peak.typical.m_as(unit("g/d")) == pytest.approx(9099 * 0.75 * 1.6 ** (1 / 3) / 100 * 1.5, rel=1e-3)
    assert peak.low < peak.typical < peak.high and peak.value == peak.typical
    assert found.series["feed"].m_as(unit("g/d")).max() == pytest.approx(peak.typical.m_as(unit("g/d")))


def test_the_feed_of_each_month_has_both_ends():
    # typical 1.0 x the carp's mass, 1.5 x its ration; low 0.8 x and 1.0 x, high 1.2 x and 2.0 x
    found = fish(POND + WATER + KOI.replace('feed = "45 g/d"\n', "") + TEN)
    feed, low, high = (found.series[key].m_as(unit("g/d")) for key in ("feed", "feed_low", "feed_high"))
    assert low == pytest.approx(feed * 0.8 / 1.5) and high == pytest.approx(feed * 1.2 * 2 / 1.5)
    assert high.max() == pytest.approx(found["feed_peak"].high.m_as(unit("g/d")))


def test_a_feed_that_was_typed_has_no_spread():
    found = fish(POND + WATER + KOI + TEN)
    assert found.series["feed_low"].m.tolist() == found.series["feed"].m.tolist() == found.series["feed_high"].m.tolist()


def test_water_from_the_air_is_an_assumption_and_never_ice():
    text = POND + '[place]\nclimate = "calgary"\n' + KOI + TEN
    found = fish(text)
    water = found.series["water_temperature"].m_as("degC")
    assert water.min() == coefficients()["winter_floor"].typical.m_as("degC") and water.shape == (12,)
    assert any("place.water_temperature" in a.text for a in found.assumptions)
    assert found.facts["temperature_from"].startswith("the air at Calgary")
    assert fish(POND + WATER + KOI + TEN).facts["temperature_from"] == "the pond file"


def test_a_place_far_from_every_climate_is_not_given_another_ones_water():
    far = '[place]\nlatitude = "-45 deg"\nlongitude = "170 deg"\n'
    found = fish(POND + far + KOI + TEN)
    assert "biomass" in found and "hours_to_4" not in found and not found.series
    (missing,) = found.missing
    assert "km away" in missing and "place.climate" in missing and "place.water_temperature" in missing
    typed = fish(POND + far + WATER.split("\n")[3] + "\n" + KOI + TEN)  # twelve typed months are enough
    assert "hours_to_4" in typed and any("at sea level" in a.text for a in typed.assumptions)


def test_south_of_the_equator_january_is_the_warm_month():
    text = POND + '[place]\nclimate = "halifax"\n{}' + KOI + TEN
    north, south = fish(text.format("")), fish(text.format('latitude = "-45 deg"\n'))
    months = north.series["water_temperature"].m_as("degC")
    assert south.series["water_temperature"].m_as("degC") == pytest.approx(np.roll(months, 6))
    assert south["hours_to_4"].value == north["hours_to_4"].value and "Jul" in south.facts["months_without_feed"]
    assert any("moved by half a year" in a.text for a in south.assumptions)


def test_a_species_that_is_not_known_here_is_weighed_by_a_range():
    # 400 mm: 909.9 g for a carp; a slender fish 0.4 times that, a stout one as heavy as a goldfish, twice
    text = POND + WATER + KOI.replace("koi", "other") + TEN
    mass = fish(text)["biomass"]
    assert [mass.low.m_as("kg"), mass.typical.m_as("kg"), mass.value.m_as("kg")] == pytest.approx([3.640, 7.279, 18.198], rel=1e-3)
    assert any("species is 'other'" in a.text and "Trout" in a.text for a in fish(text).assumptions)
    assert not any("species is 'other'" in a.text for a in fish(text.replace("other", "koi")).assumptions)
    assert "stoutness of the fish" in mass.unverified


def test_how_bad_the_cautious_night_is_stands_beside_it():
    found = fish(POND + WATER + KOI + TEN)
    hours = found["hours_to_4"]
    low, high = hours.likely
    assert hours.value < low < hours.typical < high
    assert any("all of these bad at once" in a.text and f"about {n.lasts(low)}" in a.text for a in found.assumptions)


# -------------------------------------------------------------------------------------------------------------- the warm night


def test_the_warmest_night_by_hand():
    """The typical hours, worked from printed and published values step by step."""
    found = fish(POND + WATER + KOI + TEN)
    t = 20 + 2  # warmest month and a warm spell
    assert found["warmest_night"].typical.m_as("degC") == pytest.approx(t)
    full = 8.74  # ISO 5814, annex table, 22 degC
    assert found["night_saturation"].typical.m_as("mg/L") == pytest.approx(full, abs=0.01)
    fish_g = 9.099 * 67.4 * 909.9**-0.193 * math.exp(0.0562 * t) * 1.4 / 1000  # Yamanaka and others 2013, 1.4 for fed fish
    ammonia = 45 * 0.32 * 0.16 * 0.8 * 0.8 * 0.9 * 0.25  # a quarter of the day's turned into nitrate in the pond
    nitrify_g = ammonia * 4.57 / 24
    muck_g = 0.8 * 1.065**2 * 10 / 24 * 1.2  # 0.8 g/m2/d at 20 degC on 10 m2, and a fifth more in the water
    use = (fish_g + nitrify_g + muck_g) / 8
    k = 0.4 * 1.024**2 / 24 / 0.8  # 0.2 U at 2 m/s, over 0.8 m
    end = full - use / k
    hours = math.log((0.9 * full - end) / (4 - end)) / k
    assert found["hours_to_4"].typical.m_as("h") == pytest.approx(hours, rel=0.005)


def test_the_cautious_end_is_the_short_one():
    found = fish(POND + WATER + KOI + TEN)
    hours = found["hours_to_4"]
    assert hours.decides and hours.value == hours.low < hours.typical <= hours.high
    assert found["hours_to_4_grown"].value < hours.value
    assert found["hours_to_4"].mover and "oxygen.hours_to_level" in hours.formulas and "Yamanaka2013" in hours.sources


@pytest.mark.parametrize("change", [
    lambda s: s.replace("count = 10", "count = 14"), lambda s: s.replace('length = "40 cm"', 'length = "45 cm"'),
    lambda s: s.replace('depth = ["0.8 m", "0.8 m"]', 'depth = ["0.6 m", "0.6 m"]'), lambda s: s.replace('"20 degC"', '"23 degC"'),
    lambda s: s.replace('elevation = "0 m"', 'elevation = "2000 m"'),
])
def test_what_shortens_the_night(change):
    text = POND + WATER + KOI + TEN
    assert fish(change(text))["hours_to_4"].value < fish(text)["hours_to_4"].value


def test_a_hot_reading_counts():
    reading = '[[readings]]\nwhen = "2026-07-20"\ntemperature = "27 degC"\n'
    found = fish(POND + WATER + KOI + TEN + reading)
    assert found["warmest_night"].typical.m_as("degC") == 27 and found["warmest_night"].value.m_as("degC") == 27


def test_a_light_stock_lasts_a_week():
    text = POND + WATER + '[fish]\nspecies = "goldfish"\n[[fish.groups]]\ncount = 1\nlength = "20 cm"\n'
    hours = fish(text)["hours_to_4"]
    assert hours.high == n.LONGEST and n.lasts(hours.high) == "a week or more"


def test_the_curves_meet_the_hours():
    found = fish(POND + WATER + KOI + TEN.replace("10", "25"))  # so many that the typical curve crosses within the day that is drawn
    for end, name in (("value", "night_oxygen_low"), ("typical", "night_oxygen_typical")):
        hours = getattr(found["hours_to_4"], end).m_as("h")
        level = np.interp(hours, found.series["night_hours"].m_as("h"), found.series[name].m_as("mg/L"))
        assert level == pytest.approx(4, abs=0.05)  # read off hourly points
    assert found.series["night_oxygen_low"].shape == (25,)


def test_the_budget_adds_up():
    """What is taken less what comes in, over 8 m3, is the slope of the curve where it passes 4 mg/L."""
    found = fish(POND + WATER + KOI + TEN.replace("10", "25"))
    given, *taken = (row[2].m_as("gram/hour") for row in found.grids[-1].rows)
    level = found.series["night_oxygen_typical"].m_as("mg/L")
    i = int(np.argmax(level < 4))
    assert (given - sum(taken)) / 8 == pytest.approx(level[i] - level[i - 1], rel=0.05)  # a chord over one hour


# ------------------------------------------------------------------------------------------------------------- gaps and findings


def test_without_fish_or_place():
    assert fish(POND).missing == ("needs [fish] with species and [[fish.groups]], each with count and length",)
    assert not fish(POND).planned
    half = fish(POND + KOI + TEN)
    assert "biomass" in half and "hours_to_4" not in half and "needs [place]" in half.missing[-1] and not half.series


def test_more_fish_than_water_is_a_slip_in_the_file():
    found = fish(POND + WATER + KOI + TEN.replace("count = 10", "count = 10000"))  # 9.1 t in 8 m3
    assert not found.planned and "more fish than any tank holds" in found.missing[0] and "1140 kg/m³" in found.missing[0]


@pytest.mark.parametrize("climate", ["riyadh", "yellowknife"])
@pytest.mark.parametrize("extra", ["", 'feed = "0 g/d"\n', 'feed = "1000000 g/d"\ndiet_protein = "70 %"\nstop_feeding_below = "30 degC"\n'])
@pytest.mark.parametrize("count, length", [(1, "1 cm"), (3, "20 cm"), (500, "9 cm")])
@pytest.mark.parametrize("diameter", ["0.6 m", "40 m"])
def test_strange_ponds_still_get_a_plan(climate, extra, count, length, diameter):
    text = (f'[pond.shape]\nkind = "circle"\ndiameter = "{diameter}"\ndepth = ["0.5 m", "0.5 m"]\n[place]\nclimate = "{climate}"\n'
            f'elevation = "4000 m"\n[fish]\nspecies = "koi"\n{extra}[[fish.groups]]\ncount = {count}\nlength = "{length}"\n')
    p = plan(parse_pond(text))
    assert p["fish"].planned and p["stocking"].planned
    assert all(np.isfinite(x.value.m) for key in ("fish", "stocking") for x in p[key].numbers.values())


def test_danger_when_the_stop_is_longer():
    text = POND + WATER + KOI + TEN + PUMP
    cautious = fish(text.format('longest_stop = "2 h"'))["hours_to_4"].value.m_as("h")
    assert findings(text.format(f'longest_stop = "{cautious + 0.5:.2f} h"'))["fish.hours_to_4"].urgency == Urgency.DANGER
    found = findings(text.format(f'longest_stop = "{cautious - 0.5:.2f} h"'))
    assert "fish.hours_to_4" not in found and found["fish.oxygen_lasts"].urgency == Urgency.NOTE
    assert found["fish.hours_to_4_grown"].urgency == Urgency.IMPROVE
    assert "fish.stop_unknown" in findings(text.format("")) and "fish.no_pump" in findings(POND + WATER + KOI + TEN)


@pytest.mark.parametrize("typed, key", [("400 g/d", "fish.feed_high"), ("5 g/d", "fish.feed_low"), ("120 g/d", None)])
def test_feed_that_cannot_be(typed, key):
    # ten koi of 0.91 kg at 20 degC need 7.3 kg x 0.88 % = 64 g at least and use at most 10.9 kg x 1.75 % = 191 g
    found = findings(POND + WATER + KOI.replace("45 g/d", typed) + TEN)
    assert ({k for k in found if k.startswith("fish.feed")} or {None}) == {key}


def test_feeding_in_the_cold_is_answered():
    assert "fish.stop_feeding" in findings(POND + WATER + KOI.replace('"8 degC"', '"3 degC"') + TEN)


def test_cautions_name_what_hurts():
    words = " ".join(fish(POND + WATER + KOI + TEN).cautions)
    for word in ("before sunrise", "air pump", "Never hammer on ice", "Nobody steps on the ice", "wet hands", "wash your hands"):
        assert word in words


@pytest.mark.parametrize("path", FIXTURES, ids=[p.stem for p in FIXTURES])
def test_the_other_ponds(path):
    p = plan(load_pond(path), until="fish")
    found = p["fish"]
    assert found.planned and 0 <= found["hours_to_4"].value.m_as("h") <= 168
    assert found["biomass"].value <= found["grown_biomass"].value
    assert all(np.all(np.isfinite(s.m)) for s in found.series.values())
    assert all(f.what.endswith(".") and f.do.endswith(".") for f in stage.find(p.pond, p.stages))


def test_the_demo_pond():
    found = plan(demo_pond(), until="fish")["fish"]
    assert not found.missing and set(found.series) >= {"water_temperature", "feed", "oxygen_saturation", "oxygen_use"}
    # 14 of 12 cm and 6 of 16 cm, 1.4 times as stout as carp: 14 x 27.1 x 1.4 + 6 x 62.6 x 1.4 g
    one = [10 ** (-4.639 + 2.920 * math.log10(mm)) for mm in (120, 160)]
    assert found["biomass"].typical.m_as("g") == pytest.approx(1.4 * (14 * one[0] + 6 * one[1]))
