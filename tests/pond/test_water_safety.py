"""Where a wrong word about the water could kill fish: each test here names the case it guards against. Ponds are invented."""

from __future__ import annotations

import numpy as np
import pytest

from pondwright.pond.climate import climate
from pondwright.pond.file import PondFileError, parse_pond
from pondwright.pond.results import Stage, Urgency, by_key, gather, given
from pondwright.pond.stages import water
from pondwright.science import oxygen
from pondwright.units import Q, showing_in

from .test_water_stage import GOOD, SHAPE, milligrams, pond, read

HIDDEN = {"tan": "3 mg/L", "ph": "6.6", "temperature": "22 degC", "alkalinity": "40 mg/L"}  # harmless as read, 0.1 mg/L once aired


def with_tap(text: str, **changed):
    lines = "".join(f'{key} = "{value}"\n' for key, value in {**GOOD, **changed}.items() if value is not None)
    return parse_pond(f"{SHAPE}[tap]\n{text}\n[[readings]]\n{lines}")


# ------------------------------------------------------------------------------------------------------------------ chloramine


@pytest.mark.parametrize("tap", ["chloramine", "unknown", ""])
def test_chloramine_brings_ammonia_that_no_number_of_changes_takes_away(tap):
    # 4 mg/L as Cl2 mixed 3 to 1 leave 4/3 = 1.33 mg/L of nitrogen; at pH 8.0 and 24 degC only 0.0125/0.0502 = 0.249 mg/L may be there
    stage, found = read(pond(tan="1.0 mg/L", ph="8.0", temperature="24 degC", alkalinity=None, tap=tap))
    assert milligrams(stage, "tap_ammonia") == pytest.approx(4 / 3, rel=1e-3)
    assert stage["tap_ammonia"].low.m_as("mg/L") == pytest.approx(1 / 5, rel=1e-3)
    assert "changes_needed" not in stage
    assert stage["changes_bound"].value.m == 5  # as from a tap that brings nothing: ln 0.249/ln 0.75 = 4.83
    advice = found["water.ammonia"].do
    assert "With a remover whose label says that it takes chloramine and binds ammonia, dosed by that label, 5 water changes" in advice
    assert "up to 1.33 mg/L of ammonia along, and water changes alone cannot bring it under the strictest limit" in advice
    assert "binds ammonia, and dose it by its label" in found["water.tap"].do and "Plain thiosulfate" in found["water.tap"].do


def test_where_the_pond_may_hold_more_than_the_tap_brings_both_numbers_are_told():
    # pH 7 and 15 degC: 0.0125/0.00272 = 4.59 mg/L allowed. From 6: bound ln(4.59/6)/ln 0.75 = 0.93, so 1; else from the tap's 1.33 up
    # ln(3.26/4.67)/ln 0.75 = 1.25, so 2
    stage, found = read(pond(tan="6 mg/L", ph="7.0", temperature="15 degC", alkalinity=None, tap="chloramine"))
    assert stage["changes_bound"].value.m == 1 and stage["changes_needed"].value.m == 2
    advice = found["water.ammonia"].do
    assert "one water change of 25 % brings it" in advice and "2 water changes of 25 % bring" in advice


def test_a_tap_that_brings_no_ammonia_is_told_no_binder():
    stage, found = read(pond(tan="1.0 mg/L", ph="8.0", temperature="24 degC", alkalinity=None, tap="chlorine"))
    assert stage["changes_needed"].value.m == 5 and "changes_bound" not in stage and "tap_ammonia" not in stage
    assert "binds" not in found["water.ammonia"].do + found["water.tap"].do


# ------------------------------------------------------------------------------------------------ ammonia that a low pH hides


def test_hidden_ammonia_is_ranked_and_changed_as_aired():
    # pH 6.6 at 22 degC: 0.18 % of 3 mg/L is 0.0055. Aired, 40 mg/L of alkalinity comes to pH 8.07: 5 % is 0.15 mg/L
    stage, found = read(pond(**HIDDEN, tap="none"))
    assert milligrams(stage, "unionized_ammonia") < 0.0125 < 0.05 < milligrams(stage, "unionized_aired")
    assert found["water.ammonia"].urgency is Urgency.DANGER
    allowed = milligrams(stage, "tan_limit")
    assert allowed == pytest.approx(0.0125 / (milligrams(stage, "unionized_aired") / 3), rel=1e-6)
    assert stage["tan_limit"].note.startswith("at pH 8.1, to which this water comes once it has aired")
    times = int(stage["changes_needed"].value.m)
    assert 3 * 0.75**times <= allowed < 3 * 0.75 ** (times - 1)


@pytest.mark.parametrize(
    "changed, key",
    [
        *(({}, "ammonia"), ({}, "carbon_dioxide"), ({"oxygen": "5.4 mg/L"}, "oxygen")),
        ({"nitrite_n": "1 mg/L", "chloride": "2 mg/L"}, "nitrite"),
    ],
)
def test_no_airing_is_advised_while_it_would_poison(changed, key):
    quiet = {**HIDDEN, "tan": "0.05 mg/L"}
    hidden, plain = (read(pond(**{**readings, **changed}, tap="none"))[1].get(f"water.{key}") for readings in (HIDDEN, quiet))
    assert not [word for word in ("add air", "Add air", "Stir or air") if word in hidden.do.replace("but add no air", "")]
    if plain is not None and key != "ammonia":
        assert [word for word in ("add air", "Add air", "Stir or air") if word in plain.do]


def test_fish_that_suffocate_get_air_all_the_same_and_are_told_of_the_ammonia():
    _, found = read(pond(**HIDDEN, oxygen="3 mg/L", tap="none"))
    assert "start air and pump at once" in found["water.oxygen"].do and "change water today as well" in found["water.oxygen"].do


def test_poisoned_fish_get_air_where_airing_changes_little():
    # pH 8.6 and 155 mg/L of alkalinity at 27.5 degC air to 8.7: a third more of a poison that is past every limit already
    stage, found = read(pond(tan="0.4 mg/L", ph="8.6", temperature="27.5 degC", alkalinity="155 mg/L", tap="none"))
    assert 1 < milligrams(stage, "unionized_aired") / milligrams(stage, "unionized_ammonia") < 1.5
    assert found["water.ammonia"].urgency is Urgency.DANGER and "keep air and pump running" in found["water.ammonia"].do


def test_warm_water_too_is_told_no_airing_then():
    _, found = read(pond(**{**HIDDEN, "temperature": "33 degC"}, tap="none"))
    assert "move the water" not in found["water.temperature"].do
    assert "move the water by night" in read(pond(temperature="33 degC", tan="0 mg/L"))[1]["water.temperature"].do


def test_an_afternoon_above_the_aired_ph_counts_as_read():
    stage, _ = read(pond(ph="9.2"))
    assert stage["ph_aired"].value.m < 9.2
    assert stage["unionized_worst"].value == stage["unionized_ammonia"].value and stage["tan_limit"].note == "at pH 9.2, as read"


def test_without_alkalinity_no_aired_ph_is_known():
    assert "ph_aired" not in read(pond(alkalinity=None))[0]
    assert "ph_aired" not in read(pond(alkalinity="0 mg/L"))[0]


def test_the_alkalinity_of_new_water_is_counted_in_the_changes():
    # each change with water of 250 mg/L lifts the aired pH; water of the pond's own 40 mg/L does not
    hard, same = (read(with_tap(f'disinfectant = "none"\nalkalinity = "{a} mg/L"', **HIDDEN))[0] for a in (250, 40))
    assert hard["changes_needed"].value.m > same["changes_needed"].value.m
    assert same["changes_needed"].value.m == read(pond(**HIDDEN, tap="none"))[0]["changes_needed"].value.m
    assert milligrams(hard, "alkalinity_changed") == pytest.approx(0.75 * 40 + 0.25 * 250)
    assert "One water change brings it to 92.5 mg/L" in hard.facts["alkalinity"]


def test_an_alkalinity_that_no_water_has_is_refused_by_its_key():
    with pytest.raises(PondFileError, match=r"tap.alkalinity: '40 g/L' must be at most 4000 mg/L"):
        with_tap('alkalinity = "40 g/L"')
    hard = read(with_tap('disinfectant = "none"\nalkalinity = "4000 mg/L"', **HIDDEN))  # and the most that is let through breaks nothing
    assert hard[0]["changes_needed"].value.m > 15  # nearly all of 3 mg/L is poison there: ln(3/0.0125)/ln(1/0.75) = 19


# ---------------------------------------------------------------------------------------------------- temperature, pH, oxygen

FISH = (
    '[fish]\nspecies = "{}"\n[[fish.groups]]\ncount = 3\nlength = "15 cm"\n'
    '[[readings]]\nwhen = "2026-08-10 16:00"\ntemperature = "{} degC"\n'
)


@pytest.mark.parametrize(
    "species, temperature, urgency",
    [
        ("koi", 24, None), ("koi", 29, Urgency.NOTE), ("koi", 33, Urgency.FIX), ("koi", 36, Urgency.DANGER),
        ("common carp", 36, Urgency.DANGER),
        ("goldfish", 29, None), ("goldfish", 31, Urgency.NOTE), ("goldfish", 36, Urgency.DANGER), ("koi", 6, Urgency.NOTE),
        ("other", 17, None), ("other", 20, Urgency.NOTE), ("other", 33, Urgency.FIX),
    ],
)  # fmt: skip
def test_the_temperature_is_judged_by_species(species, temperature, urgency):
    stage, found = read(parse_pond(SHAPE + FISH.format(species, temperature)))
    assert (found["water.temperature"].urgency if "water.temperature" in found else None) is urgency
    assert f"The water is {temperature} °C" in stage.facts["temperature"]


def test_cold_water_means_no_feed_and_no_one_on_the_ice():
    _, found = read(parse_pond(SHAPE + FISH.format("koi", 2)))
    assert "Do not feed" in found["water.temperature"].do and "nobody steps on ice" in found["water.temperature"].do
    _, found = read(parse_pond(SHAPE + FISH.format("koi", 7)))
    assert "Do not feed" in found["water.temperature"].do and "ice" not in found["water.temperature"].do


@pytest.mark.parametrize("ph, urgency", [(4.8, 0), (5.2, 1), (6.2, 2), (7, None), (9.3, 1), (9.9, 1), (10.2, 0)])
def test_a_ph_that_kills_is_danger(ph, urgency):
    # SRAC 464: below 5 and above 10 fish may be stressed and die
    _, found = read(pond(ph=str(ph), tan="0 mg/L"))
    assert (found["water.ph"].urgency if "water.ph" in found else None) == (None if urgency is None else Urgency(urgency))
    if urgency == 0:
        assert "they may die" in found["water.ph"].what
        assert "Measure again at once" in found["water.ph"].do and "a jump" in found["water.ph"].do


@pytest.mark.parametrize(
    "when, expected",
    [
        *(("2026-05-10 05:10", 2), ("2026-05-10 09:00", 1), ("2026-05-10 16:00", 1), ("2026-05-10 21:30", 1)),
        *(("2026-05-10 22:30", 2), ("2026-05-10", 1)),
    ],
)
def test_oxygen_read_by_day_counts_one_level_worse(when, expected):
    stage, found = read(pond(oxygen="5 mg/L", when=when))
    assert found["water.oxygen"].urgency is Urgency(expected)
    assert ("judged as 4 mg/L" in stage.facts["oxygen"]) is (expected == 1)


# ----------------------------------------------------------------------------------------------------------------- nitrite


def test_nitrite_that_is_danger_says_what_to_do_now():
    _, found = read(pond(nitrite_n="0.5 mg/L", chloride="6 mg/L"))
    for words in ("Stop feeding now", "add air", "change water today with the chlorine taken out"):
        assert words in found["water.nitrite"].do
    _, found = read(pond(nitrite_n="0.5 mg/L", chloride=None))
    assert found["water.nitrite"].urgency is Urgency.DANGER and "Stop feeding now" in found["water.nitrite"].do


@pytest.mark.parametrize("nitrite, urgency", [(0.02, None), (0.03, None), (0.04, Urgency.FIX), (0.4, Urgency.DANGER)])
def test_a_trace_of_nitrite_is_no_alarm_however_little_chloride_there_is(nitrite, urgency):
    # FAO 589 gives cold-water fish up to 0.1 mg/L as NO2, which is 0.0304 mg/L as N, without a word of chloride
    _, found = read(pond(nitrite_n=f"{nitrite} mg/L", chloride="0.1 mg/L"))
    assert (found["water.nitrite"].urgency if "water.nitrite" in found else None) is urgency


def test_chloride_of_an_older_set_is_named_so():
    stage, _ = read(pond({**GOOD, "when": "2026-04-02", "chloride": "25 mg/L"}, {**GOOD, "nitrite_n": "0.1 mg/L", "chloride": None}))
    assert "Chloride is 25 mg/L (read 2026-04-02)" in stage.facts["nitrite"]


# --------------------------------------------------------------------------------------------- alkalinity, nitrate, height


def test_full_feed_is_that_of_the_month_that_is_fed_most():
    # the deciding month has 1 g/d, July 3 g/d: 3 x 7.14 = 21.4 g of alkalinity a day
    made = pond()
    so_far = {"survey": gather(water_survey(made)), "filter": filter_of(1.0, [0, 0, 0, 1, 1, 2, 3, 2, 1, 0, 0, 0])}
    stage = gather(water.plan(made, so_far))
    assert stage["alkalinity_used"].value.m_as("g/d") == pytest.approx(3 * 7.143, abs=0.01)


def water_survey(made):
    from pondwright.pond.stages import survey

    return survey.plan(made, {})


def filter_of(load, by_month):
    numbers = by_key(given("tan_load", "", "g/d", Q(load, "g/d")))
    return Stage("filter", "", numbers, series={"tan_load": Q(np.array(by_month, dtype=float), "g/d")})


def test_nitrate_of_new_water_is_counted():
    # 100 mg/L as N is 443 as NO3; to 150: ln(150/443)/ln 0.75 = 3.8, so 4; with 20 as N (88.5) ln(61.5/354)/ln 0.75 = 6.08, so 7
    none, some, much = (
        read(with_tap(f'disinfectant = "none"\nnitrate_n = "{n} mg/L"', nitrate_n="100 mg/L")) for n in (0, 20, 40)
    )
    assert none[0]["nitrate_changes"].value.m == 4 and some[0]["nitrate_changes"].value.m == 7
    assert "7 changes reach the usual limit, with new water that holds 20 mg/L as N" in some[1]["water.nitrate"].do
    assert "nitrate_changes" not in much[0] and "your new water holds too much itself" in much[1]["water.nitrate"].do
    assert "if the new water holds none" in read(pond(nitrate_n="100 mg/L"))[1]["water.nitrate"].do


def test_a_pond_in_the_hills_is_not_taken_for_one_at_the_sea():
    lines = "".join(f'{key} = "{value}"\n' for key, value in GOOD.items())
    stage, _ = read(parse_pond(f'{SHAPE}[place]\nclimate = "denver-aurora"\n[[readings]]\n{lines}'))
    there = oxygen.oxygen_saturation(Q(18, "degC"), pressure=oxygen.air_pressure(climate("denver-aurora").elevation))
    assert milligrams(stage, "oxygen_full") == pytest.approx(there.m_as("mg/L"), rel=1e-9)
    assert milligrams(stage, "oxygen_full") < 8.5  # 9.45 at the sea
    assert any("in the hills water holds less oxygen" in a.text for a in stage.assumptions)


# -------------------------------------------------------------------------------------------------------------- sentences


def test_a_ph_that_is_high_at_once_is_not_said_to_come_later():
    # green water at pH 9.9: a dose pulls it down only a little at once, and airing far further
    stage, found = read(pond(ph="9.9", alkalinity="50 mg/L", tan="0.5 mg/L", temperature="25 degC"))
    assert stage["ph_after_dose"].value > stage["ph_after_airing"].value
    at_once, aired = (stage[key].value.m for key in ("ph_after_dose", "ph_after_airing"))
    assert f"would come to {at_once:.1f} at once, and fall to {aired:.1f} once the water has aired" in found["water.alkalinity"].do


@pytest.mark.parametrize("ph", ["4.2", "10.9"])
def test_a_ph_beyond_all_sense_is_named_as_such(ph):
    _, found = read(pond(ph=ph))
    assert f"a pH of {ph} has another cause" in found["water.alkalinity"].do and "do not fit" not in found["water.alkalinity"].do


def test_the_reader_is_told_of_what_day_the_words_are():
    stage, _ = read(pond({**GOOD, "when": "2026-05-10 16:00"}, {**GOOD, "when": "1 April 2026"}))
    assert stage.facts["newest"].startswith("The newest of 2 sets of readings is of 2026-05-10 16:00;")
    assert "2026-05-10" in stage.grids[0].title


def test_small_doses_stay_in_grams_for_american_readers():
    with showing_in("us"):
        _, found = read(pond(alkalinity="73 mg/L"))  # 2 mg/L x 4000 L x 1.68 = 13.4 g
    assert "Today at most 13.4 g of pure sodium bicarbonate" in found["water.alkalinity"].do
