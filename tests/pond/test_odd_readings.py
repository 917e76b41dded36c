"""Readings that nobody expects: salt water, wrong scales, zeros and ends of scales. Each gets a clear sentence, and no number is NaN."""

from __future__ import annotations

import math

import pytest

from pondwright.pond.file import PondFileError
from pondwright.pond.plan import plan
from pondwright.pond.results import Urgency
from pondwright.pond.water_words import explained

from .test_water_stage import GOOD, milligrams, pond, read

ODD = {
    "sea": {"ph": "8.2", "alkalinity": "116 mg/L", "hardness": "6300 mg/L", "chloride": "19400 mg/L", "conductivity": "53 mS/cm"},
    "acid": {"ph": "5.5"}, "basic": {"ph": "10", "alkalinity": "60 mg/L"}, "basic and soft": {"ph": "10", "alkalinity": "5 mg/L"},
    "end of the scale": {"ph": "14"}, "other end": {"ph": "0"},
    "no ammonia": {"tan": "0 mg/L"}, "nitrite": {"nitrite_n": "5 mg/L"}, "bubbles": {"oxygen": "14 mg/L", "when": "2026-05-10 12:00"},
    "nearly ice": {"temperature": "0.5 degC"}, "hot": {"temperature": "33 degC"}, "soft": {"alkalinity": "5 mg/L"},
    "hard": {"alkalinity": "400 mg/L", "hardness": "400 mg/L"}, "ppm": {"tan": "0.1 ppm", "alkalinity": "3 dKH", "hardness": "6 dGH"},
    "nothing in it": {"alkalinity": "0 mg/L", "hardness": "0 mg/L"}, "no breath": {"oxygen": "0 mg/L"}, "to come": {"when": "2031-05-10"},
}  # fmt: skip


@pytest.mark.parametrize("name", ODD)
def test_every_odd_reading_is_told_in_words_and_finite_numbers(name):
    done = plan(pond(**ODD[name]))
    stage = done["water"]
    for n in stage.numbers.values():
        assert all(math.isfinite(end.m) for end in (n.value, n.low, n.typical, n.high)), n.key
    words = [says for _, says in stage.grids[0].rows]
    assert len(words) >= 8 and all(said.rstrip().endswith(".") and "nan" not in said.lower() for said in words)
    assert str(explained(done))


# ------------------------------------------------------------------------------------------------------------------------ salt


def test_sea_water_is_danger_and_gets_no_dose():
    # 19 400 mg/L of chloride / 0.6066 = 32 g/L of salt, against 3 to 5
    stage, found = read(pond(**{**ODD["sea"], "alkalinity": "60 mg/L"}))
    salt = found["water.salt"]
    assert salt.urgency is Urgency.DANGER and "32 g/L of salt; fish of fresh water bear 3 g/L to 5 g/L" in salt.what
    assert "bicarbonate_today" not in stage and "the water is salty" in stage.facts["bicarbonate"]
    assert "lime may drop" not in stage.facts["hardness"]


@pytest.mark.parametrize("changed, urgency", [
    ({"chloride": "1800 mg/L"}, None), ({"chloride": "1840 mg/L"}, Urgency.FIX), ({"chloride": "3100 mg/L"}, Urgency.DANGER),
    ({"chloride": None, "conductivity": "5 mS/cm"}, None), ({"chloride": None, "conductivity": "11 mS/cm"}, Urgency.DANGER),
    ({"chloride": "30 mg/L", "conductivity": "11 mS/cm"}, None),  # other salts conduct too: chloride counts where it was tested
])  # fmt: skip
def test_salt_is_judged_by_chloride_else_by_conductivity(changed, urgency):
    # 3 g/L of salt are 1820 mg/L of chloride, 5 g/L 3033; 5 mS/cm are at most 5000/2.03 = 2463 mg/L, 11 mS/cm 5419
    found = read(pond(**changed))[1].get("water.salt")
    assert (found and found.urgency) is urgency


# --------------------------------------------------------------------------------------------------------------------- scales


@pytest.mark.parametrize(
    "key, text, words",
    [
        ("alkalinity", "2 mmol/L", "1 meq/L, or 1 mmol/L of acid capacity, is 50 mg/L as CaCO3"),
        ("alkalinity", "2 meq/L", "1 meq/L, or 1 mmol/L of acid capacity, is 50 mg/L as CaCO3"),
        ("hardness", "1.5 mmol/L", "1 mmol/L of hardness is 100 mg/L as CaCO3"),
        ("hardness", "12 fH", "1 French degree 10 mg/L"),
        ("calcium_hardness", "1.5 mmol/L", "1 mmol/L of hardness is 100 mg/L as CaCO3"),
        ("chloride", "1 mmol/L", "1 mmol/L of chloride is 35.5 mg/L"),
        ("nitrate_n", "0.3 mmol/L", "1 mmol/L is 14 mg/L as N"),
        ("tan", "20 umol/L", "1 mmol/L is 14 mg/L as N"),
    ],
)
def test_a_scale_of_particles_is_refused_with_its_factor(key, text, words):
    with pytest.raises(PondFileError) as refused:
        pond(**{key: text})
    (line,) = refused.value.faults
    assert line.startswith(f"readings[1].{key}: '{text}': write it in mg/L; ") and words in line


def test_degrees_of_hardness_are_read():
    # 3 x 17.85 and 8 x 17.85
    reading = pond(alkalinity="3 dKH", hardness="8 °dH").readings[0]
    assert reading.alkalinity.m_as("mg/L") == pytest.approx(53.5, abs=0.1)
    assert reading.hardness.m_as("mg/L") == pytest.approx(142.8, abs=0.1)


# ---------------------------------------------------------------------------------------------------------- readings that clash


def test_a_low_ph_with_alkalinity_left_is_not_laid_on_used_up_alkalinity():
    # pH 5.5 with 40 mg/L would be 278 mg/L of carbon dioxide: one of the two was read wrong, and no dose rests on them
    stage, found = read(pond(ph="5.5"))
    assert milligrams(stage, "carbon_dioxide") > 100 and "one of the two was read wrong" in stage.facts["carbon_dioxide"]
    assert "The alkalinity is not used up" in found["water.ph"].what and "do not fit each other" in stage.facts["bicarbonate"]
    assert "bicarbonate_today" not in stage
    assert "alkalinity is used up" in read(pond(ph="6.2", alkalinity="10 mg/L"))[1]["water.ph"].what


@pytest.mark.parametrize("ph, words", [("0", "more than water can hold"), ("14", "less than none")])
def test_what_cannot_be_is_told_the_right_way_round(ph, words):
    assert words in read(pond(ph=ph))[0].facts["contradiction"]


def test_alkalinity_below_its_floor_is_not_given_days_to_fall_to_it():
    made = plan(pond(alkalinity="5 mg/L"))["water"]
    assert "days 20 mg/L is left" not in made.facts["alkalinity"]


def test_no_ammonia_is_told_as_such():
    stage, found = read(pond(tan="0 mg/L"))
    assert stage.facts["ammonia"].startswith("The test shows no ammonia") and "water.ammonia" not in found
    assert "the test showed no ammonia" in stage.facts["bicarbonate"] and "at most 0 mg/L" not in stage.facts["bicarbonate"]


def test_nitrite_beyond_what_plants_let_salt_do_says_so():
    # 5 mg/L as N is 16.4 as NO2; ten times that is 164 mg/L of chloride, and sensitive plants bear 142
    stage, found = read(pond(nitrite_n="5 mg/L"))
    assert "salt_for_nitrite" not in stage
    assert "would take 164 mg/L of chloride, and sensitive plants bear 142 mg/L: no dose is told" in found["water.nitrite"].do


def test_sets_of_one_moment_are_named():
    twice = [{**GOOD, "when": "2026-05-10 08:00", "ph": ph} for ph in ("7.2", "8.9")]
    stage, _ = read(pond(*twice))
    assert "2 sets bear that same date: the one that stands last in the file is used" in stage.facts["newest"]
    assert "at pH 8.9" in stage.facts["ammonia"]
    assert "same date" not in read(pond())[0].facts["newest"]


def test_a_day_still_to_come_is_called_a_slip():
    assert "(a day still to come is a slip)" in read(pond(when="2031-05-10 08:00"))[0].facts["newest"]
