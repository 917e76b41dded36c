"""The water stage: what readings mean, when a dose is told and when it is refused. Ponds here are invented."""

from __future__ import annotations

import itertools
import math

import pytest

from pondwright.pond import readings as r
from pondwright.pond.file import demo_pond, parse_pond
from pondwright.pond.results import Stage, Urgency, by_key, gather, given
from pondwright.pond.stages import survey, water
from pondwright.units import Q, showing_in

CLEAN = "none"  # a tap whose new water brings nothing along
SHAPE = '[pond]\nname = "Tank (invented)"\n[pond.shape]\nkind = "rectangle"\nlength = "2 m"\nwidth = "2 m"\ndepth = "1 m"\n'  # 4000 L
GOOD = {
    "when": "2026-05-10 16:00",
    "temperature": "18 degC",
    "ph": "7.4",
    "tan": "0.1 mg/L",
    "nitrite_n": "0 mg/L",
    "nitrate_n": "5 mg/L",
    "chloride": "30 mg/L",
    "alkalinity": "40 mg/L",
    "hardness": "60 mg/L",
    "oxygen": "9 mg/L",
    "conductivity": "200 uS/cm",
}


def pond(*sets, tap: str = "", **changed):
    """Make a 4000 L pond with sets of readings; keyword arguments change the good set, None takes a reading out."""
    sets = sets or ({**GOOD, **changed},)
    text = SHAPE + (f'[tap]\ndisinfectant = "{tap}"\n' if tap else "")
    for each in sets:
        text += "[[readings]]\n" + "".join(f'{key} = "{value}"\n' for key, value in each.items() if value is not None)
    return parse_pond(text)


def read(p, load: float | None = None):
    """Plan survey and water of a pond, with the filter's load in g/d if it is given; return the stage and its findings by key."""
    so_far = {"survey": gather(survey.plan(p, {}))}
    if load is not None:
        so_far["filter"] = Stage("filter", "", by_key(given("tan_load", "", "g/d", Q(load, "g/d"))))
    so_far["water"] = gather(water.plan(p, so_far))
    return so_far["water"], {f.key: f for f in water.find(p, so_far)}


def milligrams(stage, key):
    return stage[key].value.m_as("mg/L")


def test_the_test_kit_number_is_not_the_poison():
    # FA-16's worked example: 1.0 mg/L at pH 8.0 and 24 degC is 0.0502 mg/L of un-ionized ammonia, just past the loosest limit
    stage, found = read(pond(tan="1.0 mg/L", ph="8.0", temperature="24 degC", alkalinity=None))
    assert milligrams(stage, "unionized_ammonia") == pytest.approx(0.0502, abs=0.0003)
    assert "counts all ammonia, 1 mg/L" in stage.facts["ammonia"] and "0.0502 mg/L" in stage.facts["ammonia"]
    assert found["water.ammonia"].urgency is Urgency.DANGER and "Stop feeding now" in found["water.ammonia"].do


@pytest.mark.parametrize("tan, urgency", [(0.1, None), (0.3, Urgency.IMPROVE), (0.6, Urgency.FIX), (1.1, Urgency.DANGER)])
def test_four_levels_of_ammonia(tan, urgency):
    # at pH 8 and 24 degC 5.02 % is un-ionized: 0.005, 0.015, 0.030 and 0.055 against 0.0125, 0.025 and 0.05
    _, found = read(pond(tan=f"{tan} mg/L", ph="8.0", temperature="24 degC", alkalinity=None))
    assert (found["water.ammonia"].urgency if "water.ammonia" in found else None) is urgency


def test_the_number_of_water_changes_is_rounded_up():
    # 1.0 mg/L down to 0.0125/0.0502 = 0.249 mg/L: ln 0.249/ln 0.75 = 4.83, so 5; and 0.75^5 = 0.237
    stage, found = read(pond(tan="1.0 mg/L", ph="8.0", temperature="24 degC", alkalinity=None, tap=CLEAN))
    assert stage["changes_needed"].value.m == 5
    assert 0.75**5 < milligrams(stage, "tan_limit") < 0.75**4
    assert "5 water changes of 25 % bring it under the strictest limit: too many for one day" in found["water.ammonia"].do
    assert stage["two_changes"].value.m_as("%") == pytest.approx(43.75)
    assert stage["change_volume"].value.m_as("L") == pytest.approx(1000)


def test_todays_bicarbonate():
    # 40 to 75 mg/L: two steps, today 20 mg/L x 4000 L x 84.007/50.04 = 134.3 g
    stage, found = read(pond())
    assert stage["bicarbonate_today"].value.m_as("g") == pytest.approx(20 * 4 * 84.0066 / 50.0435, rel=1e-6)
    assert stage["bicarbonate_days"].value.m == 2
    advice = found["water.alkalinity"].do
    for words in ("Today at most 134 g", "20 mg/L of alkalinity", "test ammonia before each", "2026-05-10 16:00"):
        assert words in advice


def test_a_small_need_is_a_small_step():
    stage, _ = read(pond(alkalinity="70 mg/L"))
    assert milligrams(stage, "alkalinity_step") == pytest.approx(5)
    assert stage["bicarbonate_days"].value.m == 1


def test_enough_alkalinity_needs_no_dose():
    stage, found = read(pond(alkalinity="90 mg/L"))
    assert "bicarbonate_today" not in stage and "water.alkalinity" not in found
    assert stage.facts["bicarbonate"] == "No bicarbonate is needed."


@pytest.mark.parametrize("missing, word", [("tan", "total ammonia"), ("ph", "pH"), ("temperature", "temperature")])
def test_no_dose_without_a_complete_set(missing, word):
    stage, found = read(pond(**{missing: None}))
    assert "bicarbonate_today" not in stage
    assert "No bicarbonate yet" in found["water.alkalinity"].do and word in found["water.alkalinity"].do


def test_an_old_ammonia_reading_is_not_fresh():
    stage, found = read(pond({**GOOD, "when": "2026-05-01 16:00"}, {**GOOD, "tan": None}))
    assert "bicarbonate_today" not in stage and "total ammonia (tan)" in found["water.alkalinity"].do


def test_a_dose_that_would_poison_is_refused():
    # pH 7 and 22 degC: 0.46 % of 1.5 mg/L is 0.0068 mg/L, under the limit; aired at 40 mg/L of alkalinity the pH passes 8 and 4 % or more
    # of it, 0.06 mg/L, would be un-ionized
    stage, found = read(pond(tan="1.5 mg/L", ph="7.0", temperature="22 degC", alkalinity="20 mg/L"))
    assert milligrams(stage, "unionized_ammonia") < milligrams(stage, "unionized_limit") < 0.05 < milligrams(stage, "unionized_after")
    assert "bicarbonate_today" not in stage
    advice = found["water.alkalinity"].do
    # without a dose it aires to pH 7.8 already: 2.8 % of 1.5 mg/L
    assert advice.startswith("No bicarbonate now. Without any, un-ionized ammonia comes to 0.0")
    assert "past its limit of 0.0125 mg/L" in advice
    assert "With a dose the pH would come to 7.3 at once and 8.1 once the water has aired" in advice
    assert "First bring total ammonia down" in advice


def test_a_low_ph_does_not_hide_the_ammonia():
    # soft water held at pH 6.4 by carbon dioxide; aired, 18 mg/L of alkalinity at 16 degC comes to pH 7.7, where 1.5 % of 2 mg/L is 0.03
    stage, found = read(pond(tan="2 mg/L", ph="6.4", temperature="16 degC", alkalinity="18 mg/L"))
    assert milligrams(stage, "unionized_ammonia") < 0.0125 < milligrams(stage, "unionized_aired")
    # 0.030 mg/L lies between the usual limit and the loosest: it is ranked, and the changes counted, as aired
    assert found["water.ammonia"].urgency is Urgency.FIX and "once the water has aired, that comes to 7.7" in found["water.ammonia"].what
    assert stage["unionized_worst"].value == stage["unionized_aired"].value
    assert "no hard airing" in found["water.ammonia"].do and "no hard airing" not in found["water.ammonia"].what
    assert stage["ph_aired"].value.m == pytest.approx(7.69, abs=0.03)  # PHREEQC: 18 mg/L as NaHCO3 at 16 degC, 420 ppm


def test_water_that_is_past_its_limit_already_gets_no_dose():
    _, found = read(pond(tan="1.0 mg/L", ph="8.0", temperature="24 degC"))
    assert "No bicarbonate now. Without any, un-ionized ammonia comes to 0.0" in found["water.alkalinity"].do


def test_no_step_is_above_the_days_limit_and_none_passes_the_ammonia_limit():
    for tan, ph, alkalinity in itertools.product((0, 0.1, 0.5, 2), (5.5, 6.5, 7.5, 8.5, 9.5), (5, 25, 60, 74)):
        stage, _ = read(pond(tan=f"{tan} mg/L", ph=str(ph), alkalinity=f"{alkalinity} mg/L"))
        if "bicarbonate_today" in stage:
            assert milligrams(stage, "alkalinity_step") <= 20 + 1e-9
            assert milligrams(stage, "unionized_after") <= 0.0125


def test_readings_that_contradict_each_other_are_named():
    stage, found = read(pond(ph="10.3", alkalinity="5 mg/L"))
    assert "carbon_dioxide" not in stage and "cannot be" in found["water.contradiction"].what
    assert "bicarbonate_today" not in stage and "do not fit each other" in found["water.alkalinity"].do


@pytest.mark.parametrize("ph", ["0", "1", "4", "11", "12.5", "14"])
def test_a_strange_ph_breaks_nothing(ph):
    stage, found = read(pond(ph=ph))
    assert "bicarbonate_today" not in stage and "water.ph" in found


def test_nitrite_against_chloride():
    # 0.5 mg/L as N is 1.64 mg/L as NO2: 10 times that is 16.4 mg/L of chloride, on top of 6 it takes 10.4 x 4000 L/0.6066 = 68.7 g of salt
    stage, found = read(pond(nitrite_n="0.5 mg/L", chloride="6 mg/L"))
    assert milligrams(stage, "chloride_wanted") == pytest.approx(16.42, abs=0.01)
    assert stage["salt_for_nitrite"].value.m_as("g") == pytest.approx(68.7, abs=0.1)
    assert found["water.nitrite"].urgency is Urgency.DANGER and "69" not in found["water.nitrite"].what
    shielded, found = read(pond(nitrite_n="0.5 mg/L", chloride="30 mg/L"))
    assert "salt_for_nitrite" not in shielded and "18.3 times the nitrite" in shielded.facts["nitrite"]
    assert found["water.nitrite"].urgency is Urgency.IMPROVE and found["water.nitrite"].do.startswith("Find out why")


def test_salt_is_not_told_where_plants_would_not_bear_it():
    stage, found = read(pond(nitrite_n="6 mg/L", chloride="6 mg/L"))  # 197 mg/L of chloride wanted, plants bear 142
    assert "salt_for_nitrite" not in stage and "plain salt" not in found["water.nitrite"].do


def test_nitrite_without_chloride():
    _, found = read(pond(nitrite_n="0.05 mg/L", chloride=None))
    assert "chloride was not measured" in found["water.nitrite"].what


@pytest.mark.parametrize("oxygen, urgency", [(9, None), (5.5, Urgency.IMPROVE), (4.5, Urgency.FIX), (3, Urgency.DANGER)])
def test_oxygen_before_sunrise(oxygen, urgency):
    stage, found = read(pond(oxygen=f"{oxygen} mg/L", temperature="20 degC", when="2026-05-10 05:10"))
    assert (found["water.oxygen"].urgency if "water.oxygen" in found else None) is urgency
    # APHA's table: 9.09 mg/L at 20 degC
    assert stage["oxygen_share"].value.m_as("%") == pytest.approx(100 * oxygen / 9.09, abs=0.1)


def test_green_water_by_day_is_a_warning_for_the_night():
    _, found = read(pond(oxygen="13 mg/L"))
    assert "algae" in found["water.oxygen"].what and found["water.oxygen"].do == "Measure again before sunrise."


def test_oxygen_before_sunrise_has_no_remark_on_the_hour():
    stage, _ = read(pond(when="2026-05-10 05:10"))
    assert "taken by day" not in stage.facts["oxygen"]


def test_alkalinity_lasts_so_many_days():
    # 2 g of nitrogen a day take 14.29 g; (40 - 20) mg/L x 4000 L = 80 g: 5.6 days
    stage, found = read(pond(), load=2.0)
    assert stage["alkalinity_used"].value.m_as("g/d") == pytest.approx(14.29, abs=0.01)
    assert stage["alkalinity_days"].value.m_as("d") == pytest.approx(80 / 14.29, abs=0.01)
    assert "after 6 days 20 mg/L is left" in found["water.alkalinity"].what


def test_the_tracer_stays_under_the_limit_of_plants():
    # 200 uS/cm at 2.03 a mg/L is 98.5 mg/L of salt, 394 g in 4000 L; with 130 mg/L of chloride there only 12/0.6066 = 19.8 mg/L are left
    stage, _ = read(pond())
    assert stage["tracer_salt"].value.m_as("g") == pytest.approx(394, abs=0.5)
    assert "subtract the background of 200" in stage["tracer_salt"].note
    salty, _ = read(pond(chloride="130 mg/L"))
    assert salty["tracer_salt"].value.m_as("g") == pytest.approx(79.1, abs=0.1)
    assert milligrams(salty, "tracer_chloride") + 130 <= 142 + 1e-9
    assert "tracer_salt" not in read(pond(chloride="200 mg/L"))[0]
    assert "tracer_salt" not in read(pond(conductivity=None))[0]


TAPS = {
    "chlorine": ("Yours holds chlorine", Urgency.NOTE),
    "chloramine": ("Standing does not drive that out", Urgency.FIX),
    "none": ("holds no chlorine", Urgency.NOTE),
    "unknown": ("it may be chloramine", Urgency.FIX),
    "": ("it may be chloramine", Urgency.FIX),
}


@pytest.mark.parametrize("tap", TAPS)
def test_new_water(tap):
    words, urgency = TAPS[tap]
    stage, found = read(pond(tap=tap, temperature="24 degC"))  # the aired water may hold 0.2 mg/L, one change could bring 0.33
    assert words in found["water.tap"].what and found["water.tap"].urgency is urgency
    if tap == "chlorine":  # 1 mg/L in 1000 L is 1 g of chlorine, which takes 7.0 g of crystals
        assert stage["remover"].value.m_as("g") == pytest.approx(7.0)
    else:
        assert "remover" not in stage


def test_without_readings_the_stage_says_what_it_needs():
    stage, found = read(parse_pond(SHAPE))
    assert stage.missing and "[[readings]]" in stage.missing[0] and "change_volume" in stage
    assert list(found) == ["water.no_readings"]


def test_any_reading_may_be_missing():
    names = [name for name in GOOD if name != "when"]
    for kept in itertools.chain([()], itertools.combinations(names, 1), itertools.combinations(names, 2), itertools.combinations(names, 9)):
        stage, found = read(pond({"when": "2026-05-10", **{name: GOOD[name] for name in kept}}))
        assert stage.facts["bicarbonate"]
        for finding in found.values():
            assert finding.what and finding.do and all(n.removeprefix("water.") in stage for n in finding.numbers)


def test_kits_that_read_nothing():
    stage, found = read(pond(tan="0 mg/L", nitrite_n="0 mg/L", nitrate_n="0 mg/L", chloride="0 mg/L", hardness="0 mg/L", oxygen="0 mg/L"))
    assert milligrams(stage, "unionized_ammonia") == 0 and "water.ammonia" not in found
    assert found["water.oxygen"].urgency is Urgency.DANGER


def test_sentences_follow_the_readers_units():
    with showing_in("us"):
        stage, found = read(pond())
    assert "64.4 °F" in stage.facts["ammonia"] and "oz" in found["water.alkalinity"].do and "US gal" in found["water.tap"].do


def test_the_demo_pond_is_told_all_of_it():
    stage, _ = read(demo_pond())
    told = "ammonia nitrite oxygen ph carbon_dioxide alkalinity hardness nitrate tap bicarbonate"
    assert set(told.split()) <= set(stage.facts)
    # 4.2 % of 0.28 mg/L: pKa 0.09018 + 2729.92/294.65 = 9.3552, 1/(1 + 10^1.3552) = 4.23 %
    assert milligrams(stage, "unionized_ammonia") == pytest.approx(0.28 / (1 + 10**1.3552), rel=1e-3)
    assert math.isclose(milligrams(stage, "nitrate"), 6 * 62.0049 / 14.007, rel_tol=1e-6)
    assert stage.cautions and stage.assumptions and "Chemicals" in stage.cautions[0]
    assert stage.grids[0].cells() and "2026-07-28" in stage.grids[0].title


@pytest.mark.parametrize("when, hour", [("2026-07-28 16:30", 16), ("28 July 2026, 5:45", 5), ("2026-07-28", None)])
def test_the_hour_of_a_set(when, hour):
    assert r.hour(pond(when=when).readings[0]) == hour
